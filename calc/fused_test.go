package calc_test

import (
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fused finds the place of a fused multiply-add in a listing.
var fused = regexp.MustCompile(`\((\S+\.go:\d+)\)\s+FN?M(?:ADD|SUB)[DS]\b`)

// TestNothingFused compiles every package for a processor with fused multiply-add and looks for
// that instruction. The language lets x*y + z be fused even across statements and through inlined
// calls, and a division by a power of two counts as a product, so reading the source is not enough;
// one missed conversion makes the phone's last digits differ from the office's.
func TestNothingFused(t *testing.T) {
	list, err := exec.Command("go", "list", "./...").Output()
	require.NoError(t, err)
	rooms := slices.DeleteFunc(strings.Fields(string(list)), func(room string) bool {
		return strings.HasSuffix(room, "test") // draws inputs for tests; never on the phone
	})
	// All in one call: the go command compiles side by side, and shows again what is in its cache.
	cmd := exec.Command("go", append([]string{"build", "-gcflags=-S"}, rooms...)...)
	cmd.Env = append(os.Environ(), "GOOS=linux", "GOARCH=arm64")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", errors(string(out)))
	listings := map[string]string{} // by package
	for _, part := range strings.Split("\n"+string(out), "\n# ")[1:] {
		room, listing, _ := strings.Cut(part, "\n")
		listings[room] = listing
	}
	for _, room := range rooms {
		t.Run(strings.TrimPrefix(room, "datumbook/calc/"), func(t *testing.T) {
			require.Contains(t, listings, room)
			var where []string
			for _, m := range fused.FindAllStringSubmatch(listings[room], -1) {
				at := m[1][strings.LastIndex(m[1], "/")+1:]
				if !slices.Contains(where, at) {
					where = append(where, at)
				}
			}
			assert.Empty(t, where, "wrap the product in float64( )")
		})
	}
	assert.Greater(t, strings.Count(string(out), "FMULD"), 100, "the listings hold no arithmetic: are they listings?")
}

// errors returns a listing's compiler errors.
func errors(listing string) string {
	var out []string
	for _, line := range strings.Split(listing, "\n") {
		if !strings.HasPrefix(line, "\t") && strings.Contains(line, ".go:") && !strings.Contains(line, "STEXT") {
			out = append(out, line)
		}
	}
	return strings.Join(out, "\n")
}

// TestFusedIsFound shows that the search finds what it looks for.
func TestFusedIsFound(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(dir+"/go.mod", []byte("module probe\n\ngo 1.26\n"), 0o600))
	require.NoError(t, os.WriteFile(dir+"/probe.go", []byte("package probe\n\nfunc F(a, b, c float64) float64 { return a*b + c }\n\nfunc G(a, b, c float64) float64 { return float64(a*b) + c }\n"), 0o600))
	cmd := exec.Command("go", "build", "-gcflags=-S", ".")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GOOS=linux", "GOARCH=arm64", "GOFLAGS=", "GOWORK=off")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	found := fused.FindAllStringSubmatch(string(out), -1)
	require.Len(t, found, 1)
	assert.True(t, strings.HasSuffix(found[0][1], "probe.go:3"), found[0][1])
}
