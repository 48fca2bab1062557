//go:build !js

package cleanup

import (
	"testing"

	"pgregory.net/rapid"
)

func BenchmarkSolve(b *testing.B) {
	var asks []Ask
	gen := rapid.Custom(func(t *rapid.T) Ask { return drawn(t) })
	for i := range 10 {
		asks = append(asks, gen.Example(i))
	}
	b.ResetTimer()
	for i := range b.N {
		r, _, _ := Solve(asks[i%len(asks)])
		b.ReportMetric(float64(r.Rounds), "programmes")
	}
}
