package hold

import (
	"math"
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
	nutted := func(more ...worksheet.Pair) []worksheet.Pair {
		return append(more, p("into", "nut"), p("washer", "none"), p("nut", "unsaid"))
	}
	for _, c := range []struct {
		name   string
		sheet  *worksheet.Sheet
		change []worksheet.Pair
		says   []string
		text   map[string]string
	}{
		{"tension gives torque", torqueSheet(), nutted(p("thread", "3/4-16"), p("tension", "16000 lbf")),
			[]string{"It gives about 16,000 lbf (11,000 to 20,000)"}, map[string]string{"torque": "180.00 lbf-ft"}},
		{"tension past three quarters", torqueSheet(), nutted(p("thread", "3/4-16"), p("tension", "27000 lbf")),
			[]string{"Too tight", "three quarters"}, map[string]string{"holds": "no"}},
		{"the long way", torqueSheet(), nutted(p("thread", "3/4-16"), p("tension", "10000 lbf"), p("fthread",
			"0.15")), nil, map[string]string{"longway": "118.37 lbf-ft", "longk": "0.189"}},
		{"the long way from the nut's friction", torqueSheet(), nutted(p("thread", "3/4-16"), p("tension",
			"10000 lbf"), p("fnut", "0.15"), p("face", "0.9375 in")), nil,
			map[string]string{"longway": "118.37 lbf-ft"}},
		{"past the proof load", torqueSheet(), []worksheet.Pair{p("torque", "300 lbf-ft")}, []string{"Too tight"},
			map[string]string{"torque": "", "cap": ""}},
		{"my own figures", torqueSheet(), []worksheet.Pair{p("grade", "own"), p("proof", "85 ksi"), p("tensile", "120 ksi"), p("k", "0.2"), p("scatter", "10")}, nil, map[string]string{"proofload": "19210.1 lbf"}},
		{"metric", torqueSheet(), nutted(p("thread", "M12"), p("grade", "8.8")), nil,
			map[string]string{"area": "0.1306 in2"}},
		{"a heavy part slips", staySheet(), []worksheet.Pair{p("weight", "3000 lb"), p("ledge", "no")},
			[]string{"It falls: friction holds", "A ledge, parallel or jack", "no setting of the wrench does it"},
			map[string]string{"stays": "no", "torque": ""}},
		{"a ledge saves it", staySheet(), []worksheet.Pair{p("weight", "3000 lb"), p("ledge", "yes")}, []string{"It stays"}, map[string]string{"stays": "yes"}},
		{"an overhang tips", staySheet(), []worksheet.Pair{p("studs", "-4 in, 0.5 in; 4 in, 0.5 in"), p("cgz",
			"60 in")}, []string{"tipping about the bottom edge", "jack under the overhang"},
			map[string]string{"edge": "bottom edge"}},
		{"not as much as wanted", staySheet(), []worksheet.Pair{p("wanted", "12")},
			[]string{"Not enough: slipping along the plate lets go at 9.0 times the cut, and 12 is wanted",
				"A deeper hole", "takes no more than 50 lbf-ft"}, map[string]string{"stays": "no"}},
		{"just", staySheet(), []worksheet.Pair{p("wanted", "8.5")}, []string{"It stays, just"},
			map[string]string{"stays": "yes"}},
		{"any way is never better than one way", staySheet(), []worksheet.Pair{p("way", "any"), p("ledge", "no")},
			nil, map[string]string{"worstway": "down"}},
		{"no force", staySheet(), []worksheet.Pair{p("force", "0 lbf")},
			[]string{"Holds its own weight; no cut reckoned"}, map[string]string{"worstway": "no cutting force",
				"stays": ""}},
		{"the lug as a bearing", staySheet(), []worksheet.Pair{p("thick", "3/4 in"), p("ledge", "no")}, nil,
			map[string]string{"bearing": "45.53"}},
		{"pulled off the plate", staySheet(), []worksheet.Pair{p("way", "out"), p("force", "8000 lbf")},
			[]string{"It will not stay"}, map[string]string{"worstway": "away from the plate"}},
		{"a torque typed below what is borne", staySheet(), []worksheet.Pair{p("torque", "20 lbf-ft"), p("wanted",
			"5")}, []string{"Not enough", "The most the joint bears, and 50 lbf-ft on the nuts: 9.0 times"}, nil},
		{"nothing said of the hole", staySheet(), []worksheet.Pair{p("into", "unsaid"), p("depth", "")},
			[]string{"What the studs screw into was not said. If it bears 30 lbf-ft, it stays"},
			map[string]string{"stays": "", "torque": "30.00 lbf-ft"}},
		{"a bare nut on a slot", staySheet(), []worksheet.Pair{p("bears", "slot"), p("washer", "none")},
			[]string{"too little metal", "plate washer"}, map[string]string{"stays": "no"}},
		{"no thread left", staySheet(), []worksheet.Pair{p("tap", "taper")},
			[]string{"No full thread is left in that hole", "A bottoming tap"}, map[string]string{"stays": "no"}},
		{"lock, hoist and stages are steps", staySheet(), nil, []string{"15 lbf-ft, 35 lbf-ft and 50 lbf-ft",
			"Lock the lift", "hoist takes the weight first"}, nil},
		{"inch pounds typed as foot pounds", torqueSheet(), []worksheet.Pair{p("torque", "480")},
			[]string{"Were they lbf-in?"}, map[string]string{"holds": "no"}},
		{"straps hold", strapSheet(), nil, []string{"It stays"}, map[string]string{"share": "60.0%", "stays": "yes"}},
		{"straps do not", strapSheet(), []worksheet.Pair{p("force", "2000 lbf")},
			[]string{"will not stay", "A stop against the cut"}, map[string]string{"stays": "no"}},
		{"straps just", strapSheet(), []worksheet.Pair{p("force", "260 lbf")}, []string{"It stays, just"},
			map[string]string{"stays": "yes"}},
		{"straps hardly", strapSheet(), []worksheet.Pair{p("force", "450 lbf")}, []string{"Not enough"},
			map[string]string{"stays": "no"}},
		{"straps without a force", strapSheet(), []worksheet.Pair{p("force", "0 lbf")},
			[]string{"Holds its own weight; no cut reckoned"}, map[string]string{"stays": ""}},
		{"straps, tipping not said", strapSheet(), []worksheet.Pair{p("height", "")},
			[]string{"Tipping not reckoned"}, map[string]string{"stays": ""}},
		{"straps, their section not said", strapSheet(), []worksheet.Pair{p("thick", "")},
			[]string{"The strap's bending not reckoned"}, map[string]string{"stays": ""}},
		{"a tall cut tips", strapSheet(), []worksheet.Pair{p("height", "100 in"), p("arm", "1 in"), p("cgarm", "1 in"), p("lift", "50 lbf")}, []string{"lifting and tipping"}, map[string]string{"stays": "no"}},
		{"stud at the heel", strapSheet(), []worksheet.Pair{p("heel", "1 in"), p("nose", "4 in")}, []string{"heel gets the larger share", "half way to the work"}, map[string]string{"share": "20.0%"}},
		{"weak strap", strapSheet(), []worksheet.Pair{p("wide", "1.5 in"), p("thick", "1/2 in"), p("torque",
			"80 lbf-ft")}, []string{"The strap bends: 378 ksi in it, and it yields at 45.0 ksi"},
			map[string]string{"stays": "no", "torque": ""}},
		{"strap near its yield", strapSheet(), []worksheet.Pair{p("wide", "2 in"), p("thick", "0.9 in"), p("slot",
			"0.7 in"), p("yield", "80 ksi")}, []string{"two thirds"}, nil},
		{"weak studs", strapSheet(), []worksheet.Pair{p("grade", "rod"), p("thick", "3 in")},
			[]string{"Too tight: 60 lbf-ft", "three quarters of the stud's proof load", "At most 40 lbf-ft",
				"not known"}, map[string]string{"stays": "no"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(c.sheet, units.InchSystem, with(c.sheet, c.change...))
			require.Nil(t, a.Fault, "%v", a.Fault)
			all := a.Text("verdict")
			for _, r := range c.sheet.Results {
				if r.Kind == worksheet.Lines {
					all += " " + a.Text(r.Key)
				}
			}
			for _, x := range a.Cautions() {
				all += " " + x.Text
			}
			for _, s := range c.says {
				assert.Contains(t, strings.ToLower(all), strings.ToLower(s))
			}
			assert.Equal(t, a.Mark() == worksheet.Stop, a.Text("torque") == "",
				"a torque is given unless the answer is a refusal")
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
		if a.Text("ratio") == "" {
			return math.Inf(1)
		}
		d, err := strconv.ParseFloat(a.Value("ratio"), 64)
		require.NoError(t, err)
		return d
	}
	any := ratio("any")
	for _, w := range Ways {
		assert.LessOrEqual(t, any, ratio(w.Key)+.011, w.Key)
	}
}
