package store_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

// rich makes a closed store with data of every kind, and returns its path and content as text.
func rich(t testing.TB) (path, facts string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "rich.db")
	clock := time.Date(2024, 5, 6, 7, 8, 9, 0, time.UTC)
	s, err := store.Open(store.Options{Path: path, Now: func() time.Time { return clock }, Rules: func(_, id string, _ []byte) []string {
		if id == "odd" {
			return []string{"the depth is missing"}
		}
		return nil
	}})
	require.NoError(t, err)
	for _, name := range []string{"jobs", "photos"} {
		b := storetest.MustBook(t, s, name)
		for i := range 40 {
			d := storetest.Doc(fmt.Sprintf("doc-%d", i), "2-b", []string{"a"}, fmt.Sprintf(`"n":%d,"text":"some words to fill a page %d"`, i, i*i))
			if i%7 == 0 {
				content := bytes.Repeat(storetest.Content(name, i, 1)[:100], 5)
				if i == 14 {
					content = bytes.Repeat(content, 600) // two pieces
				}
				d.Atts = []store.Att{{Name: "p", ContentType: "image/jpeg", Blob: s.NewBlob(content)}}
			}
			d.Deleted = i%9 == 8
			_, err := b.PushBy([]string{"", "d1"}[i%2], []store.Doc{d,
				storetest.Doc(fmt.Sprintf("doc-%d", i%13), "2-c", []string{"a"}, `"other":true`)})
			require.NoError(t, err)
		}
		_, err := b.Push([]store.Doc{storetest.Doc("odd", "1-a", nil, ``), storetest.Doc("_odd", "1-a", nil, `"kept":"aside"`)})
		require.NoError(t, err)
		_, err = b.PutLocal(store.Local{ID: "check", Body: []byte(`"last_seq":9`)})
		require.NoError(t, err)
	}
	_, err = s.AddDevice(store.Device{ID: "d1", Name: "phone", Role: store.Operator, Created: clock}, [32]byte{1})
	require.NoError(t, err)
	require.NoError(t, s.AddCode([32]byte{2}, store.Code{Role: store.Reader, Expires: clock.Add(time.Hour)}))
	require.NoError(t, s.Audit(store.Event{At: clock, What: "pair", Who: "d1"}))
	require.NoError(t, s.SetSetting("name", []byte("shop")))
	facts, err = factsOf(s)
	require.NoError(t, err)
	require.NoError(t, s.Compact())
	require.NoError(t, s.Close())
	require.NoError(t, os.Truncate(path, usedLength(t, path))) // without the room to grow
	storetest.MustVerifyFile(t, path)
	return path, facts
}

// usedLength gives how much of a store's file is in use, by its newest header.
func usedLength(t testing.TB, path string) int64 {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return 4096 * int64(binary.LittleEndian.Uint64(data[newestHeader(t, path)+16+40:]))
}

// factsOf gives all that a store says, as text, or the first refusal.
func factsOf(s *store.Store) (string, error) {
	var out strings.Builder
	for _, name := range s.Books() {
		b, err := s.Book(name)
		if err != nil {
			return "", err
		}
		rows, last, err := storetest.Book{Book: b}.Rows(0)
		if err != nil {
			return "", err
		}
		fmt.Fprintln(&out, name, len(rows), last)
		for _, row := range rows {
			for _, leaf := range row.Leaves {
				d, err := b.Get(row.ID, leaf)
				if err != nil {
					return "", err
				}
				fmt.Fprintf(&out, "%d %s %s %v %s %v\n", row.Seq, row.ID, leaf, d.Deleted, d.Body, d.Hashes)
				if p, ok, err := pushedBy(b, row.ID, leaf); err != nil {
					return "", err
				} else if ok {
					fmt.Fprintf(&out, " by %s at %v\n", p.By, p.At)
				}
				for _, a := range d.Atts {
					c, err := s.OpenAtt(a)
					if err != nil {
						return "", err
					}
					sum := sha256.New()
					if _, err := io.Copy(sum, c); err != nil {
						return "", err
					}
					fmt.Fprintf(&out, " %s %s %d %x\n", a.Name, a.ContentType, a.Length, sum.Sum(nil))
				}
			}
		}
		var ids []string
		err = b.View(func(view *store.View) error {
			page, err := view.All(store.AllQuery{Limit: -1})
			for _, row := range page.Rows {
				ids = append(ids, row.Found.ID+"@"+row.Rev.String())
			}
			return err
		})
		if err != nil {
			return "", err
		}
		fmt.Fprintln(&out, ids)
		l, err := b.Local("check")
		if err != nil {
			return "", err
		}
		fmt.Fprintf(&out, "%d %s\n", l.N, l.Body)
	}
	flags, err := s.Flags()
	if err != nil {
		return "", err
	}
	refused, err := s.Refused()
	if err != nil {
		return "", err
	}
	devices, err := s.Devices()
	if err != nil {
		return "", err
	}
	codes, err := s.Codes(time.Date(2024, 5, 6, 7, 8, 9, 0, time.UTC))
	if err != nil {
		return "", err
	}
	trail, err := s.AuditTrail(0)
	if err != nil {
		return "", err
	}
	setting, err := s.Setting("name")
	if err != nil {
		return "", err
	}
	fmt.Fprintf(&out, "%v %v %v %v %v %s\n", flagFacts(flags), refused, devices, codes, eventFacts(trail), setting)
	return out.String(), nil
}

