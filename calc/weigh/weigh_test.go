package weigh

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/engage"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

// inside says whether a point of a body's own frame lies in it; written from the
// shape's description, not from its formulas.
func inside(b Body, p [3]float64) bool {
	u, v, w := p[0], p[1], p[2]
	r := math.Hypot(u, v)
	box := math.Abs(u) <= b.A/2 && math.Abs(v) <= b.B/2
	tall := w >= 0 && w <= b.C
	switch b.Shape {
	case Box:
		return box && tall
	case Rod:
		return r <= b.A/2 && tall
	case Tube:
		return r <= b.A/2 && r >= b.B/2 && tall
	case Hex:
		for i := range 6 {
			a := math.Pi/2 + float64(i)*math.Pi/3
			if u*math.Cos(a)+v*math.Sin(a) > b.A/2 {
				return false
			}
		}
		return tall
	case Cone:
		return tall && r <= (b.A+(b.B-b.A)*w/b.C)/2
	case Dome:
		return w >= 0 && r*r+w*w <= b.A*b.A/4
	case Ball:
		return r*r+w*w <= b.A*b.A/4
	case Pyr:
		k := 1 - w/b.C
		return tall && math.Abs(u) <= b.A/2*k && math.Abs(v) <= b.B/2*k
	case Gable:
		return box && w >= 0 && math.Abs(u) <= b.A/2*(1-w/b.C)
	case Ramp:
		return box && w >= 0 && w <= b.C*(.5-u/b.A)
	case RampR:
		return box && w >= 0 && w <= b.C*(.5+u/b.A)
	case Half:
		return math.Abs(v) <= b.B/2 && w >= 0 && u*u+w*w <= b.A*b.A/4
	case Ring:
		return (r-b.A/2)*(r-b.A/2)+w*w <= b.B*b.B/4
	case Fillet:
		return math.Abs(v) <= b.B/2 && u >= 0 && w >= 0 && u <= b.A && w <= b.A && (b.A-u)*(b.A-u)+(b.A-w)*(b.A-w) >= b.A*b.A
	}
	return false
}

// Every shape against a count of small cells: volume, balance, and that its box
// holds all of it.
func TestShapesByCountingCells(t *testing.T) {
	for _, n := range needs {
		b := Body{Shape: n.shape, A: 3, B: 2, C: 2.5}
		if n.shape == Tube || n.shape == Ring {
			b.B = 1.2
		}
		l := b.local()
		const cells = 120
		lo, hi := -3.0, 3.0
		step := (hi - lo) / cells
		volume, outside := 0.0, false
		var moment [3]float64
		for i := range cells {
			for j := range cells {
				for k := range cells {
					p := [3]float64{lo + (float64(i)+.5)*step, lo + (float64(j)+.5)*step, lo + (float64(k)+.5)*step}
					if !inside(b, p) {
						continue
					}
					volume += step * step * step
					for d := range 3 {
						moment[d] += p[d] * step * step * step
						outside = outside || p[d] < l.lo[d]-1e-9 || p[d] > l.hi[d]+1e-9
					}
				}
			}
		}
		assert.False(t, outside, "%s reaches out of its box", n.shape)
		assert.InEpsilon(t, volume, l.volume, .02, "%s volume", n.shape)
		for d := range 3 {
			assert.InDelta(t, moment[d]/volume, l.centre[d], .02, "%s balance %d", n.shape, d)
		}
	}
}

