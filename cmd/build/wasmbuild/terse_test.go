package wasmbuild

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const describing = `package room

import "datumbook/calc/worksheet"

var s = sheet.Sheet{
	Name: "hole", Question: "Does it " + "fit?",
	About: []string{
		"One, with a } in it.",
		"Two.",
	},
	Inputs:  []sheet.Input{{Key: "depth", Box: "how far", Example: "3/4", Help: "How deep.", Default: "1 in"}},
	Example: []sheet.Pair{{Key: "depth", Text: "7/8"}},
}

func after() string { return "Help: stays" }
`

func TestTerseLeavesOutWhatTheListSays(t *testing.T) {
	out, changed, err := terse("sheet.go", []byte(describing))
	require.NoError(t, err)
	assert.True(t, changed)
	text := string(out)
	for _, gone := range []string{"fit?", "One", "Two", "How deep", "how far", "7/8"} {
		assert.NotContains(t, text, gone)
	}
	for _, kept := range []string{`Name: "hole"`, `Question: ""`, `Help: ""`, `Key: "depth"`, `Example: "3/4"`, `Default: "1 in"`, "Help: stays"} {
		assert.Contains(t, text, kept)
	}
	line := func(source []byte) int {
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, "sheet.go", source, 0)
		require.NoError(t, err)
		return files.Position(file.Scope.Lookup("after").Pos()).Line
	}
	assert.Equal(t, line([]byte(describing)), line(out), "what follows stays on its line")

	again, changed, err := terse("sheet.go", out)
	require.NoError(t, err)
	assert.True(t, changed)
	assert.Equal(t, text, string(again), "a second time changes nothing")
}

func TestTerseLeavesOtherFilesAlone(t *testing.T) {
	const other = "package other\n\nvar x = struct{ Help string }{Help: \"kept\"}\n"
	out, changed, err := terse("other.go", []byte(other))
	require.NoError(t, err)
	assert.False(t, changed)
	assert.Equal(t, other, string(out))

	_, _, err = terse("broken.go", []byte("package"))
	assert.Error(t, err)
}

func TestOverlayNamesTheFilesItReplaces(t *testing.T) {
	dir := t.TempDir()
	sheet, other := filepath.Join(dir, "sheet.go"), filepath.Join(dir, "other.go")
	require.NoError(t, os.WriteFile(sheet, []byte(describing), 0o600))
	require.NoError(t, os.WriteFile(other, []byte("package room\n"), 0o600))
	file, err := overlay(t.TempDir(), []string{other, sheet})
	require.NoError(t, err)
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Contains(t, string(text), `"`+sheet+`"`)
	assert.NotContains(t, string(text), other)
}
