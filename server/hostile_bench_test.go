package server_test

import (
	"bufio"
	"context"
	"encoding/base64"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/replication"
	"datumbook/store"
)

var hostileTime = flag.Duration("hostile", 10*time.Minute, "how long BenchmarkHostileDevices runs")

const (
	hostileDevices = 50
	hostileEach    = 4 // connections at once of each
	honestPhones   = 5
	hostileEnv     = "DATUMBOOK_TEST_HOSTILE" // names the store of the child that serves
)

// The child process: this binary, serving as the program does until it is killed.
func init() {
	path := os.Getenv(hostileEnv)
	if path == "" {
		return
	}
	server.LimitMemory()
	st, err := store.Open(store.Options{Path: path})
	if err == nil {
		s := &server.Server{Addr: "0.0.0.0:0", Pairing: &pairing.Service{Keeper: st},
			Sync: server.SyncRoutes(&replication.Handler{Store: st})}
		if err = s.Open(); err == nil {
			fmt.Println(s.Port())
			select {}
		}
	}
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}

// BenchmarkHostileDevices lets fifty paired devices do their worst to an office in a process of its
// own, and measures what honest phones see of it and what memory the office takes.
func BenchmarkHostileDevices(b *testing.B) {
	for b.Loop() {
		path := filepath.Join(b.TempDir(), "office.db")
		tokens := hostileStore(b, path)
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), hostileEnv+"="+path)
		out, err := cmd.StdoutPipe()
		require.NoError(b, err)
		cmd.Stderr = os.Stderr
		require.NoError(b, cmd.Start())
		port, err := bufio.NewReader(out).ReadString('\n')
		require.NoError(b, err)
		at := "127.0.0.1:" + strings.TrimSpace(port)

		ctx, stop := context.WithTimeout(b.Context(), *hostileTime)
		var all sync.WaitGroup
		alone := honest(ctx, at, tokens[0], 3*time.Second) // before the others come
		var mu sync.Mutex
		var took, photos []time.Duration
		failed, photoFailed := 0, 0
		for i := range honestPhones {
			all.Go(func() {
				mine := honest(ctx, at, tokens[i], *hostileTime)
				mu.Lock()
				defer mu.Unlock()
				took = append(took, mine.took...)
				failed += mine.failed
				photos = append(photos, mine.photos...)
				photoFailed += mine.photoFailed
			})
		}
		load := newHostile(b)
		for i := range hostileDevices {
			for k := range hostileEach {
				all.Go(func() { load.device(ctx, at, tokens[honestPhones+i], (i+k)%len(load.ways)) })
			}
		}
		anon, rss := int64(0), int64(0)
		for ctx.Err() == nil {
			a, r := memory(b, cmd.Process.Pid)
			anon, rss = max(anon, a), max(rss, r)
			select {
			case <-ctx.Done():
			case <-time.After(200 * time.Millisecond):
			}
		}
		stop()
		all.Wait()
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		info, err := os.Stat(path)
		require.NoError(b, err)
		slices.Sort(took)
		require.NotEmpty(b, took)
		p := func(of []time.Duration, part float64) float64 {
			return float64(of[int(float64(len(of)-1)*part)].Microseconds()) / 1000
		}
		slices.Sort(alone.took)
		b.ReportMetric(p(alone.took, .95), "ms-p95-alone")
		b.ReportMetric(p(took, .5), "ms-p50")
		b.ReportMetric(p(took, .95), "ms-p95")
		b.ReportMetric(p(took, .99), "ms-p99")
		b.ReportMetric(p(took, 1), "ms-most")
		b.ReportMetric(float64(len(took)), "honest-requests")
		b.ReportMetric(float64(failed), "honest-failed")
		slices.Sort(photos)
		if len(photos) > 0 {
			b.ReportMetric(p(photos, .95), "ms-photo-p95")
		}
		b.ReportMetric(float64(len(photos)), "photos")
		b.ReportMetric(float64(photoFailed), "photos-failed")
		b.ReportMetric(float64(load.sent.Load()), "hostile-requests")
		b.ReportMetric(float64(load.done.Load()), "hostile-answered")
		b.ReportMetric(float64(load.refused.Load()), "hostile-refused")
		b.ReportMetric(float64(anon>>20), "MB-anon-most")
		b.ReportMetric(float64(rss>>20), "MB-rss-most")
		b.ReportMetric(float64(info.Size()>>20), "MB-disk")
		b.ReportMetric(0, "ns/op")
	}
}

