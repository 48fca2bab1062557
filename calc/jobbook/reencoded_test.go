package jobbook

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reencoded writes every number of a record anew, as a CouchDB does when it gives the record on: whole
// numbers as they are, fractions in their shortest form and always with a point (1.50 as 1.5, 1e3 as
// 1000.0).
func reencoded(t testing.TB, text []byte) []byte {
	t.Helper()
	var out []byte
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case c == '"':
			from := i
			for i++; text[i] != '"'; i++ {
				if text[i] == '\\' {
					i++
				}
			}
			out = append(out, text[from:i+1]...)
		case c == '-' || '0' <= c && c <= '9':
			from := i
			for i < len(text) && strings.IndexByte("+-.eE0123456789", text[i]) >= 0 {
				i++
			}
			out = append(out, couchNumber(t, string(text[from:i]))...)
			i--
		default:
			out = append(out, c)
		}
	}
	require.True(t, json.Valid(out), "%s", out)
	return out
}

func couchNumber(t testing.TB, text string) string {
	if !strings.ContainsAny(text, ".eE") {
		return text
	}
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	short := strconv.FormatFloat(x, 'g', -1, 64)
	mantissa, exp, small := strings.Cut(short, "e")
	if !strings.Contains(mantissa, ".") {
		mantissa += ".0"
	}
	if small {
		return mantissa + "e" + exp
	}
	return mantissa
}

// wholeJob is the demo as it is stored, each record with its id, and a kept result whose numbers were
// written in other ways.
func wholeJob(t testing.TB) (docs []json.RawMessage) {
	ids, bodies := stored(t)
	for i, body := range bodies[:len(bodies)-14*4] {
		docs = append(docs, json.RawMessage(fmt.Sprintf(`{"_id":%q,%s`, ids[i], body[1:])))
	}
	return append(docs,
		json.RawMessage(`{"_id":"kept:01KJ8Q3V7M4T9Z2XBN5C6D8F0G","type":"kept","v":1,"f":{"worksheet":[{"id":"a-1","v":"hole"}],`+
			`"inputs":[{"id":"a-2","v":{"thread":"5/8-11","depth":".750"}}],"answer":[{"id":"a-3","v":{"results":`+
			`{"dia":{"value":0.5310},"n":{"value":1e3},"deep":{"value":1.50}}}}]}}`))
}

// TestReencodedNumbers: a job whose numbers a replica wrote anew is the same job. Every view, list,
// worksheet and comparison says the same, to the letter where it is text; no entry counts as changed,
// and merging both copies gives one value for each.
func TestReencodedNumbers(t *testing.T) {
	before := wholeJob(t)
	after := make([]json.RawMessage, len(before))
	changed := 0
	for i, doc := range before {
		after[i] = reencoded(t, doc)
		if !bytes.Equal(doc, after[i]) {
			changed++
		}
	}
	require.Positive(t, changed, "nothing was written anew: this proves nothing")
	both := func(op string, in func(docs []json.RawMessage) any) {
		t.Helper()
		ask := func(docs []json.RawMessage) string {
			text, err := json.Marshal(in(docs))
			require.NoError(t, err)
			return string(Call(op, text))
		}
		want := ask(before)
		assert.NotContains(t, want[:min(len(want), 20)], `"error"`, "%s: %s", op, want[:min(len(want), 300)])
		// Texts are compared by their letters, and numbers by what they are worth, as all readers read them.
		assert.JSONEq(t, want, ask(after), op)
	}
	type obj = map[string]any
	both("view", func(docs []json.RawMessage) any { return obj{"docs": docs} })
	for _, k := range Kinds {
		for _, table := range append([]string{""}, tablesOf(k)...) {
			both("csv", func(docs []json.RawMessage) any { return obj{"kind": k.Key, "table": table, "docs": docs} })
		}
	}
	for i := range before {
		id := idOf(t, before[i])
		both("history", func(docs []json.RawMessage) any { return obj{"doc": docs[i]} })
		both("clashes", func(docs []json.RawMessage) any { return obj{"doc": docs[i]} })
		both("check", func(docs []json.RawMessage) any { return obj{"doc": docs[i]} })
		switch kind, _, _ := strings.Cut(id, ":"); kind {
		case "kept":
			both("found", func(docs []json.RawMessage) any { return obj{"doc": docs[i]} })
		case "fixture", "part", "machine":
			both("shape", func(docs []json.RawMessage) any { return obj{"id": id, "docs": docs} })
		case "setup":
			both("shape", func(docs []json.RawMessage) any { return obj{"id": id, "docs": docs} })
			both("readings", func(docs []json.RawMessage) any { return obj{"setup": docs[i], "docs": docs, "unit": "in"} })
			both("prefill", func(docs []json.RawMessage) any {
				return obj{"worksheets": []string{"blocks", "hole", "tapin"}, "setup": id, "docs": docs}
			})
		case "step":
			both("prefill", func(docs []json.RawMessage) any { return obj{"worksheet": "hole", "step": id, "docs": docs} })
		}
		var merged struct {
			Doc     json.RawMessage
			Same    []int
			Clashes []string
			Error   *RecordError
		}
		text, err := json.Marshal(obj{"docs": []json.RawMessage{before[i], after[i]}})
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(Call("merge", text), &merged))
		require.Nil(t, merged.Error)
		assert.Empty(t, merged.Clashes, id)
		assert.Equal(t, Sentences(id, before[i]), Sentences(id, after[i]), id)
		assert.Empty(t, ChangeOf(id, "d", "a replica", before[i], after[i]).Rewritten, id)
	}
}

