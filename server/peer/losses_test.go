package peer

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
)

const two = "reading:two"

// conflict writes a record of two leaves, the lesser revision first.
func conflict(t *testing.T, o *office, photo bool) []revtree.Rev {
	t.Helper()
	revs := []revtree.Rev{{Pos: 1, Hash: hashOf("one")}, {Pos: 1, Hash: hashOf("two")}}
	slices.SortFunc(revs, revtree.Rev.Compare)
	for i, r := range revs {
		d := store.Doc{ID: two, Rev: r, Hashes: []string{r.Hash}, Body: []byte(`"v":"` + r.Hash + `"`)}
		if photo && i == 1 {
			d.Atts = []store.Att{{Name: "p.jpg", ContentType: "image/jpeg", RevPos: 1, Blob: o.st.NewBlob(bytesOf(1, 30_000))}}
		}
		push(t, o.book(t), d)
	}
	return revs
}

// overOrTold requires that whatever one office has and the other has not is set aside.
func overOrTold(t *testing.T, from, to *office, l *Leg) {
	t.Helper()
	has := to.content(t)
	for key := range from.content(t) {
		if _, ok := has[key]; ok {
			continue
		}
		at := strings.LastIndex(key, " ")
		id, rev := key[:at], key[at+1:]
		told := slices.ContainsFunc(l.Aside, func(one Aside) bool { return one.ID == id && (one.Rev == "" || one.Rev == rev) })
		assert.True(t, told, "%s is not there, and nobody is told: %+v", key, *l)
	}
}

func upToDate(t *testing.T, o *office, leg func() *Leg) *Leg {
	t.Helper()
	waitFor(t, func() bool { return leg().State == UpToDate }, func() string { return fmt.Sprint(legs(o)) })
	return leg()
}

// TestOneOfTwoLeaves: where one version of a record is refused, or cannot be read, and the other goes
// over, the first is told.
func TestOneOfTwoLeaves(t *testing.T) {
	for _, photo := range []bool{false, true} {
		for i := range 2 {
			t.Run(fmt.Sprintf("refused %v %d", photo, i), func(t *testing.T) {
				t.Parallel()
				a, b := mustOffice(t), mustOffice(t)
				a.seed(t, "a", 10, 0)
				bad := conflict(t, a, photo)[i]
				b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
					no := has(r, `"v":"`+bad.Hash)
					if no {
						answers["413"](w, r)
					}
					return no
				})
				id := a.follows(t, b, Out)
				overOrTold(t, a, b, upToDate(t, a, func() *Leg { return a.state(id).Out }))
				assert.Len(t, b.content(t), len(a.content(t))-1)
			})
		}
	}
	for i := range 2 {
		t.Run(fmt.Sprintf("unreadable %d", i), func(t *testing.T) {
			t.Parallel()
			a, b := mustOffice(t), mustOffice(t)
			b.seed(t, "b", 10, 0)
			bad := conflict(t, b, false)[i]
			b.gate.set(rewritten(b, "bulk_get", func(text string) string {
				var v struct {
					Results []struct {
						ID   string            `json:"id"`
						Docs []json.RawMessage `json:"docs"`
					} `json:"results"`
				}
				assert.NoError(t, json.Unmarshal([]byte(text), &v))
				for _, row := range v.Results {
					for i, d := range row.Docs {
						if strings.Contains(string(d), bad.Hash) {
							row.Docs[i] = json.RawMessage(`{"error":{"id":"` + two + `","rev":"` + bad.String() +
								`","error":"damaged","reason":"disk"}}`)
						}
					}
				}
				out, err := json.Marshal(v)
				assert.NoError(t, err)
				return string(out)
			}, 1<<30))
			id := a.follows(t, b, In)
			l := upToDate(t, a, func() *Leg { return a.state(id).In })
			overOrTold(t, b, a, l)
			assert.Contains(t, l.Aside[0].Reason, "damaged: disk")
		})
	}
}

// rewritten deals with the first requests of a kind by another answer made from the true one.
func rewritten(o *office, kind string, change func(string) string, times int64) func(http.ResponseWriter, *http.Request) bool {
	var n atomic.Int64
	return func(w http.ResponseWriter, r *http.Request) bool {
		if kindOf(r) != kind || n.Add(1) > times {
			return false
		}
		rec := httptest.NewRecorder()
		o.gate.next.ServeHTTP(rec, r)
		maps.Copy(w.Header(), rec.Header())
		w.Header().Del("Content-Length")
		w.WriteHeader(rec.Code)
		_, _ = io.WriteString(w, change(rec.Body.String()))
		return true
	}
}

