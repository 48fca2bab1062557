package bench

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

// Examples answer in both systems, and random inputs are answered or refused
// in a sentence.
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
				pairs := registrytest.Pairs(s).Draw(t, "inputs")
				a := worksheet.Run(s, units.System(rapid.IntRange(0, 1).Draw(t, "system")), pairs)
				if a.Fault == nil {
					answered++
					return
				}
				require.NotContains(t, a.Fault.Message, "could not be worked out", "%v", pairs)
			})
			t.Logf("answered %d", answered)
		})
	}
}

// pairs reads inputs written as key=text|key=text.
func pairs(in string) []worksheet.Pair {
	var out []worksheet.Pair
	for _, p := range strings.FieldsFunc(in, func(r rune) bool { return r == '|' }) {
		key, text, _ := strings.Cut(p, "=")
		out = append(out, worksheet.Pair{Key: key, Text: text})
	}
	return out
}

func answer(t testing.TB, name, in string) worksheet.Answer {
	a := worksheet.Run(registrytest.Find(t, Sheets(), name), units.InchSystem, pairs(in))
	require.Nil(t, a.Fault, "%v", a.Fault)
	return a
}

func TestAnswers(t *testing.T) {
	for _, row := range []struct {
		name, sheet string
		in          string
		key, want   string
	}{
		{"published stack", "blocks", "height=3.9762", "verdict", "4 blocks make 3.9762 in: 3.0000 in + .7500 in + " +
			".1260 in + .1002 in."},
		{"wear blocks", "blocks", "height=1.5|wear=.05", "total", "1.5000 in"},
		{"metric set in inches", "blocks", "height=58.345mm|set=mm112", "verdict",
			"4 blocks make 58.345 mm: 50.00 mm + 6.00 mm + 1.34 mm + 1.005 mm."},
		{"impossible", "blocks", "height=.075", "exact", "no"},
		{"impossible, next below", "blocks", "height=.075", "below", ".0500 in = .0500 in"},
		{"impossible, next above", "blocks", "height=.075", "above", ".1000 in = .1000 in"},
		{"own list, a size twice", "blocks", "height=2|set=mine|mine=1 1 .5 in", "verdict",
			"2 blocks make 2.0000 in: 1.0000 in + 1.0000 in."},
		{"sine stack", "sine", "angle=22d30'", "stack", "1.91342 in"},
		{"sine blocks", "sine", "angle=30", "blocks", "2.0000 in + .5000 in"},
		{"sine angle", "sine", "stack=2.5", "angle", "30.0000 deg"},
		{"shims", "shims", "want=.061", "verdict", "3 leaves: .0310 in + .0150 in + .0150 in, exactly."},
		{"one shim", "shims", "want=.031", "verdict", "1 leaf: .0310 in, exactly."},
		{"right triangle", "triangle", "a=3|b=4", "c", "5.0000 in"},
		{"arc", "arc", "chord=8|rise=2", "radius", "5.0000 in"},
		{"taper", "taper", "from=ratio|ratio=10", "dms", "5d43'29\", 2d51'45\""},
		{"taper over pins", "taper", "from=pins|pin=.5|low=2.812|high=2.612|blocks=2", "half", "2.8624 deg"},
		{"taper by balls", "taper", "from=balls|ball1=40mm|ball2=32mm|top1=-8mm|top2=76mm", "half", "2.8660 deg"},
		{"dividing", "divide", "divisions=7", "verdict", "5 turns and 15 holes on the 21 circle, exactly."},
		{"dividing, prime", "divide", "divisions=127", "exact", "no"},
		{"warm iron", "heat", "reading=20|tpart=83F|gauge=true", "change", "-0.0019 in"},
	} {
		t.Run(row.name, func(t *testing.T) {
			assert.Equal(t, row.want, answer(t, row.sheet, row.in).Text(row.key))
		})
	}
}

