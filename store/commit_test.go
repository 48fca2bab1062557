package store_test

import (
	"fmt"
	"io"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

// Pushes that wait together share a commit: with a slow disk, fifty phones take hardly longer than
// one.
func TestWaitingPushesShareACommit(t *testing.T) {
	s := storetest.MustOpen(t, func(o *store.Options) { o.TestOnlyFlushDelay = 10 * time.Millisecond })
	b := storetest.MustBook(t, s, "jobs")
	before := s.Stats()
	var wg sync.WaitGroup
	for w := range 50 {
		wg.Go(func() {
			for i := range 4 {
				_, err := b.Push([]store.Doc{storetest.Doc(fmt.Sprintf("%d-%d", w, i), "1-a", nil, ``)})
				assert.NoError(t, err)
			}
		})
	}
	wg.Wait()
	after := s.Stats()
	assert.EqualValues(t, 200, after.Calls-before.Calls)
	assert.EqualValues(t, 200, after.Written-before.Written)
	assert.Less(t, after.Commits-before.Commits, uint64(40))
}

// A push that fails inside the store does not fail the others.
func TestOneFailureSparesTheOthers(t *testing.T) {
	s := storetest.MustOpen(t, func(o *store.Options) { o.TestOnlyFlushDelay = 5 * time.Millisecond })
	b := storetest.MustBook(t, s, "jobs")
	lost := s.Again(store.Att{Name: "p", SHA256: [32]byte{1}}) // content the store does not have
	var wg sync.WaitGroup
	for i := range 30 {
		wg.Go(func() {
			d := storetest.Doc(fmt.Sprint(i), "1-a", nil, ``)
			if i%3 == 0 {
				d.Atts = []store.Att{{Name: "p", Blob: lost}}
			}
			_, err := b.Push([]store.Doc{d})
			assert.Equal(t, i%3 == 0, err != nil, "%v", err)
		})
	}
	wg.Wait()
	in, err := b.Info()
	require.NoError(t, err)
	assert.EqualValues(t, 20, in.Docs)
}

func TestChangedWakes(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "jobs")
	other := storetest.MustBook(t, s, "other")
	changed, elsewhere := b.Changed(), other.Changed()
	_, err := b.Push([]store.Doc{storetest.Doc("x", "1-a", nil, ``)})
	require.NoError(t, err)
	<-changed
	select {
	case <-elsewhere:
		t.Fatal("another book woke")
	default:
	}
	changed = b.Changed()
	_, err = b.Push([]store.Doc{storetest.Doc("x", "1-a", nil, ``)})
	require.NoError(t, err)
	_, err = b.PutLocal(store.Local{ID: "c"})
	require.NoError(t, err)
	select {
	case <-changed:
		t.Fatal("a repeated push or a checkpoint woke")
	default:
	}
	require.NoError(t, s.Close())
	<-changed
	_, err = b.Push([]store.Doc{storetest.Doc("y", "1-a", nil, ``)})
	assert.Equal(t, store.Closed, store.KindOf(err))
}

func TestFlagsFollowTheLeaves(t *testing.T) {
	s := storetest.MustOpen(t, func(o *store.Options) {
		o.Rules = func(book, id string, doc []byte) []string {
			if string(doc) == `{"depth":-1}` {
				return []string{"the depth is below zero"}
			}
			return nil
		}
	})
	b := storetest.MustBook(t, s, "jobs")
	_, err := b.Push([]store.Doc{storetest.Doc("x", "1-a", nil, `"depth":-1`), storetest.Doc("y", "1-a", nil, `"depth":1`)})
	require.NoError(t, err)
	flags, err := s.Flags()
	require.NoError(t, err)
	require.Len(t, flags, 1)
	assert.Equal(t, []string{"the depth is below zero"}, flags[0].Reasons)
	_, err = b.Get("x", revtree.Rev{})
	assert.NoError(t, err, "the record is kept and served")
	_, err = b.Push([]store.Doc{storetest.Doc("x", "2-b", []string{"a"}, `"depth":2`)})
	require.NoError(t, err)
	flags, err = s.Flags()
	require.NoError(t, err)
	assert.Empty(t, flags)
}

