package jobbook_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// shown is what a screen shows of a record: its values, and the edits they are from.
func shown(t require.TestingT, doc obj) (values, heads obj) {
	v := view(t, doc)
	heads, _ = v["heads"].(obj)
	if heads == nil {
		heads = obj{}
	}
	return v["values"].(obj), heads
}

// saved changes a record as a form does that showed the edits given.
func saved(t require.TestingT, doc obj, device string, set, seen obj) obj {
	out := call(t, "edit", obj{"doc": doc, "set": set, "device": device, "by": device, "unit": "in",
		"at": "2026-03-10T08:00:00Z", "seen": seen})
	require.Contains(t, out, "doc", "%v", out)
	return out["doc"].(obj)
}

// clashIn lists the values of a field that clash, or nil.
func clashIn(t require.TestingT, doc obj, field string) (out []any) {
	for _, c := range call(t, "clashes", obj{"doc": doc})["clashes"].([]any) {
		if c.(obj)["field"] == field {
			for _, v := range c.(obj)["values"].([]any) {
				out = append(out, v.(obj)["v"])
			}
		}
	}
	return out
}

// TestHands: each of several values has the hand that first wrote it, whoever wrote the same, and its
// lengths; those of the record stand beside them.
func TestHands(t *testing.T) {
	row := func(depth string) obj { return obj{"name": "A2", "thread": "1/2-13", "depth": depth} }
	doc := made(t, "fixture", "1", obj{"name": "plate", "kind": "angle", "thick": "1-1/4", "holes": []any{row("1")}})
	_, open := shown(t, doc)
	key := ""
	for field := range open {
		if strings.HasPrefix(field, "holes#") {
			key = field
		}
	}
	one := saved(t, doc, "a", obj{key: row("1.03")}, open)
	two := saved(t, one, "b", obj{key: row("1.30")}, open)
	three := saved(t, two, "c", obj{key: row("1.03")}, open)
	clash := call(t, "clashes", obj{"doc": three})["clashes"].([]any)[0].(obj)
	assert.Equal(t, "1.25", clash["of"].(obj)["thick"])
	require.Len(t, clash["values"], 2)
	hands := func(c obj) map[any]string {
		out := map[any]string{}
		for _, v := range c["values"].([]any) {
			side := v.(obj)
			in := side["in"].(obj)
			assert.Equal(t, side["v"].(obj)["depth"], map[any]string{"1.03": "1.03", "1.3": "1.30"}[in["depth"]])
			assert.Equal(t, []any{"0.5", "0.076923"}, []any{in["thread"], in["threadpitch"]})
			out[in["depth"]] = fmt.Sprint(side["by"], side["wrote"], side["also"])
		}
		return out
	}
	told := map[any]string{"1.03": "aa-1[c]", "1.3": "bb-1[]"}
	assert.Equal(t, told, hands(clash))

	// One is chosen, and the choice is taken back by choosing the other as well.
	seen := obj{key: clash["seen"]}
	back := saved(t, saved(t, three, "d", obj{key: row("1.03")}, seen), "d", obj{key: row("1.30")}, seen)
	assert.Equal(t, told, hands(call(t, "clashes", obj{"doc": back})["clashes"].([]any)[0].(obj)), "whoever chose wrote neither")
}

