package store_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

// photo gives incompressible bytes.
func photo(n int, seed uint64) []byte {
	data := make([]byte, n)
	rng := rand.New(rand.NewPCG(seed, 7))
	for i := range data {
		data[i] = byte(rng.Uint32())
	}
	return data
}

// withPhoto makes a pushed document that has one photo.
func withPhoto(s *store.Store, id string, content []byte) store.Doc {
	d := storetest.Doc(id, "1-a", nil, `"type":"photo"`)
	d.Atts = []store.Att{{Name: "photo", ContentType: "image/jpeg", Blob: s.NewBlob(content)}}
	return d
}

// change closes a store, changes its file through bbolt, and opens it again.
func change(t testing.TB, s *store.Store, fn func(tx *bolt.Tx) error) *store.Store {
	t.Helper()
	require.NoError(t, s.Close())
	db, err := bolt.Open(s.Path(), 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(fn))
	require.NoError(t, db.Close())
	again, err := store.Open(store.Options{Path: s.Path()})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, again.Close()) })
	return again
}

// runOf gives the number of a content's pieces, as bbolt has them.
func runOf(tx *bolt.Tx, sha []byte) uint64 {
	run, _ := binary.Uvarint(tx.Bucket([]byte("blob")).Get(sha))
	return run
}

func pieceKey(run uint64, n uint32) []byte {
	return binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint64(nil, run), n)
}

// readAtt reads the first attachment of a document's winner.
func readAtt(s *store.Store, book, id string) ([]byte, error) {
	b, err := s.Book(book)
	if err != nil {
		return nil, err
	}
	d, err := b.Get(id, revtree.Rev{})
	if err != nil {
		return nil, err
	}
	c, err := s.OpenAtt(d.Atts[0])
	if err != nil {
		return nil, err
	}
	return io.ReadAll(c)
}

// hurts are the ways in which a content of three pieces is damaged through bbolt.
var hurts = map[string]func(tx *bolt.Tx, sha []byte) error{
	"a bit of the last piece": func(tx *bolt.Tx, sha []byte) error { return flip(tx, sha, 2, 1000) },
	"a bit of the first":      func(tx *bolt.Tx, sha []byte) error { return flip(tx, sha, 0, 0) },
	"a piece is gone": func(tx *bolt.Tx, sha []byte) error {
		return tx.Bucket([]byte("chunk")).Delete(pieceKey(runOf(tx, sha), 1))
	},
	"a piece is shorter": func(tx *bolt.Tx, sha []byte) error {
		b, k := tx.Bucket([]byte("chunk")), pieceKey(runOf(tx, sha), 1)
		return b.Put(k, bytes.Clone(b.Get(k)[:1000]))
	},
	"its entry is gone": func(tx *bolt.Tx, sha []byte) error { return tx.Bucket([]byte("blob")).Delete(sha) },
	"a bit of its entry": func(tx *bolt.Tx, sha []byte) error {
		b := tx.Bucket([]byte("blob"))
		v := bytes.Clone(b.Get(sha))
		v[3] ^= 4
		return b.Put(sha, v)
	},
}

func flip(tx *bolt.Tx, sha []byte, piece uint32, at int) error {
	b, k := tx.Bucket([]byte("chunk")), pieceKey(runOf(tx, sha), piece)
	v := bytes.Clone(b.Get(k))
	v[at] ^= 0x10
	return b.Put(k, v)
}

