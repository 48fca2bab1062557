package replication

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
)

// A selector is tried on every document: it is refused where trying it costs more than reading them.
func TestSelectorsAreBounded(t *testing.T) {
	o := mustOffice(t, "jobs")
	o.ask(t, "POST", "/jobs/_bulk_docs",
		`{"docs":[{"_id":"a","n":1e3,"m":10},{"_id":"b","n":1000.5,"m":9},{"_id":"c","n":-2,"m":"9"}]}`)
	nest := func(n int) string {
		return strings.Repeat(`{"$or":[`, n) + `{"n":1}` + strings.Repeat(`]}`, n)
	}
	for name, sel := range map[string]string{
		"nested":     nest(20),
		"conditions": `{"$and":[` + strings.TrimSuffix(strings.Repeat(`{"n":1},`, 300), ",") + `]}`,
		"values":     `{"n":{"$in":[` + strings.TrimSuffix(strings.Repeat(`1,`, 300), ",") + `]}}`,
		"long":       `{"n":"` + strings.Repeat("x", maxSelector) + `"}`,
		"number":     `{"n":{"$gt":1e999999999}}`,
		"digits":     `{"n":{"$gt":` + strings.Repeat("9", 500) + `}}`,
	} {
		r := o.ask(t, "POST", "/jobs/_changes?filter=_selector", `{"selector":`+sel+`}`)
		assert.Equal(t, 400, r.status, "%s: %s", name, r.body)
		assert.Contains(t, r.at("reason"), "selector", name)
	}
	for sel, want := range map[string]int{
		nest(8): 0, `{"n":1000}`: 1, `{"n":{"$gt":1e3}}`: 1, `{"n":{"$lte":1000}}`: 2, `{"m":{"$gt":9}}`: 2,
		`{"$nor":[{"n":1000},{"m":9}]}`: 1, `{"$or":[{"n":1000},{"m":9}]}`: 2, `{"$and":[{"n":{"$gt":0}},{"m":9}]}`: 1,
	} {
		r := o.ask(t, "POST", "/jobs/_changes?filter=_selector", `{"selector":`+sel+`}`)
		require.Equal(t, 200, r.status, r.body)
		assert.Len(t, r.at("results"), want, sel)
	}
}

func TestCompareNumbers(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"1", "1", 0}, {"2", "10", -1}, {"-2", "-10", 1}, {"-1", "1", -1}, {"0", "-0", 0}, {"1", "1.0", 0}, {"1e400",
			"1e500", 0},
		{"9007199254740993", "9007199254740992", 1}, {"1e999999999", "1", 1}, {"-1e999999999", "1", -1},
		{"1e-999999999", "0", 0},
	} {
		assert.Equal(t, c.want, compareNumbers(c.a, c.b), "%s %s", c.a, c.b)
		assert.Equal(t, -c.want, compareNumbers(c.b, c.a), "%s %s", c.b, c.a)
	}
}

// FuzzNumbers: a number is refused if and only if it is too long or no double holds it, wherever it
// stands. Run with: go test -fuzz FuzzNumbers ./server/replication
func FuzzNumbers(f *testing.F) {
	for _, s := range []string{`1`, `-0`, `1e308`, `1e309`, `-1e999999999`, `0.1e-999`, `"1e999"`, `"\"1e999"`,
		`{"a":[1,"\\",2e3]}`,
		strings.Repeat("9", 310), "0." + strings.Repeat("0", 500)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if !json.Valid([]byte(text)) {
			return
		}
		dec := json.NewDecoder(strings.NewReader(text))
		dec.UseNumber()
		var v any
		require.NoError(t, dec.Decode(&v))
		require.Equal(t, fine(v), check([]byte(text)) == nil, "%q", text)
	})
}

func fine(v any) bool {
	switch x := v.(type) {
	case json.Number:
		n, err := x.Float64()
		return len(x) <= maxDigits && err == nil && !math.IsInf(n, 0)
	case []any:
		for _, item := range x {
			if !fine(item) {
				return false
			}
		}
	case map[string]any:
		for _, item := range x {
			if !fine(item) {
				return false
			}
		}
	}
	return true
}

// FuzzSelector: whatever is sent, it is refused or tried, and comparing any two values is an order.
// Run with: go test -fuzz FuzzSelector ./server/replication
func FuzzSelector(f *testing.F) {
	f.Add(`{"a":[]}`, `"b":[]`)
	for _, s := range []string{`{"a":1}`, `{"$or":[{"a.b":{"$gt":1e9}},{"$not":{"a":null}}]}`,
		`{"a":{"$in":[1,"x",[],{}]}}`,
		`{"$nor":[]}`, `{"a":{"$exists":false}}`, `{"":{"":{}}}`, `{"a":{"$lt":-0.0}}`, `"`, `{"a":"\\`} {
		f.Add(s, `"a":1,"b":{"c":[1,2.5,"x"]}`)
	}
	f.Fuzz(func(t *testing.T, sel, body string) {
		s, err := parseSelector([]byte(sel))
		if err != nil {
			require.Equal(t, 400, errorOf(err).Status)
			return
		}
		s.matches(&loaded{Doc: store.Doc{ID: "x", Body: []byte(body)}})
		var a, b any
		for text, v := range map[string]*any{sel: &a, "{" + body + "}": &b} {
			dec := json.NewDecoder(strings.NewReader(text))
			dec.UseNumber()
			_ = dec.Decode(v)
		}
		require.Equal(t, sign(collate(a, b)), -sign(collate(b, a)))
		require.Zero(t, collate(a, a))
	})
}

