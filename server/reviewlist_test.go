package server_test

import (
	"encoding/json"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook"
	"datumbook/server"
	"datumbook/server/servertest"
	"datumbook/store"
	"datumbook/store/revtree"
)

// looked is the list as it comes back.
type looked struct {
	Flags []struct {
		Book, ID, Rev string
		Reasons       []string
	}
	Refused []struct {
		Number, Book, ID, Reason string
		Body                     json.RawMessage
	}
}

func readLook(t *testing.T, o *servertest.Office) looked {
	t.Helper()
	got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/look"})
	require.Equal(t, 200, got.Status, got.Body)
	var out looked
	require.NoError(t, json.Unmarshal([]byte(got.Body), &out))
	return out
}

// A record that the rules object to is kept and shared; a document that cannot be stored is
// quarantined. Both are listed until someone settles them, and settling a flag leaves the record as
// it is.
func TestWhatNeedsALook(t *testing.T) {
	st, err := store.Open(store.Options{
		Path:  filepath.Join(t.TempDir(), "datumbook.db"),
		Rules: func(_, id string, doc []byte) []string { return jobbook.Sentences(id, doc) },
	})
	require.NoError(t, err)
	defer func() { require.NoError(t, st.Close()) }()
	book, err := st.CreateBook("shop")
	require.NoError(t, err)
	o := servertest.Start(t, func(s *server.Server) { s.Reviews = st })
	assert.Empty(t, readLook(t, o).Flags)
	assert.Empty(t, readLook(t, o).Refused)

	rev, err := revtree.ParseRev("1-00000000000000000000000000000001")
	require.NoError(t, err)
	const id = "job:00000000000000000000000001"
	results, err := book.Push([]store.Doc{{ID: id, Rev: rev, Hashes: nil, Body: []byte(`"type":"job","f":{}`)}})
	require.NoError(t, err)
	require.NoError(t, results[0].Err)
	require.NoError(t, st.Refuse("shop", store.Doc{ID: "_odd", Body: []byte(`"note":"kept aside"`)}, "1-a", errors.New("only reserved ids may start with an underscore")))

	list := readLook(t, o)
	require.Len(t, list.Flags, 1)
	assert.Equal(t, id, list.Flags[0].ID)
	assert.NotEmpty(t, list.Flags[0].Reasons, "in sentences")
	require.Len(t, list.Refused, 1)
	assert.JSONEq(t, `{"note":"kept aside"}`, string(list.Refused[0].Body))
	assert.Contains(t, list.Refused[0].Reason, "reserved ids")

	settle := func(body string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "POST", Path: "/api/look", Body: body})
	}
	for name, body := range map[string]string{
		"nothing said":         `{}`,
		"no revision":          `{"book":"shop","id":"` + id + `"}`,
		"no revision at all":   `{"book":"shop","id":"` + id + `","rev":"first"}`,
		"number in words":      `{"number":"one"}`,
		"a key that is no key": `{"every":true}`,
	} {
		got := settle(body)
		assert.Equal(t, 400, got.Status, name)
		assert.Contains(t, got.Body, `"error"`, name)
	}
	assert.Equal(t, list, readLook(t, o), "what was not understood changed nothing")

	flag, err := json.Marshal(map[string]string{"book": "shop", "id": id, "rev": list.Flags[0].Rev})
	require.NoError(t, err)
	for range 2 {
		assert.Equal(t, 204, settle(string(flag)).Status)
		assert.Equal(t, 204, settle(`{"number":"`+list.Refused[0].Number+`"}`).Status)
	}
	assert.Empty(t, readLook(t, o).Flags)
	assert.Empty(t, readLook(t, o).Refused)
	kept, err := book.Get(id, revtree.Rev{})
	require.NoError(t, err)
	assert.Equal(t, `"type":"job","f":{}`, string(kept.Body))
	trail, err := st.AuditTrail(0)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(trail), 4)
	assert.Equal(t, "looked at", trail[0].What)
}

// The office screen tells until when the phones' certificate is good.
func TestOfficeTellsCertificate(t *testing.T) {
	end := time.Date(2035, 1, 2, 3, 4, 5, 0, time.UTC)
	o := servertest.Start(t, func(s *server.Server) { s.Fingerprint, s.Until = "AA:BB", end })
	got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/office"})
	assert.Contains(t, got.Body, `"fingerprint":"AA:BB","until":"2035-01-02T03:04:05Z"`)
	o = servertest.Start(t, nil)
	token, _ := o.Token(t, store.Reader)
	got = o.Do(t, servertest.Request{Method: "GET", Path: "/api/office", Token: token})
	assert.NotContains(t, got.Body, "until")
}
