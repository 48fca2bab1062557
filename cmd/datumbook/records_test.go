package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/store"
	"datumbook/store/revtree"
)

// TestBothWays: commands find the same records, do the same to them and say the same, whether they
// open the store themselves or ask the office that has it open.
func TestBothWays(t *testing.T) {
	older := filepath.Join(t.TempDir(), "older.json")
	require.NoError(t, os.WriteFile(older, []byte(`{"datumbook":1,"book":"shop","docs":[
{"_id":"note:1","_rev":"2-x","_revisions":{"start":2,"ids":["x","a"]},"type":"note","v":1,
 "f":{"text":[{"id":"c-1","v":"by file"}]}},
{"_id":"note:2","_rev":"1-y","_revisions":{"start":1,"ids":["y"]},"type":"note","v":1,
 "f":{"text":[{"id":"c-1","v":"<b> & more"}]},
 "_attachments":{"image":{"content_type":"image/png","revpos":1,"digest":"md5-x","data":"AAEC"}}}]}`), 0o600))
	answers := map[string]string{}
	for _, way := range []string{"the store", "the office"} {
		data := t.TempDir()
		st, err := store.Open(store.Options{Path: filepath.Join(data, storeFile)})
		require.NoError(t, err)
		s, err := openRecords(st, "shop")
		require.NoError(t, err)
		// Two phones wrote one note at once, the second with a picture.
		copyOf := func(rev, by string, atts ...store.Att) store.Doc {
			return store.Doc{ID: "note:1", Rev: revtree.Rev{Pos: 1, Hash: rev}, Atts: atts,
				Body: []byte(`"type":"note","v":1,"f":{"text":[{"id":"` + by + `-1","v":"by ` + by + `"}]}`)}
		}
		image := store.Att{Name: "image", ContentType: "image/png", Blob: st.NewBlob([]byte("pixels"))}
		rows, err := s.book.Push([]store.Doc{copyOf("b", "bench"), copyOf("a", "phone", image)})
		require.NoError(t, err)
		for _, row := range rows {
			require.NoError(t, row.Err)
		}
		require.NoError(t, st.Close())
		if way == "the office" {
			browsertest.StartOffice(t, data)
		}
		out := ""
		say := func(code int, args ...string) {
			var b bytes.Buffer
			require.Equal(t, code, run(t.Context(), append(args, "--data", data), &b, &b), b.String())
			out += b.String()
		}
		file := filepath.Join(t.TempDir(), "out.json")
		export := func() {
			say(exitOK, "export", file)
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			_, docs, ok := bytes.Cut(text, []byte(`"docs":`)) // before it stands when it was made
			require.True(t, ok)
			out += string(docs)
		}
		export()
		assert.Contains(t, out, `"v":"by bench"`)
		assert.Contains(t, out, `"v":"by phone"`)
		picture := `"image":{"content_type":"image/png","data":"cGl4ZWxz"}`
		assert.Contains(t, out, picture, "the picture of the copy that does not stand")
		say(exitOK, "import", older)
		say(exitOK, "import", older)
		say(exitOK, "import", file)
		export()
		assert.Contains(t, out, `"v":"<b> & more"`, "as it was written")
		say(exitOK, "demo")
		say(exitOK, "demo", "--remove")
		export()
		answers[way] = string(bytes.ReplaceAll([]byte(out), []byte(file), []byte("FILE")))
	}
	assert.Equal(t, answers["the store"], answers["the office"])
	assert.Contains(t, answers["the store"], "1 new, 1 changed, 0 here already")
	assert.Contains(t, answers["the store"], "0 new, 0 changed, 2 here already")
	assert.Contains(t, answers["the store"], "89 invented records taken out")
}
