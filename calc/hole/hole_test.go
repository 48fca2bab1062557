package hole

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/drill"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

func mustThread(t testing.TB, s string) thread.Thread {
	th, err := thread.Parse(s)
	require.NoError(t, err)
	return th
}

// The depth budget worked by hand: shoulder = full + c P + k P, point from
// cone geometry (a 118 degree drill is 0.3004 d long at the point).
func TestDepthBudget(t *testing.T) {
	const tol = 0.00006
	for _, row := range []struct {
		name, thread                    string
		full, chamfer, chips, dia       float64
		point                           float64
		ch, shoulder, pointLen, tip, tu float64
	}{
		{"5/8-11 an inch deep", "5/8-11", 1, 1.5, 1, 17.0 / 32, 118, .1364, 1.2273, .1596, 1.3869, 12.5},
		{"1/2-13 with a plug tap", "1/2-13", .75, 4, .78, 27.0 / 64, 118, .3077, 1.1177, .1267, 1.2444, 13.75},
		{"1/2-13 bottoming, 135 degree point", "1/2-13", .75, 1.5, 1.04, 27.0 / 64, 135, .1154, .9454, .0874, 1.0328, 11.25},
		{"M12, 24 mm deep", "M12", 24 / 25.4, 2, 1, 10.2 / 25.4, 118, 3.5 / 25.4, 29.25 / 25.4, 3.0643 / 25.4, 32.3143 / 25.4, 24/1.75 + 2},
	} {
		t.Run(row.name, func(t *testing.T) {
			p, f := Make(Input{Thread: mustThread(t, row.thread), Depth: row.full, To: ToThread, Stock: 10, Tap: Bottoming,
				Chamfer: row.chamfer, Chips: row.chips, Drill: row.dia, Point: row.point, Csk: 0, CskDeg: 90, Work: Steel})
			require.Nil(t, f)
			assert.InDelta(t, row.ch, p.Chamfer, tol)
			assert.InDelta(t, row.shoulder, p.Shoulder, tol)
			assert.InDelta(t, row.pointLen, p.PointLen, tol)
			assert.InDelta(t, row.tip, p.Tip, tol)
			assert.InDelta(t, row.tu, p.Bite.Turns, .001)
		})
	}
}

// Tap drills of the published tables (Machinery's Handbook, 31st ed., tap drill
// sizes): with all inch drills owned and the table's percentage aimed at, the
// table's drill is chosen or stands among the runners-up inside the limits.
func TestUsualTapDrills(t *testing.T) {
	for _, row := range []struct{ thread, drill string }{
		{"1/4-20", "#7"}, {"5/16-18", "F"}, {"3/8-16", "5/16"}, {"7/16-14", "U"}, {"1/2-13", "27/64"},
		{"5/8-11", "17/32"}, {"3/4-10", "21/32"}, {"7/8-9", "49/64"}, {"1-8", "7/8"}, {"10-24", "#25"}, {"10-32", "#21"},
		{"8-32", "#29"}, {"6-32", "#36"}, {"1/4-28", "#3"}, {"3/8-24", "Q"}, {"1/2-20", "29/64"},
		{"M6", "5 mm"}, {"M8", "6.8 mm"}, {"M10", "8.5 mm"}, {"M12", "10.2 mm"}, {"M16", "14 mm"}, {"M20", "17.5 mm"},
	} {
		t.Run(row.thread, func(t *testing.T) {
			th := mustThread(t, row.thread)
			sets := drill.Sets[:3]
			if th.System == thread.ISO {
				sets = drill.Sets[3:]
			}
			p, f := Make(Input{Thread: th, Depth: .5, To: ToThread, Stock: 10, Tap: Plug, Chips: 1, Point: 118, CskDeg: 90, Work: Steel, Sets: sets})
			require.Nil(t, f)
			for _, c := range append([]Candidate{p.Pick}, p.Runners...) {
				if c.Name == row.drill && c.Grade != Outside {
					return
				}
			}
			assert.Failf(t, "the table's drill is not offered", "%s: picked %s %+v", row.drill, p.Pick.Name, p.Runners)
		})
	}
}

