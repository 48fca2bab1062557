package demo_test

import (
	"encoding/base64"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook"
	"datumbook/calc/jobbook/demo"
	"datumbook/calc/registry"
	"datumbook/calc/worksheet"
)

var update = flag.Bool("update", false, "write pillow-block.json again")

type obj = map[string]any
type row = []any

// builder makes the records one after the other, with a clock of its own.
type builder struct {
	t    *testing.T
	docs []any
	min  int
}

// add makes a record; pairs are field and value in turn.
func (b *builder) add(kind, id string, pairs ...any) string {
	set := obj{}
	for i := 0; i < len(pairs); i += 2 {
		set[pairs[i].(string)] = pairs[i+1]
	}
	b.min += 4
	at := fmt.Sprintf("2026-03-%02dT%02d:%02d:00Z", 2+b.min/480, 8+b.min%480/60, b.min%60)
	full := kind + ":" + demo.Prefix + id
	in, err := json.Marshal(obj{"type": kind, "id": full, "set": set, "device": "demo", "by": "demo bench", "at": at, "unit": "in", "demo": demo.Name})
	require.NoError(b.t, err)
	var out struct {
		Doc    obj
		Faults []jobbook.RecordError
	}
	require.NoError(b.t, json.Unmarshal(new(jobbook.Session).Call("new", in), &out))
	require.Empty(b.t, out.Faults, id)
	require.NotNil(b.t, out.Doc, id)
	delete(out.Doc, "by")
	b.docs = append(b.docs, out.Doc)
	return full
}

// picture adds a drawing of ours as the photo's attachment.
func (b *builder) picture(id, svg string, pairs ...any) {
	b.add("photo", id, append([]any{"image", "image", "wide", "640", "high", "400"}, pairs...)...)
	b.docs[len(b.docs)-1].(obj)["_attachments"] = obj{"image": obj{"content_type": "image/svg+xml", "data": base64.StdEncoding.EncodeToString([]byte(svg))}}
}

// kept adds a worksheet's true answer.
func (b *builder) kept(id, name string, pairs []worksheet.Pair, more ...any) {
	answer, failed, found := registry.Run(name, "in", pairs)
	require.True(b.t, found && !failed, "%s: %s", name, answer)
	var result obj
	d := json.NewDecoder(strings.NewReader(string(answer)))
	d.UseNumber()
	require.NoError(b.t, d.Decode(&result))
	inputs := obj{}
	for _, p := range pairs {
		inputs[p.Key] = p.Text
	}
	b.add("kept", id, append([]any{"worksheet", name, "unit", "in", "inputs", inputs, "answer", result, "state", "planned"}, more...)...)
}

