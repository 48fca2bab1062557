package jobbook_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/jobbook"
	"datumbook/calc/registry"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// TestConverge: three phones edit and exchange in any order; when all have
// merged with all, all hold the same bytes and every value ever typed.
func TestConverge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := made(t, "fixture", "1", obj{"name": "plate", "kind": "angle"})
		phones := []obj{start, start, start}
		typed := map[string]bool{"plate": true}
		for i := range rapid.IntRange(1, 12).Draw(t, "steps") {
			p := rapid.IntRange(0, 2).Draw(t, "phone")
			if rapid.IntRange(0, 2).Draw(t, "do") == 0 {
				from := rapid.IntRange(0, 2).Draw(t, "from")
				phones[p] = call(t, "merge", obj{"docs": []any{phones[p], phones[from]}})["doc"].(obj)
				continue
			}
			value := fmt.Sprintf("v%d", i)
			typed[value] = true
			field := rapid.SampledFrom([]string{"name", "notes", "tag"}).Draw(t, "field")
			before := view(t, phones[p])
			phones[p] = edited(t, phones[p], fmt.Sprintf("phone%d", p), rapid.SampledFrom([]string{"2020-01-01", "2030-01-01"}).Draw(t, "clock"), obj{field: value})
			after := view(t, phones[p])
			require.Equal(t, value, after["values"].(obj)[field], "what is typed is shown")
			if c, ok := after["clashes"].([]any); ok {
				require.NotContains(t, c, field, "and settles the field (before: %v)", before["clashes"])
			}
		}
		order := rand.Perm(3)
		all := call(t, "merge", obj{"docs": []any{phones[order[0]], phones[order[1]], phones[order[2]]}})["doc"]
		for i := range phones {
			mine := call(t, "merge", obj{"docs": []any{phones[i], phones[(i+1)%3], phones[(i+2)%3]}})["doc"]
			require.Equal(t, all, mine)
		}
		seen := map[string]bool{}
		for _, h := range call(t, "history", obj{"doc": all})["history"].([]any) {
			if s, ok := h.(obj)["v"].(string); ok {
				seen[s] = true
			}
		}
		for v := range typed {
			require.True(t, seen[v], "%s is still in the history", v)
		}
	})
}

// world is a small shop with one step in it.
func world(t require.TestingT) []obj {
	return []obj{
		made(t, "material", "iron", obj{"name": "grey iron", "metal": "iron"}),
		made(t, "machine", "m", obj{"name": "mill", "kind": "turret", "tablelong": "50", "throat": "24", "daylight": "18", "motor": "3", "speeds": []any{"80", "135", "210"}, "feeds": []any{"1", "2.5"},
			"axes": []any{obj{"axis": "x", "travel": "30", "turn": ".200", "division": ".001"}, obj{"axis": "y", "travel": "12", "turn": ".200"}, obj{"axis": "z", "travel": "16"}, obj{"axis": "w", "travel": "5"}, obj{"axis": "ram", "travel": "18"}}}),
		made(t, "fixture", "f", obj{"name": "plate", "kind": "angle", "thick": "1-3/4"}),
		made(t, "tool", "t", obj{"name": "face mill", "kind": "facemill", "diameter": "4", "teeth": "6", "made": "insert", "stickout": "3", "lead": "plug"}),
		made(t, "gauge", "g", obj{"name": "indicator", "kind": "lever", "graduation": ".0005", "tip": ".080"}),
		made(t, "set", "shims", obj{"name": "shims", "kind": "shims", "sizes": []any{".001", ".0015", ".05mm"}}),
		made(t, "set", "blocks", obj{"name": "blocks", "kind": "blocks", "sizes": []any{".1001", ".100"}}),
		made(t, "job", "j", obj{"name": "job"}),
		made(t, "part", "p", obj{"name": "part", "job": "job:j", "material": "material:iron", "weight": "120", "high": "9", "long": "14", "wide": "6"}),
		made(t, "feature", "x", obj{"name": "hole", "part": "part:p", "kind": "hole", "x": "1", "y": "2",
			"bolt": "5/8-11", "nominal": "4.000", "plus": ".002", "minus": "-.001", "long": "13", "wide": "5", "depth": "1"}),
		made(t, "setup", "s", obj{"name": "base up", "job": "job:j", "part": "part:p", "machine": "machine:m",
			"fixture": "fixture:f", "indicator": "gauge:g", "downside": "-z", "wanted": ".001", "parttemp": "68"}),
		made(t, "step", "1", obj{"name": "step", "setup": "setup:s", "feature": "feature:x", "tool": "tool:t", "spin": "135", "feed": "2.5"}),
		made(t, "reading", "1", obj{"setup": "setup:s", "step": "step:1", "station": "left", "x": "1", "y": "2", "value": "+1", "kind": "before"}),
		made(t, "reading", "2", obj{"setup": "setup:s", "step": "step:1", "station": "right", "x": "13", "y": "2", "value": "-2.5", "kind": "before", "unsure": ".5"}),
	}
}

