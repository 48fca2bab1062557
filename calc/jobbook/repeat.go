package jobbook

// opRepeat makes a setup again for another job: {"setup":doc,"docs":[steps and
// readings],"job":id,"part":id,"ms","chance","device","by","at","demo"} gives {"docs":[the new
// setup and its steps]}. The readings of the old one become what is expected; ticks, dates and
// temperatures are dropped.
func opRepeat(_ *Session, in, out *node) *RecordError {
	old, f := one(in, "setup")
	if f != nil {
		return f
	}
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	if old.kind != "setup" {
		return &RecordError{"setup", "That is not a setup. Choose the setup to repeat."}
	}
	ms, _ := digits(in.get("ms").text)
	made := newArray()
	var setupID string
	again := func(from *document, set *node) *RecordError {
		id, f := NewID(from.kind, ms, in.str("chance"), len(made.list))
		if f != nil {
			return f
		}
		if setupID == "" {
			setupID = id
		} else {
			set.put("setup", str(setupID))
		}
		a := author(in)
		a.again = true
		units := newObject()
		from.carry(set, units)
		for i, key := range units.keys {
			a.Units[key] = units.list[i].text
		}
		d := fresh(from.kind, id, in.str("demo"))
		if faults := d.change(set, &a); faults != nil {
			return &RecordError{faults[0].Field, "The old " + from.kind + " cannot be repeated as it is. " + faults[0].Message}
		}
		made.add(d.node(true))
		return nil
	}
	set := newObject()
	set.put("repeats", str(old.id))
	set.put("state", str("planned"))
	set.putText("job", in.str("job"))
	set.putText("part", in.str("part"))
	set.put("expected", expected(readings(docs, "", old.id, nil)))
	if f := again(old, set); f != nil {
		return f
	}
	for _, d := range arranged(docs, func(a, b *document) int { return compare(a.id, b.id) }) {
		if d.kind != "step" || d.text("setup") != old.id || d.gone() {
			continue
		}
		if f := again(d, newObject()); f != nil {
			return f
		}
	}
	out.put("docs", made)
	return nil
}

// left names fields specific to one run of a setup.
const left = "gone when parttemp machinetemp wrong done who expected"

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
