package peer

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
)

// TestCutAtEachStep: whichever request is the last that comes through, on its way there or on its way
// back, and whichever office is started again, the books become equal and nothing acknowledged is lost.
func TestCutAtEachStep(t *testing.T) {
	steps := requestsOfOneExchange(t)
	for i, how := range []string{"before", "after", "this office", "the other office"} {
		for n := i % 2; n < steps; n += 2 { // what one way leaves out, two others have
			t.Run(fmt.Sprintf("%s %d", how, n), func(t *testing.T) {
				t.Parallel()
				a, b := mustOffice(t), mustOffice(t)
				a.seed(t, "a", 15, 2)
				b.seed(t, "b", 15, 2)
				want := len(a.content(t)) + len(b.content(t))
				var at atomic.Int64
				cut := make(chan struct{})
				b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
					if at.Add(1) != int64(n)+1 {
						return false
					}
					if how == "after" {
						b.gate.next.ServeHTTP(httptest.NewRecorder(), r)
					}
					close(cut)
					panic(http.ErrAbortHandler)
				})
				a.follows(t, b, Both)
				<-cut
				switch how {
				case "this office":
					a.restart(t)
				case "the other office":
					b.restart(t)
				}
				equal(t, a, b)
				require.Len(t, a.content(t), want)
			})
		}
	}
}

// requestsOfOneExchange counts what two offices ask until they are equal.
func requestsOfOneExchange(t *testing.T) int {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 15, 2)
	b.seed(t, "b", 15, 2)
	id := a.follows(t, b, Both)
	equal(t, a, b)
	waitFor(t, func() bool { s := a.state(id); return s.Out.State == UpToDate && s.In.State == UpToDate },
		func() string { return fmt.Sprint(legs(a)) })
	return b.gate.count()
}

// restore puts a copy of an office's records in the place of what it has now.
func (o *office) restore(t *testing.T, copied string) {
	t.Helper()
	o.server.CloseClientConnections()
	o.close(t)
	_, err := store.Restore(context.Background(), copied, o.path(), o.clock.Now(), "test")
	require.NoError(t, err)
	o.open(t)
	o.keeper.Open()
}

// putBack puts a plain copy of the file in its place, as someone does who knows nothing of restoring.
func (o *office) putBack(t *testing.T, copied string) {
	t.Helper()
	o.server.CloseClientConnections()
	o.close(t)
	from, err := os.Open(copied)
	require.NoError(t, err)
	defer from.Close()
	to, err := os.Create(o.path())
	require.NoError(t, err)
	_, err = io.Copy(to, from)
	require.NoError(t, err)
	require.NoError(t, to.Close())
	o.open(t)
	o.keeper.Open()
}

// TestRestored: an older backup on either side, put back as the program does it or by copying the
// file. What the other end had acknowledged comes back, and where the two ends' notes are not the
// same it is told.
func TestRestored(t *testing.T) {
	for _, side := range []string{"this office", "the other office"} {
		for _, plain := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s plain %v", side, plain), func(t *testing.T) {
				t.Parallel()
				a, b := mustOffice(t), mustOffice(t)
				a.seed(t, "a", 40, 3)
				b.seed(t, "b", 40, 3)
				id := a.follows(t, b, Both)
				equal(t, a, b)
				settled(t, a, id)
				old := filepath.Join(t.TempDir(), "old.db")
				o := map[string]*office{"this office": a, "the other office": b}[side]
				require.NoError(t, o.st.Backup(old))
				a.seed(t, "more-a", 30, 2)
				b.seed(t, "more-b", 30, 2)
				equal(t, a, b)
				settled(t, a, id)
				want := a.content(t)
				if plain {
					o.putBack(t, old)
				} else {
					o.restore(t, old)
				}
				equal(t, a, b)
				assert.Equal(t, want, a.content(t))
				if plain {
					waitFor(t, func() bool { s := a.state(id); return s.Out.Skew != "" && s.In.Skew != "" },
						func() string { return fmt.Sprint(legs(a)) })
					assert.Contains(t, a.state(id).Out.Skew, "compared again")
				}
			})
		}
	}
}

// settled waits until both ends have noted all.
func settled(t *testing.T, o *office, id string) {
	t.Helper()
	waitFor(t, func() bool {
		s := o.state(id)
		return s.Out.State == UpToDate && s.In.State == UpToDate && s.Out.Waiting == 0
	}, func() string { return fmt.Sprint(legs(o)) })
}

// TestWaits: while the other end is away what waits is counted, also after the office was started
// again, and nobody else notices.
func TestWaits(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 10, 1)
	id := a.follows(t, b, Out)
	equal(t, a, b)
	waitFor(t, func() bool { return a.state(id).Out.State == UpToDate }, func() string { return fmt.Sprint(legs(a)) })
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool { panic(http.ErrAbortHandler) })
	b.server.CloseClientConnections()
	a.seed(t, "later", 5, 0)
	want := int64(5 + 10) // the odd names too
	waits := func() bool { s := a.state(id).Out; return s.State == Failing && s.Waiting == want }
	waitFor(t, waits, func() string { return fmt.Sprint(legs(a)) })
	a.restart(t)
	waitFor(t, waits, func() string { return fmt.Sprint(legs(a)) })
	assert.False(t, a.state(id).Out.Success.IsZero(), "when it last was equal is known after a restart")
	b.gate.set(nil)
	equal(t, a, b)
}

