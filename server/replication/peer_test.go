package replication

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/gorilla/mux"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/replication/peertest"
	"datumbook/server/web"
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
	o := &office{h, httptest.NewServer(mount(h))}
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

// mount gives a handler's table under /sync, without roles, and with the limits and errors that the
// server puts around it.
func mount(h *Handler) *mux.Router {
	m := mux.NewRouter().UseEncodedPath().SkipClean(true)
	log := slog.New(slog.DiscardHandler)
	limits := web.Limits{Patience: time.Minute, Closing: context.Background()}
	for _, rt := range h.Routes() {
		route := m.Path("/sync" + rt.Path).Methods(rt.Method)
		route.Handler(web.Serve(func(w http.ResponseWriter, r *http.Request) error {
			limited, stop, err := limits.Apply(w, r, rt)
			if err != nil {
				return err
			}
			defer stop()
			web.Serve(rt.Handler, log).ServeHTTP(w, limited)
			return nil
		}, log))
	}
	return m
}

// at gives the address where books are found.
func (o *office) at() string { return o.URL + "/sync" }

// installPeer installs PouchDB, unless it is there already.
func installPeer(t testing.TB) { t.Helper(); peertest.Install(t, "testdata/peer") }

// phone is a PouchDB that stays awake between commands.
type phone struct {
	t   *testing.T
	in  io.WriteCloser
	out *bufio.Reader
	err *bytes.Buffer
}

func startPhone(t *testing.T, address string) *phone {
	t.Helper()
	installPeer(t)
	cmd := exec.Command("node", "run.js", address, "phone")
	cmd.Dir = "testdata/peer"
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	p := &phone{t, in, bufio.NewReader(out), &bytes.Buffer{}}
	cmd.Stderr = p.err
	require.NoError(t, cmd.Start())
	watch := time.AfterFunc(time.Minute, func() { _ = cmd.Process.Kill() })
	t.Cleanup(func() {
		_ = in.Close()
		_ = cmd.Wait()
		watch.Stop()
	})
	p.expect("ready\n")
	return p
}

func (p *phone) do(what string) {
	p.t.Helper()
	_, err := io.WriteString(p.in, what+"\n")
	require.NoError(p.t, err)
	p.expect("done\n")
}

func (p *phone) expect(want string) {
	p.t.Helper()
	line, err := p.out.ReadString('\n')
	if err != nil {
		time.Sleep(100 * time.Millisecond)
	}
	require.NoError(p.t, err, p.err)
	require.Equal(p.t, want, line)
}

// peer runs a scenario of testdata/peer with PouchDB in Node and gives what it prints.
func peer(t testing.TB, address, scenario string, args ...string) map[string]float64 {
	t.Helper()
	installPeer(t)
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
		{"histories", []string{"1"}},
		{"histories", []string{"20240506"}},
	} {
		t.Run(c.scenario, func(t *testing.T) {
			t.Parallel()
			o := mustOffice(t, "jobs", "ring1", "ring2", "ring3")
			found := peer(t, o.at(), c.scenario, c.args...)
			if len(found) > 0 {
				t.Log(found)
			}
		})
	}
}

func TestPouchDBAttachments20MB(t *testing.T) {
	t.Parallel()
	o := mustOffice(t, "jobs")
	peer(t, o.at(), "attachments", "5000000", "20000000")
}
