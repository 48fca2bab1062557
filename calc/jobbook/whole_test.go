package jobbook_test

import (
	"encoding/json"
	"maps"
	"os"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// held is a record as a phone stores it: current values, and when it was created.
func held(t require.TestingT, doc obj) obj {
	v := view(t, doc)
	units, _ := v["units"].(obj)
	if units == nil {
		units = obj{}
	}
	made, _ := v["made"].(obj)["at"].(string)
	delete(v["values"].(obj), "answer") // too long to be held
	return obj{"id": v["id"], "type": v["type"], "made": made, "values": v["values"], "units": units}
}

// helds are the records as held, each read once. The record is kept beside it, so that no other
// takes its place in memory.
var helds sync.Map

func heldOnce(t require.TestingT, doc obj) obj {
	key := reflect.ValueOf(doc).Pointer()
	if one, ok := helds.Load(key); ok {
		return one.([2]obj)[1]
	}
	one := held(t, doc)
	helds.Store(key, [2]obj{doc, one})
	return one
}

// asked calls as a phone does: without documents first, then with those missing, until none is.
func asked(t require.TestingT, op string, given obj, shop []obj) obj {
	have, docs := []any{}, []any{}
	for range 20 {
		sent := obj{"docs": docs, "have": have}
		for k, v := range given {
			sent[k] = v
		}
		out := call(t, op, sent)
		require.NotContains(t, out, "error")
		missing := out["missing"].([]any)
		if len(missing) == 0 {
			return out
		}
		have = append(have, missing...)
		for _, doc := range shop {
			d, sent := heldOnce(t, doc), any(nil)
			for _, key := range missing {
				switch w := strings.Split(key.(string), " "); {
				case key == "whole "+doc["_id"].(string):
					stored := maps.Clone(doc)
					stored["made"] = d["made"]
					sent = stored
				case slices.Contains(missing, any("whole "+doc["_id"].(string))): // and no view beside it
				case key == d["id"], w[0] == d["type"] && (len(w) == 1 || d["values"].(obj)[w[1]] == w[2]):
					sent = d
				}
			}
			whole := slices.ContainsFunc(docs, func(there any) bool { return there.(obj)["_id"] == doc["_id"] })
			if sent != nil && !whole {
				docs = slices.DeleteFunc(docs, func(there any) bool { return there.(obj)["id"] == doc["_id"] })
				docs = append(docs, sent)
			}
		}
	}
	require.Fail(t, "it never has enough")
	return nil
}

// invented are the records of the invented job.
func invented(t *testing.T) []obj {
	raw, err := os.ReadFile("demo/pillow-block.json")
	require.NoError(t, err)
	var file struct{ Docs []obj }
	require.NoError(t, json.Unmarshal(raw, &file))
	return file.Docs
}

func idOf(t *testing.T, shop []obj, kind, name string) string {
	for _, doc := range shop {
		if v := view(t, doc); doc["type"] == kind && strings.Contains(v["title"].(string), name) {
			return doc["_id"].(string)
		}
	}
	require.Fail(t, name)
	return ""
}

func labels(out obj) obj {
	all := obj{}
	for key, from := range out["from"].(obj) {
		all[key] = from.(obj)["label"]
	}
	return all
}

// TestInvented: the kept worksheets over the whole of the invented job are what the job gives.
func TestInvented(t *testing.T) {
	shop := invented(t)
	for _, row := range [][3]string{
		{"match", "feature", "Foot slots"}, {"cleanup", "setup", "Bored side down"},
		{"chain", "job", "Pillow-block"}, {"tapin", "setup", "Base to the plate"},
	} {
		t.Run(row[0], func(t *testing.T) {
			out := asked(t, "prefill", obj{"worksheet": row[0], row[1]: idOf(t, shop, row[1], row[2])}, shop)
			var want obj
			for _, doc := range shop {
				if v := view(t, doc)["values"].(obj); doc["type"] == "kept" && v["worksheet"] == row[0] {
					want = v["inputs"].(obj)
				}
			}
			got := out["inputs"].(obj)
			if row[0] == "match" { // the kept one leaves the part's name out
				assert.Equal(t, "Housing", got["name"])
				delete(got, "name")
			}
			assert.Equal(t, want, got)
			assert.Equal(t, idOf(t, shop, "job", "Pillow-block"), out["links"].(obj)["job"])
		})
	}
}

// shopOf makes records one after the other.
func shopOf(t *testing.T, list ...[3]any) []obj {
	var out []obj
	for i, row := range list {
		set := obj{}
		unit := "in"
		for k, v := range row[2].(obj) {
			if k == "unit" {
				unit = v.(string)
				continue
			}
			set[k] = v
		}
		made := call(t, "new", obj{"type": row[0], "id": row[0].(string) + ":" + row[1].(string), "set": set,
			"device": "a", "by": "a",
			"at": "2026-03-09T10:00:" + string(rune('0'+i/10)) + string(rune('0'+i%10)) + "Z", "unit": unit})
		require.Contains(t, made, "doc", "%v", made)
		out = append(out, made["doc"].(obj))
	}
	return out
}

// TestMatchPlaces: a part's places are those of one face, and names lose what would part cells.
func TestMatchPlaces(t *testing.T) {
	shop := shopOf(t,
		[3]any{"part", "p", obj{"name": "part"}},
		[3]any{"feature", "h", obj{"name": "h", "part": "part:p", "kind": "hole", "face": "side", "bolt": "M12",
			"x": "10mm", "y": "0"}},
		[3]any{"feature", "t", obj{"name": "t", "part": "part:p", "kind": "tapped", "face": "top", "thread": "1/2-13",
			"x": "1", "y": "2"}},
		[3]any{"feature", "b", obj{"name": "b", "part": "part:p", "kind": "hole", "face": "back"}},
		[3]any{"fixture", "f", obj{"name": "plate; big, old", "tag": "F9", "kind": "angle", "unit": "mm", "holes": []any{
			obj{"name": "A", "x": "1", "y": "2", "kind": "tapped", "thread": "M12"},
			obj{"name": "B", "x": "3 in", "y": "4 in", "kind": "dowel", "dia": ".5 in"},
			obj{"name": "C", "kind": "tapped", "thread": "M12"},
			obj{"name": "D", "x": "5", "y": "6", "kind": "clear"},
		}, "ribs": []any{obj{"face": "behind", "x": "0", "y": "0", "long": "8", "thick": "1", "runs": "y"}}}},
	)
	ahead := asked(t, "ahead", obj{"part": "part:p"}, shop)
	assert.Equal(t, []any{obj{"face": "side", "feature": "feature:h"}, obj{"face": "top", "feature": "feature:t"}},
		ahead["faces"])
	assert.Equal(t, false, ahead["solid"])
	match := func(from, id string) obj { return asked(t, "prefill", obj{"worksheet": "match", from: id}, shop) }
	out := match("feature", "feature:t")
	in := out["inputs"].(obj)
	assert.Equal(t, "tapped, 1 in, 2 in, 1/2-13, ", in["part"])
	assert.Equal(t, "hole, 10mm, 0 in, M12, ", match("feature", "feature:h")["inputs"].(obj)["part"])
	assert.Equal(t, "hole, 10mm, 0 in, M12, ", match("part", "part:p")["inputs"].(obj)["part"],
		"a part begins with its first face")
	assert.Equal(t, "plate  big  old F9, , , , , , ", in["fixtures"])
	assert.Equal(t, "plate  big  old F9, , tapped, 1 mm, 2 mm, , M12", in["places"], "no place, no hole")
	assert.Equal(t, "plate  big  old F9, , clear, 3 in, 4 in, .5 in, .5 in; "+
		"plate  big  old F9, , rib, 0 mm, 0 mm, 1 mm, 8 mm", in["keep"],
		"a dowel hole is kept clear of, and a rib behind a face nobody named stands behind all")
	assert.Equal(t, obj{"part": "part, top", "fixtures": "1 fixture in the shop", "places": "1 fixture in the shop",
		"keep": "1 fixture in the shop", "name": "part, Part"}, labels(out))
}

// TestSumsReachTheWorksheet: a place kept as a sum keeps its unit behind every
// part, also with one unit at its end.
func TestSumsReachTheWorksheet(t *testing.T) {
	shop := shopOf(t,
		[3]any{"part", "p", obj{"name": "part"}},
		[3]any{"feature", "h", obj{"name": "h", "part": "part:p", "kind": "hole", "bolt": "M12", "x": "100+5",
			"y": "10+5 mm", "unit": "mm"}},
		[3]any{"feature", "i", obj{"name": "i", "part": "part:p", "kind": "hole", "bolt": "M12", "x": "3/4+15 thou",
			"y": "10+5 mm"}},
	)
	in := asked(t, "prefill", obj{"worksheet": "match", "feature": "feature:h"}, shop)["inputs"].(obj)
	assert.Equal(t, "hole, 100 mm+5 mm, 10 mm+5 mm, M12, ; hole, 3/4 in+15 thou, 10 mm+5 mm, M12, ", in["part"])
}

// TestRounds: rounds restart at the first, the last of repeated readings counts, an incomplete
// round waits.
func TestRounds(t *testing.T) {
	n := 0
	reading := func(round, station, value, move string) [3]any {
		n++
		set := obj{"setup": "setup:s", "kind": "tap", "round": round, "station": station, "value": value, "move": move}
		if round == "" {
			set["kind"], set["round"] = "before", nil
		}
		return [3]any{"reading", string(rune('a' + n)), set}
	}
	list := [][3]any{{"setup", "s", obj{"name": "s", "tapin": obj{"span": "12 in", "allow": ".002 in"}, "wanted": ".001"}},
		reading("1", "a", "+9", ""), reading("1", "b", "+9", ""), reading("1", "a", "0", ""), reading("1", "b", "+6", ""),
		reading("2", "a", "0", "b, -0.006 in"), reading("2", "b", "+2", ""), reading("2", "b", "+1", ""), reading("3",
			"a", "0", "none"),
		reading("", "a", "+1", "")}
	tapin := func() obj {
		return asked(t, "prefill", obj{"worksheet": "tapin", "setup": "setup:s"}, shopOf(t, list...))
	}
	out := tapin()
	assert.Equal(t, obj{"span": "12 in", "allow": ".002 in",
		"pairs": "0 thou, +6 thou; 0 thou, +1 thou, b, -0.006 in"}, out["inputs"])
	rounds := out["rounds"].(obj)
	assert.Equal(t, []any{
		obj{"n": 1.0, "reads": []any{"reading:d", "reading:e"}, "move": ""}, obj{"n": 2.0, "reads": []any{"reading:f",
			"reading:h"}, "move": "b, -0.006 in"},
		obj{"n": 3.0, "reads": []any{"reading:i", ""}, "move": "none"},
	}, rounds["tap"])
	assert.Empty(t, rounds["head"])
	list = append(list, reading("1", "a", "+.5", ""), reading("1", "b", "0", ""))
	assert.Equal(t, "+.5 thou, 0 thou", tapin()["inputs"].(obj)["pairs"])
}

// TestRough: a rough that nobody touched gives its surfaces, a touch the one distance it was read
// for.
func TestRough(t *testing.T) {
	list := [][3]any{{"part", "p", obj{"name": "part"}},
		{"feature", "t", obj{"name": "top", "part": "part:p", "kind": "face", "looks": "+z", "z": "4"}},
		{"feature", "w", obj{"name": "wall", "part": "part:p", "kind": "wall", "looks": "-z", "least": "1/2"}},
		{"feature", "h", obj{"name": "hole", "part": "part:p", "kind": "hole", "looks": "+z"}}}
	rough := func() obj {
		return asked(t, "prefill", obj{"worksheet": "cleanup", "part": "part:p"}, shopOf(t, list...))["inputs"].(obj)
	}
	assert.Equal(t, "top, face, +z, 0, 0, 4 in, , ; wall, wall, -z, 0, 0, 0, , 1/2 in", rough()["features"])
	list = append(list, [3]any{"reading", "1", obj{"kind": "rough", "feature": "feature:t", "x": "1", "y": "2",
		"value": "+4.12 in"}})
	in := rough()
	assert.Equal(t, "top, 1 in, 2 in, 4.12 in", in["touches"])
	assert.Equal(t, "top, face, +z, 0, 0, 4 in, , ", in["features"], "what was not touched is left out")
	assert.NotContains(t, in, "up")
}

// TestChainCauses: what was read is used, what was not is assumed, and what serves twice has one
// mark.
func TestChainCauses(t *testing.T) {
	shop := invented(t)
	job := obj{"worksheet": "chain", "job": idOf(t, shop, "job", "Pillow-block")}
	read := asked(t, "prefill", job, shop)
	assert.Equal(t, "read: head of set-up 1, plate of set-up 2, tram of set-up 2, plate of set-up 4; the rest assumed",
		labels(read)["causes"])
	var without []obj
	for _, doc := range shop {
		if doc["type"] != "kept" {
			without = append(without, doc)
		}
	}
	out := asked(t, "prefill", job, without)
	assert.Equal(t, "read: plate of set-up 2, plate of set-up 4; the rest assumed", labels(out)["causes"])
	var plates, heads [][]string
	for _, row := range strings.Split(out["inputs"].(obj)["causes"].(string), "; ") {
		c := strings.Split(row, ", ")
		switch {
		case c[1] == "plate":
			plates = append(plates, []string{c[0], c[3], c[6]})
		case c[1] == "head" && c[2] == "x":
			heads = append(heads, []string{c[6]})
		case c[1] == "seat":
			assert.Equal(t, []string{"", "0.0005 in"}, c[3:5])
		}
	}
	assert.Equal(t, [][]string{{"2", ".2 thou", "F1 plate"}, {"4", "", "F1 plate"}}, plates)
	assert.Equal(t, [][]string{{"D1 head"}, {"D1 head"}, {"D1 head"}, {"D2 head"}}, heads)
}

// TestLine: the line of a setup is that of its page of readings: of each place
// the last reading of one kind, the places of last time first.
func TestLine(t *testing.T) {
	list := [][3]any{
		{"setup", "s", obj{"name": "s", "expected": []any{obj{"station": "left", "x": "0", "value": "+1 thou"},
			obj{"station": "right", "x": "12", "value": "-1 thou"}}}},
		{"reading", "1", obj{"setup": "setup:s", "station": "left", "value": "+2", "kind": "before"}},
		{"reading", "2", obj{"setup": "setup:s", "station": "left", "value": "+3", "kind": "before"}},
		{"reading", "3", obj{"setup": "setup:s", "station": "middle", "x": "150+2", "value": "0", "kind": "before",
			"unit": "mm"}},
		{"reading", "4", obj{"setup": "setup:s", "station": "left", "x": "1", "value": "4 in", "kind": "size"}},
	}
	ask := func(more obj) any {
		more["worksheet"], more["setup"] = "tram", "setup:s"
		return asked(t, "prefill", more, shopOf(t, list...))["inputs"].(obj)["readings"]
	}
	assert.Equal(t, "1 in, +3 thou; 150 mm+2 mm, 0 um", ask(obj{}),
		"a bare number means what it meant; a size is never the next by itself")
	assert.Equal(t, "1 in, 4 in", ask(obj{"kind": "size"}))
	assert.Nil(t, ask(obj{"kind": "cut"})) // and the readings without a place of their own do not come in by another way
}

// TestOneNeedle: what was typed of the needle on the page of tapping in holds for the line too, so
// that the two judge the same readings alike.
func TestOneNeedle(t *testing.T) {
	list := [][3]any{{"setup", "s", obj{"name": "s", "wanted": ".001",
		"tapin": obj{"span": "12 in", "sense": "far", "repeat": ".0002 in", "allow": ".002 in"}}}}
	in := asked(t, "prefill", obj{"worksheet": "tram", "setup": "setup:s"}, shopOf(t, list...))["inputs"]
	assert.Equal(t, obj{"sense": "far", "repeat": ".0002 in", "allow": ".002 in"}, in)
}

// TestBareFraction: where bare numbers are millimetres a record asks about a
// fraction; one kept before stays readable, and changes to others around it too.
func TestBareFraction(t *testing.T) {
	made := func(set obj) obj {
		return call(t, "new", obj{"type": "setup", "id": "setup:1", "device": "a", "unit": "mm", "set": set})
	}
	out := made(obj{"name": "s", "wanted": "3/4"})
	assert.Equal(t, []any{obj{"field": "wanted",
		"message": "Wanted within: '3/4' is a fraction without a unit. Write 3/4 in, or .75 mm."}}, out["faults"])
	row := []any{obj{"place": "left", "thick": "1/2"}}
	assert.Contains(t, made(obj{"name": "s", "shims": row})["faults"].([]any)[0].(obj)["message"],
		"Shims: Thickness: '1/2' is a fraction without a unit.")
	reading := call(t, "new", obj{"type": "reading", "id": "reading:1", "device": "a", "unit": "mm",
		"set": obj{"value": "+1/2"}})
	assert.Contains(t, reading["faults"].([]any)[0].(obj)["message"], "Write +1/2 thou, or .5 um.")

	old := func(v any) []any { return []any{obj{"id": "a-1", "unit": "mm", "v": v}} }
	doc := obj{"_id": "setup:1", "type": "setup", "v": 1, "f": obj{"name": []any{obj{"id": "a-2", "v": "s"}},
		"wanted": old("3/4"), "shims#0001-a": old(obj{"place": "left", "thick": "1-1/2"})}}
	v := view(t, doc)
	assert.Equal(t, "3/4", v["values"].(obj)["wanted"], "shown as typed")
	assert.Empty(t, call(t, "check", obj{"doc": doc})["faults"])
	in := asked(t, "prefill", obj{"worksheet": "tram", "setup": "setup:1"}, []obj{doc})["inputs"].(obj)
	assert.Equal(t, "3/4 mm", in["allow"], "it means what it meant")

	edit := func(set obj) obj { return call(t, "edit", obj{"doc": doc, "set": set, "device": "b", "unit": "mm"}) }
	shims := v["values"].(obj)["shims"].([]any)
	assert.NotContains(t, edit(obj{"notes": "n", "wanted": "3/4", "shims": append(shims, obj{"place": "right",
		"thick": "2"})}), "faults")
	assert.Contains(t, edit(obj{"wanted": "1/4"}), "faults")
	again := call(t, "repeat", obj{"setup": doc, "docs": []any{}, "ms": 1, "chance": "00000000000000000000",
		"device": "b", "unit": "in"})
	require.Contains(t, again, "docs", "%v", again)
	assert.Equal(t, "mm", view(t, again["docs"].([]any)[0].(obj))["units"].(obj)["wanted"])
}