// build makes the whole job.
func build(t *testing.T) []any {
	b := &builder{t: t}
	iron := b.add("material", "01", "name", "Grey iron (invented)", "metal", "iron", "grade", "class 30", "notes", "Invented for the demo job. Machines dry; the skin is hard.")
	mill := b.add("machine", "01", "name", "Demo turret mill", "tag", "D1", "kind", "turret", "tablelong", "49", "tablewide", "9", "throat", "23", "daylight", "17-1/2", "motor", "3", "taper", "30 taper",
		"speeds", row{"80", "135", "210", "325", "660", "1115", "1750", "2720"}, "feeds", row{"3/4", "1-1/2", "3", "6", "12"},
		"axes", row{obj{"axis": "x", "travel": "30", "division": ".001", "turn": ".200", "slack": ".012", "error": "reads long by 1 thou in a foot"}, obj{"axis": "y", "travel": "12", "division": ".001", "turn": ".200", "slack": ".008"},
			obj{"axis": "z", "travel": "16", "division": ".001", "turn": ".100"}, obj{"axis": "w", "travel": "5"}, obj{"axis": "ram", "travel": "18"}},
		"errors", "Knee drops 1-1/2 thou when the lock is let go. Lock it before the last reading.", "checked", "2026-01-12")
	borer := b.add("machine", "02", "name", "Demo boring mill", "tag", "D2", "kind", "borer", "tablelong", "60", "tablewide", "36", "daylight", "30", "motor", "10", "taper", "50 taper",
		"speeds", row{"20", "32", "50", "80", "125", "200", "315", "500"}, "feeds", row{"1/2", "1", "2", "4", "8"},
		"axes", row{obj{"axis": "x", "travel": "48", "division": ".001", "turn": ".250"}, obj{"axis": "z", "travel": "36", "division": ".001", "turn": ".250"}, obj{"axis": "w", "travel": "24", "error": "bar sags 1 thou at full reach"}},
		"slots", row{obj{"at": "6", "wide": "13/16"}, obj{"at": "14", "wide": "13/16"}, obj{"at": "22", "wide": "13/16"}}, "checked", "2025-11-03")
	plate := b.add("fixture", "01", "name", "Demo angle plate", "tag", "F1", "kind", "angle", "material", iron, "long", "18", "wide", "12", "high", "14", "thick", "1-3/4", "weight", "210", "square", ".2",
		"faces", row{obj{"face": "upright", "wide": "18", "high": "14", "left": "-9", "bottom": "-7"}},
		"ribs", row{obj{"face": "upright", "x": "-4.5", "y": "0", "long": "12", "thick": "3/4", "runs": "y", "why": "as cast"}, obj{"face": "upright", "x": "4.5", "y": "0", "long": "12", "thick": "3/4", "runs": "y"}},
		"slots", row{obj{"name": "S1", "face": "upright", "x": "0", "y": "4", "wide": "9/16", "long": "6", "runs": "x", "kind": "through",
			"why": "lets a long strap through from behind", "when": "2023-11-09"}},
		"marks", row{
			obj{"name": "G1", "face": "upright", "kind": "groove", "x": "-7", "y": "5", "wide": "1-1/2", "high": "1/2", "depth": "1/8", "why": "clears the cored boss of an older bracket", "when": "2024-06-18"},
			obj{"name": "W1", "face": "upright", "kind": "repair", "x": "8", "y": "6", "wide": "1", "high": "1", "why": "corner broken in a fall, filled and filed flush", "when": "2025-05-27"},
			obj{"name": "R3", "face": "upright", "kind": "ribgone", "x": "0", "y": "0", "wide": "3/4", "high": "6", "why": "middle rib taken off so that a strap passes behind", "when": "2023-11-09"}},
		"holes", row{
			obj{"name": "A1", "face": "upright", "x": "-6.5", "y": "-3", "kind": "tapped", "thread": "3/8-16", "depth": "1-1/4", "why": "an older bracket, kept for stops", "when": "2024-06-18"},
			obj{"name": "A2", "face": "upright", "x": "6.5", "y": "-3", "kind": "tapped", "thread": "3/8-16", "depth": "1-1/4", "why": "an older bracket, kept for stops", "when": "2024-06-18"},
			obj{"name": "B1", "face": "upright", "x": "-2.75", "y": "0", "kind": "tapped", "thread": "1/2-13", "depth": ".856", "full": "5/8", "why": "pump flange of the pillow block, left", "when": "2026-03-03"},
			obj{"name": "B2", "face": "upright", "x": "2.75", "y": "0", "kind": "tapped", "thread": "1/2-13", "depth": ".856", "full": "5/8", "why": "pump flange of the pillow block, right", "when": "2026-03-03"}},
		"keepout", row{obj{"face": "upright", "x": "0", "y": "-6", "wide": "18", "high": "2", "why": "fillet to the foot"}}, "checked", "2026-02-20")
	vise := b.add("fixture", "02", "name", "Demo vise", "tag", "F2", "kind", "vise", "wide", "6", "high", "4.125", "weight", "72", "notes", "Fixed jaw within half a thou to the key.")
	sub := b.add("fixture", "03", "name", "Demo parallels", "tag", "F3", "kind", "parallel", "long", "12", "wide", "1-1/2", "high", "3", "notes", "A pair, ground together.")
	face := b.add("tool", "01", "name", "4 in face mill, six inserts", "tag", "T1", "kind", "facemill", "diameter", "4", "teeth", "6", "made", "insert", "stickout", "3-1/4", "state", "sharp")
	drill := b.add("tool", "02", "name", "27/64 drill", "tag", "T2", "kind", "drill", "diameter", "27/64", "made", "hss", "teeth", "2", "flute", "4")
	b.add("tool", "03", "name", "1/2-13 plug tap", "tag", "T3", "kind", "tap", "thread", "1/2-13", "lead", "plug", "teeth", "4", "made", "hss")
	tap := b.add("tool", "04", "name", "1/2-13 bottoming tap", "tag", "T4", "kind", "tap", "thread", "1/2-13", "lead", "bottoming", "teeth", "4", "made", "hss")
	bar := b.add("tool", "05", "name", "Boring head, 2 to 5 in", "tag", "T5", "kind", "bar", "diameter", "4", "teeth", "1", "made", "brazed")
	lever := b.add("gauge", "01", "name", "Lever indicator", "tag", "G1", "kind", "lever", "graduation", ".0005", "range", ".030", "tip", ".080", "unsure", ".0003", "checked", "2026-02-02", "due", "2027-02-02")
	mike := b.add("gauge", "02", "name", "Inside micrometer", "tag", "G2", "kind", "mike", "graduation", ".001", "unsure", ".0005", "checked", "2025-10-15", "due", "2026-10-15")
	b.add("set", "01", "name", "Brass shims", "kind", "shims", "sizes", row{".001", ".0015", ".002", ".003", ".005", ".010", ".015", ".020"}, "place", "second drawer")
	b.add("set", "02", "name", "Gauge blocks, short set", "kind", "blocks", "sizes", row{".1001", ".1002", ".1003", ".101", ".102", ".105", ".110", ".150", ".200", ".500", "1.000", "2.000"})

	job := b.add("job", "01", "name", "Pillow-block housing with pump flange", "words", "One off. The casting is rough all over. Base flat, bore square to the flange, and the flange has to take our pump. We can wait a week for it.",
		"customer", "Invented customer", "drawing", "DEMO-100", "revision", "B", "quantity", "1", "due", "2026-03-13", "state", "running")
	part := b.add("part", "01", "name", "Housing", "job", job, "drawing", "DEMO-100", "casting", "C-7 (invented)", "material", iron, "long", "14", "wide", "6-1/2", "high", "9", "weight", "96", "notes", "Weighed on the crane scale with its sling: 98 lb.")
	feature := func(id string, pairs ...any) string {
		return b.add("feature", id, append([]any{"part", part}, pairs...)...)
	}
	base := feature("01", "name", "Base face", "kind", "face", "face", "base", "looks", "-z", "long", "14", "wide", "6-1/2", "square", ".002", "datum", "datum A", "least", ".060")
	bore := feature("02", "name", "Main bore", "kind", "bore", "face", "flange", "nominal", "4.000", "plus", ".0014", "minus", "0", "looks", "-y", "depth", "6", "x", "0", "z", "4.250", "square", ".002", "datum", "A, 4.250 up", "to", base, "least", ".040")
	flange := feature("03", "name", "Pump flange face", "kind", "face", "face", "flange", "looks", "-y", "long", "8-1/2", "wide", "8-1/2", "square", ".0015", "datum", "square to A", "to", base, "least", ".060")
	bolts := feature("04", "name", "Pump flange bolt holes", "kind", "hole", "face", "flange", "nominal", "9/16", "bolt", "1/2-13", "x", "2.75", "y", "4.250", "also", row{obj{"x": "-2.75", "y": "4.250"}}, "notes", "Two, on the centre line, 5.500 apart.")
	cap := feature("05", "name", "Cap screw holes", "kind", "tapped", "face", "cap", "thread", "1/2-13", "depth", "1", "x", "2.75", "y", "1.75", "also", row{obj{"x": "-2.75", "y": "1.75"}, obj{"x": "2.75", "y": "-1.75"}, obj{"x": "-2.75", "y": "-1.75"}}, "notes", "Four, on 5.500 by 3.500.")
	feet := feature("06", "name", "Foot slots", "kind", "slot", "face", "base", "wide", "9/16", "long", "1-1/4", "bolt", "1/2-13", "runs", "x", "x", "6.00", "y", "0", "also", row{obj{"x": "-6.00", "y": "0"}})
	seat := feature("07", "name", "Cap seat", "kind", "face", "face", "cap", "looks", "+z", "z", "9", "long", "8", "wide", "6-1/2", "square", ".001", "datum", "parallel to A", "to", base, "least", ".060")

	setup := func(id, order string, pairs ...any) string {
		return b.add("setup", id, append([]any{"order", order, "job", job, "part", part}, pairs...)...)
	}
	one := setup("01", "1", "name", "Bored side down, face the base", "machine", mill, "fixture", sub, "state", "done", "when", "2026-03-02", "down", "cap face, rough", "downside", "+z", "stands", "parallels across the table, 9 in apart",
		"datum", "scribed line on the flange, half the stock each side", "pickup", "Surface gauge at four corners, then jacks.", "indicator", lever, "wanted", ".010", "parttemp", "66", "machinetemp", "67",
		"shims", row{obj{"place": "front left jack", "thick": ".020", "x": "-5", "y": "1", "z": "9"}, obj{"place": "front right jack", "thick": "0", "x": "5", "y": "1", "z": "9"}, obj{"place": "back jack", "thick": "0", "x": "0", "y": "5-1/2", "z": "9"}})
	two := setup("02", "2", "name", "Base to the plate, face and bore the flange", "machine", mill, "fixture", plate, "state", "running", "when", "2026-03-03", "against", "base face", "seat", base, "down", "left foot on a stop", "downside", "-x",
		"stands", "plate square across the table, upright to the left", "datum", "base face is Y zero, middle of the flange is X zero", "pickup", "0.200 in edge finder on both sides of the flange, from the front; halved.",
		"zero", "X dial 0 at the middle, Y dial 0 on the plate", "indicator", lever, "sign", "plus is toward the spindle", "wanted", ".0015", "tapin", obj{"span": "12 in", "allow": ".0015 in", "grad": ".0005 in", "level": "p90"}, "parttemp", "68", "machinetemp", "67",
		"bolts", row{obj{"hole": "B1", "thread": "1/2-13", "grade": "sae5", "torque": "30", "order": "1"}, obj{"hole": "B2", "thread": "1/2-13", "grade": "sae5", "torque": "30", "order": "2"}},
		"shims", row{obj{"place": "right foot", "thick": ".002"}}, "stops", row{obj{"place": "left foot", "at": "-6.5"}},
		"wrong", "First bolt bottomed before it held: shortened it 1/8.")
	three := setup("03", "3", "name", "Base down, cap face and cap holes", "machine", mill, "fixture", vise, "state", "planned", "down", "base face", "downside", "-z", "seat", base, "datum", "bore is X zero and Y zero", "indicator", lever, "sign", "plus is up", "wanted", ".001")
	four := setup("04", "4", "name", "Finish bore and foot slots", "machine", borer, "fixture", plate, "state", "planned", "against", "flange face", "downside", "-z", "seat", flange, "datum", "bore, swept in", "indicator", lever, "wanted", ".001")

	step := func(id, order, setup, name string, pairs ...any) string {
		return b.add("step", id, append([]any{"order", order, "setup", setup, "name", name}, pairs...)...)
	}
	step("01", "1", one, "Level on four jacks to the scribed line", "done", true, "who", "demo")
	step("02", "2", one, "Is there travel for the base?", "done", true, "worksheet", "reach", "feature", base, "tool", face)
	step("03", "3", one, "Face the base, two cuts", "done", true, "worksheet", "speed", "feature", base, "tool", face, "spin", "80", "feed", "3")
	hole := step("04", "1", two, "Plan the two holes in the plate", "done", true, "worksheet", "hole", "feature", bolts, "tool", tap)
	step("05", "2", two, "Drill and tap B1 and B2", "done", true, "tool", drill, "spin", "210", "notes", "Drill 27/64, plug tap, then bottoming tap.")
	tram := step("06", "3", two, "Tram the base face along X", "done", true, "worksheet", "tram", "gauge", lever)
	shim := step("07", "4", two, "Shim the right foot", "done", true, "worksheet", "shim", "gauge", lever)
	step("08", "5", two, "Tighten, and read again", "worksheet", "tram", "gauge", lever)
	step("09", "6", two, "Face the flange", "worksheet", "facing", "feature", flange, "tool", face)
	rough := step("10", "7", two, "Rough the bore to 3.960", "worksheet", "centre", "feature", bore, "tool", bar)
	step("11", "1", three, "Face the cap seat", "worksheet", "reach", "feature", seat, "tool", face)
	step("12", "2", three, "Drill and tap four cap holes", "worksheet", "hole", "feature", cap)
	step("13", "3", three, "Positions of the four holes", "worksheet", "grid", "feature", cap)
	step("14", "1", four, "Sweep the bore in", "worksheet", "sweep", "gauge", lever)
	step("15", "2", four, "Finish bore", "worksheet", "accept", "feature", bore, "tool", bar, "gauge", mike)
	step("16", "3", four, "Foot slots", "feature", feet)

	reading := func(id, setup, station, x, value, kind string, more ...any) {
		b.add("reading", id, append([]any{"setup", setup, "station", station, "x", x, "y", "4", "value", value, "kind", kind, "gauge", lever, "who", "demo", "unsure", ".3"}, more...)...)
	}
	for i, r := range [][3]string{{"left", "-6", "0"}, {"left middle", "-2", "+.5"}, {"right middle", "2", "+1"}, {"right", "6", "+2"}} {
		reading(fmt.Sprintf("%02d", i+1), two, r[0], r[1], r[2], "before", "step", tram)
	}
	for i, r := range [][3]string{{"left", "-6", "0"}, {"left middle", "-2", "0"}, {"right middle", "2", "-.5"}, {"right", "6", "0"}} {
		reading(fmt.Sprintf("%02d", i+5), two, r[0], r[1], r[2], "after", "step", shim, "temp", "68")
	}
	b.add("reading", "09", "setup", one, "feature", base, "station", "front left corner", "value", "9.062 in", "kind", "size", "when", "2026-03-02", "note", "over the parallels, rough top")
	b.add("reading", "10", "setup", two, "step", rough, "feature", bore, "station", "roughed bore", "value", "3.958 in", "kind", "size", "gauge", mike, "unsure", ".5")

	// A tapping in, kept round by round: what was told, then what was read.
	for i, r := range [][3]string{{"0", "+6", ""}, {"0", "+.5", "b, -0.00606 in"}, {"0", "0", "b, -0.0005 in"}} {
		for j, end := range []string{"a", "b"} {
			pairs := []any{"setup", two, "station", end, "value", r[j], "kind", "tap", "round", strconv.Itoa(i + 1), "gauge", lever, "who", "demo"}
			if r[2] != "" {
				pairs = append(pairs, "move", r[2])
			}
			b.add("reading", fmt.Sprintf("%02d", 11+2*i+j), pairs...)
		}
	}
	// Touches on the rough: where a distance is left out the reading is that one.
	for i, r := range []struct{ of, x, y, value string }{
		{base, "-6", "1", "-.150 in"}, {base, "6", "1", "-.110 in"}, {base, "0", "5-1/2", "-.210 in"},
		{seat, "-3", "1", "9.170 in"}, {seat, "3", "1", "9.200 in"}, {seat, "0", "5-1/2", "9.110 in"},
		{bore, "1.870", "1", "4.270 in"}, {bore, "-1.830", "1", "4.270 in"}, {bore, ".020", "1", "6.120 in"},
		{bore, "1.880", "5", "4.260 in"}, {bore, "-1.820", "5", "4.260 in"}, {bore, ".030", "5", "6.110 in"},
	} {
		b.add("reading", fmt.Sprintf("%02d", 21+i), "setup", one, "feature", r.of, "station", "rough "+strconv.Itoa(i+1), "x", r.x, "y", r.y, "value", r.value, "kind", "rough", "who", "demo")
	}
	for i, r := range [][3]string{{"-3", "2-1/2", "-.130 in"}, {"3", "2-1/2", "-.180 in"}, {"0", "7-1/2", "-.140 in"}} {
		b.add("reading", fmt.Sprintf("%02d", 33+i), "setup", one, "feature", flange, "station", "rough "+strconv.Itoa(13+i), "x", r[0], "z", r[1], "value", r[2], "kind", "rough", "who", "demo")
	}

	b.kept("01", "hole", []worksheet.Pair{{Key: "thread", Text: "1/2-13"}, {Key: "depth", Text: "5/8"}, {Key: "stock", Text: "1-3/4"}, {Key: "tap", Text: "bottoming"}}, "job", job, "setup", two, "step", hole, "note", "for the two holes in the plate",
		"found", row{obj{"what": "tip", "value": ".985"}, obj{"what": "full", "value": "5/8"}})
	b.kept("02", "tram", []worksheet.Pair{{Key: "readings", Text: "-6, 0 thou; -2, .5 thou; 2, 1 thou; 6, 2 thou"}}, "job", job, "setup", two, "step", tram)
	b.kept("04", "sweep", []worksheet.Pair{{Key: "right", Text: "0.3 thou"}, {Key: "back", Text: "-0.1 thou"}, {Key: "left", Text: "-0.1 thou"}, {Key: "front", Text: "0.3 thou"}, {Key: "swing", Text: "10"}, {Key: "grad", Text: ".0005"}}, "job", job, "setup", one, "note", "head of the mill, swept before the first cut")
	b.kept("05", "tram", []worksheet.Pair{{Key: "readings", Text: "-6, 0 thou; -2, 0 thou; 2, -.5 thou; 6, 0 thou"}}, "job", job, "setup", two, "step", shim, "note", "after the shim")
	b.kept("03", "reach", []worksheet.Pair{{Key: "machine", Text: "turret"}, {Key: "travel", Text: "30"}, {Key: "cross", Text: "12"}, {Key: "long", Text: "14"}, {Key: "wide", Text: "6-1/2"}, {Key: "cutter", Text: "4"}}, "job", job, "setup", one)

	// The worksheets over the whole job, with what the app takes from these records: its tests hold
	// the two together.
	b.kept("06", "match", []worksheet.Pair{
		{Key: "part", Text: "slot, 6.00 in, 0 in, 1/2-13, 9/16 in, 1-1/4 in, 0; slot, -6.00 in, 0 in, 1/2-13, 9/16 in, 1-1/4 in, 0"},
		{Key: "fixtures", Text: "Demo angle plate F1, upright, 18 in, 14 in, 1-3/4 in, -9 in, -7 in"},
		{Key: "places", Text: "Demo angle plate F1, upright, tapped, -6.5 in, -3 in, , 3/8-16; Demo angle plate F1, upright, tapped, 6.5 in, -3 in, , 3/8-16; Demo angle plate F1, upright, tapped, -2.75 in, 0 in, , 1/2-13; Demo angle plate F1, upright, tapped, 2.75 in, 0 in, , 1/2-13; Demo angle plate F1, upright, slot, 0 in, 4 in, 9/16 in, , 6 in, 0"},
		{Key: "keep", Text: "Demo angle plate F1, upright, rib, -4.5 in, 0 in, 3/4 in, 12 in; Demo angle plate F1, upright, rib, 4.5 in, 0 in, 3/4 in, 12 in; Demo angle plate F1, upright, clear, 0 in, -6 in, 18 in, 2 in; Demo angle plate F1, upright, clear, -7 in, 5 in, 1-1/2 in, 1/2 in; Demo angle plate F1, upright, clear, 8 in, 6 in, 1 in, 1 in"},
	}, "job", job, "feature", feet, "note", "the foot slots, for the finishing cut")
	b.kept("07", "cleanup", []worksheet.Pair{
		{Key: "features", Text: "Base face, face, -z, 0, 0, 0, , .060 in; Main bore, bore, -y, 0 in, 0, 4.250 in, 4.000 in, .040 in; Pump flange face, face, -y, 0, 0, 0, , .060 in; Cap seat, face, +z, 0, 0, 9 in, , .060 in"},
		{Key: "touches", Text: "Base face, -6 in, 1 in, -.150 in; Base face, 6 in, 1 in, -.110 in; Base face, 0 in, 5-1/2 in, -.210 in; Cap seat, -3 in, 1 in, 9.170 in; Cap seat, 3 in, 1 in, 9.200 in; Cap seat, 0 in, 5-1/2 in, 9.110 in; Main bore, 1.870 in, 1 in, 4.270 in; Main bore, -1.830 in, 1 in, 4.270 in; Main bore, .020 in, 1 in, 6.120 in; Main bore, 1.880 in, 5 in, 4.260 in; Main bore, -1.820 in, 5 in, 4.260 in; Main bore, .030 in, 5 in, 6.110 in; Pump flange face, -3 in, -.130 in, 2-1/2 in; Pump flange face, 3 in, -.180 in, 2-1/2 in; Pump flange face, 0 in, -.140 in, 7-1/2 in"},
		{Key: "supports", Text: "front left jack, -5 in, 1 in, 9 in; front right jack, 5 in, 1 in, 9 in; back jack, 0 in, 5-1/2 in, 9 in"},
		{Key: "up", Text: "-z"},
	}, "job", job, "setup", one, "note", "before the first cut")
	b.kept("08", "chain", []worksheet.Pair{
		{Key: "setups", Text: "1 Bored side down  face the base, top, 0, 12 in, 0; 2 Base to the plate  face and bore the flange, left, 1, 14 in, 0; 3 Base down  cap face and cap holes, bottom, 1, 14 in, 0; 4 Finish bore and foot slots, bottom, 2, 8-1/2 in, 0"},
		{Key: "causes", Text: "1, seat, x, , 0.0005 in, , ; 1, seat, y, , 0.0005 in, , ; 1, tram, y, , 0.0005 in, 12 in, ; " +
			"1, head, x, 0.0004 in, 0.00058 in, 10 in, D1 head 1; 1, head, y, 0.0004 in, 0.00058 in, 10 in, D1 head 1; 1, " +
			"way, x, , 0.0003 in, 12 in, D1 way; 1, heat, x, , 0.0002 in, , ; 2, seat, x, , 0.0005 in, , ; 2, seat, y, , " +
			"0.0005 in, , ; 2, plate, x, .2 thou, 0.0002 in, 12 in, F1 plate; 2, tram, z, 0 in, 0.00058 in, 12 in, ; 2, " +
			"head, x, , , , D1 head 1; 2, head, y, , , , D1 head 1; 2, way, x, , , , D1 way; 2, heat, x, , 0.0002 in, , ; " +
			"3, seat, x, , 0.0005 in, , ; 3, seat, y, , 0.0005 in, , ; 3, tram, y, , 0.0005 in, 12 in, ; 3, head, x, , , " +
			", D1 head 1; 3, head, y, , , , D1 head 1; 3, way, x, , , , D1 way; 3, heat, x, , 0.0002 in, , ; 4, seat, x, " +
			", 0.0005 in, , ; 4, seat, y, , 0.0005 in, , ; 4, plate, x, , , , F1 plate; 4, tram, z, , 0.0005 in, 12 in, " +
			"; 4, head, x, , 0.0005 in, 12 in, D2 head; 4, head, y, , 0.0005 in, 12 in, D2 head; 4, way, x, , 0.0003 " +
			"in, 12 in, D2 way; 4, heat, x, , 0.0002 in, , "},
		{Key: "faces", Text: "Base face, 1, bottom, face, 0, 14 in, .002 in; Pump flange face, 2, front, face, 1, 8-1/2 in, .0015 in; Cap seat, 3, top, face, 1, 8 in, .001 in; Main bore, 4, front, holes, 1, 6 in, .002 in"},
	}, "job", job, "note", "before the flange is faced")
	b.kept("09", "tapin", []worksheet.Pair{
		{Key: "allow", Text: ".0015 in"},
		{Key: "grad", Text: ".0005 in"},
		{Key: "level", Text: "p90"},
		{Key: "span", Text: "12 in"},
		{Key: "pairs", Text: "0 thou, +6 thou; 0 thou, +.5 thou, b, -0.00606 in; 0 thou, 0 thou, b, -0.0005 in"},
	}, "job", job, "setup", two)

	b.add("note", "01", "text", "Demo job: everything in it is invented. Take it out with one touch under Settings.", "about", job)
	b.add("note", "02", "text", "Bolt shortened from 2-1/2 to 2-3/8 so that it does not bottom.", "about", two)
	b.picture("01", platePicture, "name", "Plate with the two new holes", "about", plate, "place", "holes.0003-demo", "view", "from the front", "taken", "2026-03-03")
	b.picture("02", setupPicture, "name", "Housing on the plate", "about", two, "view", "from the left", "taken", "2026-03-03")
	b.picture("03", basePicture, "name", "Base after the first cut", "about", one, "view", "from above", "taken", "2026-03-02")
	return b.docs
}

