package main

import (
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

const (
	browserWait = 30 * time.Second
	browserTick = 20 * time.Millisecond
)

// desk is a desktop whose xdg-open notes what it is given to open.
func desk(t *testing.T) (env []string, opened func() []string) {
	dir := t.TempDir()
	notes := filepath.Join(dir, "opened")
	script := "#!/bin/sh\necho \"$#:$1\" >> " + notes + "\n"
	require.NoError(t, os.WriteFile(filepath.Join(dir, "xdg-open"), []byte(script), 0o755))
	for _, pair := range os.Environ() {
		name, _, _ := strings.Cut(pair, "=")
		if !strings.HasPrefix(name, "DATUMBOOK_") && name != "PATH" && name != "DISPLAY" && name != "WAYLAND_DISPLAY" {
			env = append(env, pair)
		}
	}
	env = append(env, "PATH="+dir+":"+os.Getenv("PATH"))
	return env, func() []string {
		text, _ := os.ReadFile(notes)
		return strings.Fields(string(text))
	}
}

// TestDoubleClick starts the program as a file manager does: with no arguments and no terminal. The
// office comes up in the browser; a second click opens it once more and ends.
func TestDoubleClick(t *testing.T) {
	t.Parallel()
	env, opened := desk(t)
	env = append(env, "DATUMBOOK_DATA="+t.TempDir(), "DATUMBOOK_ADDR=127.0.0.1:0", "DISPLAY=:99")
	first := exec.Command(browsertest.Program(t))
	first.Env = env
	said, err := os.Create(filepath.Join(t.TempDir(), "said"))
	require.NoError(t, err)
	defer said.Close()
	first.Stdout, first.Stderr = said, said
	require.NoError(t, first.Start())
	ended := make(chan error, 1)
	go func() { ended <- first.Wait() }()
	t.Cleanup(func() { _ = first.Process.Kill() })
	require.Eventually(t, func() bool { return len(opened()) == 1 }, browserWait, browserTick)
	address, ok := strings.CutPrefix(opened()[0], "1:")
	require.True(t, ok, "one argument: %s", opened()[0])
	assert.Regexp(t, `^http://127\.0\.0\.1:\d+/$`, address, "the system says whose connection it is: no key")
	resp, err := http.Get(address + "api/devices")
	require.NoError(t, err)
	_, _ = io.Copy(io.Discard, resp.Body)
	require.NoError(t, resp.Body.Close())
	assert.Equal(t, http.StatusOK, resp.StatusCode, "this user's browser is let in")
	require.Eventually(t, func() bool { return strings.Contains(read(t, said.Name()), "Close this window to stop it.") },
		browserWait, browserTick)

	second := exec.Command(browsertest.Program(t))
	second.Env = env
	out, err := second.CombinedOutput()
	require.NoError(t, err, "%s", out)
	assert.Contains(t, string(out), "The office runs already, at "+strings.TrimSuffix(address, "/"))
	require.Eventually(t, func() bool { return len(opened()) == 2 }, browserWait, browserTick)
	assert.Equal(t, opened()[0], opened()[1])

	// What closing the window does.
	require.NoError(t, first.Process.Signal(os.Interrupt))
	require.NoError(t, <-ended)
}

// A double click that fails says why where it can be read.
func TestDoubleClickThatFails(t *testing.T) {
	t.Parallel()
	env, opened := desk(t)
	data := filepath.Join(t.TempDir(), "data")
	require.NoError(t, os.WriteFile(data, nil, 0o600)) // no folder
	cmd := exec.Command(browsertest.Program(t))
	cmd.Env = append(env, "DATUMBOOK_DATA="+data, "DISPLAY=:99", "TMPDIR="+t.TempDir())
	out, err := cmd.CombinedOutput()
	require.Error(t, err)
	assert.Contains(t, string(out), "the folder for the records cannot be made")
	require.Eventually(t, func() bool { return len(opened()) == 1 }, browserWait, browserTick)
	assert.Contains(t, read(t, strings.TrimPrefix(opened()[0], "1:")), "Datumbook did not start.\n\nthe folder for the records")
}

// Beside an office with other records, as a service's, no second one is started: its page is opened.
func TestDoubleClickBesideAService(t *testing.T) {
	t.Parallel()
	for scheme, flags := range map[string][]string{"http": nil, "https": {"--lan", "--start-addr", "127.0.0.1:0"}} {
		env, opened := desk(t)
		office := browsertest.StartOffice(t, t.TempDir(), flags...)
		data := filepath.Join(t.TempDir(), "data")
		cmd := exec.Command(browsertest.Program(t))
		cmd.Env = append(env, "DATUMBOOK_DATA="+data, "DATUMBOOK_ADDR="+office.Near(), "DISPLAY=:99")
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
		assert.Contains(t, string(out), "An office runs on this machine already")
		require.Eventually(t, func() bool { return len(opened()) == 1 }, browserWait, browserTick)
		assert.Equal(t, "1:"+scheme+"://"+office.Near()+"/", opened()[0])
		assert.NoDirExists(t, data)
	}
}

// Without a desktop nothing is started: a script that calls the program with nothing gets the help.
func TestNoArgumentsAreNoClick(t *testing.T) {
	t.Parallel()
	env, opened := desk(t)
	cmd := exec.Command(browsertest.Program(t))
	cmd.Env = env
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	require.ErrorAs(t, err, &exit)
	assert.Equal(t, exitUsage, exit.ExitCode())
	assert.Contains(t, string(out), "usage: datumbook COMMAND")
	assert.Empty(t, opened())
}

func TestByClick(t *testing.T) {
	env := func(pairs ...string) func(string) string {
		return func(name string) string {
			for i := 0; i < len(pairs); i += 2 {
				if pairs[i] == name {
					return pairs[i+1]
				}
			}
			return ""
		}
	}
	apple := env("TERM_PROGRAM", "Apple_Terminal")
	for name, c := range map[string]struct {
		start
		want bool
	}{
		"file manager":   {start{system: "linux", env: env("DISPLAY", ":0")}, true},
		"Wayland":        {start{system: "linux", env: env("WAYLAND_DISPLAY", "wayland-0")}, true},
		"terminal":       {start{system: "linux", terminal: true, env: env("DISPLAY", ":0")}, false},
		"script":         {start{system: "linux", env: env()}, false},
		"launchd":        {start{system: "darwin", parent: 1, env: env()}, true},
		"a Mac's script": {start{system: "darwin", parent: 77, env: env()}, false},
		"clicked in Finder": {start{system: "darwin", terminal: true,
			program: "/Users/a/Downloads/d", dir: "/Users/a", home: "/Users/a", env: apple}, true},
		"typed, by its name": {start{system: "darwin", terminal: true,
			program: "datumbook", dir: "/Users/a", home: "/Users/a", env: apple}, false},
		"typed, in a folder": {start{system: "darwin", terminal: true, program: "./d", dir: "/Users/a/d", home: "/Users/a", env: apple}, false},
		"by another terminal": {start{system: "darwin", terminal: true,
			program: "/Users/a/d", dir: "/Users/a", home: "/Users/a", env: env()}, false},
	} {
		assert.Equal(t, c.want, c.byClick(), name)
	}
}