func anys(docs []obj) []any {
	out := make([]any, len(docs))
	for i := range docs {
		out[i] = docs[i]
	}
	return out
}

// TestPrefill: prefilled inputs are valid for the worksheet.
func TestPrefill(t *testing.T) {
	shop := world(t)
	docs := anys(shop)
	filled := 0
	for _, s := range registry.All() {
		out := asked(t, "prefill", obj{"worksheet": s.Name, "step": "step:1"}, shop)
		for key, text := range out["inputs"].(obj) {
			in, ok := s.Input(key)
			require.True(t, ok, "%s has no input %s", s.Name, key)
			assert.Contains(t, out["from"].(obj)[key], "label")
			filled++
			pairs := []worksheet.Pair{{Key: key, Text: text.(string)}}
			for _, p := range s.Example {
				if p.Key != key {
					pairs = append(pairs, p)
				}
			}
			if f := worksheet.Run(s, units.MetricSystem, pairs).Fault; f != nil {
				assert.NotEqual(t, key, f.Field, "%s.%s (%s) %q: %s", s.Name, key, in.Kind, text, f.Message)
			}
		}
	}
	assert.Greater(t, filled, 50)

	hole := call(t, "prefill", obj{"worksheet": "hole", "step": "step:1", "docs": docs})["inputs"].(obj)
	assert.Equal(t, obj{"thread": "5/8-11", "stock": "1-3/4 in", "tap": "plug"}, hole,
		"a hole for the part's bolt goes into the plate: neither the part's metal nor its depth are those of the hole")
	assert.Equal(t, "4.000 in-.001 in", call(t, "prefill", obj{"worksheet": "accept", "step": "step:1", "docs": docs})["inputs"].(obj)["low"])
	tram := call(t, "prefill", obj{"worksheet": "tram", "setup": "setup:s", "docs": docs})["inputs"].(obj)
	assert.Equal(t, "1 in, +1 thou; 13 in, -2.5 thou", tram["readings"])
	assert.Equal(t, ".0005 in", tram["grad"])

	short := call(t, "prefill", obj{"worksheet": "hole", "step": "step:1", "docs": docs[11:12]})
	assert.ElementsMatch(t, []any{"setup:s", "feature:x", "tool:t"}, short["missing"], "what to bring for a fuller answer")
}

// TestPrefillFromPart: a worksheet can be opened from a feature or a part, and
// is told what to bring for a fuller answer.
func TestPrefillFromPart(t *testing.T) {
	docs := anys(world(t))
	match := asked(t, "prefill", obj{"worksheet": "match", "feature": "feature:x"}, world(t))
	assert.Equal(t, obj{"name": "part", "part": "hole, 1 in, 2 in, 5/8-11, 4.000 in"}, match["inputs"])
	assert.Equal(t, obj{"job": "job:j", "feature": "feature:x"}, match["links"])
	assert.Equal(t, "job", match["job"])
	weigh := call(t, "prefill", obj{"worksheet": "hold", "part": "part:p", "docs": docs})["inputs"].(obj)
	assert.Equal(t, "120 lb", weigh["weight"])
	assert.Equal(t, []any{"part:q"}, call(t, "prefill", obj{"worksheet": "match", "part": "part:q", "docs": docs})["missing"])
	tap := call(t, "prefill", obj{"worksheet": "tapin", "setup": "setup:s", "docs": docs})["inputs"]
	assert.Equal(t, obj{"allow": ".001 in", "grad": ".0005 in"}, tap)
}

