package store

import (
	"io"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/store/revtree"
)

func TestFirstSteps(t *testing.T) {
	s, err := Open(Options{Path: t.TempDir() + "/a/b.db"})
	require.NoError(t, err)
	defer s.Close()
	b, err := s.CreateBook("jobs")
	require.NoError(t, err)
	res, err := b.Edit([]Doc{{ID: "x", Body: []byte(`"a":1.10`)}, {ID: "x", Body: []byte(`"a":2`)}})
	require.NoError(t, err)
	require.NoError(t, res[0].Err)
	require.Equal(t, Conflict, KindOf(res[1].Err))
	d, err := b.Get("x", revtree.Rev{})
	require.NoError(t, err)
	require.Equal(t, `"a":1.10`, string(d.Body))
	u := s.NewUpload(1)
	big := make([]byte, 3*chunkSize+17)
	for i := range big {
		big[i] = byte(i * i >> 3)
	}
	_, err = u.Write(big)
	require.NoError(t, err)
	blob, err := u.Finish()
	require.NoError(t, err)
	res, err = b.Edit([]Doc{{ID: "x", Rev: d.Rev, Atts: []Att{{Name: "p", Blob: blob}, {Name: "q", Blob: s.NewBlob([]byte("hi"))}}}})
	require.NoError(t, err)
	require.NoError(t, res[0].Err)
	d, err = b.Get("x", revtree.Rev{})
	require.NoError(t, err)
	c, err := s.OpenAtt(d.Atts[0])
	require.NoError(t, err)
	got, err := io.ReadAll(c)
	require.NoError(t, err)
	require.Equal(t, big, got)
	dev, err := s.AddDevice(Device{Name: "phone", Role: Hand, Created: time.Unix(1, 0)}, [32]byte{1})
	require.NoError(t, err)
	back, err := s.DeviceByToken([32]byte{1})
	require.NoError(t, err)
	require.Equal(t, dev.ID, back.ID)
}
