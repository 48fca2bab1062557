package replication

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gorilla/mux"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/web"
	"datumbook/store"
)

// between is a proxy that may disturb requests. spoil gets the number of the request and reports
// whether it answered it.
func between(t *testing.T, o *office, spoil func(n int, w http.ResponseWriter, r *http.Request) bool) string {
	t.Helper()
	target, err := url.Parse(o.URL)
	require.NoError(t, err)
	proxy := httputil.NewSingleHostReverseProxy(target)
	proxy.ErrorHandler = func(w http.ResponseWriter, _ *http.Request, _ error) { cut(w) }
	var n atomic.Int64
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !spoil(int(n.Add(1)), w, r) {
			proxy.ServeHTTP(w, r)
		}
	}))
	t.Cleanup(srv.Close)
	return srv.URL + "/sync"
}

// cut ends the connection without an answer.
func cut(w http.ResponseWriter) {
	if conn, _, err := w.(http.Hijacker).Hijack(); err == nil {
		_ = conn.Close()
	}
}

// The connection is cut once at each phase of a replication, before the office has the request and
// after it has answered: pushing and pulling come through, and nothing is doubled.
func TestCutAtEveryPhase(t *testing.T) {
	for _, phase := range []string{"GET /sync/jobs/", "_local", "_revs_diff", "_bulk_docs", "_changes", "_bulk_get"} {
		for _, late := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s late=%v", strings.ReplaceAll(phase, "/", " "), late), func(t *testing.T) {
				t.Parallel()
				o := mustOffice(t, "jobs")
				var cuts atomic.Int32
				at := between(t, o, func(_ int, w http.ResponseWriter, r *http.Request) bool {
					if !strings.Contains(r.Method+" "+r.URL.Path, phase) || cuts.Load() >= 2 {
						return false
					}
					cuts.Add(1)
					if late { // the office does its work; the answer is lost
						body, _ := io.ReadAll(r.Body)
						req, err := http.NewRequest(r.Method, o.URL+r.URL.RequestURI(), bytes.NewReader(body))
						if err == nil {
							req.Header = r.Header
							if resp, err := http.DefaultClient.Do(req); err == nil {
								_ = resp.Body.Close()
							}
						}
					}
					cut(w)
					return true
				})
				pull := phase == "_changes" || phase == "_bulk_get"
				if pull {
					peer(t, o.at(), "pushUntilDone", "25")
					peer(t, at, "pullUntilDone", "25")
				} else {
					peer(t, at, "pushUntilDone", "25")
				}
				assert.Positive(t, cuts.Load(), "nothing was cut: this proves nothing")
				r := o.ask(t, "GET", "/jobs", "")
				assert.EqualValues(t, 25, r.at("doc_count"))
				assert.EqualValues(t, 25, r.at("update_seq"), "a repeated push changes nothing")
			})
		}
	}
}

// Answers are spoiled at random; the push still comes through whole.
func TestUnreliableNetwork(t *testing.T) {
	t.Parallel()
	o := mustOffice(t, "jobs")
	rng := rand.New(rand.NewPCG(7, 7))
	var mu sync.Mutex
	at := between(t, o, func(n int, w http.ResponseWriter, _ *http.Request) bool {
		mu.Lock()
		defer mu.Unlock()
		if rng.IntN(6) > 0 {
			return false
		}
		switch rng.IntN(3) {
		case 0:
			cut(w)
		case 1:
			_ = web.JSON(w, http.StatusServiceUnavailable, map[string]string{"error": "unavailable", "reason": "later"})
		default:
			http.Error(w, "<html>bad gateway</html>", http.StatusBadGateway) // not the office's own: a proxy's
		}
		return true
	})
	peer(t, at, "pushUntilDone", "60")
	assert.EqualValues(t, 60, o.ask(t, "GET", "/jobs", "").at("doc_count"))
}

// moving serves one store after another at one address, as a shop does that restores a backup.
type moving struct {
	mu sync.Mutex
	h  http.Handler
}

func (m *moving) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	m.mu.Lock()
	h := m.h
	m.mu.Unlock()
	h.ServeHTTP(w, r)
}

func (m *moving) serve(t *testing.T, path string) *store.Store {
	t.Helper()
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	m.mu.Lock()
	defer m.mu.Unlock()
	m.h = mount(&Handler{Store: s})
	return s
}

