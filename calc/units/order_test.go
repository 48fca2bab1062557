package units_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/units"
)

// The second way is the standard library's stable sort.
func TestOrderIsAStableSort(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.IntRange(0, 9), 0, 70).Draw(t, "list")
		want := make([]int, len(list))
		for i := range want {
			want[i] = i
		}
		slices.SortStableFunc(want, func(a, b int) int { return list[a] - list[b] })
		require.Equal(t, want, units.Order(len(list), func(i, j int) bool { return list[i] < list[j] }))
	})
}
