package peer

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
)

// answers are what an end may answer in place of what was asked for.
var answers = map[string]http.HandlerFunc{
	"401":                        says(http.StatusUnauthorized, `{"error":"unauthorized","reason":"Name or password is incorrect."}`),
	"403":                        says(http.StatusForbidden, `{"error":"forbidden","reason":"no access"}`),
	"404":                        says(http.StatusNotFound, `{"error":"not_found","reason":"no_db_file"}`),
	"413":                        says(http.StatusRequestEntityTooLarge, `{"error":"too_large","reason":"the request entity is too large"}`),
	"429":                        says(http.StatusTooManyRequests, `{"error":"too_many_requests","reason":"wait"}`),
	"500":                        says(http.StatusInternalServerError, `{"error":"internal_server_error","reason":"badmatch"}`),
	"502":                        says(http.StatusBadGateway, `<html><body>Bad Gateway</body></html>`),
	"503":                        says(http.StatusServiceUnavailable, `{"error":"unavailable","reason":"restoring"}`),
	"507":                        says(http.StatusInsufficientStorage, `{"error":"insufficient_storage","reason":"disk full"}`),
	"a page that claims success": says(http.StatusOK, `<html><body>Please sign in</body></html>`),
	"empty success":              says(http.StatusOK, ""),
	"other JSON":                 says(http.StatusOK, `{"ok":true}`),
	"a redirect": func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Location", "https://elsewhere.example/")
		w.WriteHeader(http.StatusFound)
	},
	"nothing": func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) },
	"half an answer": func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Length", "5000")
		_, _ = io.WriteString(w, `{"results":[`)
		panic(http.ErrAbortHandler)
	},
}

func says(status int, body string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(status)
		_, _ = io.WriteString(w, body)
	}
}

// kindOf tells what a request of a leg is for.
func kindOf(r *http.Request) string {
	path := strings.TrimPrefix(r.URL.EscapedPath(), "/sync/"+book)
	switch {
	case path == "/" && r.URL.EscapedPath() != "/sync/":
		return "the book"
	case strings.HasPrefix(path, "/_local/"):
		return r.Method + " note"
	case strings.HasPrefix(path, "/_"):
		return strings.TrimPrefix(path, "/_")
	case strings.HasPrefix(path, "/photo"):
		return r.Method + " photo"
	}
	return r.Method + " other"
}

// TestFaults: whatever the other end answers to whatever is asked, some times to each, two books
// become equal once it answers properly, and nothing stays set aside.
func TestFaults(t *testing.T) {
	kinds := []string{"the book", "GET note", "PUT note", "changes", "revs_diff", "bulk_docs", "bulk_get", "GET photo", "PUT photo"}
	const times = 3
	for name, answer := range answers {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			a, b := mustOffice(t), mustOffice(t)
			a.seed(t, "a", 20, 2)
			b.seed(t, "b", 20, 2)
			var mu sync.Mutex
			dealt := map[string]int{}
			b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
				kind := kindOf(r)
				mu.Lock()
				deal := slices.Contains(kinds, kind) && dealt[kind] < times
				if deal {
					dealt[kind]++
				}
				mu.Unlock()
				if deal {
					answer(w, r)
				}
				return deal
			})
			id := a.follows(t, b, Both)
			waitFor(t, func() bool { mu.Lock(); defer mu.Unlock(); return len(dealt) == len(kinds) },
				func() string { return fmt.Sprint(dealt, legs(a)) })
			again(t, a, id)
			equal(t, a, b)
			for way, l := range a.state(id).Legs() {
				assert.Empty(t, l.Aside, way)
			}
		})
	}
}

// again lets the hour pass after which what was set aside is tried, until nothing is.
func again(t *testing.T, o *office, id string) {
	t.Helper()
	waitFor(t, func() bool {
		for _, l := range o.state(id).Legs() {
			if len(l.Aside) > 0 || l.State != UpToDate {
				o.clock.pass(retryAside + time.Minute)
				nudge(t, o)
				return false
			}
		}
		return true
	}, func() string { return fmt.Sprint(legs(o)) })
}

// nudge makes a change, so that legs that wait for one look round.
func nudge(t *testing.T, o *office) {
	t.Helper()
	rev := revtree.Rev{Pos: 1, Hash: hashOf(store.NewID())}
	push(t, o.book(t), store.Doc{ID: "nudge:" + rev.Hash, Rev: rev, Hashes: []string{rev.Hash}, Body: []byte(`"v":1`)})
}

