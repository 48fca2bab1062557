package jobbook

import (
	"strconv"

	"datumbook/calc/units"
)

// sides names where a face looks, as the worksheet of the chain does.
var sides = map[string]string{"+x": "right", "-x": "left", "+y": "back", "-y": "front", "+z": "top", "-z": "bottom"}

// assumed is what is assumed where nothing was read: limits either way, over a
// length ("" is the seat), about an axis of the machine. Common practice, no
// published source.
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

// chain takes a job's setups in order, with what is known or assumed of the
// errors of each, and the faces they finish. A face is finished in the last
// setup with a step that names it. One plate or one machine that serves twice
// is one error: its rows carry one mark.
func (c *context) chain(job *document) {
	setups := arranged(c.all("setup", "job", job.id), byOrder)
	setups = setups[:min(len(setups), 12)]
	finished := map[string]int{}
	var faces []*document
	for i, s := range setups {
		for _, step := range c.all("step", "setup", s.id) {
			if f := c.link(step, "feature"); f != nil && f.text("looks") != "" {
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
	e := errors{context: c, job: job, marks: map[string]bool{}, swept: map[string]string{}}
	var rows, finish cells
	for i, s := range setups {
		e.add(i+1, s)
		seat := c.link(s, "seat")
		before, long, looks := 0, "", ""
		if seat != nil {
			long, looks = first(seat.said("long"), seat.said("nominal")), seat.text("looks")
			if n := finished[seat.id]; n <= i {
				before = n
			}
		}
		rows.row(s.name(), sides[first(s.text("downside"), looks)], strconv.Itoa(before), first(long, "12 in"), first(s.text("turn"), "0"))
	}
	for _, f := range faces {
		to := 0
		for i, other := range faces {
			if other.id == f.text("to") {
				to = i + 1
			}
		}
		kind, long := "face", first(f.said("long"), f.said("nominal"), f.said("wide"), "12 in")
		if f.text("kind") != "face" {
			kind, long = "holes", first(f.said("depth"), long)
		}
		finish.row(f.name(), strconv.Itoa(finished[f.id]), sides[f.text("looks")], kind, strconv.Itoa(to), long, f.said("square"))
	}
	label := "all assumed: nothing was read yet"
	if len(e.read) > 0 {
		read := ""
		for _, what := range e.read {
			read = joined(read, ", ", what)
		}
		label = "read: " + read + "; the rest assumed"
	}
	c.put("setups", string(rows.text), job.name())
	c.put("causes", string(e.causes.text), label)
	c.put("faces", string(finish.text), job.name())
}

// errors gathers the errors of the setups.
type errors struct {
	*context
	job    *document
	causes cells
	rows   int
	read   []string          // what was read, in words
	marks  map[string]bool   // errors met, by what they are of and their axis
	swept  map[string]string // by machine: the setup in which its head was swept
}

// cause is one error: its size with what it is sure within, over a length.
type cause struct{ axis, value, within, over string }

// add takes one setup's errors: what was read of them, else what is assumed.
func (e *errors) add(n int, s *document) {
	fixture, machine := e.link(s, "fixture"), e.link(s, "machine")
	upright := fixture != nil && fixture.text("kind") == "angle"
	number := strconv.Itoa(n)
	for _, a := range assumed {
		of := cause{a.axis, "", a.limit, a.over}
		var carrier *document
		label := a.what
		switch a.what {
		case "plate":
			if !upright {
				continue
			}
			carrier = fixture
			of.slope(fixture)
		case "tram":
			if !upright {
				of.axis = "y"
			}
			r := e.result("tram", s, "total", "sure", "length")
			if r != nil && r[1] != 0 && r[2] != 0 { // what rises to the right turns it clockwise, from above or from behind
				of.value, of.within, of.over = inches(-r[0]), inches(r[1]), inches(r[2])
			}
		case "head":
			carrier = machine
			id := ""
			if machine != nil {
				id = machine.id
			}
			if r := e.result("sweep", s, "tiltx", "tilty", "sure", "dia"); r != nil && r[2] != 0 && r[3] != 0 {
				tilt := -r[1]
				if of.axis == "y" { // the top leans to the side that reads nearer: to the back lowers the back
					tilt = r[0]
				}
				of.value, of.within, of.over = inches(tilt*r[3]), inches(r[2]), inches(r[3])
				e.swept[id] = " " + number
			}
			label += e.swept[id]
		case "way":
			carrier = machine
		}
		if said := a.what + " of set-up " + number; of.value != "" && !has(e.read, said) {
			e.read = append(e.read, said)
		}
		mark := ""
		if carrier != nil {
			mark = first(carrier.text("tag"), carrier.name()) + " " + label
			if e.marks[mark+of.axis] {
				of.value, of.within, of.over = "", "", ""
			}
			e.marks[mark+of.axis] = true
		}
		if e.rows++; e.rows <= 60 {
			e.causes.row(number, a.what, of.axis, of.value, of.within, of.over, mark)
		}
	}
}

// slope takes how far a plate is out of square: the rise, and the length it is over.
func (of *cause) slope(plate *document) {
	said := plate.said("square")
	for _, per := range [...][3]string{{"/ft", "12 in", "0.0002 in"}, {"/m", "1000 mm", "0.02 mm"}, {"/in", "1 in", "0.00002 in"}} {
		if rise, ok := cutEnd(said, per[0]); ok {
			of.value, of.over, of.within = rise, per[1], per[2]
		}
	}
}

func cutEnd(s, end string) (string, bool) {
	if n := len(s) - len(end); n >= 0 && s[n:] == end {
		return trim(s[:n]), true
	}
	return s, false
}

// result gives numbers of the answer last kept with a setup, in inches or
// inches in an inch; nil where one of them is not there.
func (e *errors) result(sheet string, setup *document, keys ...string) []float64 {
	answer := none
	for _, k := range e.all("kept", "job", e.job.id) {
		if k.text("worksheet") != sheet || k.text("setup") != setup.id {
			continue
		}
		if v := k.value("answer"); v.kind == object {
			answer = v
		} else {
			e.bring(k.id)
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
