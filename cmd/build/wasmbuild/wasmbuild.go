// Package wasmbuild compiles the calculations to WebAssembly. The flags live here so that the app's
// build and the tests that compare native answers with WebAssembly ones make the very same module.
package wasmbuild

import (
	"bytes"
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"datumbook/cmd/build/cache"
)

// The sources of what changes the module before and after linking: they are part of its key.
var (
	//go:embed fold.go
	foldSource string
	//go:embed lean.go
	leanSource string
	//go:embed repack.go
	repackSource string
	//go:embed start.go
	startSource string
	//go:embed terse.go
	terseSource string
)

// Package is the import path, seen from the module's root, of the program that becomes calc.wasm.
const Package = "./cmd/calcwasm"

// Flags are the arguments of go build: no paths of this machine, no symbols, no build id, so that
// equal sources make an equal file; and no inlining, which for WebAssembly costs size and gains
// nothing (measured in November 2026 with eleven worksheets: 757 kB instead of 919 kB in brotli,
// and an answer takes no longer).
func Flags() []string {
	return []string{"-trimpath", "-buildvcs=false", "-gcflags=all=-l", "-ldflags=-s -w -buildid="}
}

// Env is the environment for go build and go list: the process's own, aimed at the browser.
func Env() []string {
	var env []string
	for _, pair := range os.Environ() {
		name, _, _ := strings.Cut(pair, "=")
		if slices.Contains([]string{"GOOS", "GOARCH", "GOWASM", "CGO_ENABLED", "GOFLAGS"}, name) {
			continue
		}
		env = append(env, pair)
	}
	return append(env, "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOFLAGS=")
}

// Make gives calc.wasm from the module at root, compiled only when one of its sources, the flags or
// the toolchain changed.
func Make(ctx context.Context, root string) ([]byte, error) {
	key, err := Key(ctx, root)
	if err != nil {
		return nil, err
	}
	return cache.At(root).Do("wasm", []byte(key), func() ([]byte, error) { return build(ctx, root) })
}

func build(ctx context.Context, root string) ([]byte, error) {
	files, err := sources(ctx, root)
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "datumbook-wasm-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	instead, err := overlay(dir, files)
	if err != nil {
		return nil, err
	}
	out := filepath.Join(dir, "calc.wasm")
	args := append(append([]string{"build", "-overlay", instead}, Flags()...), "-o", out, Package)
	if _, err := run(ctx, root, Env(), args...); err != nil {
		return nil, err
	}
	linked, err := os.ReadFile(out)
	if err != nil {
		return nil, err
	}
	packed, err := repack(linked, lean)
	if err != nil {
		return nil, fmt.Errorf("packing calc.wasm: %w", err)
	}
	return packed, nil
}

// Exec gives the path of Go's wasm_exec.js, the piece of JavaScript that starts a Go program in
// WebAssembly. It belongs to the toolchain and must come from the same one that compiled the
// module.
func Exec(ctx context.Context, root string) (string, error) {
	out, err := run(ctx, root, os.Environ(), "env", "GOROOT")
	if err != nil {
		return "", err
	}
	path := filepath.Join(strings.TrimSpace(string(out)), "lib", "wasm", "wasm_exec.js")
	if _, err := os.Stat(path); err != nil {
		return "", fmt.Errorf("the Go toolchain has no wasm_exec.js: %w", err)
	}
	return path, nil
}

// Key names the module that Make would make: a digest over the toolchain, the flags, the changes to
// the linked module and every source file that the program is compiled from, except the standard
// library, which the toolchain's version stands for.
func Key(ctx context.Context, root string) (string, error) {
	version, err := run(ctx, root, os.Environ(), "env", "GOVERSION")
	if err != nil {
		return "", err
	}
	files, err := sources(ctx, root)
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	fmt.Fprintf(sum, "%s\n%q\n", strings.TrimSpace(string(version)), Flags())
	for _, source := range []string{foldSource, leanSource, repackSource, startSource, terseSource} {
		fmt.Fprintln(sum, source)
	}
	for _, file := range files {
		name, err := filepath.Rel(root, file)
		if err != nil {
			return "", err
		}
		body, err := os.ReadFile(file)
		if err != nil {
			return "", err
		}
		fmt.Fprintf(sum, "%s %d\n", filepath.ToSlash(name), len(body))
		sum.Write(body)
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// sources gives every file of ours that the program is compiled from, in order.
func sources(ctx context.Context, root string) ([]string, error) {
	list, err := run(ctx, root, Env(), "list", "-deps", "-f",
		`{{if not .Standard}}{{$d := .Dir}}{{range .GoFiles}}{{$d}}/{{.}}{{"\n"}}{{end}}{{range .EmbedFiles}}{{$d}}/{{.}}{{"\n"}}{{end}}{{end}}`,
		Package)
	if err != nil {
		return nil, err
	}
	files := strings.Fields(string(list))
	slices.Sort(files)
	return files, nil
}

func run(ctx context.Context, dir string, env []string, args ...string) ([]byte, error) {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Dir, cmd.Env = dir, env
	var out, complaints bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaints
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("go %s: %w\n%s", args[0], err, strings.TrimSpace(complaints.String()))
	}
	return out.Bytes(), nil
}
