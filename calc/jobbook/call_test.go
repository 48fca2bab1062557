package jobbook_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook"
)

// obj is a JSON object as the tests read it.
type obj = map[string]any

// call runs an operation in a session of its own.
func call(t require.TestingT, op string, in any) obj {
	return callOn(t, &jobbook.Session{}, op, in)
}

func callOn(t require.TestingT, d *jobbook.Session, op string, in any) obj {
	b, err := json.Marshal(in)
	require.NoError(t, err)
	var out obj
	require.NoError(t, json.Unmarshal(d.Call(op, b), &out), op)
	return out
}

// made makes a record that has to be without fault.
func made(t require.TestingT, kind, id string, set obj) obj {
	out := call(t, "new", obj{"type": kind, "id": kind + ":" + id, "set": set, "device": "bench", "by": "bench", "at": "2026-03-09T08:00:00Z", "unit": "in"})
	require.NotContains(t, out, "faults")
	require.Contains(t, out, "doc", "%v", out)
	return out["doc"].(obj)
}

func edited(t require.TestingT, doc obj, device, at string, set obj) obj {
	out := call(t, "edit", obj{"doc": doc, "set": set, "device": device, "by": device, "at": at, "unit": "in"})
	require.Contains(t, out, "doc", "%v", out)
	return out["doc"].(obj)
}

func view(t require.TestingT, doc obj) obj {
	return call(t, "view", obj{"docs": []any{doc}})["views"].([]any)[0].(obj)
}

func TestTwoPeople(t *testing.T) {
	doc := made(t, "fixture", "1", obj{"name": "big angle plate", "kind": "angle", "thick": "1-3/4",
		"holes": []any{obj{"name": "A1", "x": "2", "y": "3", "kind": "tapped", "thread": "5/8-11", "why": "pump base"}}})
	one := edited(t, doc, "phone1", "2026-03-10T08:00:00Z", obj{"thick": "1.748", "tag": "AP2"})
	two := edited(t, doc, "phone2", "2026-03-01T08:00:00Z", obj{"thick": "44.4mm", "notes": "feet scraped", "holes": append(rows(t, doc, "holes"), obj{"name": "A2", "kind": "dowel", "dia": ".500"})})
	out := call(t, "merge", obj{"docs": []any{one, two}})
	assert.Equal(t, []any{"thick"}, out["clashes"])
	assert.Empty(t, out["same"])
	both := out["doc"].(obj)
	v := view(t, both)
	values := v["values"].(obj)
	assert.Equal(t, "AP2", values["tag"], "what one person wrote stays")
	assert.Equal(t, "feet scraped", values["notes"])
	assert.Len(t, values["holes"], 2)
	assert.Equal(t, []any{"thick"}, v["clashes"])

	clashes := call(t, "clashes", obj{"doc": both})["clashes"].([]any)
	require.Len(t, clashes, 1)
	shown := clashes[0].(obj)["values"].([]any)
	require.Len(t, shown, 2)
	assert.ElementsMatch(t, []any{"1.748", "44.4mm"}, []any{shown[0].(obj)["v"], shown[1].(obj)["v"]})

	for _, v := range shown {
		side, is := v.(obj), map[any]string{"1.748": "1.748", "44.4mm": "1.748031"}
		assert.Equal(t, obj{"thick": is[side["v"]]}, side["in"], "its length in inches")
	}

	chosen := edited(t, both, "phone1", "2026-03-11T08:00:00Z", obj{"thick": "1.748"})
	v = view(t, chosen)
	assert.NotContains(t, v, "clashes", "choosing settles it")
	history := call(t, "history", obj{"doc": chosen})["history"].([]any)
	thick := 0
	for _, h := range history {
		if h.(obj)["field"] == "thick" {
			thick++
		}
	}
	assert.Equal(t, 4, thick, "every value stays in the history")
	again := call(t, "merge", obj{"docs": []any{chosen, both, one, two, doc}})
	assert.Equal(t, []any{0.0}, again["same"], "the older copies add nothing to the choice")
}

func rows(t require.TestingT, doc obj, table string) []any {
	return view(t, doc)["values"].(obj)[table].([]any)
}

func TestTableRows(t *testing.T) {
	doc := made(t, "set", "1", obj{"name": "brass shims", "kind": "shims", "sizes": []any{".001", ".0015"}})
	assert.Equal(t, []any{".001", ".0015"}, view(t, doc)["values"].(obj)["sizes"])

	setup := made(t, "setup", "1", obj{"name": "base up", "shims": []any{obj{"place": "left foot", "thick": ".003"}, obj{"place": "right foot", "thick": ".010"}}})
	list := rows(t, setup, "shims")
	require.Len(t, list, 2)
	list[0].(obj)["thick"] = ".004"
	again := edited(t, setup, "phone2", "2026-03-10T08:00:00Z", obj{"shims": []any{list[0]}})
	list = rows(t, again, "shims")
	require.Len(t, list, 1, "a row that is not listed is cleared")
	assert.Equal(t, ".004", list[0].(obj)["thick"])
	byRow := edited(t, again, "phone2", "2026-03-10T09:00:00Z", obj{"shims#" + list[0].(obj)["row"].(string): nil})
	assert.NotContains(t, view(t, byRow)["values"], "shims")
}