// A damaged content is told before its first byte, remembered over a restart, and made whole by the
// next copy that comes: the same revision again, or another document with the same photo.
func TestDamagedContentIsToldAndRepaired(t *testing.T) {
	content := photo(600<<10, 1)
	for name, hurt := range hurts {
		for _, way := range []string{"the same revision", "another document", "another document, spooled"} {
			t.Run(name+", "+way, func(t *testing.T) {
				first, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
				require.NoError(t, err)
				b := storetest.MustBook(t, first, "shop")
				other := withPhoto(first, "sound", photo(300<<10, 2))
				_, err = b.Push([]store.Doc{withPhoto(first, "hurt", content), withPhoto(first, "twin", content), other})
				require.NoError(t, err)
				d, err := b.Get("hurt", revtree.Rev{})
				require.NoError(t, err)
				sha := d.Atts[0].SHA256

				s := change(t, first, func(tx *bolt.Tx) error { return hurt(tx, sha[:]) })
				got, err := readAtt(s, "shop", "hurt")
				require.Equal(t, store.Damaged, store.KindOf(err), "%v", err)
				assert.Empty(t, got)
				got, err = readAtt(s, "shop", "sound")
				require.NoError(t, err)
				assert.Equal(t, photo(300<<10, 2), got)

				want := []store.Wanted{
					{Book: "shop", ID: "hurt", Rev: "1-a", Name: "photo", Digest: d.Atts[0].Digest()},
					{Book: "shop", ID: "twin", Rev: "1-a", Name: "photo", Digest: d.Atts[0].Digest()},
				}
				for range 2 {
					list, err := s.Wanted(t.Context())
					require.NoError(t, err)
					assert.Equal(t, want, list)
					s = change(t, s, func(*bolt.Tx) error { return nil })
				}

				b, err = s.Book("shop")
				require.NoError(t, err)
				again := withPhoto(s, "hurt", content)
				if way != "the same revision" {
					again.ID = "new"
				}
				if way == "another document, spooled" {
					u := s.NewUpload(1)
					_, err := u.Write(content)
					require.NoError(t, err)
					again.Atts[0].Blob, err = u.Finish()
					require.NoError(t, err)
				}
				before := b.Seq()
				res, err := b.Push([]store.Doc{again})
				require.NoError(t, err)
				require.NoError(t, res[0].Err)
				assert.Greater(t, b.Seq(), before, "phones that set it aside hear of it again")
				for _, id := range []string{"hurt", "twin", again.ID} {
					got, err = readAtt(s, "shop", id)
					require.NoError(t, err, id)
					assert.True(t, bytes.Equal(content, got), id)
				}
				list, err := s.Wanted(t.Context())
				require.NoError(t, err)
				assert.Empty(t, list)
				trail, err := s.AuditTrail(2)
				require.NoError(t, err)
				assert.Equal(t, "repair", trail[0].What)
				assert.Equal(t, "damage", trail[1].What)

				_, err = s.Verify(t.Context()) // removes pieces that now belong to nothing
				require.NoError(t, err)
				storetest.MustVerify(t, s)
				// What is counted is right: after the last document that names it, it is gone.
				for _, id := range []string{"hurt", "twin", "new"} {
					d, err := b.Get(id, revtree.Rev{})
					if store.KindOf(err) == store.NotFound {
						continue
					}
					require.NoError(t, err)
					_, err = b.Edit([]store.Doc{{ID: id, Rev: d.Rev, Deleted: true}})
					require.NoError(t, err)
				}
				require.NoError(t, s.Compact())
				report := storetest.MustVerify(t, s)
				assert.Equal(t, 1, report.Attachments)
			})
		}
	}
}

// A snapshot's verification finds what nobody has read, and marks it in the store.
func TestSnapshotMarksDamage(t *testing.T) {
	first, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	b := storetest.MustBook(t, first, "shop")
	_, err = b.Push([]store.Doc{withPhoto(first, "hurt", photo(600<<10, 1))})
	require.NoError(t, err)
	d, err := b.Get("hurt", revtree.Rev{})
	require.NoError(t, err)
	s := change(t, first, func(tx *bolt.Tx) error { return flip(tx, d.Atts[0].SHA256[:], 1, 5) })
	list, err := s.Wanted(t.Context())
	require.NoError(t, err)
	assert.Empty(t, list, "nobody has looked yet")
	_, err = s.Snapshot(t.Context(), store.SnapshotPlan{Dir: t.TempDir(), Keep: 3}, noon)
	assert.Equal(t, store.Damaged, store.KindOf(err), "%v", err)
	list, err = s.Wanted(t.Context())
	require.NoError(t, err)
	assert.Len(t, list, 1)
}