// TestAnswersThatLeaveOut: an answer that lacks what was asked for, or says it is not there while it
// is, once. Everything comes over.
func TestAnswersThatLeaveOut(t *testing.T) {
	const missing = `{"results":[{"id":"x","docs":[{"error":{"id":"x","rev":"1-x","error":"not_found","reason":"missing"}}]}]}`
	for name, c := range map[string]struct {
		kind   string
		change func(string) string
	}{
		"no rows":             {"bulk_get", func(string) string { return `{"results":[]}` }},
		"not found":           {"bulk_get", func(string) string { return missing }},
		"a row names no leaf": {"changes", func(s string) string { return strings.Replace(s, `"changes":[{`, `"changes":[],"x":[{`, 1) }},
		"a row without id":    {"changes", func(s string) string { return strings.Replace(s, `"id":`, `"other":`, 1) }},
		"no parts":            {"GET photo", func(string) string { return "" }},
		"half the parts":      {"GET photo", func(s string) string { return s[:len(s)/2] }},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			a, b := mustOffice(t), mustOffice(t)
			b.seed(t, "b", 10, 3)
			b.gate.set(rewritten(b, c.kind, c.change, 2))
			id := a.follows(t, b, In)
			again(t, a, id)
			hasAll(t, a, b)
		})
	}
}

// TestCutMultipart: an answer that ends before a part, with its connection, is not whole.
func TestCutMultipart(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	b.seed(t, "b", 3, 2)
	var n atomic.Int64
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		if kindOf(r) != "GET photo" || n.Add(1) > 2 {
			return false
		}
		c, _, err := w.(http.Hijacker).Hijack()
		assert.NoError(t, err)
		_, _ = io.WriteString(c, "HTTP/1.1 200 OK\r\nConnection: close\r\nContent-Type: multipart/mixed; boundary=\"x\"\r\n\r\n")
		_ = c.Close()
		return true
	})
	id := a.follows(t, b, In)
	again(t, a, id)
	hasAll(t, a, b)
}

// TestOddRefusals: a refusal that names no record, or one that was not sent, and a comparison that
// answers nothing, are no success.
func TestOddRefusals(t *testing.T) {
	for name, c := range map[string][2]string{
		"no id":    {"bulk_docs", `[{"error":"forbidden","reason":"not here"}]`},
		"other id": {"bulk_docs", `[{"id":"x","error":"forbidden","reason":"not here"}]`},
		"null":     {"revs_diff", `null`},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			a, b := mustOffice(t), mustOffice(t)
			a.seed(t, "a", 3, 0)
			b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
				no := kindOf(r) == c[0]
				if no {
					says(http.StatusCreated, c[1])(w, r)
				}
				return no
			})
			id := a.follows(t, b, Out)
			waitFor(t, func() bool { s := a.state(id).Out; return s.State == UpToDate || s.Faults > 3 },
				func() string { return fmt.Sprint(legs(a)) })
			if a.state(id).Out.State == UpToDate {
				overOrTold(t, a, b, a.state(id).Out)
			}
			b.gate.set(nil)
			again(t, a, id)
			equal(t, a, b)
		})
	}
}

// TestListIsKept: what was set aside stays so until the target has it, whatever the source answers
// when it is asked again.
func TestListIsKept(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	b.seed(t, "b", 3, 0)
	const bad = "reading:b00001"
	var asked atomic.Int64
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		switch {
		case kindOf(r) == "bulk_get" && has(r, bad):
			answers["413"](w, r)
		case kindOf(r) == "changes" && r.Method == http.MethodPost:
			asked.Add(1)
			answers["other JSON"](w, r)
		default:
			return false
		}
		return true
	})
	id := a.follows(t, b, In)
	waitFor(t, func() bool { return len(a.state(id).In.Aside) == 1 }, func() string { return fmt.Sprint(legs(a)) })
	a.clock.pass(retryAside + time.Minute)
	waitFor(t, func() bool { return asked.Load() > 0 && a.state(id).In.State == UpToDate }, func() string { return fmt.Sprint(legs(a)) })
	overOrTold(t, b, a, a.state(id).In)
	b.gate.set(nil)
	again(t, a, id)
	hasAll(t, a, b)
}

