package bench

import (
	"slices"

	"datumbook/calc/units"
)

// Most is the largest number of blocks a stack may have.
const Most = 10

// budget bounds the steps of one search, so that a random list cannot block the phone. The usual
// sets stay far below it.
const budget = 200_000

// Stack is blocks wrung together, or leaves stacked.
type Stack struct {
	Blocks []units.Length // thickest first
	Total  units.Length
}

// Blocks finds the stack of fewest blocks that makes the height exactly, using at most the given
// number of blocks and none twice. A size listed twice in owned is two blocks. Sizes must be 1 or
// more. found is false where there is no such stack. sure is false where the search was cut short:
// a stack found may then not be the shortest, and one not found may exist.
//
// Method: every decimal of the height must come from blocks that have it, so blocks are tried
// finest first, and the rest must be a multiple of the remaining blocks' greatest common divisor
// and within their sums.
func Blocks(height units.Length, owned []units.Length, most int) (s Stack, found, sure bool) {
	f := newFinder(owned, min(most, Most))
	s, found = f.find(height)
	return s, found, f.left > 0
}

// finder holds the blocks finest first, and for each index the greatest common divisor of the
// blocks from there on and their largest and smallest sums of k.
type finder struct {
	sizes    []units.Length
	most     int
	measure  []units.Length
	big, low [][Most + 1]units.Length
	bySize   []place // by size, to find the last block of a stack at once
	twos     []two   // by sum of two blocks, once a search goes deep
	path     []units.Length
	left     int
}

// two is the pair of blocks with a sum whose first index is last.
type two struct {
	sum           units.Length
	first, second uint16
}

// place is the last index of a size in finder.sizes, or its coarseness.
type place struct {
	size units.Length
	at   int
}

func newFinder(owned []units.Length, most int) *finder {
	f := &finder{sizes: slices.Clone(owned), most: most, left: budget}
	all := units.Length(0)
	for _, b := range owned {
		all = gcd(all, b)
	}
	// A block is finer the fewer factors 2 and 5 its size has in common steps.
	ranked := make([]place, len(owned))
	for i, b := range owned {
		ranked[i] = place{b, coarseness(b / max(all, 1))}
	}
	slices.SortStableFunc(ranked, func(a, b place) int {
		if a.at != b.at {
			return a.at - b.at
		}
		return order(b.size, a.size)
	})
	for i, r := range ranked {
		f.sizes[i] = r.size
	}
	n := len(f.sizes)
	f.measure = make([]units.Length, n+1)
	f.big = make([][Most + 1]units.Length, n+1)
	f.low = make([][Most + 1]units.Length, n+1)
	for i, b := range f.sizes {
		f.bySize = append(f.bySize, place{b, i})
	}
	slices.SortFunc(f.bySize, func(a, b place) int {
		if a.size != b.size {
			return order(a.size, b.size)
		}
		return b.at - a.at // the last one first, where a search ends
	})
	var tail []units.Length // sizes from i on, thickest first
	for i := n - 1; i >= 0; i-- {
		b := f.sizes[i]
		f.measure[i] = gcd(f.measure[i+1], b)
		at, _ := slices.BinarySearchFunc(tail, b, func(x, y units.Length) int { return order(y, x) })
		tail = slices.Insert(tail, at, b)
		for k := 1; k <= min(Most, len(tail)); k++ {
			f.big[i][k] = f.big[i][k-1] + tail[k-1]
			f.low[i][k] = f.low[i][k-1] + tail[len(tail)-k]
		}
	}
	return f
}

func order(a, b units.Length) int { return int(min(max(a-b, -1), 1)) }

// coarseness counts the factors 2 and 5 in n: 25 is coarser than 5, 5 than 3.
func coarseness(n units.Length) int {
	c := 0
	for n > 0 && n%10 == 0 {
		n, c = n/10, c+8
	}
	for n > 0 && n%5 == 0 {
		n, c = n/5, c+4
	}
	for n > 0 && n%2 == 0 && c < 63 {
		n, c = n/2, c+1
	}
	return c
}

