package chain

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"datumbook/calc/fitting"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

func TestTotal(t *testing.T) {
	assert.Empty(t, chainSheet.CheckFields())
	for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
		a := worksheet.Run(&chainSheet, sys, append([]worksheet.Pair{{Key: "trials", Text: "500"}}, chainSheet.Example...))
		require.Nil(t, a.Fault, "%v", a.Fault)
		require.NotEmpty(t, a.Lines())
	}
	answered := 0
	rapid.Check(t, func(t *rapid.T) {
		in := registrytest.Pairs(&chainSheet).Draw(t, "inputs")
		a := worksheet.Run(&chainSheet, units.System(rapid.IntRange(0, 1).Draw(t, "system")), in)
		if a.Fault == nil {
			answered++
			return
		}
		require.NotContains(t, a.Fault.Message, "could not be worked out", "%v", in)
	})
	t.Logf("answered %d", answered)
	assert.Greater(t, answered, 20)
}

var sideNames = []string{"bottom", "top", "left", "right", "front", "back"}

// plan draws a job: set-ups in any order of sides, errors of every kind, shared
// ones among them.
func plan(t *rapid.T, size float64) Plan {
	var p Plan
	side := func() Side { return Side(rapid.SampledFrom(sideNames).Draw(t, "side")) }
	n := rapid.IntRange(1, 6).Draw(t, "setups")
	for i := range n {
		p.Setups = append(p.Setups, Setup{Down: side(), Turn: rapid.IntRange(0, 3).Draw(t, "turn"), From: rapid.IntRange(0, i).Draw(t, "from"), Seat: rapid.Float64Range(1, 20).Draw(t, "seat")})
	}
	marked := map[int]Cause{}
	for range rapid.IntRange(1, 15).Draw(t, "causes") {
		c := Cause{Setup: rapid.IntRange(1, n).Draw(t, "setup"), Kind: Kind(rapid.SampledFrom([]string{"seat", "plate", "tram", "head", "way", "heat", "other"}).Draw(t, "kind")), Axis: rapid.IntRange(0, 2).Draw(t, "axis"),
			Half: rapid.Float64Range(0, size).Draw(t, "half"), Measured: rapid.Bool().Draw(t, "measured"), Turned: rapid.Bool().Draw(t, "turned")}
		if c.Measured {
			c.Value = rapid.Float64Range(-size, size).Draw(t, "value")
		}
		if rapid.IntRange(0, 2).Draw(t, "shared") == 0 {
			c.Mark = "P"
			if m, ok := marked[c.Axis]; ok {
				c.Value, c.Half, c.Measured = m.Value, m.Half, m.Measured
			}
			marked[c.Axis] = c
		}
		p.Causes = append(p.Causes, c)
	}
	k := rapid.IntRange(1, 4).Draw(t, "faces")
	for i := range k {
		to := rapid.IntRange(0, k).Draw(t, "to")
		if to == i+1 {
			to = 0
		}
		p.Faces = append(p.Faces, Face{Setup: rapid.IntRange(1, n).Draw(t, "setup"), Looks: side(), Holes: rapid.Bool().Draw(t, "holes"), To: to, Length: rapid.Float64Range(1, 30).Draw(t, "length")})
	}
	return p
}

// cross is the matrix of a small turn.
func cross(v []float64) *mat.Dense {
	return mat.NewDense(3, 3, []float64{0, -v[2], v[1], v[2], 0, -v[0], -v[1], v[0], 0})
}

// stand is how a set-up's machine lies in the part, as a matrix, found by turning the part step by
// step: a second method for pose.
func stand(s Setup) *mat.Dense {
	turn := func(axis int, quarters int) *mat.Dense {
		v := []float64{0, 0, 0}
		v[axis] = float64(quarters) * math.Pi / 2
		var r mat.Dense
		r.Exp(cross(v))
		return &r
	}
	var r *mat.Dense
	switch s.Down {
	case "bottom":
		r = turn(0, 0)
	case "top":
		r = turn(0, 2)
	case "left":
		r = turn(1, -1)
	case "right":
		r = turn(1, 1)
	case "front":
		r = turn(0, 1)
	case "back":
		r = turn(0, -1)
	}
	var all mat.Dense
	all.Mul(turn(2, s.Turn), r)
	return &all
}

// The side named is down, and turns carry over to the part as matrices say.
func TestPose(t *testing.T) {
	down := map[Side][]float64{"bottom": {0, 0, -1}, "top": {0, 0, 1}, "left": {-1, 0, 0}, "right": {1, 0, 0}, "front": {0, -1, 0}, "back": {0, 1, 0}}
	for _, side := range sideNames {
		for turn := range 4 {
			s := Setup{Down: Side(side), Turn: turn}
			r := stand(s)
			var v mat.VecDense
			v.MulVec(r, mat.NewVecDense(3, down[s.Down]))
			assert.InDelta(t, -1, v.AtVec(2), 1e-12, "%v", s)
			axis, sign := s.pose()
			for m := range 3 {
				e := mat.NewVecDense(3, nil)
				e.SetVec(m, 1)
				var part mat.VecDense
				part.MulVec(r.T(), e)
				for a := range 3 {
					want := 0.0
					if a == axis[m] {
						want = sign[m]
					}
					assert.InDelta(t, want, part.AtVec(a), 1e-12, "%v machine %d part %d", s, m, a)
				}
			}
		}
	}
}

