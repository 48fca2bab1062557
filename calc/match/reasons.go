package match

import (
	"math"
	"strings"

	"datumbook/calc/worksheet"
)

// maxReasons is how many faces are told of one by one.
const maxReasons = 20

// reasons says of each face, best first, why it does or does not: the faces that take the part,
// those that can be drilled, then the others in the order given. It returns those of the others.
func reasons(o *worksheet.Out, ask Ask, rules Rules, plates []Plate, f Found, plans []Drilling) (others []string) {
	var rows [][]worksheet.Cell
	told := make([]bool, len(plates))
	say := func(plate int, why string) {
		if told[plate] || len(rows) == maxReasons {
			return
		}
		told[plate] = true
		p := &plates[plate]
		rows = append(rows, worksheet.Cells("sss", []string{p.Fixture, p.Face, why}))
	}
	for _, w := range f.Ways {
		say(w.Plate, o.Fill("{=clear in} room", nil, w.Room))
	}
	for i := range plans {
		say(plans[i].Plate, o.Fill("drill {0}", nil, float64(len(plans[i].New))))
	}
	for i := range plates {
		if told[i] || len(rows) == maxReasons {
			continue
		}
		why := reason(o, ask, rules, &plates[i], f.Total > 0)
		others = append(others, plates[i].Fixture+" "+why)
		say(i, why)
	}
	o.SetTable("why", rows)
	return others
}

// reason says in a few words why a face does not take the part: as it is, or where nothing takes it,
// why it cannot be drilled for it either.
func reason(o *worksheet.Out, ask Ask, rules Rules, p *Plate, asIs bool) string {
	if over := narrow(ask, rules, p); over > 0 && !asIs {
		return o.Fill("too narrow by {=need in}", nil, over)
	}
	if !asIs && (p.Width <= 0 || p.Height <= 0) {
		return "size not typed"
	}
	if !asIs && p.Thick > 0 && p.Thick < ask.Spots[0].Bolt.Dia {
		return "too thin to drill"
	}
	for i := range ask.Spots {
		fits := false
		for j := range p.Places {
			_, ok := joint(&ask.Spots[i], &p.Places[j])
			fits = fits || ok
		}
		if !fits && len(p.Places) > 0 {
			bolt, _, _ := strings.Cut(ask.Spots[i].Bolt.Name, " ")
			return "no hole for " + bolt
		}
		if !fits {
			return "no holes yet"
		}
	}
	if off := nearest(ask, p); off < 1 {
		return o.Fill("holes {=need in} off", nil, off)
	}
	return worksheet.Either(asIs, "spacing differs", "no room to drill")
}

// narrow gives by how much the part's bolts, with their margins, are too far apart for the face,
// turned the better way; no more than nothing where they go on it or its size is not known.
func narrow(ask Ask, rules Rules, p *Plate) float64 {
	if p.Width <= 0 || p.Height <= 0 {
		return 0
	}
	lo, hi := vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}
	edge := 0.0
	for i := range ask.Spots {
		s := &ask.Spots[i]
		lo, hi = vec{min(lo.x, s.X), min(lo.y, s.Y)}, vec{max(hi.x, s.X), max(hi.y, s.Y)}
		edge = max(edge, margin(rules.Edge, usualEdge, s.Bolt.Dia))
	}
	w, h := hi.x-lo.x+float64(2*edge), hi.y-lo.y+float64(2*edge)
	return min(max(w-p.Width, h-p.Height), max(w-p.Height, h-p.Width))
}

// nearest gives how far the two bolts farthest apart are from the nearest pair of holes that would
// take them, beyond the room they have; infinite where slots take them, which have no distance.
func nearest(ask Ask, p *Plate) float64 {
	a, b, most := 0, 0, -1.0
	for i := range ask.Spots {
		for j := range i {
			if d := (vec{ask.Spots[i].X - ask.Spots[j].X, ask.Spots[i].Y - ask.Spots[j].Y}).size(); d > most {
				a, b, most = i, j, d
			}
		}
	}
	off := math.Inf(1)
	for i := range p.Places {
		q := &p.Places[i]
		one, ok := joint(&ask.Spots[a], q)
		if !ok || q.Kind == Slot || q.Kind == Tee {
			continue
		}
		for j := range p.Places {
			r := &p.Places[j]
			two, ok := joint(&ask.Spots[b], r)
			if i == j || !ok || r.Kind == Slot || r.Kind == Tee {
				continue
			}
			off = min(off, math.Abs((vec{q.X - r.X, q.Y - r.Y}).size()-most)-one-two)
		}
	}
	if off <= 0 {
		return math.Inf(1) // that pair goes: it is a third that does not
	}
	return off
}
