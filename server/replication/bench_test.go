package replication

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook"
	"datumbook/store"
)

// benchOffice serves a store without the checks at the end, on an optionally slowed disk, with the
// job book's rules as the program has them.
func benchOffice(b *testing.B, flush time.Duration) *office {
	b.Helper()
	s, err := store.Open(store.Options{Path: filepath.Join(b.TempDir(), "office.db"), TestOnlyFlushDelay: flush,
		Rules: func(_, id string, doc []byte) []string { return jobbook.Sentences(id, doc) }})
	require.NoError(b, err)
	_, err = s.CreateBook("jobs")
	require.NoError(b, err)
	h := &Handler{Store: s}
	o := &office{h, httptest.NewServer(mount(h))}
	b.Cleanup(func() { o.Server.Close(); _ = s.Close() })
	return o
}

// batchOf gives a push of n sound records of about 400 bytes, as PouchDB sends it.
func batchOf(client, from, n int) (diff, docs []byte) {
	var d, p bytes.Buffer
	d.WriteString("{")
	p.WriteString(`{"docs":[`)
	for i := from; i < from+n; i++ {
		if i > from {
			d.WriteString(",")
			p.WriteString(",")
		}
		id := fmt.Sprintf("reading:01KJ8Q3V%08d%010d", client, i)
		hash := fmt.Sprintf("%032x", uint64(client*1_000_003+i)*2654435761)
		fmt.Fprintf(&d, `%q:["1-%s"]`, id, hash)
		edit := func(field, value string) string {
			return fmt.Sprintf(`%q:[{"at":"2026-03-09T08:00:00Z","by":"bench","id":"p%d-%d",%s}]`, field, client, i, value)
		}
		fmt.Fprintf(&p, `{"_id":%q,"_rev":"1-%s","f":{%s,%s,%s},"type":"reading","v":1,"_revisions":{"start":1,"ids":[%q]}}`, id, hash,
			edit("job", `"v":"job:01KJ8Q3V7M4T9Z2XBN5C6D8F0G"`), edit("note", `"v":"face of the flange"`), edit("value", fmt.Sprintf(`"unit":"in","v":"2.%04d"`, i%10000)), hash)
	}
	d.WriteString("}")
	p.WriteString(`],"new_edits":false}`)
	return d.Bytes(), p.Bytes()
}

func send(b *testing.B, c *http.Client, url string, body []byte, want int) []byte {
	resp, err := c.Post(url, "application/json", bytes.NewReader(body))
	if err != nil {
		b.Error(err)
		return nil
	}
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != want {
		b.Errorf("%d %v %s", resp.StatusCode, err, text)
	}
	return text
}

// BenchmarkBatch: a batch of 100 records is read, without the store.
func BenchmarkBatch(b *testing.B) {
	_, p := batchOf(1, 0, 100)
	b.SetBytes(int64(len(p)))
	for b.Loop() {
		docs, _, err := new(intake).batch(bytes.NewReader(p))
		require.NoError(b, err)
		require.Len(b, docs, 100)
	}
}

// BenchmarkPush: 50 clients push 200 records each in batches of 100, _revs_diff and _bulk_docs,
// every answer on disk.
func BenchmarkPush(b *testing.B) {
	for _, flush := range []time.Duration{0, 5 * time.Millisecond} {
		b.Run(fmt.Sprintf("flush+%v", flush), func(b *testing.B) {
			o := benchOffice(b, flush)
			tr := &http.Transport{MaxIdleConnsPerHost: 64}
			client := &http.Client{Transport: tr}
			defer tr.CloseIdleConnections()
			const clients, each, batch = 50, 200, 100
			type request struct{ diff, docs []byte }
			run := 0
			var took []time.Duration
			var mu sync.Mutex
			before := o.Store.Stats()
			b.ResetTimer()
			for b.Loop() {
				b.StopTimer()
				run++
				work := make([][]request, clients)
				for c := range clients {
					for at := 0; at < each; at += batch {
						d, p := batchOf(run*clients+c, at, batch)
						work[c] = append(work[c], request{d, p})
					}
				}
				b.StartTimer()
				var wg sync.WaitGroup
				for c := range clients {
					wg.Go(func() {
						for _, r := range work[c] {
							begin := time.Now()
							send(b, client, o.at()+"/jobs/_revs_diff", r.diff, 200)
							send(b, client, o.at()+"/jobs/_bulk_docs", r.docs, 201)
							mu.Lock()
							took = append(took, time.Since(begin))
							mu.Unlock()
						}
					})
				}
				wg.Wait()
			}
			b.StopTimer()
			flags, err := o.Store.Flags()
			require.NoError(b, err)
			require.Empty(b, flags, "the records must be sound")
			after := o.Store.Stats()
			n := float64(run * clients * each)
			slices.Sort(took)
			b.ReportMetric(n/b.Elapsed().Seconds(), "records/s")
			b.ReportMetric(float64(after.Commits-before.Commits)/float64(run), "commits/run")
			b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "p95-ms/batch")
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			b.ReportMetric(float64(m.HeapSys-m.HeapReleased)/(1<<20), "heap-MB")
		})
	}
}