// Loss: the office goes back to an older backup. Without a new identity and without dropping
// checkpoints, what phones pushed since stays away for good; with them the same phone sends it
// again.
func TestRollbackLosesNothing(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	path, backup := filepath.Join(dir, "office.db"), filepath.Join(dir, "backup.db")
	m := &moving{}
	s := m.serve(t, path)
	_, err := s.CreateBook("jobs")
	require.NoError(t, err)
	srv := httptest.NewServer(m)
	defer srv.Close()
	phone := startPhone(t, srv.URL+"/sync")
	phone.do("put 0 50")
	phone.do("push")
	require.NoError(t, s.Backup(backup))
	phone.do("put 50 100")
	phone.do("push")
	require.NoError(t, s.Close())
	_, err = store.Restore(context.Background(), backup, path, time.Now(), "office")
	require.NoError(t, err)
	s = m.serve(t, path)
	defer s.Close()
	b, err := s.Book("jobs")
	require.NoError(t, err)
	in, err := b.Info()
	require.NoError(t, err)
	require.EqualValues(t, 50, in.Docs)
	phone.do("push")
	in, err = b.Info()
	require.NoError(t, err)
	assert.EqualValues(t, 100, in.Docs, "the same phone, in the same session, sends what the backup lacked")
	report, err := s.Verify(context.Background())
	require.NoError(t, err)
	assert.Empty(t, report.Problems)
}

// Loss: a document that is refused is never offered again. Documents that break the shop's rules
// are therefore stored and flagged; those the protocol forbids are quarantined whole.
func TestObjectionableRecordsAreKept(t *testing.T) {
	t.Parallel()
	s, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "o.db"), Rules: func(_, _ string, doc []byte) []string {
		if bytes.Contains(doc, []byte(`"i":7`)) {
			return []string{"seven is too deep"}
		}
		return nil
	}})
	require.NoError(t, err)
	defer s.Close()
	_, err = s.CreateBook("jobs")
	require.NoError(t, err)
	srv := httptest.NewServer(mount(&Handler{Store: s}))
	defer srv.Close()
	phone := startPhone(t, srv.URL+"/sync")
	phone.do("put 0 20")
	phone.do("push") // fails if PouchDB counts a single failure
	flags, err := s.Flags()
	require.NoError(t, err)
	require.Len(t, flags, 1)
	assert.Equal(t, "p7", flags[0].ID)
	b, err := s.Book("jobs")
	require.NoError(t, err)
	in, err := b.Info()
	require.NoError(t, err)
	assert.EqualValues(t, 20, in.Docs)
	resp, err := http.Post(srv.URL+"/sync/jobs/_bulk_docs", "application/json", strings.NewReader(`{"new_edits":false,"docs":[{"_id":"odd","_rev":"1-a","_future":true,"kept":"whole"}]}`))
	require.NoError(t, err)
	_ = resp.Body.Close()
	refused, err := s.Refused()
	require.NoError(t, err)
	require.Len(t, refused, 1)
	assert.JSONEq(t, `{"kept":"whole","_future":true}`, string(refused[0].Body))
}

// Loss: two phones give two photos one id and so one revision; the second is never sent. Ids of
// their own save both.
func TestTwoPhotosUnderIDsOfTheirOwn(t *testing.T) {
	t.Parallel()
	o := mustOffice(t, "photos")
	for i, id := range []string{store.NewID(), store.NewID()} {
		r := o.ask(t, "POST", "/photos/_bulk_docs", fmt.Sprintf(`{"new_edits":false,"docs":[{"_id":%q,"_rev":"1-same","_attachments":{"photo":{"content_type":"image/jpeg","data":%q}}}]}`, id, encode64([]byte{byte(i)})))
		assert.Equal(t, "[]\n", r.body)
	}
	assert.EqualValues(t, 2, o.ask(t, "GET", "/photos", "").at("doc_count"))
	// If it happens anyway, the second content is quarantined and reported.
	for i := range 2 {
		o.ask(t, "POST", "/photos/_bulk_docs", fmt.Sprintf(`{"new_edits":false,"docs":[{"_id":"one","_rev":"1-same","_attachments":{"photo":{"content_type":"image/jpeg","data":%q}}}]}`, encode64([]byte{byte(i)})))
	}
	refused, err := o.Store.Refused()
	require.NoError(t, err)
	assert.Len(t, refused, 1)
}

