package jobbook_test

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// bracket is an invented shop with a part hung on an angle plate: what the job can know of it, for
// every worksheet.
func bracket(t *testing.T, more ...[3]any) []obj {
	return shopOf(t, append([][3]any{
		{"material", "iron", obj{"name": "grey iron", "metal": "iron", "grade": "class 30"}},
		{"material", "plate", obj{"name": "plate iron", "metal": "iron", "grade": "class 25"}},
		{"machine", "m", obj{"name": "mill", "kind": "mill", "tablelong": "50", "throat": "18", "daylight": "19", "motor": "3",
			"speeds": []any{"80", "135"}, "feeds": []any{"1", "2.5"}, "swingarm": "9", "swingpitch": ".05",
			"axes": []any{obj{"axis": "x", "travel": "30", "turn": ".200", "division": ".001"},
				obj{"axis": "y", "travel": "12", "turn": ".100"}, obj{"axis": "z", "travel": "16"}, obj{"axis": "w", "travel": "5"}}}},
		{"fixture", "f", obj{"name": "plate", "kind": "angle", "thick": "1-1/4", "long": "18", "wide": "10", "high": "14",
			"material": "material:plate", "holes": []any{
				obj{"name": "A1", "x": "2", "y": "6", "kind": "tapped", "thread": "1/2-13", "depth": "7/8"},
				obj{"name": "A2", "x": "8.5", "y": "6", "kind": "tapped", "thread": "1/2-13", "depth": "3/4"}},
			"faces": []any{obj{"wide": "18", "high": "14"}}}},
		{"tool", "mill", obj{"name": "face mill", "kind": "facemill", "diameter": "4", "teeth": "6", "made": "insert", "stickout": "3"}},
		{"tool", "tap", obj{"name": "tap", "kind": "tap", "thread": "3/8-16", "lead": "bottoming", "made": "hss"}},
		{"gauge", "g", obj{"name": "indicator", "kind": "lever", "graduation": ".0005", "tip": ".080", "unsure": ".0002"}},
		{"gauge", "finder", obj{"name": "finder", "kind": "finder", "tip": ".200"}},
		{"gauge", "mike", obj{"name": "micrometer", "kind": "mike", "graduation": ".0001", "unsure": ".0001"}},
		{"set", "shims", obj{"name": "shims", "kind": "shims", "sizes": []any{".001", ".0015"}}},
		{"set", "blocks", obj{"name": "blocks", "kind": "blocks", "sizes": []any{".1001", ".100"}}},
		{"set", "slings", obj{"name": "slings", "kind": "slings", "sizes": []any{"72"}, "rated": "1600"}},
		{"set", "eyes", obj{"name": "eyebolts", "kind": "eyes", "rated": "5200"}},
		{"job", "j", obj{"name": "bracket"}},
		{"part", "p", obj{"name": "pump bracket", "job": "job:j", "material": "material:iron", "weight": "120", "long": "12",
			"wide": "5", "high": "8", "balx": "5", "baly": "2", "balz": "3"}},
		{"feature", "back", obj{"name": "back face", "part": "part:p", "kind": "face", "looks": "+y", "face": "back", "long": "12",
			"wide": "8"}},
		{"feature", "top", obj{"name": "top face", "part": "part:p", "kind": "face", "looks": "+z", "face": "top", "long": "11",
			"wide": "3"}},
		{"feature", "slot", obj{"name": "hanging slots", "part": "part:p", "kind": "slot", "face": "back", "wide": "9/16", "long": "1",
			"bolt": "1/2-13", "depth": "3/4", "x": "2.75", "y": "5", "also": []any{obj{"x": "9.25", "y": "5"}}}},
		{"feature", "bore", obj{"name": "bore", "part": "part:p", "kind": "bore", "looks": "+z", "nominal": "2.000", "plus": ".001",
			"minus": "-.001", "depth": "4", "x": "6", "y": "2"}},
		{"feature", "tapped", obj{"name": "cover holes", "part": "part:p", "kind": "tapped", "face": "top", "thread": "3/8-16",
			"depth": ".75", "x": "1", "y": "1", "also": []any{obj{"x": "11", "y": "1"}, obj{"x": "1", "y": "3"}, obj{"x": "11", "y": "3"}}}},
		{"feature", "lug", obj{"name": "lifting lug", "part": "part:p", "kind": "tapped", "thread": "5/8-11", "depth": "1"}},
		{"setup", "s", obj{"name": "hung", "job": "job:j", "part": "part:p", "machine": "machine:m", "fixture": "fixture:f",
			"indicator": "gauge:g", "state": "running", "seat": "feature:back", "downside": "-z", "wanted": ".001",
			"sign": "plus is away from the spindle", "parttemp": "72", "machinetemp": "70",
			"bolts": []any{obj{"hole": "a1", "thread": "1/2-13", "grade": "sae5", "order": "1"}, obj{"hole": "A2", "thread": "1/2-13"}},
			"stops": []any{obj{"place": "ledge beneath", "at": "1"}}}},
		{"step", "face", obj{"name": "face the top", "setup": "setup:s", "feature": "feature:top", "tool": "tool:mill"}},
		{"step", "bore", obj{"name": "bore", "setup": "setup:s", "feature": "feature:bore", "gauge": "gauge:mike"}},
		{"step", "slot", obj{"name": "slots for the studs", "setup": "setup:s", "feature": "feature:slot"}},
		{"step", "tap", obj{"name": "tap the cover holes", "setup": "setup:s", "feature": "feature:tapped", "tool": "tool:tap",
			"spin": "210"}},
	}, more...)...)
}

