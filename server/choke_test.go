package server_test

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/servertest"
	"datumbook/store"
)

const mib = 1 << 20

// heap gives the bytes in use after a collection.
func heap() int64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// most reads an answer to its end and gives its length and the most that the heap grew meanwhile.
func most(t *testing.T, body io.Reader) (n, grown int64) {
	t.Helper()
	before := heap()
	var m runtime.MemStats
	buf := make([]byte, mib)
	for {
		k, err := io.ReadFull(body, buf)
		n += int64(k)
		runtime.ReadMemStats(&m)
		grown = max(grown, int64(m.HeapAlloc)-before)
		if err != nil {
			require.True(t, err == io.EOF || err == io.ErrUnexpectedEOF, err)
			return n, grown
		}
		if n%(16*mib) == 0 {
			runtime.GC()
		}
	}
}

func ask(t *testing.T, o *servertest.Office, token, method, path, body string) *http.Response {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, o.Local()+path, strings.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("Authorization", "Bearer "+token)
	r.Header.Set("Content-Type", "application/json")
	got, err := http.DefaultTransport.RoundTrip(r)
	require.NoError(t, err)
	t.Cleanup(func() { _ = got.Body.Close() })
	return got
}

// One small request that names one large document very often is answered piece by piece: memory is
// bounded by the largest document, not by how often it is named.
func TestManyReferencesToOneDocument(t *testing.T) {
	o, s := withBook(t)
	b, err := s.Book("jobs")
	require.NoError(t, err)
	text := func(n int) []byte { return []byte(`"text":"` + strings.Repeat("x", n) + `"`) }
	var ids []string
	for i := range 40 { // leaves of one document
		d := store.Doc{ID: "many", Body: text(900_000)}
		d.Rev.Pos, d.Rev.Hash = 1, fmt.Sprintf("%02d", i)
		ids = append(ids, d.Rev.String())
		_, err := b.Push([]store.Doc{d})
		require.NoError(t, err)
	}
	for id, n := range map[string]int{"large": 4_400_000, "phone": 900_000} {
		rows, err := b.Edit([]store.Doc{{ID: id, Body: text(n)}})
		require.NoError(t, err)
		require.NoError(t, rows[0].Err)
	}
	refs := func(id string) string {
		return `{"docs":[` + strings.TrimSuffix(strings.Repeat(`{"id":"`+id+`"},`, 24), ",") + `]}`
	}
	owner, _ := o.Token(t, store.Owner)
	phone, _ := o.Token(t, store.Reader)
	for _, c := range []struct {
		name, token, method, path, body string
		least, grown                    int64
	}{
		{"a peer", owner, "POST", "/sync/jobs/_bulk_get", refs("large"), 105_000_000, 64 * mib},
		{"a phone", phone, "POST", "/sync/jobs/_bulk_get", refs("phone"), 21_000_000, 32 * mib},
		{"leaves", phone, "POST", "/sync/jobs/_bulk_get", `{"docs":[{"id":"many"}]}`, 36_000_000, 24 * mib},
		{"open_revs", phone, "GET", "/sync/jobs/many?open_revs=all", "", 36_000_000, 32 * mib},
		{"open_revs by name", phone, "GET", `/sync/jobs/many?open_revs=["` + strings.Join(ids, `","`) + `"]`, "",
			36_000_000, 32 * mib},
		{"keys", phone, "POST", "/sync/jobs/_all_docs?include_docs=true",
			`{"keys":[` + strings.TrimSuffix(strings.Repeat(`"phone",`, 40), ",") + `]}`, 36_000_000, 32 * mib},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := ask(t, o, c.token, c.method, c.path, c.body)
			require.Equal(t, 200, got.StatusCode)
			n, grown := most(t, got.Body)
			assert.GreaterOrEqual(t, n, c.least)
			assert.LessOrEqual(t, grown, c.grown, "heap")
			t.Logf("%d MB answered, heap grew by %d MB", n>>20, grown>>20)
		})
	}
	got := ask(t, o, phone, "POST", "/sync/jobs/_bulk_get", refs("large"))
	all, err := io.ReadAll(got.Body)
	require.NoError(t, err)
	assert.Equal(t, 24, strings.Count(string(all), `"error":"too_large"`))
	assert.Less(t, len(all), 100_000)
}

