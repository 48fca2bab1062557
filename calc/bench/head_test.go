package bench

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// asked runs a worksheet on inputs as "height=2.5|wear=.05"; "mm " before its name is metric.
func asked(t *testing.T, name, in string) worksheet.Answer {
	name, metric := strings.CutPrefix(name, "mm ")
	s, ok := units.First(Sheets(), func(s *worksheet.Sheet) bool { return s.Name == name })
	require.True(t, ok, name)
	var pairs []worksheet.Pair
	for _, p := range strings.FieldsFunc(in, func(r rune) bool { return r == '|' }) {
		key, text, _ := strings.Cut(p, "=")
		pairs = append(pairs, worksheet.Pair{Key: key, Text: text})
	}
	return worksheet.Run(s, worksheet.Either(metric, units.MetricSystem, units.InchSystem), pairs)
}

// What is said first, of every mark and every way, worked by hand or from the rows of
// TestNothingMisleads.
func TestHeadlines(t *testing.T) {
	for _, row := range []struct {
		sheet, in string
		mark      worksheet.Mark // "" where the numbers are refused, or do not suffice yet
		says      string
		facts     string
	}{
		{"blocks", "", "", "What height?", ""},
		{"blocks", "height=2.7183", "good", "4 blocks make 2.7183", ".1003 + .118 + .5 + 2 · from the top"},
		{"blocks", "height=.1", "good", "1 block makes .1", ".1"},
		{"blocks", "height=3.9762|wear=.05", "good", "4 blocks make 3.9762",
			".1002 + .126 + .65 + 3 · .05 wear block each end"},
		{"mm blocks", "height=41.125", "good", "4 blocks make 41.125", "1.005 + 1.12 + 9 + 30 · from the top"},
		{"blocks", "height=41.125 mm|set=mm88", "good", "4 blocks make 41.125 mm",
			"1.005 mm + 1.12 mm + 9 mm + 30 mm · from the top"},
		{"blocks", "height=2.71835", "careful", "4 blocks, .0001 under",
			".1003 + .118 + .5 + 2 · nearest of this set · from the top"},
		{"blocks", "height=.075", "stop", "This set cannot make .075",
			"nearest .0250 under · another set, or a parallel"},
		{"blocks", "height=.1|wear=.05", "", "Wear blocks are the whole height", ""},
		{"blocks", "height=3|set=mine", "", "Which blocks are yours?", ""},

		{"sine", "", "", "What angle?", ""},
		// .0001 in of 5 in cos 12 1/3: 4.2 seconds
		{"sine", "angle=12d20'", "good", "Stack 1.0680", `makes 12° 20' · .118 + .95 · a tenth turns it 4.2"`},
		{"sine", "stack=1.0680", "good", "Makes 12° 20'", `.118 + .95 · a tenth turns it 4.2"`},
		{"mm sine", "angle=30", "good", "Stack 63.500", `makes 30° · 3.5 + 60 · a micrometre turns it 1.9"`},
		{"sine", "angle=50", "careful", "Stack 3.8302: use the square face",
			"over 45° set the complement 3.2139 · makes 49° 59' 59\""},
		{"sine", "angle=65", "stop", "Over 60°: a bar will not hold it", "25° from a square face: stack 2.1131"},
		{"sine", "angle=.003", "stop", `This set cannot make 0° 0' 11"`,
			`nearest stack gives 0° 34' 23" · take another set`},
		{"sine", "stack=7", "", "Taller than the bar is long", ""},
		{"sine", "angle=30|stack=2", "", "Angle or stack, not both", ""},

		{"triangle", "", "", "Two more, one a side", ""},
		{"triangle", "a=3", "", "One more side or angle", ""},
		{"triangle", "anga=30", "", "One more, a side", ""},
		{"triangle", "anga=30|angb=60", "", "Give a side for one of the angles", ""},
		{"triangle", "a=3|b=4", "good", `c 5.000, A 36° 52' 12"`, `B 53° 7' 48" · 2.400 high over c`},
		{"triangle", "kind=any", "", "Three of the six, one a side", ""},
		{"triangle", "kind=any|a=3|b=4", "", "One more side or angle", ""},
		{"triangle", "kind=any|a=3|b=4|c=5", "good", `A 36° 52' 12", B 53° 7' 48"`, "C 90° · 2.400 high over c"},
		// 4 sin 40 = 2.571; 4 cos 40 = 3.064, and the root of 9 - 2.571^2 is 1.546
		{"triangle", "kind=any|a=3|b=4|anga=40", "careful", "Two triangles fit",
			`c 4.610 or 1.518 · B 58° 59' 13" or 121° 0' 47"`},
		{"triangle", "kind=any|a=2|b=4|anga=40", "", "No such triangle", "a is too short by .571"},
		{"triangle", "kind=any|a=2|b=4|anga=140", "", "No such triangle", "a must be longer than 4.000"},
		{"triangle", "kind=any|a=2|b=4|c=7", "", "No such triangle", "c is too long by 1.000"},
		{"triangle", "kind=any|a=2|anga=100|angb=90", "", "No such triangle", "the angles make 190° already"},
		{"triangle", "kind=any|a=2|b=4|c=5|angc=40", "", "One too many: take one out", ""},
		{"triangle", "a=3|b=4|c=5", "", "Two sides will do: take one out", ""},
		{"triangle", "a=3|b=4|angc=80", "", "C is 90° in a right triangle", ""},

		{"arc", "", "", "Chord?", ""},
		{"arc", "chord=4", "", "Rise?", ""},
		// c^2/(8h) + h/2; a thou: .001 (1/2 - 64/8)
		{"arc", "chord=4|rise=.5", "good", "Radius 4.250",
			"4.165 along the arc · a thou of rise is .0075 of radius"},
		{"mm arc", "chord=100|rise=12.5", "good", "Radius 106.3",
			"104.12 along the arc · 0.01 of rise is 0.075 of radius"},
		{"arc", "chord=4|rise=.01", "careful", "Radius 200, loosely", "a thou of rise is 20 of radius: longer chord"},
		{"arc", "radius=2|chord=3", "good", `Rise .677, angle 97° 10' 51"`, "3.392 along the arc"},
		{"arc", "radius=2|rise=.3", "good", "Chord 2.107", "2.219 along the arc"},
		{"arc", "radius=2|angle=60", "good", "Chord 2.000, rise .268", "2.094 along the arc"},
		{"arc", "radius=1|chord=3", "", "No such arc", "the chord is 2.000 at the most"},
		{"arc", "radius=1|rise=3", "", "Rise cannot be that high", "at most 2.000"},
		{"arc", "radius=1|rise=1|chord=2", "", "Two of the four will do", ""},

		{"taper", "", "", "Large end?", ""},
		{"taper", "big=.7", "", "Small end?", ""},
		{"taper", "big=.7|small=.572|length=2.5625", "good", "Set the slide 1° 25'",
			`.5994 in a foot · 1 in 20.02 · whole 2° 51' 41"`},
		{"mm taper", "big=20|small=18|length=50", "good", "Set the slide 1° 10'",
			`40.00 in a metre · 1 in 25 · whole 2° 17' 29"`},
		{"taper", "rate=.6|overall=10", "good", "Set the slide 1° 25'", "set over .250 · .6000 in a foot · 1 in 20"},
		{"taper", "rate=.01", "good", "Indicate 10.0 thou/ft", `.01000 in a foot · 1 in 1200 · whole 0° 2' 52"`},
		{"taper", "angle=40", "careful", "Over 10°: sine bar, 20°", "8.735 in a foot · 1 in 1.374 · whole 40°"},
		{"taper", "rate=3|overall=10", "careful", "Set the slide 7° 10'",
			"▲ set-over 1.250: too much · 3.000 in a foot · 1 in 4"},
		{"taper", "big=.7|small=.572|length=2|rate=.6|from=rate", "careful", "Set the slide 1° 25'",
			"▲ ends 2.560 apart, not 2.000 · .6000 in a foot · 1 in 20"},
		{"taper", "big=.5|small=.7|length=2", "", "Small end is the larger one", ""},
		{"taper", "big=.5|small=.5|length=2", "", "Both ends are one size", ""},
		{"taper", "big=.5|length=20|rate=.6", "", "Runs to a point in 10.000", ""},
		{"taper", "pin=.25|low=1.2", "", "Over the pins on the blocks?", ""},
		{"taper", "pin=.25|low=1.2|high=1.3|blocks=1", "good", "Set the slide 2° 50'",
			".687 at the plate · 1.200 in a foot · 1 in 10"},
		{"taper", "pin=.25|low=1.2|high=1.2|blocks=1", "", "Both read the same: no taper", ""},
		{"taper", "pin=.25|low=.3|high=1.3|blocks=1", "", "Less than the pins take up", ""},
		{"taper", "disc1=1|disc2=.5|apart=3", "good", "Set the slide 4° 45'",
			`2.007 in a foot · 1 in 5.979 · whole 9° 33' 37"`},
		{"taper", "disc1=1|disc2=1.5|apart=3", "", "Small disc is the larger one", ""},
		{"taper", "disc1=1|disc2=.5|apart=.3", "", "The discs overlap", "centres at least .750 apart"},
		{"taper", "ball1=1|ball2=.5|top1=.1|top2=2", "good", "Set the slide 8° 45'",
			"1.196 at the face · 3.679 in a foot · 1 in 3.262"},
		{"taper", "ball1=1|ball2=1.5|top1=.1|top2=2", "", "Small ball is the larger one", ""},
		{"taper", "ball1=1|ball2=.5|top1=.1|top2=.2", "", "Small ball must lie deeper", ""},

		{"divide", "", "", "How many?", ""},
		{"divide", "divisions=7", "good", "5 turns + 15 holes, circle 21",
			"sector 15 spaces · the pin's own hole not counted"},
		{"divide", "divisions=8", "good", "5 turns, to the same hole", ""},
		{"divide", "divisions=41", "good", "40 holes, circle 41", "sector 40 spaces · the pin's own hole not counted"},
		{"divide", "divisions=127", "careful", `6 on 19: 27" a step, 57' in all`,
			"use the places: it does not add up · sector 6 spaces"},
		{"divide", "angle=17.3", "careful", `1 + 36 on 39: 28" off`, "no circle does it exactly · sector 36 spaces"},
		{"divide", "divisions=7|plates=mine|mine=24|ratio=1", "stop", "Ratio 1 has no such step",
			"nearest is 6.4° off · other plates, or a higher ratio"},
		{"divide", "divisions=7|angle=3", "", "Number or angle, not both", ""},
		{"divide", "angle=.01|ratio=1", "", "Less than half a hole", "more holes, or a higher ratio"},
		{"divide", "divisions=7|plates=mine", "", "Which circles?", ""},

		{"heat", "", "", "What does it read?", ""},
		{"heat", "reading=14.503", "", "How warm is the part?", ""},
		{"heat", "reading=14.503|tpart=77", "open", "How warm is the gauge?", "14.5030 if as warm as the part"},
		{"heat", "reading=14.503|tpart=77|tgauge=76|want=14.5", "good", "Work to 14.5001 now",
			"reads 14.503, is 14.5029 at 68° · a degree is .0001"},
		{"heat", "reading=14.503|tpart=77|tgauge=76", "good", "It is 14.5029 at 68°",
			"reads 14.503 · a degree is .0001"},
		{"mm heat", "reading=500.1|tpart=26|tgauge=25|want=500", "good", "Work to 500.006 now",
			"reads 500.1, is 500.094 at 20° · a degree is 0.006"},
		// 20.005 (83 - 68)/1.8 11.4e-6
		{"heat", "reading=20.005|tpart=83|tgauge=68|want=20", "careful", "Let it soak: 15° apart",
			"worth .0019 now, and moving · a degree is .0001"},
		{"heat", "reading=20.005|tpart=123|tgauge=68|want=20", "stop", "Too warm to measure",
			"let it soak · 55° over 68°"},
		{"heat", "reading=20|tpart=25", "stop", "Too cold to measure", "let it soak · 43° under 68°"},
	} {
		a := asked(t, row.sheet, row.in)
		says, facts := a.Headline()
		mark := worksheet.Mark("")
		if a.Fault == nil {
			mark = a.Mark()
		}
		name := row.sheet + " " + row.in
		assert.Equal(t, row.mark, mark, name)
		assert.Equal(t, row.says, says, name)
		assert.Equal(t, row.facts, strings.Join(facts, " · "), name)
	}
}

