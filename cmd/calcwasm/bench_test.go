//go:build !(js && wasm)

package main

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"datumbook/calc/shelf"
	"datumbook/cmd/datumbook/browsertest"
)

// BenchmarkWorksheets prints how long each worksheet's example takes in
// WebAssembly on a processor six times slower than this one. Goal: 5 ms.
func BenchmarkWorksheets(b *testing.B) {
	phone := browsertest.Open(b, b.TempDir(), browsertest.Desk)
	phone.Go(serveModule(b))
	phone.Wait("the module is up", `window.ready === true`)
	phone.Slow(6)
	for _, s := range shelf.All() {
		b.Run(s.Name, func(b *testing.B) {
			text, err := json.Marshal([]string{s.Name, "in", shelf.Pack(s.Example)})
			require.NoError(b, err)
			var total float64
			n := 0.0
			for b.Loop() {
				total += browsertest.Eval[float64](phone, `(() => {
					const ask = `+string(text)+`;
					for (let i = 0; i < 3; i++) datumbook.run(...ask);
					const from = performance.now();
					for (let i = 0; i < 20; i++) datumbook.run(...ask);
					return (performance.now() - from) / 20;
				})()`)
				n++
			}
			b.ReportMetric(total/n, "ms-answer")
		})
	}
}
