package reach

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// said is all an answer says, for looking into.
func said(a worksheet.Answer) string {
	var b strings.Builder
	b.WriteString(a.Text("verdict") + " " + a.Text("ways"))
	for _, c := range a.Cautions() {
		b.WriteString(" " + c.Text)
	}
	return b.String()
}

func TestWhatIsSaid(t *testing.T) {
	p := func(k, v string) worksheet.Pair { return worksheet.Pair{Key: k, Text: v} }
	for _, c := range []struct {
		name   string
		sheet  *worksheet.Sheet
		change []worksheet.Pair
		says   []string
		text   map[string]string
	}{
		{"a third beyond the table", reachSheet, []worksheet.Pair{p("table", "14 in"), p("left", "14 in")},
			[]string{"more than a third", "reaches, .75 in"}, map[string]string{"overleft": "14.000 in",
				"overright": "0.000 in"}},
		{"a little beyond the table", reachSheet, []worksheet.Pair{p("table", "16 in"), p("right", "2 in")},
			[]string{"hangs 1.00 in beyond"}, map[string]string{"overright": "1.000 in"}},
		{"turret swung", reachSheet, []worksheet.Pair{p("machine", "turret"), p("ram", "18 in"), p("swing", "30"), p("home", "16 in")}, []string{"lost its tram"}, map[string]string{"xplace": "9.000 in", "yplace": "-0.412 in"}},
		{"one end is not enough", reachSheet, []worksheet.Pair{p("travel", "15 in")},
			[]string{"5.50 in short along", "two settings"}, map[string]string{"xwin": "-5.500 in"}},
		{"move it left and back", reachSheet, []worksheet.Pair{p("atx", "3 in"), p("aty", "-9 in")},
			[]string{"2.25 in to the left", "3.00 in towards the column"}, nil},
		{"borer: move it up", reachSheet, []worksheet.Pair{p("machine", "borer"), p("aty", "-3 in"), p("atx", "0 in")},
			[]string{"3.00 in up"}, map[string]string{"crosslow": "0.000 in"}},
		{"borer: move it down", reachSheet, []worksheet.Pair{p("machine", "borer"), p("aty", "15 in"), p("atx", "0 in")},
			[]string{"3.00 in down"}, nil},
		// 20.5 of 22 from 1 right of the middle: 1.75 left at the left end, .25 over at the right.
		{"spare at each end", reachSheet, []worksheet.Pair{p("atx", "1 in"), p("aty", "0 in")}, nil,
			map[string]string{"sparel": "1.750 in", "sparer": "-0.250 in", "xspare": "-0.250 in"}},
		{"cutting to the left", reachSheet, []worksheet.Pair{p("ends", "right")}, nil, map[string]string{"startx": "7.921 in", "stopx": "-7.921 in"}},
		{"turret short across", reachSheet, []worksheet.Pair{p("machine", "turret"), p("wide", "20 in")},
			[]string{"no cutter near this one"}, map[string]string{"rows": "5"}},
		{"column too near", reachSheet, []worksheet.Pair{p("throat", "5 in"), p("rear", "4 in")}, []string{"too near the column"}, map[string]string{"column": "-1.500 in"}},
		{"tilted head rises", daylightSheet, []worksheet.Pair{p("tilt", "60"), p("arm", "10 in")}, []string{"tilted"}, map[string]string{"tiltz": "5.000 in", "tiltx": "8.660 in", "roomup": "10.250 in"}},
		{"holder hits", daylightSheet, []worksheet.Pair{p("project", "1.5 in")}, []string{"it may hit by .45 in"},
			map[string]string{"holder": "-0.450 in"}},
		{"long bar", daylightSheet, []worksheet.Pair{p("bar", "0.75 in"), p("feed", "knee")}, []string{"6 times its diameter"}, map[string]string{"overhang": "6"}},
		{"no room to change", daylightSheet, []worksheet.Pair{p("part", "11 in")}, []string{"Run the table aside"}, map[string]string{"change": "-0.250 in"}},
		{"quill too short", daylightSheet, []worksheet.Pair{p("quill", "2 in")}, []string{"quill is .45 in short"},
			map[string]string{"state": "short"}},
		{"tool too short to come down", daylightSheet, []worksheet.Pair{p("knee", "2 in"), p("quill", "3 in")},
			[]string{"2.70 in short of coming down", "2.70 in longer comes down"}, map[string]string{"state": "short"}},
		{"turned round in its room", foulSheet, []worksheet.Pair{p("px", "0 in"), p("py", "0 in"), p("swingroom", "8 in")}, []string{"cannot be turned here"}, map[string]string{"sweeper": "stud", "swept": "8.621 in"}},
		{"box on the head", foulSheet, []worksheet.Pair{p("heads", "column, 0 in, 30 in, 4 in, 6 in, 20 in, 1 in")}, []string{"Nothing hits"}, map[string]string{"nearest": "14.500 in"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(c.sheet, units.InchSystem, with(c.sheet, c.change...))
			require.Nil(t, a.Fault, "%v", a.Fault)
			all := strings.ToLower(said(a))
			for _, s := range c.says {
				assert.Contains(t, all, strings.ToLower(s))
			}
			for k, want := range c.text {
				assert.Equal(t, want, a.Text(k), k)
			}
		})
	}
}