// A cone with two equal ends is a rod; moving the part moves its balance.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		num := func(name string) float64 { return rapid.Float64Range(.1, 30).Draw(rt, name) }
		a, c := num("a"), num("c")
		rod := Body{Shape: Rod, A: a, C: c}.local()
		cone := Body{Shape: Cone, A: a, B: a, C: c}.local()
		if math.Abs(rod.volume/cone.volume-1) > 1e-9 || math.Abs(rod.centre[2]-cone.centre[2]) > 1e-9 {
			rt.Fatal("cone and rod")
		}
		axes := []Axis{"", "z", "x", "y", "-x", "-y", "-z"}
		base := Body{Shape: Box, A: 60, B: 60, C: 60, Density: .3}
		hole := Body{Shape: needs[rapid.IntRange(0, len(needs)-1).Draw(rt, "shape")].shape, A: a, B: a * .4, C: c, X: num("x"), Y: num("y"), Z: num("z"), Density: .3,
			Axis: axes[rapid.IntRange(0, len(axes)-1).Draw(rt, "axis")]}
		one, _ := Weigh([]Body{base, hole})
		dx := num("dx")
		base.X += dx
		hole.X += dx
		two, _ := Weigh([]Body{base, hole})
		if math.Abs(two.Centre[0]-one.Centre[0]-dx) > 1e-6 || math.Abs(two.Centre[1]-one.Centre[1]) > 1e-6 {
			rt.Fatal("moved")
		}
	})
}

func TestAxes(t *testing.T) {
	for axis, want := range map[Axis][3]float64{"z": {1, 2, 5}, "-z": {1, 2, 1}, "x": {3, 2, 3}, "-x": {-1, 2, 3}, "y": {1, 4, 3}, "-y": {1, 0, 3}} {
		p := Body{Shape: Rod, A: 1, C: 4, X: 1, Y: 2, Z: 3, Axis: axis}.placed()
		assert.Equal(t, want, p.Centre, axis)
	}
}

func TestStrayHolesAreSeen(t *testing.T) {
	a := worksheet.Run(weighSheet, units.InchSystem, []worksheet.Pair{{Key: "parts", Text: "add, box, 4, 4, 1; cut, rod, 1, , 1, 8, 8; cut, rod, 1, , 3"}})
	require.Nil(t, a.Fault)
	texts := ""
	for _, c := range a.Cautions() {
		texts += c.Text
	}
	assert.Contains(t, texts, "Row 2 cuts where there is no metal")
	assert.Contains(t, texts, "Row 3 takes off only 0.785 in3 of its 2.36 in3")
}

func TestWeighRefusals(t *testing.T) {
	for _, r := range []struct{ parts, says string }{
		{"add, box, 1, , 1", "size B"},
		{"add, rod, 1", "size C"},
		{"add, tube, 1, 2, 3", "bore"},
		{"add, ring, 1, 2", "bar B"},
	} {
		a := worksheet.Run(weighSheet, units.InchSystem, []worksheet.Pair{{Key: "parts", Text: r.parts}})
		require.NotNil(t, a.Fault, r.parts)
		assert.Equal(t, "parts", a.Fault.Field)
		assert.Contains(t, a.Fault.Message, r.says)
	}
	for parts, head := range map[string]string{
		"cut, box, 1, 1, 1":                    "Nothing there to cut from",
		"add, box, 1, 1, 1; cut, box, 2, 2, 2": "More cut out than there is",
	} {
		a := run(t, weighSheet, "parts", parts)
		got, _ := a.Headline()
		assert.Equal(t, head, got)
		assert.Equal(t, worksheet.Stop, a.Mark())
		assert.Empty(t, a.Text("lift"))
	}
	a := worksheet.Run(weighSheet, units.InchSystem, []worksheet.Pair{{Key: "metal", Text: "own"}, {Key: "parts", Text: "add, box, 1, 1, 1"}})
	require.NotNil(t, a.Fault)
	assert.Equal(t, "density", a.Fault.Field)
}