// hasAll waits until one office has all that another has.
func hasAll(t *testing.T, o, other *office) {
	t.Helper()
	waitFor(t, func() bool {
		has := o.content(t)
		for key, text := range other.content(t) {
			if has[key] != text {
				return false
			}
		}
		return true
	}, func() string { return fmt.Sprint(legs(o)) })
}

// TestDamagedPhoto: a photo whose bytes are damaged where they are is told as that, also where the
// record went over before it had the photo.
func TestDamagedPhoto(t *testing.T) {
	for _, later := range []bool{false, true} {
		t.Run(fmt.Sprint(later), func(t *testing.T) {
			t.Parallel()
			a, b := mustOffice(t), mustOffice(t)
			const id = "photo:damaged"
			rev := revtree.Rev{Pos: 1, Hash: hashOf(id)}
			push(t, a.book(t), store.Doc{ID: id, Rev: rev, Hashes: []string{rev.Hash}, Body: []byte(`"type":"photo"`)})
			if later {
				peer := a.follows(t, b, Out)
				equal(t, a, b)
				upToDate(t, a, func() *Leg { return a.state(peer).Out })
				_, err := Remove(a.dir, peer)
				require.NoError(t, err)
				require.NoError(t, a.keeper.Reread())
			}
			next := revtree.Rev{Pos: 2, Hash: hashOf(id + "2")}
			content := bytesOf(99, 50_000)
			push(t, a.book(t), store.Doc{ID: id, Rev: next, Hashes: []string{next.Hash, rev.Hash}, Body: []byte(`"type":"photo"`),
				Atts: []store.Att{{Name: "p.jpg", ContentType: "image/jpeg", RevPos: 2, Blob: a.st.NewBlob(content)}}})
			a.close(t)
			raw, err := os.ReadFile(a.path())
			require.NoError(t, err)
			at := bytes.Index(raw, content[1000:1100])
			require.Positive(t, at)
			raw[at+5] ^= 1
			require.NoError(t, os.WriteFile(a.path(), raw, 0o600))
			a.open(t)
			a.damaged = true
			peer := a.follows(t, b, Out)
			l := upToDate(t, a, func() *Leg { return a.state(peer).Out })
			overOrTold(t, a, b, l)
			require.NotEmpty(t, l.Aside)
			assert.ErrorContains(t, a.keeper.Trouble(), "one record is set aside")
		})
	}
}

// TestLastingFailureIsTold: an end whose disk is full for an hour is told, though each attempt begins
// well.
func TestLastingFailureIsTold(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 3, 0)
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		no := kindOf(r) == "bulk_docs"
		if no {
			answers["507"](w, r)
		}
		return no
	})
	id := a.follows(t, b, Out)
	for range 6 {
		have := a.state(id).Out.Faults
		waitFor(t, func() bool { return a.state(id).Out.Faults > have }, func() string { return fmt.Sprint(legs(a)) })
		a.clock.pass(mostWait)
	}
	for range 50 { // at whatever moment of an attempt
		assert.ErrorContains(t, a.keeper.Trouble(), "507")
	}
	b.gate.set(nil)
	equal(t, a, b)
}

// TestLineDrops: a line that drops again and again while records are read blames none of them.
func TestLineDrops(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	b.seed(t, "b", 400, 0)
	var mu sync.Mutex
	mode := 0
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		mu.Lock()
		defer mu.Unlock()
		switch {
		case mode == 0: // away once
			mode = 1
		case mode == 1 && kindOf(r) != "bulk_get": // back, until records are read
			return false
		case mode == 1: // and away again
			mode = 2
		}
		panic(http.ErrAbortHandler)
	})
	id := a.follows(t, b, In)
	waitFor(t, func() bool { mu.Lock(); defer mu.Unlock(); return mode == 2 && a.state(id).In.Faults > 3 },
		func() string { return fmt.Sprint(legs(a)) })
	assert.Empty(t, a.state(id).In.Aside)
	assert.NoError(t, a.keeper.Trouble())
	b.gate.set(nil)
	equal(t, b, a)
}

