package jobbook_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/jobbook"
	"datumbook/calc/pages"
	"datumbook/calc/registry"
)

// question is one of testdata/questions: asked as people talk, ten of sixty misspelt, written by
// somebody who had seen neither the ranking nor these records' screens.
type question struct {
	Ask   string
	Want  []string // ids of records, any of them
	Place string   // the name of the row that answers
	Sheet string
}

func readQuestions(t *testing.T, name string, into any) bool {
	b, err := os.ReadFile(filepath.Join("testdata/questions", name))
	if os.IsNotExist(err) {
		return false
	}
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, into), name)
	return true
}

// sheetDocs are the pages as the phone indexes them (pwa/src/screen/search.tsx).
func sheetDocs(t *testing.T) []obj {
	b, err := os.ReadFile("../../pwa/src/text/trade.ts")
	require.NoError(t, err)
	trade := map[string]string{}
	for _, m := range regexp.MustCompile(`(?m)^  ([a-z]+): "(.*)",$`).FindAllStringSubmatch(string(b), -1) {
		trade[m[1]] = m[2]
	}
	edit := func(v string) []any { return []any{obj{"id": "-", "v": v}} }
	var out []obj
	for _, s := range registry.All() {
		page, _ := pages.Find(registry.All(), s.Name)
		require.NotEmpty(t, trade[s.Name], s.Name)
		out = append(out, obj{"_id": "sheet:" + s.Name, "type": "sheet",
			"f": obj{"name": edit(page.Title), "words": edit(trade[s.Name]), "asks": edit(s.Title + ". " + s.Question)}})
	}
	return out
}

// askedBook is a session with the records of book.json and the worksheets, and the rows' names.
func askedBook(t *testing.T) (*jobbook.Session, map[string]string) {
	var book []struct {
		ID, Kind string
		Set      obj
	}
	require.True(t, readQuestions(t, "book.json", &book))
	d, rowNames := &jobbook.Session{}, map[string]string{}
	var docs []obj
	for _, r := range book {
		doc := made(t, r.Kind, strings.TrimPrefix(r.ID, r.Kind+":"), r.Set)
		docs = append(docs, doc)
		for key, edits := range doc["f"].(obj) {
			if row, ok := edits.([]any)[0].(obj)["v"].(obj); ok && strings.Contains(key, "#") {
				name, _ := row["name"].(string)
				rowNames[r.ID+" "+strings.ReplaceAll(key, "#", ".")] = name
			}
		}
	}
	addTo(t, d, append(docs, sheetDocs(t)...)...)
	return d, rowNames
}

// TestQuestions prints how many questions get the right answer first, and how many among the first
// three, of those that the ranking was tuned by and, where they are there, of those that it was not.
func TestQuestions(t *testing.T) {
	d, rowNames := askedBook(t)
	for _, file := range []struct {
		name         string
		first, three int // of thirty: a floor, a little under what was measured
	}{{"seen.json", 27, 29}, {"unseen.json", 18, 22}} {
		var list []question
		if !readQuestions(t, file.name, &list) {
			continue
		}
		first, three, places, placed := 0, 0, 0, 0
		for _, q := range list {
			hits := callOn(t, d, "find", obj{"query": q.Ask})["hits"].([]any)
			at := slices.IndexFunc(hits, func(h any) bool {
				id := h.(obj)["id"].(string)
				return slices.Contains(q.Want, id) || q.Sheet != "" && id == "sheet:"+q.Sheet
			})
			if at == 0 {
				first++
			}
			if at >= 0 && at < 3 {
				three++
			}
			if q.Place != "" && at >= 0 {
				h := hits[at].(obj)
				place, _ := h["place"].(string)
				places++
				if rowNames[h["id"].(string)+" "+place] == q.Place {
					placed++
				} else {
					t.Logf("%q lights %s (%s), not %s", q.Ask, place, rowNames[h["id"].(string)+" "+place], q.Place)
				}
			}
			if at != 0 {
				var got []string
				for _, h := range hits[:min(5, len(hits))] {
					got = append(got, fmt.Sprint(h.(obj)["id"], " ", h.(obj)["score"], " ", h.(obj)["name"], h.(obj)["line"], h.(obj)["why"], "\n"))
				}
				t.Logf("%q wants %v%s: stands at %d; first are %v", q.Ask, q.Want, q.Sheet, at+1, got)
			}
		}
		t.Logf("%s: %d of %d right first, %d among the first three, %d of %d places", file.name, first, len(list), three, placed, places)
		assert.GreaterOrEqual(t, first*30, file.first*len(list), file.name)
		assert.GreaterOrEqual(t, three*30, file.three*len(list), file.name)
	}
}

