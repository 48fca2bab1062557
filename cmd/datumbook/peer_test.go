package main

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/server/pairing"
	"datumbook/server/peer"
)

// twin is one of two offices that are kept equal.
type twin struct {
	t    testing.TB
	data string
	addr string
	o    *browsertest.Office

	mu    sync.Mutex
	acked map[string]bool // id and revision of what was answered
}

func mustTwin(t testing.TB) *twin {
	w := &twin{t: t, data: t.TempDir(), addr: "127.0.0.1:0", acked: map[string]bool{}}
	w.start()
	return w
}

// start serves at the same address as before.
func (w *twin) start() {
	w.o = browsertest.StartOffice(w.t, w.data, "--addr", w.addr)
	w.addr = w.o.Addr
}

// command runs the program on this office's data.
func (w *twin) command(args ...string) string {
	w.t.Helper()
	cmd := exec.Command(browsertest.Program(w.t), append(args, "--data", w.data)...)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	require.NoError(w.t, err, "%v: %s %s", args, out, &errs)
	return string(out)
}

// peerOf adds another office by a code that it shows.
func (w *twin) peerOf(other *twin, flags ...string) string {
	w.t.Helper()
	code := regexp.MustCompile(`\d{4}-\d{4}`).FindString(other.command("devices", "--pair", "owner"))
	require.NotEmpty(w.t, code)
	out := w.command(append([]string{"peer", "add", "http://" + other.addr, "--code", code}, flags...)...)
	id := regexp.MustCompile(`Added (\w+)`).FindStringSubmatch(out)
	require.Len(w.t, id, 2, out)
	return id[1]
}

func (w *twin) ask(method, path, body string) ([]byte, error) {
	token, err := pairing.ReadLocalToken(w.data)
	require.NoError(w.t, err)
	r, err := http.NewRequestWithContext(w.t.Context(), method, "http://"+w.addr+path, strings.NewReader(body))
	require.NoError(w.t, err)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Authorization", "Bearer "+token)
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		return nil, err
	}
	defer resp.Body.Close()
	var text bytes.Buffer
	if _, err := text.ReadFrom(resp.Body); err != nil {
		return nil, err
	}
	if resp.StatusCode/100 != 2 {
		return nil, fmt.Errorf("%s %s: %s %s", method, path, resp.Status, &text)
	}
	return text.Bytes(), nil
}

// write keeps some records and a photo, and notes what was answered.
func (w *twin) write(who string, rng *rand.Rand) error {
	var docs []string
	var keys []string
	for i := range 10 {
		id, rev := fmt.Sprintf("x:%s-%d", who, i), fmt.Sprintf("1-%032x", rng.Uint64())
		docs = append(docs, fmt.Sprintf(`{"_id":%q,"_rev":%q,"v":"%d"}`, id, rev, rng.Uint64()))
		keys = append(keys, id+" "+rev)
	}
	photo := make([]byte, 10_000+rng.IntN(50_000))
	for i := range photo {
		photo[i] = byte(rng.Uint32())
	}
	id, rev := "photo:"+who, fmt.Sprintf("1-%032x", rng.Uint64())
	docs = append(docs, fmt.Sprintf(`{"_id":%q,"_rev":%q,"_attachments":{"p.jpg":{"content_type":"image/jpeg","data":%q}}}`,
		id, rev, base64.StdEncoding.EncodeToString(photo)))
	keys = append(keys, id+" "+rev)
	_, err := w.ask("POST", "/sync/shop/_bulk_docs", `{"new_edits":false,"docs":[`+strings.Join(docs, ",")+`]}`)
	if err != nil {
		return err
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, key := range keys {
		w.acked[key] = true
	}
	return nil
}

// leaves gives every leaf of the book.
func (w *twin) leaves() (map[string]bool, error) {
	text, err := w.ask("GET", "/sync/shop/_changes?style=all_docs", "")
	if err != nil {
		return nil, err
	}
	var page struct {
		Results []struct {
			ID      string
			Changes []struct{ Rev string }
		}
	}
	if err := json.Unmarshal(text, &page); err != nil {
		return nil, err
	}
	out := map[string]bool{}
	for _, row := range page.Results {
		for _, c := range row.Changes {
			out[row.ID+" "+c.Rev] = true
		}
	}
	return out, nil
}

// TestKilledPeers: two offices that are written to and kept equal, while one or the other is killed
// again and again. In the end both have everything that either answered for, whole.
func TestKilledPeers(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(*crashSeed, 15))
	t.Logf("-crash-seed %d", *crashSeed)
	a, b := mustTwin(t), mustTwin(t)
	a.peerOf(b)
	const rounds = 10
	for round := range rounds {
		victim := []*twin{a, b}[rng.IntN(2)]
		var writers sync.WaitGroup
		for i, w := range []*twin{a, b} {
			mine := rand.New(rand.NewPCG(rng.Uint64(), uint64(i)))
			writers.Go(func() {
				for n := 0; n < 200 && w.write(fmt.Sprintf("%d-%d-%d", i, round, n), mine) == nil; n++ {
				}
			})
		}
		time.Sleep(time.Duration(rng.Int64N(int64(300 * time.Millisecond)))) // the moment of the kill
		victim.o.Kill()
		other := map[*twin]*twin{a: b, b: a}[victim]
		other.o.Kill() // ends its writer too; it is the other's turn to be away for less
		writers.Wait()
		other.start()
		victim.start()
	}
	assert.Greater(t, len(a.acked)+len(b.acked), 20*rounds, "the writers hardly got an answer: this proves nothing")
	mustEqual(t, a, b)
	for _, w := range []*twin{a, b} {
		has, err := w.leaves()
		require.NoError(t, err)
		for _, from := range []*twin{a, b} {
			for key := range from.acked {
				require.True(t, has[key], "%s was answered by %s and is not at %s", key, from.addr, w.addr)
			}
		}
		require.Contains(t, w.command("verify"), "Sound: ")
	}
	list := a.command("peer", "list")
	assert.Contains(t, list, "equal at ")
	assert.NotContains(t, list, "set aside")
}

