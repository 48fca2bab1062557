//go:build !js

package cleanup

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// about turns a point about one of the machine's axes.
func about(k int, angle float64, p [3]float64) [3]float64 {
	w := [3]float64{}
	w[k] = angle
	t := rotation(w)
	return apply(&t, p)
}

// A man who turns the casting about the machine's X, then Y, then Z by less what is given arrives
// where the one turn leads; rx, ry and rz read as parts of a vector did not say so.
func TestThreeTurnsInOrderArrive(t *testing.T) {
	astray := 0
	rapid.Check(t, func(rt *rapid.T) {
		num := func(name string) float64 { return rapid.Float64Range(-.26, .26).Draw(rt, name) }
		w := [3]float64{num("x"), num("y"), num("z")}
		m := Move{Turn: rotation(w), Angle: w}
		p := [3]float64{rapid.Float64Range(-10, 10).Draw(rt, "p"), 3, -2}
		want := m.Back(p)
		turns := m.turns()
		got := about(2, -turns[2], about(1, -turns[1], about(0, -turns[0], p)))
		other := about(0, -turns[0], about(1, -turns[1], about(2, -turns[2], p)))
		for k := range 3 {
			assert.InDelta(rt, want[k], got[k], 1e-9)
			if math.Abs(other[k]-want[k]) > .05 {
				astray++
			}
		}
	})
	assert.Positive(t, astray, "the order matters")
}

// Tipped about a level line until the plane under it is level, then turned on the table by the
// swing, the casting stands as it should.
func TestShimsThenSwingArrive(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		num := func(name string) float64 { return rapid.Float64Range(-.26, .26).Draw(rt, name) }
		w := [3]float64{num("x"), num("y"), num("z")}
		m := Move{Turn: rotation(w), Angle: w}
		for k, up := range [][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0, 0, -1}} {
			// what stands upright once it is set, as it lies now
			lies := m.Map(up)
			axis := cross(lies, up)
			l := math.Sqrt(dot(axis, axis))
			angle := math.Atan2(l, dot(lies, up))
			tip := rotation(scale(axis, angle/math.Max(l, 1e-300)))
			swing := rotation(scale(up, m.swing(up)))
			p := [3]float64{3, -4, 5}
			q := apply(&tip, p)
			got, want := apply(&swing, q), m.Back(p)
			assert.InDelta(rt, dot(up, want), dot(up, q), 1e-9, "the shims set the height")
			for j := range 3 {
				assert.InDelta(rt, want[j], got[j], 1e-9, "%d", k)
			}
		}
	})
}

// castingOf writes a drawn casting as the tables are typed.
func castingOf(a Ask) []worksheet.Pair {
	var features, touches []string
	for i, f := range a.Features {
		dia, dir := "", "given"
		if f.Kind == Bore {
			dia = fmt.Sprintf("%.9f in", 2*f.Radius)
		}
		features = append(features, fmt.Sprintf("f%d, %s, %s, %.9f in, %.9f in, %.9f in, %s, %.9f in, %v, %v, %v", i,
			kindKeys[f.Kind], dir, f.At[0], f.At[1], f.At[2], dia, f.Need, f.Dir[0], f.Dir[1], f.Dir[2]))
	}
	for _, q := range a.Touches {
		touches = append(touches, fmt.Sprintf("f%d, %.9f in, %.9f in, %.9f in", q.Feature, q.P[0], q.P[1], q.P[2]))
	}
	return []worksheet.Pair{{Key: "features", Text: strings.Join(features, "; ")},
		{Key: "touches", Text: strings.Join(touches, "; ")}, {Key: "maxturn", Text: "2.864788"},
		{Key: "supports", Text: "a, 1, 1, 0; b, 9, 1, 0; c, 5, 5, 0"}}
}

// number reads the first number of a cell.
func number(t require.TestingT, cell string) float64 {
	x, err := strconv.ParseFloat(strings.Fields(strings.TrimSpace(cell))[0], 64)
	require.NoError(t, err)
	return x
}