// TestRoundsStandApart: what was read while tapping in is no reading of a
// station, neither for a worksheet, nor held against last time, nor expected
// the next time.
func TestRoundsStandApart(t *testing.T) {
	docs := append(world(t), made(t, "reading", "3", obj{"setup": "setup:s", "station": "a", "x": "7", "y": "2", "value": "+6", "kind": "tap", "round": "1"}))
	tram := call(t, "prefill", obj{"worksheet": "tram", "setup": "setup:s", "docs": anys(docs)})["inputs"].(obj)
	assert.Equal(t, "1 in, +1 thou; 13 in, -2.5 thou", tram["readings"])
	held := call(t, "readings", obj{"setup": docs[10], "docs": anys(docs[12:]), "unit": "in"})
	assert.Len(t, held["rows"], 2)
	again := call(t, "repeat", obj{"setup": docs[10], "docs": anys(docs[11:]), "ms": 1, "chance": "00000000000000000000", "device": "a", "unit": "in"})
	assert.Len(t, rows(t, again["docs"].([]any)[0].(obj), "expected"), 2)
}

// TestLongInputs: the holes of a whole shop are one input of a kept worksheet.
func TestLongInputs(t *testing.T) {
	kept := func(n int) obj {
		return call(t, "new", obj{"type": "kept", "id": "kept:1", "device": "a", "unit": "in", "set": obj{"worksheet": "match", "inputs": obj{"places": strings.Repeat("x", n)}}})
	}
	assert.Contains(t, kept(1_200_000), "doc")
	assert.Contains(t, kept(1_200_001), "faults")
}

// TestEveryRuleHasAWorksheet: else a renamed input would silently not be filled.
func TestEveryRuleHasAWorksheet(t *testing.T) {
	for _, r := range jobbook.Rules() {
		s, ok := registry.Find(r[0])
		if assert.True(t, ok, r[0]) {
			in, ok := s.Input(r[1])
			if assert.True(t, ok, "%s has no input %s", r[0], r[1]) && r[2] != "" {
				found := false
				for _, o := range in.Options {
					found = found || o.Key == r[2]
				}
				assert.True(t, found, "%s.%s has no choice %s", r[0], r[1], r[2])
			}
		}
	}
}

func TestRepeat(t *testing.T) {
	docs := world(t)
	setup := edited(t, docs[10], "a", "2026-03-10T08:00:00Z", obj{"state": "done", "when": "2026-03-10", "wrong": "bolt too short", "shims": []any{obj{"place": "left", "thick": ".003"}}})
	done := edited(t, docs[11], "a", "2026-03-10T08:00:00Z", obj{"done": true, "who": "JB", "took": "4.2 min"})
	list := append(anys(docs), done)
	out := call(t, "repeat", obj{"setup": setup, "docs": append([]any{done}, anys(docs[12:])...), "job": "job:new", "part": "part:new", "ms": 1_772_000_000_000, "chance": strings.Repeat("0", 20), "device": "b", "at": "2026-05-01T08:00:00Z", "unit": "mm"})
	require.Contains(t, out, "docs", "%v", out)
	made := out["docs"].([]any)
	require.Len(t, made, 2)
	v := view(t, made[0].(obj))["values"].(obj)
	assert.Equal(t, "setup:s", v["repeats"])
	assert.Equal(t, "job:new", v["job"])
	assert.Equal(t, "planned", v["state"])
	assert.NotContains(t, v, "when")
	assert.NotContains(t, v, "wrong")
	assert.Equal(t, ".003", v["shims"].([]any)[0].(obj)["thick"])
	assert.Equal(t, "in", v["shims"].([]any)[0].(obj)["unit"], "typed in inches it stays inches")
	expected := v["expected"].([]any)
	require.Len(t, expected, 2)
	assert.Equal(t, "-2.5 thou", expected[1].(obj)["value"])
	step := made[1].(obj)
	assert.Equal(t, made[0].(obj)["_id"], view(t, step)["values"].(obj)["setup"])
	assert.NotContains(t, view(t, step)["values"], "done", "the tick is of the last time")
	assert.NotContains(t, view(t, step)["values"], "took", "and so is what a pass took")
	assert.Less(t, made[0].(obj)["_id"].(string)[6:], step["_id"].(string)[5:])
	for _, m := range made {
		assert.Empty(t, call(t, "check", obj{"doc": m})["faults"])
	}

	// And the new readings against them, station by station.
	id := made[0].(obj)["_id"]
	now := func(n, station, value string) obj {
		return call(t, "new", obj{"type": "reading", "id": "reading:n" + n, "device": "b", "unit": "mm", "set": obj{"setup": id, "station": station, "value": value, "kind": "before", "unsure": "1 thou"}})["doc"].(obj)
	}
	compared := call(t, "readings", obj{"setup": made[0], "docs": []any{now("1", "left", "1.5 thou"), now("2", "middle", "0"), now("3", "right", "0")}, "unit": "in"})
	rows := compared["rows"].([]any)
	require.Len(t, rows, 3)
	assert.Equal(t, obj{"station": "left", "kind": "before", "expected": "+1 thou", "found": "1.5 thou", "difference": "+0.5 thou"}, rows[0])
	assert.Equal(t, obj{"station": "right", "kind": "before", "expected": "-2.5 thou", "found": "0 um", "difference": "+2.5 thou", "beyond": true}, rows[1])
	assert.Equal(t, obj{"station": "middle", "kind": "before", "found": "0 um"}, rows[2])
	assert.Equal(t, 1.0, compared["beyond"])
	tight := call(t, "readings", obj{"setup": made[0], "docs": []any{now("1", "left", "1.5 thou")}, "unit": "mm", "limit": "0.01"})
	assert.Equal(t, "+12.7 um", tight["rows"].([]any)[0].(obj)["difference"])
	assert.Equal(t, 1.0, tight["beyond"])
	assert.Contains(t, call(t, "readings", obj{"setup": made[0], "docs": []any{}, "limit": "thin"})["error"].(obj)["message"], "Limit: 'thin'")
	assert.Contains(t, call(t, "repeat", obj{"setup": docs[0], "docs": list})["error"].(obj)["message"], "not a setup")
}