// TestSeen: an edit covers what its form showed, and nothing that came meanwhile.
func TestSeen(t *testing.T) {
	doc := made(t, "fixture", "1", obj{"name": "plate", "kind": "angle", "thick": "1-3/4"})
	_, open := shown(t, doc)
	current := obj{"kind": "bench-1", "name": "bench-2", "thick": "bench-3"}
	assert.Equal(t, current, open, "a view carries the current edits")

	theirs := saved(t, doc, "b", obj{"thick": "1.748"}, open)
	mine := saved(t, theirs, "a", obj{"thick": "1.75"}, open)
	assert.ElementsMatch(t, []any{"1.748", "1.75"}, clashIn(t, mine, "thick"))
	assert.Equal(t, []any{"thick"}, view(t, mine)["clashes"])
	_, now := shown(t, mine)
	assert.Equal(t, []any{"a-1", "b-1"}, now["thick"])

	chosen := saved(t, mine, "a", obj{"thick": "1.748"}, obj{"thick": now["thick"]})
	assert.Nil(t, clashIn(t, chosen, "thick"), "a choice covers the values it showed")
	third := saved(t, mine, "c", obj{"thick": "1.8"}, now)
	late := saved(t, third, "a", obj{"thick": "1.748"}, obj{"thick": now["thick"]})
	assert.ElementsMatch(t, []any{"1.8", "1.748"}, clashIn(t, late, "thick"), "and no third that came meanwhile")

	same := saved(t, theirs, "a", obj{"thick": "1-3/4"}, open)
	assert.Equal(t, theirs["f"], same["f"], "what a form did not change covers nothing")
	assert.Equal(t, theirs["f"], saved(t, theirs, "a", obj{"thick": "1.748"}, open)["f"], "nor what says the same")
	cleared := saved(t, theirs, "a", obj{"thick": nil}, open)
	assert.ElementsMatch(t, []any{"1.748", nil}, clashIn(t, cleared, "thick"), "a clearing is an entry")
	fresh := saved(t, saved(t, doc, "b", obj{"tag": "A"}, open), "a", obj{"tag": "B"}, open)
	assert.ElementsMatch(t, []any{"A", "B"}, clashIn(t, fresh, "tag"), "of an empty field too")
	newest := edited(t, theirs, "a", "", obj{"thick": "1.9"})
	assert.Nil(t, clashIn(t, newest, "thick"), "without seen it covers the newest")
	strange := saved(t, theirs, "a", obj{"thick": "1.9"}, obj{"thick": []any{"x-1", 5, "b-1"}})
	assert.Nil(t, clashIn(t, strange, "thick"), "ids that are not there are left out")
}

// TestSeenRows: of a table given as a whole, rows that came meanwhile stay, and only rows that were
// changed are entries.
func TestSeenRows(t *testing.T) {
	hole := func(name, dia string) obj { return obj{"name": name, "kind": "dowel", "dia": dia} }
	doc := made(t, "fixture", "1", obj{"name": "plate", "kind": "angle", "holes": []any{hole("A", ".5"), hole("B", ".5")}})
	values, open := shown(t, doc)
	list := values["holes"].([]any)
	theirs := saved(t, doc, "b", obj{"holes": append(slices.Clone(list), hole("C", ".375"))}, open)
	first := list[0].(obj)["row"].(string)
	theirs = saved(t, theirs, "b", obj{"holes#" + first: hole("A", ".501")}, open)

	second := obj{"row": list[1].(obj)["row"], "name": "B", "kind": "dowel", "dia": ".502"}
	mine := saved(t, theirs, "a", obj{"holes": []any{list[0], second, hole("D", ".25")}}, open)
	assert.Nil(t, view(t, mine)["clashes"], "different rows do not clash")
	got := obj{}
	for _, r := range rows(t, mine, "holes") {
		got[r.(obj)["name"].(string)] = r.(obj)["dia"]
	}
	assert.Equal(t, obj{"A": ".501", "B": ".502", "C": ".375", "D": ".25"}, got)
	bare := saved(t, theirs, "a", obj{"holes": []any{obj{"row": first}, second}}, open)
	assert.Equal(t, ".501", rows(t, bare, "holes")[0].(obj)["dia"], "a row of its id alone is left as it is")
	assert.Nil(t, view(t, bare)["clashes"])

	cleared := saved(t, theirs, "a", obj{"holes": []any{list[1]}}, open)
	assert.Equal(t, []any{"holes#" + first}, view(t, cleared)["clashes"], "a row taken out here and changed there")
	assert.Len(t, rows(t, cleared, "holes"), 3, "is shown")
}