// A damaged body is told for its document alone, and made whole when the same revision is sent
// again.
func TestDamagedBodySparesThePage(t *testing.T) {
	first, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	b := storetest.MustBook(t, first, "shop")
	content := photo(1000, 3)
	_, err = b.Push([]store.Doc{storetest.Doc("a", "1-a", nil, `"n":1`), withPhoto(first, "b", content),
		storetest.Doc("c", "1-a", nil, `"n":3`), storetest.Doc("d", "1-a", nil, `"n":4`)})
	require.NoError(t, err)
	s := change(t, first, func(tx *bolt.Tx) error {
		shop := tx.Bucket([]byte("books")).Bucket([]byte("shop"))
		for _, at := range []struct {
			bucket string
			key    []byte
		}{{"body", pieceKey(2, 0)[:8]}, {"doc", []byte("c")}, {"seq", pieceKey(4, 0)[:8]}} {
			v := bytes.Clone(shop.Bucket([]byte(at.bucket)).Get(at.key))
			v[len(v)/2] ^= 1
			if err := shop.Bucket([]byte(at.bucket)).Put(at.key, v); err != nil {
				return err
			}
		}
		return nil
	})
	b, err = s.Book("shop")
	require.NoError(t, err)
	require.NoError(t, b.View(func(view *store.View) error {
		page, err := view.All(store.AllQuery{Limit: -1, Docs: true})
		require.NoError(t, err)
		var ids []string
		for _, row := range page.Rows {
			ids = append(ids, fmt.Sprint(row.Found.ID, " ", store.KindOf(row.Err)))
		}
		assert.Equal(t, []string{"a ", "b damaged", "c damaged", "d "}, ids)
		assert.Equal(t, "1-a", page.Rows[1].Rev.String())
		f, err := view.Find("b")
		require.NoError(t, err)
		_, _, err = view.Doc(f, 0)
		assert.Equal(t, store.Damaged, store.KindOf(err))
		_, err = view.Find("c")
		assert.Equal(t, store.Damaged, store.KindOf(err))
		// The damaged row of the sequence is worked out from the document it belongs to.
		changes, err := view.Changes(store.ChangesQuery{})
		require.NoError(t, err)
		ids = nil
		for _, row := range changes.Rows {
			ids = append(ids, fmt.Sprint(row.Seq, row.ID, row.Leaves))
		}
		assert.Equal(t, []string{"1a[1-a]", "2b[1-a]", "3c[1-a]", "4d[1-a]"}, ids)
		return nil
	}))
	before := b.Seq()
	_, err = b.PushBy("0f0f", []store.Doc{withPhoto(s, "b", content)})
	require.NoError(t, err)
	assert.Greater(t, b.Seq(), before)
	got, err := readAtt(s, "shop", "b")
	require.NoError(t, err)
	assert.Equal(t, content, got)
	trail, err := s.AuditTrail(1)
	require.NoError(t, err)
	assert.Equal(t, "repair", trail[0].What)
	assert.Equal(t, "0f0f", trail[0].Device, "who sent it")
	assert.Equal(t, "b", trail[0].Record)
	require.NoError(t, b.View(func(view *store.View) error {
		f, err := view.Find("b")
		require.NoError(t, err)
		sent, ok, err := view.Pushed(f, 0)
		require.NoError(t, err)
		assert.True(t, ok)
		assert.Equal(t, "0f0f", sent.By, "and answers for it")
		return nil
	}))
	require.NoError(t, s.Compact(), "a damaged document does not stop the upkeep")
}