// TestRepeatJob: a whole job again is a job of its own: nothing in it names what is in the old one,
// but what it repeats.
func TestRepeatJob(t *testing.T) {
	docs := world(t)
	docs[7] = edited(t, docs[7], "a", "2026-03-10T08:00:00Z", obj{"state": "done", "due": "2026-03-09", "words": "bore it square", "quantity": "2"})
	docs[10] = edited(t, docs[10], "a", "2026-03-10T08:00:00Z", obj{"state": "done", "when": "2026-03-10", "seat": "feature:x"})
	docs[11] = edited(t, docs[11], "a", "2026-03-10T08:00:00Z", obj{"done": true, "who": "JB"})
	gone := edited(t, made(t, "step", "2", obj{"name": "gone", "setup": "setup:s"}), "a", "2026-03-10T08:00:00Z", obj{"gone": true})
	docs = append(docs, gone, made(t, "feature", "y", obj{"name": "foot", "part": "part:p", "kind": "face", "to": "feature:x"}),
		made(t, "setup", "other", obj{"name": "of another job", "job": "job:other"}),
		made(t, "setup", "t", obj{"name": "turned over", "order": "2", "job": "job:j", "part": "part:p"}))
	ask := obj{"job": docs[7], "name": "job, 2 more", "docs": anys(docs), "ms": 1_772_000_000_000, "chance": strings.Repeat("0", 20), "device": "b", "at": "2026-05-01T08:00:00Z", "unit": "mm"}
	out := call(t, "repeat", ask)
	require.Contains(t, out, "docs", "%v", out)
	of, ids := map[string]obj{}, map[string]bool{}
	for _, m := range out["docs"].([]any) {
		assert.Empty(t, call(t, "check", obj{"doc": m})["faults"])
		v := view(t, m.(obj))["values"].(obj)
		v["id"] = m.(obj)["_id"]
		of[v["name"].(string)] = v
		ids[v["id"].(string)] = true
	}
	require.Len(t, of, 7, "job, part, two features, two setups, one step: %v", of)
	require.Len(t, ids, 7, "an id each")
	job, part, hole, foot, setup, step := of["job, 2 more"], of["part"], of["hole"], of["foot"], of["base up"], of["step"]
	assert.Equal(t, obj{"id": job["id"], "name": "job, 2 more", "repeats": "job:j", "state": "planned", "words": "bore it square", "quantity": "2"}, job)
	assert.Equal(t, job["id"], part["job"])
	assert.Equal(t, "120", part["weight"])
	assert.Equal(t, part["id"], hole["part"])
	assert.Equal(t, hole["id"], foot["to"], "a link within the part stays within it")
	assert.Equal(t, []any{job["id"], part["id"], hole["id"], "machine:m", "setup:s", "planned"},
		[]any{setup["job"], setup["part"], setup["seat"], setup["machine"], setup["repeats"], setup["state"]})
	assert.Len(t, setup["expected"], 2, "readings become expected")
	assert.NotContains(t, setup, "when")
	assert.Equal(t, "setup:t", of["turned over"]["repeats"])
	assert.NotContains(t, of["turned over"], "expected")
	assert.Equal(t, []any{setup["id"], hole["id"], "tool:t"}, []any{step["setup"], step["feature"], step["tool"]})
	assert.NotContains(t, step, "done")

	delete(ask, "name")
	again := call(t, "repeat", ask)["docs"].([]any)
	assert.Equal(t, "job", view(t, again[0].(obj))["values"].(obj)["name"], "without a name, the old one's")
	ask["ms"] = 1 << 48
	assert.Contains(t, call(t, "repeat", ask)["error"].(obj)["message"], "clock")
	ask["job"] = docs[0]
	assert.Contains(t, call(t, "repeat", ask)["error"].(obj)["message"], "not a job")
}

