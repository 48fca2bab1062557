package bench

import (
	"testing"

	"datumbook/calc/units"
)

func BenchmarkBlocks(b *testing.B) {
	for _, row := range []struct {
		key  string
		step units.Length
		top  int
	}{{"in81", in / 10000, 60000}, {"mm112", um / 2, 300000}, {"mm88", um / 2, 300000}} {
		owned, _ := Set(row.key)
		hard, steps := units.Length(0), 0
		for h := 1; h < row.top; h += 13 {
			f := newFinder(owned, 6)
			f.find(units.Length(h) * row.step)
			if n := budget - f.left; n > steps {
				hard, steps = units.Length(h)*row.step, n
			}
		}
		b.Run(row.key, func(b *testing.B) {
			b.ReportMetric(float64(steps), "steps")
			for range b.N {
				Blocks(hard, owned, 6)
			}
		})
	}
}