// Two replicas gave different things the same revision: the second is quarantined, and reported
// once.
func TestSameRevisionOtherContentIsKeptAside(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "photos")
	one := storetest.Doc("p", "1-a", nil, ``)
	one.Atts = []store.Att{{Name: "photo", Blob: s.NewBlob([]byte("first"))}}
	two := storetest.Doc("p", "1-a", nil, ``)
	two.Atts = []store.Att{{Name: "photo", Blob: s.NewBlob([]byte("second"))}}
	for range 3 {
		for _, d := range []store.Doc{one, two, one} {
			_, err := b.Push([]store.Doc{d})
			require.NoError(t, err)
		}
	}
	refused, err := s.Refused()
	require.NoError(t, err)
	require.Len(t, refused, 1)
	assert.Contains(t, refused[0].Reason, "other content")
	require.NoError(t, s.DropRefused(refused[0].Number))
	refused, err = s.Refused()
	require.NoError(t, err)
	assert.Empty(t, refused)
}

func TestAttachmentsOnceByContent(t *testing.T) {
	s := storetest.MustOpen(t)
	b := storetest.MustBook(t, s, "photos")
	content := make([]byte, 5<<20+3)
	for i := range content {
		content[i] = byte(i >> 9)
	}
	upload := func() *store.Blob {
		u := s.NewUpload(1)
		for at := 0; at < len(content); at += 99_991 {
			_, err := u.Write(content[at:min(at+99_991, len(content))])
			require.NoError(t, err)
		}
		blob, err := u.Finish()
		require.NoError(t, err)
		return blob
	}
	for i := range 4 {
		blob := upload()
		_, err := b.Edit([]store.Doc{{ID: fmt.Sprint(i), Atts: []store.Att{{Name: "p", Blob: blob}, {Name: "q", Blob: blob}}}})
		require.NoError(t, err)
		blob.Discard()
	}
	upload().Discard()
	upload() // and one that nobody ever names: gone at the next opening
	report := storetest.MustVerify(t, s)
	assert.Equal(t, 1, report.Attachments)
	d, err := b.Get("3", revtree.Rev{})
	require.NoError(t, err)
	c, err := s.OpenAtt(d.Atts[1])
	require.NoError(t, err)
	_, err = c.Seek(-3, io.SeekEnd)
	require.NoError(t, err)
	tail, err := io.ReadAll(c)
	require.NoError(t, err)
	assert.Equal(t, content[len(content)-3:], tail)
	_, err = c.Seek(256<<10-1, io.SeekStart)
	require.NoError(t, err)
	two := make([]byte, 2)
	_, err = io.ReadFull(c, two)
	require.NoError(t, err)
	assert.Equal(t, content[256<<10-1:256<<10+1], two)
}

func TestDevices(t *testing.T) {
	s := storetest.MustOpen(t)
	d, err := s.AddDevice(store.Device{Name: "phone", Role: store.Operator, Created: noon}, [32]byte{1})
	require.NoError(t, err)
	_, err = s.AddDevice(store.Device{Name: "twin", Role: store.Operator}, [32]byte{1})
	assert.Equal(t, store.Exists, store.KindOf(err))
	_, err = s.AddDevice(store.Device{Role: store.Operator}, [32]byte{2})
	assert.Equal(t, store.Bad, store.KindOf(err))
	_, err = s.AddDevice(store.Device{Name: "x", Role: "boss"}, [32]byte{2})
	assert.Equal(t, store.Bad, store.KindOf(err))
	_, err = s.DeviceByToken([32]byte{9})
	assert.Equal(t, store.NotFound, store.KindOf(err))

	before := s.Stats().Commits
	s.SeenDevice(d.ID, noon.Add(time.Hour))
	assert.Equal(t, before, s.Stats().Commits, "being seen costs no flush")
	got, err := s.DeviceByToken([32]byte{1})
	require.NoError(t, err)
	assert.Equal(t, noon.Add(time.Hour), got.LastSeen)
	require.NoError(t, s.RevokeDevice(d.ID, noon.Add(2*time.Hour)))
	require.NoError(t, s.RevokeDevice(d.ID, noon.Add(3*time.Hour)))
	got, err = s.DeviceByToken([32]byte{1})
	require.NoError(t, err)
	assert.True(t, got.IsRevoked())
	assert.Equal(t, noon.Add(2*time.Hour), got.Revoked)
	assert.Equal(t, store.NotFound, store.KindOf(s.RevokeDevice("none", noon)))

	assert.True(t, store.Owner.Allows(store.Operator))
	assert.False(t, store.Reader.Allows(store.Operator))
	assert.False(t, store.Role("").Allows(store.Reader))
	assert.False(t, store.Owner.Allows("nonsense") && store.Role("nonsense").Allows(store.Reader))
}
