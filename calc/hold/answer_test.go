package hold

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWhatIsSaid(t *testing.T) {
	p := func(k, v string) worksheet.Pair { return worksheet.Pair{Key: k, Text: v} }
	for _, c := range []struct {
		name   string
		sheet  *worksheet.Sheet
		change []worksheet.Pair
		says   []string
		text   map[string]string
	}{
		{"tension gives torque", torqueSheet(), []worksheet.Pair{p("thread", "3/4-16"), p("tension", "27000 lbf")}, []string{"Close"}, map[string]string{"torque": "337.50 lbf-ft"}},
		{"the long way", torqueSheet(), []worksheet.Pair{p("thread", "3/4-16"), p("tension", "25000 lbf"), p("fthread", "0.15")}, nil, map[string]string{"longway": "295.93 lbf-ft", "longk": "0.189"}},
		{"the long way from the nut's friction", torqueSheet(), []worksheet.Pair{p("thread", "3/4-16"), p("tension", "25000 lbf"), p("fnut", "0.15"), p("face", "0.9375 in")}, nil, map[string]string{"longway": "295.93 lbf-ft"}},
		{"past the proof load", torqueSheet(), []worksheet.Pair{p("torque", "300 lbf-ft")}, []string{"Too tight"}, nil},
		{"my own figures", torqueSheet(), []worksheet.Pair{p("grade", "own"), p("proof", "85 ksi"), p("tensile", "120 ksi"), p("k", "0.2"), p("scatter", "10")}, nil, map[string]string{"proofload": "19210.1 lbf"}},
		{"metric", torqueSheet(), []worksheet.Pair{p("thread", "M12"), p("grade", "8.8")}, nil, map[string]string{"area": "0.1306 in2"}},
		{"a heavy part slips", staySheet(), []worksheet.Pair{p("weight", "3000 lb"), p("ledge", "no")}, []string{"will not stay", "ledge, parallel or jack"}, map[string]string{"stays": "no"}},
		{"a ledge saves it", staySheet(), []worksheet.Pair{p("weight", "3000 lb"), p("ledge", "yes")}, []string{"It stays"}, map[string]string{"stays": "yes"}},
		{"an overhang tips", staySheet(), []worksheet.Pair{p("studs", "-4 in, 0.5 in; 4 in, 0.5 in"), p("cgz", "60 in")}, []string{"tipping about the bottom edge", "jack under the free end"}, map[string]string{"edge": "bottom edge"}},
		{"not as much as wanted", staySheet(), []worksheet.Pair{p("wanted", "12")}, []string{"Not enough", "Pull the nuts to"}, map[string]string{"stays": "no"}},
		{"close", staySheet(), []worksheet.Pair{p("wanted", "10")}, []string{"Close"}, map[string]string{"stays": "yes"}},
		{"any way is never better than one way", staySheet(), []worksheet.Pair{p("way", "any")}, nil, map[string]string{"worstway": "down"}},
		{"no force", staySheet(), []worksheet.Pair{p("force", "0 lbf")}, nil, map[string]string{"worstway": "no cutting force"}},
		{"the lug as a bearing", staySheet(), []worksheet.Pair{p("thick", "3/4 in")}, nil, map[string]string{"bearing": "45.53"}},
		{"pulled off the plate", staySheet(), []worksheet.Pair{p("way", "out"), p("force", "8000 lbf")}, nil, map[string]string{"worstway": "away from the plate"}},
		{"straps hold", strapSheet(), nil, []string{"It stays"}, map[string]string{"share": "60.0%"}},
		{"straps do not", strapSheet(), []worksheet.Pair{p("force", "2000 lbf")}, []string{"will not stay", "clamps like these"}, map[string]string{"stays": "no"}},
		{"straps nearly", strapSheet(), []worksheet.Pair{p("force", "350 lbf")}, []string{"Close"}, map[string]string{"stays": "yes"}},
		{"straps hardly", strapSheet(), []worksheet.Pair{p("force", "600 lbf")}, []string{"Not enough"}, map[string]string{"stays": "no"}},
		{"straps without a force", strapSheet(), []worksheet.Pair{p("force", "0 lbf")}, []string{"Give the cutting force"}, nil},
		{"a tall cut tips", strapSheet(), []worksheet.Pair{p("height", "100 in"), p("arm", "1 in"), p("cgarm", "1 in"), p("lift", "50 lbf")}, []string{"lifting and tipping"}, map[string]string{"stays": "no"}},
		{"stud at the heel", strapSheet(), []worksheet.Pair{p("heel", "1 in"), p("nose", "4 in")}, []string{"heel gets the larger share", "half way to the work"}, map[string]string{"share": "20.0%"}},
		{"weak strap", strapSheet(), []worksheet.Pair{p("wide", "1.5 in"), p("thick", "3/8 in")}, []string{"bends before the stud is tight"}, nil},
		{"strap near its yield", strapSheet(), []worksheet.Pair{p("wide", "2 in"), p("thick", "0.9 in"), p("slot", "0.7 in"), p("yield", "100 ksi")}, []string{"two thirds"}, nil},
		{"weak studs", strapSheet(), []worksheet.Pair{p("grade", "rod")}, []string{"Not like this", "not known"}, map[string]string{"stays": "no"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(c.sheet, units.InchSystem, with(c.sheet, c.change...))
			require.Nil(t, a.Fault, "%v", a.Fault)
			all := a.Text("verdict")
			if c.sheet.Name != "torque" {
				all += " " + a.Text("raise")
			}
			for _, x := range a.Cautions() {
				all += " " + x.Text
			}
			for _, s := range c.says {
				assert.Contains(t, strings.ToLower(all), strings.ToLower(s))
			}
			assert.NotEmpty(t, a.Text("torque"))
			for k, want := range c.text {
				assert.Equal(t, want, a.Text(k), k)
			}
		})
	}
}

// The worst of all ways is never better than any one of them.
func TestAnyWayIsTheWorst(t *testing.T) {
	ratio := func(way string) float64 {
		s := staySheet()
		a := worksheet.Run(s, units.InchSystem, with(s, worksheet.Pair{Key: "way", Text: way}, worksheet.Pair{Key: "force", Text: "900 lbf"}))
		require.Nil(t, a.Fault)
		d, err := strconv.ParseFloat(a.Value("ratio"), 64)
		require.NoError(t, err)
		return d
	}
	any := ratio("any")
	for _, w := range Ways {
		assert.LessOrEqual(t, any, ratio(w.Key)+.011, w.Key)
	}
}
