package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestBundlesAreTheSameAnywhere bundles the app from this tree and from another place, deeper down:
// names and bytes are the same, so that two builds of one commit are, whoever makes them where.
// calc.wasm is compiled without paths and packed by what wasmbuild tests.
func TestBundlesAreTheSameAnywhere(t *testing.T) {
	root, err := findRoot()
	require.NoError(t, err)
	bundled := func(root string) map[string][]byte {
		b := newBuilder(root, io.Discard)
		files := map[string][]byte{}
		a := assets{wasm: "/w", sheets: "/s", checks: "/c", demo: "/d"}
		var err error
		a.worker, err = b.worker(t.Context(), files)
		require.NoError(t, err)
		require.NoError(t, b.page(files, &a))
		_, err = b.floorScript(files, a)
		require.NoError(t, err)
		files["sw.js"], err = b.serviceWorker(storedIn(files, a.later))
		require.NoError(t, err)
		return files
	}
	elsewhere := filepath.Join(t.TempDir(), "some", "folder", "further", "down")
	require.NoError(t, os.MkdirAll(filepath.Join(elsewhere, "pwa"), 0o755))
	entries, err := os.ReadDir(filepath.Join(root, "pwa"))
	require.NoError(t, err)
	for _, e := range entries {
		require.NoError(t, os.Symlink(filepath.Join(root, "pwa", e.Name()), filepath.Join(elsewhere, "pwa", e.Name())))
	}
	require.NoError(t, os.Symlink(filepath.Join(root, "go.mod"), filepath.Join(elsewhere, "go.mod")))
	want, got := bundled(root), bundled(elsewhere)
	require.Greater(t, len(want), 20)
	assert.Equal(t, names(want), names(got))
	for _, name := range names(want) {
		assert.True(t, string(want[name]) == string(got[name]), name)
	}
}
