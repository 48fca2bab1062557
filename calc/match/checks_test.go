//go:build !js

package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestChecks(t *testing.T) {
	for _, p := range Checks() {
		for _, c := range p.Rows {
			o := c.Run()
			assert.True(t, o.Pass, "%s: got %v, want %v +/- %v (%s)", c.What, o.Value, c.Want, c.Tol, c.Source)
		}
	}
}