// fillers are what one says without asking more; the last two stand nowhere.
var fillers = strings.Fields("please the that was it again really so and what about then there qqqqzz xyxyxy")

// TestFillers: neither idle words, nor words that stand nowhere, nor another order lose an answer.
func TestFillers(t *testing.T) {
	d, _ := askedBook(t)
	var list []question
	require.True(t, readQuestions(t, "seen.json", &list))
	rapid.Check(t, func(t *rapid.T) {
		q := rapid.SampledFrom(list).Draw(t, "question")
		words := strings.Fields(q.Ask)
		if !strings.ContainsAny(q.Ask, "0123456789") { // a number and its unit stay together
			words = rapid.Permutation(words).Draw(t, "order")
		}
		filler := rapid.SampledFrom(fillers)
		words = slices.Concat(rapid.SliceOfN(filler, 0, 4).Draw(t, "before"), words, rapid.SliceOfN(filler, 0, 4).Draw(t, "after"))
		got := find(t, d, obj{"query": strings.Join(words, " ")})
		want := slices.Clone(q.Want)
		if q.Sheet != "" {
			want = append(want, "sheet:"+q.Sheet)
		}
		at := slices.IndexFunc(got, func(id string) bool { return slices.Contains(want, id) })
		require.True(t, at >= 0 && at < 8, "%q: at %d of %v", strings.Join(words, " "), at, got[:min(8, len(got))])
	})
}

// TestNearSpelling: a rare word with one letter wrong, missing, too many or swapped still finds what
// has it.
func TestNearSpelling(t *testing.T) {
	var book []struct {
		ID  string
		Set json.RawMessage
	}
	require.True(t, readQuestions(t, "book.json", &book))
	in := map[string][]string{} // records by word
	for _, r := range book {
		said := regexp.MustCompile(`"[a-z]+": ?(true|false)?`).ReplaceAllString(string(r.Set), "")
		for _, w := range regexp.MustCompile(`[a-z]+`).FindAllString(strings.ToLower(said), -1) {
			if !slices.Contains(in[w], r.ID) {
				in[w] = append(in[w], r.ID)
			}
		}
	}
	for _, sheet := range sheetDocs(t) {
		said, err := json.Marshal(sheet)
		require.NoError(t, err)
		for _, w := range regexp.MustCompile(`[a-z]+`).FindAllString(strings.ToLower(string(said)), -1) {
			in[w] = append(in[w], strings.Repeat("sheet ", 4))
		}
	}
	words := slices.Collect(maps.Keys(in))
	for _, k := range jobbook.Kinds { // a choice is found by its label
		for _, f := range k.Fields {
			for _, f := range append(f.Columns, f) {
				words = append(words, regexp.MustCompile(`[a-z]+`).FindAllString(strings.ToLower(f.Label+" "+f.Key), -1)...)
				for _, o := range f.Options {
					delete(in, o.Key)
				}
			}
		}
	}
	var rare []string
	for w, ids := range in {
		if len(w) > 4 && len(ids) < 4 && !jobbook.IsIdle(w) && !strings.Contains(strings.Join(ids, " "), "sheet") {
			rare = append(rare, w)
		}
	}
	slices.Sort(rare)
	require.Greater(t, len(rare), 300)
	d, _ := askedBook(t)
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.SampledFrom(rare).Draw(t, "word")
		at := rapid.IntRange(1, len(w)-2).Draw(t, "at")
		letter := string(rune('a' + rapid.IntRange(0, 25).Draw(t, "letter")))
		typed := rapid.SampledFrom([]string{
			w[:at] + w[at+1:], w[:at] + letter + w[at:], w[:at] + letter + w[at+1:],
			w[:at] + w[at+1:at+2] + w[at:at+1] + w[at+2:],
		}).Draw(t, "typed")
		if jobbook.IsIdle(typed) || jobbook.HasSynonyms(typed) || slices.ContainsFunc(words, func(known string) bool {
			return strings.HasPrefix(known, typed) || jobbook.Stem(known) == jobbook.Stem(typed)
		}) {
			t.Skip("it is another word")
		}
		got := find(t, d, obj{"query": typed})
		require.True(t, slices.ContainsFunc(in[w], func(id string) bool { return slices.Contains(got, id) }),
			"%s for %s: %v, wanted one of %v", typed, w, got, in[w])
	})
}

