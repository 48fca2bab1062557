package uncertainty

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

func TestTotal(t *testing.T) {
	for _, s := range Sheets() {
		t.Run(s.Name, func(t *testing.T) {
			for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
				a := worksheet.Run(s, sys, s.Example)
				require.Nil(t, a.Fault, "%v", a.Fault)
				require.NotEmpty(t, a.Lines())
			}
			answered := 0
			rapid.Check(t, func(t *rapid.T) {
				in := registrytest.Pairs(s).Draw(t, "inputs")
				a := worksheet.Run(s, units.System(rapid.IntRange(0, 1).Draw(t, "system")), in)
				if a.Fault == nil {
					answered++
					return
				}
				require.NotContains(t, a.Fault.Message, "could not be worked out", "%v", in)
			})
			t.Logf("answered %d", answered)
		})
	}
}

func draw(t *rapid.T) Part {
	givens := []Given{Standard, Double, At95, At99, Limit, Triangle, Swing, Step, Twice}
	p := Part{Given: rapid.SampledFrom(givens).Draw(t, "given"), Value: rapid.Float64Range(1e-6, 10).Draw(t, "value"), Sens: rapid.Float64Range(-5, 5).Draw(t, "sens")}
	if rapid.Bool().Draw(t, "finite") {
		p.DF = rapid.Float64Range(1, 100).Draw(t, "df")
	}
	return p
}

// Laws of the combination: order does not matter, scale carries through, more
// parts are never surer, the effective degrees of freedom lie between the
// least and the sum, full correlation adds straight.
func TestCombineLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := []Part{draw(t), draw(t), draw(t)}
		parts[0].Sens = 1
		b, err := Combine(parts, nil, 0)
		require.NoError(t, err)
		back, err := Combine([]Part{parts[2], parts[1], parts[0]}, nil, 0)
		require.NoError(t, err)
		require.InEpsilon(t, b.Std, back.Std, 1e-12)
		fewer, err := Combine(parts[:2], nil, 0)
		require.NoError(t, err)
		require.LessOrEqual(t, fewer.Std, b.Std*(1+1e-12))
		hyp := 0.0
		for _, p := range parts {
			hyp = math.Hypot(hyp, p.Share())
		}
		require.InEpsilon(t, hyp, b.Std, 1e-12)
		if b.DF > 0 {
			least, sum := math.Inf(1), 0.0
			for _, p := range parts {
				if p.DF > 0 {
					least, sum = min(least, p.DF), sum+p.DF
				} else {
					sum = math.Inf(1)
				}
			}
			require.GreaterOrEqual(t, b.DF, least*(1-1e-12))
			require.LessOrEqual(t, b.DF, sum*(1+1e-12))
		}
		full, err := Combine(parts[:2], []Pair{{0, 1, 1}}, 0)
		straight := math.Abs(parts[0].Sens*parts[0].Std() + parts[1].Sens*parts[1].Std())
		if err != nil {
			require.Less(t, straight, 1e-5*b.Std)
			return
		}
		require.InDelta(t, straight, full.Std, 1e-6*b.Std)
	})
}

// The combination against a plain simulation of what it stands for.
func TestCombineByDrawing(t *testing.T) {
	u, v := distuv.Uniform{Min: -.3, Max: .3}, distuv.Normal{Sigma: .2}
	const n = 200_000
	sum := 0.0
	for i := range n {
		// Evenly spread quantiles in an order that mixes the two.
		a := u.Quantile((float64(i) + .5) / n)
		b := v.Quantile((float64(i*61_703%n) + .5) / n)
		x := 2*a - b
		sum += x * x
	}
	b, err := Combine([]Part{{Given: Limit, Value: .3, Sens: 2}, {Given: Standard, Value: .2, Sens: -1}}, nil, 0)
	require.NoError(t, err)
	assert.InEpsilon(t, math.Sqrt(sum/n), b.Std, 2e-3)
}

func TestConformsAgainstLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Limits{rapid.Float64Range(-5, 0).Draw(t, "low"), rapid.Float64Range(.1, 5).Draw(t, "high")}
		y, u := rapid.Float64Range(-6, 6).Draw(t, "y"), rapid.Float64Range(.01, 3).Draw(t, "u")
		d := distuv.Normal{Mu: y, Sigma: u}
		require.InDelta(t, d.CDF(l.High)-d.CDF(l.Low), l.Conforms(y, u), 1e-12)
		below, above := Limits{math.Inf(-1), l.Low}.Conforms(y, u), Limits{l.High, math.Inf(1)}.Conforms(y, u)
		require.InDelta(t, 1, below+l.Conforms(y, u)+above, 1e-12)
		mid := (l.Low + l.High) / 2
		require.InDelta(t, l.Conforms(mid+y, u), l.Conforms(mid-y, u), 1e-12, "alike on both sides")
		p := rapid.Float64Range(.5, .9999).Draw(t, "p")
		require.InDelta(t, p, Limits{math.Inf(-1), 0}.Conforms(-Guard(p)*u, u), 1e-10)
	})
}

// The GUM's H.2 from its readings, correlations and all.
func TestImpedanceFromReadings(t *testing.T) {
	const i = 19.6610e-3
	for which, want := range map[byte]float64{'r': 127.732, 'x': 219.847, 'z': 254.260} {
		f := map[byte]float64{'r': math.Cos(1.04446), 'x': math.Sin(1.04446), 'z': 1}[which]
		assert.InDelta(t, want, 4.9990/i*f, .0006)
	}
}

