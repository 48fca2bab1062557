package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/evanw/esbuild/pkg/api"

	"datumbook/cmd/build/wasmbuild"
)

// options are common to all bundles: small, for the browsers of the floor, no file written by the
// bundler.
func (b builder) options(dir string, entries ...api.EntryPoint) api.BuildOptions {
	return api.BuildOptions{
		AbsWorkingDir:       b.pwa(),
		EntryPointsAdvanced: entries,
		Outdir:              b.pwa(dir),
		Bundle:              true,
		Write:               false,
		// The names of files take in where their parts lie: seen from pwa, also where node_modules is a link.
		PreserveSymlinks:  true,
		Metafile:          true,
		MinifyWhitespace:  true,
		MinifyIdentifiers: true,
		MinifySyntax:      true,
		Engines:           targets(),
		Platform:          api.PlatformBrowser,
		JSX:               api.JSXAutomatic,
		JSXImportSource:   "preact",
		LegalComments:     api.LegalCommentsNone, // they are all in licences.txt
		Charset:           api.CharsetUTF8,
		LogLevel:          api.LogLevelSilent, // failures are returned instead
		Define:            map[string]string{"process.env.NODE_ENV": `"production"`, "global": "globalThis"},
	}
}

// metafile is the part used here of esbuild's own report.
type metafile struct {
	Inputs  map[string]json.RawMessage `json:"inputs"`
	Outputs map[string]struct {
		EntryPoint string `json:"entryPoint"`
		CSSBundle  string `json:"cssBundle"`
		Imports    []struct {
			Path string `json:"path"`
			Kind string `json:"kind"`
		} `json:"imports"`
	} `json:"outputs"`
}

// bundle runs the bundler and files its output under names relative to pwa/dist.
func (b builder) bundle(files map[string][]byte, opts api.BuildOptions) (metafile, error) {
	var meta metafile
	result := api.Build(opts)
	if len(result.Errors) > 0 {
		text := api.FormatMessages(result.Errors, api.FormatMessagesOptions{Kind: api.ErrorMessage})
		return meta, errors.New("bundling:\n" + strings.TrimSpace(strings.Join(text, "")))
	}
	for _, w := range api.FormatMessages(result.Warnings, api.FormatMessagesOptions{Kind: api.WarningMessage}) {
		b.say("%s", strings.TrimSpace(w))
	}
	for _, file := range result.OutputFiles {
		name, err := filepath.Rel(b.pwa("dist"), file.Path)
		if err != nil {
			return meta, err
		}
		files[filepath.ToSlash(name)] = file.Contents
	}
	if err := json.Unmarshal([]byte(result.Metafile), &meta); err != nil {
		return meta, err
	}
	for input := range meta.Inputs {
		if _, in, ok := strings.Cut(input, "node_modules/"); ok {
			b.shipped[packageName(in)] = true
		}
	}
	return meta, nil
}

// packageName takes the name, with its scope if it has one, from a path below node_modules.
func packageName(in string) string {
	parts := strings.SplitN(in, "/", 3)
	if strings.HasPrefix(in, "@") && len(parts) > 1 {
		return parts[0] + "/" + parts[1]
	}
	return parts[0]
}

// page bundles what the page runs, lazily imported parts as files of their own.
func (b builder) page(files map[string][]byte, a *assets) error {
	const entry = "src/app/main.tsx"
	opts := b.options("dist/assets", api.EntryPoint{InputPath: entry, OutputPath: "main"})
	opts.EntryNames, opts.ChunkNames, opts.AssetNames = "[name]-[hash]", "[name]-[hash]", "[name]-[hash]"
	opts.Format, opts.Splitting = api.FormatESModule, true
	opts.Define["WORKER_URL"] = strconv.Quote(a.worker)
	opts.Define["WASM_URL"] = strconv.Quote(a.wasm)
	opts.Define["SHEETS_URL"] = strconv.Quote(a.sheets)
	opts.Define["CHECKS_URL"] = strconv.Quote(a.checks)
	opts.Define["DEMO_URL"] = strconv.Quote(a.demo)
	meta, err := b.bundle(files, opts)
	if err != nil {
		return err
	}
	const book = "src/records/open.ts"
	a.later = lazyScripts(meta, entry, book)
	mine := imported(meta, entry)
	without := func(entries ...string) []string {
		all := imported(meta, entries...)
		maps.DeleteFunc(all, func(name string, _ bool) bool { return mine[name] })
		return slices.Sorted(maps.Keys(all))
	}
	a.sheet, a.book = without("src/page/page.tsx"), without("src/jobbook/index.tsx", book)
	for name, out := range meta.Outputs {
		if out.EntryPoint != entry {
			continue
		}
		a.main = address(name)
		if out.CSSBundle != "" {
			a.css = address(out.CSSBundle)
		}
		for _, in := range out.Imports {
			if in.Kind == "import-statement" {
				a.chunks = append(a.chunks, address(in.Path))
			}
		}
	}
	if a.main == "" {
		return fmt.Errorf("the bundler's report does not mention %s", entry)
	}
	slices.Sort(a.chunks)
	return nil
}

