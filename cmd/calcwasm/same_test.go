//go:build !(js && wasm)

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"testing"

	"github.com/evanw/esbuild/pkg/api"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/worksheet"
	"datumbook/cmd/build/wasmbuild"
	"datumbook/cmd/datumbook/browsertest"
)

// page starts the module and lets the test run worksheets in batches.
const page = `<!doctype html><meta charset="utf-8"><title>same</title>
<script src="/wasm_exec.js"></script>
<script src="/module.js"></script>
<script>
const go = new Go();
go.env = module.environment;
WebAssembly.instantiateStreaming(fetch("/calc.wasm"), go.importObject).then(r => {
	go.run(r.instance);
	window.datumbook = module.calcOf(go, r.instance);
	window.ready = true;
});
window.batch = list => list.map(([name, unit, packed]) => datumbook.run(name, unit, packed));
</script>`

// serveModule serves calc.wasm, as the app has it, in a page that asks it by the app's own code.
func serveModule(t testing.TB) string {
	root, err := filepath.Abs(filepath.Join("..", ".."))
	require.NoError(t, err)
	wasm, err := wasmbuild.Make(context.Background(), root)
	require.NoError(t, err)
	starter, err := wasmbuild.Exec(context.Background(), root)
	require.NoError(t, err)
	asker := api.Build(api.BuildOptions{
		EntryPoints: []string{filepath.Join("..", "..", "pwa", "src", "engine", "module.ts")},
		Bundle:      true, Format: api.FormatIIFE, GlobalName: "module",
	})
	require.Empty(t, asker.Errors)
	mux := http.NewServeMux()
	mux.HandleFunc("/module.js", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/javascript")
		_, _ = w.Write(asker.OutputFiles[0].Contents)
	})
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		_, _ = io.WriteString(w, page)
	})
	mux.HandleFunc("/calc.wasm", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/wasm")
		_, _ = w.Write(wasm)
	})
	mux.HandleFunc("/wasm_exec.js", func(w http.ResponseWriter, r *http.Request) { http.ServeFile(w, r, starter) })
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server.URL
}

// question is one run of one worksheet.
type question struct {
	name, unit string
	pairs      []worksheet.Pair
}

// questions are every worksheet's example, the inputs that must be refused, and
// thousands of random ones from fixed seeds, in both systems of units.
func questions() []question {
	var out []question
	all := registry.All()
	each := max(80, 4000/len(all))
	for _, s := range all {
		out = append(out, question{s.Name, "in", s.Example}, question{s.Name, "mm", s.Example}, question{s.Name, "in", nil})
		drawn := registrytest.Pairs(s)
		for seed := range each {
			out = append(out, question{s.Name, []string{"in", "mm"}[seed%2], drawn.Example(seed)})
		}
	}
	return out
}

// TestSame: the phone, the office and the command line give the same answer,
// byte for byte. Native Go is what the command line runs.
func TestSame(t *testing.T) {
	list := questions()
	phone := browsertest.Open(t, t.TempDir(), browsertest.Desk)
	phone.Go(serveModule(t))
	phone.Wait("the module is up", `window.ready === true`)
	office := browsertest.StartOffice(t, t.TempDir())

	const size = 200
	answered := 0
	for from := 0; from < len(list); from += size {
		part := list[from:min(from+size, len(list))]
		var batch [][3]string
		for _, q := range part {
			batch = append(batch, [3]string{q.name, q.unit, registry.Pack(q.pairs)})
		}
		text, err := json.Marshal(batch)
		require.NoError(t, err)
		got := browsertest.Eval[[]string](phone, "batch("+string(text)+")")
		require.Len(t, got, len(part))
		for i, q := range part {
			want, failed, _ := registry.Run(q.name, q.unit, q.pairs)
			require.Equal(t, string(want), got[i], "phone: %s %s %v", q.name, q.unit, q.pairs)
			require.Equal(t, string(want), post(t, office.Addr, q), "office: %s %s %v", q.name, q.unit, q.pairs)
			if !failed {
				answered++
			}
		}
	}
	t.Logf("%d questions on %d worksheets, %d answered and the others refused, all the same", len(list), len(registry.All()), answered)
	require.Greater(t, answered, len(list)/4, "the random inputs are mostly refused: they compare little")
}

// post asks the office. Inputs that repeat a key cannot be sent as an object
// and are compared on the phone only.
func post(t *testing.T, addr string, q question) string {
	inputs := map[string]string{}
	for _, p := range q.pairs {
		inputs[p.Key] = p.Text
	}
	body, err := json.Marshal(inputs)
	require.NoError(t, err)
	resp, err := http.Post("http://"+addr+"/api/calc/"+q.name+"?unit="+q.unit, "application/json", bytes.NewReader(body))
	require.NoError(t, err)
	defer resp.Body.Close()
	out, err := io.ReadAll(resp.Body)
	require.NoError(t, err)
	return string(bytes.TrimSuffix(out, []byte("\n")))
}