func TestRefusals(t *testing.T) {
	s := tapped
	for _, row := range []struct {
		name  string
		field string
		says  string
		in    []worksheet.Pair
	}{
		{"no thread", "thread", "missing", nil},
		{"no such thread", "thread", "Type it like", []worksheet.Pair{{Key: "thread", Text: "banana"}}},
		{"pipe thread", "thread", "", []worksheet.Pair{{Key: "thread", Text: "1/4 NPT"}}},
		{"no stock", "stock", "as deep as it goes", []worksheet.Pair{{Key: "thread", Text: "5/8-11"}}},
		{"through without thickness", "depth", "thickness", []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "stock", Text: "through"}}},
		{"bad fraction", "depth", "bottom number", []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "depth", Text: "3/"}}},
		{"too deep", "depth", "more than 40 in", []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "depth", Text: "400"}}},
		{"forming iron", "method", "does not form", []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "depth", Text: "1"}, {Key: "method", Text: "form"}}},
		{"drill as large as the thread", "drill", "no thread", []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "depth", Text: "1"}, {Key: "drill", Text: "5/8"}}},
		{"bare drill number", "drill", "#7", []worksheet.Pair{{Key: "thread", Text: "1/4-20"}, {Key: "depth", Text: "1"}, {Key: "drill", Text: "7"}}},
		{"unknown tap", "tap", "taper, plug, bottoming", []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "tap", Text: "spiral"}}},
		{"unknown key", "dept", "not an input", []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "dept", Text: "1"}}},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := worksheet.Run(s, units.InchSystem, row.in)
			require.NotNil(t, a.Fault)
			assert.Equal(t, row.field, a.Fault.Field)
			assert.Contains(t, a.Fault.Message, row.says)
		})
	}
}

// TestSays holds the answer to saying what can hurt: a breakthrough, a thin
// floor, a thread shorter than the bolt is strong.
func TestSays(t *testing.T) {
	for _, row := range []struct {
		name, depth, to, stock string
		level                  worksheet.Level
		says                   string
	}{
		{"breaks through", "3/4", "thread", ".95", worksheet.Refusal, "breaks through"},
		{"thin floor", "3/4", "shoulder", ".95", worksheet.Warning, "floor is thin"},
		{"short thread", "3/4", "shoulder", ".95", worksheet.Warning, "to break before it strips"},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := worksheet.Run(tapped, units.InchSystem, []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "depth", Text: row.depth},
				{Key: "to", Text: row.to}, {Key: "stock", Text: row.stock}, {Key: "tap", Text: "bottoming"}})
			require.Nil(t, a.Fault)
			for _, c := range a.Cautions() {
				if c.Level == row.level && assert.ObjectsAreEqual(true, contains(c.Text, row.says)) {
					return
				}
			}
			assert.Failf(t, "not said", "%s in %v", row.says, a.Cautions())
		})
	}
}

func contains(s, part string) bool {
	for i := 0; i+len(part) <= len(s); i++ {
		if s[i:i+len(part)] == part {
			return true
		}
	}
	return false
}

// The engagement joined into the plan: 5/8-11 2A in 2B, equal strengths 0.4528 in
// (FED-STD-H28 formula worked with the printed limits), times J for the metal.
func TestEngagementJoined(t *testing.T) {
	p, f := Make(Input{Thread: mustThread(t, "5/8-11"), Depth: 1, To: ToThread, Stock: 3, Tap: Bottoming, Chips: -1, Drill: 17.0 / 32,
		Point: 118, Csk: 0, CskDeg: 90, Work: Steel})
	require.Nil(t, f)
	assert.Equal(t, "5", p.Bolt)
	assert.Greater(t, p.Needs, .4528, "mild steel is weaker than a grade 5 screw")
	assert.Less(t, p.Needs, 1.0)
	assert.False(t, p.Weak)
	q, f := Make(Input{Thread: mustThread(t, "5/8-11"), Depth: .3, To: ToThread, Stock: 3, Tap: Bottoming, Chips: -1, Drill: 17.0 / 32,
		Point: 118, Csk: 0, CskDeg: 90, Work: Iron})
	require.Nil(t, f)
	assert.True(t, q.Weak)
	assert.Greater(t, q.Needs, q.NeedsShear, "grey iron: the tensile way is the careful one")
}

// TestWaysOut: a hole that does not fit has ways out, one that fits none.
func TestWaysOut(t *testing.T) {
	run := func(depth string) worksheet.Answer {
		return worksheet.Run(tapped, units.InchSystem, []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "depth", Text: depth}, {Key: "stock", Text: ".95"}})
	}
	assert.Len(t, run("3/4").Rows("ways"), 4)
	assert.Empty(t, run("3/8").Rows("ways"))
	assert.Equal(t, "no", run("3/4").Text("fits"))
	assert.Equal(t, "yes", run("3/8").Text("fits"))
}

// genInput draws any plan the worksheet can ask for.
func genInput(t *rapid.T) Input {
	all := append(thread.AllUnified(), thread.AllISO()...)
	taps := rapid.SampledFrom(Taps[:])
	return Input{
		Thread: rapid.SampledFrom(all).Draw(t, "thread"),
		Depth:  rapid.Float64Range(.01, 40).Draw(t, "depth"),
		To:     rapid.SampledFrom([]To{ToThread, ToShoulder, ToPoint}).Draw(t, "to"),
		Stock:  rapid.Float64Range(.02, 40).Draw(t, "stock"),
		Tap:    taps.Draw(t, "tap"), Work: rapid.SampledFrom([]Work{Iron, Steel, Stainless, Aluminium, Bronze}).Draw(t, "work"),
		Point: rapid.Float64Range(60, 180).Draw(t, "point"), Chips: rapid.Float64Range(-1, 30).Draw(t, "chips"),
		Csk: -1, CskDeg: 90, Sets: drill.Sets, Percent: rapid.SampledFrom([]float64{0, 50, 75}).Draw(t, "percent"),
	}
}

