package jobbook_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/jobbook"
)

func addTo(t require.TestingT, d *jobbook.Session, docs ...obj) {
	list := make([]any, len(docs))
	for i := range docs {
		list[i] = docs[i]
	}
	out := callOn(t, d, "index", obj{"docs": list})
	require.Empty(t, out["problems"])
}

func find(t require.TestingT, d *jobbook.Session, q obj) []string {
	out := callOn(t, d, "find", q)
	require.Contains(t, out, "hits", "%v", out)
	var ids []string
	for _, h := range out["hits"].([]any) {
		ids = append(ids, h.(obj)["id"].(string))
	}
	return ids
}

// TestFind asks what a machinist asks.
func TestFind(t *testing.T) {
	d := &jobbook.Session{}
	plate := made(t, "fixture", "plate", obj{"name": "big angle plate", "kind": "angle", "thick": "1-3/4",
		"holes": []any{obj{"name": "A1", "kind": "tapped", "thread": "5/8-11 UNC-2B", "why": "pump base", "job": "job:old"}}})
	vise := made(t, "fixture", "vise", obj{"name": "six inch vise", "kind": "vise"})
	mill := made(t, "machine", "mill", obj{"name": "old turret mill", "kind": "turret"})
	pump := made(t, "job", "pump", obj{"name": "pump cover", "words": "face it flat, drawing D-1234.", "drawing": "D-1234"})
	old := made(t, "job", "old", obj{"name": "old base"})
	first := made(t, "setup", "first", obj{"name": "base up", "job": "job:pump", "fixture": "fixture:plate", "machine": "machine:mill", "when": "2026-02-01", "datum": "left edge of the bore flange"})
	second := made(t, "setup", "second", obj{"name": "cover down", "job": "job:pump", "fixture": "fixture:vise", "machine": "machine:mill", "when": "2026-03-01"})
	reading := made(t, "reading", "r", obj{"setup": "setup:first", "station": "top", "value": "+2"})
	part := made(t, "part", "cover", obj{"name": "cover", "job": "job:pump", "long": "8", "wide": "4.25"})
	feature := made(t, "feature", "tap", obj{"name": "foot hole", "part": "part:cover", "kind": "tapped", "thread": "5/8-11"})
	note := made(t, "note", "n", obj{"text": "Order an 8 in straight edge, ГОСТ grade Ö."})
	gone := edited(t, made(t, "note", "gone", obj{"text": "pump cover again"}), "a", "2026-03-10T00:00:00Z", obj{"gone": true})
	addTo(t, d, plate, vise, mill, pump, old, first, second, reading, part, feature, note, gone)

	for _, c := range []struct {
		name string
		q    obj
		want []string
	}{
		{"when did I last use this plate", obj{"fixture": "fixture:plate", "kinds": []any{"setup"}}, []string{"setup:first"}},
		{"everything on the mill, newest first", obj{"machine": "machine:mill", "kinds": []any{"setup"}}, []string{"setup:second", "setup:first"}},
		{"which setup had this datum", obj{"query": "bore flange", "kinds": []any{"setup"}}, []string{"setup:first"}},
		{"a thread without its class", obj{"query": "5/8-11"}, []string{"fixture:plate", "feature:tap"}},
		{"the same thread in full", obj{"query": ".625-11"}, []string{"feature:tap", "fixture:plate"}},
		{"inches", obj{"query": "8 in"}, []string{"note:n", "part:cover"}},
		{"inches by the mark", obj{"query": `8"`}, []string{"note:n", "part:cover"}},
		{"millimetres", obj{"query": "203.2mm"}, []string{"note:n", "part:cover"}},
		{"a fraction for a decimal", obj{"query": "4-1/4 in"}, []string{"part:cover"}},
		{"a mixed number in three words", obj{"query": "4 1/4 in"}, []string{"part:cover"}},
		{"the beginning of a word, and a capital", obj{"query": "Flan"}, []string{"setup:first"}},
		{"drawing number", obj{"query": "d-1234"}, []string{"job:pump", "setup:second", "setup:first", "part:cover", "feature:tap"}},
		{"by the name of what it is linked to", obj{"query": "angle plate", "kinds": []any{"reading", "setup"}}, []string{"reading:r", "setup:first"}},
		{"a plate's old holes do not make it part of that job", obj{"job": "job:old"}, []string{"job:old", "fixture:plate"}},
		{"a job and all below it", obj{"job": "job:pump", "kinds": []any{"reading", "feature"}}, []string{"reading:r", "feature:tap"}},
		{"dates", obj{"from": "2026-02", "until": "2026-02"}, []string{"setup:first"}},
		{"other letters", obj{"query": "гост ö"}, []string{"note:n"}},
		{"nothing", obj{"query": "qqq zzz"}, nil},
		{"a word that stands nowhere takes nothing away", obj{"query": "foot qqq"}, []string{"feature:tap"}},
		{"deleted ones when asked", obj{"query": "again", "gone": true}, []string{"note:gone"}},
		{"deleted ones else not", obj{"query": "again"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := find(t, d, c.q)
			if c.name == "drawing number" {
				assert.Equal(t, "job:pump", got[0], "the job itself first")
				return
			}
			if q, _ := c.q["query"].(string); strings.Contains(q, "-11") || c.q["job"] != nil {
				assert.ElementsMatch(t, c.want, got)
				return
			}
			assert.Equal(t, c.want, got)
		})
	}

	addTo(t, d, edited(t, part, "b", "2026-03-11T00:00:00Z", obj{"long": "9"}))
	assert.Equal(t, []string{"note:n"}, find(t, d, obj{"query": "8 in"}), "a changed record is found by what it says now")
	callOn(t, d, "index", obj{"remove": []any{"note:n"}})
	assert.Empty(t, find(t, d, obj{"query": "8 in"}))
	callOn(t, d, "index", obj{"clear": true})
	assert.Empty(t, find(t, d, obj{"query": "pump"}))
}

