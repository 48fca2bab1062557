package store_test

import (
	"fmt"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/storetest"
)

// Pending is the number of rows that the feed still has, however many sequences were replaced
// since, before and after reopening, and after pushes that run beside the first count.
func TestPendingIsWhatIsLeft(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	check := func(b *store.Book) {
		t.Helper()
		rows, last, err := storetest.Book{Book: b}.Rows(0)
		require.NoError(t, err)
		for _, since := range []uint64{0, 1, 1023, 1024, 1025, last / 2, last - 1, last, last + 5000} {
			want := 0
			for _, r := range rows {
				if r.Seq > since {
					want++
				}
			}
			require.NoError(t, b.View(func(view *store.View) error {
				n, err := view.Pending(since)
				assert.EqualValues(t, want, n, "after %d of %d", since, last)
				return err
			}))
		}
	}
	docs := make([]store.Doc, 3000)
	for i := range docs {
		docs[i] = storetest.Doc(fmt.Sprint(i), "1-a", nil, ``)
	}
	_, err := b.Push(docs)
	require.NoError(t, err)
	var both sync.WaitGroup
	both.Go(func() {
		for i := range 40 {
			_, err := b.Push([]store.Doc{storetest.Doc(fmt.Sprint(i*7), "2-b", []string{"a"}, ``)})
			assert.NoError(t, err)
		}
	})
	both.Go(func() {
		for range 20 {
			assert.NoError(t, b.View(func(view *store.View) error { _, err := view.Pending(1500); return err }))
		}
	})
	both.Wait()
	check(b)
	for i := range docs[:1200] {
		docs[i] = storetest.Doc(fmt.Sprint(i*2), "3-c", []string{"b", "a"}, ``)
	}
	_, err = b.Push(docs[:1200])
	require.NoError(t, err)
	check(b)
	require.NoError(t, s.Compact())
	check(b)
	require.NoError(t, s.Close())
	again, err := store.Open(store.Options{Path: s.Path()})
	require.NoError(t, err)
	defer again.Close()
	b, err = again.Book("jobs")
	require.NoError(t, err)
	check(b)
}

// A count taken at an instant that a commit has overtaken meanwhile is not kept: it would lack that
// commit for good.
func TestPendingOvertaken(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	docs := make([]store.Doc, 2000)
	for i := range docs {
		docs[i] = storetest.Doc(fmt.Sprint(i), "1-a", nil, ``)
	}
	_, err := b.Push(docs)
	require.NoError(t, err)
	require.NoError(t, b.View(func(view *store.View) error {
		_, err := b.Push([]store.Doc{storetest.Doc("0", "2-b", []string{"a"}, ``)})
		require.NoError(t, err)
		n, err := view.Pending(0)
		assert.EqualValues(t, 2000, n)
		return err
	}))
	require.NoError(t, b.View(func(view *store.View) error {
		n, err := view.Pending(1000)
		assert.EqualValues(t, 1001, n, "sequences 1,001 to 2,000, and 2,001 for what was 1")
		return err
	}))
}
