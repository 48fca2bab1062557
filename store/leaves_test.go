package store_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/storetest"
)

// A document has only so many revisions side by side, since each change of it costs as much. Those
// there are can go on, and go.
func TestRevisionsSideBySide(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	var docs []store.Doc
	for i := range store.MaxLeaves + 1 {
		docs = append(docs, storetest.Doc("a", fmt.Sprintf("2-%x", i+16), []string{"1"}, ``))
	}
	rows, err := b.Push(docs)
	require.NoError(t, err)
	var over []store.Result
	for _, row := range rows {
		if row.Err != nil {
			over = append(over, row)
		}
	}
	require.Len(t, over, 1)
	assert.Equal(t, store.Bad, store.KindOf(over[0].Err))
	refused, err := s.Refused()
	require.NoError(t, err)
	assert.Len(t, refused, 1)
	rows, err = b.Push([]store.Doc{storetest.Doc("a", "3-f", []string{"10", "1"}, ``), docs[0],
		storetest.Doc("other", "1-f", nil, ``)})
	require.NoError(t, err)
	for _, row := range rows {
		assert.NoError(t, row.Err)
	}
}
