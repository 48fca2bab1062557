package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/server/replication/peertest"
)

// nodePhone is a PouchDB in Node that keeps its records between commands.
type nodePhone struct {
	t   *testing.T
	in  io.Writer
	out *bufio.Reader
	err *bytes.Buffer
}

func startNodePhone(t *testing.T, office string) *nodePhone {
	cmd := exec.Command("node", "run.js", office+"/sync", "phone")
	cmd.Dir = peertest.Install(t, peerFolder)
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	p := &nodePhone{t, in, bufio.NewReader(out), &bytes.Buffer{}}
	cmd.Stderr = p.err
	require.NoError(t, cmd.Start())
	watch := time.AfterFunc(2*time.Minute, func() { _ = cmd.Process.Kill() })
	t.Cleanup(func() { _ = in.Close(); _ = cmd.Wait(); watch.Stop() })
	p.hears("ready\n")
	return p
}

func (p *nodePhone) do(what string) {
	p.t.Helper()
	_, err := io.WriteString(p.in, what+"\n")
	require.NoError(p.t, err)
	p.hears("done\n")
}

func (p *nodePhone) hears(want string) {
	p.t.Helper()
	line, err := p.out.ReadString('\n')
	require.NoError(p.t, err, "%s", p.err)
	require.Equal(p.t, want, line)
}

// TestRestoreIsFilledByPhones: a backup made while serving is restored, in its place and on a new
// machine. A PouchDB that had pushed since, in the same session and at the same address, sends
// again what the backup lacks; so does one that has neither.
func TestRestoreIsFilledByPhones(t *testing.T) {
	t.Parallel()
	program := browsertest.Program(t)
	data, backup := t.TempDir(), filepath.Join(t.TempDir(), "monday.db")
	gate := browsertest.NewGate(t)
	var office *browsertest.Office
	serve := func(data string) {
		office = browsertest.StartOffice(t, data, "--book", "jobs")
		gate.To(office.Addr)
	}
	stop := func() {
		gate.Shut()
		office.Kill()
		gate.Open()
	}
	datumbook := func(args ...string) string {
		t.Helper()
		out, err := exec.Command(program, args...).CombinedOutput()
		require.NoError(t, err, "%s", out)
		return string(out)
	}
	get := func(path string, v any) {
		t.Helper()
		resp, err := http.Get(gate.URL() + path)
		require.NoError(t, err)
		defer resp.Body.Close()
		require.NoError(t, json.NewDecoder(resp.Body).Decode(v))
	}
	uuid := func() string {
		var welcome struct{ UUID string }
		get("/sync/", &welcome)
		require.Len(t, welcome.UUID, 32)
		return welcome.UUID
	}
	counts := func() (docs, seq int) {
		var info struct {
			Docs int `json:"doc_count"`
			Seq  int `json:"update_seq"`
		}
		get("/sync/jobs", &info)
		return info.Docs, info.Seq
	}

	serve(data)
	first := uuid()
	phone := startNodePhone(t, gate.URL())
	phone.do("put 0 50")
	phone.do("push")
	assert.Contains(t, datumbook("backup", backup, "--data", data), "50 records")
	phone.do("put 50 80")
	phone.do("push")
	stop()
	serve(data)
	assert.Equal(t, first, uuid(), "a restart is no new history")
	docs, seq := counts()
	require.Equal(t, 80, docs)
	stop()

	assert.Contains(t, datumbook("restore", backup, "--data", data), "Restored")
	serve(data)
	second := uuid()
	assert.NotEqual(t, first, second, "a restored store is another history")
	docs, after := counts()
	require.Equal(t, 50, docs)
	assert.Greater(t, after, seq, "no sequence is given out twice")
	phone.do("push")
	docs, _ = counts()
	assert.Equal(t, 80, docs, "what was pushed after the backup comes again")
	stop()

	// The same backup on a new machine, at the same address.
	fresh := t.TempDir()
	datumbook("restore", backup, "--data", fresh)
	serve(fresh)
	third := uuid()
	assert.NotContains(t, []string{first, second}, third, "two restores of one backup are two histories")
	phone.do("put 80 90")
	phone.do("push")
	docs, _ = counts()
	assert.Equal(t, 90, docs)
	phone.do("pull")
	stop()
	for _, dir := range []string{data, fresh} {
		assert.Contains(t, datumbook("verify", "--data", dir), "Sound: ")
	}

	// A store that knows nothing gets everything.
	empty := t.TempDir()
	serve(empty)
	assert.NotContains(t, []string{first, second, third}, uuid(), "two stores are two histories")
	phone.do("push")
	docs, _ = counts()
	assert.Equal(t, 90, docs)
}
