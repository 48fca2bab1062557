package weigh

import "testing"

// Two bodies that meet, and sixty in one place: the most that one keystroke can ask.
func BenchmarkWeigh(b *testing.B) {
	many := []Body{{Shape: Box, A: 10, B: 10, C: 10, Density: .26}}
	for i := range 59 {
		many = append(many, Body{Shape: needs[i%len(needs)].shape, A: 4, B: 2, C: 3, X: float64(i%7) * .3,
			Y: float64(i%5) * .4, Z: float64(i%3) + 1, Void: i%2 == 0, Density: .26})
	}
	for name, list := range map[string][]Body{"two": {many[0], {Shape: Ball, A: 6, X: 4, Void: true}}, "sixty": many} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				_, _ = Weigh(list)
			}
		})
	}
}