// inFlight reads how many requests the server is answering.
func inFlight(t *testing.T, o *servertest.Office) int {
	t.Helper()
	page := o.Do(t, servertest.Request{Method: "GET", Path: "/metrics"}).Body
	found := regexp.MustCompile(`(?m)^datumbook_requests_in_flight (\d+)`).FindStringSubmatch(page)
	require.NotNil(t, found)
	n, err := strconv.Atoi(found[1])
	require.NoError(t, err)
	return n - 1 // this one
}

// Feeds that nobody reads: the oldest of a device give way, also those that wait for a client who
// does not read, and nothing is gathered for them.
func TestManyUnreadFeeds(t *testing.T) {
	o, s := withBook(t)
	b, err := s.Book("jobs")
	require.NoError(t, err)
	for i := range 40 {
		_, err := b.Edit([]store.Doc{{ID: fmt.Sprint(i), Body: []byte(`"text":"` + strings.Repeat("x", 900_000) +
			`"`)}})
		require.NoError(t, err)
	}
	token, _ := o.Token(t, store.Reader)
	before := heap()
	for i := range 1_500 {
		feed := "feed=longpoll&since=now"
		if i%300 == 0 { // 36 MB that nobody reads
			feed = "feed=continuous&include_docs=true"
		}
		c, in := send(t, o, token, "GET /sync/jobs/_changes?"+feed, "")
		_, err := in.Peek(1) // it has begun
		require.NoError(t, err)
		if i%50 == 0 {
			assert.LessOrEqual(t, inFlight(t, o), 8+1)
		}
		if i < 1_480 {
			t.Cleanup(func() { _ = c.Close() })
		}
	}
	assert.LessOrEqual(t, inFlight(t, o), 8)
	assert.LessOrEqual(t, heap()-before, int64(32*mib), "the test's own ends of the connections too")
}

// What little bytes may become on the disk.
func TestLittleBytesFillNoDisk(t *testing.T) {
	zeros := func(t *testing.T, n int) string { // n zero bytes as base64, packed with gzip: a thousandth
		var out bytes.Buffer
		z := gzip.NewWriter(&out)
		e := base64.NewEncoder(base64.StdEncoding, z)
		for range n >> 20 {
			_, err := e.Write(make([]byte, mib))
			require.NoError(t, err)
		}
		require.NoError(t, e.Close())
		require.NoError(t, z.Close())
		return out.String()
	}
	o, s := withBook(t)
	token, _ := o.Token(t, store.Operator)
	size := func() int64 {
		n, err := s.Size()
		require.NoError(t, err)
		return n
	}
	before := size()
	bomb := servertest.Bomb(t, 48*mib)
	inline := func(says string) string {
		return `{"new_edits":false,"docs":[{"_id":"x","_rev":"1-a","_attachments":{"p":{` + says + `"data":"`
	}
	for name, q := range map[string]servertest.Request{
		"a packed request": {Method: "POST", Path: "/sync/jobs/_bulk_docs",
			Body:   servertest.Zip(t, inline("")) + zeros(t, 48*mib) + servertest.Zip(t, `"}}}]}`),
			Header: map[string]string{"Content-Encoding": "gzip"}},
		"a packed attachment in it": {Method: "POST", Path: "/sync/jobs/_bulk_docs",
			Body: inline(`"encoding":"gzip",`) + base64.StdEncoding.EncodeToString([]byte(bomb)) + `"}}}]}`},
		"an attachment by itself": {Method: "PUT", Path: "/sync/jobs/y/p", Body: bomb,
			Header: map[string]string{"Content-Encoding": "gzip"}},
		"a part": {Method: "PUT", Path: "/sync/jobs/z", Body: "--b\r\n\r\n" +
			`{"_attachments":{"p":{"follows":true,"encoding":"gzip"}}}` + "\r\n--b\r\n\r\n" + bomb + "\r\n--b--",
			Header: map[string]string{"Content-Type": "multipart/related; boundary=b"}},
	} {
		q.Token = token
		got := o.Do(t, q)
		assert.Equal(t, 413, got.Status, "%s: %s", name, shortened(got.Body))
		assert.Contains(t, got.Body, "without packing it", name)
		assert.Less(t, len(q.Body), 600_000, name)
	}
	require.NoError(t, s.Compact())
	assert.LessOrEqual(t, size()-before, int64(32*mib))

	// Documents that are refused are kept aside, so many of a device; the oldest go, and are counted.
	for i := range 13 {
		var docs []string
		for k := range 20 {
			docs = append(docs, fmt.Sprintf(`{"_id":"_%d","_rev":"1-a","text":"%d %s"}`, i*20+k, i*20+k,
				strings.Repeat("x", 30_000)))
		}
		got := o.Do(t, servertest.Request{Method: "POST", Path: "/sync/jobs/_bulk_docs", Token: token,
			Body: `{"new_edits":false,"docs":[` + strings.Join(docs, ",") + `]}`})
		require.Equal(t, 201, got.Status)
		require.Equal(t, 20, strings.Count(got.Body, `"forbidden"`))
	}
	refused, err := s.Refused()
	require.NoError(t, err)
	kept := 0
	for _, r := range refused {
		kept += len(r.Body)
	}
	assert.LessOrEqual(t, kept, store.RefusedBytes)
	assert.Greater(t, kept, store.RefusedBytes*3/4)
	dropped, err := s.RefusedDropped()
	require.NoError(t, err)
	require.Len(t, dropped, 1)
	for _, n := range dropped {
		assert.EqualValues(t, 260-len(refused), n, "all that went are counted")
	}
	ids := map[string]bool{}
	for _, r := range refused {
		ids[r.ID] = true
	}
	assert.True(t, ids["_259"], "the newest stays")
	assert.False(t, ids["_0"], "the oldest went")
	for i := range 250 { // small ones are bounded by number
		o.Do(t, servertest.Request{Method: "POST", Path: "/sync/jobs/_bulk_docs", Token: token,
			Body: fmt.Sprintf(`{"new_edits":false,"docs":[{"_id":"_s%d","_rev":"1-a"}]}`, i)})
	}
	refused, err = s.Refused()
	require.NoError(t, err)
	assert.LessOrEqual(t, len(refused), store.RefusedEach)
	require.NoError(t, s.DropRefused(refused[0].Number))
	again, err := s.Refused()
	require.NoError(t, err)
	assert.Len(t, again, len(refused)-1)
}

