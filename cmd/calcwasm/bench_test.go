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
// hundred answers, since the browser slows a page down in bursts longer than an
// answer, and the first, which compiles what it uses. Before the hundred it is
// run as the phone runs a worksheet just opened, at rest (pwa/src/calc/worker.ts).
// Goal for an answer: 5 ms.
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
				took := browsertest.Eval[[]float64](phone, `(async () => {
					const ask = `+string(text)+`;
					const time = (n) => {
						const from = performance.now();
						for (let i = 0; i < n; i++) datumbook.run(...ask);
						return (performance.now() - from) / n;
					};
					const first = time(1);
					const rest = (ms) => new Promise((go) => setTimeout(go, ms));
					for (let run = 0, spent = 0; run < 200 && spent < 1000; run++) {
						await rest(0);
						spent += time(1);
					}
					await rest(1000);
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
