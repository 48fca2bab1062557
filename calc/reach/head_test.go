package reach

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What an answer says first, for each mark and each way to it. The pairs change the example; an
// empty text takes an input out.
func TestHeads(t *testing.T) {
	for _, row := range []struct {
		sheet *worksheet.Sheet
		in    string
		mark  worksheet.Mark // "" where what was typed is not complete or wrong
		head  string
		facts string
	}{
		// 14 + 6 + .5 = 20.5 of 22: .75 either side.
		{reachSheet, "", worksheet.Good, "Reaches, .75 to spare", "3/4 either side of mid-travel · one pass"},
		{reachSheet, "travel=20.7", worksheet.Careful, "Reaches, .10 to spare",
			"▲ stops and castings are not that sure · one pass"},
		{reachSheet, "travel=20.505", worksheet.Careful, "Reaches, nothing to spare",
			"▲ stops and castings are not that sure · face at mid-travel"},
		{reachSheet, "throat=", worksheet.Open, "Reaches, .75 to spare",
			"▲ column not checked · 3/4 either side of mid-travel"},
		{reachSheet, "wide=9|throat=", worksheet.Open, "Reaches, .75 to spare",
			"▲ column not checked · 3/4 either side of mid-travel"},
		{reachSheet, "wide=9|atx=0|aty=0", worksheet.Good, "Reaches, .75 to spare", "2 passes"},
		{reachSheet, "machine=turret|ram=18|swing=30|home=16", worksheet.Careful, "Reaches, .75 to spare",
			"▲ tram the head again · middle of the face 9.00 right"},
		{reachSheet, "machine=turret|ram=18|swing=0|home=16|travel=30", worksheet.Careful, "Reaches, 4.75 to spare",
			"▲ tram the head again · 4-3/4 either side of mid-travel"},
		{reachSheet, "offset=.4|ends=left", worksheet.Careful, "Reaches, 2.63 to spare",
			"▲ climbs: take up the slack · middle of the face 1.88 right"},
		{reachSheet, "table=14|left=14", worksheet.Careful, "Reaches, .75 to spare",
			"▲ support what overhangs · 3/4 either side of mid-travel"},
		{reachSheet, "travel=15", worksheet.Stop, "5.50 short along the feed", "two settings"},
		// A quarter more with the cutter stopped: A = 3 - sqrt(9 - 6.25) = 1.342; 4.658 less.
		{reachSheet, "travel=18", worksheet.Stop, "2.50 short along the feed",
			"stopping on the face saves 4.65 · two settings"},
		{reachSheet, "travel=12|cross=22|throat=", worksheet.Stop, "8.50 short along the feed",
			"two settings · turn it a quarter"},
		{reachSheet, "travel=5", worksheet.Stop, "15.50 short along the feed", "no cutter near it, no halving helps"},
		{reachSheet, "wide=12|cross=1", worksheet.Stop, "5.25 short across the feed", "half the width from each end"},
		// 16 - 2.5 - 4 = 9.5 of 5: the back of the part comes 1.5 past the column.
		{reachSheet, "throat=5", worksheet.Stop, "Hits the column by 1.50", "the back of the part · no cutter near it, no " +
			"halving helps"},
		{reachSheet, "throat=6.6", worksheet.Stop, ".15 too near the column",
			"the back of the part · no cutter near it, no halving helps"},
		{reachSheet, "atx=3", worksheet.Stop, "Not from there: move it 2.25 left", "3.00 left is the middle"},
		{reachSheet, "atx=3|aty=-9", worksheet.Stop, "Not from there: move it 2.25 left",
			"and 3.00 back · 3.00 left is the middle"},
		{reachSheet, "atx=0|aty=-9", worksheet.Stop, "Not from there: move it 3.00 back", "9.00 back is the middle"},
		{reachSheet, "machine=borer|atx=0|aty=15", worksheet.Stop, "Not from there: move it 3.00 down",
			"9.00 down is the middle"},
		{reachSheet, "long=", "", "How long a face?", ""},
		// 22 - 14 - .5
		{reachSheet, "cutter=", "", "Cutters to 7.50. What cutter?", ""},
		{reachSheet, "wide=|cutter=", "", "Cutters to 7.50. How wide a face?", ""},
		{reachSheet, "travel=14|cutter=", "", "What cutter?", "▲ .50 short with any cutter"},
		{reachSheet, "travel=", "", "Needs 20.50 along. Travel along?", ""},
		{reachSheet, "ends=left|travel=", "", "Travel along?", ""},
		{reachSheet, "offset=2", "", "How far off the middle?", ""},

		// 19 - (4.5 + 2 + 6 + .75 + .5) = 5.25; quill 5 - 2.45 = 2.55
		{daylightSheet, "", worksheet.Good, "Fits, 2.55 to spare", "nose to table 15.03 · stroke 2.45 · clears the top by .50"},
		{daylightSheet, "feed=knee", worksheet.Good, "Fits, 5.25 to spare", "nose to table 11.30 to 13.75 · stroke 2.45"},
		{daylightSheet, "quill=2.6", worksheet.Careful, "Fits, .15 to spare",
			"▲ measure before you rely on it · nose to table 13.83"},
		{daylightSheet, "under=|depth=", worksheet.Open, "Fits, 3.75 to spare", "▲ not said: fixture, depth · nose to " +
			"table 13.63"},
		{daylightSheet, "project=1.5", worksheet.Careful, "Fits, 2.55 to spare",
			"▲ holder may hit by .45 · nose to table 15.03 · stroke 2.45"},
		{daylightSheet, "part=11", worksheet.Careful, "Fits, .25 to spare",
			"▲ measure before you rely on it · nose to table 18.88"},
		{daylightSheet, "bar=.75|feed=knee", worksheet.Careful, "Fits, 5.25 to spare",
			"▲ bar out 6 times its diameter · stroke 2.45"},
		{daylightSheet, "tilt=60|arm=10", worksheet.Careful, "Fits, 2.55 to spare",
			"▲ quill feeds at the tilt · nose to table 15.03"},
		{daylightSheet, "part=12", worksheet.Stop, ".75 short under the spindle",
			"holder .75 shorter · .75 less under it · a riser of .75"},
		{daylightSheet, "quill=2", worksheet.Stop, ".45 short of quill travel", "feed with the knee · lower the knee to clear"},
		{daylightSheet, "knee=2|quill=3", worksheet.Stop, "2.70 short of coming down",
			"holder 2.70 longer · 2.70 of packing under it"},
		{daylightSheet, "hang=40|floor=30", worksheet.Stop, "5.25 short over the floor", "a riser of 5.25"},
		{daylightSheet, "part=", "", "Parts to 11.25. How high a part?", ""},
		{daylightSheet, "part=|tool=17", "", "How high a part?", "▲ no room under this tool"},
		{daylightSheet, "daylight=", "", "Stands 13.75 high. Nose to table?", ""},
		{daylightSheet, "tool=", "", "How long a tool?", ""},
		{daylightSheet, "knee=30", "", "Knee travel?", ""},

		{foulSheet, "", worksheet.Good, "Nothing hits: .50 clear", "nearest: stud and cutter body · dry run by hand"},
		{foulSheet, "boxes=" + stud + "5.8", worksheet.Careful, "Nothing hits: .20 clear",
			"▲ measure both first · nearest: stud and cutter body"},
		{foulSheet, "boxes=" + stud + "5.95", worksheet.Careful, "Stud .050 from the cutter body",
			"▲ you want 1/8 in · stud .08 lower · stay left of X 5.13"},
		{foulSheet, "boxes=" + stud + "6.5", worksheet.Stop, "Stud stands .50 above the cut",
			"stud .63 lower · stud 2.88 towards the column"},
		{foulSheet, "boxes=" + part + "wall, 14, 15, -1, 1, 0, 9", worksheet.Stop, "Wall hits the nose by .25",
			"wall 1.13 lower · wall .38 to the right · holder 1.13 longer"},
		{foulSheet, "boxes=" + part + "the wall of the housing at the right, 14, 15, -1, 1, 0, 9", worksheet.Stop,
			"It hits by .25", "the wall of the housing at the right 1.13 lower"},
		{foulSheet, "boxes=" + part + "column,-20,20,4,20,0,60|heads=cutter body,.1,2,6;nose,2,6,9", worksheet.Stop,
			"Column hits the nose by .50", "work .63 away from the column"},
		{foulSheet, "boxes=" + part + "|heads=cutter body,.1,2,5.5|skip=", worksheet.Stop, "Part touches the cutter body",
			"is part what is cut?"},
		{foulSheet, "px=0|py=0|swingroom=8.7", worksheet.Careful, "Nothing hits: .50 clear",
			"▲ cannot be turned here · nearest: stud and cutter body"},
		{foulSheet, "boxes=", "", "What stands on the table?", ""},
		{foulSheet, "heads=", "", "What is on the spindle?", ""},
		{foulSheet, "cut=", "", "At what height does it cut?", ""},
	} {
		t.Run(row.sheet.Name+" "+row.in, func(t *testing.T) {
			var change []worksheet.Pair
			for part := range strings.SplitSeq(row.in, "|") {
				if key, text, ok := strings.Cut(part, "="); ok {
					change = append(change, worksheet.Pair{Key: key, Text: text})
				}
			}
			a := worksheet.Run(row.sheet, units.InchSystem, with(row.sheet, change...))
			head, facts := a.Headline()
			assert.Equal(t, row.head, head)
			assert.Equal(t, row.facts, strings.Join(facts, " · "))
			if assert.Equal(t, row.mark == "", a.Fault != nil) && a.Fault == nil {
				assert.Equal(t, row.mark, a.Mark())
			}
		})
	}
}