// given asks for a worksheet, and sees that the worksheet takes all it is given: nothing but what is
// still to be read may lack.
func given(t *testing.T, shop []obj, sheet, from string) (out obj) {
	t.Helper()
	kind, _, _ := strings.Cut(from, ":")
	out = asked(t, "prefill", obj{"worksheet": sheet, kind: from}, shop)
	in := out["inputs"].(obj)
	s, ok := registry.Find(sheet)
	require.True(t, ok, sheet)
	var pairs []worksheet.Pair
	for key, text := range in {
		_, ok := s.Input(key)
		require.True(t, ok, "%s has no input %s", sheet, key)
		require.NotEmpty(t, out["from"].(obj)[key].(obj)["label"], "%s.%s", sheet, key)
		pairs = append(pairs, worksheet.Pair{Key: key, Text: text.(string)})
	}
	for _, p := range s.Example {
		if in[p.Key] == nil && !slices.Contains([]string{"arc", "row", "torque"}, sheet) { // which take some of several
			pairs = append(pairs, p)
		}
	}
	if f := worksheet.Run(s, units.InchSystem, pairs).Fault; f != nil && in[f.Field] != nil {
		assert.Regexp(t, "has no|needs exactly", f.Message, "%s.%s %q", sheet, f.Field, in[f.Field])
	}
	return out
}

var update = flag.Bool("update", false, "write testdata/prefill.txt anew")