// pairsOf reads inputs written as key=text|key=text.
func pairsOf(in string) []worksheet.Pair {
	var out []worksheet.Pair
	for _, p := range strings.FieldsFunc(in, func(r rune) bool { return r == '|' }) {
		key, text, _ := strings.Cut(p, "=")
		out = append(out, worksheet.Pair{Key: key, Text: text})
	}
	return out
}

func TestAnswers(t *testing.T) {
	for _, row := range []struct{ name, sheet, in, key, want string }{
		{"end gauge as typed, in nanometres", "sure", "level=p99|parts=standard,std,25,1,18; difference,std,9.7,1,25.6; expansion,limit,1,5,50; temperature,limit,0.05,575,2", "std", "31.6692938 in"},
		{"end gauge, degrees", "sure", "level=p99|parts=standard,std,25,1,18; difference,std,9.7,1,25.6; expansion,limit,1,5,50; temperature,limit,0.05,575,2", "df", "16.8"},
		{"stated with its size", "sure", "size=2.0003|level=two|parts=graduation,step,.0005", "verdict",
			"2.0003 in \u00b1 .00029 in (k = 2, about 95 %); mostly from graduation."},
		{"guarded", "accept", "size=2.00035|unsure=.0002|low=1.9995|high=2.0005", "accept", "no"},
		{"guarded, zone", "accept", "size=2.00035|unsure=.0002|low=1.9995|high=2.0005", "zonehigh", "2.0003 in"},
		{"guarded, probability", "accept", "size=2.00035|unsure=.0002|low=1.9995|high=2.0005", "inside", "93.32%"},
		{"guarded, at the zone's end", "accept", "size=2.0003|unsure=.0002|low=1.9995|high=2.0005", "accept", "yes"},
		{"guard bands meet", "accept", "size=2|unsure=.0005|low=1.9995|high=2.0005", "accept", "yes"},
		{"shared risk", "accept", "size=2.00035|unsure=.0002|low=1.9995|high=2.0005|rule=simple", "accept", "yes"},
		{"not proven out", "accept", "size=2.0006|unsure=.0002|high=2.0005|rule=out", "accept", "yes"},
		{"proven out", "accept", "size=2.0008|unsure=.0002|high=2.0005|rule=out", "state", "surely out"},
		{"tolerance too small", "accept", "size=2|unsure=.0006|low=1.9995|high=2.0005", "state", "cannot be decided"},
		{"mean", "repeat", "readings=0 .5 1 .5 .5 thou", "mean", "0.0005 in"},
		{"all alike", "repeat", "readings=1 1 1", "expanded", ""},
		{"a reading apart", "repeat", "readings=0 0 0 0 0 0 0 5 thou", "far", "number 8, 2.5 standard deviations off"},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := worksheet.Run(registrytest.Find(t, Sheets(), row.sheet), units.InchSystem, pairsOf(row.in))
			require.Nil(t, a.Fault, "%v", a.Fault)
			assert.Equal(t, row.want, a.Text(row.key))
		})
	}
}

func TestWalks(t *testing.T) {
	assert.True(t, walks([]float64{0, 1, 2.1, 2.9, 4, 5.1}))
	assert.False(t, walks([]float64{0, 1, 0, 1, 0, 1}))
	assert.False(t, walks([]float64{0, 1, 2}))
}

func TestRefusals(t *testing.T) {
	const two = "parts=a,std,1;b,std,1"
	for _, row := range []struct{ name, sheet, in, field string }{
		{"nothing", "sure", "parts=a,std,0", "parts"},
		{"no such row", "sure", two + "|corr=1,3,.5", "corr"},
		{"with itself", "sure", two + "|corr=1,1,.5", "corr"},
		{"twice", "sure", two + "|corr=1,2,.5;2,1,.5", "corr"},
		{"cancels", "sure", two + "|corr=1,2,-1", "corr"},
		{"one reading", "repeat", "readings=1", "readings"},
		{"no limit", "accept", "size=1|unsure=.1", "high"},
		{"upside down", "accept", "size=1|unsure=.1|low=2|high=1", "high"},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := worksheet.Run(registrytest.Find(t, Sheets(), row.sheet), units.InchSystem, pairsOf(row.in))
			require.NotNil(t, a.Fault)
			assert.Equal(t, row.field, a.Fault.Field, a.Fault.Message)
		})
	}
}

// Slips of the hand are seen: one of few readings a digit out, and thou typed as inches. Common
// practice, no published source.
func TestSlips(t *testing.T) {
	far := registrytest.Run(t, Sheets(), "repeat", worksheet.Pair{Key: "readings", Text: "2.0001, 2.0002, 2.0001, 2.1001"})
	require.Nil(t, far.Fault)
	assert.Equal(t, worksheet.Careful, far.Mark())
	assert.Contains(t, far.Cautions()[0].Text, "Reading 4 lies .10 in from the others")
	near := registrytest.Run(t, Sheets(), "repeat",
		worksheet.Pair{Key: "readings", Text: "2.0001, 2.0002, 2.0001, 2.0004"})
	assert.Equal(t, worksheet.Good, near.Mark(), "%v", near.Cautions())

	sure := registrytest.Run(t, Sheets(), "sure",
		worksheet.Pair{Key: "parts", Text: "graduation, step, .5; repeat, std, .0002 in, 1, 4"})
	require.Nil(t, sure.Fault)
	require.NotEmpty(t, sure.Cautions())
	assert.Equal(t, "parts", sure.Cautions()[0].Field)
	assert.Equal(t, "graduation, step, .5 thou; repeat, std, .0002 in, 1, 4", sure.Cautions()[0].Means)
	again := registrytest.Run(t, Sheets(), "sure", worksheet.Pair{Key: "parts", Text: sure.Cautions()[0].Means})
	assert.Equal(t, worksheet.Good, again.Mark())
}