func TestMisspelt(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"slot", "slot", 0}, {"slto", "slot", 1}, {"plat", "plate", 1}, {"platte", "plate", 1}, {"vise", "vice", 1},
		{"guage", "gauge", 1}, {"trunnoin", "trunion", 2}, {"bracket", "braket", 1}} {
		assert.Equal(t, c.want, jobbook.Misspelt(c.a, c.b, 2), c.a)
		assert.Equal(t, c.want, jobbook.Misspelt(c.b, c.a, 2), c.b)
	}
	assert.Greater(t, jobbook.Misspelt("slot", "plate", 2), 2)
	assert.Greater(t, jobbook.Misspelt("slot", "shot", 0), 0)
	long := strings.Repeat("x", 100)
	assert.Greater(t, jobbook.Misspelt(long, long[1:], 2), 2, "such words are not compared")
}

func TestStem(t *testing.T) {
	for _, group := range []string{"slot slots slotted slotting", "bore bores bored boring", "assembly assemblies", "tap taps tapped tapping tap's",
		"box boxes", "face faces faced facing", "drill drills drilled drilling", "strap straps strapped", "plane planed planing"} {
		words := strings.Fields(group)
		for _, w := range words {
			assert.Equal(t, jobbook.Stem(words[0]), jobbook.Stem(w), w)
		}
	}
	for _, pair := range []string{"tap taper", "bore bolt", "speed spring", "axis ax", "feed fee", "8-32 8-3", "ring r"} {
		one, two, _ := strings.Cut(pair, " ")
		assert.NotEqual(t, jobbook.Stem(one), jobbook.Stem(two), pair)
	}
}

func TestFractions(t *testing.T) {
	for said, want := range map[string]string{
		"half inch reamer": "1/2 reamer", "a half-inch bolt": "a 1/2 bolt", "three eighths drill": "3/8 drill",
		"five-sixteenths of an inch": "5/16", "a quarter of an inch deep": "a 1/4 deep", "half the speed": "half the speed",
		"one thing": "one thing", "seven eighths": "7/8", "half a thou": "half a thou", "fifteen sixteenths wide": "15/16 wide",
		"half": "half", "three": "three", "quarter inch": "1/4", "t-slot": "t-slot", "one-two": "one two",
	} {
		assert.Equal(t, want, strings.Join(jobbook.Fractions(strings.Fields(said), "in"), " "), said)
	}
	assert.Equal(t, []string{"1/2", "in", "pin"}, jobbook.Fractions([]string{"half", "inch", "pin"}, "mm"))
}

// FuzzFind asks anything at all: what is marked is the text, whole letters in each part.
func FuzzFind(f *testing.F) {
	for _, q := range []string{"why was that slot cut", "5/8-11", "four & a half", "“lid’s”", "1/2 in", "\x1f\x1d", "ö-ö", "a-", "half-", "m12x1.75", "''s"} {
		f.Add(q, "in")
		f.Add(q, "mm")
	}
	d := &jobbook.Session{}
	addTo(f, d, obj{"_id": "note:1", "type": "note", "f": obj{"text": []any{obj{"id": "a-1", "v": "Größe 5/8-11 “lid’s”\x1f\x1d slot; " + strings.Repeat("lang ", 60) + "ö-ö 1/2 in"}}}},
		obj{"_id": "fixture:1", "type": "fixture", "f": obj{"name": []any{obj{"id": "a-1", "v": "Plate ö"}}, "holes#0001-a": []any{obj{"id": "a-2", "at": "x", "v": obj{
			"name": "H1", "x": "1/2", "through": true, "why": "lid’s M12", "odd": []any{"slot", 7, nil}, "thread": "5/8-11"}}}}})
	f.Fuzz(func(t *testing.T, query, unit string) {
		if !utf8.ValidString(query) || len(query) > 400 {
			t.Skip()
		}
		for _, h := range callOn(t, d, "find", obj{"query": query, "unit": unit})["hits"].([]any) {
			for _, key := range []string{"name", "line", "why"} {
				list, _ := h.(obj)[key].([]any)
				whole := ""
				for _, part := range list {
					whole += part.(string)
					require.True(t, utf8.ValidString(part.(string)) && !strings.Contains(part.(string), "\ufffd"), "%s %q", key, list)
				}
				if key == "name" && len(list) > 0 {
					require.Equal(t, h.(obj)["title"], whole)
				}
			}
		}
	})
}
