package align

import (
	"datumbook/calc/fitting"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Pack is a stack of shims. Leaves are listed thickest first.
type Pack struct {
	Leaves []units.Length
	Total  units.Length
}

// Over is the pack's total minus the wanted thickness.
func (p Pack) Over(want units.Length) units.Length { return p.Total - want }

func abs(l units.Length) units.Length { return max(l, -l) }

// Packs finds, for each number of leaves from 0 to most, the pack nearest to want. Each thickness
// may be used up to each times. Of two packs equally near, the thinner total wins, then the thicker
// leaves. Numbers of leaves that the owned shims cannot make are missing at the end of the list.
//
// The search is exact, in whole picometres: every pack is tried that could beat
// what was found. owned must hold no thickness below 1; its order does not
// matter.
func Packs(owned []units.Length, each, most int, want units.Length) []Pack {
	s := search{want: want, each: each, most: most}
	for _, t := range owned { // thickest first, each once
		s.owned = insert(s.owned, t)
	}
	s.best = make([]Pack, most+1)
	s.found = make([]bool, most+1)
	s.path = make([]units.Length, 0, most)
	s.found[0] = true
	s.from(0, 0)
	n := 0
	for n <= most && s.found[n] {
		n++
	}
	return s.best[:n]
}

func insert(list []units.Length, t units.Length) []units.Length {
	at := len(list)
	for i, have := range list {
		if have == t {
			return list
		}
		if have < t {
			at = i
			break
		}
	}
	list = append(list, 0)
	copy(list[at+1:], list[at:])
	list[at] = t
	return list
}

type search struct {
	owned      []units.Length
	want       units.Length
	each, most int
	best       []Pack
	found      []bool
	path       []units.Length
}

// from scores the path and adds leaves of thickness owned[i] and thinner to it.
func (s *search) from(i int, sum units.Length) {
	n := len(s.path)
	if n > 0 && (!s.found[n] || better(sum, s.best[n].Total, s.want)) {
		s.best[n] = Pack{append([]units.Length(nil), s.path...), sum}
		s.found[n] = true
	}
	if n == s.most {
		return
	}
	used := 0
	for k := n - 1; k >= 0 && s.path[k] == s.owned[i]; k-- {
		used++
	}
	for k := i; k < len(s.owned) && s.hope(k, sum); k++ {
		if k == i && used >= s.each {
			continue
		}
		s.path = append(s.path, s.owned[k])
		s.from(k, sum+s.owned[k])
		s.path = s.path[:n]
	}
}

// hope reports whether more leaves, of thickness owned[i] at most, could still improve or fill any
// entry of the list.
func (s *search) hope(i int, sum units.Length) bool {
	n := len(s.path)
	thin := s.owned[len(s.owned)-1]
	for k := n + 1; k <= s.most; k++ {
		if !s.found[k] {
			return true
		}
		more := units.Length(k - n)
		low, high := sum+more*thin, sum+more*s.owned[i]
		near := abs(s.best[k].Over(s.want))
		if near > 0 && low-s.want < near && s.want-high <= near {
			return true
		}
	}
	return false
}

// better says whether total a is nearer to want than total b, the thinner of
// two equally near.
func better(a, b, want units.Length) bool {
	da, db := abs(a-want), abs(b-want)
	return da < db || da == db && a < b
}

// Choose picks of the packs the one with the fewest leaves that comes within
// near of want, else the nearest, with fewest leaves of those.
func Choose(packs []Pack, want, near units.Length) Pack {
	best := packs[0]
	for _, p := range packs {
		if abs(p.Over(want)) <= near {
			return p
		}
		if abs(p.Over(want)) < abs(best.Over(want)) {
			best = p
		}
	}
	return best
}

// Foot is a support under the part and the lift it needs, inches.
type Foot struct{ X, Y, Lift float64 }

// Feet fits a plane to heights (a larger reading is a higher surface) and gives the lift under each
// foot that brings the surface level: the highest foot stays and no lift is negative.
func Feet(heights []fitting.Point3, feet []fitting.Point) ([]Foot, fitting.Plane, *worksheet.InputError) {
	p, err := fitting.FitPlane(heights, nil)
	if err != nil {
		return nil, p, worksheet.Refuse("readings", "Readings: "+err.Error()+". A plane needs three places that are not in one line.")
	}
	out := make([]Foot, len(feet))
	top := p.At(feet[0].X, feet[0].Y)
	for i, f := range feet {
		out[i] = Foot{f.X, f.Y, p.At(f.X, f.Y)}
		top = max(top, out[i].Lift)
	}
	for i := range out {
		out[i].Lift = top - out[i].Lift
	}
	return out, p, nil
}
