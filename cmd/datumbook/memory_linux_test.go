package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/store"
)

// An office that waits for phones takes little of a small machine.
func TestIdleMemory(t *testing.T) {
	data := t.TempDir()
	browsertest.StartOffice(t, data)
	at, ok := readServing(data)
	require.True(t, ok)
	require.Eventually(t, func() bool {
		made, err := store.Snapshots(filepath.Join(data, snapshotDir))
		return err == nil && len(made) > 0
	}, time.Minute, 10*time.Millisecond, "the first snapshot")
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", at.PID))
	require.NoError(t, err)
	found := regexp.MustCompile(`VmRSS:\s+(\d+) kB`).FindSubmatch(status)
	require.NotNil(t, found)
	kb, err := strconv.Atoi(string(found[1]))
	require.NoError(t, err)
	assert.LessOrEqual(t, kb, 30<<10, "resident kB while nothing is asked")
}