// A record from a phone may have a megabyte; more is refused by itself, and given to no phone.
func TestLargeRecords(t *testing.T) {
	o, s := withBook(t)
	phone, _ := o.Token(t, store.Operator)
	owner, _ := o.Token(t, store.Owner)
	doc := func(id string, n int) string {
		return fmt.Sprintf(`{"_id":%q,"_rev":"1-a","text":"%s"}`, id, strings.Repeat("x", n))
	}
	push := func(token string, docs ...string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "POST", Path: "/sync/jobs/_bulk_docs", Token: token,
			Body: `{"new_edits":false,"docs":[` + strings.Join(docs, ",") + `]}`})
	}
	got := push(phone, doc("fits", mib-20), doc("large", mib), doc("after", 10))
	require.Equal(t, 201, got.Status, shortened(got.Body))
	assert.Equal(t, 1, strings.Count(got.Body, `"id"`), shortened(got.Body))
	assert.Contains(t, got.Body, `"id":"large","rev":"1-a","error":"forbidden","reason":"too_large: `)
	assert.Equal(t, 200, o.Do(t, servertest.Request{Method: "GET", Path: "/sync/jobs/after", Token: phone}).Status)
	refused, err := s.Refused()
	require.NoError(t, err)
	require.Len(t, refused, 1)
	got = o.Do(t, servertest.Request{Method: "PUT", Path: "/sync/jobs/edit", Token: phone, Body: `{"text":"` +
		strings.Repeat("x", mib) + `"}`})
	assert.Equal(t, 413, got.Status, shortened(got.Body))
	assert.Contains(t, got.Body, "1048576 bytes")
	require.Equal(t, "[]\n", push(owner, doc("large", 2*mib)).Body, "a peer's may have 8 MB")
	got = push(owner, doc("huge", 8_000_000), doc("beside", 1))
	assert.Equal(t, 1, strings.Count(got.Body, `"forbidden"`), shortened(got.Body))

	want := servertest.Request{Method: "POST", Path: "/sync/jobs/_bulk_get",
		Body: `{"docs":[{"id":"large","rev":"1-a"},{"id":"after","rev":"1-a"}]}`}
	for path, q := range map[string]servertest.Request{
		"_bulk_get":  want,
		"_changes":   {Method: "GET", Path: "/sync/jobs/_changes?include_docs=true"},
		"_all_docs":  {Method: "GET", Path: "/sync/jobs/_all_docs?include_docs=true"},
		"open_revs":  {Method: "GET", Path: "/sync/jobs/large?open_revs=all"},
		"document":   {Method: "GET", Path: "/sync/jobs/large"},
		"attachment": {Method: "GET", Path: "/sync/jobs/large?attachments=true"},
	} {
		q.Token = phone
		got := o.Do(t, q)
		assert.Contains(t, got.Body, `"error":"too_large"`, path)
		if q.Method == "POST" {
			assert.Contains(t, got.Body, `"_id":"after"`)
			assert.Contains(t, got.Body, `"docs":[{"error":{"id":"large","rev":"1-a","error":"too_large"`)
		}
		q.Token = owner
		got = o.Do(t, q)
		assert.NotContains(t, got.Body, `"too_large"`, path)
		assert.Greater(t, len(got.Body), 2*mib, path)
	}
}

