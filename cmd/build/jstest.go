package main

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"

	"datumbook/cmd/build/wasmbuild"
)

// test bundles each test file together with what it tests, minified as the app is, since that is
// what ships, and runs them all in Node's own test runner, with calc.wasm beside them.
func (b builder) test(ctx context.Context, pick string) error {
	// A test that failed leaves open what it would have closed: Node must not wait for that.
	return b.node(ctx, "*"+pick+"*.test.ts*", "--enable-source-maps", "--test", "--test-force-exit", "--test-reporter=spec")
}

// bench runs a program of pwa/test that is none of the tests in the same way.
func (b builder) bench(ctx context.Context, name string) error {
	return b.node(ctx, name+".bench.ts", "--enable-source-maps")
}

func (b builder) node(ctx context.Context, pick string, args ...string) error {
	if err := b.npm(ctx); err != nil {
		return err
	}
	tests, err := filepath.Glob(b.pwa("test", pick))
	if err != nil {
		return err
	}
	if len(tests) == 0 {
		return errors.New("no test file in pwa/test is named like that")
	}
	wasm, err := wasmbuild.Make(ctx, b.root)
	if err != nil {
		return err
	}
	starter, err := wasmbuild.Exec(ctx, b.root)
	if err != nil {
		return err
	}
	var entries []api.EntryPoint
	for _, file := range tests {
		name := filepath.Base(file)
		entries = append(entries, api.EntryPoint{InputPath: file, OutputPath: strings.TrimSuffix(name, filepath.Ext(name))})
	}
	opts := b.options("dist", entries...)
	opts.Plugins = []api.Plugin{goExec(starter)}
	opts.Format = api.FormatESModule
	opts.OutExtension = map[string]string{".js": ".mjs"}
	opts.EntryNames = "[name]"
	opts.External = []string{"node:*"}
	opts.Sourcemap = api.SourceMapInline
	// What every browser has in its global scope, and Node 20 has not.
	opts.Banner = map[string]string{"js": `globalThis.self ??= globalThis; globalThis.navigator ??= { userAgent: "" };`}
	opts.Loader = map[string]api.Loader{".css": api.LoaderEmpty}
	opts.Define["WORKER_URL"], opts.Define["WASM_URL"], opts.Define["SHEETS_URL"] = `"/worker.js"`, `"/calc.wasm"`, `"/sheets.json"`
	opts.Define["DEMO_URL"] = `"/demo.json"`
	made := map[string][]byte{"calc.wasm": wasm}
	if _, err := b.bundle(made, opts); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "datumbook-jstest-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	for _, name := range names(made) {
		file := filepath.Join(dir, filepath.Base(name))
		if err := os.WriteFile(file, made[name], 0o644); err != nil {
			return err
		}
		if filepath.Ext(name) == ".mjs" {
			args = append(args, file)
		}
	}
	cmd := exec.CommandContext(ctx, "node", args...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = b.pwa(), b.out, b.out
	return cmd.Run()
}
