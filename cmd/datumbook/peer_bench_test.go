package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/calc/jobbook"
	"datumbook/cmd/datumbook/browsertest"
	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/replication"
	"datumbook/server/replication/peertest"
	"datumbook/server/sameuser"
	"datumbook/store"
)

var benchRecords = flag.Int("records", 100_000, "records of the large book in BenchmarkBesidePeer")

// The load: as many phones as a large shop has, each with a day's records.
const (
	benchPhones = 50
	benchEach   = 200
	benchBatch  = 100
	benchMany   = 10_000
	benchPhotos = 20
	photoBytes  = 2 << 20
	benchBook   = "shop"
	slowFlush   = 5 * time.Millisecond
	slowEnv     = "DATUMBOOK_TEST_SLOW_DISK" // names the store of the child that serves on a slow disk
)

// The child process: this binary, serving with each flush made slower.
func init() {
	if path := os.Getenv(slowEnv); path != "" {
		if err := serveSlow(path); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
}

// serveSlow serves as the program does, with a slow disk underneath, until it is killed.
func serveSlow(path string) error {
	st, err := store.Open(store.Options{Path: path, TestOnlyFlushDelay: slowFlush,
		Rules: func(_, id string, doc []byte) []string { return jobbook.Sentences(id, doc) }})
	if err != nil {
		return err
	}
	if _, err := st.CreateBook(benchBook); err != nil {
		return err
	}
	sync := server.SyncRoutes(&replication.Handler{Store: st})
	s := &server.Server{Addr: "127.0.0.1:0", Sync: sync, Peer: sameuser.Check, Pairing: &pairing.Service{Keeper: st}}
	if err := s.Open(); err != nil {
		return err
	}
	fmt.Println(s.URL())
	select {}
}

// served is an office that is being measured.
type served struct {
	url  string // of the protocol's root
	pid  int
	data string
}

// begin starts a program that prints its address.
func begin(b *testing.B, data string, cmd *exec.Cmd) served {
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.StdoutPipe()
	require.NoError(b, err)
	require.NoError(b, cmd.Start())
	b.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(b, err, "%s", &errs)
	url := strings.TrimPrefix(strings.TrimSpace(line), "Datumbook is at ")
	return served{url + "/sync", cmd.Process.Pid, data}
}

// BenchmarkBesidePeer measures, in one run and with the same requests, the
// program, the program's server on a disk whose flushes take 5 ms more, and
// express-pouchdb with PouchDB's LevelDB adapter, and prints a table. Every
// write of ours is on the disk when it is answered; the peer's need not be.
func BenchmarkBesidePeer(b *testing.B) {
	client := peertest.Install(b, peerFolder)
	beside := peertest.Install(b, peerFolder+"/beside")
	for b.Loop() {
		start := map[string]func(data string) served{
			"ours": func(data string) served {
				return begin(b, data, exec.Command(browsertest.Program(b), "serve", "--addr", "127.0.0.1:0", "--data", data))
			},
			"ours+5ms": func(data string) served {
				cmd := exec.Command(os.Args[0])
				cmd.Env = append(os.Environ(), slowEnv+"="+filepath.Join(data, storeFile))
				return begin(b, data, cmd)
			},
			"peer": func(data string) served {
				cmd := exec.Command("node", "serve.js", data)
				cmd.Dir = beside
				s := begin(b, data, cmd)
				demand(b, "PUT", s.url+"/"+benchBook, nil, http.StatusCreated)
				return s
			},
		}
		names := []string{"ours", "ours+5ms", "peer"}
		figures := map[string]map[string]float64{}
		for _, name := range names {
			figures[name] = measure(b, start[name](b.TempDir()), client, name == "ours+5ms")
		}
		figures["ours"]["bare bbolt, batches of 100 (records/s)"] = bareBolt(b)
		table(b, names, figures)
		b.ReportMetric(figures["ours"]["raw push, 50 phones (records/s)"], "push/s")
		b.ReportMetric(figures["peer"]["raw push, 50 phones (records/s)"], "peer-push/s")
	}
}

// rows of the table, in their order, with the goal for ours where there is one.
var benchRows = []struct{ name, goal string }{
	{"raw push, 50 phones (records/s)", "1.5 x the peer; 15,000 with 5 ms more a flush"},
	{"raw push, p95 of a batch (ms)", "no worse than the peer"},
	{"raw pull (records/s)", "2 x the peer"},
	{"raw nothing to sync (ms)", "10"},
	{"20 photos of 2 MB in one batch (s)", ""},
	{"PouchDB push 10,000 (s)", "no slower than the peer"},
	{"PouchDB pull 10,000 (s)", "no slower than the peer"},
	{"PouchDB nothing to sync (ms)", ""},
	{"resident, idle (MB)", "30"},
	{"resident, at the peak (MB)", "200"},
	{"resident after it, at rest (MB)", ""},
	{"large book: push (records/s)", ""},
	{"large book: files (MB)", ""},
	{"large book: anonymous memory (MB)", "120 with 1,000,000"},
	{"large book: first page of _changes (ms)", ""},
	{"large book: last page of _changes (ms)", "as the first"},
	{"bare bbolt, batches of 100 (records/s)", ""},
}

func table(b *testing.B, names []string, figures map[string]map[string]float64) {
	var out bytes.Buffer
	w := tabwriter.NewWriter(&out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(w, "\t%s\tgoal\t\n", strings.Join(names, "\t"))
	for _, row := range benchRows {
		fmt.Fprintf(w, "%s\t", row.name)
		for _, name := range names {
			if v, ok := figures[name][row.name]; !ok {
				fmt.Fprint(w, "\t")
			} else if v >= 100 {
				fmt.Fprintf(w, "%.0f\t", v)
			} else {
				fmt.Fprintf(w, "%.2f\t", v)
			}
		}
		fmt.Fprintf(w, "%s\t\n", row.goal)
	}
	require.NoError(b, w.Flush())
	fmt.Printf("\nlarge book: %d records\n%s\n", *benchRecords, out.String())
}

// measure runs the whole scenario against one office.
func measure(b *testing.B, s served, client string, slow bool) map[string]float64 {
	f := map[string]float64{}
	at := s.url + "/" + benchBook
	_, docs := pushBodies(1, 1, 1)
	var one struct{ Docs []json.RawMessage }
	require.NoError(b, json.Unmarshal(docs, &one))
	require.Empty(b, jobbook.Sentences("", one.Docs[0]), "the records must be sound")
	time.Sleep(time.Second) // let the work after the start end
	f["resident, idle (MB)"] = memory(b, s.pid, "VmRSS")

	f["raw push, 50 phones (records/s)"], f["raw push, p95 of a batch (ms)"] = rawPush(b, at)
	f["raw pull (records/s)"] = rawPull(b, at)
	f["raw nothing to sync (ms)"] = rawNothing(b, s.url)
	photos := photoBatch()
	from := time.Now()
	demand(b, "POST", at+"/_bulk_docs", photos, http.StatusCreated)
	f["20 photos of 2 MB in one batch (s)"] = time.Since(from).Seconds()
	if !slow {
		seen := pouch(b, client, s.url)
		f["PouchDB push 10,000 (s)"], f["PouchDB pull 10,000 (s)"] = seen["push"]/1000, seen["pull"]/1000
		f["PouchDB nothing to sync (ms)"] = seen["nothing"]
	}
	f["resident, at the peak (MB)"] = memory(b, s.pid, "VmHWM")
	time.Sleep(3 * time.Second)
	f["resident after it, at rest (MB)"] = memory(b, s.pid, "VmRSS")
	if slow {
		return f
	}

	before := folder(b, s.data)
	from = time.Now()
	for i := 0; i < *benchRecords; i += 1000 {
		_, docs := pushBodies(9_000_000, i, 1000)
		demand(b, "POST", at+"/_bulk_docs", docs, http.StatusCreated)
	}
	f["large book: push (records/s)"] = float64(*benchRecords) / time.Since(from).Seconds()
	f["large book: files (MB)"] = folder(b, s.data) - before
	f["large book: anonymous memory (MB)"] = memory(b, s.pid, "RssAnon")
	var info struct {
		Seq int `json:"update_seq"`
	}
	require.NoError(b, json.Unmarshal(demand(b, "GET", at, nil, http.StatusOK), &info))
	for name, since := range map[string]int{"first": 0, "last": info.Seq - 150} {
		from := time.Now()
		for range 20 {
			demand(b, "GET", fmt.Sprintf("%s/_changes?style=all_docs&limit=100&since=%d", at, since), nil, http.StatusOK)
		}
		f["large book: "+name+" page of _changes (ms)"] = float64(time.Since(from).Microseconds()) / 20_000
	}
	return f
}

// demand asks and gives the body; another status ends the benchmark.
func demand(b *testing.B, method, url string, body []byte, want int) []byte {
	b.Helper()
	text, err := asked(http.DefaultClient, method, url, body, want)
	require.NoError(b, err)
	return text
}

func asked(c *http.Client, method, url string, body []byte, want int) ([]byte, error) {
	req, err := http.NewRequest(method, url, bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	if body != nil {
		req.Header.Set("Content-Type", "application/json")
	}
	resp, err := c.Do(req)
	if err != nil {
		return nil, err
	}
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	if err == nil && want != 0 && resp.StatusCode != want {
		err = fmt.Errorf("%s %s: %s %.300s", method, url, resp.Status, text)
	}
	return text, err
}

// pushBodies gives the two requests that push sound records of about 400 bytes.
func pushBodies(phone, from, n int) (diff, docs []byte) {
	var d, p bytes.Buffer
	d.WriteString("{")
	p.WriteString(`{"docs":[`)
	edit := func(field, value string) string {
		return fmt.Sprintf(`%q:[{"id":"p%d-1","at":"2026-03-09T08:00:00Z","by":"p%d",%s}]`, field, phone, phone, value)
	}
	for i := from; i < from+n; i++ {
		if i > from {
			d.WriteString(",")
			p.WriteString(",")
		}
		id := fmt.Sprintf("reading:01KJ8Q3V%08d%010d", phone, i)
		hash := fmt.Sprintf("%016x%016x", uint64(phone+1)*2654435761, uint64(i+1)*0x9e3779b97f4a7c15)
		fmt.Fprintf(&d, `%q:["1-%s"]`, id, hash)
		fmt.Fprintf(&p, `{"_id":%q,"_rev":"1-%s","type":"reading","v":1,"by":"p%d","f":{%s,%s,%s},"_revisions":{"start":1,"ids":[%q]}}`, id, hash, phone,
			edit("job", `"v":"job:01KJ8Q3V7M4T9Z2XBN5C6D8F0G"`), edit("value", fmt.Sprintf(`"unit":"in","v":"2.%04d"`, i%10000)), edit("note", `"v":"face of the flange"`), hash)
	}
	d.WriteString("}")
	p.WriteString(`],"new_edits":false}`)
	return d.Bytes(), p.Bytes()
}

// rawPush: every phone pushes its records in batches at once, as a replicator does, without its
// checkpoints.
func rawPush(b *testing.B, at string) (perSecond, p95 float64) {
	type push struct{ diff, docs []byte }
	work := make([][]push, benchPhones)
	for p := range work {
		for i := 0; i < benchEach; i += benchBatch {
			diff, docs := pushBodies(p, i, benchBatch)
			work[p] = append(work[p], push{diff, docs})
		}
	}
	tr := &http.Transport{MaxIdleConnsPerHost: benchPhones}
	defer tr.CloseIdleConnections()
	c := &http.Client{Transport: tr}
	var mu sync.Mutex
	var took []time.Duration
	var failed error
	var phones sync.WaitGroup
	from := time.Now()
	for _, mine := range work {
		phones.Go(func() {
			for _, p := range mine {
				from := time.Now()
				_, err := asked(c, "POST", at+"/_revs_diff", p.diff, http.StatusOK)
				if err == nil {
					_, err = asked(c, "POST", at+"/_bulk_docs", p.docs, http.StatusCreated)
				}
				mu.Lock()
				took = append(took, time.Since(from))
				if err != nil {
					failed = err
				}
				mu.Unlock()
			}
		})
	}
	phones.Wait()
	all := time.Since(from)
	require.NoError(b, failed)
	slices.Sort(took)
	return benchPhones * benchEach / all.Seconds(), float64(took[len(took)*95/100].Microseconds()) / 1000
}

// rawPull reads everything page by page, as a replicator does.
func rawPull(b *testing.B, at string) float64 {
	n, since := 0, "0"
	from := time.Now()
	for {
		var page struct {
			Results []struct {
				ID      string
				Changes []struct{ Rev string }
			}
			Last json.RawMessage `json:"last_seq"`
		}
		require.NoError(b, json.Unmarshal(demand(b, "GET", at+"/_changes?style=all_docs&limit=100&since="+since, nil, http.StatusOK), &page))
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
		demand(b, "POST", at+"/_bulk_get?revs=true&latest=true", q.Bytes(), http.StatusOK)
		since = string(page.Last)
	}
	return float64(n) / time.Since(from).Seconds()
}

// rawNothing: what a push and a pull with nothing new ask, in milliseconds for all of it.
func rawNothing(b *testing.B, url string) float64 {
	at := url + "/" + benchBook
	var info struct {
		Seq json.RawMessage `json:"update_seq"`
	}
	require.NoError(b, json.Unmarshal(demand(b, "GET", at+"/", nil, http.StatusOK), &info))
	const times = 20
	from := time.Now()
	for range times {
		for _, path := range []string{"/", "/" + benchBook + "/", "/" + benchBook + "/_local/none", "/" + benchBook + "/_changes?style=all_docs&limit=100&since=" + string(info.Seq)} {
			_, err := asked(http.DefaultClient, "GET", url+path, nil, 0)
			require.NoError(b, err)
		}
	}
	return float64(time.Since(from).Microseconds()) / 1000 / times
}

func photoBatch() []byte {
	var p bytes.Buffer
	p.WriteString(`{"docs":[`)
	noise := rand.NewChaCha8([32]byte{1})
	for i := range benchPhotos {
		if i > 0 {
			p.WriteString(",")
		}
		photo := make([]byte, photoBytes)
		_, _ = noise.Read(photo)
		hash := fmt.Sprintf("%032x", i+1)
		fmt.Fprintf(&p, `{"_id":"photo-%d","_rev":"1-%s","_revisions":{"start":1,"ids":[%q]},"_attachments":{"photo":{"content_type":"image/jpeg","revpos":1,"data":"%s"}}}`,
			i, hash, hash, base64.StdEncoding.EncodeToString(photo))
	}
	p.WriteString(`],"new_edits":false}`)
	return p.Bytes()
}

// pouch lets PouchDB in Node push and pull records of 400 bytes in batches of 100, in a book of its
// own kind: the records are new, what was there before is pulled too.
func pouch(b *testing.B, dir, url string) map[string]float64 {
	const book = "pouch"
	demand(b, "PUT", url+"/"+book, nil, http.StatusCreated)
	ctx, stop := context.WithTimeout(context.Background(), 5*time.Minute)
	defer stop()
	cmd := exec.CommandContext(ctx, "node", "run.js", url, "many", strconv.Itoa(benchMany), "300", strconv.Itoa(benchBatch), book)
	cmd.Dir = dir
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	require.NoError(b, err, "%s", &errs)
	var found map[string]float64
	require.NoError(b, json.Unmarshal(out, &found))
	return found
}

// bareBolt writes the same records as plain keys and values, a batch a commit.
func bareBolt(b *testing.B) float64 {
	db, err := bolt.Open(filepath.Join(b.TempDir(), "bare.db"), 0o600, nil)
	require.NoError(b, err)
	defer db.Close()
	const n = 10_000
	_, docs := pushBodies(1, 0, benchBatch)
	value := docs[:400]
	from := time.Now()
	for i := 0; i < n; i += benchBatch {
		require.NoError(b, db.Update(func(tx *bolt.Tx) error {
			bucket, err := tx.CreateBucketIfNotExists([]byte(benchBook))
			if err != nil {
				return err
			}
			for k := i; k < i+benchBatch; k++ {
				if err := bucket.Put(fmt.Appendf(nil, "reading-%07d-%07d", 1, k), value); err != nil {
					return err
				}
			}
			return nil
		}))
	}
	return n / time.Since(from).Seconds()
}

// memory reads a line of the process's status, in megabytes.
func memory(b *testing.B, pid int, line string) float64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	require.NoError(b, err)
	for _, l := range strings.Split(string(text), "\n") {
		if rest, ok := strings.CutPrefix(l, line+":"); ok {
			kb, err := strconv.Atoi(strings.Fields(rest)[0])
			require.NoError(b, err)
			return float64(kb) / 1024
		}
	}
	require.Fail(b, "the system does not say "+line)
	return 0
}

// folder gives the bytes of all files in it, in megabytes.
func folder(b *testing.B, dir string) float64 {
	var n int64
	require.NoError(b, filepath.WalkDir(dir, func(_ string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err == nil {
			n += info.Size()
		}
		return err
	}))
	return float64(n) / (1 << 20)
}
