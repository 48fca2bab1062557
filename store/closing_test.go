package store

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A compaction begins its next snapshot before it ends the last one. Closing waits for the last, and
// must not keep the next waiting: each would wait for the other for ever.
func TestCloseBetweenTwoSnapshotsOfACompaction(t *testing.T) {
	s := openTest(t)
	last, err := s.begin()
	require.NoError(t, err)
	closed := make(chan error, 1)
	go func() { closed <- s.Close() }()
	<-s.stopped // it is closing now, and waits for the snapshot
	for err == nil {
		next, beginErr := s.begin()
		if err = beginErr; err == nil {
			require.NoError(t, next.Rollback())
		}
	}
	assert.Equal(t, Closed, KindOf(err))
	require.NoError(t, last.Rollback())
	assert.NoError(t, <-closed)
}
