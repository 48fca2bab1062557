package jobbook

// opRepeat makes a setup again for another job, or a whole job again: {"setup":doc,"job":id,"part":id}
// or {"job":doc,"name"}, both with {"docs":[all below it, readings too],"ms","chance","device","by",
// "at","demo"}, gives {"docs":[the new setup and its steps]}, or [the new job, its parts, features,
// setups and steps]. What was copied names what was copied with it. The readings of a setup become
// what is expected; ticks, dates and temperatures are dropped.
func opRepeat(_ *Session, in, out *node) *RecordError {
	key := "setup"
	if in.get("job").kind == object {
		key = "job"
	}
	old, f := one(in, key)
	if f != nil {
		return f
	}
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	if old.kind != key {
		return &RecordError{key, "That is not a " + key + ". Choose the " + key + " to repeat."}
	}
	ids, list, f := toRepeat(in, old, docs)
	if f != nil {
		return f
	}
	made := newArray()
	for _, d := range list {
		set := newObject()
		if d == old {
			set.putText("name", in.str("name"))
			set.putText("job", in.str("job"))
			set.putText("part", in.str("part"))
		}
		if d == old || d.kind == "setup" {
			set.put("repeats", str(d.id))
			set.put("state", str("planned"))
		}
		if d.kind == "setup" {
			set.put("expected", expected(readings(docs, "", d.id, nil)))
		}
		again, f := d.again(in, ids, set)
		if f != nil {
			return f
		}
		made.add(again.node(true))
	}
	out.put("docs", made)
	return nil
}

// toRepeat lists a record and what lies below it, what is named before what names it, with the id that
// the copy of each gets.
func toRepeat(in *node, old *document, docs []*document) (ids map[string]string, list []*document, f *RecordError) {
	ids = map[string]string{}
	ms, _ := digits(in.get("ms").text)
	add := func(d *document) {
		var problem *RecordError
		ids[d.id], problem = NewID(d.kind, ms, in.str("chance"), len(list))
		f = problem
		list = append(list, d)
	}
	add(old)
	docs = arranged(docs, func(a, b *document) int { return compare(a.id, b.id) })
	for _, below := range [...][2]string{{"part", "job"}, {"feature", "part"}, {"setup", "job"}, {"step", "setup"}} {
		for _, d := range docs {
			if d.kind == below[0] && ids[d.text(below[1])] != "" && ids[d.id] == "" && !d.gone() {
				add(d)
			}
		}
	}
	return ids, list, f
}

// again copies a record, with some fields set otherwise and links to what else is copied led there.
func (d *document) again(in *node, ids map[string]string, set *node) (*document, *RecordError) {
	a := author(in)
	a.again = true
	units := newObject()
	d.carry(set, units)
	for i, key := range units.keys {
		a.Units[key] = units.list[i].text
	}
	for i, key := range set.keys {
		if to := ids[set.list[i].text]; to != "" && key != "repeats" {
			set.list[i] = str(to)
		}
	}
	made := fresh(d.kind, ids[d.id], in.str("demo"))
	if faults := made.change(set, &a); faults != nil {
		return nil, &RecordError{faults[0].Field, "The old " + d.kind + " cannot be repeated as it is. " + faults[0].Message}
	}
	return made, nil
}

// left names fields specific to one run of a setup.
const left = "gone due when parttemp machinetemp wrong done who took expected"

// carry copies the repeated fields into set, with the unit they were typed in; values already in
// set stay.
func (d *document) carry(set, units *node) {
	k := KindOf(d.kind)
	for i := range k.Fields {
		def := &k.Fields[i]
		if hasWord(left, def.Key) || set.at(def.Key) >= 0 {
			continue
		}
		if def.Kind == Table {
			for _, r := range d.rows(def.Key) {
				v, unit := r.field.value()
				set.put(r.field.key, v)
				units.putText(r.field.key, unit)
			}
			continue
		}
		if v, unit := d.find(def.Key).value(); v.kind != null {
			set.put(def.Key, v)
			units.putText(def.Key, unit)
		}
	}
}

// expected makes rows of the last reading of each place and kind.
func expected(list []*document) *node {
	out := newArray()
	seen := map[string]int{}
	for _, d := range list {
		row := newObject()
		station := stationOf(d)
		row.put("station", str(station))
		for _, key := range [...]string{"x", "y", "value", "kind"} {
			row.putText(key, d.said(key))
		}
		key := station + "\x00" + d.text("kind")
		if at, ok := seen[key]; ok {
			out.list[at] = row
			continue
		}
		seen[key] = len(out.list)
		out.add(row)
	}
	return out
}

// stationOf names the place of a reading.
func stationOf(d *document) string {
	if s := d.text("station"); s != "" {
		return s
	}
	s := "x " + d.said("x")
	if y := d.said("y"); y != "" {
		s += ", y " + y
	}
	if s == "x " {
		return "unnamed"
	}
	return s
}
