package thread_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/drill"
	"datumbook/calc/thread"
)

// tapRows reads the printed tap drill tables.
func tapRows(t *testing.T) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/tapdrills.csv")
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var list []map[string]string
	for _, rec := range all[1:] {
		m := map[string]string{}
		for i, k := range all[0] {
			m[k] = rec[i]
		}
		require.NotEmpty(t, m["source"])
		list = append(list, m)
	}
	return list
}

// Every printed row: the drill, its percentage, the limits of 2B or 6H, and the mark: < under the
// least minor diameter, > over the most by no more than .0006 in, + inside but over the most with
// the usual oversize.
func TestTapDrillsAsPrinted(t *testing.T) {
	rows := tapRows(t)
	require.Len(t, rows, 112)
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return x
	}
	for _, r := range rows {
		th, err := thread.Parse(r["thread"])
		require.NoError(t, err, r["thread"])
		if r["series"] != "M" {
			assert.Equal(t, r["series"], th.Series, r["thread"])
		}
		printed, ok := drill.Lookup(r["drill"])
		require.True(t, ok, r["drill"])
		if r["inches"] != "" {
			assert.InDelta(t, number(r["inches"]), printed.Inches, 5.1e-5, r["thread"])
		}
		own := printed.Inches
		if th.System == thread.ISO {
			own = printed.MM
		}
		limits, err := th.InternalLimits()
		require.NoError(t, err)
		if r["percent"] != "" {
			assert.InDelta(t, number(r["percent"]), th.PercentOfThread(own), .0501, r["thread"])
			assert.InDelta(t, number(r["minor_min"]), limits.Minor.Min, 1e-9, r["thread"])
			assert.InDelta(t, number(r["minor_max"]), limits.Minor.Max, 1e-9, r["thread"])
		}
		over, _ := drill.UsualOversize(printed.Inches)
		mark := ""
		switch {
		case own < limits.Minor.Min-1e-9:
			mark = "<"
		case own > limits.Minor.Max+1e-9:
			mark = ">"
			assert.LessOrEqual(t, own-limits.Minor.Max, .00065, r["thread"])
		case th.System == thread.Unified && own+over.Mean > limits.Minor.Max+1e-9:
			mark = "+"
		}
		assert.Equal(t, r["mark"], mark, r["thread"])
		name, ok := th.TapDrill()
		require.True(t, ok, r["thread"])
		want := r["drill"]
		if r["instead"] != "" {
			want = r["instead"]
		}
		assert.Equal(t, want, name, r["thread"])
	}
}

// No drill of the tables is under the least minor diameter, and every one is a drill that is made,
// but for 3.15 mm (M3.5x0.35), which few lists have; over all threads of the standards.
func TestTapDrillsInside(t *testing.T) {
	n := 0
	for _, th := range append(thread.AllUnified(), thread.AllISO()...) {
		name, ok := th.TapDrill()
		if !ok {
			continue
		}
		n++
		d, found := drill.Lookup(name)
		if !found {
			assert.Equal(t, "3.15 mm", name)
			continue
		}
		own := d.Inches
		if th.System == thread.ISO {
			own = d.MM
		}
		limits, err := th.InternalLimits()
		require.NoError(t, err)
		assert.GreaterOrEqual(t, own, limits.Minor.Min-1e-9, th.String())
		most := limits.Minor.Max
		if th.Series == "UNF" || th.Series == "UNEF" {
			most += .00065
		}
		assert.LessOrEqual(t, own, most+1e-9, th.String())
	}
	assert.Equal(t, 69+31+81, n, "UN, ISO coarse, ISO fine")
	for _, none := range []string{"2-1/2-4", "5/8-12", "M64x6", "M1x0.25", "1/4-24 UNS", "M50x3"} {
		th, err := thread.Parse(none)
		require.NoError(t, err, none)
		_, ok := th.TapDrill()
		assert.False(t, ok, none)
	}
}

