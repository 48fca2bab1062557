package locate

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/fitting"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What an answer says first, for each mark and each way to it.
func TestHeads(t *testing.T) {
	for _, row := range []struct {
		sheet, in string
		mark      worksheet.Mark // "" where what was typed is not complete or wrong
		head      string
		facts     string
	}{
		{"edge", "", worksheet.Open, "Which side?", ""},
		{"edge", "side=left", worksheet.Good, "Touching: set X to -.1000", "then the edge is 0 · over it: .1000 right"},
		{"edge", "side=back|want=2", worksheet.Good, "Touching: set Y to 2.1000",
			"then the edge is 2.0000 · over it: .1000 forward"},
		{"edge", "side=left|reads=3.4172, 3.4170, 3.4171", worksheet.Good, "Touching: set X to -.1000",
			"then the edge is 0 · tries agree to .2 thou"},
		{"edge", "side=left|reads=3.4172, 3.4172", worksheet.Good, "Touching: set X to -.1000",
			"then the edge is 0 · tries agree · over it: .1000 right"},
		{"edge", "side=front|reads=5.1, 5.102", worksheet.Careful, "Touching: set Y to -.1000",
			"▲ tries 2 thou apart · then the edge is 0"},
		{"edge", "side=front|reads=5.1, 5.104", worksheet.Stop, "Tries 4 thou apart: clean it",
			"burr, scale or a chip · then touch again"},
		{"edge", "side=front|reads=-400, 400", worksheet.Stop, "Tries 800000 thou apart: clean it", "burr, scale or a chip · " +
			"then touch again"},
		{"edge", "tip=0|side=left", "", "What tip?", ""},
		{"edge", "side=left|reads=3.4.1", "", "What does it read?", ""},
		// The first touch is nothing until typed: (0 + 3.864)/2, and 3.864 less the tip .2.
		{"middle", "b=3.864", worksheet.Good, "Middle at 1.9320", "1.9320 toward the first · 3.664 wide"},
		{"middle", "a=1.3175|b=4.0185|size=2.501", worksheet.Good, "Middle at 2.6680",
			"1.3505 toward the first · 2.501 wide · as drawn"},
		{"middle", "a=1.3175|b=4.0185|size=2.4", worksheet.Careful, "Middle at 2.6680, .101 too wide",
			"▲ .101 off drawn: edge or tip? · 1.3505 toward the first"},
		{"middle", "a=1.3175|b=4.0185|size=2.56", worksheet.Careful, "Middle at 2.6680, .059 too narrow",
			"▲ .059 off drawn: edge or tip? · 1.3505 toward the first"},
		{"middle", "b=4.144|of=outside|size=4", worksheet.Careful, "Middle at 2.0720, .056 too narrow",
			"▲ .056 off drawn: edge or tip? · 2.0720 toward the first"},
		{"middle", "a=1.3175|b=4.0185|size=2.492", worksheet.Good, "Middle at 2.6680",
			"1.3505 toward the first · 2.501 wide"},
		{"middle", "a=1.3175|b=4.0185|size=4", worksheet.Stop, "1.499 too narrow: wrong edge?",
			"found 2.501, drawn 4.000 · wrong side, or wrong tip"},
		{"middle", "a=1|b=1.1", "", "Narrower than the tip", "a slot? Then touched inside"},
		{"middle", "a=1", "", "Second edge reads?", ""},
		{"middle", "", "", "Second edge reads?", ""},
		{"middle", "a=1|b=2|a2=1", "", "Second edge there?", "Middle at 1.5000"},
		{"middle", "a=1|b=2|a2=1|b2=2", "", "Middle at 1.5000. How far along?", ""},
		{"middle", "a=1|b=2|a2=1.004|b2=2.004|apart=10", worksheet.Careful, "Middle at 1.5000",
			"▲ runs off 5.0 thou/ft · .5000 toward the first · .800 wide"},
		{"middle", "a=1|b=2|a2=.999|b2=2.001|apart=10", worksheet.Careful, "Middle at 1.5000",
			"▲ tapers .002 · .5000 toward the first · .800 wide"},
		{"centre", "", "", "First touch?", ""},
		{"centre", "touches=1,0", "", "Second touch?", ""},
		{"centre", "touches=1,0; 0,1", "", "One more touch", ""},
		{"centre", "touches=1,0; 2,0; 3,0", "", "The touches make no circle", ""},
		{"centre", "of=boss|touches=.1,0; 0,.1; -.1,0|tip=.3", "", "Narrower than the tip", ""},
		{"centre", "touches=" + round + "|size=4.2", worksheet.Good, "Centre X .0005, Y -.0005",
			"bore 4.200, as drawn · 1.3 thou out of round"},
		{"centre", "touches=2,0; 0,2; -2,0", worksheet.Good, "Centre X .0000, Y .0000", "bore 4.200 · sure to .4 thou"},
		{"centre", "touches=2,0; 1.732,1; 1,1.732", worksheet.Careful, "Centre X .0000, Y .0000",
			"▲ short arc: sure to 2.7 thou only · bore 4.200"},
		{"centre", "touches=2,0; 1.97,.35; 1.88,.68", worksheet.Stop, "Centre sure to 21.8 thou only",
			"touch farther round · cast: bore a ring true first"},
		{"centre", "touches=2.001,0; 0,1.999; -2.0005,0; 0,-2.06", worksheet.Stop, "A touch is 55.8 thou off a circle",
			"keyway, chip or a wrong number · touch it again"},
		{"centre", "touches=" + round + "; 1.4142,1.4142; 1.38,-1.38; -1.4142,1.4142", worksheet.Stop,
			"Touch 6 is 49 thou off a circle", "keyway, chip or a wrong number · touch it again"},
		{"centre", "touches=" + round + "|size=4.11", worksheet.Careful, "Centre X .0005, Y -.0005",
			"▲ .090 too large · bore 4.200 · 1.3 thou out of round"},
		{"centre", "touches=" + round + "|size=2.1", worksheet.Stop, "2.100 too large: wrong touch?",
			"found 4.200, drawn 2.100 · wrong side, or wrong tip"},
		{"skew", "", "", "Where is hole 1?", ""},
		{"skew", "features=0,0,1,2", "", "And hole 2?", ""},
		// .008 in 8: 12 thou a foot, right end too far back
		{"skew", "features=0,0,1,2; 8,0,9,2.008", worksheet.Good, "Runs off 12.0 thou a foot",
			"zero X 1.0000 Y 2.0000 · or right end forward .008 in 8.00"},
		{"skew", "features=0,0,1,2; 8,0,9,1.992", worksheet.Good, "Runs off 12.0 thou a foot",
			"zero X 1.0000 Y 2.0000 · or right end back .008 in 8.00"},
		{"skew", "features=0,0,1,2; 8,0,9,2", worksheet.Good, "Lies straight", "zero X 1.0000 Y 2.0000"},
		{"skew", "features=0,0,1,2; 8,0,1,10", worksheet.Good, "Lies at 90°", "zero X 1.0000 Y 2.0000"},
		{"skew", "features=0,0,1,2; 8,0,9.007,2|places=4,3", worksheet.Careful, "Holes .007 farther than drawn",
			"shared between them · check the tip · zero X 1.0035 Y 2.0000"},
		{"skew", "features=0,0,1,2; 8,0,8.993,2|hold=first", worksheet.Careful, "Holes .007 off the drawing",
			"the first is held · check the tip · zero X 1.0000 Y 2.0000"},
		{"skew", "features=0,0,1,2; 8,0,9.499,2.008", worksheet.Stop, "Does not fit the drawing: .499",
			"two exchanged, or a wrong number"},
		{"skew", "features=0,0,1,2; 8,0,9,2; 8,6,9,8; 0,6,1,8.5", worksheet.Stop, "Does not fit the drawing: .303",
			"hole 4 does not belong"},
		{"skew", "features=,,1,2; ,,9,2.008", worksheet.Good, "Runs off 12.0 thou a foot",
			"zero X 1.0000 Y 2.0000 · or right end forward .008 in 8.00"},
		{"skew", "features=,,1,2; ,,9,2.008|tip=.2", "", "Which side did it stand?", ""},
		{"skew", "features=,,1,2; ,,9,2.008|tip=.2|side=left", "", "Which side did it stand?", ""},
		// Half of .2 toward the back, square to an edge that leans a thou in an inch.
		{"skew", "features=,,1,2; ,,9,2.008|tip=.2|side=front", worksheet.Good, "Runs off 12.0 thou a foot",
			"zero X 1.0000 Y 2.1000 · or right end forward .008 in 8.00"},
	} {
		t.Run(row.sheet+" "+row.in, func(t *testing.T) {
			var pairs []worksheet.Pair
			for part := range strings.SplitSeq(row.in, "|") {
				if key, text, ok := strings.Cut(part, "="); ok {
					pairs = append(pairs, p(key, text))
				}
			}
			a := worksheet.Run(sheetOf(t, row.sheet), units.InchSystem, pairs)
			head, facts := a.Headline()
			assert.Equal(t, row.head, head)
			assert.Equal(t, row.facts, strings.Join(facts, " · "))
			if assert.Equal(t, row.mark == "", a.Fault != nil) && a.Fault == nil {
				assert.Equal(t, row.mark, a.Mark())
			}
		})
	}
}

