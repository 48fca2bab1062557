package main

import (
	"context"
	"os"
	"path/filepath"

	"datumbook/cmd/build/wasmbuild"
)

// wasm gives calc.wasm, compiled only when one of its sources, the flags or the toolchain changed.
func (b builder) wasm(ctx context.Context) ([]byte, error) {
	key, err := wasmbuild.Key(ctx, b.root)
	if err != nil {
		return nil, err
	}
	return b.cache.do("wasm", []byte(key), func() ([]byte, error) {
		dir, err := os.MkdirTemp("", "calcwasm-")
		if err != nil {
			return nil, err
		}
		defer os.RemoveAll(dir)
		out := filepath.Join(dir, "calc.wasm")
		if err := wasmbuild.Build(ctx, b.root, out); err != nil {
			return nil, err
		}
		return os.ReadFile(out)
	})
}
