package jobbook

import (
	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// opReadings compares new readings with the expected ones, station by station:
// {"setup":doc,"docs":[readings],"limit":length,"unit"} gives
// {"rows":[{"station","kind","expected","found","difference","beyond"}],"beyond":n}. A difference
// is beyond the limit, or without one beyond the new reading's uncertainty. If one side is missing
// there is no difference.
func opReadings(_ *Session, in, out *node) *RecordError {
	setup, f := one(in, "setup")
	if f != nil {
		return f
	}
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	sys := in.str("unit")
	limit, given, f := limitOf(in.str("limit"), sys)
	if f != nil {
		return f
	}
	def := KindOf("setup").Field("expected")
	rows, beyond := newArray(), 0
	list := readings(docs, "", setup.id, nil)
	used := make([]bool, len(list))
	value := KindOf("reading").Field("value")
	for _, r := range setup.rows("expected") {
		v, unit := r.field.value()
		row := newObject().putStr("station", v.str("station")).putText("kind", v.str("kind"))
		typed := v.get("value")
		row.putStr("expected", saying(columnOf(def, "value"), typed, unit))
		var found *document
		for i, d := range list { // the last one counts; the others are shown in the list
			if stationOf(d) == v.str("station") && (v.str("kind") == "" || d.text("kind") == v.str("kind")) {
				found, used[i] = d, true
			}
		}
		if found != nil {
			row.putStr("found", found.said("value"))
			fv, funit := found.find("value").value()
			was, f1 := readNumber(columnOf(def, "value"), typed.text, unit)
			is, f2 := readNumber(value, fv.text, funit)
			if f1 == nil && f2 == nil {
				off := is.Length - was.Length
				row.putStr("difference", signed(off, sys))
				allowed, has := limit, given
				if sure, ok := found.length("unsure"); !has && ok {
					allowed, has = sure, true
				}
				if has && (off > allowed || -off > allowed) {
					row.putYes("beyond", true)
					beyond++
				}
			}
		}
		rows.add(row)
	}
	for i, d := range list {
		if !used[i] {
			row := newObject().putStr("station", stationOf(d)).putText("kind", d.text("kind"))
			rows.add(row.putStr("found", d.said("value")))
		}
	}
	out.put("rows", rows).put("beyond", whole(beyond))
	return nil
}

func limitOf(typed, sys string) (limit units.Length, given bool, f *RecordError) {
	if typed == "" {
		return 0, false, nil
	}
	dim := units.Span
	n, fault := shoptext.Parse(typed, dim, dim.Unit(system(sys)))
	if fault != nil {
		return 0, false, &RecordError{"limit", "Limit: " + fault.Says + " " + fault.Try}
	}
	if n.Length < 0 {
		return 0, false, &RecordError{"limit", "Limit: '" + short(typed) + "' is less than nothing. Type 0 or more."}
	}
	return n.Length, true, nil
}

func columnOf(def *Field, key string) *Field {
	for i := range def.Columns {
		if def.Columns[i].Key == key {
			return &def.Columns[i]
		}
	}
	return &def.Columns[0]
}

// length reads a length field.
func (d *document) length(key string) (units.Length, bool) {
	v, unit := d.find(key).value()
	def := KindOf(d.kind).Field(key)
	if v.kind == null || def == nil {
		return 0, false
	}
	n, fault := readNumber(def, v.text, unit)
	return n.Length, fault == nil
}

// signed writes a difference as a machinist reads it: thousandths with a sign.
func signed(l units.Length, sys string) string {
	x, unit, places := l.Inches()*1000, " thou", 2
	if sys == "mm" {
		x, unit, places = l.MM()*1000, " um", 1
	}
	d, ok := units.Round(x, places)
	if !ok {
		return ""
	}
	s := d.Trim()
	if d.Units > 0 {
		s = "+" + s
	}
	return s + unit
}

// opFound compares the results with the plan of a stored worksheet: {"doc"} gives
// {"rows":[{"row","what","planned","found","difference","unit"}]}.
func opFound(_ *Session, in, out *node) *RecordError {
	d, f := one(in, "doc")
	if f != nil {
		return f
	}
	answer := d.value("answer")
	results := answer.get("results")
	rows := newArray()
	for _, r := range d.rows("found") {
		v, _ := r.field.value()
		what, found := v.str("what"), plain(v.get("value"))
		planned := results.get(what)
		row := newObject().putStr("row", r.id).putStr("what", what)
		told := planned.str("shown")
		if told == "" {
			told = planned.str("text")
		}
		row.putText("planned", told).putStr("found", found)
		if off, unit, ok := difference(planned, found); ok {
			row.putStr("difference", off).putText("unit", unit)
		}
		rows.add(row)
	}
	out.put("rows", rows)
	return nil
}

// difference returns found minus planned as it was told on its dial, in the plan's unit.
func difference(planned *node, found string) (off, unit string, ok bool) {
	name := planned.str("unit")
	value := planned.get("value")
	if value.kind != number {
		return "", "", false
	}
	for dim := units.None; dim <= units.Percent; dim++ {
		for _, u := range dim.Units() {
			if u.Name != name {
				continue
			}
			is, fault := shoptext.ParseKept(found, dim, u)
			was, bad := shoptext.ParseKept(planned.str("shown"), dim, u)
			if bad != nil {
				was, bad = shoptext.ParseKept(value.text, dim, u)
			}
			if fault != nil || bad != nil {
				return "", "", false
			}
			x := u.FromBase(is.Base()) - u.FromBase(was.Base())
			d, fine := units.Round(x, u.Places())
			if !fine {
				return "", "", false
			}
			s := d.Trim()
			if d.Units > 0 {
				s = "+" + s
			}
			return s, name, true
		}
	}
	return "", "", false
}
