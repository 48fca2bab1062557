package pwa

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBuilt(t *testing.T) {
	_, err := built(fstest.MapFS{"placeholder.txt": {Data: []byte("here")}})
	require.ErrorIs(t, err, ErrNotBuilt)
	assert.Contains(t, err.Error(), "go run ./cmd/build", "the message must say what to do")

	app := fstest.MapFS{"index.html": {}, "sw.js": {}}
	files, err := built(app)
	require.NoError(t, err)
	assert.Equal(t, app, files)

	delete(app, "sw.js")
	_, err = built(app)
	assert.ErrorIs(t, err, ErrNotBuilt, "a half-built app is none")
}
