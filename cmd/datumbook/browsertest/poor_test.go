package browsertest

import (
	"io"
	"net"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPoorLine: a gate with a poor line answers no sooner than that, and no slower than three times that.
func TestPoorLine(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	const much = 200_000
	go func() {
		c, err := l.Accept()
		if err != nil {
			return
		}
		_, _ = c.Read(make([]byte, 1))
		_, _ = c.Write(make([]byte, much))
		_ = c.Close()
	}()
	gate := NewGate(t)
	gate.To(l.Addr().String())
	gate.Worsen(Poor{Way: 50 * time.Millisecond, Down: 400_000})
	from := time.Now()
	c, err := net.Dial("tcp", gate.Addr)
	require.NoError(t, err)
	_, err = c.Write([]byte("?"))
	require.NoError(t, err)
	first := make([]byte, 1)
	_, err = io.ReadFull(c, first)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, time.Since(from), 200*time.Millisecond, "a connection's opening, there and back")
	rest, err := io.ReadAll(c)
	require.NoError(t, err)
	assert.Len(t, rest, much-1)
	took := time.Since(from)
	assert.GreaterOrEqual(t, took, 700*time.Millisecond-late)
	assert.Less(t, took, 2100*time.Millisecond)
}