// mustEqual waits until two offices have the same leaves.
func mustEqual(t testing.TB, a, b *twin) {
	t.Helper()
	end := time.Now().Add(3 * time.Minute)
	for {
		one, err := a.leaves()
		two, err2 := b.leaves()
		if err == nil && err2 == nil && len(one) == len(two) {
			same := true
			for key := range one {
				same = same && two[key]
			}
			if same {
				return
			}
		}
		if time.Now().After(end) {
			t.Fatalf("%d and %d leaves, %v\n%s", len(one), len(two), errors.Join(err, err2), a.command("peer", "list"))
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// TestPeerCommand: how a copy is added, listed and removed, and what each wrong word is answered with.
func TestPeerCommand(t *testing.T) {
	t.Parallel()
	a, b := mustTwin(t), mustTwin(t)
	refused := func(says string, args ...string) {
		t.Helper()
		cmd := exec.Command(browsertest.Program(t), append(append([]string{"peer"}, args...), "--data", a.data)...)
		cmd.Stdin = strings.NewReader("not the password\n")
		out, err := cmd.CombinedOutput()
		require.Error(t, err, "%s", out)
		assert.Contains(t, string(out), says)
	}
	refused("is not the address of a database", "add", "shop")
	refused("anybody on the way could read", "add", "http://192.0.2.1/shop")
	refused("--way \"sideways\" is not known: use both, out or in", "add", "http://"+b.addr, "--way", "sideways")
	refused("one of the two", "add", "http://"+b.addr, "--way", "out", "--code", "1234-5678", "--user", "x")
	refused("does not let this office in", "add", "http://"+b.addr+"/sync/shop", "--user", "shop")
	refused("there is no peer \"abc\"", "remove", "abc")
	refused("is not known: use add, list or remove", "spin")
	none := filepath.Join(t.TempDir(), "none.pem")
	require.NoError(t, os.WriteFile(none, []byte("?"), 0o600))
	refused("--ca names a file without a certificate", "add", "http://"+b.addr, "--ca", none)
	assert.Contains(t, a.command("peer", "list"), "kept equal with no other place")

	require.NoError(t, a.write("a", rand.New(rand.NewPCG(1, 1))))
	require.NoError(t, b.write("b", rand.New(rand.NewPCG(2, 2))))
	id := a.peerOf(b, "--way", "out")
	end := time.Now().Add(time.Minute)
	for !strings.Contains(a.command("peer", "list"), "out  equal at ") && time.Now().Before(end) {
	}
	has, err := b.leaves()
	require.NoError(t, err)
	for key := range a.acked {
		assert.True(t, has[key], key)
	}
	mine, err := a.leaves()
	require.NoError(t, err)
	for key := range b.acked {
		assert.False(t, mine[key], "out only")
	}
	refused("does not take the code (it answers 403 error: that code is not known", "add",
		"http://"+b.addr+"/sync/other", "--code", "0000-0000")
	info, err := os.Stat(filepath.Join(a.data, "peers.json"))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	list, err := peer.Read(a.data)
	require.NoError(t, err)
	text, err := a.ask("GET", "/api/peers", "")
	require.NoError(t, err)
	assert.NotContains(t, string(text), list[0].Secret)
	figures, err := a.ask("GET", "/metrics", "")
	require.NoError(t, err)
	assert.Contains(t, string(figures), `datumbook_peer_waiting{`)
	assert.Contains(t, string(figures), `datumbook_peer_set_aside{name="`+b.addr+`/sync/shop",peer="`+id+`",way="out"} 0`)
	doctor := exec.Command(browsertest.Program(t), "doctor", "--data", a.data)
	said, _ := doctor.CombinedOutput() // other lines may be of this machine
	assert.Regexp(t, `well +copies +127\.0\.0\.1:\d+/sync/shop out: equal at `, string(said))
	assert.Contains(t, a.command("peer", "remove", id), "shut it out there")
	text, err = a.ask("GET", "/api/peers", "")
	require.NoError(t, err)
	assert.JSONEq(t, "[]", string(text))
}

// A copy that is not kept up heads the office's page, and its key leads to where the reason stands: in
// sight, not below the headline.
func TestKeyLeadsToTheCopies(t *testing.T) {
	t.Parallel()
	a, gone := mustTwin(t), mustTwin(t)
	a.peerOf(gone)
	gone.o.Kill()
	b := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	b.Go("http://" + a.addr + "/#/office")
	b.WaitText("1 copy is not kept up")
	browsertest.Eval[bool](b, `(document.documentElement.style.scrollBehavior = "auto", true)`) // there at once
	b.TapText("#well .button", "Go there")
	b.Wait("its title is in sight", `(() => {
		const box = (what) => document.querySelector(what).getBoundingClientRect();
		const title = box("#copies h2");
		const seen = document.elementFromPoint(title.left + 5, title.top + title.height / 2);
		return title.top >= box("#well").bottom && seen?.closest("#copies") !== null;
	})()`)
	b.WaitText("nothing listens at that address")
}
