package jobbook

// opBelongs lists what belongs to a job: {"job":id,"docs":[...]} gives {"ids":[...]} as Belongs
// does.
func opBelongs(_ *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f == nil {
		out.put("ids", strs(Belongs(in.str("job"), docs)))
	}
	return f
}

// Belongs lists the ids of what belongs to a job: the job, all that is linked to it, and the
// machines, fixtures and tools used, sorted.
func Belongs(id string, docs []*Record) []string {
	x := NewIndex()
	for _, d := range docs {
		x.place(d)
	}
	job := x.num(id)
	named := make([]uint32, len(x.slots))
	named[job] = 1
	to := x.leads(named)
	used := make([]bool, len(x.slots))
	for slot, e := range x.entries {
		if e.num != job && (e.shop || to.from(int32(slot), 0) == 0) {
			continue
		}
		used[e.num] = true
		for _, l := range x.links(int32(slot)) {
			used[l] = true
			if slot := x.slots[l]; slot >= 0 && x.entries[slot].shop { // a fixture's metal, not the jobs its holes were for
				for _, further := range x.links(slot) {
					if s := x.slots[further]; s >= 0 && x.entries[s].shop {
						used[further] = true
					}
				}
			}
		}
	}
	for slot, e := range x.entries { // photos and notes of the fixtures and machines
		for _, l := range x.links(int32(slot)) {
			used[e.num] = used[e.num] || used[l] && (e.kind == "photo" || e.kind == "note")
		}
	}
	var ids []string
	for _, e := range arranged(x.entries, func(a, b *entry) int { return compare(a.id, b.id) }) {
		if used[e.num] {
			ids = append(ids, e.id)
		}
	}
	return ids
}

// keepDays is how long a deleted record can be brought back.
const keepDays = 30

// opPurge lists the deleted records whose time is over: {"docs":[...],"now"} gives {"ids":[...]}.
// Records whose deletion clashes with an undo, or has no readable date, are not listed.
func opPurge(_ *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	now, ok := readDate(in.str("now"))
	if !ok {
		return &RecordError{"now", "The time now is missing. Give it as 2026-03-09T14:00:00Z."}
	}
	ids := newArray()
	for _, d := range docs {
		heads := d.find("gone").heads()
		if len(heads) != 1 || !d.gone() {
			continue
		}
		if at, ok := readDate(heads[0].at); ok && now-at > keepDays*86400 {
			ids.add(str(d.id))
		}
	}
	out.put("ids", ids)
	return nil
}
