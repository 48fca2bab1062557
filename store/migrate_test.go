package store_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/storetest"
)

var update = flag.Bool("update", false, "write the present format's sample file anew")

// Each format ever released has a sample file that was written by the program of its day, with what
// it held as text beside it. Opened by this program it holds the same.
func TestEveryPastFormatOpens(t *testing.T) {
	if *update {
		path, facts := rich(t)
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		name := fmt.Sprintf("testdata/format-%03d", store.Format())
		require.NoError(t, os.WriteFile(name+".db", data, 0o600))
		require.NoError(t, os.WriteFile(name+".txt", []byte(facts), 0o600))
	}
	for format := 1; format <= store.Format(); format++ {
		t.Run(fmt.Sprint(format), func(t *testing.T) {
			data, err := os.ReadFile(fmt.Sprintf("testdata/format-%03d.db", format))
			require.NoError(t, err)
			facts, err := os.ReadFile(fmt.Sprintf("testdata/format-%03d.txt", format))
			require.NoError(t, err)
			path := filepath.Join(t.TempDir(), "old.db")
			require.NoError(t, os.WriteFile(path, data, 0o600))
			s, err := store.Open(store.Options{Path: path})
			require.NoError(t, err)
			got, err := factsOf(s)
			require.NoError(t, err)
			assert.Equal(t, string(facts), got)
			storetest.MustVerify(t, s)
			require.NoError(t, s.Close())
		})
	}
}

func TestNewerFormatIsRefusedInWords(t *testing.T) {
	path, _ := rich(t)
	raise(t, path)
	_, err := store.Open(store.Options{Path: path})
	require.Equal(t, store.Newer, store.KindOf(err), "%v", err)
	assert.Contains(t, store.Sentence(err), "use a newer Datumbook")
}