// run runs a worksheet from its example with some inputs changed.
func run(t *testing.T, s *worksheet.Sheet, pairs ...string) worksheet.Answer {
	t.Helper()
	var change []worksheet.Pair
	for i := 0; i < len(pairs); i += 2 {
		change = append(change, worksheet.Pair{Key: pairs[i], Text: pairs[i+1]})
	}
	a := worksheet.Run(s, units.InchSystem, with(s, change...))
	require.Nil(t, a.Fault, "%v", a.Fault)
	return a
}

const part = "part, -7 in, 7 in, -2.5 in, 2.5 in, 0 in, 6 in; "

const stud = part + "stud, 8 in, 8.6 in, 0 in, 0.6 in, 0 in, "

// Headlines derived by hand, input to headline, and what is to be done.
func TestReachAnswers(t *testing.T) {
	for _, c := range []struct {
		name    string
		sheet   *worksheet.Sheet
		pairs   []string
		mark    worksheet.Mark
		verdict string
		ways    []string
		never   []string
	}{
		// 14 + 6 + .5 = 20.5 of 22: .75 either side. Column: 16 - 2.5 - 4 - .25 = 9.25.
		{"reaches", reachSheet, nil, worksheet.Good, "Reaches, .75 in to spare.",
			[]string{"Centre the face on the table's middle; it may be off by .75 in along and"}, nil},
		// 2.5 + 4 + 1/4 of 5: 1.75 short of the column, with 22 of travel for 20.5.
		{"the column, not the travel", reachSheet, []string{"throat", "5 in"}, worksheet.Stop, "Too near the column by",
			[]string{"The travels are enough"}, []string{"into these travels"}},
		{"throat not said", reachSheet, []string{"throat", ""}, worksheet.Open, "The column was not reckoned", nil, nil},
		{"a borer has no throat", reachSheet, []string{"machine", "borer", "throat", ""}, worksheet.Good, "Reaches", nil,
			nil},
		{"close", reachSheet, []string{"travel", "20.7 in"}, worksheet.Careful, "Reaches, .10 in to spare: close.", nil, nil},
		// 20.5 - 12 = 8.5: a cutter 8.5 smaller than 6 was offered. Half the face: 7 + .9... + 3 fits 12.
		// Half the face, one end: A = 3 - sqrt(9 - 6.25) = 1.342; 7 + 1.342 + .5 = 8.84 of 12.
		{"far too short", reachSheet, []string{"travel", "12 in"}, worksheet.Stop, "8.50 in short along the feed.",
			[]string{"two settings"}, []string{"smaller", "A cutter of", "half way"}},
		// 18.2: 14 + d + .5 is 18.2 with d = 3.7, and 5 in wide takes two rows: 5.25 - 3.7 of 12.
		{"a smaller cutter does", reachSheet, []string{"travel", "18.2 in"}, worksheet.Stop, "2.30 in short",
			[]string{"stop when the face is cut", "A cutter of 3.70 in reaches"}, nil},
		{"turned, it lies along the longer travel", reachSheet,
			[]string{"travel", "12 in", "cross", "22 in", "throat",
				""}, worksheet.Stop, "8.50 in short", []string{"lies along the cross travel"}, nil},
		// 8 in wide, 6 cutter: 8.25 - 6 = 2.25 across; 7.5 would do: 14 + 7.5 + .5 = 22 reaches.
		{"a larger cutter", reachSheet, []string{"wide", "8 in", "cross", "1 in"}, worksheet.Stop, "1.25 in short across",
			[]string{"A cutter of 7.25 in"}, nil},
		// 10 in: 10.25 - d <= 1 wants 9.25: 14 + 9.25 + .5 is over 22.
		{"a larger cutter would not run out", reachSheet, []string{"wide", "10 in", "cross", "1 in"}, worksheet.Stop,
			"3.25 in short across", nil, []string{"A cutter of"}},
		// Off the middle by .4: w = 2.9, A = 3 - sqrt(9 - 8.41) = 2.232; 14 + 2.232 + .5 = 16.73.
		{"off the middle", reachSheet, []string{"offset", ".4 in", "ends", "left"}, worksheet.Careful,
			"Reaches, 2.63 in to spare", nil, nil},
		{"off the middle, conventional", reachSheet, []string{"offset", "-.4 in", "ends", "left"}, worksheet.Good,
			"Reaches", nil, nil},
		{"millimetres typed as inches", reachSheet, []string{"long", "350"}, worksheet.Stop, "short along", nil, nil},

		// 19 - (4.5 + 2 + 6 + .75 + .5) = 5.25; quill 5 - 2.45 = 2.55
		{"fits", daylightSheet, nil, worksheet.Good, "Fits, 2.55 in to spare.", []string{"nose to table is 15.03 in"}, nil},
		{"what stands above was not said", daylightSheet, []string{"over", ""}, worksheet.Open,
			"reckoned as nothing: the highest thing above", nil, nil},
		// 4.5 + 2 + 12 + 1.25 = 19.75: .75
		{"too tall", daylightSheet, []string{"part", "12 in"}, worksheet.Stop, ".75 in short under the spindle.",
			[]string{"holder .75 in shorter", ".75 in less under the part", "riser of .75 in"}, nil},
		// 1.5 too tall on nothing, with a tool of 1: neither can be less by so much.
		{"nothing to take out", daylightSheet, []string{"part", "18.5 in", "under", "0 in", "tool", "1 in"},
			worksheet.Stop, "1.75 in short", []string{"riser"}, []string{"shorter", "less under"}},

		// Geometry: the teeth run at 6, a stud end at 6.5 stands .5 above; .125 wanted: .625 lower.
		{"stud above the cut", foulSheet, []string{"boxes", stud + "6.5 in"}, worksheet.Stop,
			"stud stands .50 in above the cut: the teeth hit it.", []string{"stud .63 in lower"},
			[]string{"down", "move the work"}},
		{"stud too near", foulSheet, []string{"boxes", stud + "5.95 in"}, worksheet.Careful,
			"Too near: stud and cutter body .050 in apart, 1/8 in wanted.", []string{"stud .08 in lower"}, nil},
		// Nose at 2 above the edge: 8 over; wall to 9: kept .125 from its side or carried higher.
		{"a wall meets the nose", foulSheet, []string{"boxes", "wall, 15 in, 16 in, -1 in, 1 in, 0 in, 9 in"},
			worksheet.Good, "Nothing hits", nil, nil},
		// Nose of radius 4 comes to 14.25; wall at 14: Keep left of X 14 - 4 - .125 = 9.875; it may be
		// .38 to the right.
		// Cutter of radius 2.75, half the width 2.5: whole to 9.87 + 1.14, and the part ends at 7.
		{"a wall meets the nose, a little", foulSheet, []string{"boxes", part +
			"wall, 14 in, 15 in, -1 in, 1 in, 0 in, 9 in"},
			worksheet.Stop, "It hits: wall and nose, by .25 in.",
			[]string{"Keep the spindle left of X 9.87 in: the face is still cut whole",
				"wall .38 in to the right, if it can be moved", "A holder 1.13 in longer"}, nil},
		// A strap at 6.2 in the path of teeth that run at 6: .2 above. Body from 6.5: clear of it.
		{"a strap above the cut, under the body", foulSheet, []string{"boxes", part + "strap,-8,-6,-1,1,5,6.2", "heads",
			"cutter body,.5,2,5.5"}, worksheet.Stop, "strap stands .20 in above the cut: the teeth hit it.", nil, nil},
		// The nose comes to Y 4.5, the column stands at 4: .5 in, and a machine part stays where it is.
		// Cutter to Y 3: clear of it.
		{"a column cannot be moved", foulSheet, []string{"boxes", part + "column,-20,20,4,20,0,60", "heads",
			"cutter body,.1,2,6;nose,2,6,9"}, worksheet.Stop, "It hits: column and nose, by .50 in.",
			[]string{"Set the work, and the spindle's way with it, .63 in away from the column"},
			[]string{"towards the column", "lower", "Keep"}},
		{"the part that is cut was not named", foulSheet, []string{"boxes", part, "heads", "cutter body,.1,2,5.5", "skip",
			""}, worksheet.Stop, "It hits: part and cutter body, they touch.", []string{"name it as the part that is cut"},
			[]string{"towards the column"}},
		// Neither strap nor part was named: it is the larger that is cut. 6.2 - 6 = .2.
		{"a strap, and the part that is cut not named", foulSheet, []string{"boxes", part + "strap,-8,-6,-1,1,5,6.2",
			"heads", "cutter body,.5,2,5.5", "skip", ""}, worksheet.Stop, "strap stands .20 in above the cut",
			[]string{"If part is what is cut"}, []string{"If strap"}},
		// Wall from X 7: cutter of radius 2.75 and .125 keep the spindle left of 4.125: 4.12. It cuts
		// whole to 4.12 + sqrt(7.5625 - 6.25) = 5.266; 7 - 5.265 = 1.735: 1.74.
		{"what a shorter way leaves", foulSheet, []string{"boxes", part + "wall,7,7.5,-3,3,0,12", "heads",
			"cutter body,.1,2,5.5"}, worksheet.Stop, "It hits: wall and cutter body",
			[]string{"left of X 4.12 in: 1.74 in of " +
				"the face stays uncut"}, nil},
		{"turning was asked without its room", foulSheet, []string{"px", "0 in", "py", "0 in"}, worksheet.Good,
			"Nothing hits", nil, nil},
		{"it cannot be turned", foulSheet, []string{"px", "0 in", "py", "0 in", "swingroom", "8.7 in"}, worksheet.Careful,
			"It cannot be turned here.", nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := run(t, c.sheet, c.pairs...)
			assert.Equal(t, c.mark, a.Mark(), "%v", a.Cautions())
			assert.Contains(t, a.Text("verdict"), c.verdict)
			for _, s := range c.ways {
				assert.Contains(t, a.Text("ways"), s)
			}
			for _, s := range c.never {
				assert.NotContains(t, a.Text("ways"), s)
			}
			assert.Equal(t, map[worksheet.Mark]string{worksheet.Good: "yes", worksheet.Stop: "no",
				worksheet.Careful: worksheet.Either(strings.HasPrefix(c.verdict, "Too near"), "no", "yes")}[c.mark], a.Text("ok"))
		})
	}
	assert.Contains(t, said(run(t, reachSheet, "long", "350")), "350 in? Or 350 mm?")
}

