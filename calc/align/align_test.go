package align

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"datumbook/calc/fitting"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

// run runs a worksheet of this package in inches.
func run(t testing.TB, name string, pairs ...worksheet.Pair) worksheet.Answer {
	t.Helper()
	return registrytest.Run(t, Sheets(), name, pairs...)
}

func p(key, text string) worksheet.Pair { return worksheet.Pair{Key: key, Text: text} }

// tram runs the worksheet on readings, with what is allowed and the needle's graduation.
func tram(t testing.TB, readings, allow, grad string, more ...worksheet.Pair) worksheet.Answer {
	t.Helper()
	a := run(t, "tram", append([]worksheet.Pair{p("readings", readings), p("allow", allow), p("grad", grad)},
		more...)...)
	require.Nil(t, a.Fault, "%v", a.Fault)
	return a
}

// Readings to headline, each by hand: T is last less first, U of two ends read once is
// sqrt(2.306^2 (g/4)^2 2 + 4 2 g^2/12) = 1.154 g, and 1.154 x 0.5 thou is .6 thou, up.
func TestVerdicts(t *testing.T) {
	const half, tenth = ".0005", ".0001"
	for _, row := range []struct {
		name, readings, allow, grad string
		mark                        worksheet.Mark
		says                        string
	}{
		// The ends alike, 2.4 hollow: .6 within 1.5, so sure; 2.4 goes up to a quarter of a thou.
		{"hollow", "0,0; 4.5,-.0016; 9,-.0024; 13.5,-.0016; 18,0", ".0015", half, worksheet.Careful,
			"In line: nothing you could read over 18 in, wanted within 1.5 thou, sure to .6 thou. The face is " +
				"hollow 2.5 thou in the middle: shim it before anything is bolted there."},
		{"crown", "0,0; 4.5,.0016; 9,.0024; 13.5,.0016; 18,0", ".0015", half, worksheet.Careful,
			"In line: nothing you could read over 18 in, wanted within 1.5 thou, sure to .6 thou. The face is " +
				"proud 2.5 thou in the middle: moving an end does not cure that."},
		{"three of one bow", "0,0; 8,.003; 16,0", ".0015", half, worksheet.Careful,
			"In line: nothing you could read over 16 in, wanted within 1.5 thou, sure to .6 thou. The face is " +
				"proud 3 thou in the middle: moving an end does not cure that."},
		// .5 + .6 is within 1.5; .5 from straight is a graduation, nothing he can read.
		{"four of one tick", "0,0; 4,.0005; 8,0; 12,.0005", ".0015", half, worksheet.Good,
			"In line: .5 thou over 12 in, wanted within 1.5 thou, sure to .6 thou."},
		{"two of one tick", "0,0; 12,.0005", ".0015", half, worksheet.Good,
			"In line: .5 thou over 12 in, wanted within 1.5 thou, sure to .6 thou."},
		{"out, with a hollow", "0,0; 4.5,-.0008; 9,-.0006; 13.5,.0007; 18,.003", ".0015", half, worksheet.Careful,
			"Out of line by 3 thou over 18 in, wanted within 1.5 thou. Keep the left end, tap the right end 3 thou " +
				"away from the indicator, until the needle there reads 0 thou. The face is hollow 2.25 thou in the " +
				"middle: shim it before anything is bolted there."},
		{"other way", "0,.006; 8,.003; 16,0", half, half, worksheet.Careful,
			"Out of line by 6 thou over 16 in, wanted within .5 thou. Keep the left end, tap the right end 6 thou " +
				"towards the indicator, until the needle there reads 6 thou."},
		{"a chip", "0,0; 4,.0002; 8,.0018; 12,.0003; 16,.0002", ".0015", half, worksheet.Careful,
			"In line: .25 thou over 16 in, wanted within 1.5 thou, sure to .6 thou. One place, 8 in, stands 1.5 " +
				"thou proud of its neighbours: wipe it and read it again."},
		{"zeros read once", "0,0; 12,0", half, half, worksheet.Careful,
			"In line, as near as this needle shows: nothing you could read over 12 in, wanted within .5 thou, sure " +
				"only to .6 thou. One more reading of each end that agrees makes it sure."},
		// Twice: sqrt(2.228^2 (8/10) (g/4)^2 + 8 g^2/12) = .957 g = .478.
		{"zeros read twice", "0,0; 12,0; 12,0; 0,0", half, half, worksheet.Good,
			"In line: nothing you could read over 12 in, wanted within .5 thou, sure to .5 thou."},
		// .4 + .115 is over .5; read twice it is .4 + .096.
		{"tenths, near the limit", "0,0; 12,.0004", half, tenth, worksheet.Careful,
			"In line, as near as this needle shows: .4 thou over 12 in, wanted within .5 thou, sure only to .15 " +
				"thou. One more reading of each end that agrees makes it sure."},
		{"tenths, read thrice", "0,0; 12,.0004; 0,0; 12,.0004; 0,.0001; 12,.0003", half, tenth, worksheet.Good,
			"In line: .3 thou over 12 in, wanted within .5 thou, sure to .1 thou."},
		{"does not repeat", "0,0; 12,0; 12,.002", half, half, worksheet.Stop,
			"The right end reads 2 thou apart: it does not repeat."},
		{"drifts", "0,0; 4,.0004; 8,.0011; 12,.0016; 16,.0024; 0,.0006", half, half, worksheet.Stop,
			"The left end reads .6 thou off what it read at first: something moved."},
		// 1.154 x 10 thou: the six are inside ten and may be seventeen.
		{"coarse", "0,0; 8,.003; 16,.006", ".01", ".01", worksheet.Careful,
			"In line, as near as this needle shows: 5 thou over 16 in, wanted within 10 thou, sure only to 11.6 " +
				"thou. A needle of 1 thou would settle it; more readings with this one do not."},
		// Out by a quarter of a thou: .75 - .6 is not over .5.
		{"out, not sure", "0,0; 12,.00075", half, half, worksheet.Careful,
			"Out of line by .75 thou over 12 in, wanted within .5 thou, as near as this needle shows: sure only to " +
				".6 thou. Keep the left end, tap the right end .75 thou away from the indicator, until the needle " +
				"there reads 0 thou."},
		// By the direction from 4 to 16: 2 + 4/6 above 0 and 12, 2.667.
		{"wavy", "0,0; 4,.002; 8,0; 12,-.002; 16,0", ".0015", half, worksheet.Careful,
			"In line: nothing you could read over 16 in, wanted within 1.5 thou, sure to .6 thou. The face is " +
				"wavy, 2.75 thou from straight, most at 4 in: moving an end does not cure that."},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := tram(t, row.readings, row.allow, row.grad)
			assert.Equal(t, row.says, a.Text("verdict"))
			assert.Equal(t, row.mark, a.Mark())
			ordered := a.Text("move") != ""
			assert.Equal(t, strings.Contains(row.says, "tap the"), ordered, "a move is given where one is ordered")
			assert.Equal(t, ordered, a.Text("aim") != "")
		})
	}
}