func TestFound(t *testing.T) {
	answer, failed, _ := registry.Run("hole", "in", []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "depth", Text: "3/4"}, {Key: "stock", Text: "1.75"}})
	require.False(t, failed)
	var result obj
	require.NoError(t, json.Unmarshal(answer, &result))
	told := func(key string) float64 { // as it stands on the dial
		x, err := strconv.ParseFloat(strings.TrimSuffix(result["results"].(obj)[key].(obj)["shown"].(string), " in"), 64)
		require.NoError(t, err)
		return x
	}
	tip := told("tip")
	doc := made(t, "kept", "1", obj{"worksheet": "hole", "unit": "in", "inputs": obj{"thread": "5/8-11", "depth": "3/4", "stock": "1.75"}, "answer": result, "state": "planned",
		"found": []any{obj{"what": "tip", "value": fmt.Sprintf("%.4f", tip+.004)}, obj{"what": "drill", "value": "17/32"}, obj{"what": "full", "value": "20mm"}, obj{"what": "none", "value": "7"}}})
	rows := call(t, "found", obj{"doc": doc})["rows"].([]any)
	require.Len(t, rows, 4)
	assert.Equal(t, "+0.004", rows[0].(obj)["difference"])
	assert.Equal(t, "in", rows[0].(obj)["unit"])
	assert.NotContains(t, rows[1], "difference", "a drill's name is no number")
	d, _ := units.Round(20/25.4-told("full"), 4)
	assert.Equal(t, d.Trim(), strings.TrimPrefix(rows[2].(obj)["difference"].(string), "+"))
	assert.NotContains(t, rows[3], "planned")
}

func TestCSV(t *testing.T) {
	docs := world(t)
	docs = append(docs, made(t, "feature", "y", obj{"name": "=1+1", "kind": "slot", "part": "part:p", "notes": "a \"b\",\nc", "minus": "-.5", "face": "-x|y"}))
	out := call(t, "csv", obj{"kind": "feature", "docs": anys(docs)})
	assert.Equal(t, "feature.csv", out["name"])
	assert.True(t, strings.HasPrefix(out["csv"].(string), "\ufeff"), "the mark by which spreadsheets know UTF-8")
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(out["csv"].(string), "\ufeff"))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	at := map[string]int{}
	for i, h := range rows[0] {
		at[h] = i
	}
	assert.Equal(t, "part", rows[1][at["Part"]], "a link by its name")
	assert.Equal(t, "4.000 in", rows[1][at["Size"]])
	assert.Equal(t, "-.001 in", rows[1][at["Tolerance below"]], "a signed number stays one")
	assert.Equal(t, "'=1+1", rows[2][at["Feature"]], "nothing a spreadsheet would run")
	assert.Equal(t, "'-x|y", rows[2][at["On face"]])
	assert.Equal(t, "a \"b\",\nc", rows[2][at["Notes"]])

	out = call(t, "csv", obj{"kind": "machine", "table": "axes", "docs": anys(docs)})
	rows, err = csv.NewReader(strings.NewReader(strings.TrimPrefix(out["csv"].(string), "\ufeff"))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 6)
	assert.Equal(t, []string{"Id", "Machine", "Row", "Axis", "Travel", "One division", "One turn", "Backlash", "Known error"}, rows[0])
	assert.Equal(t, []string{"machine:m", "mill", "0001-bench", "X, long", "30 in", ".001 in", ".200 in", "", ""}, rows[1])
	for _, k := range jobbook.Kinds {
		out := call(t, "csv", obj{"kind": k.Key, "docs": anys(docs)})
		_, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(out["csv"].(string), "\ufeff"))).ReadAll()
		require.NoError(t, err, k.Key)
	}
}