func gcd(a, b units.Length) units.Length {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// find tries one block, then two, and so on: the first success has the fewest.
func (f *finder) find(height units.Length) (Stack, bool) {
	if height <= 0 {
		return Stack{}, false
	}
	for k := 1; k <= min(f.most, len(f.sizes)); k++ {
		if f.path = f.path[:0]; k == deep {
			f.pairUp()
		}
		if f.try(0, k, height) {
			s := slices.Clone(f.path)
			slices.SortFunc(s, func(a, b units.Length) int { return order(b, a) })
			return Stack{s, height}, true
		}
	}
	return Stack{}, false
}

// try chooses k blocks from place i on that make up rest.
func (f *finder) try(i, k int, rest units.Length) bool {
	if k == 1 {
		f.left--
		f.path = append(f.path, rest)
		return f.last(rest) >= i
	}
	if k == 2 && f.twos != nil {
		f.left--
		t := f.twos[f.slot(rest)]
		if t.sum != rest || int(t.first) < i {
			return false
		}
		f.path = append(f.path, f.sizes[t.first], f.sizes[t.second])
		return true
	}
	measure := units.Length(-1)
	for n := len(f.path); i+k <= len(f.sizes); i++ {
		if f.left--; f.left <= 0 || rest > f.big[i][k] || rest < f.low[i][k] {
			return false
		}
		if f.measure[i] != measure {
			if measure = f.measure[i]; rest%measure != 0 {
				return false
			}
		}
		if b := f.sizes[i]; b < rest {
			if f.path = append(f.path[:n], b); f.try(i+1, k-1, rest-b) {
				return true
			}
		}
	}
	return false
}

// deep is the number of blocks from which a table of all pairs pays off.
const deep = 5

// pairUp fills the table of pairs: open addressing, at most half full.
func (f *finder) pairUp() {
	n := len(f.sizes)
	if f.twos != nil || n > 500 {
		return
	}
	size := 4
	for size < n*n {
		size *= 2
	}
	f.twos = make([]two, size)
	for i := n - 1; i >= 0; i-- { // the last first wins
		for j := i + 1; j < n; j++ {
			sum := f.sizes[i] + f.sizes[j]
			if t := &f.twos[f.slot(sum)]; t.sum == 0 {
				*t = two{sum, uint16(i), uint16(j)}
			}
		}
	}
}

// slot finds the slot of a sum in the hash table.
func (f *finder) slot(sum units.Length) int {
	mask := uint64(len(f.twos) - 1)
	at := uint64(sum) * 0x9E3779B97F4A7C15 >> 32 & mask
	for f.twos[at].sum != 0 && f.twos[at].sum != sum {
		at = (at + 1) & mask
	}
	return int(at)
}

// last returns the last index of a size, or -1.
func (f *finder) last(size units.Length) int {
	lo, hi := 0, len(f.bySize)
	for lo < hi {
		m := (lo + hi) / 2
		if f.bySize[m].size < size {
			lo = m + 1
		} else {
			hi = m
		}
	}
	if lo < len(f.bySize) && f.bySize[lo].size == size {
		return f.bySize[lo].at
	}
	return -1
}

// Nearest finds the stacks next below and next above a height that cannot be made exactly. A stack
// without blocks means none on that side. sure is false where the search was cut short.
func Nearest(height units.Length, owned []units.Length, most int) (below, above Stack, sure bool) {
	f := newFinder(owned, min(most, Most))
	if len(f.sizes) == 0 {
		return below, above, true
	}
	step := f.measure[0]
	lo := (height - 1) / step * step
	if height < 1 {
		lo = 0
	}
	hi := (height/step + 1) * step
	// Single blocks and pairs bound the search.
	floor, ceiling := units.Length(0), f.big[0][min(f.most, len(f.sizes))]
	look := func(sum units.Length) {
		if sum < height {
			floor = max(floor, sum)
		} else if sum > height {
			ceiling = min(ceiling, sum)
		}
	}
	for i, a := range f.sizes {
		look(a)
		if f.most > 1 {
			for _, b := range f.sizes[:i] {
				look(a + b)
			}
		}
	}
	for h := min(lo, f.big[0][min(f.most, len(f.sizes))]); h >= floor && h > 0 && below.Blocks == nil && f.left > 0; h -= step {
		below, _ = f.find(h)
	}
	sure = f.left > 0
	f.left = budget
	for h := hi; h <= ceiling && above.Blocks == nil && f.left > 0; h += step {
		above, _ = f.find(h)
	}
	return below, above, sure && f.left > 0
}
