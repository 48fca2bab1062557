package bench

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/units"
)

func TestSets(t *testing.T) {
	for key, want := range map[string]int{"in81": 81, "in36": 36, "mm47": 47, "mm88": 88, "mm112": 112} {
		blocks, ok := Set(key)
		require.True(t, ok)
		assert.Len(t, blocks, want, key)
		seen := map[units.Length]bool{}
		for _, b := range blocks {
			assert.False(t, seen[b], "%s has %v twice", key, b)
			seen[b] = true
		}
	}
	_, ok := Set("none")
	assert.False(t, ok)
}

// fewest counts, for every height in steps of the common measure, the fewest
// different blocks that make it: one block after the other is added to all
// heights already reached.
func fewest(blocks []units.Length, step, highest units.Length) []uint8 {
	n := make([]uint8, highest/step+1)
	for i := range n {
		n[i] = 255
	}
	n[0] = 0
	for _, b := range blocks {
		k := b / step
		for h := highest / step; h >= k; h-- {
			if c := n[h-k]; c < 254 && c+1 < n[h] {
				n[h] = c + 1
			}
		}
	}
	return n
}

// The search against every height there is, by another method: the count must
// be the fewest, and where there is no stack none must be claimed.
func TestEveryHeight(t *testing.T) {
	for _, row := range []struct {
		key           string
		step, highest units.Length
		every         int
	}{
		{"in81", in / 10000, 12 * in, 41},
		{"in36", in / 10000, 8 * in, 41},
		{"mm47", 5 * um, 200 * mm, 7},
		{"mm88", um / 2, 200 * mm, 211},
		{"mm112", um / 2, 200 * mm, 211},
	} {
		t.Run(row.key, func(t *testing.T) {
			owned, _ := Set(row.key)
			want := fewest(owned, row.step, row.highest)
			steps, cut := 0, 0
			f := newFinder(owned, 8)
			for h := 1; h < len(want); h++ {
				if h%row.every != 0 && h > 4000 {
					continue
				}
				f.left = budget
				s, found := f.find(units.Length(h) * row.step)
				steps = max(steps, budget-f.left)
				if f.left <= 0 {
					cut++
					continue
				}
				if want[h] > 8 {
					require.False(t, found, "height %d: %v", h, s)
					continue
				}
				require.True(t, found, "height %d", h)
				require.Len(t, s.Blocks, int(want[h]), "height %d: %v", h, s)
				honest(t, s, owned)
			}
			t.Logf("worst %d steps, cut short %d times", steps, cut)
			require.Zero(t, cut)
		})
	}
}

// honest checks that a stack uses owned blocks, none twice, and adds up.
func honest(t require.TestingT, s Stack, owned []units.Length) {
	have := map[units.Length]int{}
	for _, b := range owned {
		have[b]++
	}
	sum := units.Length(0)
	for _, b := range s.Blocks {
		have[b]--
		require.GreaterOrEqual(t, have[b], 0, "a block twice: %v", s)
		sum += b
	}
	require.Equal(t, sum, s.Total)
}

// Nearest on sets of any sizes, against all sums there are.
func TestNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		owned := rapid.SliceOfN(rapid.Map(rapid.IntRange(1, 400), func(i int) units.Length { return units.Length(i) }), 1, 9).Draw(t, "owned")
		most := rapid.IntRange(1, 6).Draw(t, "most")
		height := units.Length(rapid.IntRange(1, 3000).Draw(t, "height"))
		var low, high units.Length
		exact, n := false, 99
		for bits := 1; bits < 1<<len(owned); bits++ {
			sum, k := units.Length(0), 0
			for i, b := range owned {
				if bits>>i&1 == 1 {
					sum, k = sum+b, k+1
				}
			}
			switch {
			case k > most:
			case sum == height:
				exact, n = true, min(n, k)
			case sum < height:
				low = max(low, sum)
			case high == 0 || sum < high:
				high = sum
			}
		}
		s, found, sure := Blocks(height, owned, most)
		require.True(t, sure)
		require.Equal(t, exact, found)
		if found {
			require.Len(t, s.Blocks, n)
			honest(t, s, owned)
		}
		below, above, sure := Nearest(height, owned, most)
		require.True(t, sure)
		require.Equal(t, low, below.Total)
		require.Equal(t, high, above.Total)
		honest(t, below, owned)
		honest(t, above, owned)
	})
}