// A refusal takes headline, flag and plan, whatever the ends say.
func TestRefusalWins(t *testing.T) {
	a := tram(t, "0,0; 6,0; 6,.002; 12,0", ".0005", ".0005")
	assert.Equal(t, worksheet.Stop, a.Mark())
	assert.Contains(t, a.Text("verdict"), "The place at 6 in reads 2 thou apart")
	for _, key := range []string{"inline", "move", "aim", "total", "sure"} {
		assert.NotEqual(t, "yes", a.Text(key), key)
	}
	drifted := tram(t, "0,0; 4,.0004; 8,.0011; 12,.0016; 16,.0024; 0,.0006", ".0005", ".0005")
	require.NotEmpty(t, drifted.Lines())
	assert.Equal(t, "0, .28, .86, 1.24, 1.92", drifted.Lines()[0].Result)
}

// Thousandths typed as inches are asked about, with the whole table as it was likely meant, and
// nothing is ordered on them.
func TestSlip(t *testing.T) {
	ordered := []string{"inline", "move", "aim"}
	for _, row := range []struct {
		sheet, key, text, means string
		sys                     units.System
		none                    []string // results that are not given
		more                    []worksheet.Pair
	}{
		{"tram", "readings", "0,0; 8,.5", "0, 0; 8, 0.5 thou", units.InchSystem, ordered, nil},
		{"tram", "readings", "0,0; 8,4", "0, 0; 8, 4 thou", units.InchSystem, ordered, nil},
		{"tram", "readings", "0,0; 200,4", "0, 0; 200, 0.04", units.MetricSystem, ordered, nil},
		{"tram", "readings", "0,0; 200,4", "0, 0; 200, 4 um", units.MetricSystem, ordered,
			[]worksheet.Pair{p("grad", "0.002")}},
		{"shim", "readings", "2,,4; 14,,0", "2, , 4 thou; 14, , 0", units.InchSystem, []string{"pack", "need"}, nil},
		{"shim", "readings", "0,0,4; 14,0,0; 0,8,2", "0, 0, 4 thou; 14, 0, 0; 0, 8, 2 thou", units.InchSystem,
			[]string{"pack", "need"}, []worksheet.Pair{p("by", "feet")}},
		{"lever", "reading", "4", "4 thou", units.InchSystem, []string{"true"}, []worksheet.Pair{p("angle", "60")}},
	} {
		sheet := registrytest.Find(t, Sheets(), row.sheet)
		a := worksheet.Run(sheet, row.sys, append(row.more, p(row.key, row.text)))
		require.Nil(t, a.Fault, "%v", a.Fault)
		require.NotEmpty(t, a.Cautions())
		ask := a.Cautions()[0]
		assert.Equal(t, row.key, ask.Field)
		assert.Equal(t, row.means, ask.Means)
		for _, key := range row.none {
			assert.Empty(t, a.Text(key), key)
		}
		meant := worksheet.Run(sheet, row.sys, append(row.more, p(row.key, row.means)))
		require.Nil(t, meant.Fault, "%v", meant.Fault)
		for _, c := range meant.Cautions() {
			assert.Empty(t, c.Field, "what was meant is not asked about again")
		}
		if row.sheet == "tram" {
			assert.Equal(t, a.Text("length"), meant.Text("length"), "the stations stay what they were")
		}
	}
	assert.Empty(t, tram(t, "0,0; 8,.1", ".0005", ".0005").Cautions()[0].Field, "a tenth of an inch is read by some")
}