var vocabulary = strings.Fields("base bore cover flange plate pump housing turret angle vise left right top datum shim face slot rough finish tram head")

// simple is a note by its words, the way the slow search sees it.
type simple struct {
	id, text string
}

// slow does without an index: every word of the question is the beginning of a
// word of the note.
func slow(notes map[string]simple, query string) []string {
	var out []string
	for id, n := range notes {
		all := true
		for _, q := range strings.Fields(query) {
			one := false
			for _, w := range strings.Fields(n.text) {
				one = one || strings.HasPrefix(w, q)
			}
			all = all && one
		}
		if all {
			out = append(out, id)
		}
	}
	slices.Sort(out)
	return out
}

// TestFindAgainstSlow: after any run of adding, changing and taking out, the index finds what a
// search through everything finds, before what has only some of the words.
func TestFindAgainstSlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &jobbook.Session{}
		notes := map[string]simple{}
		word := rapid.SampledFrom(vocabulary)
		for range rapid.IntRange(1, 25).Draw(t, "steps") {
			id := fmt.Sprintf("note:%d", rapid.IntRange(0, 9).Draw(t, "id"))
			if rapid.IntRange(0, 4).Draw(t, "do") == 0 {
				callOn(t, d, "index", obj{"remove": []any{id}})
				delete(notes, id)
				continue
			}
			text := strings.Join(rapid.SliceOfN(word, 1, 6).Draw(t, "text"), " ")
			notes[id] = simple{id: id, text: text}
			addTo(t, d, obj{"_id": id, "type": "crane", "f": obj{"text": []any{obj{"id": "a-1", "v": text}}}})
		}
		var query []string
		for _, w := range rapid.SliceOfN(word, 1, 3).Draw(t, "query") {
			query = append(query, w[:rapid.IntRange(3, len(w)).Draw(t, "cut")]) // shorter ones may be idle words
		}
		want, got := slow(notes, strings.Join(query, " ")), find(t, d, obj{"query": strings.Join(query, " ")})
		require.GreaterOrEqual(t, len(got), len(want))
		got = append([]string(nil), got[:len(want)]...)
		slices.Sort(got)
		require.Equal(t, want, got)
	})
}

// TestFindAfterMany: what was written over thousands of times is found by what it says now, and by
// what it is linked to now.
func TestFindAfterMany(t *testing.T) {
	d := &jobbook.Session{}
	edit := func(v string) []any { return []any{obj{"id": "a-1", "v": v}} }
	for _, job := range []string{"base", "cover"} {
		addTo(t, d, obj{"_id": "job:" + job, "type": "job", "f": obj{"name": edit(job)}})
	}
	for i := range 4300 {
		addTo(t, d, obj{"_id": fmt.Sprintf("part:%d", i%3), "type": "part",
			"f": obj{"name": edit(fmt.Sprintf("part n%d", i)), "job": edit("job:" + []string{"base", "cover"}[i%2])}})
	}
	assert.Equal(t, []string{"part:0"}, find(t, d, obj{"query": "n4299"}))
	assert.Empty(t, find(t, d, obj{"query": "n4290"}))
	assert.ElementsMatch(t, []string{"part:0", "part:1", "job:cover"}, find(t, d, obj{"job": "job:cover"}))
	assert.ElementsMatch(t, []string{"part:2"}, find(t, d, obj{"query": "base", "kinds": []any{"part"}}))
}