func sheetOf(t *testing.T, name string) *worksheet.Sheet {
	for _, s := range Sheets() {
		if s.Name == name {
			return s
		}
	}
	t.Fatal(name)
	return nil
}

// The edge that a round finder touched in two places lies half the finder away, on the side where
// the finder does not stand.
func TestEdgeOffTip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "angle")
		long, tip := rapid.Float64Range(.1, 40).Draw(t, "long"), rapid.Float64Range(.05, 1).Draw(t, "tip")
		p := fitting.Point{X: rapid.Float64Range(-9, 9).Draw(t, "x"), Y: rapid.Float64Range(-9, 9).Draw(t, "y")}
		q := fitting.Point{X: p.X + long*math.Cos(at), Y: p.Y + long*math.Sin(at)}
		for _, side := range []Side{Left, Right, Front, Back} {
			from, to, ok := OffTip(p, q, side, tip)
			across := math.Abs(math.Sin(at)) // of the edge, to Y
			if side == Front || side == Back {
				across = math.Abs(math.Cos(at))
			}
			if math.Abs(across-.5) > 1e-9 {
				require.Equal(t, across > .5, ok)
			}
			require.InDelta(t, tip/2, math.Hypot(from.X-p.X, from.Y-p.Y), 1e-12)
			require.InDelta(t, 0, (from.X-p.X)*math.Cos(at)+(from.Y-p.Y)*math.Sin(at), 1e-12)
			require.InDelta(t, from.X-p.X, to.X-q.X, 1e-12)
			require.InDelta(t, from.Y-p.Y, to.Y-q.Y, 1e-12)
			if ok {
				way := map[Side]float64{Left: from.X - p.X, Right: p.X - from.X, Front: from.Y - p.Y, Back: p.Y - from.Y}[side]
				require.Positive(t, way)
			}
		}
	})
}
