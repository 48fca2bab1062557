package storetest

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
)

// MustOpen opens a store in a temporary folder. When the test ends the whole store is verified, and
// again from its file after closing; a store that fails is kept and its path printed.
func MustOpen(t testing.TB, change ...func(*store.Options)) *store.Store {
	t.Helper()
	opt := store.Options{Path: filepath.Join(t.TempDir(), "office.db")}
	for _, c := range change {
		c(&opt)
	}
	s, err := store.Open(opt)
	require.NoError(t, err)
	t.Cleanup(func() {
		if _, err := s.UUID(); err == nil {
			MustVerify(t, s)
		}
		assert.NoError(t, s.Close())
		if _, err := os.Stat(opt.Path); err == nil {
			MustVerifyFile(t, opt.Path)
		}
		if t.Failed() {
			keep := filepath.Join(os.TempDir(), "datumbook-failed.db")
			if data, err := os.ReadFile(opt.Path); err == nil && os.WriteFile(keep, data, 0o600) == nil {
				t.Logf("the store is kept at %s", keep)
			}
		}
	})
	return s
}

// MustBook makes a book.
func MustBook(t testing.TB, s *store.Store, name string) *store.Book {
	t.Helper()
	b, err := s.CreateBook(name)
	require.NoError(t, err)
	return b
}

// MustVerify verifies an open store.
func MustVerify(t testing.TB, s *store.Store) store.Report {
	t.Helper()
	r, err := s.Verify(context.Background())
	assert.NoError(t, err)
	assert.Empty(t, r.Problems)
	return r
}

// MustVerifyFile verifies a closed one.
func MustVerifyFile(t testing.TB, path string) store.Report {
	t.Helper()
	r, err := store.VerifyFile(context.Background(), path)
	assert.NoError(t, err)
	assert.Empty(t, r.Problems)
	return r
}
