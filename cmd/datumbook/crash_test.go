package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

var (
	kills     = flag.Int("kills", 200, "how often TestKilledOffice kills the serving program")
	crashSeed = flag.Uint64("crash-seed", uint64(time.Now().UnixNano()), "seed of the kills' moments and of what is pushed")
)

const (
	crashLanes  = 2  // data folders that are killed side by side
	crashRenew  = 12 // rounds after which a lane starts with a new folder
	crashPhones = 5  // that push at once
	crashBook   = "/sync/shop"
)

// TestKilledOffice kills the serving program at random moments while phones push records and
// photos, and starts it again: what was acknowledged is there, whole, and the program's own verify
// finds nothing wrong.
func TestKilledOffice(t *testing.T) {
	t.Logf("%d kills, -crash-seed %d", *kills, *crashSeed)
	program := browsertest.Program(t)
	for lane := range crashLanes {
		t.Run(fmt.Sprint(lane), func(t *testing.T) {
			t.Parallel()
			rounds := (*kills + crashLanes - 1 - lane) / crashLanes
			c := crashes(t, program, uint64(lane), rounds)
			t.Logf("%d answers, %d of them photos, %d kills of which %d while starting: all kept", c.total, c.photos, rounds, c.early)
			assert.Greater(t, c.total, 3*rounds, "the phones hardly got an answer: this proves nothing")
			assert.Greater(t, c.photos, rounds/4, "hardly a photo was answered: this proves little")
		})
	}
}

// BenchmarkKilledOffice prints what 200 kills leave of what was acknowledged: all of it, or it
// fails.
func BenchmarkKilledOffice(b *testing.B) {
	program := browsertest.Program(b)
	var c *crash
	for b.Loop() {
		c = crashes(b, program, 7, *kills)
	}
	b.ReportMetric(float64(*kills), "kills")
	b.ReportMetric(float64(c.total), "answered")
	b.ReportMetric(float64(c.photos), "photos")
	b.ReportMetric(0, "lost")
}

// crashes kills an office again and again, and checks each time what it kept.
func crashes(t testing.TB, program string, lane uint64, rounds int) *crash {
	c := &crash{t: t, program: program, rng: rand.New(rand.NewPCG(*crashSeed, lane))}
	for round := range rounds {
		if round%crashRenew == 0 {
			c.renew()
		}
		c.round(round)
	}
	c.prove(c.start())
	return c
}

// crash is one data folder and what was acknowledged about it.
type crash struct {
	t       testing.TB
	program string
	rng     *rand.Rand
	data    string

	mu     sync.Mutex
	acked  map[string][]string // revisions by document, of this folder's whole life
	photo  map[string][32]byte // document and revision -> what its photo must be
	local  map[string]int      // checkpoint -> number answered
	seq    int                 // greatest sequence seen
	total  int
	photos int
	early  int
}

func (c *crash) renew() {
	c.data = c.t.TempDir()
	c.acked, c.photo, c.local, c.seq = map[string][]string{}, map[string][32]byte{}, map[string]int{}, 0
}

// life is the program serving once.
type life struct {
	cmd  *exec.Cmd
	errs *bytes.Buffer
	url  string
	out  io.Reader
}

// begin starts the program without waiting for it.
func (c *crash) begin() *life {
	cmd := exec.Command(c.program, "serve", "--addr", "127.0.0.1:0", "--data", c.data)
	l := &life{cmd: cmd, errs: &bytes.Buffer{}}
	cmd.Stderr = l.errs
	out, err := cmd.StdoutPipe()
	require.NoError(c.t, err)
	l.out = out
	require.NoError(c.t, cmd.Start())
	c.t.Cleanup(func() { _ = cmd.Process.Kill() })
	return l
}

// start starts the program and waits until it serves.
func (c *crash) start() *life {
	l := c.begin()
	lines := bufio.NewScanner(l.out)
	for lines.Scan() {
		if url, ok := strings.CutPrefix(lines.Text(), "Datumbook is at "); ok {
			l.url = url
			return l
		}
	}
	_ = l.cmd.Wait()
	require.Fail(c.t, "the office does not start again", "%s", l.errs)
	return nil
}

// kill ends it with SIGKILL.
func (l *life) kill() {
	_ = l.cmd.Process.Kill()
	_, _ = io.Copy(io.Discard, l.out)
	_ = l.cmd.Wait()
}