// TestItself: an office is no peer of its own.
func TestItself(t *testing.T) {
	a := mustOffice(t)
	id := a.follows(t, a, Both)
	waitFor(t, func() bool { return strings.Contains(a.state(id).Out.Fault, "this office itself") },
		func() string { return fmt.Sprint(legs(a)) })
}

// TestStrayNote: where the list of what was set aside is gone, everything is compared again.
func TestStrayNote(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 30, 1)
	id := a.follows(t, b, Both)
	equal(t, a, b)
	settled(t, a, id)
	// Someone clears the list of what was set aside, but not the note that says how long it is.
	source, target := a.keeper.near.end(book, Peer{}), &end{base: b.server.URL + "/sync/" + book, client: http.DefaultClient}
	from, err := source.identity(t.Context())
	require.NoError(t, err)
	to, err := target.identity(t.Context())
	require.NoError(t, err)
	name := nameOf(from, to, true)
	note, err := source.note(t.Context(), name)
	require.NoError(t, err)
	note.Aside = 3
	require.NoError(t, source.keep(t.Context(), name, &note))
	a.restart(t)
	waitFor(t, func() bool { return strings.Contains(a.state(id).Out.Skew, "from the beginning") },
		func() string { return fmt.Sprint(legs(a)) })
	equal(t, a, b)
}

// TestMarks: notes stay small however long an exchange goes on, and reach far back.
func TestMarks(t *testing.T) {
	var c checkpoint
	for i := range 10_000 {
		c.add(mark{Session: fmt.Sprint(i)})
		require.LessOrEqual(t, len(c.History), marksMost)
	}
	assert.Equal(t, "9999", c.Session)
	assert.True(t, slices.ContainsFunc(c.History, func(m mark) bool { return len(m.Session) < 4 }), "one of the first tenth")
	other := checkpoint{Session: c.History[40].Session, History: c.History[40:]}
	other.History[0].Recorded = []byte("17")
	since, skew := common(c, other)
	assert.Equal(t, "17", string(since))
	assert.True(t, skew)
	since, skew = common(checkpoint{}, checkpoint{})
	assert.Empty(t, since)
	assert.False(t, skew)
	since, skew = common(c, checkpoint{})
	assert.Empty(t, since)
	assert.True(t, skew)
}

// TestTwoOffices: two programs that follow the same leg cost each other comparisons, no records.
func TestTwoOffices(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 100, 4)
	b.seed(t, "b", 100, 4)
	a.follows(t, b, Both)
	b.follows(t, a, Both)
	for i := range 10 {
		for _, o := range []*office{a, b} {
			rev := revtree.Rev{Pos: 1, Hash: hashOf(fmt.Sprint(o.dir, i))}
			push(t, o.book(t), store.Doc{ID: fmt.Sprint("x:", rev.Hash), Rev: rev, Hashes: []string{rev.Hash}, Body: []byte(`"v":1`)})
		}
	}
	equal(t, a, b)
}

// TestList: the list and its secrets are this user's alone, survive what is in the way, and say what
// is wrong with an address.
func TestList(t *testing.T) {
	dir := t.TempDir()
	p, err := Add(dir, Peer{URL: "https://hub.example:6984/shop", Book: book, Way: Both, User: "shop", Secret: "s"})
	require.NoError(t, err)
	info, err := os.Stat(filepath.Join(dir, peersFile))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	_, err = Add(dir, Peer{URL: "https://hub.example:6984/shop", Book: book})
	assert.ErrorContains(t, err, "datumbook peer remove "+p.ID)
	_, err = Remove(dir, "other")
	assert.ErrorContains(t, err, `there is no peer "other"`)
	_, err = Remove(dir, p.ID)
	require.NoError(t, err)
	list, err := Read(dir)
	require.NoError(t, err)
	assert.Empty(t, list)
	require.NoError(t, os.WriteFile(filepath.Join(dir, peersFile), []byte("?"), 0o600))
	_, err = Read(dir)
	assert.ErrorContains(t, err, "move it away and add the peers again")

	for text, says := range map[string]string{
		"hub.example":              "is not the address of a database",
		"ftp://hub.example/shop":   "is not the address of a database",
		"https://a:b@hub.example/": "leave user and password out",
		"http://hub.example/shop":  "anybody on the way could read",
		"https://hub.example/s?x":  "is not the address of a database",
	} {
		_, err := ParseURL(text, book, false)
		assert.ErrorContains(t, err, says, text)
	}
	for text, want := range map[string]string{
		"https://copy.example:8470":      "https://copy.example:8470/sync/shop",
		"https://copy.example:8470/sync": "https://copy.example:8470/sync/shop",
		"https://hub.example:6984/s%2B1": "https://hub.example:6984/s%2B1",
		"http://127.0.0.1:8470/":         "http://127.0.0.1:8470/sync/shop",
	} {
		got, err := ParseURL(text, book, false)
		assert.NoError(t, err)
		assert.Equal(t, want, got)
	}
	assert.Equal(t, 2*time.Minute, restAfter(&Fault{Status: 503, Wait: 2 * time.Minute}, 0))
	assert.Equal(t, mostWait, restAfter(&Fault{}, mostWait))
}