// Contents of the earlier format, whose pieces carry no sum, are checked as a whole before the first
// byte, and sealed by the upkeep.
func TestOlderContentsAreSealed(t *testing.T) {
	data, err := os.ReadFile("testdata/format-002.db")
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "old.db")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	whole, err := readAtt(s, "photos", "doc-14")
	require.NoError(t, err)
	require.Greater(t, len(whole), 256<<10, "two pieces")
	b, err := s.Book("photos")
	require.NoError(t, err)
	d, err := b.Get("doc-14", revtree.Rev{})
	require.NoError(t, err)
	sha := d.Atts[0].SHA256

	s = change(t, s, func(tx *bolt.Tx) error { return flip(tx, sha[:], 1, 500) })
	require.NoError(t, s.Tend(t.Context()), "it finds the damage by itself")
	list, err := s.Wanted(t.Context())
	require.NoError(t, err)
	assert.NotEmpty(t, list)
	_, err = readAtt(s, "photos", "doc-14")
	assert.Equal(t, store.Damaged, store.KindOf(err))

	s = change(t, s, func(tx *bolt.Tx) error { return flip(tx, sha[:], 1, 500) }) // as it was
	got, err := readAtt(s, "photos", "doc-14")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(whole, got))
	list, err = s.Wanted(t.Context())
	require.NoError(t, err)
	assert.Empty(t, list, "what reads whole again is not wanted")
	require.NoError(t, s.Tend(t.Context()))
	storetest.MustVerify(t, s)
	s = change(t, s, func(tx *bolt.Tx) error {
		return tx.Bucket([]byte("chunk")).ForEach(func(k, v []byte) error {
			n := len(v) - 4
			assert.Equal(t, store.SealForTest(k, bytes.Clone(v[:n])), v)
			return nil
		})
	})
	got, err = readAtt(s, "photos", "doc-14")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(whole, got))
}

// A backup made by an earlier version is verified and put in place by this one.
func TestBackupsOfEarlierFormats(t *testing.T) {
	for format := 1; format < store.Format(); format++ {
		backup := fmt.Sprintf("testdata/format-%03d.db", format)
		storetest.MustVerifyFile(t, backup)
		path := filepath.Join(t.TempDir(), "office.db")
		_, err := store.Restore(t.Context(), backup, path, noon, "office")
		require.NoError(t, err)
		storetest.MustVerifyFile(t, path)
	}
}

// Whatever single bit of a file with photos is flipped, no other byte than those once taken in is
// ever served, and nothing panics.
func TestFlippedBitsNeverServeWrongBytes(t *testing.T) {
	path := filepath.Join(t.TempDir(), "office.db")
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	b := storetest.MustBook(t, s, "shop")
	contents := map[string][]byte{}
	for i := range 8 {
		id := fmt.Sprint("p", i)
		contents[id] = photo(10_000+i*60_000, uint64(i))
		_, err := b.Push([]store.Doc{withPhoto(s, id, contents[id])})
		require.NoError(t, err)
	}
	require.NoError(t, s.Compact())
	require.NoError(t, s.Close())
	require.NoError(t, os.Truncate(path, usedLength(t, path)))
	sound, err := os.ReadFile(path)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(*seed, 4))
	t.Logf("seed %d, %d bytes", *seed, len(sound))
	counts := map[string]int{}
	hurt := filepath.Join(t.TempDir(), "hurt.db")
	for range 1000 {
		at, bit := rng.IntN(len(sound)), byte(1)<<rng.IntN(8)
		sound[at] ^= bit
		require.NoError(t, os.WriteFile(hurt, sound, 0o600))
		sound[at] ^= bit
		s, err := store.Open(store.Options{Path: hurt})
		if err != nil {
			counts["refused"]++
			continue
		}
		for id, want := range contents {
			got, err := readAtt(s, "shop", id)
			if err != nil {
				counts["told"]++
				assert.Contains(t, []store.Kind{store.Damaged, store.NotFound}, store.KindOf(err),
					"bit %d of byte %d: %v", bit, at, err)
				assert.Empty(t, got, "bit %d of byte %d: told before the first byte", bit, at)
				continue
			}
			if !bytes.Equal(want, got) {
				t.Errorf("bit %d of byte %d, seed %d: wrong bytes of %s were served", bit, at, *seed, id)
			}
		}
		require.NoError(t, s.Close())
	}
	t.Log(counts)
	assert.Greater(t, counts["told"], 500)
}
