package server_test

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/replication"
	"datumbook/server/replication/couchcheck"
	"datumbook/server/servertest"
	"datumbook/store"
)

// exchange is one request that a real CouchDB sent, and the answer it got then.
type exchange struct {
	req    *http.Request
	body   []byte
	status int
	kind   string // of the answer
	answer []byte
}

func (x *exchange) String() string { return x.req.Method + " " + x.req.URL.Path }

// recorded reads the connections that were recorded, each with its exchanges.
func recorded(t *testing.T, way string) (out [][]exchange) {
	t.Helper()
	files, err := filepath.Glob("replication/testdata/couchdb/" + way + "/*.req")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		asked, err := os.ReadFile(file)
		require.NoError(t, err)
		told, err := os.ReadFile(strings.TrimSuffix(file, "req") + "ans")
		require.NoError(t, err)
		reqs, answers := bufio.NewReader(bytes.NewReader(asked)), bufio.NewReader(bytes.NewReader(told))
		var conn []exchange
		for {
			req, err := http.ReadRequest(reqs)
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, file)
			x := exchange{req: req}
			x.body, err = io.ReadAll(req.Body)
			require.NoError(t, err, file)
			resp, err := http.ReadResponse(answers, req)
			require.NoError(t, err, file)
			x.status, x.kind = resp.StatusCode, resp.Header.Get("Content-Type")
			x.answer, err = io.ReadAll(resp.Body)
			require.NoError(t, err, file)
			conn = append(conn, x)
		}
		_, err = answers.Peek(1)
		require.ErrorIs(t, err, io.EOF, file)
		out = append(out, conn)
	}
	return out
}

// cluster is a CouchDB's side of one connection: it sends what was recorded, byte for byte but for the
// token, and reads answer after answer from the same stream.
type cluster struct {
	conn net.Conn
	r    *bufio.Reader
	host string
	pass string
}

func dial(t *testing.T, o *servertest.Office, token string) *cluster {
	t.Helper()
	at, err := url.Parse(o.Local())
	require.NoError(t, err)
	conn, err := net.Dial("tcp", at.Host)
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close() })
	return &cluster{conn, bufio.NewReader(conn), at.Host, base64.StdEncoding.EncodeToString([]byte("cluster:" + token))}
}

// ask sends a request and reads its answer.
func (c *cluster) ask(t *testing.T, x *exchange) (status int, kind string, body []byte) {
	t.Helper()
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s %s HTTP/1.1\r\nHost: %s\r\n", x.req.Method, x.req.RequestURI, c.host)
	if x.req.Header.Get("Authorization") != "" {
		fmt.Fprintf(&b, "Authorization: Basic %s\r\n", c.pass)
	}
	for name, values := range x.req.Header {
		if name != "Authorization" {
			fmt.Fprintf(&b, "%s: %s\r\n", name, values[0])
		}
	}
	fmt.Fprintf(&b, "Content-Length: %d\r\n\r\n%s", len(x.body), x.body)
	_, err := c.conn.Write(b.Bytes())
	require.NoError(t, err)
	resp, err := http.ReadResponse(c.r, x.req)
	require.NoError(t, err, x)
	body, err = io.ReadAll(resp.Body)
	require.NoError(t, err, x)
	return resp.StatusCode, resp.Header.Get("Content-Type"), body
}

func startWith(t *testing.T, books ...string) (*servertest.Office, *store.Store, string) {
	t.Helper()
	s := emptyStore(t)
	for _, name := range books {
		_, err := s.CreateBook(name)
		require.NoError(t, err)
	}
	o := servertest.Start(t, func(srv *server.Server) {
		srv.Sync = server.SyncRoutes(&replication.Handler{Store: s})
	})
	token, _ := o.Token(t, store.Owner)
	return o, s, token
}