// exact measures the faces with the errors as they are, by matrix exponentials
// in the machine's own frame: the part turned in the machine, the cut turned
// against it.
func exact(p Plan, e Error, value func(i int) float64) float64 {
	at := []*mat.Dense{mat.NewDense(3, 3, []float64{1, 0, 0, 0, 1, 0, 0, 0, 1})}
	for i, s := range p.Setups {
		sum := []float64{0, 0, 0}
		for j, c := range p.Causes {
			if c.Setup == i+1 {
				x := value(j)
				if c.Kind.partSide() {
					x = -x
				}
				if c.Turned {
					x = -x
				}
				sum[c.Axis] += x
			}
		}
		var turn, a, b mat.Dense
		turn.Exp(cross(sum))
		r := stand(s)
		a.Mul(r.T(), &turn)
		b.Mul(&a, r)
		var all mat.Dense
		all.Mul(at[s.From], &b)
		at = append(at, &all)
	}
	f := p.Faces[e.Face]
	rel := at[f.Setup]
	if f.To > 0 {
		var d mat.Dense
		d.Mul(at[p.Faces[f.To-1].Setup].T(), rel)
		rel = &d
	}
	v := mat.NewVecDense(3, nil)
	v.SetVec((e.Axis+1)%3, 1)
	var out mat.VecDense
	out.MulVec(rel, v)
	return f.Length * math.Atan2(out.AtVec((e.Axis+2)%3), out.AtVec((e.Axis+1)%3))
}

// What is expected is what the geometry in space gives with every error at its
// reading, to the square of the angles.
func TestExpectedInSpace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plan(t, 1e-5)
		require.Nil(t, p.Check())
		for _, e := range p.Predict() {
			got := exact(p, e, func(i int) float64 { return p.Causes[i].Value })
			require.InDelta(t, got, e.Mean, 1e-7)
		}
	})
}

// Trials agree with the prediction: mean, standard deviation, and the worst is
// never passed by more than the angles' squares.
func TestTrialsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plan(t, .0002)
		errors := p.Predict()
		const n = 1000
		for i, r := range p.Try(errors, n, rapid.Uint64().Draw(t, "seed")) {
			e := errors[i]
			require.InDelta(t, e.Mean, r.Mean, 5*e.Unit/math.Sqrt(n)+1e-5)
			require.InDelta(t, e.Unit, r.Unit, .15*e.Unit+1e-6)
			require.LessOrEqual(t, max(math.Abs(r.Low), math.Abs(r.High)), e.Worst*1.25+1e-5)
		}
	})
}

// Laws of the prediction: the worst covers the likely; more uncertainty is never better; the shares
// add up to the whole; a measurement never makes it worse.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plan(t, .001)
		errors := p.Predict()
		wider := p
		wider.Causes = append([]Cause(nil), p.Causes...)
		for i := range wider.Causes {
			wider.Causes[i].Half *= 1.5
		}
		for i, e := range wider.Predict() {
			require.GreaterOrEqual(t, e.Unit, errors[i].Unit*(1-1e-12))
			require.GreaterOrEqual(t, e.Worst, errors[i].Worst*(1-1e-12))
		}
		for _, e := range errors {
			require.GreaterOrEqual(t, e.Worst*(1+1e-12), math.Abs(e.Mean)+e.Unit)
			part, mean := 0.0, 0.0
			for _, s := range p.Shares(e, func(int) float64 { return .0001 }) {
				part += s.Part
				mean += s.Mean
				require.LessOrEqual(t, s.After, e.Sure()*(1+1e-9))
			}
			require.InDelta(t, e.Mean, mean, 1e-12)
			if e.Unit > 0 {
				require.InDelta(t, 1, part, 1e-9)
			}
		}
	})
}

// The proposed shim removes the expected error: added to the causes as a turn of the part it leaves
// zero.
func TestCure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plan(t, .001)
		for i, e := range p.Predict() {
			c, ok := p.Cure(e)
			if !ok {
				require.Zero(t, e.Mean)
				continue
			}
			q := p
			q.Causes = append(append([]Cause(nil), p.Causes...), Cause{Setup: c.Setup, Kind: "other", Axis: c.Axis, Value: c.Turn, Measured: true})
			require.InDelta(t, 0, q.Predict()[i].Mean, 1e-12)
			require.InDelta(t, math.Abs(c.Turn)*p.Setups[c.Setup-1].Seat, c.Shim, 1e-12)
		}
	})
}