// Three legs hang in balance: the forces at the hook add up to the weight and
// nothing sideways, whatever the lugs.
func TestThreeLegsBalance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		num := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		var lugs []Lug
		for _, a := range []float64{0, 2.1, 4.2} {
			r, t := num("r", 5, 50), a+num("t", 0, .8)
			lugs = append(lugs, Lug{r * math.Cos(t), r * math.Sin(t), num("rise", 5, 90)})
		}
		legs, f := Hang(1000, lugs)
		if f != nil {
			rt.Fatal(f.Message)
		}
		var sum [3]float64
		for i, l := range legs {
			sum[0] += l.Tension * lugs[i].X / l.Length
			sum[1] += l.Tension * lugs[i].Y / l.Length
			sum[2] += l.Tension * lugs[i].Rise / l.Length
		}
		if math.Abs(sum[0]) > 1e-6 || math.Abs(sum[1]) > 1e-6 || math.Abs(sum[2]-1000) > 1e-6 {
			rt.Fatalf("out of balance: %v", sum)
		}
	})
}

// Four legs: no way to share the load found by trial beats the worst that is
// given, and the worst is reached. The ways are tried along the one line there
// is, from one end of it to the other.
func TestFourLegsWorstByTrial(t *testing.T) {
	lugs := []Lug{{14, 9, 40}, {-11, 8, 44}, {-12, -10, 40}, {13, -7, 38}}
	legs, f := Hang(1000, lugs)
	require.Nil(t, f)
	worst := [4]float64{}
	for i := 0; i <= 200000; i++ {
		last := float64(i) / 200000 * 40 // tension over length of the fourth leg
		// The other three balance 1000 less what the fourth carries.
		a, b, c, d := lugs[0], lugs[1], lugs[2], lugs[3]
		m := [3][4]float64{{a.X, b.X, c.X, -last * d.X}, {a.Y, b.Y, c.Y, -last * d.Y}, {a.Rise, b.Rise, c.Rise, 1000 - last*d.Rise}}
		q := gauss(m)
		if q[0] < 0 || q[1] < 0 || q[2] < 0 {
			continue
		}
		for k, x := range []float64{q[0], q[1], q[2], last} {
			worst[k] = max(worst[k], x*legs[k].Length)
		}
	}
	for k := range legs {
		assert.InDelta(t, worst[k], legs[k].Tension, .05, "leg %d", k+1)
	}
}

func gauss(m [3][4]float64) [3]float64 {
	for i := range 3 {
		p := i
		for r := i; r < 3; r++ {
			if math.Abs(m[r][i]) > math.Abs(m[p][i]) {
				p = r
			}
		}
		m[i], m[p] = m[p], m[i]
		for r := range 3 {
			if r != i {
				k := m[r][i] / m[i][i]
				for c := i; c < 4; c++ {
					m[r][c] -= k * m[i][c]
				}
			}
		}
	}
	return [3]float64{m[0][3] / m[0][0], m[1][3] / m[1][1], m[2][3] / m[2][2]}
}

func TestSlingRefusals(t *testing.T) {
	for _, r := range []struct {
		field string
		pairs []worksheet.Pair
	}{
		{"weight", nil},
		{"rise", []worksheet.Pair{{Key: "weight", Text: "100"}, {Key: "leg", Text: "10"}, {Key: "rise", Text: "11"}}},
		{"near", []worksheet.Pair{{Key: "weight", Text: "100"}, {Key: "how", Text: "two"}, {Key: "rise", Text: "11"}}},
		{"far", []worksheet.Pair{{Key: "weight", Text: "100"}, {Key: "how", Text: "two"}, {Key: "rise", Text: "11"}, {Key: "near", Text: "0"}, {Key: "far", Text: "0"}}},
		{"lugs", []worksheet.Pair{{Key: "weight", Text: "100"}, {Key: "how", Text: "lugs"}}},
	} {
		a := worksheet.Run(slingSheet, units.InchSystem, r.pairs)
		require.NotNil(t, a.Fault, r.field)
		assert.Equal(t, r.field, a.Fault.Field)
	}
}