// TestLaws: nothing is ever not a number, and a deeper thread never leaves more
// floor.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := genInput(t)
		p, f := Make(in)
		require.Nil(t, f)
		for _, x := range []float64{p.Shoulder, p.Tip, p.Floor, p.Full, p.Bite.Turns, p.Mark, p.Pick.Percent,
			p.Pick.Likely, p.CskDepth, p.Usable, p.LeastFloor} {
			require.False(t, math.IsNaN(x) || math.IsInf(x, 0))
		}
		require.LessOrEqual(t, p.Limits.Minor.Min, p.Limits.Minor.Max)
		require.LessOrEqual(t, p.Limits.Pitch.Min, p.Limits.Pitch.Max)
		require.InDelta(t, in.Stock, p.Tip+p.Floor, 1e-9)
		require.InDelta(t, p.Tip, p.Full+p.Chamfer+p.Chips+p.PointLen, 1e-9)
		deeper := in
		deeper.Depth = in.Depth * rapid.Float64Range(1, 2).Draw(t, "more")
		q, f := Make(deeper)
		require.Nil(t, f)
		require.LessOrEqual(t, q.Floor, p.Floor)
		require.GreaterOrEqual(t, q.Full, p.Full)
		if in.Thread.Series != "" && !p.Pick.Bored {
			require.NotEqual(t, Outside, p.Pick.Grade, "a drill outside the limits is never chosen")
		}
	})
}

// TestDeepestRoundTrip: the deepest thread, asked for as a depth, leaves just
// the least floor: a second way to the same number.
func TestDeepestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := genInput(t)
		in.Deepest, in.To = true, ToThread
		p, f := Make(in)
		require.Nil(t, f)
		if p.short(in) {
			return
		}
		back := in
		back.Deepest, back.Depth = false, p.Full
		q, f := Make(back)
		require.Nil(t, f)
		require.InDelta(t, q.LeastFloor, q.Floor, 1e-9)
		require.True(t, q.Fits)
	})
}

// TestDefaultIsInches: the run-out taken when nothing is typed is 1/16 in, also
// where a bare 1/16 that is typed would be asked about.
func TestDefaultIsInches(t *testing.T) {
	s := registrytest.Find(t, Sheets(), "hole")
	a := worksheet.Run(s, units.MetricSystem, s.Example)
	require.Nil(t, a.Fault)
	assert.Contains(t, string(a.JSON()), `"breakout":{"text":"1/16","value":0.0625,"unit":"in"}`)
	typed := append([]worksheet.Pair{{Key: "breakout", Text: "1/16"}}, s.Example...)
	a = worksheet.Run(s, units.MetricSystem, typed)
	require.NotNil(t, a.Fault)
	assert.Equal(t, "Run-out: '1/16' is a fraction without a unit. Write 1/16 in, or .0625 mm.", a.Fault.Message)
}

// Point lengths: cone geometry; the values for 60, 90 and 120 degrees are those of
// exact trigonometry, sqrt(3)/2, 1/2 and 1/(2 sqrt 3). The rule of 0.3 of the
// diameter at 118 degrees is shop practice, no published source.
func TestPointLength(t *testing.T) {
	for _, c := range []struct{ angle, factor, tol float64 }{
		{60, math.Sqrt(3) / 2, 1e-12}, {90, 0.5, 1e-12}, {120, 1 / (2 * math.Sqrt(3)), 1e-12},
		{82, .5752, 5e-5}, {118, .3004, 5e-5}, {130, .2332, 5e-5}, {135, .2071, 5e-5}, {140, .1820, 5e-5},
		{118, .3, .001}, {180, 0, 0},
	} {
		assert.InDelta(t, 2*c.factor, thread.PointLength(2, c.angle), 2*c.tol, "%v", c.angle)
	}
	assert.InDelta(t, .1596, thread.PointLength(17.0/32, 118), 5e-5, "17/32 at 118 degrees, worked by hand")
}

// A sharper point is longer, and twice the drill has twice the point.
func TestPointLengthLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(1e-3, 100).Draw(t, "d")
		a := rapid.Float64Range(60, 179).Draw(t, "a")
		b := rapid.Float64Range(a, 180).Draw(t, "b")
		x, y, z := thread.PointLength(d, a), thread.PointLength(d, b), thread.PointLength(2*d, a)
		if y > x || math.Abs(z-2*x) > 1e-12*z || math.IsNaN(x) || x < 0 {
			t.Fatal(x, y, z)
		}
	})
}