// A man who shims, turns and touches again as the worksheet says, and puts the new touches in, is
// told that it cleans up as it lies, by as much as was promised.
func TestTouchedAgainItComesOutAsItLies(t *testing.T) {
	set := 0
	defer func() { assert.Greater(t, set, 20, "castings that were set") }()
	rapid.Check(t, func(rt *rapid.T) {
		a := drawn(rt)
		for i := range a.Touches { // stock enough, most often
			f := &a.Features[a.Touches[i].Feature]
			if f.Need = -.5; f.Kind != Face {
				continue
			}
			f.Need = 0
			for k := range 3 {
				a.Touches[i].P[k] += .2 * f.Dir[k]
			}
		}
		first := worksheet.Run(&cleanSheet, units.InchSystem, castingOf(a))
		require.Nil(rt, first.Fault, "%v", first.Fault)
		if first.Mark() == worksheet.Stop {
			assert.Empty(rt, first.Text("steps"))
			assert.Empty(rt, first.Text("shims"))
			assert.NotEmpty(rt, first.Text("ways"))
			return
		}
		steps := first.Text("steps")
		if !strings.Contains(steps, "touch it off again") {
			return
		}
		for _, key := range []string{"zx", "zy", "zz"} {
			assert.Empty(rt, first.Text(key), "a place from before the move")
		}
		assert.NotContains(rt, steps, "as it was touched off")
		// Shims under three supports set the plane; then the swing; then zero by a touch.
		var foot [3][3]float64
		var shim [3]float64
		for i, row := range first.Rows("shims") {
			c := strings.Split(row, ",")
			foot[i], shim[i] = [3]float64{number(rt, c[1]), number(rt, c[2]), number(rt, c[3])}, number(rt, c[4])
		}
		// What points up once it stands on its shims: feet so far apart differ in height by the shims.
		e, d := sub(foot[1], foot[0]), sub(foot[2], foot[0])
		det := e[0]*d[1] - e[1]*d[0]
		x, y := ((shim[1]-shim[0])*d[1]-(shim[2]-shim[0])*e[1])/det, (e[0]*(shim[2]-shim[0])-d[0]*(shim[1]-shim[0]))/det
		n := [3]float64{x, y, math.Sqrt(1 - x*x - y*y)}
		up := [3]float64{0, 0, 1}
		axis := cross(n, up)
		l := math.Sqrt(dot(axis, axis))
		tip := rotation(scale(axis, math.Asin(l)/math.Max(l, 1e-300)))
		turn := rotation(scale(up, math.Atan(number(rt, first.Text("swing"))/12)))
		moved := a
		moved.Touches = append([]Touch{}, a.Touches...)
		for i := range moved.Touches {
			p := apply(&tip, sub(moved.Touches[i].P, a.Pivot))
			moved.Touches[i].P = apply(&turn, p)
		}
		// Zero by one touch of each of three faces, which has to have the stock that was told; then so
		// has every other touch.
		told := func(j int) float64 { return number(rt, strings.Split(first.Rows("stock")[j], ",")[5]) }
		still := Move{Turn: rotation([3]float64{}), Pivot: a.Pivot}
		var shift [3]float64
		for k := range 3 {
			j := 8 * k // the faces come in pairs of four touches, -x, +x, -y ...
			is, _, n := moved.measure(&still, &moved.Touches[j])
			shift[k] = (told(j) - is) * n[k]
		}
		for j := range moved.Touches {
			p := &moved.Touches[j].P
			for k := range p {
				p[k] += shift[k]
			}
			is, _, _ := moved.measure(&still, &moved.Touches[j])
			assert.InDelta(rt, told(j), is, 1e-3, "touch %d", j)
		}
		set++
	})
}