// A load whose balance does not lie between its lugs swings: it is not lifted so, and no figure is
// given.
func TestItSwings(t *testing.T) {
	for _, lugs := range []string{"1,1,10; 2,1,10; 1,3,10", "5,1,10; -5,1,10"} {
		a := run(t, slingSheet, "weight", "100", "how", "lugs", "lugs", lugs)
		got, _ := a.Headline()
		assert.Equal(t, "It will swing: hook not over it", got)
		assert.Equal(t, worksheet.Stop, a.Mark())
		assert.Equal(t, "no", a.Text("ok"))
		assert.Empty(t, a.Text("tension")+a.Text("need"))
	}
}

func TestFlatSlingsAreRefused(t *testing.T) {
	for _, r := range []struct {
		angle string
		level worksheet.Level
		says  string
	}{{"29", worksheet.Refusal, "29 deg is too flat: 30 deg at least"}, {"30", worksheet.Warning,
		"slings tagged 750 lbf"}, {"60", worksheet.Remark, "slings tagged 450 lbf"}} {
		a := worksheet.Run(slingSheet, units.InchSystem, []worksheet.Pair{{Key: "weight", Text: "600"}, {Key: "angle", Text: r.angle}})
		require.Nil(t, a.Fault)
		assert.Equal(t, r.level, a.Cautions()[0].Level, r.angle)
		assert.Contains(t, a.Text("verdict"), r.says)
	}
	over := worksheet.Run(slingSheet, units.InchSystem, []worksheet.Pair{{Key: "weight", Text: "600"}, {Key: "angle", Text: "45"}, {Key: "rated", Text: "400"}})
	assert.Equal(t, "no", over.Text("ok"))
	four := worksheet.Run(slingSheet, units.InchSystem, []worksheet.Pair{{Key: "weight", Text: "600"}, {Key: "angle", Text: "60"}, {Key: "legs", Text: "4"}})
	assert.Equal(t, "346 lbf", four.Text("tension"), "two of four legs carry it")
}

// More lean never lets an eyebolt carry more, and more rating never less.
func TestEyeboltMonotone(t *testing.T) {
	for _, e := range Eyebolts {
		last := math.Inf(1)
		for a := 0.0; a <= 90; a++ {
			x := Allowed(e, 0, a)
			assert.LessOrEqual(t, x, last, "%s at %v", e.Key, a)
			assert.LessOrEqual(t, x, e.Listed(a))
			assert.LessOrEqual(t, Allowed(e, 500, a), 500.0)
			last = x
		}
	}
}

func TestEyeboltRefusals(t *testing.T) {
	run := func(pairs ...worksheet.Pair) worksheet.Answer {
		a := worksheet.Run(eyeSheet(), units.InchSystem, append([]worksheet.Pair{{Key: "size", Text: "5/8"}, {Key: "pull", Text: "100"}}, pairs...))
		require.Nil(t, a.Fault)
		return a
	}
	good := run(worksheet.Pair{Key: "angle", Text: "30"}, worksheet.Pair{Key: "metal", Text: "grey30"}, worksheet.Pair{Key: "grip", Text: "1"})
	assert.Equal(t, "yes", good.Text("ok"))
	for name, a := range map[string]worksheet.Answer{
		"plain at an angle": run(worksheet.Pair{Key: "kind", Text: "plain"}, worksheet.Pair{Key: "angle", Text: "10"}),
		"across the eye":    run(worksheet.Pair{Key: "flat", Text: "no"}),
		"past 45 degrees":   run(worksheet.Pair{Key: "angle", Text: "50"}),
		"too little thread": run(worksheet.Pair{Key: "grip", Text: ".5"}),
	} {
		assert.Equal(t, "no", a.Text("ok"), name)
		assert.Contains(t, a.Text("verdict"), "Do not lift so", name)
	}
	a := worksheet.Run(eyeSheet(), units.InchSystem, []worksheet.Pair{{Key: "size", Text: "other"}, {Key: "pull", Text: "100"}})
	require.NotNil(t, a.Fault)
	assert.Equal(t, "rated", a.Fault.Field)
}

