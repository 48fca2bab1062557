package peer

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/replication"
	"datumbook/store"
	"datumbook/store/revtree"
)

const book = "shop"

// office is a store that is served, and may have peers.
type office struct {
	dir    string
	st     *store.Store
	keeper *Keeper
	gate   *gate
	server *httptest.Server
	clock  *clock

	damaged bool          // by the test
	idle    time.Duration // of long polls
}

// clock is moved by hand.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// gate stands before an office and lets a test answer in its place.
type gate struct {
	mu   sync.Mutex
	next http.Handler
	// deal answers a request and says true, or says false and lets it pass.
	deal func(w http.ResponseWriter, r *http.Request) bool
	seen []string
}

func (g *gate) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	g.mu.Lock()
	deal, next := g.deal, g.next
	g.seen = append(g.seen, r.Method+" "+r.URL.EscapedPath())
	g.mu.Unlock()
	if next == nil {
		panic(http.ErrAbortHandler)
	}
	if deal == nil || !deal(w, r) {
		next.ServeHTTP(w, r)
	}
}

// set changes how the gate deals with requests.
func (g *gate) set(deal func(w http.ResponseWriter, r *http.Request) bool) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.deal = deal
}

func (g *gate) count() int {
	g.mu.Lock()
	defer g.mu.Unlock()
	return len(g.seen)
}

func mustOffice(t testing.TB) *office { t.Helper(); return mustWait(t, 50*time.Millisecond) }

// mustWait opens an office whose long polls wait so long.
func mustWait(t testing.TB, idle time.Duration) *office {
	t.Helper()
	o := &office{dir: t.TempDir(), gate: &gate{}, idle: idle, clock: &clock{now: time.Date(2030, 3, 4, 5, 6, 7, 0, time.UTC)}}
	o.server = httptest.NewServer(o.gate)
	t.Cleanup(o.server.Close)
	t.Cleanup(o.server.CloseClientConnections)
	o.open(t)
	if _, err := o.st.Book(book); err != nil {
		_, err = o.st.CreateBook(book)
		require.NoError(t, err)
	}
	t.Cleanup(func() {
		report, err := o.st.Verify(context.Background())
		assert.NoError(t, err)
		assert.Equal(t, o.damaged, len(report.Problems) > 0, "%v", report.Problems)
		o.close(t)
	})
	return o
}

func (o *office) path() string { return filepath.Join(o.dir, "datumbook.db") }

// open opens the store and serves it.
func (o *office) open(t testing.TB) {
	t.Helper()
	var err error
	o.st, err = store.Open(store.Options{Path: o.path(), Now: o.clock.Now})
	require.NoError(t, err)
	h := &replication.Handler{Store: o.st, IdlePoll: o.idle}
	o.keeper = &Keeper{Dir: o.dir, Store: o.st, Routes: h.Routes(), Now: o.clock.Now, Rest: soon}
	served := newNear(h.Routes(), quiet)
	t.Cleanup(served.close)
	o.gate.mu.Lock()
	o.gate.next = served.server.Handler
	o.gate.mu.Unlock()
}

// soon rests only as long as it takes to let others run.
func soon(time.Duration) <-chan time.Time { return time.After(time.Millisecond) }

func (o *office) close(t testing.TB) {
	t.Helper()
	o.gate.mu.Lock()
	o.gate.next = nil
	o.gate.mu.Unlock()
	if o.keeper.near != nil {
		o.keeper.Close()
	}
	assert.NoError(t, o.st.Close())
}

// restart closes and opens an office, its peers too.
func (o *office) restart(t testing.TB) {
	t.Helper()
	o.server.CloseClientConnections()
	o.close(t)
	o.open(t)
	o.keeper.Open()
}

// follows makes another office a peer of this one.
func (o *office) follows(t testing.TB, other *office, way Way) string {
	t.Helper()
	p, err := Add(o.dir, Peer{URL: other.server.URL + "/sync/" + book, Book: book, Way: way})
	require.NoError(t, err)
	if o.keeper.near == nil {
		o.keeper.Open()
	} else {
		require.NoError(t, o.keeper.Reread())
	}
	return p.ID
}

func (o *office) state(id string) State {
	for _, s := range o.keeper.States() {
		if s.ID == id {
			return s
		}
	}
	return State{}
}

func (o *office) book(t testing.TB) *store.Book {
	t.Helper()
	b, err := o.st.Book(book)
	require.NoError(t, err)
	return b
}

// content is all that a book has: every leaf, its members and the digests of its attachments.
func (o *office) content(t testing.TB) map[string]string {
	t.Helper()
	out := map[string]string{}
	b := o.book(t)
	q := store.ChangesQuery{}
	for more := true; more; {
		require.NoError(t, b.View(func(view *store.View) error {
			page, err := view.Changes(q)
			require.NoError(t, err)
			q.Since, more = page.Last, page.More
			for _, row := range page.Rows {
				contentOf(t, view, row, out)
			}
			return nil
		}))
	}
	return out
}

func contentOf(t testing.TB, view *store.View, row store.Change, out map[string]string) {
	t.Helper()
	f, err := view.Find(row.ID)
	require.NoError(t, err)
	for _, rev := range row.Leaves {
		at, _ := f.Tree.Find(rev)
		d, ok, err := view.Doc(f, at)
		require.NoError(t, err)
		require.True(t, ok, "%s %s", row.ID, rev)
		text := fmt.Sprintf("%v %s", d.Deleted, canonical(t, d.Body))
		for _, a := range d.Atts {
			text += fmt.Sprintf(" %q %s %x", a.Name, a.ContentType, a.SHA256)
		}
		out[row.ID+" "+rev.String()] = text
	}
}

