package jobbook_test

import (
	"bytes"
	"encoding/json"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/jobbook"
)

// overText is a record whose edit says in a text, not in a list, what it replaces.
const overText = `{"_id":"fixture:odd","type":"fixture","v":1,"f":{"name":[{"id":"a-1","v":"x","over":"abc"}]}}`

// deep is a record with a value nested deeper than is read.
var deep = `{"_id":"fixture:deep","type":"fixture","v":1,"f":{"name":[{"id":"a-1","v":` +
	strings.Repeat("[", 300) + strings.Repeat("]", 300) + `}]}}`

// oddDocs are documents that no version writes.
func oddDocs(t testing.TB) []string {
	lines, err := os.ReadFile("testdata/odd.jsonl")
	require.NoError(t, err)
	list := strings.Split(strings.TrimSpace(string(lines)), "\n")
	require.Greater(t, len(list), 30)
	return append(list, deep, strings.Repeat(`{"_id":`, 200)+`1`+strings.Repeat("}", 200))
}

// goodDocs are sound records, which everything has to go on working with.
func goodDocs(t require.TestingT) []obj {
	return []obj{
		made(t, "job", "j", obj{"name": "pump base"}),
		made(t, "part", "p", obj{"name": "base", "job": "job:j"}),
		made(t, "feature", "x", obj{"name": "top", "part": "part:p", "kind": "hole", "bolt": "5/8-11", "x": "1", "y": "2"}),
		made(t, "setup", "s", obj{"name": "base up", "job": "job:j", "part": "part:p", "machine": "machine:m",
			"fixture": "fixture:odd", "expected": []any{obj{"station": "left", "value": ".003"}}}),
		made(t, "step", "1", obj{"name": "face", "setup": "setup:s", "feature": "feature:x"}),
		made(t, "reading", "1", obj{"setup": "setup:s", "station": "left", "value": ".004", "x": "1", "kind": "before"}),
		made(t, "fixture", "good", obj{"name": "angle plate", "kind": "angle", "thick": "1-3/4"}),
	}
}

// ask runs an operation with raw documents and wants an answer that can be read.
func ask(t require.TestingT, s *jobbook.Session, op, in string) obj {
	out := s.Call(op, []byte(in))
	d := json.NewDecoder(bytes.NewReader(out))
	d.UseNumber() // some are beyond float64
	var read obj
	require.NoError(t, d.Decode(&read), "%s: %s", op, out)
	return read
}

// besides asks every operation of Call with one document among good ones: none panics, and the good
// ones come through as without it.
func besides(t require.TestingT, odd string) {
	good := goodDocs(t)
	texts := make([]string, 0, len(good)+1)
	for i, d := range good {
		if i == 3 {
			texts = append(texts, odd)
		}
		b, err := json.Marshal(d)
		require.NoError(t, err)
		texts = append(texts, string(b))
	}
	docs := `"docs":[` + strings.Join(texts, ",") + `]`
	alone := `"docs":[` + strings.Join(append(texts[:3:3], texts[4:]...), ",") + `]`
	s := &jobbook.Session{}
	wants := func(op, more, key string) (with, without any) {
		with, without = ask(t, s, op, `{`+more+docs+`}`)[key], ask(t, s, op, `{`+more+alone+`}`)[key]
		require.NotNil(t, without, op)
		require.NotNil(t, with, "%s fails because of one document: %s", op, odd)
		return with, without
	}
	with, without := wants("view", "", "views")
	list := with.([]any)
	require.Equal(t, without, append(list[:3:3], list[4:]...))
	require.Contains(t, list[3], "id")

	ask(t, s, "index", `{"clear":true,`+docs+`}`)
	found := ask(t, s, "find", `{"query":"angle plate"}`)
	require.Contains(t, idsOf(found["hits"]), "fixture:good")
	for _, kind := range []string{"fixture", "job"} {
		with, without = wants("csv", `"kind":"`+kind+`",`, "csv")
		for _, line := range strings.Split(without.(string), "\r\n") {
			require.Contains(t, with, line)
		}
	}
	wants("csv", `"kind":"setup","table":"expected",`, "csv")
	wants("csv", `"kind":"fixture","table":"holes",`, "csv")
	with, without = wants("belongs", `"job":"job:j",`, "ids")
	require.Subset(t, with, without)
	wants("purge", `"now":"2026-03-09T08:00:00Z",`, "ids")
	wants("invention", "", "plain")
	wants("readings", `"setup":`+texts[4]+`,`, "rows")
	wants("repeat", `"setup":`+texts[4]+`,"job":"job:j","ms":5,"chance":"00000000000000000000","device":"a",`, "docs")
	sheets := strings.Fields("match cleanup chain tapin tram shims reach hole daylight dials")
	for _, from := range []string{`"step":"step:1"`, `"setup":"setup:odd"`, `"setup":"setup:s"`, `"job":"job:j"`,
		`"feature":"feature:x"`} {
		for _, sheet := range sheets {
			wants("prefill", `"worksheet":"`+sheet+`",`+from+`,"have":["whole kept:odd"],`, "inputs")
		}
	}
	wants("ahead", `"part":"part:p",`, "faces")

	for _, op := range []string{"check", "clashes", "history", "found"} {
		ask(t, s, op, `{"doc":`+odd+`}`)
	}
	ask(t, s, "edit", `{"doc":`+odd+`,"set":{"name":"y","gone":true},"device":"b","seen":{"name":"a-1"}}`)
	ask(t, s, "edit", `{"doc":`+odd+`,"set":{"name":"y","holes":[]},"device":"b"}`)
	ask(t, s, "repeat", `{"setup":`+odd+`,`+docs+`,"ms":5,"chance":"00000000000000000000","device":"a"}`)
	ask(t, s, "readings", `{"setup":`+odd+`,`+docs+`}`)
	both := ask(t, s, "merge", `{"docs":[`+odd+`,`+odd+`]}`)
	if doc, ok := both["doc"]; ok {
		again, err := json.Marshal(doc)
		require.NoError(t, err)
		require.NotContains(t, ask(t, s, "view", `{"docs":[`+string(again)+`]}`), "error")
	}
	ask(t, s, "merge", `{`+docs+`}`)
	jobbook.Sentences("fixture:odd", []byte(odd))
	jobbook.Check([]byte(odd))
	if d, err := jobbook.Join([]byte(odd), []byte(texts[7])); err == nil {
		d.JSON()
		d.Removal()
	}

	// Out by a file and in again.
	begun := ask(t, s, "export", `{`+docs+`,"book":"shop","made":""}`)
	require.NotContains(t, begun, "error", odd)
	part := ask(t, s, "write", `{`+docs+`}`)
	require.NotContains(t, part, "error", odd)
	file, ok := part["text"].(string)
	require.True(t, ok)
	require.NotContains(t, ask(t, s, "export", `{`+docs+`,"book":"shop","made":"","job":"job:j"}`), "error", odd)
	in, fault := jobbook.OpenFile(file)
	require.Nil(t, fault, "%v: %s", fault, odd)
	var put []*jobbook.Record
	for len(in.Next()) > 0 {
		put = append(put, in.Take(nil)...)
	}
	byID := map[string]*jobbook.Record{}
	for _, d := range put {
		byID[d.ID()] = d
	}
	for i, d := range good {
		id := d["_id"].(string)
		require.Contains(t, byID, id, odd)
		if i >= 3 {
			i++
		}
		require.JSONEq(t, ownOf(texts[i]), string(byID[id].Anew()))
	}
}

