package store_test

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

// records gives n documents of about 400 bytes with ids in no order.
func records(from, n int) []store.Doc {
	docs := make([]store.Doc, n)
	note := strings.Repeat("measured on the boring mill ", 10)
	for i := range docs {
		k := from + i
		hash := fmt.Sprintf("%032x", k)
		docs[i] = store.Doc{ID: fmt.Sprintf("rec-%08x-%08d", uint32(k)*2654435761, k), Rev: revtree.Rev{Pos: 1, Hash: hash}, Hashes: []string{hash},
			Body: fmt.Appendf(nil, `"kind":"measurement","job":"casting-%d","reading":%d.%03d,"unit":"in","note":"%s"`, k%50, k%1000, k%997, note)}
	}
	return docs
}

// BenchmarkPushBesideBareBolt: acknowledged records a second in batches of 100 through the store,
// and through bare bbolt with the same batches as plain keys and values.
func BenchmarkPushBesideBareBolt(b *testing.B) {
	b.Run("store", func(b *testing.B) {
		s, err := store.Open(store.Options{Path: filepath.Join(b.TempDir(), "s.db")})
		require.NoError(b, err)
		defer s.Close()
		book := storetest.MustBook(b, s, "jobs")
		n := 0
		for b.Loop() {
			_, err := book.Push(records(n, 100))
			require.NoError(b, err)
			n += 100
		}
		b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "records/s")
	})
	b.Run("bolt", func(b *testing.B) {
		db, err := bolt.Open(filepath.Join(b.TempDir(), "b.db"), 0o600, nil)
		require.NoError(b, err)
		defer db.Close()
		n := 0
		for b.Loop() {
			docs := records(n, 100)
			require.NoError(b, db.Update(func(tx *bolt.Tx) error {
				bucket, err := tx.CreateBucketIfNotExists([]byte("x"))
				if err != nil {
					return err
				}
				for i := range docs {
					if err := bucket.Put([]byte(docs[i].ID), docs[i].Body); err != nil {
						return err
					}
				}
				return nil
			}))
			n += 100
		}
		b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "records/s")
	})
}

// BenchmarkLargeBook fills a book with DATUMBOOK_BENCH_RECORDS records (100,000 if not set) and
// prints the file's size, the memory that is not the file's, the time to open, and what pages of
// changes cost at the beginning and at the end.
func BenchmarkLargeBook(b *testing.B) {
	n := 100_000
	if v, err := strconv.Atoi(os.Getenv("DATUMBOOK_BENCH_RECORDS")); err == nil {
		n = v
	}
	for b.Loop() {
		path := filepath.Join(b.TempDir(), "large.db")
		s, err := store.Open(store.Options{Path: path})
		require.NoError(b, err)
		book := storetest.MustBook(b, s, "jobs")
		begin := time.Now()
		for i := 0; i < n; i += 1000 {
			_, err := book.Push(records(i, 1000))
			require.NoError(b, err)
		}
		b.ReportMetric(float64(n)/time.Since(begin).Seconds(), "records/s")
		for name, since := range map[string]int{"first": 1000, "last": n - 1100} {
			begin := time.Now()
			for range 100 {
				require.NoError(b, book.View(func(view *store.View) error {
					_, err := view.Changes(store.ChangesQuery{Since: uint64(since), Limit: 1000})
					return err
				}))
			}
			b.ReportMetric(float64(time.Since(begin).Microseconds())/100, name+"-page-us")
		}
		size, err := s.Size()
		require.NoError(b, err)
		b.ReportMetric(float64(size)/float64(n), "file-B/record")
		b.ReportMetric(anonymousMB(b), "anon-MB")
		require.NoError(b, s.Close())
		begin = time.Now()
		s, err = store.Open(store.Options{Path: path})
		require.NoError(b, err)
		b.ReportMetric(float64(time.Since(begin).Milliseconds()), "open-ms")
		require.NoError(b, s.Close())
	}
}

// anonymousMB gives the memory that is the process's own and not pages of files, as the system
// counts it; 0 where it does not say.
func anonymousMB(b *testing.B) float64 {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	for _, line := range strings.Split(string(text), "\n") {
		if rest, ok := strings.CutPrefix(line, "RssAnon:"); ok {
			kb, err := strconv.Atoi(strings.Fields(rest)[0])
			require.NoError(b, err)
			return float64(kb) / 1024
		}
	}
	return 0
}