func TestRefusals(t *testing.T) {
	for _, row := range []struct {
		name, sheet string
		in          string
		field       string
	}{
		{"no list", "blocks", "height=1|set=mine", "mine"},
		{"wear blocks take all", "blocks", "height=.1|wear=.05", "wear"},
		{"both", "sine", "angle=1|stack=1", "stack"},
		{"neither", "sine", "", "angle"},
		{"stack above bar", "sine", "stack=6", "stack"},
		{"no shim owned", "shims", "want=.01|owned=.001 in, 0", "owned"},
		{"inch and metric shims", "shims", "want=2|owned=.5 in; .0371 mm", "owned"},
		{"one part", "triangle", "a=1", "a"},
		{"does not close", "triangle", "kind=any|a=1|b=2|c=4", "c"},
		{"not right", "triangle", "a=1|b=2|angc=80", "angc"},
		{"three sides of a right triangle", "triangle", "a=3|b=4|c=5", "c"},
		{"chord too long", "arc", "radius=1|chord=2.1", "chord"},
		{"rise too high", "arc", "radius=1|rise=2.1", "rise"},
		{"one part of an arc", "arc", "radius=1", "radius"},
		{"ends missing", "taper", "big=1", "small"},
		{"upside down", "taper", "big=1|small=2|length=3", "big"},
		{"runs out", "taper", "from=ratio|ratio=2|big=1|length=3", "length"},
		{"discs overlap", "taper", "from=discs|disc1=2|disc2=1|apart=1", "apart"},
		{"no taper", "taper", "from=pins|pin=1|low=2|high=2|blocks=1", "high"},
		{"balls on one level", "taper", "from=balls|ball1=2|ball2=1|top1=1|top2=1", "top2"},
		{"finer than a hole", "divide", "angle=0.001", "ratio"},
		{"both steps", "divide", "angle=1|divisions=2", "angle"},
		{"no step", "divide", "", "divisions"},
		{"no circles", "divide", "divisions=3|plates=mine", "mine"},
		{"no figure", "heat", "reading=1|tpart=80|part=own", "ownpart"},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := worksheet.Run(registrytest.Find(t, Sheets(), row.sheet), units.InchSystem, pairs(row.in))
			require.NotNil(t, a.Fault)
			assert.Equal(t, row.field, a.Fault.Field, a.Fault.Message)
		})
	}
}

// Every corner of the limits, by twos and threes: the sizes that stretch an
// answer farthest.
func TestCorners(t *testing.T) {
	for _, row := range []struct {
		sheet string
		keys  map[string][]string
	}{
		{"arc", map[string][]string{"radius": {"0.0001", "1000"}, "chord": {"0.0001", "1000"}, "rise": {"0.0001", "1000"}, "angle": {"0.1", "359"}}},
		{"triangle", map[string][]string{"a": {"0.0001", "1000"}, "b": {"0.0001", "1000"}, "c": {"0.0001", "1000"}, "anga": {"0.001", "179.99", "90"}, "angb": {"0.001", "179.99"}, "angc": {"0.001", "179.99"}}},
		{"taper", map[string][]string{"big": {"0.001", "200"}, "small": {"0.001", "200"}, "length": {"0.001", "200"}, "ratio": {"0.1", "1000"}, "rate": {"0.001 in/ft", "100 in/ft"}, "angle": {"0.01", "170"}, "from": {"ends", "rate", "ratio", "angle"}}},
		{"heat", map[string][]string{"reading": {"0.001", "1000"}, "tpart": {"-40 C", "200 C"}, "tgauge": {"-40 C", "100 C"}, "want": {"0.001", "1000"}}},
		{"sine", map[string][]string{"bar": {"1 in", "60 in"}, "angle": {"0", "90"}, "stack": {"0 in", "1 in", "40 in"}, "zero": {"0 in", "10 in"}}},
	} {
		t.Run(row.sheet, func(t *testing.T) {
			keys := slices.Sorted(maps.Keys(row.keys))
			n := 0
			var walk func(i int, in string)
			walk = func(i int, in string) {
				if i == len(keys) {
					for _, kind := range []string{"", "|kind=any"} {
						if kind != "" && row.sheet != "triangle" {
							continue
						}
						for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
							a := worksheet.Run(registrytest.Find(t, Sheets(), row.sheet), sys, pairs(in+kind))
							n++
							if a.Fault != nil {
								require.NotContains(t, a.Fault.Message, "could not be worked out", in)
							}
						}
					}
					return
				}
				walk(i+1, in)
				for _, text := range row.keys[keys[i]] {
					walk(i+1, in+"|"+keys[i]+"="+text)
				}
			}
			walk(0, "")
			t.Logf("%d runs", n)
		})
	}
}
