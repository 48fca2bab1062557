package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/store"
)

// TestCompact: a file that held much more once gets smaller, whether the command opens the store
// itself or asks the office that has it open, and the sizes printed are the file's.
func TestCompact(t *testing.T) {
	for _, way := range []string{"the store", "the office"} {
		t.Run(way, func(t *testing.T) {
			data := t.TempDir()
			path := filepath.Join(data, storeFile)
			st, err := store.Open(store.Options{Path: path})
			require.NoError(t, err)
			book, err := st.CreateBook("shop")
			require.NoError(t, err)
			photo := make([]byte, 2<<20)
			for i := range 10 {
				photo[0] = byte(i)
				d := store.Doc{ID: fmt.Sprint("photo:", i), Atts: []store.Att{{Name: "image", Blob: st.NewBlob(bytes.Clone(photo))}}}
				rows, err := book.Edit([]store.Doc{d})
				require.NoError(t, err)
				_, err = book.Edit([]store.Doc{{ID: d.ID, Rev: rows[0].Rev, Deleted: true}})
				require.NoError(t, err)
			}
			require.NoError(t, st.Close())
			if way == "the office" {
				browsertest.StartOffice(t, data)
			}
			before, err := os.Stat(path)
			require.NoError(t, err)
			var out bytes.Buffer
			require.Equal(t, exitOK, run(t.Context(), []string{"compact", "--data", data}, &out, &out), out.String())
			var was, is float64
			_, err = fmt.Sscanf(out.String(), "Compacted: %f MB before, %f MB now\n", &was, &is)
			require.NoError(t, err, out.String())
			after, err := os.Stat(path)
			require.NoError(t, err)
			assert.InDelta(t, float64(before.Size())/1e6, was, 0.1)
			assert.InDelta(t, float64(after.Size())/1e6, is, 0.1)
			assert.Less(t, is, was/2)
		})
	}
	var out bytes.Buffer
	assert.Equal(t, exitFailed, run(t.Context(), []string{"compact", "--data", t.TempDir()}, &out, &out))
	assert.Contains(t, out.String(), "there is no store")
}

// TestCompactTellsFailure: a compaction that fails is no success, also where the office does it.
func TestCompactTellsFailure(t *testing.T) {
	for _, way := range []string{"the store", "the office"} {
		t.Run(way, func(t *testing.T) {
			data := t.TempDir()
			path := filepath.Join(data, storeFile)
			st, err := store.Open(store.Options{Path: path})
			require.NoError(t, err)
			_, err = st.CreateBook("shop")
			require.NoError(t, err)
			require.NoError(t, st.Close())
			if way == "the office" {
				browsertest.StartOffice(t, data)
			}
			require.NoError(t, os.MkdirAll(filepath.Join(path+".compacting", "in the way"), 0o700))
			var out bytes.Buffer
			assert.Equal(t, exitFailed, run(t.Context(), []string{"compact", "--data", data}, &out, &out), out.String())
			assert.Contains(t, out.String(), "could not be removed")
		})
	}
}