// The same seed gives the same trials, another does not.
func TestSeed(t *testing.T) {
	p := Plan{Setups: []Setup{{Down: "bottom"}}, Causes: []Cause{{Setup: 1, Kind: "way", Half: .001, Measured: true}}, Faces: []Face{{Setup: 1, Looks: "top", Length: 10}}}
	e := p.Predict()
	require.Equal(t, p.Try(e, 100, 5), p.Try(e, 100, 5))
	require.NotEqual(t, p.Try(e, 100, 5), p.Try(e, 100, 6))
	// splitmix64's published first outputs from a state of 0.
	d := draws(0)
	assert.Equal(t, float64(0xe220a8397b1dcdaf>>11)/(1<<53), d.unit())
	assert.Equal(t, float64(0x6e789e6aa1b965f4>>11)/(1<<53), d.unit())
}

// What is drawn as normal is: of many draws no part below a value is far from
// the normal distribution's (Kolmogorov's distance, 1 in 1000 by chance).
func TestNormal(t *testing.T) {
	const n = 200000
	d := draws(2026)
	x := make([]float64, n)
	for i := range x {
		x[i] = d.normal()
	}
	slices.Sort(x)
	far := 0.0
	for i, z := range x {
		far = max(far, math.Abs(float64(i)/n-fitting.NormalCDF(z)))
	}
	assert.Less(t, far, 1.95/math.Sqrt(n)+.0002)
}

func TestAnswers(t *testing.T) {
	base := []worksheet.Pair{{Key: "setups", Text: "one, bottom, 0, 10; two, top, 1, 10"}, {Key: "faces", Text: "bottom, 1, bottom, face, 0, 10; top, 2, top, face, 1, 10, 0.001"}}
	run := func(causes string) worksheet.Answer {
		a := worksheet.Run(&chainSheet, units.InchSystem, append([]worksheet.Pair{{Key: "causes", Text: causes}}, base...))
		require.Nil(t, a.Fault, "%v", a.Fault)
		return a
	}
	for _, c := range []struct{ name, causes, verdict, improve string }{
		{"comes out", "2, seat, x, , 0.0005", "It comes out", "Read seat"},
		{"should", "2, seat, x, 0, 0.0006; 2, tram, x, 0, 0.0006", "It should come out", "Read"},
		{"may not", "2, seat, x, , 0.002", "It may not come out",
			"Read seat: chip, burr, bow, set-up 2 (row 1): the plus or minus goes from 2.4 thou to .2 thou"},
		{"will not, and which shim", "2, plate, x, 0.003, 0.0002", "It will not come out",
			"Shim the front edge up by 3 thou in set-up 2"},
		{"other way", "2, plate, y, 0.003, 0.0002", "It will not come out",
			"Shim the right edge up by 3 thou in set-up 2"},
		{"nothing counts", "2, seat, z, , 0.002", "It comes out", "Nothing on this list"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := run(c.causes)
			assert.Contains(t, a.Text("verdict"), c.verdict)
			assert.Contains(t, a.Text("improve"), c.improve)
		})
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct{ name, field, setups, causes, faces string }{
		{"on itself", "setups", "one, bottom, 1, 10", "1, seat, x, , 0.001", "top, 1, top, face, 0, 10"},
		{"no such set-up", "causes", "one, bottom, 0, 10", "2, seat, x, , 0.001", "top, 1, top, face, 0, 10"},
		{"no such set-up for a face", "faces", "one, bottom, 0, 10", "1, seat, x, , 0.001", "top, 2, top, face, 0, 10"},
		{"no such datum", "faces", "one, bottom, 0, 10", "1, seat, x, , 0.001", "top, 1, top, face, 2, 10"},
		{"its own datum", "faces", "one, bottom, 0, 10", "1, seat, x, , 0.001", "top, 1, top, face, 1, 10"},
		{"one mark, two sizes", "causes", "one, bottom, 0, 10", "1, plate, x, 0.001, 0, 10, P; 1, plate, x, 0.002, 0, 10, P", "top, 1, top, face, 0, 10"},
		{"no size", "causes", "one, bottom, 0, 10", "1, plate, x", "top, 1, top, face, 0, 10"},
		{"not small", "causes", "one, bottom, 0, 10", "1, plate, x, 1, 0", "top, 1, top, face, 0, 10"},
		{"no seat", "setups", "one, bottom, 0, 0", "1, seat, x, , 0.001", "top, 1, top, face, 0, 10"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(&chainSheet, units.InchSystem, []worksheet.Pair{{Key: "setups", Text: c.setups}, {Key: "causes", Text: c.causes}, {Key: "faces", Text: c.faces}})
			require.NotNil(t, a.Fault)
			assert.Equal(t, c.field, a.Fault.Field, a.Fault.Message)
		})
	}
}

func BenchmarkTrials(b *testing.B) {
	in := append([]worksheet.Pair{{Key: "trials", Text: "1000"}}, chainSheet.Example...)
	for b.Loop() {
		if a := worksheet.Run(&chainSheet, units.InchSystem, in); a.Fault != nil {
			b.Fatal(a.Fault)
		}
	}
}