// address gives the page's address of a file in esbuild's report.
func address(name string) string { return "/" + strings.TrimPrefix(name, "dist/") }

// lazyScripts gives the addresses of the scripts that no first entry imports statically: all that
// is imported lazily, except the book, without which nothing can be stored.
func lazyScripts(meta metafile, first ...string) map[string]bool {
	needed, later := imported(meta, first...), map[string]bool{}
	for name := range meta.Outputs {
		if path.Ext(name) == ".js" && !needed[address(name)] {
			later[address(name)] = true
		}
	}
	return later
}

// imported gives the addresses of entries and of all that they import statically.
func imported(meta metafile, entries ...string) map[string]bool {
	all := map[string]bool{}
	var need func(name string)
	need = func(name string) {
		if all[address(name)] {
			return
		}
		all[address(name)] = true
		for _, in := range meta.Outputs[name].Imports {
			if in.Kind == "import-statement" {
				need(in.Path)
			}
		}
	}
	for name, out := range meta.Outputs {
		if slices.Contains(entries, out.EntryPoint) {
			need(name)
		}
	}
	return all
}

// worker bundles what runs calc.wasm, together with the toolchain's wasm_exec.js.
func (b builder) worker(ctx context.Context, files map[string][]byte) (string, error) {
	exec, err := wasmbuild.Exec(ctx, b.root)
	if err != nil {
		return "", err
	}
	opts := b.options("dist/assets", api.EntryPoint{InputPath: "src/engine/worker.ts", OutputPath: "calc"})
	opts.EntryNames = "[name]-[hash]"
	opts.Format = api.FormatIIFE
	opts.Plugins = []api.Plugin{goExec(exec)}
	return b.single(files, opts)
}

// goExec resolves the import "go:wasm_exec" to the toolchain's own file, under a name that does not
// tell where the toolchain is: equal sources make an equal bundle on every machine.
func goExec(file string) api.Plugin {
	const name, space = "wasm_exec.js", "go"
	return api.Plugin{Name: "go-wasm-exec", Setup: func(build api.PluginBuild) {
		build.OnResolve(api.OnResolveOptions{Filter: `^go:wasm_exec$`}, func(api.OnResolveArgs) (api.OnResolveResult, error) {
			return api.OnResolveResult{Path: name, Namespace: space}, nil
		})
		build.OnLoad(api.OnLoadOptions{Filter: ".*", Namespace: space}, func(api.OnLoadArgs) (api.OnLoadResult, error) {
			body, err := os.ReadFile(file)
			text := string(body)
			return api.OnLoadResult{Contents: &text, Loader: api.LoaderJS}, err
		})
	}}
}

// serviceWorker bundles sw.js; the file lists in it make it differ whenever any of them does.
func (b builder) serviceWorker(lists stored) ([]byte, error) {
	first, err := json.Marshal(lists.first)
	if err != nil {
		return nil, err
	}
	later, err := json.Marshal(lists.later)
	if err != nil {
		return nil, err
	}
	opts := b.options("dist", api.EntryPoint{InputPath: "src/app/sw/sw.ts", OutputPath: "sw"})
	opts.Format = api.FormatIIFE
	opts.Define["PRECACHE"], opts.Define["LATER"] = string(first), string(later)
	files := map[string][]byte{}
	if _, err := b.single(files, opts); err != nil {
		return nil, err
	}
	return files["sw.js"], nil
}

// single bundles an entry that must be one file, and gives its address.
func (b builder) single(files map[string][]byte, opts api.BuildOptions) (string, error) {
	made := map[string][]byte{}
	if _, err := b.bundle(made, opts); err != nil {
		return "", err
	}
	if len(made) != 1 {
		return "", fmt.Errorf("%s became %d files, wanted one", opts.EntryPointsAdvanced[0].InputPath, len(made))
	}
	name := names(made)[0]
	files[name] = made[name]
	return "/" + name, nil
}

// precached is a line of the service worker's list: with a revision only where the address has
// none.
type precached struct {
	URL      string  `json:"url"`
	Revision *string `json:"revision"`
	Size     int     `json:"size"` // unpacked
}

// stored are the service worker's two lists: what the app needs to start, work a sheet, keep and
// send with no network, stored before it says that it is ready; and the rest, stored after that.
type stored struct{ first, later []precached }

// bytes are those of both, unpacked.
func (s stored) bytes() int {
	all := 0
	for _, one := range slices.Concat(s.first, s.later) {
		all += one.Size
	}
	return all
}

// storedIn sorts the app's files into the two lists.
func storedIn(files map[string][]byte, later map[string]bool) stored {
	s := stored{first: []precached{}, later: []precached{}}
	for _, name := range names(files) {
		switch {
		case later["/"+name]:
			s.later = append(s.later, precached{URL: "/" + name, Size: len(files[name])})
		case strings.HasPrefix(name, "assets/"):
			s.first = append(s.first, precached{URL: "/" + name, Size: len(files[name])})
		case name == "index.html":
			revision := digest(files[name])
			s.first = append(s.first, precached{URL: "/" + name, Revision: &revision, Size: len(files[name])})
		}
	}
	return s
}