// BenchmarkPull: one client reads 10,000 records page by page, _changes and _bulk_get in batches of
// 100.
func BenchmarkPull(b *testing.B) {
	o := benchOffice(b, 0)
	for i := 0; i < 10000; i += 500 {
		_, p := batchOf(1, i, 500)
		send(b, http.DefaultClient, o.at()+"/jobs/_bulk_docs", p, 201)
	}
	b.ResetTimer()
	n := 0
	for b.Loop() {
		since := "0"
		for {
			resp, err := http.Get(o.at() + "/jobs/_changes?style=all_docs&limit=100&since=" + since)
			require.NoError(b, err)
			var page struct {
				Results []struct {
					ID      string
					Changes []struct{ Rev string }
				}
				Last int `json:"last_seq"`
			}
			require.NoError(b, readJSON(resp.Body, 1<<20, &page))
			_ = resp.Body.Close()
			if len(page.Results) == 0 {
				break
			}
			var q bytes.Buffer
			q.WriteString(`{"docs":[`)
			for i, r := range page.Results {
				if i > 0 {
					q.WriteString(",")
				}
				fmt.Fprintf(&q, `{"id":%q,"rev":%q}`, r.ID, r.Changes[0].Rev)
				n++
			}
			q.WriteString(`]}`)
			send(b, http.DefaultClient, o.at()+"/jobs/_bulk_get?revs=true&latest=true", q.Bytes(), 200)
			since = fmt.Sprint(page.Last)
		}
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "records/s")
}

// BenchmarkPhotos: 20 attachments of 2 MB in one request, as PouchDB sends a batch.
func BenchmarkPhotos(b *testing.B) {
	o := benchOffice(b, 0)
	run := 0
	for b.Loop() {
		b.StopTimer()
		run++
		var p bytes.Buffer
		p.WriteString(`{"docs":[`)
		photo := make([]byte, 2<<20)
		for i := range 20 {
			if i > 0 {
				p.WriteString(",")
			}
			photo[0], photo[1], photo[2] = byte(i), byte(run), byte(run>>8)
			hash := fmt.Sprintf("%032x", run*100+i)
			fmt.Fprintf(&p, `{"_id":"photo-%d-%d","_rev":"1-%s","_revisions":{"start":1,"ids":["%s"]},"_attachments":{"p":{"content_type":"image/jpeg","revpos":1,"data":"%s"}}}`,
				run, i, hash, hash, encode64(photo))
		}
		p.WriteString(`],"new_edits":false}`)
		b.StartTimer()
		send(b, http.DefaultClient, o.at()+"/jobs/_bulk_docs", p.Bytes(), 201)
	}
	b.SetBytes(20 * 2 << 20)
}

// BenchmarkChangesPage: a page of 100 changes at the beginning and at the end of a long book costs
// the same.
func BenchmarkChangesPage(b *testing.B) {
	o := benchOffice(b, 0)
	const n = 100_000
	for i := 0; i < n; i += 1000 {
		_, p := batchOf(1, i, 1000)
		send(b, http.DefaultClient, o.at()+"/jobs/_bulk_docs", p, 201)
	}
	for _, since := range []int{1000, n - 200} {
		b.Run(fmt.Sprintf("since=%d", since), func(b *testing.B) {
			for b.Loop() {
				resp, err := http.Get(fmt.Sprintf("%s/jobs/_changes?style=all_docs&limit=100&since=%d", o.at(), since))
				require.NoError(b, err)
				_, err = io.Copy(io.Discard, resp.Body)
				require.NoError(b, err)
				_ = resp.Body.Close()
			}
		})
	}
}

func encode64(data []byte) string { return base64.StdEncoding.EncodeToString(data) }