// The pictures are drawn here and show nothing real.
const (
	open  = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 400"><rect width="640" height="400" fill="#d9d4c7"/><g fill="none" stroke="#2b2b28" stroke-width="3">`
	close = `</g><text x="16" y="388" font-family="sans-serif" font-size="20" fill="#2b2b28">Invented: drawn for the demo job</text></svg>`

	platePicture = open + `<path d="M110 60h420v250H110z" fill="#9aa09c"/><path d="M80 310h480v40H80z" fill="#8b918d"/><rect x="230" y="96" width="180" height="24" rx="12" fill="#4d524f"/>` +
		`<g fill="#3a3d3b"><circle cx="165" cy="260" r="11"/><circle cx="475" cy="260" r="11"/></g><g fill="#1f211f" stroke="#b3261e"><circle cx="255" cy="185" r="12"/><circle cx="385" cy="185" r="12"/></g>` + close
	setupPicture = open + `<path d="M90 340h460v24H90z" fill="#7d837f"/><path d="M140 60h60v280h-60z" fill="#9aa09c"/><path d="M200 110h34v190h-34z" fill="#b9aa8c"/><path d="M234 130h190c40 0 60 30 60 75s-20 75-60 75H234z" fill="#c4b596"/>` +
		`<path d="M424 150v110" stroke-dasharray="14 6 4 6"/><path d="M120 165h120M120 245h120" stroke-width="9"/><path d="M560 150v50h-36l-18 10 18 10h36v50" fill="#6f7672"/>` + close
	basePicture = open + `<path d="M70 90h500v220H70z" fill="#c4b596"/><path d="M70 90h340v220H70z" fill="#d8d6cf"/><g stroke-width="1"><path d="M110 90q40 110 0 220M170 90q40 110 0 220M230 90q40 110 0 220M290 90q40 110 0 220M350 90q40 110 0 220"/></g>` +
		`<circle cx="440" cy="200" r="96" fill="#6f7672"/><circle cx="440" cy="200" r="22" fill="#3a3d3b"/>` + close
)