func canonical(t testing.TB, members []byte) string {
	t.Helper()
	var v any
	require.NoError(t, json.Unmarshal(slices.Concat([]byte{'{'}, members, []byte{'}'}), &v))
	text, err := json.Marshal(v)
	require.NoError(t, err)
	return string(text)
}

// equal waits until both offices have the same.
func equal(t testing.TB, a, b *office) {
	t.Helper()
	waitFor(t, func() bool { return mapsEqual(a.content(t), b.content(t)) }, func() string {
		return fmt.Sprintf("%d and %d leaves; %+v; %+v", len(a.content(t)), len(b.content(t)),
			legs(a), legs(b))
	})
}

func legs(o *office) (out []string) {
	if o.keeper.near == nil {
		return nil
	}
	for _, s := range o.keeper.States() {
		for way, l := range s.Legs() {
			out = append(out, fmt.Sprintf("%s %+v", way, *l))
		}
	}
	return out
}

func mapsEqual(a, b map[string]string) bool {
	if len(a) != len(b) {
		return false
	}
	for k, v := range a {
		if b[k] != v {
			return false
		}
	}
	return true
}

// waitFor looks again until what is waited for has come.
func waitFor(t testing.TB, done func() bool, says func() string) {
	t.Helper()
	end := time.Now().Add(2 * time.Minute)
	for !done() {
		if time.Now().After(end) {
			t.Fatal(says())
		}
		time.Sleep(10 * time.Millisecond)
	}
}

// seed fills a book with records, conflicts, deletions and photos. tag keeps two books apart.
func (o *office) seed(t testing.TB, tag string, records, photos int) {
	t.Helper()
	b := o.book(t)
	var docs []store.Doc
	for i := range records {
		id := fmt.Sprintf("reading:%s%05d", tag, i)
		first := revtree.Rev{Pos: 1, Hash: hashOf(id)}
		body := fmt.Sprintf(`"type":"reading","n":%d,"value":"1.%04d","note":"left of slot ü"`, i, i)
		docs = append(docs, store.Doc{ID: id, Rev: first, Hashes: []string{first.Hash}, Body: []byte(body)})
		switch i % 7 {
		case 0: // another generation, and a conflict with it
			for _, h := range []string{"b", "c"} {
				rev := revtree.Rev{Pos: 2, Hash: hashOf(id + h)}
				docs = append(docs, store.Doc{ID: id, Rev: rev, Hashes: []string{rev.Hash, first.Hash},
					Body: []byte(body + `,"edit":"` + h + `"`)})
			}
		case 3: // taken out
			rev := revtree.Rev{Pos: 2, Hash: hashOf(id + "gone")}
			docs = append(docs, store.Doc{ID: id, Rev: rev, Hashes: []string{rev.Hash, first.Hash}, Deleted: true,
				Body: []byte(`"by":"` + tag + `"`)})
		}
	}
	for _, id := range []string{"a/b", "plus+plus", "sp ace", "100%", "ümlaut", "emoji😀", `q"uote`, `back\slash`, "x?y&z=1", "#h"} {
		id = "odd:" + tag + ":" + id
		rev := revtree.Rev{Pos: 1, Hash: hashOf(id)}
		docs = append(docs, store.Doc{ID: id, Rev: rev, Hashes: []string{rev.Hash}, Body: []byte(`"v":1.50`)})
	}
	for some := range slices.Chunk(docs, 500) {
		push(t, b, some...)
	}
	for i := range photos {
		id := fmt.Sprintf("photo:%s+%03d/x", tag, i)
		rev := revtree.Rev{Pos: 1, Hash: hashOf(id)}
		d := store.Doc{ID: id, Rev: rev, Hashes: []string{rev.Hash}, Body: []byte(`"type":"photo"`)}
		d.Atts = append(d.Atts, store.Att{Name: "ü p.jpg", ContentType: "image/jpeg", RevPos: 1,
			Blob: o.st.NewBlob(bytesOf(uint64(i), 20_000+997*i))})
		if i%3 == 0 {
			d.Atts = append(d.Atts, store.Att{Name: "empty.txt", ContentType: "text/plain", RevPos: 1, Blob: o.st.NewBlob(nil)})
		}
		push(t, b, d)
		if i%4 == 0 { // another generation that keeps its photo
			next := revtree.Rev{Pos: 2, Hash: hashOf(id + "2")}
			e := store.Doc{ID: id, Rev: next, Hashes: []string{next.Hash, rev.Hash}, Body: []byte(`"type":"photo","caption":"bore"`)}
			for _, a := range d.Atts {
				e.Atts = append(e.Atts, store.Att{Name: a.Name, ContentType: a.ContentType, RevPos: 1, Stub: true})
			}
			push(t, b, e)
		}
	}
}

func push(t testing.TB, b *store.Book, docs ...store.Doc) {
	t.Helper()
	rows, err := b.Push(docs)
	require.NoError(t, err)
	for _, row := range rows {
		require.NoError(t, row.Err)
	}
}

func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return fmt.Sprintf("%x", sum[:16])
}

func bytesOf(seed uint64, n int) []byte {
	r := rand.New(rand.NewPCG(seed, 7))
	var b bytes.Buffer
	for b.Len() < n {
		fmt.Fprintf(&b, "%016x", r.Uint64())
	}
	return b.Bytes()[:n]
}

// has reports whether a request's body holds a text; the body can still be read.
func has(r *http.Request, text string) bool {
	if r.Body == nil {
		return false
	}
	body, err := io.ReadAll(r.Body)
	r.Body = io.NopCloser(bytes.NewReader(body))
	return err == nil && strings.Contains(string(body), text)
}