// BenchmarkPushWithCheckpoints: 10,000 records in batches of 100, each batch acknowledged before the
// next is sent, on a disk whose flush takes 5 ms; with a checkpoint after each batch, as a
// replicator writes it, and without.
func BenchmarkPushWithCheckpoints(b *testing.B) {
	for _, name := range []string{"without", "with"} {
		b.Run(name, func(b *testing.B) {
			var commits uint64
			for b.Loop() {
				s, err := store.Open(store.Options{Path: filepath.Join(b.TempDir(), "s.db"),
					TestOnlyFlushDelay: 5 * time.Millisecond})
				require.NoError(b, err)
				book := storetest.MustBook(b, s, "jobs")
				for i := 0; i < 10_000; i += 100 {
					_, err := book.Push(records(i, 100))
					require.NoError(b, err)
					if name == "with" {
						_, err := book.PutLocal(store.Local{ID: "replica", N: uint64(i / 100), Body: fmt.Appendf(nil, `"last_seq":%d`, i)})
						require.NoError(b, err)
					}
				}
				commits = s.Stats().Commits
				require.NoError(b, s.Close())
			}
			b.ReportMetric(float64(commits), "commits")
		})
	}
}

// BenchmarkCompaction compacts a book of DATUMBOOK_BENCH_RECORDS records (100,000 if not set), each
// changed once, while others push and read, and prints how long a push had to wait at most. The
// store is filled once and kept at DATUMBOOK_BENCH_STORE, where that is set.
func BenchmarkCompaction(b *testing.B) {
	n := 100_000
	if v, err := strconv.Atoi(os.Getenv("DATUMBOOK_BENCH_RECORDS")); err == nil {
		n = v
	}
	full := os.Getenv("DATUMBOOK_BENCH_STORE")
	if full == "" {
		full = filepath.Join(b.TempDir(), "full.db")
	}
	if _, err := os.Stat(full); err != nil {
		s, err := store.Open(store.Options{Path: full})
		require.NoError(b, err)
		book := storetest.MustBook(b, s, "jobs")
		for i := 0; i < n; i += 1000 {
			docs := records(i, 1000)
			_, err := book.Push(docs)
			require.NoError(b, err)
			for k := range docs {
				r := revtree.Rev{Pos: 2, Hash: "b" + docs[k].Rev.Hash[1:]}
				docs[k].Hashes, docs[k].Rev = []string{r.Hash, docs[k].Rev.Hash}, r
			}
			_, err = book.Push(docs)
			require.NoError(b, err)
		}
		require.NoError(b, s.Close())
	}
	for b.Loop() {
		path := filepath.Join(b.TempDir(), "s.db")
		data, err := os.Open(full)
		require.NoError(b, err)
		copied, err := os.Create(path)
		require.NoError(b, err)
		_, err = io.Copy(copied, data)
		require.NoError(b, errors.Join(err, data.Close(), copied.Close()))
		s, err := store.Open(store.Options{Path: path})
		require.NoError(b, err)
		book, err := s.Book("jobs")
		require.NoError(b, err)
		before, err := s.Size()
		require.NoError(b, err)
		stop := make(chan struct{})
		var done sync.WaitGroup
		var push, before500, read time.Duration
		pushes := 0
		warm := make(chan struct{})
		done.Go(func() { // a batch every few milliseconds, as phones send them
			for i := n; ; i += 20 {
				select {
				case <-stop:
					return
				case <-time.After(5 * time.Millisecond):
				}
				begin := time.Now()
				_, err := book.Push(records(i, 20))
				assert.NoError(b, err)
				push = max(push, time.Since(begin))
				if pushes++; pushes == 500 { // what a push takes on this machine, just now, anyway
					before500, push = push, 0
					close(warm)
				}
			}
		})
		done.Go(func() {
			for i := 0; ; i++ {
				select {
				case <-stop:
					return
				case <-time.After(time.Millisecond):
				}
				begin := time.Now()
				_, err := book.Get(records(i%n, 1)[0].ID, revtree.Rev{})
				assert.NoError(b, err)
				read = max(read, time.Since(begin))
			}
		})
		<-warm
		begin := time.Now()
		require.NoError(b, s.Compact())
		b.ReportMetric(time.Since(begin).Seconds(), "compaction-s")
		close(stop)
		done.Wait()
		after, err := s.Size()
		require.NoError(b, err)
		b.ReportMetric(float64(before500.Milliseconds()), "longest-push-before-ms")
		b.ReportMetric(float64(push.Milliseconds()), "longest-push-ms")
		b.ReportMetric(float64(read.Milliseconds()), "longest-read-ms")
		b.ReportMetric(float64(pushes), "pushes")
		b.ReportMetric(float64(s.Stats().LongestHold.Milliseconds()), "longest-hold-ms")
		b.ReportMetric(float64(before)/1e6, "before-MB")
		b.ReportMetric(float64(after)/1e6, "after-MB")
		require.NoError(b, s.Close())
	}
}
