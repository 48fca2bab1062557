package store

import (
	"testing"
	"time"

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

// A compaction whose copy cannot even begin leaves nothing in the folder, and says why it failed for
// whoever started it.
func TestCompactionThatCannotBegin(t *testing.T) {
	s := openTest(t)
	_, err := s.CreateBook("jobs")
	require.NoError(t, err)
	s.opt.MaxSize = 1 // no file can be as small
	err = s.Compact()
	require.Equal(t, Full, KindOf(err), "%v", err)
	assert.NoFileExists(t, s.opt.Path+compactingSuffix)
	require.NoError(t, s.NotCompacted(), "it was not started in the background")
	require.NoError(t, s.StartCompact())
	require.Eventually(t, func() bool { return !s.compacting.Load() }, time.Minute, time.Millisecond)
	assert.Equal(t, Full, KindOf(s.NotCompacted()))
	s.opt.MaxSize = 0
	require.NoError(t, s.StartCompact())
	require.Eventually(t, func() bool { return !s.compacting.Load() }, time.Minute, time.Millisecond)
	assert.NoError(t, s.NotCompacted())
}
