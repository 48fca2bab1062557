package main

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"io"
	"net/http"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/cmd/datumbook/browsertest"
)

// flipInStore flips a bit in the store's file, in the one piece of an attachment that holds some
// bytes, as a failing disk would.
func flipInStore(t *testing.T, path string, part []byte) {
	db, err := bolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	defer func() { require.NoError(t, db.Close()) }()
	hurt := 0
	require.NoError(t, db.Update(func(tx *bolt.Tx) error {
		chunks := tx.Bucket([]byte("chunk"))
		c := chunks.Cursor()
		for k, v := c.First(); k != nil; k, v = c.Next() {
			if at := bytes.Index(v, part); at >= 0 {
				hurt++
				v = bytes.Clone(v)
				v[at] ^= 1
				return chunks.Put(bytes.Clone(k), v)
			}
		}
		return nil
	}))
	require.Equal(t, 1, hurt)
}

// TestPhoneMendsAPhoto: a bit of a photo flips on the office's disk. A new phone gets all but that
// photo and says so; the office serves no byte of it and lists it; the phone that took it still has
// it whole and mends the office by itself; then the new phone gets it too.
func TestPhoneMendsAPhoto(t *testing.T) {
	t.Parallel()
	data := t.TempDir()
	gate := browsertest.NewGate(t)
	office := browsertest.StartOffice(t, data)
	gate.To(office.Addr)
	var docs []string
	photo := func(i int) string { return strings.Repeat(fmt.Sprintf("photo %d, ", i), 2000) }
	for i := range 20 {
		docs = append(docs, fmt.Sprintf(`{"_id":"photo:%02d","_rev":"1-%032x","_revisions":{"start":1,"ids":["%032x"]},
			"type":"photo","v":1,"f":{},"_attachments":{"image":{"content_type":"image/jpeg","data":%q}}}`,
			i, i, i, base64.StdEncoding.EncodeToString([]byte(photo(i)))))
	}
	resp, err := http.Post(gate.URL()+"/sync/shop/_bulk_docs", "application/json",
		strings.NewReader(`{"new_edits":false,"docs":[`+strings.Join(docs, ",")+`]}`))
	require.NoError(t, err)
	require.NoError(t, resp.Body.Close())
	require.Equal(t, http.StatusCreated, resp.StatusCode)

	profile := t.TempDir()
	took := browsertest.Open(t, profile, browsertest.Phone)
	took.Go(gate.URL() + "/")
	took.AtOffice()
	took.Wait("all photos are here", stored+`.then(all => all.length === 20)`)
	took.Close()

	office.Kill()
	flipInStore(t, filepath.Join(data, storeFile), []byte("photo 7, photo 7, "))
	office = browsertest.StartOffice(t, data)
	gate.To(office.Addr)

	fresh := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	fresh.Go(gate.URL() + "/")
	fresh.Wait("the head tells of the one", `document.querySelector(".sync-words")?.textContent === "1 not here"`)
	assert.Len(t, browsertest.Eval[[]string](fresh, stored), 19, "the others came")
	get := func(path string) (int, string) {
		resp, err := http.Get(gate.URL() + path)
		require.NoError(t, err)
		defer resp.Body.Close()
		text, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		return resp.StatusCode, string(text)
	}
	code, text := get("/sync/shop/photo:07/image")
	assert.Equal(t, http.StatusInternalServerError, code)
	assert.NotContains(t, text, "photo 7, ")
	_, text = get("/api/wanted")
	assert.Contains(t, text, `"id":"photo:07"`)

	fresh.Go(gate.URL() + "/#/office")
	fresh.WaitText("image is damaged")

	took = browsertest.Open(t, profile, browsertest.Phone)
	took.Go(gate.URL() + "/")
	took.Wait("the office is whole again",
		`fetch("/sync/shop/photo:07/image").then(r => r.ok ? r.text() : "").then(x => x.startsWith("photo 7, photo 7, "))`)
	_, text = get("/api/wanted")
	assert.JSONEq(t, `{"wanted":[]}`, text)
	_, text = get("/sync/shop/photo:07/image")
	assert.Equal(t, photo(7), text)

	fresh.Go(gate.URL() + "/#/where")
	fresh.Tap(`.form-foot .go`)
	fresh.AtOffice()
	assert.Len(t, browsertest.Eval[[]string](fresh, stored), 20)

	office.Kill()
	out, err := exec.Command(browsertest.Program(t), "verify", "--data", data).CombinedOutput()
	require.NoError(t, err, "%s", out)
	assert.Contains(t, string(out), "Sound: ")
}
