package cut

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// ask runs a worksheet from its example with some inputs changed.
func ask(t *testing.T, s *worksheet.Sheet, pairs ...string) worksheet.Answer {
	t.Helper()
	var change []worksheet.Pair
	for i := 0; i < len(pairs); i += 2 {
		change = append(change, worksheet.Pair{Key: pairs[i], Text: pairs[i+1]})
	}
	a := worksheet.Run(s, units.InchSystem, withPairs(s.Example, change...))
	require.Nil(t, a.Fault, "%v", a.Fault)
	return a
}

// The force once jumped by half as the width crossed a whole tooth: 2.99 and 3.01 in of a 6 in
// cutter with 6 teeth. By hand: Fm = kc ap fz z B/(pi D) grows by a hundredth, F1 stays.
func TestForceDoesNotJumpAtAWholeTooth(t *testing.T) {
	force := func(width string) float64 {
		a := ask(t, powerSheet, "width", width)
		var x float64
		for _, c := range a.Value("force") {
			if c == '.' {
				break
			}
			x = 10*x + float64(c-'0')
		}
		return x
	}
	below, above := force("2.99 in"), force("3.01 in")
	assert.Greater(t, below, 300.0)
	assert.LessOrEqual(t, above-below, .01*below)
	assert.GreaterOrEqual(t, above, below)
}

func TestPowerAnswers(t *testing.T) {
	for _, c := range []struct {
		name    string
		pairs   []string
		mark    worksheet.Mark
		verdict []string
		caution []string
	}{
		// fz = 4/(6 x 80) = .00833; C between .008 (1.08) and .010 (1.04): 1.0733. Kp .60, W 1.15.
		// Q = .1 x 4 x 4 = 1.6; Pc = .6 x 1.0733 x 1.6 x 1.15 = 1.185; Pm = 1.185/.75 = 1.580: 1.6.
		// V = pi 6 80/12 = 125.66; Fm = 33,000 x 1.185/125.66 = 311.2.
		// F1 = 396,000 x .6 x 1.0733 x 1.15 x .1 x .00833 = 244.4; in all 555.6: 560.
		{"as it stands", nil, worksheet.Good, []string{"It pulls: 1.6 hp of 3 hp", "against 560 lbf", "to the right"}, nil},
		{"nothing said of the motor", []string{"motor", ""}, worksheet.Open,
			[]string{"It takes 1.6 hp", "Whether the motor has it was not reckoned"}, nil},
		// 1.57995 of 1.6: to a tenth they would read the same
		{"just", []string{"motor", "1.6 hp"}, worksheet.Careful, []string{"It pulls, just: 1.58 hp of 1.6 hp"},
			[]string{"hard spot"}},
		// Depth goes with the power: .1 x 1.5/1.580 = .0949, less.
		{"a little too much", []string{"motor", "1.5 hp"}, worksheet.Stop,
			[]string{"Too much: 1.6 hp of 1.5 hp", "Cut no deeper than .094 in"}, nil},
		// 12/(6 x 80) = .025: silent before. C .86; F1 = 396,000 x .6 x .86 x 1.15 x .1 x .025 = 587.5.
		// At .010 the feed is 12 x .010/.025 = 4.8.
		{".025 a tooth", []string{"feed", "12 in/min", "motor", "10 hp"}, worksheet.Careful,
			[]string{".025 in a tooth is a heavy chip"}, []string{"Each tooth takes 590 lbf", "4.8 in/min gives .010 in"}},
		// 100 in/min is .208 a tooth: 100 mm/min, .0082 a tooth, is meant.
		{"millimetres typed as inches", []string{"feed", "100", "motor", ""}, worksheet.Open, nil,
			[]string{"Or 100 mm/min?"}},
		// Work on the right of the cutter: climb.
		{"climb", []string{"width", "1.5 in", "offset", "-2.25 in"}, worksheet.Careful, []string{"to the right"},
			[]string{"It climbs", "lost motion"}},
		{"conventional", []string{"width", "1.5 in", "offset", "2.25 in"}, worksheet.Good, []string{"most ahead"}, nil},
		// y from 1 to 3: phi from acos 1 = 0 to acos 1/3 = 70.5 deg. sin^2/2 = .444; (1.231 - .943 x
		// .333)/2 = .458. X .444 + .4 x .458 = .628, Y .4 x .444 - .458 = -.281; times 244.4/1.047:
		// 147 ahead, 66 right.
		{"most of it ahead", []string{"width", "2 in", "offset", "2 in"}, worksheet.Good,
			[]string{"most ahead, against the table's feed"}, nil},
		// 12 in/min is .025 a tooth, .010 the tables' most: 12 x .010/.025 = 4.8. The power at 8.8 would
		// do, but edges would break.
		{"a slower feed that edges stand", []string{"feed", "12 in/min"}, worksheet.Stop, []string{" Feed 4.8 in/min."},
			[]string{"Each tooth takes"}},
		{"left-hand spindle", []string{"hand", "left"}, worksheet.Good, []string{"to the left"}, nil},
		{"left-hand spindle, climb is on the left", []string{"hand", "left", "width", "1.5 in", "offset", "2.25 in"},
			worksheet.Careful, []string{"to the left"}, []string{"It climbs"}},
		{"outside the hardness table", []string{"hb", "390", "motor", "10 hp"}, worksheet.Careful, nil,
			[]string{"outside the table"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := ask(t, powerSheet, c.pairs...)
			assert.Equal(t, c.mark, a.Mark(), "%v", a.Cautions())
			for _, s := range c.verdict {
				assert.Contains(t, a.Text("verdict"), s)
			}
			for _, s := range c.caution {
				assert.Contains(t, registrytest.Said(a, worksheet.Warning), s)
			}
			if c.caution == nil {
				assert.Empty(t, registrytest.Said(a, worksheet.Warning))
			}
		})
	}
}

// Between a motor that pulls it and one that does not stands the power of the worked line.
func TestPowerTurnsAtTheRating(t *testing.T) {
	lo, hi := 1.0, 3.0
	for range 40 {
		mid := (lo + hi) / 2
		d, _ := units.Round(mid, 9)
		if ask(t, powerSheet, "motor", d.Text()+" hp").Mark() == worksheet.Stop {
			lo = mid
		} else {
			hi = mid
		}
	}
	d, _ := units.Round(hi, 3)
	line := ""
	for _, l := range ask(t, powerSheet).Lines() {
		if l.What == "Power at the motor" {
			line = l.Result
		}
	}
	assert.Contains(t, line, d.Text()[:4], "%v", hi)
}

// What stops gives no depth to set that the motor cannot pull.
func TestPowerWaysOutAreTried(t *testing.T) {
	a := ask(t, powerSheet, "motor", "1 hp")
	assert.Equal(t, worksheet.Stop, a.Mark())
	assert.Contains(t, a.Text("verdict"), "no deeper than .063 in")
	assert.Contains(t, a.Text("verdict"), "feed 2.2 in/min")
	assert.NotEqual(t, worksheet.Stop, ask(t, powerSheet, "motor", "1 hp", "depth", ".063 in").Mark())
	assert.NotEqual(t, worksheet.Stop, ask(t, powerSheet, "motor", "1 hp", "feed", "2.2 in/min").Mark())
	small := ask(t, powerSheet, "motor", "0.05 hp")
	assert.NotContains(t, small.Text("verdict"), "in/min", "a feed that only rubs is no way out")
	assert.NotContains(t, small.Text("verdict"), "deeper")
}