// round starts the office, checks what was acknowledged before, lets the phones push, kills it, and
// verifies the file that is left.
func (c *crash) round(round int) {
	if c.rng.IntN(6) == 0 { // during its start: creating, opening or repairing its file
		l := c.begin()
		time.Sleep(time.Duration(c.rng.Int64N(int64(50 * time.Millisecond))))
		l.kill()
		c.early++
	} else {
		l := c.start()
		c.prove(l)
		var phones sync.WaitGroup
		client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: crashPhones}}
		for phone := range crashPhones {
			rng := rand.New(rand.NewPCG(c.rng.Uint64(), uint64(phone)))
			phones.Go(func() { c.push(client, l.url, fmt.Sprintf("r%d-p%d", round, phone), rng) })
		}
		if c.rng.IntN(5) == 0 {
			phones.Go(func() {
				_, err := ask(client, "POST", l.url+crashBook+"/_compact", `{}`)
				c.gone(err)
			})
		}
		time.Sleep(time.Duration(c.rng.Int64N(int64(90 * time.Millisecond))))
		l.kill()
		phones.Wait()
		client.CloseIdleConnections()
	}
	if _, err := os.Stat(filepath.Join(c.data, storeFile)); errors.Is(err, os.ErrNotExist) {
		require.Empty(c.t, c.acked, "the records are gone")
		return // killed before any were made
	}
	out, err := exec.Command(c.program, "verify", "--data", c.data).CombinedOutput()
	require.NoError(c.t, err, "round %d, -crash-seed %d: %s", round, *crashSeed, out)
	require.Contains(c.t, string(out), "Sound: ")
}

// gone reports whether no answer came, as is right once the office is killed; a refusal fails the
// test.
func (c *crash) gone(err error) bool {
	var no *refusedError
	if errors.As(err, &no) {
		assert.NoError(c.t, err, "-crash-seed %d", *crashSeed)
	}
	return err != nil
}

// push is one phone: pushed batches with and without photos, edits, deletions, checkpoints, until
// the office is gone. It records only what was acknowledged.
func (c *crash) push(client *http.Client, url, who string, rng *rand.Rand) {
	at := url + crashBook
	var mine []string // documents with one revision each, by id and revision
	for n := 0; ; n++ {
		var batch, ids, revs []string
		var photos [][]byte
		for i := range 1 + rng.IntN(20) {
			id := fmt.Sprintf("%s-%d-%d", who, n, i)
			hash := fmt.Sprintf("%016x%016x", rng.Uint64(), rng.Uint64())
			att, photo := "", []byte(nil)
			if i == 0 && n%2 == 0 {
				photo = make([]byte, []int{0, 1, 900, 40_000, 700_000}[rng.IntN(5)])
				for k := range photo {
					photo[k] = byte(rng.Uint32())
				}
				att = fmt.Sprintf(`,"_attachments":{"photo":{"content_type":"image/jpeg","revpos":1,"data":%q}}`, base64.StdEncoding.EncodeToString(photo))
			}
			batch = append(batch, fmt.Sprintf(`{"_id":%q,"_rev":"1-%s","_revisions":{"start":1,"ids":[%q]},"job":"Pump cover","reading":%d.250,"note":%q%s}`,
				id, hash, hash, i, strings.Repeat("bore ", 1+rng.IntN(60)), att))
			ids, revs, photos = append(ids, id), append(revs, "1-"+hash), append(photos, photo)
		}
		answer, err := ask(client, "POST", at+"/_bulk_docs", `{"new_edits":false,"docs":[`+strings.Join(batch, ",")+`]}`)
		if c.gone(err) {
			return
		}
		if !assert.Equal(c.t, "[]", strings.TrimSpace(answer)) {
			return
		}
		c.mu.Lock()
		for i, id := range ids {
			c.note(id, revs[i])
			if photos[i] != nil {
				c.photo[id+"?rev="+revs[i]] = sha256.Sum256(photos[i])
				c.photos++
			}
		}
		c.mu.Unlock()
		mine = append(mine, ids[0]+"?rev="+revs[0])
		switch rng.IntN(4) {
		case 0, 1: // edit one, or delete it
			k := rng.IntN(len(mine))
			method, body := "PUT", `{"note":"measured again"}`
			if rng.IntN(3) == 0 {
				method, body = "DELETE", ""
			}
			answer, err := ask(client, method, at+"/"+mine[k], body)
			if c.gone(err) {
				return
			}
			var got struct{ ID, Rev string }
			if !assert.NoError(c.t, json.Unmarshal([]byte(answer), &got)) {
				return
			}
			c.mu.Lock()
			c.note(got.ID, got.Rev)
			c.mu.Unlock()
			mine = append(mine[:k], mine[k+1:]...)
			if len(mine) == 0 {
				continue
			}
		case 2: // a checkpoint
			name, body := "_local/"+who, `{"last_seq":1}`
			c.mu.Lock()
			had := c.local[name]
			c.mu.Unlock()
			if had > 0 {
				body = fmt.Sprintf(`{"_rev":"0-%d","last_seq":1}`, had)
			}
			if _, err := ask(client, "PUT", at+"/"+name, body); c.gone(err) {
				return
			}
			c.mu.Lock()
			c.local[name] = had + 1
			c.mu.Unlock()
		case 3: // what the office says it is at
			answer, err := ask(client, "GET", at, "")
			if c.gone(err) {
				return
			}
			var got struct {
				Seq int `json:"update_seq"`
			}
			if !assert.NoError(c.t, json.Unmarshal([]byte(answer), &got)) {
				return
			}
			c.mu.Lock()
			c.seq = max(c.seq, got.Seq)
			c.mu.Unlock()
		}
	}
}