// What is offered does what it says.
func TestWaysOutDo(t *testing.T) {
	for _, c := range []struct {
		sheet *worksheet.Sheet
		pairs []string
	}{
		{reachSheet, []string{"travel", "18.2 in", "cutter", "3.7 in"}}, {reachSheet,
			[]string{"travel", "18.2 in", "ends", "left"}},
		{reachSheet, []string{"wide", "8 in", "cross", "1 in", "cutter", "7.25 in"}},
		{daylightSheet, []string{"part", "12 in", "tool", "3.75 in"}}, {daylightSheet,
			[]string{"part", "12 in", "under", "1.25 in"}},
		{foulSheet, []string{"boxes", stud + "5.87 in"}}, {foulSheet,
			[]string{"boxes", "wall, 14 in, 15 in, -1 in, 1 in, 0 in, 9 in", "x2", "9.87 in"}},
		{foulSheet, []string{"boxes", "wall, 14.38 in, 15.38 in, -1 in, 1 in, 0 in, 9 in"}},
	} {
		a := run(t, c.sheet, c.pairs...)
		assert.NotEqual(t, worksheet.Stop, a.Mark(), "%v: %s", c.pairs, a.Text("verdict"))
		assert.NotContains(t, a.Text("verdict"), "Too near")
	}
}