// Loss: disconnected phones leave long polls open. An idle poll ends by itself, and a poll whose
// client has left frees its waiter at once.
func TestVanishedPhonesFreeTheirPolls(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.IdlePoll = 400 * time.Millisecond
	conn, err := net.Dial("tcp", o.Listener.Addr().String())
	require.NoError(t, err)
	defer conn.Close()
	_, err = fmt.Fprintf(conn, "GET /sync/jobs/_changes?feed=longpoll&since=0&heartbeat=100 HTTP/1.1\r\nHost: x\r\n\r\n")
	require.NoError(t, err)
	require.NoError(t, conn.SetReadDeadline(time.Now().Add(5*time.Second)))
	var got []byte
	buf := make([]byte, 1024)
	for !bytes.Contains(got, []byte("last_seq")) {
		n, err := conn.Read(buf)
		require.NoError(t, err)
		got = append(got, buf[:n]...)
	}
	o.IdlePoll = time.Hour
	ctx, leave := context.WithCancel(context.Background())
	done := make(chan struct{})
	h := o.Routes()
	for _, rt := range h {
		if rt.Path == "/{db}/_changes" && rt.Method == "GET" {
			req := httptest.NewRequest("GET", "/jobs/_changes?feed=longpoll", nil).WithContext(ctx)
			req = mux.SetURLVars(req, map[string]string{"db": "jobs"})
			go func() { defer close(done); assert.NoError(t, rt.Handler(httptest.NewRecorder(), req)) }()
		}
	}
	time.Sleep(30 * time.Millisecond)
	leave()
	select {
	case <-done:
	case <-time.After(5 * time.Second):
		t.Fatal("the waiter stayed")
	}
}

// Loss: more edits made offline than the office keeps generations leave a spurious conflict. The
// office keeps as many as phones do: after 1,000 edits between two pushes there is none.
func TestDeepOfflineHistory(t *testing.T) {
	t.Parallel()
	o := mustOffice(t, "jobs")
	edit := func(from, to int) string {
		ids := make([]string, 0, to)
		for i := to; i >= max(1, to-999); i-- { // a phone sends its last 1,000
			ids = append(ids, fmt.Sprintf(`"%032x"`, i))
		}
		return fmt.Sprintf(`{"new_edits":false,"docs":[{"_id":"x","_rev":"%d-%032x","_revisions":{"start":%d,"ids":[%s]},"n":%d}]}`, to, to, to, strings.Join(ids, ","), from)
	}
	assert.Equal(t, "[]\n", o.ask(t, "POST", "/jobs/_bulk_docs", edit(0, 1)).body)
	assert.Equal(t, "[]\n", o.ask(t, "POST", "/jobs/_bulk_docs", edit(1, 1000)).body)
	r := o.ask(t, "GET", "/jobs/x?conflicts=true", "")
	assert.Nil(t, r.at("_conflicts"))
	assert.Equal(t, "[]\n", o.ask(t, "POST", "/jobs/_bulk_docs", edit(1000, 1990)).body)
	r = o.ask(t, "GET", "/jobs/x?conflicts=true&revs=true", "")
	assert.Nil(t, r.at("_conflicts"))
	assert.Len(t, r.at("_revisions.ids"), 1000)
}

// Loss: whatever is not JSON, redirected or without its slash is retried for ever. The whole table
// is walked with and without, and every answer of an error is JSON.
func TestNoAnswerIsARedirectOrAPage(t *testing.T) {
	o := mustOffice(t, "jobs")
	client := *o.Client()
	client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	for _, rt := range o.Routes() {
		path := strings.NewReplacer("{db}", "none", "{id}", "a%2Fb", "{ddoc}", "d", "{att:.+}", "x//y").Replace(rt.Path)
		req, err := http.NewRequest(rt.Method, o.at()+path, nil)
		require.NoError(t, err)
		resp, err := client.Do(req)
		require.NoError(t, err)
		text, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		_ = resp.Body.Close()
		assert.False(t, resp.StatusCode >= 300 && resp.StatusCode < 400, "%s %s: %d", rt.Method, path, resp.StatusCode)
		if resp.StatusCode >= 400 {
			assert.Equal(t, "application/json", resp.Header.Get("Content-Type"), "%s %s", rt.Method, path)
			if rt.Method != "HEAD" {
				assert.Contains(t, string(text), `"reason"`, "%s %s", rt.Method, path)
			}
		}
	}
}
