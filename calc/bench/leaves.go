package bench

import (
	"slices"

	"datumbook/calc/units"
)

// Leaf is a shim thickness and the number owned.
type Leaf struct {
	Thick units.Length
	Have  int
}

// MostLeaves is the largest number of leaves a pack may have.
const MostLeaves = 12

// mostSteps bounds the table of sums.
const mostSteps = 24_000

// The errors of Leaves: what is wrong with the thicknesses, in words.
const (
	errNoLeaf Error = "no thickness is more than nothing"
	errMixed  Error = "these thicknesses have no common step that is coarse enough, as when inch and metric shims stand in one list"
)

// Error is a reason a search was refused.
type Error string

func (e Error) Error() string { return string(e) }

// Pack is a shim pack and how far it is from what was wanted.
type Pack struct {
	Stack
	Over units.Length // total less the wanted thickness
}

// Leaves finds, for each number of leaves from none up to most, the pack nearest to the wanted
// thickness that uses no more leaves than that and no more of each than are owned. Each pack of the
// answer is nearer than the one before; the first is empty. Of two packs equally near, the thinner
// is given.
//
// Method: dynamic programming over every sum that is a multiple of the common step, one kind after
// the other; exact, in whole steps.
func Leaves(want units.Length, owned []Leaf, most int) ([]Pack, error) {
	step, thickest := units.Length(0), units.Length(0)
	for _, l := range owned {
		if l.Thick > 0 && l.Have > 0 {
			step, thickest = gcd(step, l.Thick), max(thickest, l.Thick)
		}
	}
	if step == 0 {
		return nil, errNoLeaf
	}
	most = min(most, MostLeaves)
	top := int(min(max(want, 0)+thickest, units.Length(most)*thickest) / step)
	if top > mostSteps {
		return nil, errMixed
	}
	t := newTable(top)
	for i, l := range owned {
		if l.Thick > 0 {
			t.add(i, int(l.Thick/step), min(l.Have, most))
		}
	}
	// The nearest sum for each number of leaves.
	var out []Pack
	for n := 0; n <= most; n++ {
		best := -1
		for sum, c := range t.fewest {
			if int(c) > n {
				continue
			}
			if best < 0 || size(units.Length(sum)*step-want) < size(units.Length(best)*step-want) {
				best = sum
			}
		}
		total := units.Length(best) * step
		if len(out) > 0 && size(total-want) >= size(out[len(out)-1].Over) {
			continue
		}
		out = append(out, Pack{Stack{t.pack(best, owned), total}, total - want})
	}
	return out, nil
}

func size(l units.Length) units.Length { return max(l, -l) }

// table holds the fewest leaves for every sum in steps, and the lots taken.
type table struct {
	fewest []uint8
	lots   []lot
}

// lot is some leaves of one kind taken together: 1, 2, 4 and so on, so that lots used once can form
// any number owned.
type lot struct {
	kind, count, steps int
	took               []uint64 // bit by sum: the lot lowered it
}

const never = 255

func newTable(top int) *table {
	t := &table{fewest: make([]uint8, top+1)}
	for i := range t.fewest {
		t.fewest[i] = never
	}
	t.fewest[0] = 0
	return t
}

func (t *table) add(kind, steps, have int) {
	for n := 1; have > 0; n *= 2 {
		n = min(n, have)
		have -= n
		l := lot{kind, n, n * steps, make([]uint64, len(t.fewest)/64+1)}
		for sum := len(t.fewest) - 1; sum >= l.steps; sum-- {
			if c := int(t.fewest[sum-l.steps]) + n; c < int(t.fewest[sum]) {
				t.fewest[sum] = uint8(c)
				l.took[sum/64] |= 1 << (sum % 64)
			}
		}
		t.lots = append(t.lots, l)
	}
}

// pack reconstructs the leaves of a sum.
func (t *table) pack(sum int, owned []Leaf) []units.Length {
	var out []units.Length
	for i := len(t.lots) - 1; i >= 0; i-- {
		l := t.lots[i]
		if l.took[sum/64]>>(sum%64)&1 == 1 {
			for range l.count {
				out = append(out, owned[l.kind].Thick)
			}
			sum -= l.steps
		}
	}
	slices.SortFunc(out, func(a, b units.Length) int { return order(b, a) })
	return out
}

// Choose takes the pack of fewest leaves that is within near of the wanted
// thickness, or the nearest where none is. packs is as Leaves gives them.
func Choose(packs []Pack, near units.Length) Pack {
	for _, p := range packs {
		if size(p.Over) <= near {
			return p
		}
	}
	return packs[len(packs)-1]
}