// TestNotLetIn: a secret that is good no more stops nothing but the exchange, is told as it is, and is
// not tried all the time.
func TestNotLetIn(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 5, 1)
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool { answers["401"](w, r); return true })
	id := a.follows(t, b, Out)
	waitFor(t, func() bool { return a.state(id).Out.State == Failing }, func() string { return fmt.Sprint(legs(a)) })
	assert.Contains(t, a.state(id).Out.Fault, "401 unauthorized: Name or password is incorrect.")
	assert.GreaterOrEqual(t, restAfter(&Fault{Status: 401}, 0), shutWait)
	b.gate.set(nil)
	equal(t, a, b)
	waitFor(t, func() bool { return a.state(id).Out.Fault == "" }, func() string { return fmt.Sprint(legs(a)) })
}

// TestPoison: a record over which the other end breaks, in whatever way, is found by halves, set
// aside and told; everything else goes on. It goes over once the other end takes it.
func TestPoison(t *testing.T) {
	for name, answer := range answers {
		switch name {
		case "401", "403", "404", "429", "503", "507", "a redirect": // never of a record
			continue
		}
		for _, photo := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s photo %v", name, photo), func(t *testing.T) {
				t.Parallel()
				a, b := mustOffice(t), mustOffice(t)
				a.seed(t, "a", 60, 4)
				bad := "reading:a00031"
				if photo {
					bad = "photo:a+002/x"
				}
				b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
					if kindOf(r) == "bulk_docs" && has(r, `"`+bad+`"`) ||
						r.Method == http.MethodPut && strings.HasPrefix(r.URL.Path, "/sync/"+book+"/"+bad) {
						answer(w, r)
						return true
					}
					return false
				})
				id := a.follows(t, b, Out)
				want := len(a.content(t))
				for key := range a.content(t) {
					if strings.HasPrefix(key, bad+" ") {
						want--
					}
				}
				waitFor(t, func() bool { return len(b.content(t)) == want && len(a.state(id).Out.Aside) > 0 },
					func() string { return fmt.Sprint(len(b.content(t)), want, legs(a)) })
				waitFor(t, func() bool { return a.state(id).Out.State == UpToDate }, func() string { return fmt.Sprint(legs(a)) })
				for _, one := range a.state(id).Out.Aside {
					assert.Equal(t, bad, one.ID)
					assert.NotEmpty(t, one.Reason)
				}
				// A restart forgets nothing of it.
				a.restart(t)
				waitFor(t, func() bool { return len(a.state(id).Out.Aside) > 0 }, func() string { return fmt.Sprint(legs(a)) })
				b.gate.set(nil)
				again(t, a, id)
				equal(t, a, b)
			})
		}
	}
}

// TestRefusedRow: what the other end answers a row for, it has judged alone.
func TestRefusedRow(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 40, 0)
	const bad = "reading:a00011"
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		if kindOf(r) != "bulk_docs" || !has(r, bad) {
			return false
		}
		var batch struct {
			Edits bool             `json:"new_edits"`
			Docs  []map[string]any `json:"docs"`
		}
		assert.NoError(t, json.NewDecoder(r.Body).Decode(&batch))
		batch.Docs = slices.DeleteFunc(batch.Docs, func(d map[string]any) bool { return d["_id"] == bad })
		text, err := json.Marshal(batch)
		assert.NoError(t, err)
		r.Body, r.ContentLength = io.NopCloser(bytes.NewReader(text)), int64(len(text))
		b.gate.next.ServeHTTP(httptest.NewRecorder(), r)
		says(http.StatusCreated, `[{"id":"`+bad+`","error":"forbidden","reason":"not here"}]`)(w, r)
		return true
	})
	id := a.follows(t, b, Out)
	waitFor(t, func() bool { return len(a.state(id).Out.Aside) == 1 }, func() string { return fmt.Sprint(legs(a)) })
	one := a.state(id).Out.Aside[0]
	assert.Equal(t, bad, one.ID)
	assert.Equal(t, "it answers forbidden: not here", one.Reason)
	waitFor(t, func() bool { return a.state(id).Out.State == UpToDate }, func() string { return fmt.Sprint(legs(a)) })
}

// TestManyRefused: an end that refuses everything is at fault itself: the leg stops and says so.
func TestManyRefused(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 1500, 0)
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		if kindOf(r) != "bulk_docs" {
			return false
		}
		answers["413"](w, r)
		return true
	})
	id := a.follows(t, b, Out)
	waitFor(t, func() bool { return strings.Contains(a.state(id).Out.Fault, "more than a thousand") },
		func() string { return fmt.Sprint(a.state(id).Out.Fault, len(a.state(id).Out.Aside)) })
	b.gate.set(nil)
	again(t, a, id)
	equal(t, a, b)
	require.Empty(t, a.state(id).Out.Aside)
}