// A flat part over a hollow: the gap under it, and what closing it takes.
func TestBoltedAcross(t *testing.T) {
	const hollow = "0,0; 4.5,-.0016; 9,-.0024; 13.5,-.0016; 18,0"
	a := tram(t, hollow, ".0015", ".0005", p("thick", "2"), p("wide", "6"))
	assert.Equal(t, "on 0 in and 18 in: leans nothing you could read over 18 in", a.Text("lies"))
	pull, _, _ := a.Shown("pull") // 48 x 14.5e6 x 4 x .0024/18^3 = 1146
	assert.Equal(t, "1200 lbf", pull)
	assert.Equal(t, "0.0024 in", a.Text("spring"))
	both := tram(t, hollow, ".0015", ".0005", p("thick", "2"), p("wide", "6"), p("underthick", "3"),
		p("underwide", "8"))
	assert.Equal(t, "0.00196 in", both.Text("spring"))
	require.Len(t, a.Cautions()[:1], 1)
	assert.Contains(t, a.Cautions()[0].Text, "shim it to touch")
	rocks := tram(t, "0,0; 4.5,.0016; 9,.0024; 13.5,.0016; 18,0", ".0015", ".0005")
	assert.Equal(t, "rocks on 9 in: leans 3.25 thou or -3.25 thou over 18 in", rocks.Text("lies"))
}