// A row typed in millimetres stays so when returned by a phone that works in inches.
func TestRowKeepsItsUnit(t *testing.T) {
	out := call(t, "new", obj{"type": "setup", "id": "setup:1", "device": "a", "unit": "mm", "set": obj{"name": "s", "shims": []any{obj{"place": "left", "thick": "0.5"}}}})
	doc := out["doc"].(obj)
	list := rows(t, doc, "shims")
	require.Equal(t, "mm", list[0].(obj)["unit"])
	again := edited(t, doc, "b", "", obj{"shims": list})
	assert.Equal(t, doc["f"], again["f"], "nothing was changed, so nothing is written")
}

func TestDeleteAndBack(t *testing.T) {
	doc := made(t, "note", "1", obj{"text": "scrape the feet"})
	gone := edited(t, doc, "a", "2026-03-10T08:00:00Z", obj{"gone": true})
	assert.Equal(t, true, view(t, gone)["gone"])
	back := edited(t, gone, "a", "2026-03-11T08:00:00Z", obj{"gone": nil})
	assert.NotContains(t, view(t, back), "gone")
}

func TestNewerVersion(t *testing.T) {
	later := obj{"_id": "note:1", "type": "note", "v": 2, "f": obj{"text": []any{obj{"id": "a-1", "v": "x", "mood": 3}}, "colour": []any{obj{"id": "a-2", "v": "red"}}}, "extra": obj{"deep": 1}}
	assert.Equal(t, true, view(t, later)["newer"])
	out := call(t, "edit", obj{"doc": later, "set": obj{"text": "y"}, "device": "a"})
	assert.Contains(t, out["faults"].([]any)[0].(obj)["message"], "newer version")
	unknown := obj{"_id": "crane:1", "type": "crane", "v": 1, "f": obj{"name": []any{obj{"id": "a-1", "v": "bridge crane"}}}}
	assert.Equal(t, "bridge crane", view(t, unknown)["title"])
	r := call(t, "check", obj{"doc": unknown})
	assert.Empty(t, r["faults"])
	assert.Equal(t, []any{"type"}, r["newer"])

	field := obj{"_id": "note:1", "type": "note", "v": 1, "f": obj{"text": []any{obj{"id": "a-1", "v": "x"}}, "colour": []any{obj{"id": "a-2", "v": "red"}}}}
	assert.Equal(t, []any{"colour"}, call(t, "check", obj{"doc": field})["newer"])
	kept := edited(t, field, "b", "", obj{"text": "y"})
	assert.Equal(t, field["f"].(obj)["colour"], kept["f"].(obj)["colour"], "an unknown field is kept")
}

// The first kept results are read, shown, merged and changed.
func TestOldKept(t *testing.T) {
	old := obj{"_id": "kept:20260309T080000123Z-a1-x", "_rev": "2-b", "type": "kept", "job": "pump", "worksheet": "hole", "unit": "in", "inputs": obj{"thread": "5/8-11"},
		"answer": obj{"worksheet": "hole"}, "note": "first", "measured": "", "device": "a1", "created": "2026-03-09T08:00:00Z", "by": "b2", "changed": "2026-03-10T08:00:00Z"}
	v := view(t, old)
	assert.Equal(t, "hole pump", v["title"])
	assert.Equal(t, obj{"thread": "5/8-11"}, v["values"].(obj)["inputs"])
	assert.NotContains(t, v["values"], "measured")
	assert.Equal(t, obj{"at": "2026-03-09T08:00:00Z", "by": "a1"}, v["made"])
	assert.Empty(t, call(t, "check", obj{"doc": old})["faults"])

	other := obj{}
	for k, each := range old {
		other[k] = each
	}
	other["note"], other["by"] = "second", "c3"
	out := call(t, "merge", obj{"docs": []any{old, other}})
	assert.Equal(t, []any{"note"}, out["clashes"], "only what differs clashes")
	both := out["doc"].(obj)
	assert.NotContains(t, both, "note", "written in the new form")
	assert.Equal(t, "a1", both["device"])

	changed := edited(t, old, "b2", "2026-03-12T08:00:00Z", obj{"measured": ".951"})
	assert.Equal(t, "2-b", changed["_rev"], "ready to be written over the revision it came from")
	assert.Equal(t, "b2", changed["by"])
	assert.Equal(t, ".951", view(t, changed)["values"].(obj)["measured"])
	again := call(t, "merge", obj{"docs": []any{changed, old}})
	assert.Empty(t, again["clashes"], "the old form holds nothing that the new one lacks")
}

func TestNewID(t *testing.T) {
	first, f := jobbook.NewID("job", 1_772_000_000_000, "00000000000000000000", 0)
	require.Nil(t, f)
	assert.Len(t, first, 4+26)
	later, f := jobbook.NewID("job", 1_772_000_000_001, "00000000000000000000", 0)
	require.Nil(t, f)
	assert.Less(t, first, later)
	next, f := jobbook.NewID("job", 1_772_000_000_000, "000000000000000000ff", 1)
	require.Nil(t, f)
	assert.Equal(t, first[:27]+"080", next, "0xff and one is 0x100, 8 of 32 in the second last letter")
	_, f = jobbook.NewID("job", 5, "xyz", 0)
	assert.NotNil(t, f)
	// The largest number: 7 and twenty-five letters Z.
	top, f := jobbook.NewID("a", 1<<48-1, "ffffffffffffffffffff", 0)
	require.Nil(t, f)
	assert.Equal(t, "a:7ZZZZZZZZZZZZZZZZZZZZZZZZZ", top)
}
