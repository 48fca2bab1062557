// Package peertest installs the npm packages of server/replication/testdata/peer for the tests and
// benchmarks against third-party clients and servers.
package peertest

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

var installed struct {
	sync.Mutex
	done map[string]error
}

// Install installs the packages of a folder as its lock file says, unless they are there already,
// and gives the folder's absolute path. It fails, never skips, where they cannot be had.
func Install(t testing.TB, folder string) string {
	t.Helper()
	dir, err := filepath.Abs(folder)
	require.NoError(t, err)
	installed.Lock()
	defer installed.Unlock()
	err, ok := installed.done[dir]
	if !ok {
		if installed.done == nil {
			installed.done = map[string]error{}
		}
		err = install(dir)
		installed.done[dir] = err
	}
	require.NoError(t, err, "these tests need Node 20 or later with npm, and the registry or its cache")
	return dir
}

// install runs npm once, also where two packages' tests begin at the same moment.
func install(dir string) error {
	lock, err := os.ReadFile(filepath.Join(dir, "package-lock.json"))
	if err != nil {
		return err
	}
	mark := filepath.Join(dir, "node_modules", ".installed")
	there := func() bool {
		have, err := os.ReadFile(mark)
		return err == nil && bytes.Equal(have, lock)
	}
	if there() {
		return nil
	}
	done, err := alone(filepath.Join(dir, "node_modules.busy"))
	if err != nil {
		return err
	}
	defer done()
	if there() {
		return nil
	}
	cmd := exec.Command("npm", "ci", "--no-audit", "--no-fund", "--prefer-offline")
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("npm ci: %w: %s", err, out)
	}
	return os.WriteFile(mark, lock, 0o600)
}

// alone waits until no other process holds the lock, or its lock is stale.
func alone(name string) (done func(), err error) {
	const long = 5 * time.Minute
	for {
		f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
		if err == nil {
			return func() { _ = os.Remove(name) }, f.Close()
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
		if info, err := os.Stat(name); err == nil && time.Since(info.ModTime()) > long {
			_ = os.Remove(name)
		}
		time.Sleep(100 * time.Millisecond)
	}
}