func TestBelongs(t *testing.T) {
	docs := world(t)
	other := made(t, "job", "other", obj{"name": "other"})
	otherSetup := made(t, "setup", "other", obj{"name": "other", "job": "job:other", "fixture": "fixture:f"})
	photo := made(t, "photo", "1", obj{"name": "the plate", "about": "fixture:f", "image": "image"})
	ids := call(t, "belongs", obj{"job": "job:j", "docs": append(anys(docs), other, otherSetup, photo)})["ids"]
	assert.ElementsMatch(t, []any{"feature:x", "fixture:f", "gauge:g", "job:j", "machine:m", "material:iron", "part:p", "photo:1", "reading:1", "reading:2", "setup:s", "step:1", "tool:t"}, ids)
}

func TestPurge(t *testing.T) {
	note := made(t, "note", "1", obj{"text": "x"})
	gone := edited(t, note, "a", "2026-03-01T08:00:00Z", obj{"gone": true})
	back := edited(t, note, "b", "2026-03-02T08:00:00Z", obj{"gone": false})
	both := call(t, "merge", obj{"docs": []any{gone, back}})["doc"]
	ask := func(now string, doc any) any { return call(t, "purge", obj{"docs": []any{doc}, "now": now})["ids"] }
	assert.Empty(t, ask("2026-03-31T08:00:00Z", gone), "thirty days are not over")
	assert.Equal(t, []any{"note:1"}, ask("2026-03-31T08:00:01Z", gone))
	assert.Empty(t, ask("2027-03-31T08:00:01Z", both), "somebody changed his mind")
	assert.Empty(t, ask("2027-03-31T08:00:01Z", note))
	assert.Contains(t, call(t, "purge", obj{"docs": []any{}})["error"].(obj)["message"], "time now")
}

// TestBadCalls: malformed calls get an error message.
func TestBadCalls(t *testing.T) {
	for op, in := range map[string]string{"view": `{}`, "merge": `{"docs":[]}`, "edit": `{"doc":{}}`, "new": `{"type":"crane"}`, "check": `{"doc":7}`, "index": `[]`, "nothing": `{}`,
		"find": `{"query":"` + strings.Repeat("x", 500) + `"}`, "csv": `{"kind":"x"}`,
		"take": `{"mine":[]}`, "write": `{"docs":[]}`, "feed": `{}`, "export": `{}`, "invention": `{}`,
		"repeat": `{`, "history": ``, "belongs": `{"docs":5}`} {
		var out obj
		require.NoError(t, json.Unmarshal(new(jobbook.Session).Call(op, []byte(in)), &out), op)
		require.Contains(t, out, "error", op)
		message := out["error"].(obj)["message"].(string)
		assert.Regexp(t, `^[A-Z'].*\.$`, message, op)
	}
	got := call(t, "merge", obj{"docs": []any{obj{"_id": "a:1"}, obj{"_id": "a:2"}}})
	assert.Contains(t, got["error"].(obj)["message"], "different things")
	file := func(digest string) obj {
		return obj{"_id": "photo:1", "type": "photo", "_attachments": obj{"image": obj{"digest": digest, "stub": true}}}
	}
	assert.Contains(t, call(t, "merge", obj{"docs": []any{file("a"), file("b")}})["error"].(obj)["message"], "Two different files")
	same := call(t, "merge", obj{"docs": []any{file("a"), file("a")}})
	assert.Contains(t, same["doc"].(obj)["_attachments"], "image", "a picture stays with its record")
}
