package field

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A limit is read as strconv reads it, to the last bit.
func TestDecimal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`-?[0-9]{0,9}\.?[0-9]{0,9}`).Draw(t, "text")
		got, err := decimal(text)
		want, fault := strconv.ParseFloat(text, 64)
		require.Equal(t, fault != nil, err != nil, text)
		require.Equal(t, math.Float64bits(want), math.Float64bits(got), text)
	})
	for _, text := range []string{"", "-", ".", "1-2", "1.2.3", "1e3", "0x1p4", "x"} {
		got, err := decimal(text)
		want, fault := strconv.ParseFloat(text, 64)
		assert.Equal(t, want, got, text)
		assert.Equal(t, fault != nil, err != nil, text)
	}
}