// rebuild makes the book that the recorded CouchDB pulled, from what it was told of it.
func rebuild(t *testing.T, c *cluster, conns [][]exchange) {
	t.Helper()
	send := func(method, path, kind string, body []byte) {
		t.Helper()
		x := exchange{req: &http.Request{Method: method, RequestURI: "/sync/tr/" + path,
			Header: http.Header{"Content-Type": {kind}, "Authorization": {"Basic"}}}, body: body}
		status, _, answer := c.ask(t, &x)
		require.Equal(t, 201, status, "%s: %s", path, answer)
	}
	docs := map[string]string{} // by id and revision
	for _, conn := range conns {
		for _, x := range conn {
			if strings.HasSuffix(x.req.URL.Path, "/_bulk_get") {
				var answer struct {
					Results []struct {
						Docs []struct{ OK json.RawMessage }
					}
				}
				require.NoError(t, json.Unmarshal(x.answer, &answer))
				for _, row := range answer.Results {
					d, err := couchcheck.Read(row.Docs[0].OK)
					require.NoError(t, err)
					docs[d.ID+" "+d.Rev] = string(row.Docs[0].OK)
				}
			} else if strings.HasPrefix(x.kind, "multipart/mixed") {
				got, err := couchcheck.Mixed(x.kind, x.answer)
				require.NoError(t, err, "the recorded answers were taken by a CouchDB: the checker is wrong")
				docs[got[0].ID+" "+got[0].Rev] = string(wholeDoc(t, got[0]))
			}
		}
	}
	push := func(doc string) {
		t.Helper()
		require.NotEmpty(t, doc)
		send("POST", "_bulk_docs", "application/json", []byte(`{"new_edits":false,"docs":[`+doc+`]}`))
	}
	push(docs["plain 1-67838bb95a9cbc4d585041b59ce5d0d0"])
	push(docs["photo 1-973535c1119216d863212a5c11a4e988"])
	push(docs["clash 1-aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"])
	push(docs["clash 1-bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb"])
	push(`{"_id":"gone","_rev":"1-03bf3e510fa084f991c7a5e607d9712b"}`) // it was deleted then
	push(docs["gone 2-297a6e895c76b438e1eecf34692ab813"])
	push(docs["_design/x 1-8996987d3092207cd37b7b1ff37cb6bd"])
}

// wholeDoc gives a document with its contents inside.
func wholeDoc(t *testing.T, d couchcheck.Doc) []byte {
	t.Helper()
	if len(d.Files) > 0 {
		var atts map[string]map[string]any
		require.NoError(t, json.Unmarshal(d.Members["_attachments"], &atts))
		for name, a := range atts {
			delete(a, "follows")
			a["data"] = d.Files[name]
		}
		text, err := json.Marshal(atts)
		require.NoError(t, err)
		d.Members["_attachments"] = text
	}
	text, err := json.Marshal(d.Members)
	require.NoError(t, err)
	return text
}

// A CouchDB that pulls: each request it sends is answered so that it goes on, with the same records
// that it was given when its own tables were equal to the office's in the end.
func TestPullByCouchDB(t *testing.T) {
	o, _, token := startWith(t, "tr")
	conns := recorded(t, "pull")
	rebuild(t, dial(t, o, token), conns)
	for _, conn := range conns {
		c := dial(t, o, token)
		for i := range conn {
			x := &conn[i]
			status, kind, body := c.ask(t, x)
			checkPull(t, x, status, kind, body)
		}
	}
}

func checkPull(t *testing.T, x *exchange, status int, kind string, body []byte) {
	t.Helper()
	path := strings.TrimPrefix(x.req.URL.Path, "/sync/tr/")
	switch {
	case x.req.URL.Path == "/_session":
		assert.NoError(t, couchcheck.NoSession(status, body), x)
	case path == "_changes":
		got, last, err := couchcheck.Changes(body)
		require.NoError(t, err, x)
		want, lastThen, err := couchcheck.Changes(x.answer)
		require.NoError(t, err, x)
		assert.Equal(t, want, got, x)
		assert.Equal(t, lastThen, last, x)
	case path == "_bulk_get":
		asked := askedFor(t, x)
		got, err := couchcheck.BulkGet(asked, body)
		require.NoError(t, err, x)
		for i, d := range got {
			assert.Equal(t, asked[i], couchcheck.Asked{ID: d.ID, Rev: d.Rev}, x)
			assert.Empty(t, d.Files, "no contents were asked for: they are read from parts afterwards")
		}
		if len(got) > 0 && got[0].ID == "photo" {
			assert.Len(t, got[0].Stubs, 2)
		}
	case x.req.URL.Query().Has("open_revs"):
		assert.Equal(t, x.status, status, x)
		got, err := couchcheck.Mixed(kind, body)
		require.NoError(t, err, x)
		want, err := couchcheck.Mixed(x.kind, x.answer)
		require.NoError(t, err, x)
		require.Len(t, got, len(want), x)
		for i := range want {
			assert.Equal(t, want[i].Files, got[i].Files, x)
			assert.JSONEq(t, string(wholeDoc(t, want[i])), string(wholeDoc(t, got[i])), x)
		}
	default:
		assert.Equal(t, x.status, status, "%s: %s", x, body)
		checkSame(t, x, body)
	}
}

// checkSame compares a JSON answer with the recorded one: the same members, and the same values but
// for sizes.
func checkSame(t *testing.T, x *exchange, body []byte) {
	t.Helper()
	var want, got map[string]any
	require.NoError(t, json.Unmarshal(x.answer, &want), x)
	require.NoError(t, json.Unmarshal(body, &got), "%s: %s", x, body)
	delete(want, "sizes")
	delete(got, "sizes")
	assert.Equal(t, want, got, x)
}