// Numbers that some replica could not keep are refused where they come in, each with its record.
func TestNumbersNoReplicaKeeps(t *testing.T) {
	o, _ := withBook(t)
	token, _ := o.Token(t, store.Operator)
	for text, says := range map[string]string{
		"1e309": "beyond what a computer's number holds", "-1e400": "beyond", "1e999999999": "beyond",
		strings.Repeat("9", 320): "beyond", "0." + strings.Repeat("1", 500): "digits",
		`["a\"1e999",{"b":1e999}]`: "beyond",
		"1e308":                    "", "1e-999": "", "0." + strings.Repeat("1", 390): "", `"1e999"`: "", "-0.0": "",
		strings.Repeat("9", 300): "",
	} {
		got := o.Do(t, servertest.Request{Method: "POST", Path: "/sync/jobs/_bulk_docs", Token: token,
			Body: `{"new_edits":false,"docs":[{"_id":"n","_rev":"1-a","depth":` + text + `},{"_id":"m","_rev":"1-a"}]}`})
		require.Equal(t, 201, got.Status)
		one := o.Do(t, servertest.Request{Method: "POST", Path: "/sync/jobs", Token: token, Body: `{"depth":` + text +
			`}`})
		if says == "" {
			assert.Equal(t, 201, one.Status, one.Body)
			continue
		}
		assert.Equal(t, 1, strings.Count(got.Body, "forbidden"), got.Body)
		assert.Equal(t, 400, one.Status)
		assert.Contains(t, one.Body, `member \"depth\"`)
		assert.Contains(t, one.Body, says)
	}
	deep := strings.Repeat("[", 600) + strings.Repeat("]", 600)
	got := o.Do(t, servertest.Request{Method: "POST", Path: "/sync/jobs/_bulk_docs", Token: token,
		Body: `{"new_edits":false,"docs":[{"_id":"deep","_rev":"1-a","a":` + deep + `},{"_id":"flat","_rev":"1-a"}]}`})
	assert.Equal(t, 201, got.Status)
	assert.Contains(t, got.Body, `"id":"deep","rev":"1-a","error":"forbidden"`)
	assert.Equal(t, 200, o.Do(t, servertest.Request{Method: "GET", Path: "/sync/jobs/flat", Token: token}).Status)
}

// What one request names is bounded, and told.
func TestTooMuchNamed(t *testing.T) {
	o, _ := withBook(t)
	token, _ := o.Token(t, store.Reader)
	many := func(item string, n int) string { return strings.TrimSuffix(strings.Repeat(item+",", n), ",") }
	for name, q := range map[string]servertest.Request{
		"bulk_get":  {Path: "/sync/jobs/_bulk_get", Body: `{"docs":[` + many(`{}`, 20_001) + `]}`},
		"revs_diff": {Path: "/sync/jobs/_revs_diff", Body: `{"x":[` + many(`"1-a"`, 200_001) + `]}`},
		"doc_ids":   {Path: "/sync/jobs/_changes?filter=_doc_ids", Body: `{"doc_ids":[` + many(`"a"`, 20_001) + `]}`},
		"keys":      {Path: "/sync/jobs/_all_docs", Body: `{"keys":[` + many(`"a"`, 20_001) + `]}`},
	} {
		q.Method, q.Token = "POST", token
		got := o.Do(t, q)
		assert.Equal(t, 413, got.Status, "%s: %s", name, shortened(got.Body))
		assert.Contains(t, got.Body, "at most", name)
	}
}