// TestWaitsEndAtOnce: where something on the way ends each wait for changes at once, the leg rests
// between them.
func TestWaitsEndAtOnce(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	b.seed(t, "b", 3, 0)
	var polls, rests atomic.Int64
	a.keeper.Rest = func(d time.Duration) <-chan time.Time {
		if d >= leastPoll {
			rests.Add(1)
		}
		return soon(d)
	}
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		q := r.URL.Query()
		if kindOf(r) == "changes" && q.Get("feed") == "longpoll" {
			polls.Add(1)
			q.Del("feed")
			r.URL.RawQuery = q.Encode()
		}
		return false
	})
	a.follows(t, b, In)
	waitFor(t, func() bool { return polls.Load() >= 50 }, func() string { return fmt.Sprint(legs(a)) })
	assert.GreaterOrEqual(t, rests.Load(), polls.Load()-2)
}

// TestEndlessAnswer: a record that does not end is not held.
func TestEndlessAnswer(t *testing.T) {
	var sent atomic.Int64
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, _ = io.WriteString(w, `{"results":[{"id":"x","docs":[{"ok":{"_id":"x","_rev":"1-a","v":"`)
		for chunk := bytes.Repeat([]byte("a"), 1<<20); ; sent.Add(1) {
			if _, err := w.Write(chunk); err != nil {
				return
			}
		}
	}))
	defer s.Close()
	e := &end{base: s.URL + "/shop", client: http.DefaultClient}
	err := e.bulkGet(t.Context(), []wanted{{"x", "1-a"}}, func(string, got) error { return nil })
	assert.ErrorContains(t, err, "does not end")
	assert.Less(t, sent.Load(), int64(2*maxAnswer>>20))
}

// TestNothingAnewAfterwards: once what was set aside has gone over, a restart compares nothing from
// the beginning.
func TestNothingAnewAfterwards(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 10, 0)
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		no := kindOf(r) == "bulk_docs" && has(r, "reading:a00001")
		if no {
			answers["413"](w, r)
		}
		return no
	})
	id := a.follows(t, b, Out)
	waitFor(t, func() bool { s := a.state(id).Out; return s.State == UpToDate && len(s.Aside) == 1 },
		func() string { return fmt.Sprint(legs(a)) })
	b.gate.set(nil)
	a.clock.pass(retryAside + time.Minute)
	equal(t, a, b)
	waitFor(t, func() bool { return len(a.state(id).Out.Aside) == 0 }, func() string { return fmt.Sprint(legs(a)) })
	a.restart(t)
	assert.Empty(t, upToDate(t, a, func() *Leg { return a.state(id).Out }).Skew)
}

// TestRootFails: an end whose root fails for a moment is not taken for another one.
func TestRootFails(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	b.seed(t, "b", 30, 0)
	id := a.follows(t, b, In)
	equal(t, b, a)
	upToDate(t, a, func() *Leg { return a.state(id).In })
	var failed, anew atomic.Int64
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		if r.URL.Query().Get("since") == "0" {
			anew.Add(1)
		}
		no := r.URL.Path == "/sync/" && failed.Add(1) <= 2
		if no {
			answers["503"](w, r)
		}
		return no
	})
	waitFor(t, func() bool { return failed.Load() > 3 && a.state(id).In.State == UpToDate },
		func() string { return fmt.Sprint(legs(a)) })
	assert.Zero(t, anew.Load(), "compared from the beginning")
}

// TestLongSequences: the sequences of a cluster of many shards are long; notes stay below 64 KiB all
// the same, and two or more marks stay in them.
func TestLongSequences(t *testing.T) {
	for _, n := range []int{10, 700, 1300, 5000, 15_000} {
		var c checkpoint
		for range 200 {
			c.add(mark{Session: store.NewID(), At: "2030-03-04T05:06:07Z",
				Recorded: json.RawMessage(`"` + strings.Repeat("g", n) + `"`)})
			text, err := json.Marshal(c)
			require.NoError(t, err)
			require.Less(t, len(text), 64<<10, n)
		}
		assert.GreaterOrEqual(t, len(c.History), 2, n)
	}
}

// deadlines notes what a connection's deadlines are set to.
type deadlines struct {
	net.Conn
	read, write time.Time
}

func (d *deadlines) SetReadDeadline(at time.Time) error  { d.read = at; return nil }
func (d *deadlines) SetWriteDeadline(at time.Time) error { d.write = at; return nil }
func (d *deadlines) SetDeadline(at time.Time) error      { d.read, d.write = at, at; return nil }
func (d *deadlines) Read(p []byte) (int, error)          { return 0, io.EOF }
func (d *deadlines) Write(p []byte) (int, error)         { return len(p), nil }

