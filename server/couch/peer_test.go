package couch

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http/httptest"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/mux"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
)

// office is a handler on a store of its own, served on a free port.
type office struct {
	*Handler
	*httptest.Server
}

// mustOffice starts one with the books named. When the test ends the whole store is verified.
func mustOffice(t testing.TB, books ...string) *office {
	t.Helper()
	s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	for _, name := range books {
		_, err := s.CreateBook(name)
		require.NoError(t, err)
	}
	h := &Handler{Store: s, Version: "test"}
	m := mux.NewRouter().UseEncodedPath().SkipClean(true)
	h.Mount(m, "/sync")
	o := &office{h, httptest.NewServer(m)}
	t.Cleanup(func() {
		o.CloseClientConnections()
		o.Server.Close()
		report, err := s.Verify(context.Background())
		assert.NoError(t, err)
		assert.Empty(t, report.Problems)
		assert.NoError(t, s.Close())
	})
	return o
}

// at gives the address where books are found.
func (o *office) at() string { return o.URL + "/sync" }

var peerOnce sync.Once
var peerErr error

// peer runs a scenario of testdata/peer with PouchDB in Node and gives what it prints.
func peer(t testing.TB, address, scenario string, args ...string) map[string]float64 {
	t.Helper()
	peerOnce.Do(func() {
		cmd := exec.Command("npm", "ci", "--no-audit", "--no-fund", "--prefer-offline")
		cmd.Dir = "testdata/peer"
		var out bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &out
		if peerErr = cmd.Run(); peerErr != nil {
			t.Log(out.String())
		}
	})
	require.NoError(t, peerErr, "these tests need Node 20 or later with npm, and the registry or its cache")
	ctx, stop := context.WithTimeout(context.Background(), 3*time.Minute)
	defer stop()
	cmd := exec.CommandContext(ctx, "node", append([]string{"run.js", address, scenario}, args...)...)
	cmd.Dir = "testdata/peer"
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	require.NoError(t, cmd.Run(), "%s: %s", scenario, errs.String())
	var found map[string]float64
	require.NoError(t, json.Unmarshal(out.Bytes(), &found), out.String())
	return found
}

func TestPouchDB(t *testing.T) {
	for _, c := range []struct {
		scenario string
		args     []string
	}{
		{"pushPull", nil},
		{"conflicts", nil},
		{"deletes", nil},
		{"attachments", []string{"1", "0", "300000"}},
		{"live", nil},
		{"many", []string{"10000", "300", "100"}},
		{"ring", nil},
	} {
		t.Run(c.scenario, func(t *testing.T) {
			o := mustOffice(t, "jobs", "ring1", "ring2", "ring3")
			found := peer(t, o.at(), c.scenario, c.args...)
			if len(found) > 0 {
				t.Log(found)
			}
		})
	}
}

func TestPouchDBAttachments20MB(t *testing.T) {
	o := mustOffice(t, "jobs")
	peer(t, o.at(), "attachments", "5000000", "20000000")
}