// Worked by hand from the published formulas: 5/8-11, P .090909, 17/32 drill at 118 degrees.
func TestBlindByHand(t *testing.T) {
	const p = 1. / 11
	for _, row := range []struct {
		name              string
		b                 thread.Blind
		tip, full, usable float64
	}{
		// zt .8125 - .0909, Lf .7216 - 2 x .0909, kc (.6875 - .546)/2
		{"to the shoulder, bottoming", thread.Blind{Pitch: p, Depth: .8125, Drill: 17. / 32, Angle: 118, Below: 1,
			Chamfer: 2, Csk: .6875, CskDeg: 90, Minor: .546}, .7216, .5398, .4690},
		// pl .1596: Hs .6529
		{"the same said to the point", thread.Blind{Pitch: p, Depth: .8125, ToPoint: true, Drill: 17. / 32,
			Angle: 118, Below: 1, Chamfer: 2, Csk: .6875, CskDeg: 90, Minor: .546}, .5620, .3802, .3094},
		{"plug tap alone", thread.Blind{Pitch: p, Depth: .8125, Drill: 17. / 32, Angle: 118, Below: 1, Chamfer: 4},
			.7216, .3580, .3580},
		{"short bottoming tap", thread.Blind{Pitch: p, Depth: .8125, Drill: 17. / 32, Angle: 118, Below: .5,
			Chamfer: 1.5}, .7670, .6307, .6307},
		// a point .3 long lands first: .8125 + .1596 - .3
		{"tap with a point", thread.Blind{Pitch: p, Depth: .8125, Drill: 17. / 32, Angle: 118, Below: 1, Chamfer: 2,
			Centre: .3}, .6721, .4903, .4903},
		{"nothing left", thread.Blind{Pitch: p, Depth: .3, Drill: 17. / 32, Angle: 118, Below: 1, Chamfer: 4,
			Csk: .7, CskDeg: 90, Minor: .546}, .2091, -.1545, 0},
	} {
		tip, full, usable := row.b.Usable()
		assert.InDelta(t, row.tip, tip, 5.1e-5, row.name)
		assert.InDelta(t, row.full, full, 5.1e-5, row.name)
		assert.InDelta(t, row.usable, usable, 5.1e-5, row.name)
	}
	assert.Zero(t, thread.PointLength(.5, 180))
	assert.InDelta(t, (.7-.5)/2/math.Tan(41*math.Pi/180), thread.CskLoss(.7, .5, 82), 1e-12)
}

// The cases of a plug and a bottoming tap, worked from the formula.
func TestFirstBite(t *testing.T) {
	const p = 1. / 11
	for _, row := range []struct {
		name              string
		z1, c1, z2, c2, p float64
		tip, free, turns  float64
		last              float64
	}{
		{"plug 4, bottoming 1.5", .7670, 4, .7670, 1.5, p, .5398, 5.938, 2.500, .6307},
		{"plug 5, bottoming 1", .7670, 5, .7670, 1, p, .4034, 4.438, 4.000, .6761},
		{"plug 3, bottoming 2", .7670, 3, .7670, 2, p, .6761, 7.438, 1.000, .5852},
		{"taper never full, then plug", .7670, 8.5, .7670, 4, p, .3610, 3.971, 4.467, .4034},
		{"M12", 26, 4, 26, 2, 1.75, 22.50, 12.86, 2.000, 22.50},
		{"deep", 1.250, 4, 1.250, 1.5, p, 1.023, 11.25, 2.500, 1.114},
	} {
		b := thread.FirstBite(row.z1, row.c1, row.z2, row.c2, row.p)
		assert.InDelta(t, row.tip, b.Tip, 5.1e-4, row.name)
		assert.InDelta(t, row.free, b.Free, 5.1e-3, row.name)
		assert.InDelta(t, row.turns, b.Turns, 5.1e-4, row.name)
		assert.InDelta(t, row.last, row.z2-row.c2*row.p, 5.1e-4, row.name)
		assert.InDelta(t, row.z2, b.Tip+b.Turns*row.p, 1e-12, row.name)
	}
	first := thread.FirstBite(0, 0, .5, 4, p)
	assert.Zero(t, first.Tip)
	assert.InDelta(t, 5.5, first.Turns, 1e-12)
}

// Holes before forming at 65 and 75 %, worked from the makers' formula D - 0.0068 x % x P.
func TestFormingHolesByHand(t *testing.T) {
	for _, row := range []struct {
		thread          string
		at65, at75, tol float64
	}{
		{"4-40", .1009, .0993, 5.1e-5}, {"6-32", .1242, .1221, 5.1e-5}, {"8-32", .1502, .1481, 5.1e-5}, {"10-24",
			.1716, .1688, 5.1e-5},
		{"10-32", .1762, .1741, 5.1e-5}, {"1/4-20", .2279, .2245, 5.1e-5}, {"1/4-28", .2342, .2318, 5.1e-5},
		{"5/16-18", .2879, .2842, 5.1e-5},
		{"3/8-16", .3474, .3431, 5.1e-5}, {"7/16-14", .4059, .4011, 5.1e-5}, {"1/2-13", .4660, .4608, 5.1e-5},
		{"5/8-11", .5848, .5786, 5.1e-5},
		{"M3", 2.779, 2.745, 5.1e-4}, {"M4", 3.691, 3.643, 5.1e-4}, {"M5", 4.646, 4.592, 5.1e-4}, {"M6", 5.558,
			5.490, 5.1e-4},
		{"M8", 7.447, 7.362, 6e-4}, {"M10", 9.337, 9.235, 5.1e-4}, {"M12", 11.226, 11.107, 6e-4}, {"M16", 15.116,
			14.980, 5.1e-4},
	} {
		th, err := thread.Parse(row.thread)
		require.NoError(t, err)
		assert.InDelta(t, row.at65, th.FormingHole(65), row.tol, row.thread)
		assert.InDelta(t, row.at75, th.FormingHole(75), row.tol, row.thread)
	}
}