// TestSeenOld: what was read from the first flat form counts as shown by one word.
func TestSeenOld(t *testing.T) {
	old := obj{"_id": "kept:1", "type": "kept", "job": "pump", "worksheet": "hole", "unit": "in", "note": "first",
		"inputs": obj{"thread": "5/8-11"}, "answer": obj{"worksheet": "hole"}, "created": "2026-03-09T08:00:00Z"}
	theirs := saved(t, old, "b", obj{"note": "second"}, obj{"note": "old"})
	assert.Nil(t, clashIn(t, theirs, "note"))
	mine := saved(t, theirs, "a", obj{"note": "third"}, obj{"note": "old"})
	assert.ElementsMatch(t, []any{"second", "third"}, clashIn(t, mine, "note"))
}

// TestDeletedAndChanged: a deletion hides what it saw, and nothing else.
func TestDeletedAndChanged(t *testing.T) {
	doc := made(t, "fixture", "1", obj{"name": "plate", "kind": "angle", "thick": "1-3/4"})
	_, open := shown(t, doc)
	gone := saved(t, doc, "a", obj{"gone": true}, open)
	assert.Equal(t, true, view(t, gone)["gone"])
	changed := saved(t, doc, "b", obj{"thick": "1.748"}, open)
	for name, both := range map[string]obj{
		"merged":       call(t, "merge", obj{"docs": []any{gone, changed}})["doc"].(obj),
		"deleted last": saved(t, changed, "a", obj{"gone": true}, open),
		"changed last": saved(t, gone, "b", obj{"thick": "1.748"}, open),
	} {
		t.Run(name, func(t *testing.T) {
			v := view(t, both)
			assert.NotContains(t, v, "gone", "it is shown")
			assert.Equal(t, []any{"gone"}, v["clashes"])
			card := call(t, "clashes", obj{"doc": both})["clashes"].([]any)[0].(obj)
			said := card["values"].([]any)
			require.Len(t, said, 2)
			assert.Equal(t, []any{true, "a"}, []any{said[0].(obj)["v"], said[0].(obj)["by"]}, "deleted by")
			assert.Equal(t, []any{nil, "b"}, []any{said[1].(obj)["v"], said[1].(obj)["by"]}, "changed by")
			assert.Empty(t, call(t, "purge", obj{"docs": []any{both}, "now": "2027-01-01T00:00:00Z"})["ids"])
			csv := call(t, "csv", obj{"kind": "fixture", "docs": []any{both}})["csv"]
			assert.Contains(t, csv, "1.748")

			_, now := shown(t, both)
			keep := view(t, saved(t, both, "a", obj{"gone": nil}, now))
			assert.NotContains(t, keep, "gone")
			assert.NotContains(t, keep, "clashes")
			assert.Equal(t, "1.748", keep["values"].(obj)["thick"])
			away := view(t, saved(t, both, "a", obj{"gone": true}, now))
			assert.Equal(t, true, away["gone"])
			assert.NotContains(t, away, "clashes")
		})
	}
	older := edited(t, doc, "a", "", obj{})
	older["f"].(obj)["gone"] = []any{obj{"id": "a-9", "v": true}}
	assert.Equal(t, true, view(t, older)["gone"], "a deletion by an earlier version hides, as it did")
	back := saved(t, gone, "b", obj{"gone": nil}, obj{"gone": "a-1"})
	again := saved(t, doc, "c", obj{"gone": true}, open)
	both := call(t, "merge", obj{"docs": []any{back, again}})["doc"].(obj)
	assert.NotContains(t, view(t, both), "gone", "brought back there and deleted here is shown")
	assert.Equal(t, []any{"gone"}, view(t, both)["clashes"])
	newest := view(t, edited(t, both, "d", "", obj{"gone": true}))
	assert.Equal(t, true, newest["gone"], "on the command line the newest is seen")
}

// entry is an edit as the model of TestNeverHidden knows it.
type entry struct {
	id   string
	seen map[string]bool // ids of its field that its form showed; of a deletion all of the record
}

