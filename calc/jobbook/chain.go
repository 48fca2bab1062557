package jobbook

import (
	"strconv"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// sides names the direction a face points in, as the chain worksheet does.
var sides = map[string]string{"+x": "right", "-x": "left", "+y": "back", "-y": "front", "+z": "top", "-z": "bottom"}

// assumed is the default where nothing was measured: limits either way, over a length ("" is the
// seat), about an axis of the machine. Common practice, no published source.
var assumed = [...]struct{ what, axis, limit, over string }{
	{"seat", "x", "0.0005 in", ""},
	{"seat", "y", "0.0005 in", ""},
	{"plate", "x", "0.0005 in", "12 in"},
	{"tram", "z", "0.0005 in", "12 in"},
	{"head", "x", "0.0005 in", "12 in"},
	{"head", "y", "0.0005 in", "12 in"},
	{"way", "x", "0.0003 in", "12 in"},
	{"heat", "x", "0.0002 in", ""},
}

// order is a setup's number; setups without one come last.
func (d *document) order() float64 {
	n, f := shoptext.ParseKept(d.text("order"), units.None, units.None.Unit(units.InchSystem))
	if f != nil {
		return 1e300
	}
	return n.Value
}

// chain fills in a job's setups in order, with the measured or assumed errors of each, and the
// faces they finish. A face is finished in the last setup with a step that names it.
func (c *context) chain(job *document) {
	setups := arranged(c.all("setup", "job", job.id), func(a, b *document) int {
		if a.order() < b.order() {
			return -1
		}
		if a.order() > b.order() {
			return 1
		}
		return byMade(a, b)
	})
	setups = setups[:min(len(setups), 12)]
	finished := map[string]int{}
	var faces []*document
	for i, s := range setups {
		for _, step := range c.all("step", "setup", s.id) {
			if f := c.link(step, "feature"); f.text("looks") != "" {
				if finished[f.id] == 0 {
					faces = append(faces, f)
				}
				finished[f.id] = i + 1
			}
		}
	}
	faces = arranged(faces, func(a, b *document) int {
		if d := finished[a.id] - finished[b.id]; d != 0 {
			return d
		}
		return byMade(a, b)
	})
	faces = faces[:min(len(faces), 12)]
	e := causes{context: c, job: job, marks: map[string]bool{}, swept: map[string]string{}}
	var rows, finish cells
	for i, s := range setups {
		e.add(strconv.Itoa(i+1), s)
		seat := c.link(s, "seat")
		before := finished[seat.id]
		if before > i {
			before = 0
		}
		down := sides[first(s.text("downside"), seat.text("looks"))]
		rows.row(s.title(), down, strconv.Itoa(before), texts(seat, "long|nominal|=12 in")[0], texts(s, "turn|=0")[0])
	}
	for _, f := range faces {
		to, kind, long := 0, "face", "long|nominal|wide|=12 in"
		for i, other := range faces {
			if other.id == f.text("to") {
				to = i + 1
			}
		}
		if f.text("kind") != "face" {
			kind, long = "holes", "depth|"+long
		}
		finish.row(f.text("name"), strconv.Itoa(finished[f.id]), sides[f.text("looks")], kind, strconv.Itoa(to), texts(f,
			long)[0], f.said("square"))
	}
	label := "all assumed: nothing was read yet"
	if e.read != "" {
		label = "read: " + e.read + "; the rest assumed"
	}
	c.put("setups", string(rows.text), job.text("name"))
	c.put("causes", string(e.text), label)
	c.put("faces", string(finish.text), job.text("name"))
}

// causes collects the errors of the setups. A plate or machine used twice is one error: its rows
// have one mark.
type causes struct {
	*context
	cells
	job   *document
	rows  int
	read  string            // what was measured, in words
	marks map[string]bool   // by their object and axis
	swept map[string]string // by machine: the setup in which its head was swept
}

// add adds one setup's errors: as measured, else as assumed.
func (e *causes) add(number string, s *document) {
	fixture, machine := e.link(s, "fixture"), e.link(s, "machine")
	upright := fixture.text("kind") == "angle"
	told := ""
	for _, a := range assumed {
		axis, value, carrier, label := a.axis, "", nothing, a.what
		within, over := a.limit, a.over
		switch a.what {
		case "plate":
			if !upright {
				continue
			}
			carrier = fixture
			if rise, per := riseOf(fixture.said("square")); rise != "" {
				value, over, within = rise, per[0], per[1]
			}
		case "tram":
			if !upright {
				axis = "y"
			}
			r := e.result("tram", s, "total", "sure", "length")
			if r != nil && r[1] != 0 && r[2] != 0 { // rises right: clockwise from above/behind
				value, within, over = inches(-r[0]), inches(r[1]), inches(r[2])
			}
		case "head":
			carrier = machine
			if r := e.result("sweep", s, "tiltx", "tilty", "sure", "dia"); r != nil && r[2] != 0 && r[3] != 0 {
				tilt := -r[1]
				if axis == "y" { // the top leans to the nearer side: to the back lowers the back
					tilt = r[0]
				}
				value, within, over = inches(tilt*r[3]), inches(r[2]), inches(r[3])
				e.swept[machine.id] = " " + number
			}
			label += e.swept[machine.id]
		case "way":
			carrier = machine
		}
		if value != "" && told != a.what { // the two axes of one share a label
			told = a.what
			e.read = joined(e.read, ", ", a.what+" of set-up "+number)
		}
		mark := ""
		if carrier != nothing {
			mark = first(carrier.text("tag"), carrier.text("name")) + " " + label
			if e.marks[mark+axis] {
				value, within, over = "", "", ""
			}
			e.marks[mark+axis] = true
		}
		if e.rows++; e.rows <= 60 {
			e.row(number, a.what, axis, value, within, over, mark)
		}
	}
}

// riseOf returns the rise of a slope, its length, and its uncertainty.
func riseOf(said string) (rise string, per [2]string) {
	for _, p := range [...][3]string{{"/ft", "12 in", "0.0002 in"}, {"/m", "1000 mm", "0.02 mm"}, {"/in", "1 in",
		"0.00002 in"}} {
		if n := len(said) - len(p[0]); n > 0 && said[n:] == p[0] {
			return trim(said[:n]), [2]string{p[1], p[2]}
		}
	}
	return "", per
}

// result returns numbers of the answer last stored with a setup, in inches or in/in; nil if one is
// missing.
func (e *causes) result(sheet string, setup *document, keys ...string) []float64 {
	answer := none
	for _, k := range e.all("kept", "job", e.job.id) {
		if k.text("worksheet") != sheet || k.text("setup") != setup.id {
			continue
		}
		if v := k.value("answer"); v.kind == object {
			answer = v
		} else {
			e.lack("whole " + k.id)
		}
	}
	var out []float64
	for _, key := range keys {
		found := answer.get("results").get(key)
		x, err := strconv.ParseFloat(found.get("value").text, 64)
		if found.get("value").kind != number || err != nil {
			return nil
		}
		if u, ok := units.Span.Find(found.str("unit")); ok {
			x = u.ToBase(x) / 25.4
		} else if u, ok := units.Slope.Find(found.str("unit")); ok {
			x = u.ToBase(x) / 1000
		} else {
			return nil
		}
		out = append(out, x)
	}
	return out
}

func inches(x float64) string {
	d, _ := units.Round(x, 6)
	return d.Trim() + " in"
}
