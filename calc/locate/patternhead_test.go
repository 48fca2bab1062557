package locate

import (
	"testing"

	"datumbook/calc/registry/registrytest"
)

// What the patterns and the dials say first, with each mark, half filled in, and in millimetres.
func TestPatternHeadlines(t *testing.T) {
	const three = "holes=0, 3.25; -3.0909, 1.0043; 1.9103, -2.6293"
	registrytest.Heads(t, Sheets(), []registrytest.Head{
		{"bolts", "", "", "What circle?", ""},
		{"bolts", "n=6", "", "6 holes. What circle?", ""},
		{"bolts", "dia=5.5", "", "5-1/2 circle. How many?", ""},
		{"bolts", "dia=5.5|n=6", "good", "6 holes, 2.750 apart",
			"hole 1 at X 2.7500 Y .0000 · check across 5.500"},
		{"bolts", "dia=8|n=4|spread=90", "good", "4 holes, 2.071 apart",
			"hole 1 at X 4.0000 Y .0000 · 1 to 4 across 5.657"},
		{"bolts", "dia=5.5|n=6|at=3", "good", "Hole 3: X -1.3750 Y 2.3815", ""},
		{"bolts", "dia=5.5|n=6|at=9", "good", "6 holes, 2.750 apart",
			"hole 1 at X 2.7500 Y .0000 · check across 5.500"},
		{"bolts", "dia=8|n=12|lead=.2|at=12", "good", "Hole 12: X 17 turns + .064",
			"Y 10 below 0, dial .000"},
		{"bolts", "dia=2|n=6|hole=.99", "careful", "Only .010 between holes 1 and 2",
			"▲ the drill may break through · hole 1 at X 1.0000 Y .0000"},
		{"bolts", "dia=2|n=6|hole=1.1", "stop", "Holes run into each other",
			"holes under 1.000 · 1.100 holes · holes 1 and 2"},
		{"bolts", "mm|dia=203.2|n=6", "good", "6 holes, 101.60 apart",
			"hole 1 at X 101.600 Y 0.000 · check across 203.20"},
		{"row", "", "", "How many?", ""},
		{"row", "n=5", "", "5 holes. How far apart?", ""},
		{"row", "n=5|over=12", "good", "5 holes, 3.0000 apart",
			"hole 1 at X .0000 Y .0000 · over all 12.0000"},
		{"row", "n=1", "good", "1 hole, X .0000 Y .0000", ""},
		{"row", "n=3|pitch=.5|hole=.5", "stop", "Holes run into each other",
			"holes under .500 · .500 holes · holes 1 and 2"},
		{"grid", "nx=3", "", "3 across. How many up?", ""},
		{"grid", "nx=3|ny=2|px=2", "", "6 holes. Gap up?", ""},
		{"grid", "nx=3|ny=2|px=2|py=3", "good", "6 holes, 2.0000 by 3.0000",
			"hole 1 at X .0000 Y .0000 · check corners 5.000"},
		{"pairs", "", "", "Which pairs?", ""},
		{"pairs", "pairs=0, 3; 2.5, 3", "good", "4 holes, nearest 2.500 apart",
			"hole 1 at X .0000 Y 1.5000"},
		{"pairs", "pairs=0, 0; .0005, 4|one=.0005, 2.0005", "careful", "Holes 2 and 4 stand in one place",
			"hole 1 at X .0000 Y .0000"},
		{"dials", "", "", "Which places?", ""},
		{"dials", three, "good", "Hole 1: X at zero", "Y 16 turns + .050"},
		{"dials", three + "|at=2", "good", "Hole 2: X 16 below 0, dial .109",
			"Y 5 turns + .004 · X, Y: go past, come back to it"},
		{"dials", three + "|at=3", "good", "Hole 3: X 9 turns + .110",
			"Y 14 below 0, dial .171 · Y: go past, come back to it"},
	})
}
