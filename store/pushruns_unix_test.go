//go:build unix

package store_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/storetest"
)

// usedCPU gives the processor's time of this process, of its own and of the system for it.
func usedCPU(b *testing.B) (own, system time.Duration) {
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano()), time.Duration(u.Stime.Nano())
}

// BenchmarkPushRuns: ten times in a row 50 writers push 200 records each in batches of 100, into one
// store that grows. It prints the median and the slowest of the ten, by the clock and by the
// processor's time, which other programs on the machine do not change, and the most commits.
func BenchmarkPushRuns(b *testing.B) {
	for _, flush := range []time.Duration{0, 5 * time.Millisecond} {
		b.Run(fmt.Sprintf("flush+%v", flush), func(b *testing.B) {
			for b.Loop() {
				s, err := store.Open(store.Options{Path: filepath.Join(b.TempDir(), "s.db"), TestOnlyFlushDelay: flush})
				require.NoError(b, err)
				book := storetest.MustBook(b, s, "jobs")
				var wall, own, system []time.Duration
				var commits uint64
				for run := range 10 {
					var work [50][2][]store.Doc
					for w := range work {
						for k := range work[w] {
							work[w][k] = records(run*10_000+w*200+k*100, 100)
						}
					}
					before := s.Stats().Commits
					ownBefore, systemBefore := usedCPU(b)
					begin := time.Now()
					var wg sync.WaitGroup
					for w := range work {
						wg.Go(func() {
							for _, docs := range work[w] {
								if _, err := book.Push(docs); err != nil {
									b.Error(err)
								}
							}
						})
					}
					wg.Wait()
					wall = append(wall, time.Since(begin))
					ownAfter, systemAfter := usedCPU(b)
					own, system = append(own, ownAfter-ownBefore), append(system, systemAfter-systemBefore)
					commits = max(commits, s.Stats().Commits-before)
				}
				require.NoError(b, s.Close())
				for name, list := range map[string][]time.Duration{"wall": wall, "user": own, "system": system} {
					b.Log(name, list)
					slices.Sort(list)
					b.ReportMetric(float64(list[5].Milliseconds()), name+"-median-ms")
					b.ReportMetric(float64(list[9].Milliseconds()), name+"-slowest-ms")
				}
				b.ReportMetric(float64(commits), "most-commits")
			}
		})
	}
}