// ownOf is a record's text without what belongs to its revision.
func ownOf(text string) string {
	var d obj
	if json.Unmarshal([]byte(text), &d) != nil {
		return text
	}
	delete(d, "by")
	b, _ := json.Marshal(d)
	return string(b)
}

func idsOf(hits any) []any {
	var ids []any
	for _, h := range hits.([]any) {
		ids = append(ids, h.(obj)["id"])
	}
	return ids
}

// FuzzOdd: whatever one document is, no operation panics and the others come through.
func FuzzOdd(f *testing.F) {
	for _, odd := range oddDocs(f) {
		f.Add(odd)
	}
	f.Fuzz(func(t *testing.T, odd string) {
		var head struct {
			ID any `json:"_id"`
		}
		if !json.Valid([]byte(odd)) || strings.Contains(odd, `":good"`) {
			return // what is no JSON is FuzzJSON's; the good ones' ids are not to be taken
		}
		_ = json.Unmarshal([]byte(odd), &head)
		for _, d := range goodDocs(t) {
			if head.ID == d["_id"] {
				return // a copy of a good one is merged with it, as it should be
			}
		}
		besides(t, odd)
	})
}

// oddValue draws any JSON, as text, now and then such as a record holds in that place.
func oddValue(depth int) *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		most := 9
		if depth <= 0 {
			most = 5
		}
		switch rapid.IntRange(0, most).Draw(t, "what") {
		case 0:
			return rapid.SampledFrom(strings.Fields("null true false 0 -0 1e400 1E-7 12345678901234567890 2")).Draw(t, "plain")
		case 1, 2:
			return rapid.SampledFrom(strings.Fields(`"a-1" "a-2" "x" "" "in" "2026-03-09T08:00:00Z" "\ud800" "\u0000" "setup:s"
				"machine:odd" "1/4" "__proto__"`)).Draw(t, "text")
		case 3:
			return strings.Repeat("[", 120) + strings.Repeat("]", 120)
		case 4, 5:
			return `{"id":"a-1","v":"x"}`
		case 6, 7:
			list := rapid.SliceOfN(oddValue(depth-1), 0, 3).Draw(t, "list")
			return "[" + strings.Join(list, ",") + "]"
		}
		keys := rapid.SliceOfNDistinct(rapid.SampledFrom(strings.Fields(`id v at by over saw unit axis travel results value
			station kind row face x y name __proto__ gone`)), 0, 5, rapid.ID[string]).Draw(t, "keys")
		var members []string
		for _, key := range keys {
			members = append(members, `"`+key+`":`+oddValue(depth-1).Draw(t, key))
		}
		return "{" + strings.Join(members, ",") + "}"
	})
}