// shopRecords makes n records as a shop would have them: readings, notes and steps
// of setups on a few machines and fixtures.
func shopRecords(n int) [][]byte {
	r := rand.New(rand.NewPCG(7, 9))
	words := func(k int) string {
		var out []string
		for range k {
			out = append(out, vocabulary[r.IntN(len(vocabulary))]+string(rune('a'+r.IntN(26)))+string(rune('a'+r.IntN(26))))
		}
		return strings.Join(out, " ")
	}
	doc := func(i int, kind string, set map[string]any) []byte {
		f := obj{}
		for key, v := range set {
			f[key] = []any{obj{"id": "bench-1", "at": fmt.Sprintf("202%d-%02d-%02dT08:00:00Z", i%6, 1+i%12, 1+i%28), "by": "bench", "unit": "in", "v": v}}
		}
		b, err := json.Marshal(obj{"_id": fmt.Sprintf("%s:%06d", kind, i), "type": kind, "v": 1, "f": f})
		if err != nil {
			panic(err)
		}
		return b
	}
	out := make([][]byte, 0, n)
	for i := range n {
		switch {
		case i < 40:
			out = append(out, doc(i, "machine", obj{"name": "mill " + words(1), "kind": "mill"}))
		case i < 240:
			out = append(out, doc(i, "fixture", obj{"name": "angle plate " + words(1), "kind": "angle", "thick": fmt.Sprintf("%d/8", 1+r.IntN(30)), "holes#0001-a": obj{"name": "A1", "thread": "5/8-11", "why": words(2)}}))
		case i < 700:
			out = append(out, doc(i, "job", obj{"name": words(2), "words": words(12), "drawing": fmt.Sprintf("D-%d", i)}))
		case i < 2700:
			out = append(out, doc(i, "setup", obj{"name": words(3), "job": fmt.Sprintf("job:%06d", 240+r.IntN(460)), "machine": fmt.Sprintf("machine:%06d", r.IntN(40)), "fixture": fmt.Sprintf("fixture:%06d", 40+r.IntN(200)), "datum": words(4)}))
		case i%4 == 0:
			out = append(out, doc(i, "step", obj{"name": words(3), "setup": fmt.Sprintf("setup:%06d", 700+r.IntN(2000)), "notes": words(8)}))
		case i%17 == 0:
			out = append(out, doc(i, "feature", obj{"name": words(2), "kind": "hole", "nominal": fmt.Sprintf("%d.%03d", r.IntN(12), r.IntN(1000)), "thread": "3/8-16"}))
		default:
			out = append(out, doc(i, "reading", obj{"setup": fmt.Sprintf("setup:%06d", 700+r.IntN(2000)), "station": words(1), "value": fmt.Sprintf("%+d.5", r.IntN(20)-10), "x": fmt.Sprintf("%d.25", r.IntN(30))}))
		}
	}
	return out
}

var questions = []obj{
	{"query": "5/8-11"}, {"query": "8.25 in"}, {"query": "a"}, {"query": "angle plate", "kinds": []any{"setup"}}, {"query": "mill base f"},
	{"fixture": "fixture:000100"}, {"machine": "machine:000007", "from": "2023-01", "until": "2023-12"}, {"query": "203.2mm", "unit": "mm"}, {"query": "p f s"}, {},
	{"query": "why was that slot in the angle plate cut"}, {"query": "which left flagne was shimmed"},
}

func BenchmarkIndex(b *testing.B) {
	docs := shopRecords(20_000)
	for b.Loop() {
		x := jobbook.NewIndex()
		for _, doc := range docs {
			if err := x.Add(doc); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkAddOne(b *testing.B) {
	x := jobbook.NewIndex()
	docs := shopRecords(20_000)
	for _, doc := range docs {
		if err := x.Add(doc); err != nil {
			b.Fatal(err)
		}
	}
	for i := 0; b.Loop(); i++ {
		if err := x.Add(docs[i%len(docs)]); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFind asks a phone's book of 20,000 records. Goal: a phone at a
// quarter of a desk machine's speed has 100 ms.
func BenchmarkFind(b *testing.B) {
	d := &jobbook.Session{}
	for _, doc := range shopRecords(20_000) {
		d.Call("index", append(append([]byte(`{"docs":[`), doc...), "]}"...))
	}
	for _, q := range questions {
		text, err := json.Marshal(q)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(string(text), func(b *testing.B) {
			for b.Loop() {
				d.Call("find", text)
			}
		})
	}
}
