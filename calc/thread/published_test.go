package thread_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/thread"
)

func TestPublished(t *testing.T) {
	list := thread.Published()
	assert.GreaterOrEqual(t, len(list), 30)
	seen := map[string]bool{}
	for _, c := range list {
		o := c.Run()
		assert.True(t, o.Pass, "%s: %v, printed %v, %s", c.What, o.Value, c.Want, c.Source)
		assert.NotEmpty(t, c.Source)
		assert.False(t, seen[c.What], c.What)
		seen[c.What] = true
		// The tolerance is tight enough to notice one unit in the last place.
		assert.Less(t, c.Tol, 0.01*c.Want, c.What)
	}
}