// Every eyebolt's thread is one the standard lists. In mild steel a diameter of
// it bears the straight load many times; in soft iron it does not bear five times.
func TestEyeboltThreads(t *testing.T) {
	iron, _ := engage.FindMetal("grey20")
	e, _ := FindEyebolt("5/8")
	times, f := Grip(e, iron, .94, 2940)
	require.Nil(t, f)
	assert.Less(t, times, 5.0)
	m, _ := engage.FindMetal("mild")
	for _, e := range Eyebolts {
		times, f := Grip(e, m, e.Dia, e.Load[0])
		require.Nil(t, f, e.Key)
		assert.Greater(t, times, 3.0, e.Key)
	}
}

// The load at an angle by looking at every angle of both schemes: the tables are
// laid out as steps by the tenth of a degree, and of all steps up to the pull's
// the least counts.
func TestEyeboltByEveryAngle(t *testing.T) {
	for _, e := range Eyebolts {
		// What each scheme leaves from one tabled angle, not counted, to the next.
		type span struct{ from, to, load float64 }
		var spans []span
		last := StraightPull * 1.0
		for i, to := range []float64{30, 60, 90} {
			spans = append(spans, span{last, to, e.Load[i+1]})
			last = to
		}
		last = StraightPull
		for _, p := range [][2]float64{{15, .8}, {30, .65}, {45, .3}, {90, .25}} {
			spans = append(spans, span{last, p[0], p[1] * e.Load[0]})
			last = p[0]
		}
		for tenth := range 901 {
			least := e.Load[0]
			for k := range tenth + 1 {
				a := float64(k) / 10
				for _, s := range spans {
					if a > s.from && a <= s.to {
						least = min(least, s.load)
					}
				}
			}
			require.InDelta(t, least, Allowed(e, 0, float64(tenth)/10), 1e-9, "%s at %v", e.Key, float64(tenth)/10)
		}
	}
}

// The grip of the thread by counting: one pitch is cut into thin slices, and
// those where the shearing cylinder runs in metal are added up.
func TestEyeboltGripByCounting(t *testing.T) {
	metal := func(d, p, pitchDia, way float64) float64 { // area for each inch
		const n = 200000
		in := 0
		for i := range n {
			z := math.Abs((float64(i)+.5)/n-.5) * p // from the middle of the ridge
			half := p/4 + way*(d-pitchDia)/2*math.Tan(math.Pi/6)
			if z < half {
				in++
			}
		}
		return math.Pi * d * float64(in) / n
	}
	m, _ := engage.FindMetal("grey30")
	for _, e := range Eyebolts {
		th, err := thread.Parse(e.Thread)
		require.NoError(t, err)
		bolt, err := th.ExternalLimits()
		require.NoError(t, err)
		hole, err := th.InternalLimits()
		require.NoError(t, err)
		nut := metal(bolt.Major.Min, th.Pitch, hole.Pitch.Max, 1)    // the hole's ridge widens outwards
		screw := metal(hole.Minor.Max, th.Pitch, bolt.Pitch.Min, -1) // the bolt's inwards
		half := min(screw*eyeboltTensile, nut*m.Tensile) / 2
		shear := min(screw*eyeboltTensile/math.Sqrt(3), nut*m.Shear)
		got, f := Grip(e, m, 1.25, 1000)
		require.Nil(t, f)
		require.InEpsilon(t, 1.25*min(half, shear)/1000, got, 1e-3, e.Key)
	}
}

// The figure of the frustum's check, by adding up thin discs.
func TestFrustumBySlices(t *testing.T) {
	b := Body{Shape: Cone, A: 6, B: 2, C: 5}
	const n = 100000
	volume, moment := 0.0, 0.0
	for i := range n {
		h := (float64(i) + .5) / n * b.C
		d := b.A + (b.B-b.A)*h/b.C
		volume += d * d
		moment += d * d * h
	}
	for _, r := range weighRows {
		if r.get == 'o' {
			assert.InDelta(t, moment/volume, r.want, r.tol)
		}
	}
}
