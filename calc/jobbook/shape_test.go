package jobbook_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestShapeOfEverything: every record of the invented job that can be drawn has a shape, whether it
// comes as a view or as it is stored.
func TestShapeOfEverything(t *testing.T) {
	shop, drawn := invented(t), 0
	for _, d := range shop {
		kind := d["type"].(string)
		if !slices.Contains([]string{"fixture", "part", "machine", "setup"}, kind) {
			continue
		}
		drawn++
		out := asked(t, "shape", obj{"id": d["_id"]}, shop)
		assert.Equal(t, kind, out["kind"], d["_id"])
		if kind == "setup" {
			assert.NotEmpty(t, out["bodies"], d["_id"])
		}
	}
	assert.Greater(t, drawn, 8)
}
