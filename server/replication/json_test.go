package replication

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"io"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
)

var seeds = []string{
	`{}`, `[]`, `{"a":1}`, ` { "a" : [ 1 , -2.50e+7 , "x\u00e9\n\"" , true , false , null ] , "b":{} } `, `{"a":01}`, `{"a":1.}`, `{"a":"\x"}`, `{"a":"` + "\x01" + `"}`,
	`{"a":1,}`, `{"a" 1}`, `{a:1}`, `"x"`, `-`, `1e`, `tru`, `{"a":"\ud800"}`, `{"_id":"x","_rev":"1-a","_revisions":{"start":1,"ids":["a"]},"n":1.10}`,
	`{"_attachments":{"p":{"data":"aGVsbG8=","content_type":"text/plain"}}}`, `{"\u005fid":"x"}`, "{\"a\":\"\xff\"}", `{"a":{"b":{"c":[[[[]]]]}}}`,
}

// FuzzScan: what the reader of JSON takes is what encoding/json takes, and means the same; read in
// any pieces, it says the same. Run with: go test -fuzz FuzzScan ./server/replication
func FuzzScan(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s := newSource(strings.NewReader(text))
		out, err := s.value(nil)
		if err == nil {
			err = s.eof()
		}
		if depth := deepest(text); depth < maxDepth && utf8.ValidString(text) {
			require.Equal(t, json.Valid([]byte(text)), err == nil, "%q: %v", text, err)
		}
		slow := newSource(iotest.OneByteReader(strings.NewReader(text)))
		again, errAgain := slow.value(nil)
		if errAgain == nil {
			errAgain = slow.eof()
		}
		require.Equal(t, err == nil, errAgain == nil)
		if err != nil {
			return
		}
		require.Equal(t, out, again)
		var want, got bytes.Buffer
		require.NoError(t, json.Compact(&want, []byte(text)))
		require.NoError(t, json.Compact(&got, out))
		require.Equal(t, want.String(), got.String(), "as it was sent")
	})
}

func deepest(text string) (most int) {
	n := 0
	for _, c := range text {
		switch c {
		case '{', '[':
			n++
			most = max(most, n)
		case '}', ']':
			n--
		}
	}
	return most
}

// FuzzBase64: as the standard library's strict decoder, in any pieces.
// Run with: go test -fuzz FuzzBase64 ./server/replication
func FuzzBase64(f *testing.F) {
	for _, s := range []string{"", "aGVsbG8=", "aGVsbG8", "aGVsbG9v", "a===", "aG==Vs", strings.Repeat("QUJD", 3000), strings.Repeat("QUJD", 3000) + "QQ=="} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if strings.ContainsAny(text, "\"\\\r\n") || !utf8.ValidString(text) {
			return
		}
		for _, c := range text {
			if c < ' ' {
				return
			}
		}
		want, wantErr := base64.StdEncoding.Strict().DecodeString(text)
		for _, r := range []io.Reader{strings.NewReader(`"` + text + `"`), iotest.OneByteReader(strings.NewReader(`"` + text + `"`))} {
			var got bytes.Buffer
			s := newSource(r)
			s.kind()
			err := s.base64(&got)
			require.Equal(t, wantErr == nil, err == nil, "%q: %v / %v", text, wantErr, err)
			if err == nil {
				require.Equal(t, len(want), got.Len())
				require.True(t, bytes.Equal(want, got.Bytes()))
			}
		}
	})
}

func TestBase64WithEscapedSlashes(t *testing.T) {
	var got bytes.Buffer
	s := newSource(strings.NewReader(`"\/\/\/\/"`))
	s.kind()
	require.NoError(t, s.base64(&got))
	assert.Equal(t, []byte{0xff, 0xff, 0xff}, got.Bytes())
}

// FuzzHandlers: whatever is sent, the answer is one of the protocol's, no handler breaks, and the
// store stays sound. Run with: go test -fuzz FuzzHandlers ./server/replication
func FuzzHandlers(f *testing.F) {
	paths := []string{"/jobs/_bulk_docs", "/jobs/_bulk_get?revs=true&latest=true", "/jobs/_revs_diff", "/jobs/_changes?filter=_selector", "/jobs/_all_docs?include_docs=true",
		"/jobs/x", "/jobs/_local/x", "/jobs/_revs_limit", "/jobs/x?open_revs=", "/jobs/_changes?since="}
	for i := range paths {
		for _, s := range seeds {
			f.Add(i, "POST", s)
			f.Add(i, "PUT", s)
		}
		f.Add(i, "POST", `{"docs":[{"id":"x","rev":"1-a"},{"_id":"x","_rev":"1-a","_revisions":{"start":2,"ids":["b","a"]}}],"new_edits":false,"keys":["x"],"selector":{"a":{"$gt":1}}}`)
		f.Add(i, "GET", `["1-a"]`)
	}
	s, err := store.Open(store.Options{Path: filepath.Join(f.TempDir(), "fuzz.db")})
	require.NoError(f, err)
	_, err = s.CreateBook("jobs")
	require.NoError(f, err)
	m := mount(&Handler{Store: s})
	f.Cleanup(func() {
		report, err := s.Verify(context.Background()) // the test's own context has ended here
		assert.NoError(f, err)
		assert.Empty(f, report.Problems)
		assert.NoError(f, s.Close())
	})
	f.Fuzz(func(t *testing.T, which int, method, body string) {
		path := paths[uint(which)%uint(len(paths))]
		switch method {
		case "GET", "POST", "PUT":
		default:
			method = "POST"
		}
		if strings.HasSuffix(path, "=") {
			path += strings.Map(func(r rune) rune {
				if r > ' ' && r < 0x7f && !strings.ContainsRune(`%&#"<>\^{|}`+"`", r) {
					return r
				}
				return '_'
			}, body)
		}
		w := httptest.NewRecorder()
		m.ServeHTTP(w, httptest.NewRequest(method, "/sync"+path, strings.NewReader(body)))
		require.Less(t, w.Code, 500, "%s", w.Body)
		if w.Code >= 400 && w.Header().Get("Content-Type") == "application/json" {
			var e struct{ Error, Reason string }
			require.NoError(t, json.Unmarshal(w.Body.Bytes(), &e))
			require.NotEmpty(t, e.Error)
		}
	})
}