// Headlines derived by hand.
func TestAnswers(t *testing.T) {
	for _, c := range []struct {
		name    string
		pairs   []worksheet.Pair
		mark    worksheet.Mark
		verdict string
		steps   []string
		never   []string
	}{
		// Shift and turn: .105 (linear programme); the touches before it are dead.
		{"turned", nil, worksheet.Good, "Cleans up, .105 in to spare at the thinnest; as laid out .050 in. Set it as " +
			"below, then touch it again.", []string{"coordinate and zero from before",
			"it must read X -.105 in"}, []string{"as it was touched off"}},
		// Shift alone: .095; nothing moves but the zero: y +.045, x -.005.
		{"shifted", []worksheet.Pair{{Key: "free", Text: "x, y"}}, worksheet.Good,
			"Cleans up, .095 in to spare at the thinnest; as laid out .050 in. It stays where it lies; the zero " +
				"shifts.", []string{"Y .045 in", "as it was touched off"}, []string{"touch it off again", "Turn it"}},
		// .125 wanted everywhere and .105 to be had: .020 missing.
		{"starved", []worksheet.Pair{{Key: "need", Text: "0.125"}}, worksheet.Stop,
			"Will not clean up: .020 in is missing at best", nil, []string{"Turn it", "zero"}},
		// .09 wanted: .015 to spare is a hard spot.
		{"little to spare", []worksheet.Pair{{Key: "need", Text: "0.09"}}, worksheet.Careful,
			"Cleans up, .015 in to spare", nil, nil},
		{"a touch of another unit", []worksheet.Pair{{Key: "touches",
			Text: "left, -0.1 in, 1 in, 0 in; left, -0.16 in, 5 in, 0 in; right, 10.22 in, 1 in, 0 in; right, 10.12 in, 5 in, " +
				"0 in; front, 1 in, -0.05 in, 0 in; front, 9 in, -0.13 in, 0 in; back, 1 in, 6.24 in, 0 in; back, 9 in, 8.14 in, " +
				"0 in"}}, worksheet.Careful, "Cleans up", nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := run(c.pairs...)
			require.Nil(t, a.Fault, "%v", a.Fault)
			assert.Equal(t, c.mark, a.Mark(), "%v", a.Cautions())
			assert.Contains(t, a.Text("verdict"), c.verdict)
			for _, s := range c.steps {
				assert.Contains(t, a.Text("steps"), s)
			}
			for _, s := range c.never {
				assert.NotContains(t, a.Text("steps"), s)
			}
		})
	}
}

// Shims make it dead too, though nothing is turned on the table.
func TestShimsMakeCoordinatesDead(t *testing.T) {
	a := run(worksheet.Pair{Key: "supports", Text: "left, 0, 0, 0; right, 10, 0, 0"},
		worksheet.Pair{Key: "up", Text: "+y"})
	require.Nil(t, a.Fault)
	assert.Equal(t, "Shim .025 in under right.", a.Rows("steps")[0])
	assert.Contains(t, a.Rows("steps")[1], "touch it off again")
	assert.Empty(t, a.Text("zx"))
}

// Without supports the tip is said as slopes of level ends, and the mirrored casting as mirrored.
func TestTipWithoutSupports(t *testing.T) {
	side := func(first, second string) string {
		a := worksheet.Run(&cleanSheet, units.InchSystem, []worksheet.Pair{{Key: "features", Text: "top, face, +z, 0, 0, 4"},
			{Key: "touches", Text: "top, 0, 0, " + first + "; top, 10, 0, " + second + "; top, 0, 6, " + first +
				"; top, 10, 6, " + second}, {Key: "free", Text: "z, rx, ry"}, {Key: "maxshift", Text: "10"}})
		require.Nil(t, a.Fault, "%v", a.Fault)
		return a.Text("steps")
	}
	// .1 in over 10 in: .12 in a foot.
	assert.Contains(t, side("4.1", "4.2"), "Raise its left, -X end by 120.0 thou/ft.")
	assert.Contains(t, side("4.2", "4.1"), "Raise its right, +X end by 120.0 thou/ft.")
}

// Between a need that stops and one that does not stands the least stock of the worked line.
func TestMarkTurnsAtTheLeastStock(t *testing.T) {
	lo, hi := .05, .2
	for range 30 {
		mid := (lo + hi) / 2
		d, _ := units.Round(mid, 7)
		a := run(worksheet.Pair{Key: "need", Text: d.Text() + " in"})
		require.Nil(t, a.Fault)
		if a.Mark() == worksheet.Stop {
			hi = mid
		} else {
			lo = mid
		}
	}
	assert.InDelta(t, .105, lo, 3e-5)
	found := false
	for _, l := range run().Lines() {
		found = found || strings.HasPrefix(l.What, "Least to spare at best") && l.Result == "0.1050 in"
	}
	assert.True(t, found)
}

func TestMainResultsHaveDials(t *testing.T) {
	for _, r := range cleanSheet.Results {
		if _, quantity := r.Kind.Dim(); quantity && r.Main {
			assert.NotEmpty(t, r.Dial, r.Key)
		}
	}
}
