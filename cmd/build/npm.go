package main

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"datumbook/cmd/build/wasmbuild"
)

// npm fetches the JavaScript packages that the lock file names, unless they are there already.
func (b builder) npm(ctx context.Context) error {
	lock, err := os.ReadFile(b.pwa("package-lock.json"))
	if err != nil {
		return err
	}
	// npm leaves no simple sign that node_modules matches the lock file, so the lock's digest is
	// stored beside it.
	mark := b.pwa("node_modules", ".datumbook-lock")
	want := []byte(digest(lock))
	if have, err := os.ReadFile(mark); err == nil && bytes.Equal(have, want) {
		return nil
	}
	b.say("fetching the JavaScript packages")
	cmd := exec.CommandContext(ctx, "npm", "ci", "--no-audit", "--no-fund", "--ignore-scripts")
	cmd.Dir = b.pwa()
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("npm ci (Node 20 or later and its npm are needed): %w\n%s", err, bytes.TrimSpace(out))
	}
	return os.WriteFile(mark, want, 0o644)
}

// licences gathers the licence texts of everything that the bundles contain, and the Go toolchain's
// own for calc.wasm.
func (b builder) licences(ctx context.Context) ([]byte, error) {
	exec, err := wasmbuild.Exec(ctx, b.root)
	if err != nil {
		return nil, err
	}
	var text bytes.Buffer
	text.WriteString("Datumbook's app contains the following packages, each under its own licence.\n")
	add := func(name, dir string) error {
		entries, err := os.ReadDir(dir)
		if err != nil {
			return err
		}
		found := false
		for _, entry := range entries {
			upper := strings.ToUpper(entry.Name())
			if entry.IsDir() || !strings.HasPrefix(upper, "LICEN") && !strings.HasPrefix(upper, "NOTICE") {
				continue
			}
			body, err := os.ReadFile(filepath.Join(dir, entry.Name()))
			if err != nil {
				return err
			}
			fmt.Fprintf(&text, "\n==== %s ====\n\n%s\n", name, bytes.TrimSpace(body))
			found = true
		}
		if !found {
			return fmt.Errorf("package %s brings no licence text: look up its terms and say here how it may be shipped", name)
		}
		return nil
	}
	if err := add("Go", filepath.Join(filepath.Dir(exec), "..", "..")); err != nil {
		return nil, err
	}
	for _, name := range slices.Sorted(maps.Keys(b.shipped)) {
		if err := add(name, b.pwa("node_modules", filepath.FromSlash(name))); err != nil {
			return nil, err
		}
	}
	return text.Bytes(), nil
}
