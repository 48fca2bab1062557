package jobbook

import (
	"strings"

	"datumbook/calc/shape"
)

// Where things are, read from the records: what drawings and worksheets take their numbers from.

func sizeOf(said string) shape.Size {
	l, ok := lengthOf(said)
	if !ok {
		return shape.Size{}
	}
	return shape.Size{Length: l, Text: said}
}

func (d *document) size(key string) shape.Size { return sizeOf(d.said(key)) }
func (l line) size(key string) shape.Size      { return sizeOf(l.said(key)) }

// fixture reads the faces of a fixture with the places on them. A rib, a place kept clear or a mark
// of a face without holes, slots and size stands on all faces that have them.
func (d *document) fixture() shape.Fixture {
	f := shape.Fixture{Kind: d.text("kind"),
		Long: d.size("long"), Wide: d.size("wide"), High: d.size("high"), Thick: d.size("thick")}
	face := func(name string) int {
		for i := range f.Faces {
			if f.Faces[i].Name == name {
				return i
			}
		}
		return -1
	}
	for _, table := range [...]string{"faces", "holes", "slots"} {
		for _, l := range d.lines(table) {
			at := face(l.text("face"))
			if at < 0 {
				at = len(f.Faces)
				f.Faces = append(f.Faces, shape.Face{Name: l.text("face")})
			}
			if one := &f.Faces[at]; table == "faces" && !one.Wide.Known() && !one.High.Known() {
				one.Wide, one.High, one.Left, one.Bottom = l.size("wide"), l.size("high"), l.size("left"), l.size("bottom")
			}
		}
	}
	for _, table := range placeTables {
		for _, l := range d.lines(table) {
			p := placeOf(table, l)
			if at := face(l.text("face")); at >= 0 {
				f.Faces[at].Places = append(f.Faces[at].Places, p)
				continue
			}
			for i := range f.Faces {
				f.Faces[i].Places = append(f.Faces[i].Places, p)
			}
		}
	}
	return f
}

// placeTables are those of a fixture whose rows are places on a face.
var placeTables = [...]string{"holes", "slots", "ribs", "keepout", "marks"}

// placeOf reads a row of a fixture as a place.
func placeOf(table string, l line) shape.Place {
	p := shape.Place{Table: table, Row: l.row, Name: l.text("name"), X: l.size("x"), Y: l.size("y"), Runs: l.text("runs"),
		Note: shape.Note{Why: l.text("why"), When: l.text("when"), Job: l.text("job")}}
	says := []string{}
	say := func(name, said string) {
		if said != "" {
			says = append(says, trim(name+" "+said))
		}
	}
	switch table {
	case "holes":
		p.What, p.Dia, p.Thread = shape.What(l.text("kind")), l.size("dia"), l.text("thread")
		if p.What == "" {
			p.What = shape.Hole
		}
		if dia, _ := screw(p.Thread); dia > 0 && p.What == shape.Tapped {
			p.Dia = shape.Size{Length: dia, Text: p.Thread}
		}
		say("", p.Dia.Text)
		say("depth", l.said("depth"))
		say("full thread", l.said("full"))
		if l.v.get("through").yes() {
			say("through", " ")
		}
	case "slots":
		p.What = shape.Slot
		if l.text("kind") == "tee" {
			p.What = shape.Tee
		}
		p.Lie(l.size("wide"), l.size("long"))
		say("", l.said("wide"))
		say("long", l.said("long"))
		say("depth", l.said("depth"))
	case "ribs":
		p.What = shape.Rib
		p.Lie(l.size("thick"), l.size("long"))
		say("thickness", l.said("thick"))
		say("length", l.said("long"))
	default:
		p.What, p.Wide, p.High = shape.Keep, l.size("wide"), l.size("high")
		if table == "marks" {
			p.What = shape.What(l.text("kind"))
		}
		say("width", l.said("wide"))
		say("height", l.said("high"))
		say("depth", l.said("depth"))
	}
	p.Says = strings.Join(says, ", ")
	return p
}

// part reads the faces of a part with the features on them, in the part's own axes: of a face that
// looks left or right X is across and Y up, of one that looks to the front or the back X is along.
func (c *context) faces(part *document) []shape.Face {
	size := [3]shape.Size{part.size("long"), part.size("wide"), part.size("high")}
	var out []shape.Face
	for _, f := range c.features(part) {
		look, name := f.text("looks"), f.text("face")
		at := -1
		for i := range out {
			if out[i].Name == name && (look == "" || out[i].Look == "" || out[i].Look == look) {
				at = i
				out[i].Look = first(out[i].Look, look)
			}
		}
		if at < 0 {
			at = len(out)
			out = append(out, shape.Face{Name: name, Look: look})
		}
		out[at].Places = append(out[at].Places, featurePlaces(f)...)
	}
	for i := range out {
		f := &out[i]
		if len(f.Look) != 2 {
			continue
		}
		a, b := plane(f.Look)
		f.Wide, f.High = size[a], size[b]
		for j := range f.Places {
			p := &f.Places[j]
			// Where only X and Y were written they are those of the face as it is looked at.
			if p.Along[a].Known() && p.Along[b].Known() {
				p.X, p.Y = p.Along[a], p.Along[b]
			}
		}
		f.Left, f.Bottom = startOf(f, true), startOf(f, false)
	}
	return out
}

// plane gives the axes of the part that lie in a face: to the right and up.
func plane(look string) (right, up int) {
	switch look[1] {
	case 'x':
		return 1, 2
	case 'y':
		return 0, 2
	}
	return 0, 1
}

// startOf is where the lower end of a face lies, counted as its places are: in the part's corner, or
// where a place lies below nothing, half its size below.
func startOf(f *shape.Face, along bool) shape.Size {
	whole, below := f.High, false
	if along {
		whole = f.Wide
	}
	for i := range f.Places {
		at := f.Places[i].Y
		if along {
			at = f.Places[i].X
		}
		below = below || at.Length < 0
	}
	if !below {
		return shape.Size{}
	}
	l := -whole.Length / 2
	return shape.Size{Length: l, Text: telling(l, whole.Text)}
}

// featurePlaces are the places of a feature: its own and those where it is the same again.
func featurePlaces(f *document) []shape.Place {
	p := shape.Place{ID: f.id, Name: f.text("name"),
		Along: [3]shape.Size{f.size("x"), f.size("y"), f.size("z")}, Runs: f.text("runs")}
	dia := f.size("nominal")
	switch f.text("kind") {
	case "tapped":
		p.What, p.Thread = shape.Tapped, f.text("thread")
		if d, _ := screw(p.Thread); d > 0 {
			dia = shape.Size{Length: d, Text: p.Thread}
		}
	case "hole":
		p.What = shape.Clear
	case "bore", "ring":
		p.What = shape.Bore
	case "boss":
		p.What = shape.Boss
	case "slot":
		p.What = shape.Slot
		across := dia
		if !across.Known() {
			across = f.size("wide")
		}
		p.Lie(across, f.size("long"))
	default:
		p.What, p.Wide, p.High = shape.Area, f.size("long"), f.size("wide")
	}
	p.Dia = dia
	p.Says = first(p.Thread, dia.Text)
	p.X, p.Y = p.Along[0], p.Along[1]
	out := []shape.Place{p}
	for _, l := range f.lines("also") {
		p.Along = [3]shape.Size{l.size("x"), l.size("y"), {}}
		p.X, p.Y = p.Along[0], p.Along[1]
		out = append(out, p)
	}
	return out
}
