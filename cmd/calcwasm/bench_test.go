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
// WebAssembly on a processor six times slower than this one: the mean of a
// hundred answers after the fifty that the phone gives itself at rest (see
// pwa/src/calc/worker.ts), since the browser slows a page down in bursts
// longer than an answer, and the first, which compiles what it uses. Goal for
// an answer: 5 ms.
func BenchmarkWorksheets(b *testing.B) {
	phone := browsertest.Open(b, b.TempDir(), browsertest.Desk)
	phone.Go(serveModule(b))
	phone.Wait("the module is up", `window.ready === true`)
	phone.Slow(6)
	for _, s := range shelf.All() {
		b.Run(s.Name, func(b *testing.B) {
			text, err := json.Marshal([]string{s.Name, "in", shelf.Pack(s.Example)})
			require.NoError(b, err)
			first, total, n := 0.0, 0.0, 0.0
			for b.Loop() {
				took := browsertest.Eval[[]float64](phone, `(() => {
					const ask = `+string(text)+`;
					const time = (n) => {
						const from = performance.now();
						for (let i = 0; i < n; i++) datumbook.run(...ask);
						return (performance.now() - from) / n;
					};
					const first = time(1);
					time(50);
					return [first, time(100)];
				})()`)
				if n == 0 {
					first = took[0]
				}
				total += took[1]
				n++
			}
			b.ReportMetric(total/n, "ms-answer")
			b.ReportMetric(first, "ms-first")
		})
	}
}
