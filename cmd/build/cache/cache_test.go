package cache

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMakesOnce(t *testing.T) {
	c := Dir(t.TempDir())
	made := 0
	give := func(text string) func() ([]byte, error) {
		return func() ([]byte, error) { made++; return []byte(text), nil }
	}
	for range 2 {
		got, err := c.Do("kind", []byte("a"), give("one"))
		require.NoError(t, err)
		assert.Equal(t, "one", string(got))
	}
	assert.Equal(t, 1, made, "the second time it is read back")
	got, err := c.Do("kind", []byte("b"), give("two"))
	require.NoError(t, err)
	assert.Equal(t, "two", string(got), "another key is another thing")
	got, err = c.Do("other", []byte("a"), give("three"))
	require.NoError(t, err)
	assert.Equal(t, "three", string(got), "so is another kind")

	_, err = c.Do("kind", []byte("c"), func() ([]byte, error) { return []byte("half"), errors.New("broke off") })
	require.Error(t, err)
	got, err = c.Do("kind", []byte("c"), give("whole"))
	require.NoError(t, err)
	assert.Equal(t, "whole", string(got), "what failed is not kept")
}
