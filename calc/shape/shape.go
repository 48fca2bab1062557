package shape

import "datumbook/calc/units"

// Size is a length as it stands in a record: exact, and as it was typed, with its unit. The zero
// Size is one that is not known.
type Size struct {
	Length units.Length
	Text   string
}

// Known reports whether it was written down and can be read.
func (s Size) Known() bool { return s.Text != "" }

// What is the kind of a place.
type What string

// The kinds of places on a face. Tapped, Clear, Slot and Tee take bolts; the others keep new holes
// off, but for a rib that was taken off.
const (
	Tapped  What = "tapped"
	Clear   What = "clear"
	Dowel   What = "dowel"
	Bore    What = "bore"
	Plugged What = "plug"
	Hole    What = "hole" // whose kind nobody wrote down
	Slot    What = "slot"
	Tee     What = "tee"
	Rib     What = "rib"
	Groove  What = "groove"
	Repair  What = "repair"
	RibGone What = "ribgone"
	Keep    What = "keep" // to be kept clear
	Other   What = "other"
	Boss    What = "boss"
	Area    What = "area" // a face of the part on the face
)

// Round reports whether a place is a circle.
func (w What) Round() bool {
	switch w {
	case Tapped, Clear, Dowel, Bore, Plugged, Hole, Boss:
		return true
	}
	return false
}

// Words names it in a sentence.
func (w What) Words() string {
	switch w {
	case Clear, Tapped, Hole:
		return "hole"
	case Plugged:
		return "plug"
	case Tee:
		return "T-slot"
	case Keep, Other:
		return "place kept clear"
	}
	return string(w)
}

// Place is something on a face: its middle, and the room it takes.
type Place struct {
	Table, Row string // where it stands in its record, or
	ID         string // the record that it is
	Name       string
	What       What
	X, Y       Size
	Dia        Size   // of what is round
	Wide, High Size   // along X and along Y, of what is not
	Runs       string // of what is long: "y" up the face, else along it
	Thread     string
	Along      [3]Size // of a feature: in the axes of its part
	Says       string  // its sizes in words
	Note       Note
}

// Lie gives the room of what is long, by the way it runs.
func (p *Place) Lie(across, long Size) {
	p.Wide, p.High = long, across
	if p.Runs == "y" {
		p.Wide, p.High = across, long
	}
}

// Across and Long are the sizes of what is long, whichever way it runs.
func (p *Place) Across() Size {
	if p.Runs == "y" {
		return p.Wide
	}
	return p.High
}

// Long is its length over the ends.
func (p *Place) Long() Size {
	if p.Runs == "y" {
		return p.High
	}
	return p.Wide
}

// Note is why a place is there, and for what.
type Note struct{ Why, When, Job string }

// Set reports whether its middle is known.
func (p *Place) Set() bool { return p.X.Known() && p.Y.Known() }

// Box is the room it takes; ok is false where that is not known.
func (p *Place) Box() (b Box, ok bool) {
	wide, high := p.Wide, p.High
	if p.What.Round() {
		wide, high = p.Dia, p.Dia
	}
	x, y := p.X.Length, p.Y.Length
	b = Box{x - wide.Length/2, y - high.Length/2, x + wide.Length/2, y + high.Length/2}
	return b, p.Set() && wide.Known() && high.Known()
}

// Face is one face of a fixture or of a part, looked at.
type Face struct {
	Name                     string
	Look                     string // of a part: "+z" is its top
	Wide, High, Left, Bottom Size
	Places                   []Place
}

// Edge is the face's outline; ok is false where its size is not known. Where nobody wrote down where
// its edges lie, its lower left corner is zero.
func (f *Face) Edge() (b Box, ok bool) {
	l, low := f.Left.Length, f.Bottom.Length
	return Box{l, low, l + f.Wide.Length, low + f.High.Length}, f.Wide.Known() && f.High.Known()
}

// Box is left, bottom, right and top.
type Box struct{ Left, Bottom, Right, Top units.Length }

// Wide and High are its size.
func (b Box) Wide() units.Length { return b.Right - b.Left }

// High is how high it is.
func (b Box) High() units.Length { return b.Top - b.Bottom }

// Fixture is a fixture: its faces, and its outer size.
type Fixture struct {
	Kind                    string
	Long, Wide, High, Thick Size
	Faces                   []Face
}

// Body is a box that stands in a setup: X along the table, Y toward the column, Z up from the table.
type Body struct {
	Of   string // part, plate, base or cutter
	ID   string
	Name string
	Low  [3]units.Length
	Top  [3]units.Length
}

// Scene is a setup: the bodies on the table, and where the zero of the fixture's face lies, in the
// plane of that face.
type Scene struct {
	Bodies []Body
	Face   *Face // that the part is bolted to; nil where there is none
	Zero   [3]units.Length
	Used   []string // rows of the holes that the bolts are in
}

// Find gives the body that is the part, the plate, the base or the cutter.
func (s *Scene) Find(of string) (Body, bool) {
	for _, b := range s.Bodies {
		if b.Of == of {
			return b, true
		}
	}
	return Body{}, false
}