// TestFile: the file is what the builder makes.
func TestFile(t *testing.T) {
	var docs []*jobbook.Record
	for _, d := range build(t) {
		raw, err := json.Marshal(d)
		require.NoError(t, err)
		one, err := jobbook.Join(raw)
		require.NoError(t, err)
		docs = append(docs, one)
	}
	whole := map[string]*jobbook.Record{}
	for _, d := range docs {
		whole[d.ID()] = d
	}
	slices.SortFunc(docs, func(a, b *jobbook.Record) int { return strings.Compare(a.ID(), b.ID()) })
	text := ""
	for file := jobbook.NewExport("", "", "", docs); !file.Done(); {
		var some []*jobbook.Record
		for _, id := range file.Next() {
			some = append(some, whole[id])
		}
		text += string(file.Write(some))
	}
	text = strings.Replace(text, `"form":"records"`, `"form":"records","demo":"`+demo.Name+`"`, 1)
	if *update {
		require.NoError(t, os.WriteFile("pillow-block.json", []byte(text), 0o644))
	}
	assert.Equal(t, text, string(demo.File), "make it again with go test ./calc/jobbook/demo -update")
}

// TestRecords: every record keeps the rules, is marked invented, and leads
// only to others of the job.
func TestRecords(t *testing.T) {
	var file struct {
		Datumbook int
		Demo      string
		Docs      []json.RawMessage
	}
	require.NoError(t, json.Unmarshal(demo.File, &file))
	assert.Equal(t, 1, file.Datumbook)
	assert.Equal(t, demo.Name, file.Demo)
	ids, kinds := map[string]bool{}, map[string]int{}
	for _, raw := range file.Docs {
		var d struct {
			ID   string `json:"_id"`
			Type string
			Demo string
			F    map[string][]struct{ V any }
		}
		require.NoError(t, json.Unmarshal(raw, &d))
		assert.False(t, ids[d.ID], d.ID)
		ids[d.ID] = true
		kinds[d.Type]++
		assert.Equal(t, demo.Name, d.Demo, d.ID)
		assert.True(t, strings.HasPrefix(d.ID, d.Type+":"+demo.Prefix), d.ID)
		r := jobbook.Check(raw)
		assert.Empty(t, r.Faults, d.ID)
		assert.Empty(t, r.Newer, d.ID)
	}
	for _, raw := range file.Docs {
		for _, link := range strings.Split(string(raw), `"`) {
			if strings.Contains(link, ":"+demo.Prefix) {
				assert.True(t, ids[link], "%s is not in the job", link)
			}
		}
	}
	assert.GreaterOrEqual(t, kinds["machine"], 2)
	assert.Equal(t, 3, kinds["fixture"])
	assert.Equal(t, 4, kinds["setup"])
	assert.Equal(t, 3, kinds["photo"])
	for _, k := range jobbook.Kinds {
		assert.NotZero(t, kinds[k.Key], k.Key)
	}
	assert.Less(t, len(demo.File), 160_000, "it travels with the phone's app, squeezed to a ninth of that")
}