// The dimension that is typed rules, without saying so: a taper is found by what was typed.
func TestTypedSaysHow(t *testing.T) {
	for _, row := range [][2]string{{"rate=.6", "from=rate"}, {"ratio=20", "from=ratio"}, {"angle=3", "from=angle"},
		{"pin=.25|low=1.2|high=1.3|blocks=1", "from=pins"}, {"disc1=1|disc2=.5|apart=3", "from=discs"},
		{"ball1=1|ball2=.5|top1=.1|top2=2", "from=balls"}, {"big=.7|small=.5|length=2|rate=.6", "from=ends"}} {
		typed, told := asked(t, "taper", row[0]), asked(t, "taper", row[0]+"|"+row[1])
		require.Nil(t, typed.Fault, row[0])
		assert.Equal(t, told.Text("half"), typed.Text("half"), row[0])
		assert.Equal(t, told.Text("verdict"), typed.Text("verdict"), row[0])
	}
	a := asked(t, "taper", "rate=.6|from=ends")
	require.NotNil(t, a.Fault)
	assert.Equal(t, "big", a.Fault.Field, "the way that was chosen stays chosen")
}

// A rise or chord is called a slip beside what it is measured against, never alone: a rise of .3
// beside a radius was asked about.
func TestArcSlips(t *testing.T) {
	for _, in := range []string{"radius=2|rise=.3", "chord=2|angle=60", "rise=.2|angle=60"} {
		assert.Empty(t, asked(t, "arc", in).Cautions(), in)
	}
	assert.Equal(t, "100 in? Or 100 mm?", asked(t, "arc", "chord=100|rise=.2").Cautions()[0].Asks)
}
