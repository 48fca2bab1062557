package jobbook

// opExport writes records as one file:
// {"docs":[...],"book","made","job"} gives
// {"file":{"datumbook":1,"form":"records","book","made","job","docs":[...]}}.
func opExport(_ *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	list := newArray()
	for _, d := range arranged(docs, func(a, b *document) int { return compare(a.id, b.id) }) {
		list.add(d.node(false))
	}
	file := newObject()
	file.put("datumbook", whole(1))
	file.putStr("form", "records")
	for _, key := range [...]string{"book", "made", "job"} {
		file.putText(key, in.str(key))
	}
	file.put("docs", list)
	out.put("file", file)
	return nil
}

// opImport merges records of a file into those that are here:
// {"mine":[...],"theirs":[...]} gives {"put":[docs to write],"added","changed","same",
// "clashes":[{"id","fields":[...]}],"refused":[{"field":id,"message"}]}.
// Mine holds what is here under the ids of the file. Nothing is overwritten:
// a record in both becomes their merge.
func opImport(_ *Session, in, out *node) *RecordError {
	mine, f := many(in, "mine")
	if f != nil {
		return f
	}
	here := map[string]*document{}
	for _, d := range mine {
		here[d.id] = d
	}
	list := in.get("theirs")
	if list.kind != array {
		return &RecordError{"theirs", "The file holds no records. Choose a file that Datumbook saved."}
	}
	before := map[string]string{}
	var order []string
	var refused []RecordError
	for _, n := range list.list {
		d, problem := toDocument(n)
		if problem == "" {
			problem = refuseImport(d, here[d.id])
		}
		if problem != "" {
			refused = append(refused, RecordError{n.str("_id"), sentence(problem)})
			continue
		}
		if _, seen := before[d.id]; !seen {
			was := ""
			if m := here[d.id]; m != nil {
				was = m.node(false).json()
			}
			before[d.id] = was
			order = append(order, d.id)
		}
		if m := here[d.id]; m != nil {
			all, f := merged([]*document{m, d})
			if f != nil {
				refused = append(refused, RecordError{d.id, f.Message})
				continue
			}
			all.rev, all.by = m.rev, m.by
			d = all
		} else {
			d.rev = none
		}
		here[d.id] = d
	}
	put, clashes := newArray(), newArray()
	added, changed, same := 0, 0, 0
	for _, id := range order {
		d := here[id]
		switch was := before[id]; {
		case d == nil:
			continue
		case was == "":
			added++
		case was == d.node(false).json():
			same++
			continue
		default:
			changed++
		}
		put.add(d.node(true))
		var fields []string
		for _, f := range d.fields {
			if len(f.current()) > 1 {
				fields = append(fields, f.key)
			}
		}
		if fields != nil {
			one := newObject()
			one.putStr("id", id)
			one.put("fields", strs(fields))
			clashes.add(one)
		}
	}
	out.put("put", put)
	out.put("added", whole(added))
	out.put("changed", whole(changed))
	out.put("same", whole(same))
	out.put("clashes", clashes)
	out.put("refused", faultList(refused))
	return nil
}

func refuseImport(d, mine *document) string {
	if d.id == "" || d.id[0] == '_' || d.kind == "" {
		return "this is not a record; it was left out"
	}
	for i, name := range d.files.keys {
		if d.files.list[i].get("data").kind != text && (mine == nil || mine.files.get(name).kind != object) {
			return "the file '" + short(name) + "' of this record is not in the export; it was left out"
		}
	}
	return ""
}

// opBelongs lists what belongs to a job: {"job":id,"docs":[...]} gives
// {"ids":[...]}: the job, all that is linked to it, and the machines, fixtures
// and tools used, sorted.
func opBelongs(_ *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	x := NewIndex()
	for _, d := range docs {
		x.place(d)
	}
	job := x.num(in.str("job"))
	to := x.leads()
	to.named[job] = true
	used := make([]bool, len(x.slots))
	for _, e := range x.entries {
		if e.num != job && (e.shop || !to.from(e, 0)) {
			continue
		}
		used[e.num] = true
		for _, l := range e.links {
			used[l] = true
			if slot := x.slots[l]; slot >= 0 && x.entries[slot].shop { // a fixture's metal, not the jobs its holes were for
				for _, further := range x.entries[slot].links {
					if s := x.slots[further]; s >= 0 && x.entries[s].shop {
						used[further] = true
					}
				}
			}
		}
	}
	for _, e := range x.entries { // pictures and notes of the fixtures and machines themselves
		for _, l := range e.links {
			used[e.num] = used[e.num] || used[l] && (e.kind == "photo" || e.kind == "note")
		}
	}
	ids := newArray()
	for _, e := range arranged(x.entries, func(a, b *entry) int { return compare(a.id, b.id) }) {
		if used[e.num] {
			ids.add(str(e.id))
		}
	}
	out.put("ids", ids)
	return nil
}

// keepDays is how long a deleted record can be brought back.
const keepDays = 30

// opPurge lists the deleted records whose time is over: {"docs":[...],"now"}
// gives {"ids":[...]}. Nothing is listed whose deletion clashes with a change
// of mind, or has no readable date.
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
		if len(heads) != 1 || !heads[0].v.yes() {
			continue
		}
		if at, ok := readDate(heads[0].at); ok && now-at > keepDays*86400 {
			ids.add(str(d.id))
		}
	}
	out.put("ids", ids)
	return nil
}