// The needle left at the tapping point is tapped to what the pivot reads.
func TestAim(t *testing.T) {
	a := run(t, "tram", worksheet.Pair{Key: "readings", Text: "0, .002; 10, .004"}, worksheet.Pair{Key: "tap", Text: "20"})
	assert.Equal(t, "-0.0040 in", a.Text("move"))
	assert.Equal(t, "0.0020 in", a.Text("aim"))
	far := run(t, "tram", worksheet.Pair{Key: "readings", Text: "0, .002; 10, .004"}, worksheet.Pair{Key: "tap", Text: "20"}, worksheet.Pair{Key: "sense", Text: "far"})
	assert.Equal(t, "0.0040 in", far.Text("move"))
	assert.Equal(t, "0.0020 in", far.Text("aim"))
}

func TestAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := readings(t)
		l, f := Judge(Run{X: x, Y: y, Noise: Noise{Grad: .0005}, Pivot: -1, Tap: 40})
		if f != nil {
			return
		}
		_, b := stat.LinearRegression(x, y, nil, false)
		require.InDelta(t, b, l.Least, 1e-12)
	})
}

// readings draws stations and readings to a millionth.
func readings(t *rapid.T) (x, y []float64) {
	n := rapid.IntRange(3, 20).Draw(t, "n")
	for i := range n {
		x = append(x, float64(i)*rapid.Float64Range(.5, 3).Draw(t, "step"))
		y = append(y, math.Round(rapid.Float64Range(-.02, .02).Draw(t, "y")*1e6)/1e6)
	}
	return x, y
}

// face draws a face as it is read: stations a few inches apart, each read one to four times to the
// graduation, with tilt, bow and noise; the stations in order, then the repeats.
func face(t *rapid.T) Run {
	r := Run{Noise: Noise{Grad: rapid.SampledFrom([]float64{.0005, .0001, .001}).Draw(t, "grad")},
		Allow: float64(rapid.IntRange(1, 30).Draw(t, "allow")) * .0001}
	g := r.Noise.Grad
	n := rapid.IntRange(2, 7).Draw(t, "n")
	tilt, bow := rapid.IntRange(-8, 8).Draw(t, "tilt"), rapid.IntRange(-8, 8).Draw(t, "bow")
	at := 0.0
	for i := range n {
		u := float64(i) / float64(n-1)
		true_ := float64(tilt)*u + float64(bow)*u*(1-u)
		for range rapid.IntRange(1, 4).Draw(t, "times") {
			r.X = append(r.X, at)
			r.Y = append(r.Y, g*(math.Round(true_)+float64(rapid.IntRange(-1, 1).Draw(t, "noise"))))
		}
		at += rapid.Float64Range(1, 6).Draw(t, "step")
	}
	r.Pivot, r.Tap = 0, r.X[len(r.X)-1]
	return r
}

func judge(t require.TestingT, r Run) Lie {
	l, f := Judge(r)
	require.Nil(t, f)
	return l
}

// One agreeing reading more, inside what its station has shown, never makes it worse: the lean
// stands, the doubt does not grow, the refusal does not come, and what was sure stays sure.
func TestCareNeverHurts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := face(t)
		was := judge(t, r)
		p := rapid.SampledFrom(was.Places).Draw(t, "where")
		r.X = append(r.X, p.X)
		r.Y = append(r.Y, p.Low+(p.High-p.Low)*rapid.Float64Range(0, 1).Draw(t, "agreeing"))
		is := judge(t, r)
		require.InDelta(t, was.T, is.T, 1e-12)
		require.LessOrEqual(t, is.U, was.U+1e-15)
		require.Equal(t, was.Out, is.Out)
		require.True(t, is.Sure || !was.Sure)
		require.True(t, was.Trouble != nil || is.Trouble == nil, "%+v", is.Trouble)
		require.InDelta(t, was.Shape.Zone, is.Shape.Zone, 1e-12)
		require.Equal(t, was.Shape.Form, is.Shape.Form)
	})
}