func TestFlippedBits(t *testing.T) {
	counts := flipBits(t, 300)
	assert.Positive(t, counts["refused"])
	assert.Positive(t, counts["fell back to the other header"])
}

// Sums cover what is under a key; that an entry is a bucket, and what a bucket is called, stands beside
// them. Each of those bits is flipped: something else may be read only where verify tells.
func TestHurtBuckets(t *testing.T) {
	path, facts := rich(t)
	sound, err := os.ReadFile(path)
	require.NoError(t, err)
	hurt := filepath.Join(t.TempDir(), "hurt.db")
	told := 0
	try := func(at, bit int, entry string) {
		data := bytes.Clone(sound)
		data[at+bit/8] ^= 1 << (bit % 8)
		require.NoError(t, os.WriteFile(hurt, data, 0o600))
		report, err := store.VerifyFile(t.Context(), hurt)
		if err != nil || len(report.Problems) > 0 {
			told++
			return
		}
		s, err := store.Open(store.Options{Path: hurt})
		require.NoError(t, err, "bit %d at %d, %s: verify found nothing", bit, at, entry)
		got, err := factsOf(s)
		require.NoError(t, err, "bit %d at %d, %s: verify found nothing", bit, at, entry)
		require.Equal(t, facts, got, "bit %d at %d, %s: verify found nothing", bit, at, entry)
		require.NoError(t, s.Close())
	}
	le := binary.LittleEndian
	var leaf func(at int)
	leaf = func(page int) {
		for i := range int(le.Uint16(sound[page+10:])) {
			e := page + 16 + i*16
			key := e + int(le.Uint32(sound[e+4:]))
			value := key + int(le.Uint32(sound[e+8:]))
			try(e, 0, string(sound[key:value]))
			if le.Uint32(sound[e:]) != 1 {
				continue
			}
			for bit := range 8 * (value - key) {
				try(key, bit, string(sound[key:value]))
				if string(sound[key:value]) == "photos" {
					_, err := store.Open(store.Options{Path: hurt})
					require.Equal(t, store.Damaged, store.KindOf(err), "bit %d of the name of a book: %v", bit, err)
				}
			}
			if le.Uint64(sound[value:]) == 0 { // it lies here and not on a page of its own
				leaf(value + 16)
			}
		}
	}
	for page := 2 * 4096; page < len(sound); page += 4096 {
		if le.Uint64(sound[page:]) == uint64(page/4096) && le.Uint16(sound[page+8:]) == 2 {
			leaf(page)
		}
	}
	assert.Greater(t, told, 1000)
}

// BenchmarkDamagedFiles prints what 1,000 files with a flipped bit, records and photos in them, come
// to: each is refused, told or harmless, or it fails.
func BenchmarkDamagedFiles(b *testing.B) {
	var counts map[string]int
	for b.Loop() {
		counts = flipBits(b, 1000)
	}
	for what, n := range counts {
		b.ReportMetric(float64(n), strings.ReplaceAll(what, " ", "-"))
	}
	b.ReportMetric(0, "untold")
}

