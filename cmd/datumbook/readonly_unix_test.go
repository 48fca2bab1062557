//go:build unix

package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
)

// Records on a disk or in a folder that cannot be written, such as a rescued one: what only reads
// works, and leaves nothing beside them. Root may write everywhere, so the commands then run as
// another user.
func TestReadOnlyRecords(t *testing.T) {
	top := t.TempDir()
	data, out := filepath.Join(top, "data"), filepath.Join(top, "out")
	var said bytes.Buffer
	require.Equal(t, exitOK, run(t.Context(), []string{"demo", "--data", data}, &said, &said), said.String())
	require.NoError(t, os.Mkdir(out, 0o777))
	require.NoError(t, os.Chmod(out, 0o777)) // whatever the umask
	for path, mode := range map[string]os.FileMode{filepath.Dir(top): 0o755, top: 0o755, data: 0o555,
		filepath.Join(data, storeFile): 0o444} {
		require.NoError(t, os.Chmod(path, mode))
	}
	t.Cleanup(func() { require.NoError(t, os.Chmod(data, 0o755)) })
	before, err := os.ReadFile(filepath.Join(data, storeFile))
	require.NoError(t, err)

	tool := func(args ...string) (string, error) {
		self, err := os.Executable()
		require.NoError(t, err)
		cmd := exec.Command(self, args...)
		cmd.Args[0] = "datumbook" // by this name the test's program is the product
		cmd.Dir, cmd.Env = "/", []string{"HOME=" + out, "TMPDIR=" + out}
		if os.Geteuid() == 0 {
			cmd.Path = "/proc/self/exe" // the program itself may be in a folder of root's
			cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 12345, Gid: 12345}}
		}
		text, err := cmd.CombinedOutput()
		return string(text), err
	}
	for _, args := range [][]string{
		{"backup", filepath.Join(out, "copy.backup")}, {"verify"}, {"devices"}, {"audit"},
		{"export", filepath.Join(out, "all.json")}, {"export", "--csv", filepath.Join(out, "tables")},
	} {
		text, err := tool(append(args, "--data", data)...)
		require.NoError(t, err, "%v: %s", args, text)
	}
	report, err := store.VerifyFile(t.Context(), filepath.Join(out, "copy.backup"))
	require.NoError(t, err)
	assert.Empty(t, report.Problems)
	assert.Equal(t, 89, report.Docs)

	text, err := tool("demo", "--remove", "--data", data)
	assert.Error(t, err)
	assert.Contains(t, text, "cannot be written")
	after, err := os.ReadFile(filepath.Join(data, storeFile))
	require.NoError(t, err)
	assert.True(t, bytes.Equal(before, after))
	left, err := os.ReadDir(data)
	require.NoError(t, err)
	assert.Len(t, left, 1, "nothing beside it")
}