func (c *crash) note(id, rev string) {
	c.acked[id] = append(c.acked[id], rev)
	c.total++
}

// prove asks the office for everything that was acknowledged in this folder.
func (c *crash) prove(l *life) {
	client := &http.Client{Transport: &http.Transport{}}
	defer client.CloseIdleConnections()
	at := l.url + crashBook
	says := func(method, path, body string) string {
		answer, err := ask(client, method, at+path, body)
		require.NoError(c.t, err, "-crash-seed %d: %s %s: %s", *crashSeed, method, path, l.errs)
		return answer
	}
	asked, err := json.Marshal(c.acked)
	require.NoError(c.t, err)
	require.Equal(c.t, "{}", strings.TrimSpace(says("POST", "/_revs_diff", string(asked))), "answered and lost, -crash-seed %d", *crashSeed)
	for where, want := range c.photo {
		id, rev, _ := strings.Cut(where, "?")
		req, err := http.NewRequest("GET", at+"/"+id+"/photo?"+rev, nil)
		require.NoError(c.t, err)
		resp, err := client.Do(req)
		require.NoError(c.t, err)
		got, err := io.ReadAll(resp.Body)
		require.NoError(c.t, err)
		_ = resp.Body.Close()
		if resp.StatusCode == http.StatusNotFound && c.replaced(says, id) {
			continue // and a compaction took the old revision's body
		}
		require.Equal(c.t, http.StatusOK, resp.StatusCode, "%s: %s", where, got)
		require.Equal(c.t, want, sha256.Sum256(got), "the photo of %s is another, -crash-seed %d", where, *crashSeed)
	}
	c.photo = map[string][32]byte{} // checked once; verify goes on checking its digest
	for name, n := range c.local {
		// A checkpoint has no flush of its own: it may be an older one, or not there yet, and is never
		// ahead of what was answered.
		answer, err := ask(client, "GET", at+"/"+name, "")
		var no *refusedError
		if errors.As(err, &no) && strings.HasPrefix(no.status, "404") {
			continue
		}
		require.NoError(c.t, err)
		var got struct {
			Rev string `json:"_rev"`
		}
		require.NoError(c.t, json.Unmarshal([]byte(answer), &got))
		var have int
		_, err = fmt.Sscanf(got.Rev, "0-%d", &have)
		require.NoError(c.t, err)
		require.LessOrEqual(c.t, have, n+1, "a checkpoint nobody wrote, -crash-seed %d", *crashSeed)
	}
	var info struct {
		Seq int `json:"update_seq"`
	}
	require.NoError(c.t, json.Unmarshal([]byte(says("GET", "", "")), &info))
	require.GreaterOrEqual(c.t, info.Seq, c.seq, "sequences went back, -crash-seed %d", *crashSeed)
}

// replaced tells whether the office has a revision after a document's first, also one whose answer was
// lost with the kill.
func (c *crash) replaced(says func(method, path, body string) string, id string) bool {
	if len(c.acked[id]) > 1 {
		return true
	}
	var got struct {
		Rows []struct{ Value struct{ Rev string } }
	}
	require.NoError(c.t, json.Unmarshal([]byte(says("POST", "/_all_docs", `{"keys":["`+id+`"]}`)), &got))
	require.Len(c.t, got.Rows, 1)
	rev := got.Rows[0].Value.Rev
	c.t.Logf("%s was replaced by %s, which was not answered", id, rev)
	return strings.HasPrefix(rev, "2-")
}

// ask gives the body of an answer that came whole and says that it was done.
func ask(client *http.Client, method, url, body string) (string, error) {
	req, err := http.NewRequest(method, url, strings.NewReader(body))
	if err != nil {
		return "", err
	}
	if body != "" {
		req.Header.Set("Content-Type", "application/json")
	}
	resp, err := client.Do(req)
	if err != nil {
		return "", err
	}
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	if err == nil && resp.StatusCode >= http.StatusBadRequest {
		err = &refusedError{resp.Status, string(text)}
	}
	return string(text), err
}

// refusedError is an answer other than success.
type refusedError struct{ status, text string }

func (e *refusedError) Error() string { return e.status + ": " + e.text }