// flipBits damages a file in as many ways, reads all of it, and counts how that ended.
func flipBits(t testing.TB, files int) map[string]int {
	path, facts := rich(t)
	sound, err := os.ReadFile(path)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(*seed, 2))
	t.Logf("seed %d, %d bytes", *seed, len(sound))
	counts := map[string]int{}
	for i := range files {
		at := rng.IntN(len(sound))
		switch i % 6 { // the headers and the beginnings of pages, where a flip is most dangerous, get shares of their own
		case 0:
			at = rng.IntN(2)*4096 + rng.IntN(80)
		case 1, 2:
			at = at/4096*4096 + rng.IntN(48)
		case 3: // what kind of page it is: told at once
			at = at/4096*4096 + 8 + rng.IntN(2)
		}
		bit := byte(1) << rng.IntN(8)
		hurt := filepath.Join(t.TempDir(), "hurt.db")
		data := append([]byte(nil), sound...)
		data[at] ^= bit
		require.NoError(t, os.WriteFile(hurt, data, 0o600))
		what := fmt.Sprintf("bit %d of byte %d, seed %d", bit, at, *seed)

		report, err := store.VerifyFile(context.Background(), hurt)
		told := err != nil || len(report.Problems) > 0
		if err != nil {
			assert.Contains(t, []store.Kind{store.Damaged, store.Foreign, store.Newer}, store.KindOf(err), "%s: %v", what, err)
		}
		s, err := store.Open(store.Options{Path: hurt})
		switch {
		case err != nil:
			counts["refused"]++
			assert.True(t, told, "%s: refused with %v, and verify found nothing", what, err)
			assert.Contains(t, []store.Kind{store.Damaged, store.Foreign, store.Newer}, store.KindOf(err), "%s: %v", what, err)
			continue
		case s.Healed():
			counts["fell back to the other header"]++
			assert.True(t, told, what)
		default:
			got, err := factsOf(s)
			switch {
			case err != nil:
				counts["told on reading"]++
				assert.True(t, told, "%s: reading found %v, and verify found nothing", what, err)
				// A flipped key hides what it names: that reads as not found, and only verify can
				// tell.
				assert.Contains(t, []store.Kind{store.Damaged, store.NotFound}, store.KindOf(err), "%s: %v", what, err)
			case got != facts:
				counts["told by verify"]++
				assert.True(t, told, "%s: something else is read, and verify found nothing", what)
			case told:
				counts["told by verify"]++
			default:
				counts["harmless"]++
			}
		}
		require.NoError(t, s.Close())
	}
	t.Log(counts)
	return counts
}

// A header that is damaged makes bbolt fall back to the state before the last change. That must not
// count as the same history: acknowledged changes may be missing.
func TestFallingBackIsANewHistory(t *testing.T) {
	path, _ := rich(t)
	s, err := store.Open(store.Options{Path: path})
	require.NoError(t, err)
	before, err := s.UUID()
	require.NoError(t, err)
	b, err := s.Book("jobs")
	require.NoError(t, err)
	seq := b.Seq()
	require.NoError(t, s.Close())
	newest := newestHeader(t, path)
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	_, err = f.WriteAt([]byte{0xff}, newest+40)
	require.NoError(t, err)
	require.NoError(t, f.Close())

	s, err = store.Open(store.Options{Path: path})
	require.NoError(t, err)
	assert.True(t, s.Healed())
	after, err := s.UUID()
	require.NoError(t, err)
	assert.NotEqual(t, before, after)
	b, err = s.Book("jobs")
	require.NoError(t, err)
	assert.Greater(t, b.Seq(), seq)
	_, err = b.Local("check")
	assert.Equal(t, store.NotFound, store.KindOf(err))
	require.NoError(t, s.Close())
	storetest.MustVerifyFile(t, path)
}

// newestHeader gives the place of the header page with the greater transaction number.
func newestHeader(t testing.TB, path string) int64 {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	if data[16+48] > data[4096+16+48] { // the numbers are small here
		return 0
	}
	return 4096
}

// A file whose list of free pages cannot be read is refused each time in the same words: the lock that
// was taken for the first look is let go.
func TestRefusedFileIsNotLeftLocked(t *testing.T) {
	path, _ := rich(t)
	sound, err := os.ReadFile(path)
	require.NoError(t, err)
	list := 4096 * int64(binary.LittleEndian.Uint64(sound[newestHeader(t, path)+16+32:]))
	refused := 0
	for bit := range 128 {
		hurt := bytes.Clone(sound)
		hurt[list+int64(bit/8)] ^= 1 << (bit % 8)
		require.NoError(t, os.WriteFile(path, hurt, 0o600))
		for range 2 {
			s, err := store.Open(store.Options{Path: path, LockWait: 100 * time.Millisecond})
			if err != nil {
				require.Equal(t, store.Damaged, store.KindOf(err), "bit %d: %v", bit, err)
				refused++
			}
			require.NoError(t, s.Close())
		}
	}
	assert.Greater(t, refused, 100)
}

