//go:build before && linux

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/store"
)

// TestServiceBefore takes an office of the earlier version, with a job, a certificate and devices in
// it, over as a service of this one: nothing of it is lost, a copy is made first, the earlier version
// refuses what this one has made of it and finds its own again by that copy.
func TestServiceBefore(t *testing.T) {
	old := before(t)
	m, root := machine(t)
	data := filepath.Join(root, "srv/records")
	require.NoError(t, os.MkdirAll(data, 0o755))
	earlier := browsertest.StartProgram(t, old, data, "--lan", "--start-addr", "127.0.0.1:0")
	keys := earlier.Keys(t)
	runs(t, old, "demo", "--data", data)
	file := func(name string) string { return filepath.Join(t.TempDir(), name) }
	was := file("was.json")
	runs(t, old, "export", was, "--data", data)
	devices := said(t, old, "devices", "--data", data)
	token := read(t, data, "office.token")
	earlier.Kill()

	code, words := service(t, m, append([]string{"install", "--data", "/srv/records"}, quiet...)...)
	require.Equal(t, exitOK, code, words)
	is := file("is.json")
	runs(t, m.program, "export", is, "--data", data)
	want := docsOf(t, was)
	require.Greater(t, len(want), 80)
	assert.Equal(t, want, docsOf(t, is))
	assert.Equal(t, token, read(t, data, "office.token"))
	assert.Equal(t, len(devices), len(said(t, m.program, "devices", "--data", data)), "the same devices")
	at, ok := readServing(data)
	require.True(t, ok)
	now := &browsertest.Office{Addr: at.URL[len("https://"):]}
	assert.Equal(t, keys[len(keys)-1], now.Keys(t)[len(keys)-1], "phones trust the same certificate")
	copies, err := store.UpgradeCopies(filepath.Join(data, snapshotDir))
	require.NoError(t, err)
	require.Len(t, copies, 1)

	code, words = service(t, m, "remove")
	require.Equal(t, exitOK, code, words)
	text := read(t, data, storeFile)
	out, err := exec.Command(old, "export", file("none.json"), "--data", data).CombinedOutput()
	require.Error(t, err, "the earlier version refuses it")
	assert.Contains(t, string(out), "use a newer Datumbook")
	require.True(t, text == read(t, data, storeFile), "and leaves it byte for byte")
	runs(t, old, "restore", copies[0].Path, "--data", data)
	back := file("back.json")
	runs(t, old, "export", back, "--data", data)
	assert.Equal(t, want, docsOf(t, back))
}

// said gives what a program prints.
func said(t *testing.T, program string, args ...string) string {
	t.Helper()
	out, err := exec.Command(program, args...).CombinedOutput()
	require.NoError(t, err, "%s", out)
	return string(out)
}
