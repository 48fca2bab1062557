package release_test

import (
	"os"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/tools/go/packages"

	"datumbook/cmd/build/release"
)

// The program passes the type checker on the systems that no test compiles it for, one with 32 bits
// among them: to compile it for all takes `task release` minutes. Of those that differ only in their
// processor of 64 bits one stands for all.
func TestOtherSystemsPassTheTypeChecker(t *testing.T) {
	type kind struct{ system, bits string }
	seen := map[kind]bool{{runtime.GOOS, "64"}: true}
	for _, to := range release.Targets {
		its := kind{to.OS, "64"}
		if to.Arch == "arm" {
			its.bits = "32"
		}
		if seen[its] {
			continue
		}
		seen[its] = true
		t.Run(to.Name, func(t *testing.T) {
			found, err := packages.Load(&packages.Config{Dir: "../../..", Mode: packages.LoadAllSyntax,
				Env: append(os.Environ(), "GOOS="+to.OS, "GOARCH="+to.Arch, "CGO_ENABLED=0")}, "./cmd/datumbook")
			require.NoError(t, err)
			require.NotEmpty(t, found)
			packages.Visit(found, nil, func(p *packages.Package) {
				for _, e := range p.Errors {
					assert.NoError(t, e)
				}
			})
		})
	}
	assert.Len(t, seen, 4, "Linux, Windows, macOS, and Linux with 32 bits")
}