func TestCutShort(t *testing.T) {
	path, _ := rich(t)
	sound, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, n := range []int{0, 1, 100, 4096, 8191, 8192, 12288, 16384, 16385, 32768, len(sound) / 3, len(sound) / 2} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			hurt := filepath.Join(t.TempDir(), "hurt.db")
			require.NoError(t, os.WriteFile(hurt, sound[:n], 0o600))
			_, err := store.VerifyFile(context.Background(), hurt)
			assert.Contains(t, []store.Kind{store.Damaged, store.Foreign}, store.KindOf(err), "%v", err)
			_, err = store.Open(store.Options{Path: hurt})
			assert.Contains(t, []store.Kind{store.Damaged, store.Foreign}, store.KindOf(err), "%v", err)
			assert.Contains(t, store.Sentence(err), "backup")
			left, err := os.ReadFile(hurt)
			require.NoError(t, err)
			assert.Equal(t, sound[:n], left, "refusing must not touch the file")
		})
	}
}

func TestForeignFiles(t *testing.T) {
	for name, content := range map[string]string{"text": strings.Repeat("not a store\n", 2000), "zeros": strings.Repeat("\x00", 65536)} {
		path := filepath.Join(t.TempDir(), "x.db")
		require.NoError(t, os.WriteFile(path, []byte(content), 0o600))
		_, err := store.Open(store.Options{Path: path})
		assert.Equal(t, store.Foreign, store.KindOf(err), "%s: %v", name, err)
		left, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, content, string(left))
	}
	_, err := store.Open(store.Options{Path: t.TempDir()})
	assert.Equal(t, store.Foreign, store.KindOf(err), "%v", err)
	_, err = store.Open(store.Options{Path: t.TempDir() + "/none.db", Must: true})
	assert.Equal(t, store.Missing, store.KindOf(err), "%v", err)
	_, err = store.VerifyFile(context.Background(), t.TempDir()+"/none.db")
	assert.Equal(t, store.Missing, store.KindOf(err), "%v", err)
}

func TestSecondProcessIsToldPlainly(t *testing.T) {
	s := storetest.MustOpen(t)
	_, err := store.Open(store.Options{Path: s.Path(), LockWait: 20 * time.Millisecond})
	require.Equal(t, store.Busy, store.KindOf(err))
	assert.Contains(t, store.Sentence(err), "another Datumbook is using")
	_, err = store.VerifyFile(context.Background(), s.Path())
	assert.Equal(t, store.Busy, store.KindOf(err))
	backup := filepath.Join(t.TempDir(), "b.db")
	require.NoError(t, s.Backup(backup))
	_, err = store.Restore(context.Background(), backup, s.Path(), time.Now(), "office")
	assert.Equal(t, store.Busy, store.KindOf(err))
}

func TestVerifyLeavesTheFileAsItIs(t *testing.T) {
	path, _ := rich(t)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	storetest.MustVerifyFile(t, path)
	s, err := store.Open(store.Options{Path: path, ReadOnly: true})
	require.NoError(t, err)
	b, err := s.Book("jobs")
	require.NoError(t, err)
	_, err = b.Get("doc-1", revtree.Rev{})
	require.NoError(t, err)
	_, err = b.Push([]store.Doc{storetest.Doc("x", "1-a", nil, ``)})
	assert.Equal(t, store.ReadOnly, store.KindOf(err))
	require.NoError(t, s.Close())
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

// flagFacts and eventFacts show what each format had, and what came later only where it is.
func flagFacts(flags []store.Flag) (out []string) {
	for _, f := range flags {
		said := fmt.Sprintf("{%s %s %s %v %v", f.Book, f.ID, f.Rev, f.Reasons, f.At)
		if f.By != "" || f.Rewrites != nil {
			said += fmt.Sprintf(" by %s, rewritten %q", f.By, f.Rewrites)
		}
		out = append(out, said+"}")
	}
	return out
}

func eventFacts(events []store.Event) (out []string) {
	for _, e := range events {
		said := fmt.Sprintf("{%v %s %s %s", e.At, e.What, e.Who, e.Detail)
		if e.Device != "" || e.Record != "" {
			said += fmt.Sprintf(" by %s to %s", e.Device, e.Record)
		}
		out = append(out, said+"}")
	}
	return out
}
