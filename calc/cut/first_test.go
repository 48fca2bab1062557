package cut

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What is said first, for every mark: changes of the worksheets' examples.
func TestHeadlines(t *testing.T) {
	const mill = "op=facemill|dia=4|teeth=6|revfeeds="
	const anyway = "op=drill|speeds=|revfeeds="
	for _, c := range []struct {
		name, sheet, typed string
		mark               worksheet.Mark
		head, facts        string
	}{
		{"held back by the feeds", "speed", "op=facemill|tool=carbide|work=grey|dia=4|speeds=80, 135, 210, 325|feeds=1.5, 3, 6",
			worksheet.Good, "210 rpm, 3.0 in/min", "held back: next feed is 6.0 · .0035 a tooth if 4 teeth"},
		{"held back by the last feed", "speed", "op=facemill|tool=carbide|work=grey|dia=4|teeth=6|feeds=1.5, 3",
			worksheet.Good, "210 rpm, 3.0 in/min", "held back: no faster feed · .0020 a tooth · 220 ft/min"},
		{"teeth not told", "speed", "op=facemill|tool=carbide|work=grey|dia=4", worksheet.Good, "210 rpm, 5.8 in/min",
			"220 ft/min · .0070 a tooth if 4 teeth · start .050 deep"},
		{"mill", "speed", mill, worksheet.Good, "80 rpm, 3.3 in/min", "84 ft/min · .0070 a tooth · start .050 deep"},
		{"mill, by its charts", "speed", mill + "|feeds=1.5 2.5 4 6 9 14", worksheet.Good,
			"80 rpm, 2.5 in/min", "held back: next feed is 4.0 · .0050 a tooth · 84 ft/min"},
		{"drill", "speed", "dia=17/32|motor=3 hp", worksheet.Good,
			"660 rpm, .0060 a turn", "pushes 700 lbf · 1.6 of 3 hp · 92 ft/min"},
		{"deep hole", "speed", "dia=3/8|depth=2|motor=3 hp", worksheet.Good,
			"660 rpm, .0030 a turn", "pushes 320 lbf · 0.5 of 3 hp · clear the chip at 1.13"},
		{"tap", "speed", "op=tap|thread=5/8-11|speeds=80 135 210 325", worksheet.Good,
			"210 rpm, lead .0909", "twists 15, dull 29 lbf-ft · 34 ft/min"},
		{"a step fast", "speed", "op=facemill|dia=3|teeth=4|revfeeds=|speeds=60 120", worksheet.Good,
			"120 rpm, 3.3 in/min", "a step fast: 60 if it squeals · 94 ft/min · .0070 a tooth"},
		{"through scale", "speed", mill + "|scale=yes|speeds=", worksheet.Careful,
			"46 rpm through scale", "get under in one cut, .125 deep · 48 ft/min · .0070 a tooth"},
		{"near its mark", "speed", "op=facemill|dia=2|teeth=4|revfeeds=|speeds=|maxrpm=150", worksheet.Careful,
			"140 rpm, 3.9 in/min", "▲ marked 150: no faster · 73 ft/min · .0070 a tooth"},
		{"heavy feed", "speed", "ownfeed=.05|revfeeds=", worksheet.Careful,
			".050 a turn is a heavy feed", ".015 is the most that is usual · pushes 3,100 lbf"},
		{"heavy chip", "speed", mill + "|ownfeed=.05", worksheet.Careful,
			".050 a tooth: edges will chip", ".010 is the most that is usual · 84 ft/min · .050 a tooth"},
		{"least feed", "speed", "dia=.1|revfeeds=.006", worksheet.Careful,
			"Least feed .006 is too much", "lighter cut, or by hand · pushes 150 lbf · 71 ft/min"},
		{"dull tap breaks", "speed", "op=tap|thread=5/8-11|breaks=25 lbf-ft", worksheet.Careful,
			"210 rpm, lead .0909", "twists 15, dull 29 lbf-ft · ▲ breaks at 25 · 34 ft/min"},
		{"slowest too fast", "speed", "op=facemill|dia=8|teeth=6|revfeeds=|speeds=80 160", worksheet.Stop,
			"Slowest 80 too fast: 47 at most", "back gear · or carbide · or a cutter under 4.77"},
		{"marked", "speed", mill + "|speeds=3200|maxrpm=3000", worksheet.Stop,
			"Cutter marked 3,000: no faster", "slowest here is 3,200 · back gear, or another tool"},
		{"marked with many decimals", "speed", "op=facemill|dia=0.01|revfeeds=|speeds=33750.4375|maxrpm=1200.98", worksheet.Stop,
			"Slowest speed is too fast", "slowest here is 33,750.4375 · back gear, or another tool"},
		{"stalls", "speed", anyway + "|dia=1|motor=1 hp", worksheet.Stop,
			"Stalls: 4.5 of 1 hp", ".0020 a turn at most · pushes 2,300 lbf"},
		{"tap breaks", "speed", "op=tap|thread=5/8-11|breaks=10 lbf-ft", worksheet.Stop,
			"Tap breaks at 10, takes 15 lbf-ft", "spiral point, if through: 9.0"},

		{"pulls", "power", "", worksheet.Good, "Pulls: 1.6 of 3 hp", "hold against 560 lbf · .0080 a tooth"},
		{"just", "power", "motor=1.7 hp", worksheet.Careful,
			"Pulls, just: 1.6 of 1.7 hp", "hold against 560 lbf · .0080 a tooth"},
		{"chips", "power", "feed=12|motor=20 hp", worksheet.Careful,
			".025 a tooth: edges will chip", "4.8 in/min gives .010 · hold against 1,400 lbf"},
		{"climbs", "power", "width=2|offset=-2", worksheet.Careful,
			"Pulls: 0.8 of 3 hp", "hold against 390 lbf · ▲ climbs: lock on · .0080 a tooth"},
		{"no motor", "power", "motor=", worksheet.Open,
			"Takes 1.6 hp. What motor?", "hold against 560 lbf · .0080 a tooth"},
		{"too much", "power", "motor=1 hp", worksheet.Stop,
			"Too much: 1.6 of 1 hp", ".063 deep is all it has · or 2.2 in/min"},

		{"drills", "drillforce", "", worksheet.Good, "Pushes 970 lbf, 2.1 of 3 hp", "twists 15 lbf-ft"},
		{"just", "drillforce", "motor=2.2 hp", worksheet.Careful,
			"Drills, just: 2.1 of 2.2 hp", "pushes 970 lbf · twists 15 lbf-ft"},
		{"heavy", "drillforce", "feed=.03|motor=20 hp", worksheet.Careful,
			".030 a turn is a heavy feed", "usual .0070 to .015 · twists 35 lbf-ft"},
		{"no motor", "drillforce", "motor=", worksheet.Open, "Pushes 970 lbf. What motor?", "twists 15 lbf-ft"},
		{"stalls", "drillforce", "motor=1 hp", worksheet.Stop,
			"Stalls: 2.1 of 1 hp", ".0040 a turn at most · pushes 970 lbf"},

		{"stands it", "taptorque", "", worksheet.Good, "Takes 17, breaks at 74 lbf-ft", "dull 33 lbf-ft"},
		{"dull", "taptorque", "breaks=25 lbf-ft", worksheet.Careful,
			"Dull it takes 33, breaks at 25", "▲ oil, back off often"},
		{"forming", "taptorque", "tap=form|breaks=200 lbf-ft", worksheet.Careful,
			"Hole too small for a forming tap", "dull 70 lbf-ft · a cutting tap's drill"},
		{"breaks", "taptorque", "breaks=10 lbf-ft", worksheet.Stop,
			"Tap breaks at 10, takes 17 lbf-ft", "hole .5530"},

		{"three layers", "facing", "", worksheet.Good,
			"4 passes, 34 min", "3 x .078, then .015 · one row · start 10.25 left of middle"},
		{"one pass", "facing", "stock=.01", worksheet.Good,
			"1 pass, 14 min", ".010 in one · one row · start 10.25 left of middle"},
		{"two hours", "facing", "wide=14|stock=.5", worksheet.Good,
			"18 passes, 2 h 30", "5 x .097, then .015 · 3 rows · start 10.25 left of middle"},
		{"both ways", "facing", "way=two|wide=14", worksheet.Careful,
			"12 passes, 1 h 40", "3 x .078, then .015 · 3 rows · start 10.25 left of middle"},
		{"chips", "facing", "pertooth=.05", worksheet.Careful,
			".050 a tooth: edges will chip", "3 x .078, then .015 · one row · start 10.25 left of middle"},
	} {
		t.Run(c.sheet+" "+c.name, func(t *testing.T) {
			a := typedInto(t, c.sheet, c.typed)
			head, facts := a.Headline()
			assert.Equal(t, c.head, head)
			assert.Equal(t, c.facts, strings.Join(facts, " · "))
			assert.Equal(t, c.mark, a.Mark())
		})
	}
}

