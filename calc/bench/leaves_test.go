package bench

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/units"
)

// Every way to take leaves, one by one, against the table of sums.
func TestLeavesAgainstEveryPack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var owned []Leaf
		for range rapid.IntRange(1, 6).Draw(t, "kinds") {
			owned = append(owned, Leaf{units.Length(rapid.IntRange(1, 60).Draw(t, "thick")), rapid.IntRange(0, 3).Draw(t, "have")})
		}
		want := units.Length(rapid.IntRange(0, 300).Draw(t, "want"))
		most := rapid.IntRange(0, 7).Draw(t, "most")
		nearest := make([]units.Length, most+1) // by number of leaves, exactly
		for i := range nearest {
			nearest[i] = 1 << 40
		}
		any := false
		var walk func(kind, n int, sum units.Length)
		walk = func(kind, n int, sum units.Length) {
			if n > most {
				return
			}
			if kind == len(owned) {
				nearest[n] = min(nearest[n], size(sum-want))
				return
			}
			any = any || owned[kind].Have > 0
			for k := range owned[kind].Have + 1 {
				walk(kind+1, n+k, sum+units.Length(k)*owned[kind].Thick)
			}
		}
		walk(0, 0, 0)
		packs, err := Leaves(want, owned, most)
		if !any {
			require.Error(t, err)
			return
		}
		require.NoError(t, err)
		for i, p := range packs {
			require.Equal(t, p.Total-want, p.Over)
			n := len(p.Blocks)
			require.LessOrEqual(t, n, most)
			require.Equal(t, nearest[n], size(p.Over), "with %d leaves", n)
			if i > 0 {
				require.Less(t, size(p.Over), size(packs[i-1].Over))
			}
			have := map[units.Length]int{}
			for _, l := range owned {
				have[l.Thick] += l.Have
			}
			sum := units.Length(0)
			for _, b := range p.Blocks {
				have[b]--
				require.GreaterOrEqual(t, have[b], 0)
				sum += b
			}
			require.Equal(t, sum, p.Total)
		}
		best := units.Length(1 << 40)
		for _, e := range nearest {
			best = min(best, e)
		}
		require.Equal(t, best, size(packs[len(packs)-1].Over))
		near := units.Length(rapid.IntRange(0, 20).Draw(t, "near"))
		p := Choose(packs, near)
		for n, e := range nearest {
			if e <= near {
				require.Len(t, p.Blocks, n, "fewest leaves within %d", near)
				break
			}
		}
	})
}

func TestLeavesRefused(t *testing.T) {
	_, err := Leaves(1000, nil, 5)
	assert.ErrorIs(t, err, errNoLeaf)
	_, err = Leaves(in, []Leaf{{in / 1000, 5}, {mm/10 + 1, 5}}, 5)
	assert.ErrorIs(t, err, errMixed)
}