func askedFor(t *testing.T, x *exchange) []couchcheck.Asked {
	t.Helper()
	var v struct{ Docs []couchcheck.Asked }
	require.NoError(t, json.Unmarshal(x.body, &v))
	return v.Docs
}

// A CouchDB that pushes: the same requests fill an empty book with the same records.
func TestPushByCouchDB(t *testing.T) {
	o, s, token := startWith(t, "tr2")
	conns := recorded(t, "push")
	c := dial(t, o, token)
	// The recording interleaves four connections; asking comes before sending, and sending before
	// checkpoints, as it did.
	var all []*exchange
	for i := range conns {
		for k := range conns[i] {
			all = append(all, &conns[i][k])
		}
	}
	rank := func(x *exchange) int {
		switch path := x.req.URL.Path; {
		case strings.HasSuffix(path, "/_revs_diff"):
			return 1
		case strings.HasSuffix(path, "/_ensure_full_commit"):
			return 3
		case x.req.Method == "PUT" && strings.Contains(path, "/_local/"):
			return 4
		case x.req.Method == "PUT" || strings.HasSuffix(path, "/_bulk_docs"):
			return 2
		}
		return 0
	}
	slices.SortStableFunc(all, func(a, b *exchange) int { return rank(a) - rank(b) })
	for _, x := range all {
		status, _, body := c.ask(t, x)
		switch path := x.req.URL.Path; {
		case path == "/_session":
			assert.NoError(t, couchcheck.NoSession(status, body))
		case strings.HasSuffix(path, "/_bulk_docs"):
			failed, err := couchcheck.BulkDocs(status, body)
			require.NoError(t, err, x)
			assert.Empty(t, failed, x)
		case strings.HasSuffix(path, "/_revs_diff"):
			got, err := couchcheck.RevsDiff(body)
			require.NoError(t, err, x)
			want, err := couchcheck.RevsDiff(x.answer)
			require.NoError(t, err, x)
			assert.Equal(t, want, got, x)
		case rank(x) == 2:
			rev, err := couchcheck.Saved(status, body)
			require.NoError(t, err, x)
			want, err := couchcheck.Saved(x.status, x.answer)
			require.NoError(t, err, x)
			assert.Equal(t, want, rev, x)
		default:
			assert.Equal(t, x.status, status, "%s: %s", x, body)
			checkSame(t, x, body)
		}
	}
	b, err := s.Book("tr2")
	require.NoError(t, err)
	in, err := b.Info()
	require.NoError(t, err)
	assert.EqualValues(t, 4, in.Docs, "plain, photo, clash and the design document")
	assert.EqualValues(t, 1, in.Deleted)
	ask := func(method, path string) string {
		x := exchange{req: &http.Request{Method: method, RequestURI: "/sync/tr2/" + path,
			Header: http.Header{"Authorization": {"Basic"}}}}
		status, _, body := c.ask(t, &x)
		require.Equal(t, 200, status, "%s: %s", path, body)
		return string(body)
	}
	assert.Equal(t, strings.Repeat("hello ", 40), ask("GET", "photo/%C3%BCmlaut%20%22q%22.txt"),
		"a text that came packed is unpacked")
	assert.Len(t, ask("GET", "photo/image"), 258)
	assert.Contains(t, ask("GET", "clash?conflicts=true"), `"_conflicts":["1-aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"]`)
	refused, err := s.Refused()
	require.NoError(t, err)
	assert.Empty(t, refused)
}

// Basic with any name and the token as the password opens everything below /sync, as a CouchDB logs
// in once there is no session to be had; a wrong one is 401, which ends its replication.
func TestBasicBelowSync(t *testing.T) {
	o, _, token := startWith(t, "book")
	for _, c := range []struct {
		name, token string
		want        int
	}{{"any name at all", token, 200}, {"", token, 200}, {"cluster", "dtb_wrong", 401}} {
		for _, path := range []string{"/sync/", "/sync/book/", "/sync/book/_changes", "/sync/book/_all_docs"} {
			req, err := http.NewRequest("GET", o.Local()+path, nil)
			require.NoError(t, err)
			req.SetBasicAuth(c.name, c.token)
			resp, err := http.DefaultClient.Do(req)
			require.NoError(t, err)
			_ = resp.Body.Close()
			assert.Equal(t, c.want, resp.StatusCode, "%q %s", c.name, path)
		}
	}
	for _, method := range []string{"GET", "POST"} {
		req, err := http.NewRequest(method, o.Local()+"/_session", strings.NewReader("name=cluster&password="+token))
		require.NoError(t, err)
		if method == "GET" {
			req.Body, req.ContentLength = nil, 0
		}
		resp, err := http.DefaultClient.Do(req)
		require.NoError(t, err)
		body, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		_ = resp.Body.Close()
		assert.NoError(t, couchcheck.NoSession(resp.StatusCode, body), method)
	}
}
