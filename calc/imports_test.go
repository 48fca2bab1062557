package calc_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// forbidden lists what calc may not import, with the reason. Tests may.
var forbidden = map[string]string{
	"os": "calc does no I/O", "net": "calc does no I/O", "net/http": "calc runs on the phone; it does no I/O",
	"io": "calc does no I/O", "time": "calc knows no clock", "sync": "calc has no goroutines", "log": "calc tells nobody but its caller",
	"syscall": "calc knows no machine", "syscall/js": "calc does not know that it runs on a phone", "unsafe": "calc needs no tricks",
	"fmt": "245 kB of brotli on the phone together with encoding/json (measured); use strconv", "encoding/json": "as fmt: the sheet room writes JSON itself",
	"reflect": "as fmt", "regexp": "too heavy for the phone", "math/big": "too heavy for the phone", "sort": "use slices, which does not reflect",
	"math/rand": "a calculation gives the same answer twice",
}

// ground is the order of the base packages; one may import only packages before it. Worksheet
// packages may import all of these.
var ground = []string{"units", "drill", "shoptext", "fitting", "check", "field", "worksheet", "thread"}

func TestImports(t *testing.T) {
	seen := 0
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		require.NoError(t, err)
		seen++
		room := filepath.ToSlash(filepath.Dir(path))
		if strings.HasSuffix(room, "test") { // helpers of tests, never on the phone
			return nil
		}
		for _, imp := range file.Imports {
			name := strings.Trim(imp.Path.Value, `"`)
			if why, bad := forbidden[name]; bad {
				t.Errorf("%s imports %s: %s", path, name, why)
			}
			inside, ours := strings.CutPrefix(name, "datumbook/")
			if !ours {
				assert.NotContains(t, strings.Split(name, "/")[0], ".", "%s imports %s: calc is standard library only", path, name)
				continue
			}
			other, ok := strings.CutPrefix(inside, "calc/")
			assert.True(t, ok, "%s imports %s: calc imports nothing outside calc", path, name)
			at, low := slices.Index(ground, room), slices.Index(ground, other)
			if at >= 0 {
				assert.True(t, low >= 0 && low < at, "%s imports %s, which does not stand below it", path, name)
			}
			assert.False(t, other == "registry", "%s imports the registry, which stands above all", path)
		}
		return nil
	})
	require.NoError(t, err)
	assert.Greater(t, seen, 20)
}

// TestOneComment: each package says what it is once.
func TestOneComment(t *testing.T) {
	dirs, err := filepath.Glob("*")
	require.NoError(t, err)
	for _, dir := range dirs {
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			continue
		}
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		require.NoError(t, err)
		comments := 0
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			file, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.ParseComments)
			require.NoError(t, err)
			if file.Doc != nil {
				comments++
			}
		}
		if len(files) > 0 {
			assert.Equal(t, 1, comments, "calc/%s", dir)
		}
	}
}
