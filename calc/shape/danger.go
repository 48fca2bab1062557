package shape

import (
	"math"

	"datumbook/calc/units"
)

// Danger is what a new hole comes nearest to.
type Danger struct {
	What What   // "" for the edge of the face
	Name string // of the place
	// Gap is the metal between; below nothing where they overlap.
	Gap units.Length
	// From and To are the ends of the gap, on the hole and on what it is near, X and Y.
	From, To [2]units.Length
	Side     string // of the face: left, right, bottom or top edge
}

// Nearest finds what a hole of a diameter at X and Y comes nearest to: the edges of the face, and every
// place on it whose room is known. A row that is being changed is passed over. ok is false on a face of
// which nothing is known.
func (f *Face) Nearest(x, y, dia units.Length, passed string) (d Danger, ok bool) {
	at := [2]units.Length{x, y}
	try := func(one Danger) {
		if !ok || one.Gap < d.Gap {
			d, ok = one, true
		}
	}
	if e, sized := f.Edge(); sized {
		for _, side := range [...]struct {
			name string
			to   [2]units.Length
			far  units.Length
		}{
			{"left edge", [2]units.Length{e.Left, y}, x - e.Left}, {"right edge", [2]units.Length{e.Right, y}, e.Right - x},
			{"bottom edge", [2]units.Length{x, e.Bottom}, y - e.Bottom}, {"top edge", [2]units.Length{x, e.Top}, e.Top - y},
		} {
			try(Danger{Side: side.name, Gap: side.far - dia/2, From: toward(at, side.to, dia/2), To: side.to})
		}
	}
	for i := range f.Places {
		p := &f.Places[i]
		b, room := p.Box()
		if !room || p.What == RibGone || p.What == Area || p.Table+"."+p.Row == passed {
			continue
		}
		one := Danger{What: p.What, Name: p.Name}
		if p.What.Round() {
			middle := [2]units.Length{p.X.Length, p.Y.Length}
			one.To = toward(middle, at, p.Dia.Length/2)
			one.Gap = apart(at, middle) - p.Dia.Length/2 - dia/2
		} else {
			one.To = [2]units.Length{min(max(x, b.Left), b.Right), min(max(y, b.Bottom), b.Top)}
			one.Gap = apart(at, one.To) - dia/2
			if one.To == at { // inside: as far as the nearest side, and the hole's half
				one.To, one.Gap = within(b, at)
				one.Gap = -one.Gap - dia/2
			}
		}
		one.From = toward(at, one.To, dia/2)
		try(one)
	}
	return d, ok
}

// Stations along a slot at which it is looked about: its ends, and between them closely enough for the
// second place of an inch.
const stations = 64

// NearestSlot is Nearest for what is longer than wide: a slot, a rib or a strip of a width and a length
// over all, its middle at X and Y. Its corners count as round, and its ends are exact.
func (f *Face) NearestSlot(x, y, wide, long units.Length, upright bool, passed string) (d Danger, ok bool) {
	if long <= wide {
		return f.Nearest(x, y, wide, passed)
	}
	for i := range stations + 1 {
		off := (long - wide) * units.Length(2*i-stations) / (2 * stations)
		one, known := Danger{}, false
		if upright {
			one, known = f.Nearest(x, y+off, wide, passed)
		} else {
			one, known = f.Nearest(x+off, y, wide, passed)
		}
		if known && (!ok || one.Gap < d.Gap) {
			d, ok = one, true
		}
	}
	return d, ok
}

// within is the nearest point on the outline of a box to one inside it, and how far that is.
func within(b Box, at [2]units.Length) (to [2]units.Length, far units.Length) {
	to, far = [2]units.Length{b.Left, at[1]}, at[0]-b.Left
	for _, side := range [...]struct {
		to  [2]units.Length
		far units.Length
	}{{[2]units.Length{b.Right, at[1]}, b.Right - at[0]}, {[2]units.Length{at[0], b.Bottom}, at[1] - b.Bottom},
		{[2]units.Length{at[0], b.Top}, b.Top - at[1]}} {
		if side.far < far {
			to, far = side.to, side.far
		}
	}
	return to, far
}

// apart is how far two points are from each other.
func apart(a, b [2]units.Length) units.Length {
	return units.Length(math.Round(math.Hypot(float64(b[0]-a[0]), float64(b[1]-a[1]))))
}

// toward is the point a way off a on the line to b.
func toward(a, b [2]units.Length, way units.Length) [2]units.Length {
	n := math.Hypot(float64(b[0]-a[0]), float64(b[1]-a[1]))
	if n == 0 {
		return a
	}
	for i := range a {
		a[i] += units.Length(math.Round(float64(b[i]-a[i]) / n * float64(way)))
	}
	return a
}