// hostileStore makes a store with a shop's records and pairs the devices.
func hostileStore(b *testing.B, path string) (tokens []string) {
	st, err := store.Open(store.Options{Path: path})
	require.NoError(b, err)
	book, err := st.CreateBook("jobs")
	require.NoError(b, err)
	var docs []store.Doc
	for i := range 2000 {
		body := `"n":` + strconv.Itoa(i) + `,"text":"` + strings.Repeat("word ", 80) + `"`
		docs = append(docs, store.Doc{ID: fmt.Sprintf("rec-%d", i), Body: []byte(body)})
	}
	for i := range 20 {
		body := `"text":"` + noise(700_000, uint64(i)) + `"`
		docs = append(docs, store.Doc{ID: fmt.Sprintf("large-%d", i), Body: []byte(body)})
	}
	_, err = book.Edit(docs)
	require.NoError(b, err)
	p := &pairing.Service{Keeper: st}
	for i := range honestPhones + hostileDevices {
		code, err := p.Show(store.Operator, "bench")
		require.NoError(b, err)
		token, _, err := p.Trade(code.Text, fmt.Sprint("device ", i), netip.MustParseAddr("192.0.2.7"))
		require.NoError(b, err)
		tokens = append(tokens, token)
	}
	require.NoError(b, st.Close())
	return tokens
}

// noise is text that does not pack well.
func noise(n int, seed uint64) string {
	rng := rand.New(rand.NewPCG(seed, 1))
	raw := make([]byte, n*3/4)
	for i := range raw {
		raw[i] = byte(rng.Uint32())
	}
	return base64.StdEncoding.EncodeToString(raw)
}

type seen struct {
	took, photos        []time.Duration
	failed, photoFailed int
}

// honest does what a phone does, a record every fifth of a second, and gives what each request took.
func honest(ctx context.Context, at, token string, long time.Duration) (out seen) {
	client := &http.Client{Transport: &http.Transport{}, Timeout: time.Minute}
	defer client.CloseIdleConnections()
	end := time.Now().Add(long)
	name := store.NewID()
	photo := noise(2<<20, 7)
	for n := 0; time.Now().Before(end) && ctx.Err() == nil; n++ {
		id := fmt.Sprintf("%s-%d", name, n)
		type ask struct{ method, path, body string }
		asks := []ask{
			{"POST", "/_revs_diff", `{"` + id + `":["1-a"]}`},
			{"POST", "/_bulk_docs", `{"new_edits":false,"docs":[{"_id":"` + id + `","_rev":"1-a","text":"` +
				strings.Repeat("reading ", 50) + `"}]}`},
			{"GET", "/_changes?style=all_docs&limit=100&since=" + strconv.Itoa(1500+n%400), ""},
			{"POST", "/_bulk_get?revs=true&latest=true", `{"docs":[{"id":"rec-1"},{"id":"rec-700"},{"id":"` + id + `","rev":"1-a"}]}`},
			{"GET", "/_local/x" + name, ""},
		}
		if n%25 == 24 { // a photo now and then
			asks = append(asks, ask{"POST", "/_bulk_docs", fmt.Sprintf(
				`{"new_edits":false,"docs":[{"_id":"%s","_rev":"1-b","_attachments":{"p":{"data":"%s%016x"}}}]}`, id,
				photo, n)})
		}
		for _, q := range asks {
			r, err := http.NewRequestWithContext(ctx, q.method, "http://"+at+"/sync/jobs"+q.path, strings.NewReader(q.body))
			if err != nil {
				out.failed++
				continue
			}
			r.Header.Set("Authorization", "Bearer "+token)
			r.Header.Set("Content-Type", "application/json")
			began := time.Now()
			got, err := client.Do(r)
			if err == nil {
				_, err = io.Copy(io.Discard, got.Body)
				_ = got.Body.Close()
			}
			if ctx.Err() != nil {
				return out
			}
			if len(q.body) > 1<<20 {
				out.photos = append(out.photos, time.Since(began))
				if err != nil || got.StatusCode != 201 {
					out.photoFailed++
				}
				continue
			}
			out.took = append(out.took, time.Since(began))
			if err != nil || got.StatusCode >= 300 && got.StatusCode != 404 {
				out.failed++
			}
		}
		select {
		case <-ctx.Done():
		case <-time.After(200 * time.Millisecond):
		}
	}
	return out
}