// oddDoc draws a document with a few members of a shape they should not have.
func oddDoc(t *rapid.T) string {
	kinds := strings.Fields("fixture machine setup reading kept part feature set step crane")
	kind := rapid.SampledFrom(kinds).Draw(t, "kind")
	fields := rapid.SampledFrom(append(strings.Fields(`name gone axes#1 axes expected#1 holes#1 faces#1 sizes value setup
		part job kind round station order tapin answer found#1 machine feature bolt x #`), ""))
	var f []string
	for _, key := range rapid.SliceOfNDistinct(fields, 0, 6, rapid.ID[string]).Draw(t, "fields") {
		edit := rapid.Custom(func(t *rapid.T) string {
			if rapid.IntRange(0, 3).Draw(t, "odd") == 0 {
				return oddValue(2).Draw(t, "edit")
			}
			e := `{"id":"a-` + strconv.Itoa(rapid.IntRange(1, 4).Draw(t, "n")) + `","v":` + oddValue(3).Draw(t, "v")
			for _, more := range []string{"over", "at", "by", "unit", "saw"} {
				if rapid.Bool().Draw(t, more) {
					e += `,"` + more + `":` + oddValue(2).Draw(t, more)
				}
			}
			return e + "}"
		})
		list := "[" + strings.Join(rapid.SliceOfN(edit, 0, 3).Draw(t, "edits"), ",") + "]"
		if rapid.IntRange(0, 9).Draw(t, "odd list") == 0 {
			list = oddValue(2).Draw(t, "list")
		}
		f = append(f, `"`+key+`":`+list)
	}
	members := []string{`"_id":"` + kind + `:odd"`, `"type":"` + kind + `"`, `"v":1`, `"f":{` + strings.Join(f, ",") + "}"}
	for i, key := range []string{"_id", "type", "v", "f"} {
		if rapid.IntRange(0, 9).Draw(t, "odd "+key) == 0 {
			members[i] = `"` + key + `":` + oddValue(2).Draw(t, key)
		}
		if members[i] == `"_id":"setup:s"` { // that one is a good record
			members[i] = `"_id":"setup:a:b"`
		}
	}
	for _, key := range []string{"_attachments", "_rev", "also", "odd", "worksheet", "inputs", "demo", "by", "created"} {
		if rapid.IntRange(0, 5).Draw(t, "has "+key) == 0 {
			members = append(members, `"`+key+`":`+oddValue(3).Draw(t, key))
		}
	}
	return "{" + strings.Join(members, ",") + "}"
}

// TestOddBesideGood: no shape of one document stops anything for the others.
func TestOddBesideGood(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { besides(t, oddDoc(t)) })
}

// TestOddIsNamed: the check of the office names what cannot be read, and reading in does.
func TestOddIsNamed(t *testing.T) {
	says := jobbook.Sentences("fixture:odd", []byte(overText))
	require.Len(t, says, 2, "and its kind is missing")
	assert.Contains(t, says[0], "Fixture: when, by whom or over what")
	assert.Contains(t, says[0], "cannot be read")
	view := call(t, "view", obj{"docs": []any{json.RawMessage(overText)}})["views"].([]any)[0].(obj)
	assert.Equal(t, "x", view["values"].(obj)["name"], "what can be read is shown")

	fields := `"f":{"name":[{"id":"a-1","v":"x"}],"kind":[{"id":"a-1","v":"angle"}]}}`
	for name, odd := range map[string]string{
		"form":        `{"_id":"fixture:odd","type":"fixture","v":{},` + fields,
		"attachments": `{"_id":"fixture:odd","type":"fixture","v":1,"_attachments":5,` + fields,
		"clock":       `{"_id":"fixture:odd","type":"fixture","v":1,"f":{"name":[{"id":"a-1","v":"x","at":5}]}}`,
		"id":          `{"_id":"odd","type":"crane","v":1,"f":{}}`,
		"fields":      `{"_id":"fixture:odd","type":"fixture","v":1,"f":[]}`,
		"deep":        deep,
	} {
		t.Run(name, func(t *testing.T) { assert.NotEmpty(t, jobbook.Sentences("fixture:odd", []byte(odd))) })
	}
	file := `{"datumbook":1,"form":"records","docs":[` + overText + `,` + deep + `]}`
	in, fault := jobbook.OpenFile(file)
	require.Nil(t, fault)
	put := in.Take(nil)
	require.Len(t, put, 1, "what can be read in part is taken")
	assert.Equal(t, "fixture:odd", put[0].ID())
	require.Len(t, in.Look, 1)
	assert.Equal(t, "fixture:odd", in.Look[0].Field)
	assert.Contains(t, in.Look[0].Message, "cannot be read")
	require.Len(t, in.Refused, 1)
	assert.Equal(t, "fixture:deep", in.Refused[0].Field)
	assert.Contains(t, in.Refused[0].Message, "nested too deep")
}