// TestOldQuantitiesAsNumbers: a quantity that an older record has as a number is worth the same when a
// replica wrote it anew, and both copies are one value.
func TestOldQuantitiesAsNumbers(t *testing.T) {
	doc := []byte(`{"_id":"fixture:1","type":"fixture","v":1,"f":{"name":[{"id":"a-1","v":"plate"}],"kind":[{"id":"a-4","v":"plate"}],` +
		`"thick":[{"id":"a-2","unit":"in","v":1.50}],"holes#0001-a":[{"id":"a-3","unit":"in","v":{"name":"A1","x":2.0,"y":3.250}}]}}`)
	again := reencoded(t, doc)
	assert.Contains(t, string(again), `"v":1.5}`)
	shape := func(doc []byte) string {
		return string(Call("shape", []byte(`{"id":"fixture:1","docs":[`+string(doc)+`]}`)))
	}
	assert.Contains(t, shape(doc), `"thick":1.5`)
	assert.JSONEq(t, strings.ReplaceAll(shape(doc), "3.250 in", "3.25 in"), shape(again))
	assert.Equal(t, Sentences("fixture:1", doc), Sentences("fixture:1", again))
	assert.Empty(t, ChangeOf("fixture:1", "d", "a replica", doc, again).Rewritten)
	merged := string(Call("merge", []byte(`{"docs":[`+string(again)+`,`+string(doc)+`]}`)))
	assert.Contains(t, merged, `"clashes":[]`)
	assert.Contains(t, merged, `1.50`, "the longest writing stays")
}

func idOf(t testing.TB, doc json.RawMessage) string {
	t.Helper()
	var v struct {
		ID string `json:"_id"`
	}
	require.NoError(t, json.Unmarshal(doc, &v))
	return v.ID
}

func tablesOf(k Kind) (out []string) {
	for _, f := range k.Fields {
		if f.Kind == Table {
			out = append(out, f.Key)
		}
	}
	return out
}

// TestFractionsAreKeptAsTexts: a quantity that comes as a number is kept with the digits it was given,
// where no replica writes them anew; whole numbers need not be, and a worksheet's answer is kept as it
// came. A value that is shown and given back is no new entry.
func TestFractionsAreKeptAsTexts(t *testing.T) {
	ask := func(op, in string) (doc string) {
		t.Helper()
		var out struct {
			Doc    json.RawMessage
			Faults []RecordError
		}
		require.NoError(t, json.Unmarshal(Call(op, []byte(in)), &out))
		require.Empty(t, out.Faults)
		return string(out.Doc)
	}
	doc := ask("new", `{"type":"fixture","id":"fixture:1","device":"a","unit":"in","set":{"name":"plate","kind":"angle","thick":1.50,`+
		`"holes#0001-a":{"name":"A1","x":2.0,"y":3}}}`)
	assert.Contains(t, doc, `"v":"1.50"`)
	assert.Contains(t, doc, `"x":"2.0"`)
	assert.Contains(t, doc, `"y":3`)
	kept := ask("new", `{"type":"kept","id":"kept:1","device":"a","unit":"in","set":{"worksheet":"hole","inputs":{"thread":"5/8-11"},`+
		`"answer":{"results":{"dia":{"value":0.50}}}}}`)
	assert.Contains(t, kept, `"value":0.50`)
	old := `{"_id":"fixture:2","type":"fixture","v":1,"f":{"name":[{"id":"a-1","v":"plate"}],"thick":[{"id":"a-2","unit":"in","v":1.50}]}}`
	again := ask("edit", `{"doc":`+old+`,"device":"b","unit":"in","set":{"thick":1.5}}`)
	assert.Contains(t, again, `"v":1.50`)
	assert.NotContains(t, again, `"b-1"`)
}