// The same through the worksheet: neither flag nor mark falls.
func TestCareNeverLowersTheMark(t *testing.T) {
	rank := map[worksheet.Mark]int{worksheet.Good: 2, worksheet.Careful: 1, worksheet.Stop: 0}
	rapid.Check(t, func(t *rapid.T) {
		r := face(t)
		text := func(r Run) (worksheet.Answer, string) {
			rows := ""
			for i := range r.X {
				rows += strconv.FormatFloat(r.X[i], 'f', 6, 64) + "," + strconv.FormatFloat(r.Y[i], 'f', 6, 64) + ";"
			}
			a := worksheet.Run(&tramSheet, units.InchSystem,
				[]worksheet.Pair{p("readings", rows), p("allow", strconv.FormatFloat(r.Allow, 'f', 4, 64)),
					p("grad", strconv.FormatFloat(r.Noise.Grad, 'f', 4, 64))})
			require.Nil(t, a.Fault, "%v", a.Fault)
			return a, a.Text("inline")
		}
		a, flag := text(r)
		at := rapid.SampledFrom(judge(t, r).Places).Draw(t, "where")
		r.X, r.Y = append(r.X, at.X), append(r.Y, at.High)
		b, then := text(r)
		require.GreaterOrEqual(t, rank[b.Mark()], rank[a.Mark()], "%s -> %s", a.Text("verdict"), b.Text("verdict"))
		require.True(t, flag != "yes" || then == "yes")
	})
}

// A station between the ends says nothing of the lean.
func TestInnerStationChangesNoLean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := face(t)
		was := judge(t, r)
		if was.Last-was.First < 1 {
			return
		}
		r.X = append(r.X, was.First+(was.Last-was.First)*rapid.Float64Range(.013, .987).Draw(t, "where"))
		r.Y = append(r.Y, rapid.Float64Range(-.01, .01).Draw(t, "y"))
		is := judge(t, r)
		if len(is.Places) == len(was.Places) {
			return // it fell on a station
		}
		require.InDelta(t, was.T, is.T, 1e-15)
		require.InDelta(t, was.U, is.U, 1e-15)
		require.Equal(t, was.Sure, is.Sure)
		require.Equal(t, was.Trouble == nil, is.Trouble == nil)
	})
}

// Mirrored stations give mirrored words; an indicator held the other way round the same answer with
// the needle's readings turned.
func TestMirrored(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := face(t)
		l := judge(t, r)
		write := func(side, sense float64) string {
			rows := ""
			for i := range r.X {
				x := r.X[i]
				if side < 0 {
					x = l.Last - x
				}
				rows += strconv.FormatFloat(x, 'f', 6, 64) + "," + strconv.FormatFloat(sense*r.Y[i], 'f', 6, 64) + ";"
			}
			return rows
		}
		ask := func(rows string, more ...worksheet.Pair) worksheet.Answer {
			a := worksheet.Run(&tramSheet, units.InchSystem,
				append(more, p("readings", rows), p("allow", strconv.FormatFloat(r.Allow, 'f', 4, 64)),
					p("grad", strconv.FormatFloat(r.Noise.Grad, 'f', 4, 64))))
			require.Nil(t, a.Fault, "%v", a.Fault)
			return a
		}
		a := ask(write(1, 1))
		turned := ask(write(1, -1), p("sense", "far"))
		for _, key := range []string{"inline", "bowed", "total", "sure", "straight", "shape", "lies", "move"} {
			require.Equal(t, a.Text(key), turned.Text(key), key)
		}
		require.Equal(t, a.Mark(), turned.Mark())
		mirror := ask(write(-1, 1), p("pivot", "last"), p("tap", "first"))
		require.Equal(t, a.Mark(), mirror.Mark())
		for _, key := range []string{"inline", "bowed", "sure", "straight", "shape", "move", "aim", "bow"} {
			require.Equal(t, a.Text(key), mirror.Text(key), key)
		}
		if l.Shape.Form == Straight { // no places along the face in the words
			swap := strings.NewReplacer("left", "right", "right", "left")
			require.Equal(t, a.Text("verdict"), swap.Replace(mirror.Text("verdict")))
		}
	})
}

