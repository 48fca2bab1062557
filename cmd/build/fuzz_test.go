package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every parser of the product has a fuzz test, and the runner finds it by itself.
func TestFuzzTargets(t *testing.T) {
	root, err := findRoot()
	require.NoError(t, err)
	list, err := fuzzTargets(root)
	require.NoError(t, err)
	for _, want := range []fuzzTarget{
		{"./calc/shoptext", "FuzzParse"}, {"./calc/jobbook", "FuzzOpenFile"}, {"./store/revtree", "FuzzDecode"},
		{"./server/replication", "FuzzHandlers"}, {"./server", "FuzzStranger"},
	} {
		assert.Contains(t, list, want)
	}
}

func TestFuzzFindsWhatFails(t *testing.T) {
	root := t.TempDir()
	write := func(name, text string) {
		path := filepath.Join(root, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	write("go.mod", "module sample\n\ngo 1.26\n")
	fuzz := func(name, body string) {
		write(name+"/a_test.go", "package a\nimport \"testing\"\nfunc Fuzz"+name+
			"(f *testing.F) { f.Fuzz(func(t *testing.T, n int) {"+body+"}) }")
	}
	fuzz("Good", "")
	fuzz("Bad", `if n != 0 { t.Fatal("odd") }`)
	write(".cache/left_test.go", "package left\nfunc FuzzLeft(f *testing.F) {}")
	var out strings.Builder
	b := newBuilder(root, &out)
	err := b.fuzz(t.Context(), "1s")
	require.ErrorContains(t, err, "./Bad FuzzBad")
	assert.NotContains(t, err.Error(), "Good")
	assert.Contains(t, out.String(), "FuzzGood")
	assert.NotContains(t, out.String(), "FuzzLeft")
	assert.ErrorContains(t, b.fuzz(t.Context(), "soon"), "not a duration")
}
