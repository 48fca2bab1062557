package sure

import (
	"os"
	"os/exec"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestNothingFused compiles the package for a processor with fused multiply-add
// and looks for that instruction. The language lets x*y + z be fused even across
// statements and through inlined calls, so reading the source is not enough; one
// missed conversion makes the phone's last digits differ from the shop's.
func TestNothingFused(t *testing.T) {
	cmd := exec.Command("go", "build", "-gcflags=-S", ".")
	cmd.Env = append(os.Environ(), "GOOS=linux", "GOARCH=arm64")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.Regexp(t, `\bFMULD\b`, string(out), "the listing holds no arithmetic: is it a listing?")
	fused := regexp.MustCompile(`\(\S*?(\w+\.go:\d+)\)\s+FN?M(ADD|SUB)[DS]\b`).FindAllStringSubmatch(string(out), -1)
	var where []string
	for _, m := range fused {
		where = append(where, m[1])
	}
	assert.Empty(t, where, "wrap the product in float64( )")
}