// TestNeverHidden: forms open and close on three devices in any order, with any merging between. A
// value is out of sight only if the form of a later one showed it, and a record only if every
// current edit was seen by one that deleted it.
func TestNeverHidden(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := made(t, "fixture", "1", obj{"name": "plate", "kind": "angle"})
		phones := []obj{start, start, start}
		fields := []string{"name", "tag", "notes", "gone"}
		model := map[string][]entry{"kind": {{id: "bench-1"}}, "name": {{id: "bench-2"}}}
		byID := map[string]entry{}
		type form struct {
			phone int
			heads obj
		}
		var forms []form
		serial := 0
		known := func(doc obj) map[string]bool {
			all := map[string]bool{}
			for _, list := range doc["f"].(obj) {
				for _, e := range list.([]any) {
					all[e.(obj)["id"].(string)] = true
				}
			}
			return all
		}
		for range rapid.IntRange(1, 25).Draw(t, "steps") {
			p := rapid.IntRange(0, 2).Draw(t, "phone")
			switch rapid.SampledFrom([]string{"open", "open", "save", "save", "save", "merge"}).Draw(t, "do") {
			case "open":
				_, heads := shown(t, phones[p])
				forms = append(forms, form{p, heads})
			case "merge":
				from := rapid.IntRange(0, 2).Draw(t, "from")
				phones[p] = call(t, "merge", obj{"docs": []any{phones[p], phones[from]}})["doc"].(obj)
			case "save":
				if len(forms) == 0 {
					continue
				}
				at := rapid.IntRange(0, len(forms)-1).Draw(t, "form")
				f := forms[at]
				forms = slices.Delete(forms, at, at+1)
				field := rapid.SampledFrom(fields).Draw(t, "field")
				serial++
				var v any = fmt.Sprintf("v%d", serial)
				if field == "gone" {
					v = rapid.SampledFrom([]any{true, true, nil}).Draw(t, "gone")
				}
				before := known(phones[f.phone])
				phones[f.phone] = saved(t, phones[f.phone], fmt.Sprintf("p%d", f.phone), obj{field: v}, f.heads)
				seen := map[string]bool{}
				for key, ids := range f.heads {
					if field == "gone" || key == field {
						for _, id := range listOf(ids) {
							seen[id] = true
						}
					}
				}
				fresh := 0
				list, _ := phones[f.phone]["f"].(obj)[field].([]any)
				for _, e := range list {
					if id := e.(obj)["id"].(string); !before[id] {
						fresh++
						byID[id] = entry{id, seen}
						model[field] = append(model[field], byID[id])
					}
				}
				if field != "gone" {
					require.Equal(t, 1, fresh, "each value is new")
				}
			}
		}
		all := call(t, "merge", obj{"docs": []any{phones[0], phones[1], phones[2]}})["doc"].(obj)
		require.Equal(t, all, call(t, "merge", obj{"docs": []any{phones[2], phones[0], phones[1]}})["doc"])
		_, heads := shown(t, all)
		current := map[string][]string{}
		for field, list := range model {
			for _, e := range list {
				covered := false
				for _, later := range list {
					covered = covered || later.id != e.id && later.seen[e.id]
				}
				if !covered {
					current[field] = append(current[field], e.id)
				}
			}
			require.ElementsMatch(t, current[field], listOf(heads[field]), field)
		}
		deleted := len(current["gone"]) > 0
		saw := map[string]bool{}
		for _, id := range current["gone"] {
			for seen := range byID[id].seen {
				saw[seen] = true
			}
			for _, e := range all["f"].(obj)["gone"].([]any) {
				if e.(obj)["id"] == id && e.(obj)["v"] != true {
					deleted = false
				}
			}
		}
		for field, ids := range current {
			for _, id := range ids {
				deleted = deleted && (field == "gone" || saw[id])
			}
		}
		require.Equal(t, deleted, view(t, all)["gone"] == true, "%v", current)
	})
}

// listOf reads ids as a view gives them: one as a text, more as a list.
func listOf(ids any) (out []string) {
	switch ids := ids.(type) {
	case string:
		return []string{ids}
	case []any:
		for _, id := range ids {
			out = append(out, id.(string))
		}
	}
	return out
}