// Where one hundredth more turns the mark, the worked lines show the lean at the limit.
func TestAtTheLimit(t *testing.T) {
	at := func(y float64) worksheet.Answer {
		return tram(t, "0,0; 12,"+strconv.FormatFloat(y, 'f', 8, 64), ".0015", ".0005")
	}
	low, high := 0.0, .004 // good, careful
	for range 40 {
		if mid := (low + high) / 2; at(mid).Mark() == worksheet.Good {
			low = mid
		} else {
			high = mid
		}
	}
	// Good while |T| + U <= A: T = 1.5 - .5769 = .9231 thou.
	assert.InDelta(t, .0009231, low, 1e-7)
	found := false
	for _, l := range at(low).Lines() {
		found = found || strings.Contains(l.Numbers, "= 1.5, A 1.5")
	}
	assert.True(t, found, "%v", at(low).Lines())
	// In while |T| <= A.
	low, high = 0, .004
	for range 40 {
		if mid := (low + high) / 2; at(mid).Text("inline") == "yes" {
			low = mid
		} else {
			high = mid
		}
	}
	assert.InDelta(t, .0015, low, 1e-8)
}

// Putting the move in and reading again shows no lean, and the same shape.
func TestMoveCures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := readings(t)
		r := Run{X: x, Y: y, Noise: Noise{Grad: .0005}, Pivot: rapid.Float64Range(-5, 5).Draw(t, "pivot"),
			Tap: rapid.Float64Range(6, 60).Draw(t, "tap"), Allow: .0005}
		l, f := Judge(r)
		if f != nil {
			return
		}
		for i := range y {
			y[i] += l.Move * (x[i] - r.Pivot) / (r.Tap - r.Pivot)
		}
		m, f := Judge(r)
		require.Nil(t, f)
		require.InDelta(t, 0, m.T, 1e-12)
		require.InDelta(t, l.Shape.Zone, m.Shape.Zone, 1e-11)
		require.False(t, m.Out)
	})
}

// The closest parallel lines by a second way: every direction between the steepest two, finely.
func TestZone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := readings(t)
		places := Gather(x[:min(len(x), 8)], y)
		if len(places) < 3 {
			return
		}
		width := func(slope float64) float64 {
			low, high := math.Inf(1), math.Inf(-1)
			for _, p := range places {
				off := p.Mid() - slope*p.X
				low, high = min(low, off), max(high, off)
			}
			return high - low
		}
		a, b := -1.0, 1.0 // convex in the slope
		for range 200 {
			c, d := a+(b-a)/3, b-(b-a)/3
			if width(c) < width(d) {
				b = d
			} else {
				a = c
			}
		}
		require.InDelta(t, width((a+b)/2), zone(places), 1e-9)
		// A straightedge on the hull is above every place.
		h := hull(places)
		for i := range len(h) - 1 {
			for _, p := range places {
				if p.X >= h[i].X && p.X <= h[i+1].X {
					require.LessOrEqual(t, p.Mid(), along(h[i], h[i+1], p.X)+2*hair)
				}
			}
		}
	})
}

// brute tries every pack by counting up, as a second method.
func brute(owned []units.Length, each, most int, want units.Length) []units.Length {
	near := make([]units.Length, most+1)
	have := make([]bool, most+1)
	var walk func(i, left int, sum units.Length)
	walk = func(i, left int, sum units.Length) {
		if i == len(owned) {
			n := most - left
			if d := abs(sum - want); !have[n] || d < near[n] {
				near[n], have[n] = d, true
			}
			return
		}
		for k := 0; k <= min(each, left); k++ {
			walk(i+1, left-k, sum+units.Length(k)*owned[i])
		}
	}
	walk(0, most, 0)
	for n := range have {
		if !have[n] {
			return near[:n]
		}
	}
	return near
}

func TestPacksAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		owned := rapid.SliceOfNDistinct(rapid.Int64Range(5, 400), 1, 8, rapid.ID).Draw(t, "owned")
		var list []units.Length
		for _, n := range owned {
			list = append(list, units.Length(n)*units.Tenth)
		}
		each, most := rapid.IntRange(1, 3).Draw(t, "each"), rapid.IntRange(1, 4).Draw(t, "most")
		want := units.Length(rapid.Int64Range(0, 1200).Draw(t, "want")) * units.Tenth
		packs := Packs(list, each, most, want)
		near := brute(list, each, most, want)
		require.Len(t, packs, len(near))
		for n, p := range packs {
			require.Len(t, p.Leaves, n)
			require.Equal(t, near[n], abs(p.Over(want)))
			var sum units.Length
			for i, l := range p.Leaves {
				sum += l
				require.True(t, i == 0 || l <= p.Leaves[i-1])
			}
			require.Equal(t, p.Total, sum)
		}
		pick := Choose(packs, want, 2*units.Tenth)
		for _, p := range packs {
			if abs(p.Over(want)) <= 2*units.Tenth {
				require.LessOrEqual(t, len(pick.Leaves), len(p.Leaves))
			}
		}
	})
}

func TestFeetLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := rapid.Float64Range(-.01, .01).Draw(t, "p"), rapid.Float64Range(-.01, .01).Draw(t, "q")
		var h []fitting.Point3
		var feet []fitting.Point
		for _, c := range [][2]float64{{0, 0}, {12, 0}, {12, 9}, {0, 9}, {6, 2}} {
			h = append(h, fitting.Point3{X: c[0], Y: c[1], Z: .003 + p*c[0] + q*c[1]})
			feet = append(feet, fitting.Point{X: c[0], Y: c[1]})
		}
		lifts, _, f := Feet(h, feet)
		require.Nil(t, f)
		least := math.Inf(1)
		for i, l := range lifts {
			require.GreaterOrEqual(t, l.Lift, 0.0)
			require.InDelta(t, lifts[0].Lift+h[0].Z, l.Lift+h[i].Z, 1e-12) // all level when lifted
			least = min(least, l.Lift)
		}
		require.Zero(t, least)
	})
}

func TestShimEdge(t *testing.T) {
	pairs := []worksheet.Pair{{Key: "readings", Text: "2,,0.0046; 8,,0.0023; 14,,0"}}
	a := run(t, "shim", pairs...)
	require.Nil(t, a.Fault)
	assert.Equal(t, "Lift 4.5 thou under the right end: .003 + .0015 in.", a.Text("verdict"))
	wrong := run(t, "shim", append(pairs, worksheet.Pair{Key: "under", Text: "2"}, worksheet.Pair{Key: "pivot", Text: "14"})...)
	assert.Equal(t, a.Text("verdict"), wrong.Text("verdict"))
	assert.Contains(t, wrong.Cautions()[0].Text, "makes it worse")
	loose := run(t, "shim", worksheet.Pair{Key: "readings", Text: "2,,0.0046; 14,,0; 14,,.003"})
	assert.Equal(t, "The right end reads 3 thou apart: it does not repeat.", loose.Text("verdict"))
	assert.Empty(t, loose.Text("pack"))
	none := run(t, "shim", worksheet.Pair{Key: "readings", Text: "2,,0.00025; 8,,-.003; 14,,0"})
	assert.Contains(t, none.Text("verdict"), "No shim is needed")
	metric := run(t, "shim", worksheet.Pair{Key: "by", Text: "amounts"}, worksheet.Pair{Key: "amounts", Text: "0.35 mm"},
		worksheet.Pair{Key: "owned", Text: "0.05, 0.1, 0.2, 0.3 mm"}, worksheet.Pair{Key: "near", Text: "0"})
	assert.Equal(t, "2", metric.Text("leaves"))
	assert.Equal(t, "0.0000 in", metric.Text("over"))
}

func TestLeverLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 74).Draw(t, "angle")
		lo, f := Stylus{Angle: a}.Factor()
		require.Nil(t, f)
		hi, f := Stylus{Angle: a + 1}.Factor()
		require.Nil(t, f)
		require.Greater(t, lo, hi)
		self, f := Stylus{Angle: a, Self: a}.Factor()
		require.Nil(t, f)
		require.Equal(t, 1.0, self)
		// A lever worked out point by point: the tip rises by the arc's chord.
		const r, turn = .8, 1e-7
		rad := a * math.Pi / 180
		rise := r * (math.Sin(rad+turn) - math.Sin(rad-turn))
		require.InDelta(t, rise/(2*r*turn), lo, 1e-6)
	})
}

func TestRefusals(t *testing.T) {
	for _, row := range []struct {
		name, sheet, field, says string
		pairs                    []worksheet.Pair
	}{
		{"short", "tram", "readings", "less than 0.1 in", []worksheet.Pair{{Key: "readings", Text: "0, 0; .05, .001"}}},
		{"same place", "tram", "readings", "not spread", []worksheet.Pair{{Key: "readings", Text: "3, 0; 3, .001"}}},
		{"one", "tram", "readings", "at least 2", []worksheet.Pair{{Key: "readings", Text: "3, 0"}}},
		{"tap at pivot", "tram", "tap", "at the pivot", []worksheet.Pair{{Key: "readings", Text: "0, 0; 8, .001"}, {Key: "pivot", Text: "8"}}},
		{"no readings", "shim", "readings", "nothing is typed", nil},
		{"no amounts", "shim", "amounts", "nothing is typed", []worksheet.Pair{{Key: "by", Text: "amounts"}}},
		{"feet in a line", "shim", "readings", "not in one line", []worksheet.Pair{{Key: "by", Text: "feet"}, {Key: "readings", Text: "0,0,0; 1,1,0; 2,2,0"}}},
		{"feet without y", "shim", "readings", "has no y", []worksheet.Pair{{Key: "by", Text: "feet"}, {Key: "readings", Text: "0,0,0; 1,,0; 2,3,0"}}},
		{"shim at pivot", "shim", "under", "tilts nothing", []worksheet.Pair{{Key: "readings", Text: "0,,0; 8,,.001"}, {Key: "pivot", Text: "3"}, {Key: "under", Text: "3"}}},
		{"one stylus", "lever", "used", "missing", []worksheet.Pair{{Key: "reading", Text: ".001"}, {Key: "angle", Text: "10"}, {Key: "made", Text: "1"}}},
		{"other stylus", "lever", "made", "missing", []worksheet.Pair{{Key: "reading", Text: ".001"}, {Key: "angle", Text: "10"}, {Key: "used", Text: "1"}}},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := run(t, row.sheet, row.pairs...)
			require.NotNil(t, a.Fault)
			assert.Equal(t, row.field, a.Fault.Field)
			assert.Contains(t, a.Fault.Message, row.says)
		})
	}
}

func TestDMS(t *testing.T) {
	for _, row := range []struct {
		deg  float64
		says string
	}{{0, "0 deg 0' 0.0\""}, {14.0361111, "14 deg 2' 10.0\""}, {-.0222028, "-0 deg 1' 19.9\""}, {1.99999999, "2 deg 0' 0.0\""}} {
		assert.Equal(t, row.says, DMS(row.deg*math.Pi/180))
	}
}

func BenchmarkShimWorst(b *testing.B) {
	var owned []units.Length
	for i := range 24 {
		owned = append(owned, units.Length(3+7*i)*units.Tenth+units.Length(i*i)*units.Micrometre/7)
	}
	for b.Loop() {
		for i := range 8 {
			Packs(owned, 5, 4, units.Length(211+97*i)*units.Tenth)
		}
	}
}