// TestSlowUpload: a long request that goes on moving is not cut off by the read that waits for its
// answer.
func TestSlowUpload(t *testing.T) {
	d := &deadlines{}
	began := time.Now()
	_, err := patient{d}.Write([]byte("x"))
	require.NoError(t, err)
	assert.GreaterOrEqual(t, d.read.Sub(began), stall)
	assert.GreaterOrEqual(t, d.write.Sub(began), stall)
}

// TestCleanWords: another's words can neither fill a log nor steer a terminal.
func TestCleanWords(t *testing.T) {
	s := httptest.NewServer(says(http.StatusForbidden, `{"error":"forbidden","reason":"\u001b[2J\n`+strings.Repeat("x", 5000)+`"}`))
	defer s.Close()
	e := &end{base: s.URL + "/shop", client: http.DefaultClient}
	_, err := e.identity(t.Context())
	require.Error(t, err)
	assert.Less(t, len(err.Error()), 2*mostReason)
	assert.NotContains(t, err.Error(), "\x1b")
	assert.NotContains(t, err.Error(), "\n")
}

// TestRulesElsewhere: an end that lets this office in and refuses one record, by rules of its own or
// because it cannot even be asked about it, stops nothing else. Seen with CouchDB 3.5.0.
func TestRulesElsewhere(t *testing.T) {
	for name, c := range map[string]struct {
		bad    string
		answer string
		deals  func(r *http.Request, bad string) bool
	}{
		"a photo is forbidden": {"photo:a+001/x", "403", func(r *http.Request, bad string) bool {
			return r.Method == http.MethodPut && strings.HasSuffix(r.URL.Path, bad)
		}},
		"cannot be asked": {"reading:a00007", "no revision", func(r *http.Request, bad string) bool {
			return kindOf(r) == "revs_diff" && has(r, bad)
		}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			a, b := mustOffice(t), mustOffice(t)
			a.seed(t, "a", 30, 3)
			answer := answers[c.answer]
			if answer == nil {
				answer = says(http.StatusBadRequest, `{"error":"bad_request","reason":"Invalid rev format"}`)
			}
			b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
				no := c.deals(r, c.bad)
				if no {
					answer(w, r)
				}
				return no
			})
			id := a.follows(t, b, Out)
			l := upToDate(t, a, func() *Leg { return a.state(id).Out })
			overOrTold(t, a, b, l)
			for _, one := range l.Aside {
				assert.Equal(t, c.bad, one.ID)
			}
			assert.NotEmpty(t, l.Aside)
			b.gate.set(nil)
			again(t, a, id)
			hasAll(t, b, a)
		})
	}
}

// TestEchoesAreNotNotedOneByOne: what one leg carries comes back by the other, and costs no note each.
func TestEchoesAreNotNotedOneByOne(t *testing.T) {
	a, b := mustWait(t, time.Minute), mustWait(t, time.Minute)
	id := a.follows(t, b, Both)
	settled(t, a, id)
	began := time.Now()
	notes := func() (n int) {
		b.gate.mu.Lock()
		defer b.gate.mu.Unlock()
		for _, line := range b.gate.seen {
			if strings.HasPrefix(line, "PUT /sync/shop/_local/") {
				n++
			}
		}
		return n
	}
	const many = 40
	for range many {
		nudge(t, a)
		hasAll(t, b, a)
	}
	inTime := int(time.Since(began)/noteEvery) + 2
	assert.LessOrEqual(t, notes(), many+2*inTime, "one for each that was carried, few for what came back")
}

// TestLastEqual: before both ends were equal once, nothing says that they were.
func TestLastEqual(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 1500, 0)
	var n atomic.Int64
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool {
		no := kindOf(r) == "bulk_docs" && n.Add(1) > 1
		if no {
			answers["503"](w, r)
		}
		return no
	})
	id := a.follows(t, b, Out)
	waitFor(t, func() bool { s := a.state(id).Out; return s.Carried > 0 && s.Faults > 2 }, func() string { return fmt.Sprint(legs(a)) })
	assert.True(t, a.state(id).Out.Success.IsZero())
	assert.NotContains(t, a.state(id).Out.Line, "equal")
	b.gate.set(nil)
	equal(t, a, b)
	assert.False(t, upToDate(t, a, func() *Leg { return a.state(id).Out }).Success.IsZero())
}