// TestKeptAnswers: the kept worksheets give today what they gave when kept.
func TestKeptAnswers(t *testing.T) {
	var file struct{ Docs []json.RawMessage }
	require.NoError(t, json.Unmarshal(demo.File, &file))
	n := 0
	for _, raw := range file.Docs {
		text := new(jobbook.Session).Call("view", []byte(`{"docs":[`+string(raw)+`]}`))
		var out struct {
			Views [1]struct {
				Type   string
				Values struct {
					Worksheet, Unit string
					Inputs          map[string]string
					Answer          json.RawMessage
				}
			}
		}
		require.NoError(t, json.Unmarshal(text, &out), string(text))
		v := out.Views[0]
		if v.Type != "kept" {
			continue
		}
		n++
		s, ok := registry.Find(v.Values.Worksheet)
		require.True(t, ok)
		var pairs []worksheet.Pair
		for _, in := range s.Inputs {
			if text, ok := v.Values.Inputs[in.Key]; ok {
				pairs = append(pairs, worksheet.Pair{Key: in.Key, Text: text})
			}
		}
		answer, failed, _ := registry.Run(s.Name, v.Values.Unit, pairs)
		require.False(t, failed)
		assert.JSONEq(t, string(answer), string(v.Values.Answer), s.Name)
	}
	assert.Equal(t, 9, n)
}