// TestEveryWorksheet holds what each worksheet takes from the job against testdata/prefill.txt, one
// worksheet a paragraph, and where each input came from.
func TestEveryWorksheet(t *testing.T) {
	shop := bracket(t)
	var b strings.Builder
	for _, s := range registry.All() {
		of := ""
		for _, from := range []string{"setup:s", "step:face", "step:bore", "step:tap", "step:slot"} {
			out := given(t, shop, s.Name, from)
			in := out["inputs"].(obj)
			said := ""
			for _, key := range slices.Sorted(maps.Keys(in)) {
				said += fmt.Sprintf("  %s = %s  (%s)\n", key, in[key], out["from"].(obj)[key].(obj)["label"])
			}
			if from == "setup:s" {
				of = said
			} else if said == of {
				continue
			}
			b.WriteString(s.Name + " from " + from + "\n" + said)
		}
	}
	const name = "testdata/prefill.txt"
	if *update {
		require.NoError(t, os.WriteFile(name, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}

// inputsOf are the inputs that a worksheet takes from a record, without a look at the worksheet.
func inputsOf(t *testing.T, shop []obj, sheet string, more obj) obj {
	t.Helper()
	more["worksheet"] = sheet
	return asked(t, "prefill", more, shop)["inputs"].(obj)
}

// TestFixtureHole: one hole of a fixture, touched there, and a bolt whose hole is still to be
// drilled.
func TestFixtureHole(t *testing.T) {
	shop := bracket(t, [3]any{"setup", "new", obj{"name": "next", "fixture": "fixture:f",
		"bolts": []any{obj{"hole": "A1", "thread": "1/2-13"}, obj{"hole": "C1", "thread": "3/4-10"}}}})
	for _, row := range []string{"A2", "0002-a"} {
		at := obj{"fixture": "fixture:f", "row": row}
		assert.Equal(t, obj{"thread": "1/2-13", "stock": "1-1/4 in", "depth": "3/4 in", "to": "shoulder", "work": "iron"},
			inputsOf(t, shop, "hole", at))
		assert.Equal(t, obj{"thread": "1/2-13", "length": ".365 in", "metal": "grey25"}, inputsOf(t, shop, "torque", at))
	}
	assert.Equal(t, "3/4-10", inputsOf(t, shop, "hole", obj{"setup": "setup:new"})["thread"], "C1 is not drilled yet")
	assert.NotContains(t, inputsOf(t, shop, "hole", obj{"setup": "setup:s"}), "thread", "all of its bolts have their holes")
	deep := inputsOf(t, shop, "engage", obj{"setup": "setup:s"})
	assert.Equal(t, ".365 in", deep["length"], "the least deep hole, less 5/13 in: rounded down")
}

// TestAnotherStep: what the next step is about is let go where the worksheet cannot be about it.
func TestAnotherStep(t *testing.T) {
	out := asked(t, "prefill", obj{"worksheet": "hole", "step": "step:face"}, bracket(t))
	assert.Equal(t, obj{"setup": "setup:s", "job": "job:j"}, out["links"], "a hole is none of a face")
	assert.Equal(t, obj{"part": "part:p", "fixture": "fixture:f", "machine": "machine:m", "tool": "tool:mill"}, out["at"])
	out = asked(t, "prefill", obj{"worksheet": "reach", "step": "step:face"}, bracket(t))
	assert.Equal(t, "feature:top", out["links"].(obj)["feature"])
	assert.Equal(t, "step:face", out["links"].(obj)["step"])
}

// TestSeveralWorksheets: those of a page are asked together, and are given what each is given alone.
func TestSeveralWorksheets(t *testing.T) {
	shop := bracket(t)
	names := []any{"bolts", "row", "grid", "pairs", "dials", "hold", "speed"}
	out := asked(t, "prefill", obj{"worksheets": names, "step": "step:tap"}, shop)["worksheets"].(obj)
	require.Len(t, out, len(names))
	best := func(from, id string, names ...any) any {
		return asked(t, "prefill", obj{"worksheets": names, from: id}, shop)["best"]
	}
	assert.Equal(t, "centre", best("step", "step:bore", "middle", "edge", "centre"), "by the feature's kind")
	assert.Equal(t, "middle", best("feature", "feature:slot", "middle", "edge", "centre"))
	assert.Equal(t, "edge", best("step", "step:face", "middle", "edge", "centre"))
	assert.Nil(t, best("setup", "setup:s", "middle", "edge", "centre"))
	assert.Nil(t, best("step", "step:face", "engage", "torque"))
	for _, name := range names {
		alone := asked(t, "prefill", obj{"worksheet": name, "step": "step:tap"}, shop)
		delete(alone, "missing")
		assert.Equal(t, alone, out[name.(string)], name)
	}
}

// TestOpenPlaces: where nothing was read yet, the places of last time stand there, open; the last
// reading of each place comes in their order.
func TestOpenPlaces(t *testing.T) {
	setup := [3]any{"setup", "s", obj{"name": "s", "expected": []any{obj{"station": "left", "x": "0", "y": "2", "value": "+1 thou"},
		obj{"station": "right", "x": "12", "y": "2", "value": "-1 thou"}}}}
	from := func() obj { return obj{"setup": "setup:s"} }
	assert.Equal(t, "0 in, ; 12 in, ", inputsOf(t, shopOf(t, setup), "tram", from())["readings"])
	assert.Equal(t, "0 in, 2 in, ; 12 in, 2 in, ", inputsOf(t, shopOf(t, setup), "shim", from())["readings"])
	even := shopOf(t, [3]any{"setup", "s", obj{"name": "s"}},
		[3]any{"reading", "1", obj{"setup": "setup:s", "station": "left", "value": "0", "kind": "before"}},
		[3]any{"reading", "2", obj{"setup": "setup:s", "station": "right", "value": "+2", "kind": "before"}})
	assert.Equal(t, ", 0 thou; , +2 thou", inputsOf(t, even, "tram", from())["readings"], "without a distance")
	shop := shopOf(t, setup,
		[3]any{"reading", "1", obj{"setup": "setup:s", "station": "right", "value": "+3", "kind": "before"}},
		[3]any{"reading", "2", obj{"setup": "setup:s", "station": "left", "value": "+2", "kind": "before"}},
		[3]any{"reading", "3", obj{"setup": "setup:s", "station": "left", "value": "+1", "kind": "before"}},
		[3]any{"reading", "4", obj{"setup": "setup:s", "x": "6", "value": "0", "kind": "before"}})
	assert.Equal(t, "0 in, +1 thou; 12 in, +3 thou; 6 in, 0 thou", inputsOf(t, shop, "tram", from())["readings"])
	assert.Equal(t, "0 in, 2 in, +1 thou; 12 in, 2 in, +3 thou; 6 in, , 0 thou", inputsOf(t, shop, "shim", from())["readings"])
}

// TestSizes: a size is held against the limits of its feature with the doubt it was read with.
func TestSizes(t *testing.T) {
	shop := bracket(t,
		[3]any{"reading", "1", obj{"setup": "setup:s", "feature": "feature:bore", "value": "1.9990 in", "kind": "size"}},
		[3]any{"reading", "2", obj{"setup": "setup:s", "feature": "feature:bore", "value": "2.0002 in", "kind": "size", "unsure": ".2"}},
		[3]any{"reading", "3", obj{"setup": "setup:s", "feature": "feature:top", "value": "8.010 in", "kind": "size"}},
		[3]any{"reading", "4", obj{"setup": "setup:s", "station": "left", "value": "+1", "kind": "after"}})
	in := inputsOf(t, shop, "accept", obj{"step": "step:bore"})
	assert.Equal(t, []any{"2.0002 in", ".2 thou", "2.000 in+.001 in"}, []any{in["size"], in["unsure"], in["high"]})
	assert.Equal(t, "1.9990 in; 2.0002 in", inputsOf(t, shop, "repeat", obj{"step": "step:bore"})["readings"])
}

// TestRepeats: only readings of one and the same place and kind are one size read again.
func TestRepeats(t *testing.T) {
	read := func(station, x, value, kind string) obj {
		return obj{"setup": "setup:s", "station": station, "x": x, "value": value, "kind": kind}
	}
	of := func(list ...obj) any {
		shop := [][3]any{{"setup", "s", obj{"name": "s"}}}
		for i, r := range list {
			shop = append(shop, [3]any{"reading", strconv.Itoa(i), r})
		}
		return inputsOf(t, shopOf(t, shop...), "repeat", obj{"setup": "setup:s"})["readings"]
	}
	left, right := read("left", "-6", "+2", "check"), read("right", "6", "-1", "check")
	assert.Nil(t, of(left, right), "along a face")
	assert.Nil(t, of(left, right, left, right), "along a face, twice")
	assert.Nil(t, of(left), "one alone")
	assert.Nil(t, of(left, read("left", "-6", "+1", "after")), "before and after")
	assert.Equal(t, "+2 thou; +1 thou", of(right, read("left", "-6", "+2", "after"), read("left", "-6", "+1", "after")))
	size := read("bore", "", "2 in", "size")
	assert.Equal(t, "2 in; 2 in", of(size, left, size, right), "sizes go before what was read along a face")
}

// TestDrawnWidth: a bore's diameter is no width of a slot; a slot's own is.
func TestDrawnWidth(t *testing.T) {
	shop := bracket(t)
	assert.Equal(t, obj{"tip": ".200 in"}, inputsOf(t, shop, "middle", obj{"step": "step:bore"}))
	assert.Equal(t, obj{"tip": ".200 in", "of": "inside", "size": "9/16 in"}, inputsOf(t, shop, "middle", obj{"step": "step:slot"}))
}

// TestKeptFigures: what was worked out before in the setup is used: force, speed and stock.
func TestKeptFigures(t *testing.T) {
	n := 0
	kept := func(sheet string, links obj, results obj) [3]any {
		n++
		set := obj{"worksheet": sheet, "inputs": obj{}, "answer": obj{"results": results}}
		maps.Copy(set, links)
		return [3]any{"kept", string(rune('a' + n)), set}
	}
	at := obj{"setup": "setup:s"}
	shop := bracket(t,
		kept("power", at, obj{"force": obj{"text": "555.6 lbf", "shown": "560 lbf"}}),
		kept("power", obj{"setup": "setup:other"}, obj{"force": obj{"text": "1 lbf", "shown": "1 lbf"}}),
		kept("speed", at, obj{"rpm": obj{"shown": "80 rpm"}, "feed": obj{"shown": "3 in/min"}, "pertooth": obj{"text": ".0062 in"}}),
		kept("speed", obj{"setup": "setup:s", "step": "step:face"}, obj{"rpm": obj{"shown": "135 rpm"}}),
		kept("weigh", obj{"job": "job:j"}, obj{"lift": obj{"shown": "135 lb"}}),
		kept("cleanup", at, obj{"surfaces": obj{"value": []any{[]any{"back face", .1, .2, .3, .1}, []any{"top face", .05, .1, .12, .1}},
			"units": []any{"", "in", "in", "in", "in"}}}))
	assert.Equal(t, "560 lbf", given(t, shop, "hold", "setup:s")["inputs"].(obj)["force"])
	assert.Equal(t, "135 lb", given(t, shop, "sling", "setup:s")["inputs"].(obj)["weight"])
	in := given(t, shop, "facing", "step:face")["inputs"].(obj)
	assert.Equal(t, []any{"135 rpm", "0.12 in", nil}, []any{in["rpm"], in["stock"], in["pertooth"]},
		"the step's own figures go before those of its setup")
	assert.Equal(t, "135 rpm", given(t, shop, "power", "setup:s")["inputs"].(obj)["rpm"], "the newest of the setup")
	assert.Equal(t, "210 rpm", given(t, shop, "taptorque", "step:tap")["inputs"].(obj)["rpm"], "what was used goes before")
}

// TestHungEveryWay: a part hung in each of its 24 ways, its centre of gravity held against the same
// worked out with the directions as vectors.
func TestHungEveryWay(t *testing.T) {
	size, balance := [3]float64{12, 5, 8}, [3]float64{5, 2, 3}
	vector := func(look string) (v [3]float64) {
		v[look[1]-'x'] = 1
		if look[0] == '-' {
			v[look[1]-'x'] = -1
		}
		return v
	}
	dot := func(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
	minus := func(a [3]float64) [3]float64 { return [3]float64{-a[0], -a[1], -a[2]} }
	inches := func(s any) float64 {
		x, err := strconv.ParseFloat(strings.TrimSuffix(s.(string), " in"), 64)
		require.NoError(t, err)
		return x
	}
	looks := []string{"+x", "-x", "+y", "-y", "+z", "-z"}
	ways := 0
	for _, down := range looks {
		for _, at := range looks {
			if down[1] == at[1] {
				continue
			}
			ways++
			in := inputsOf(t, bracket(t, [3]any{"feature", "against", obj{"name": "pad", "kind": "face", "part": "part:p", "looks": at}},
				[3]any{"setup", "w", obj{"name": "way", "part": "part:p", "fixture": "fixture:f", "downside": down, "against": "Pad",
					"bolts": []any{obj{"hole": "A1"}, obj{"hole": "A2"}}}}), "hold", obj{"setup": "setup:w"})
			up, out := minus(vector(down)), minus(vector(at))
			right := [3]float64{up[1]*out[2] - up[2]*out[1], up[2]*out[0] - up[0]*out[2], up[0]*out[1] - up[1]*out[0]}
			var low, g [3]float64 // the part's corner that is lowest, leftmost and nearest to the plate
			for i := range 3 {
				if up[i]+out[i]+right[i] < 0 {
					low[i] = size[i]
				}
				g[i] = balance[i] - low[i]
			}
			wide := math.Abs(dot(right, size))
			assert.InDelta(t, dot(right, g)-wide/2, inches(in["cgx"]), 1e-9, "%s down, %s at the plate", down, at)
			assert.InDelta(t, dot(up, g), inches(in["cgy"]), 1e-9, "%s down, %s at the plate", down, at)
			assert.InDelta(t, dot(out, g), inches(in["cgz"]), 1e-9, "%s down, %s at the plate", down, at)
			assert.InDelta(t, wide, inches(in["width"]), 1e-9)
			assert.InDelta(t, math.Abs(dot(up, size)), inches(in["height"]), 1e-9)
			half := math.Abs(dot(up, size)) / 2
			assert.Equal(t, fmt.Sprintf("-3.25 in, %g in; 3.25 in, %g in", half, half), in["studs"])
		}
	}
	assert.Equal(t, 24, ways)
}

// TestPattern: a circle, a row and a grid are known again from a feature's places; what is none of
// them is typed.
func TestPattern(t *testing.T) {
	at := func(sheet string, places ...[2]string) obj {
		also := []any{}
		for _, p := range places[1:] {
			also = append(also, obj{"x": p[0], "y": p[1]})
		}
		return inputsOf(t, shopOf(t, [3]any{"feature", "f", obj{"name": "f", "kind": "hole", "x": places[0][0], "y": places[0][1], "also": also}}),
			sheet, obj{"feature": "feature:f"})
	}
	ring := [][2]string{{"3", "1"}, {"1", "3"}, {"-1", "1"}, {"1", "-1"}}
	assert.Equal(t, obj{"n": "4", "dia": "4 in", "x": "1 in", "y": "1 in", "first": "0"}, at("bolts", ring...))
	assert.Empty(t, at("row", ring...))
	assert.Empty(t, at("bolts", append(ring, [2]string{"1", "-1"})...), "two at one place are no circle of five")
	assert.Equal(t, obj{"n": "3", "over": "80 mm", "x": "10 mm", "y": "0 mm", "angle": "0"},
		at("row", [2]string{"10mm", "0"}, [2]string{"50mm", "0"}, [2]string{"90mm", "0"}))
	assert.Empty(t, at("row", [2]string{"0", "0"}, [2]string{"1", "0"}, [2]string{"3", "0"}), "not evenly")
	square := [][2]string{{"0", "0"}, {"2", "0"}, {"4", "0"}, {"0", "3"}, {"2", "3"}, {"4", "3"}}
	assert.Equal(t, obj{"nx": "3", "ny": "2", "px": "2 in", "py": "3 in", "x": "0 in", "y": "0 in"}, at("grid", square...))
	assert.Empty(t, at("grid", square[:5]...))
	assert.Equal(t, "0 in, 0 in; 2 in, 0 in", at("dials", square[:2]...)["holes"])
}

// TestMetals: a metal by its record's words; where its grade is not said, the weaker and the slower.
func TestMetals(t *testing.T) {
	of := func(sheet, key string, metal obj) any {
		metal["name"] = "m"
		return inputsOf(t, shopOf(t, [3]any{"material", "m", metal},
			[3]any{"part", "p", obj{"name": "p", "material": "material:m"}}), sheet, obj{"part": "part:p"})[key]
	}
	for _, row := range [][5]string{{"iron", "class 30", "grey30", "grey"}, {"iron", "", "", "grey"}, {"iron", "class 50", "grey50", "greyhard"},
		{"ductile", "65-45-12", "ductile65", "ductile"}, {"ductile", "", "ductile60", "ductile"}, {"steel", "12L14", "mild", "free"},
		{"steel", "", "mild", "medium"}, {"aluminium", "356", "al356", "aluminium"}, {"aluminium", "6061-T6", "al6061", "aluminium"}} {
		metal := obj{"metal": row[0], "grade": row[1]}
		got := of("eyebolt", "metal", metal)
		if row[2] == "" {
			assert.Nil(t, got, row)
		} else {
			assert.Equal(t, row[2], got, row)
		}
		assert.Equal(t, row[3], of("speed", "work", metal), row)
	}
}