func decode64(t *testing.T, text string) []byte {
	t.Helper()
	data, err := base64.StdEncoding.DecodeString(text)
	require.NoError(t, err)
	return data
}

func sign(n int) int { return max(-1, min(1, n)) }

// FuzzMultipart: whatever parts are sent, the answer is one of the protocol's, and what is stored has
// the bytes that were named. Run with: go test -fuzz FuzzMultipart ./server/replication
func FuzzMultipart(f *testing.F) {
	doc := `{"_attachments":{"p":{"follows":true,"length":5,"digest":"` + digestOf("hello") + `"}}}`
	for _, body := range []string{
		"--b\r\n\r\n" + doc + "\r\n--b\r\n\r\nhello\r\n--b--", "--b\r\n\r\n" + doc + "\r\n--b\r\n\r\nhel\r\n--b--",
		"--b\r\n\r\n{}\r\n--b--",
		"--b\r\n\r\n" + doc + "\r\n--b\r\nContent-Disposition: attachment; filename=\"p\"\r\n\r\nhello\r\n--b--",
		"--b", "",
		"--b\r\n\r\n" + strings.Replace(doc, `"follows"`, `"encoding":"gzip","follows"`, 1) + "\r\n--b\r\n\r\n" +
			couchText + "\r\n--b--",
		"--b\r\n\r\n" + `{"_attachments":{"..":{"follows":true},"a/../b":{"stub":true}}}` + "\r\n--b\r\n\r\nx\r\n--b--",
	} {
		f.Add(body)
	}
	o := mustOffice(f, "jobs")
	n := 0
	f.Fuzz(func(t *testing.T, body string) {
		n++
		at := fmt.Sprintf("/jobs/m%d", n)
		r := o.ask(t, "PUT", at, body, "Content-Type", "multipart/related; boundary=b")
		require.Less(t, r.status, 500, r.body)
		if r.status != 201 {
			require.NotEmpty(t, r.at("reason"))
			return
		}
		atts, _ := o.ask(t, "GET", at+"?attachments=true", "").at("_attachments").(map[string]any)
		for name, a := range atts {
			m := a.(map[string]any)
			require.Equal(t, m["digest"], digestOf(string(decode64(t, m["data"].(string)))), name)
		}
	})
}

// FuzzQuery: whatever the query, no handler breaks. Run with: go test -fuzz FuzzQuery ./server/replication
func FuzzQuery(f *testing.F) {
	for _, s := range []string{"rev=1-a", "open_revs=all&atts_since=[\"1-a\"]",
		"atts_since=[\"9-z\",\"1-a\"]&revs=true",
		"open_revs=[\"1-a\",\"1-a\"]&latest=true", "limit=-1&skip=x", "since=now&limit=0&seq_interval=3",
		"startkey=\"a\"&endkey=[", "keys=[\"x\"]",
		"rev=9007199254740991-x", "conflicts=true&meta=true&attachments=true", "since=99999999999999999999",
		"filter=_doc_ids&doc_ids=[\"x\"]"} {
		f.Add(s)
	}
	o := mustOffice(f, "jobs")
	o.ask(f, "POST", "/jobs/_bulk_docs",
		`{"new_edits":false,"docs":[{"_id":"x","_rev":"2-b","_revisions":{"start":2,"ids":["b","a"]},
		"_attachments":{"p":{"data":"aGVsbG8="}}},{"_id":"x","_rev":"1-c"}]}`)
	f.Fuzz(func(t *testing.T, query string) {
		query = strings.Map(func(r rune) rune {
			if r <= ' ' || r >= 0x7f || strings.ContainsRune(`%#"<>\^{|}`+"`", r) && r != '"' {
				return '_'
			}
			return r
		}, query)
		query = strings.ReplaceAll(strings.ReplaceAll(query, `"`, "%22"), "feed=", "fed=")
		for _, path := range []string{"/jobs/x", "/jobs/x/p", "/jobs/_changes", "/jobs/_all_docs"} {
			r := o.ask(t, "GET", path+"?"+query, "")
			require.Less(t, r.status, 500, "%s: %s", path, r.body)
		}
	})
}

// More revisions of one document than may lie side by side are refused before any of them is looked
// at: each would cost as much as the document has.
func TestRevisionsOfOneDocument(t *testing.T) {
	o := mustOffice(t, "jobs")
	batch := func(n int) string {
		rows := make([]string, n)
		for i := range rows {
			rows[i] = fmt.Sprintf(`{"_id":"many","_rev":"1-%x","_revisions":{"start":1,"ids":["%x"]}}`, i+1, i+1)
		}
		return `{"new_edits":false,"docs":[` + strings.Join(rows, ",") + `]}`
	}
	assert.Equal(t, 413, o.ask(t, "POST", "/jobs/_bulk_docs", batch(store.MaxLeaves+1)).status)
	assert.Equal(t, 404, o.ask(t, "GET", "/jobs/many", "").status)
	got := o.ask(t, "POST", "/jobs/_bulk_docs", batch(store.MaxLeaves))
	assert.Equal(t, 201, got.status)
	assert.JSONEq(t, `[]`, got.body)
	large := `{"last_seq":"` + strings.Repeat("1", 64<<10) + `"}`
	assert.Equal(t, 413, o.ask(t, "PUT", "/jobs/_local/x", large).status)
}