// typedInto runs a worksheet's example with changes: "key=text|key=text".
func typedInto(t *testing.T, sheet, typed string) worksheet.Answer {
	t.Helper()
	for _, s := range Sheets() {
		if s.Name != sheet {
			continue
		}
		var change []worksheet.Pair
		for _, p := range strings.Split(typed, "|") {
			if key, text, ok := strings.Cut(p, "="); ok {
				change = append(change, worksheet.Pair{Key: key, Text: text})
			}
		}
		a := worksheet.Run(s, units.InchSystem, withPairs(s.Example, change...))
		require.Nil(t, a.Fault, "%v", a.Fault)
		return a
	}
	require.Fail(t, "no worksheet "+sheet)
	return worksheet.Answer{}
}

// What is known is said before the question for what is not.
func TestHalf(t *testing.T) {
	for _, c := range []struct{ sheet, typed, head string }{
		{"power", "depth=", "Motor has .189. How deep?"},
		{"power", "depth=|motor=", "How deep?"},
		{"drillforce", "feed=", "Usual .0070 to .015. What feed?"},
		{"taptorque", "hole=", "Breaks near 74 lbf-ft. What hole?"},
		{"facing", "stock=", "One row. How much stock?"},
		{"facing", "stock=|wide=14", "3 rows. How much stock?"},
		{"speed", "op=", "Which tool?"},
		{"speed", "dia=", "What diameter?"},
	} {
		for _, s := range Sheets() {
			if s.Name == c.sheet {
				var change []worksheet.Pair
				for _, p := range strings.Split(c.typed, "|") {
					key, text, _ := strings.Cut(p, "=")
					change = append(change, worksheet.Pair{Key: key, Text: text})
				}
				head, _ := worksheet.Run(s, units.InchSystem, withPairs(s.Example, change...)).Headline()
				assert.Equal(t, c.head, head, c.sheet+" "+c.typed)
			}
		}
	}
}

// A drill's load beside its speed is that of the worksheet for it, a tap's that of its usual hole.
func TestLoadBesideSpeed(t *testing.T) {
	a := typedInto(t, "speed", "dia=17/32|motor=3 hp|speeds=575|revfeeds=.010")
	b := typedInto(t, "drillforce", "")
	assert.Equal(t, b.Text("thrust"), a.Text("push"))
	assert.Equal(t, b.Text("torque"), a.Text("twist"))
	assert.Equal(t, b.Text("share"), a.Text("share"))
	// 5/8 - .9743/11 = .53643
	a = typedInto(t, "speed", "op=tap|thread=5/8-11|tap=bottoming")
	b = typedInto(t, "taptorque", "hole=.53643")
	assert.Equal(t, b.Text("torque"), a.Text("twist"))
	assert.Equal(t, b.Text("breaks"), a.Text("stands"))
}