// A face mirrored left to right, and one cut from the other end, need the same; offsets mirror.
func TestMirrored(t *testing.T) {
	a, b := run(t, reachSheet, "ends", "left", "offset", ".4 in", "atx", "1 in"), run(t, reachSheet, "ends", "right",
		"offset", ".4 in", "atx", "-1 in")
	for _, key := range []string{"xneed", "xspare", "approach", "xwin"} {
		assert.Equal(t, a.Text(key), b.Text(key), key)
	}
	assert.Equal(t, "climb", a.Text("side"))
	assert.Equal(t, "conventional", b.Text("side"))
	assert.Equal(t, "conventional cutting to the right, climb cutting to the left",
		run(t, reachSheet, "offset", "-.4 in").Text("side"))
}

// Between a travel that is short and one that is not stands the travel needed.
func TestMarkTurnsAtTheTravelNeeded(t *testing.T) {
	lo, hi := 15.0, 30.0
	for range 40 {
		mid := (lo + hi) / 2
		d, _ := units.Round(mid, 6)
		if run(t, reachSheet, "travel", d.Text()+" in").Mark() == worksheet.Stop {
			lo = mid
		} else {
			hi = mid
		}
	}
	assert.InDelta(t, 20.5, hi, 1e-5)
	shown := false
	for _, l := range run(t, reachSheet).Lines() {
		shown = shown || l.What == "Travel needed along" && l.Result == "20.5000 in"
	}
	assert.True(t, shown)
}

func TestMainResultsHaveDials(t *testing.T) {
	for _, s := range Sheets() {
		for _, r := range s.Results {
			if _, quantity := r.Kind.Dim(); quantity && r.Main && r.Kind != worksheet.Count {
				assert.NotEmpty(t, r.Dial, "%s %s", s.Name, r.Key)
			}
		}
	}
}

// A wall mirrored left to right hits alike, and the ways out mirror.
func TestFoulMirrored(t *testing.T) {
	heads := []string{"heads", "cutter body,.1,2,5.5", "boxes"}
	a := run(t, foulSheet, append(heads, part+"wall,7,7.5,-3,3,0,12")...)
	b := run(t, foulSheet, append(heads, part+"wall,-7.5,-7,-3,3,0,12")...)
	assert.Equal(t, a.Text("verdict"), b.Text("verdict"))
	assert.Contains(t, a.Text("ways"), "left of X 4.12 in: 1.74 in of")
	assert.Contains(t, b.Text("ways"), "right of X -4.12 in: 1.74 in of")
}
