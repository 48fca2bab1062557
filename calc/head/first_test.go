package head

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What is said first, of every mark and every way: figures by hand. A lean of two sides read once is
// sure to 1.154 graduations, so .6 thou; the mean of two sides is what both read when square.
func TestFirst(t *testing.T) {
	for _, row := range []registrytest.First{
		{Typed: "sweep", Says: "Right reads?"},
		{Typed: "sweep|right=1 thou", Says: "Left reads?"},
		{Typed: "sweep|back=1 thou", Says: "Front reads?"},
		{Typed: "sweep|right=3 thou|left=0", Mark: worksheet.Careful, Says: "Top left until right reads +1-1/2",
			Facts: "right 3 nearer · nod not swept"},
		{Typed: "sweep|right=3 thou|left=0|swing=9|back=1.5 thou|front=1.5 thou|cutter=5", Mark: worksheet.Careful,
			Says: "Top left until right reads +1-1/2", Facts: "right 3 nearer on 9 · leave the nod · 5 cutter hollows 1"},
		{Typed: "sweep|right=3 thou|left=0|swing=9|back=3 thou|front=0", Mark: worksheet.Careful,
			Says: "Top left until right reads +1-1/2", Facts: "then front until back reads +1-1/2 · right 3 nearer on 9"},
		// 3 thou on 9 is a third of a thou an inch: 3-1/3 thou at a screw ten inches out, of twenty threads.
		{Typed: "sweep|right=3 thou|left=0|swing=9|back=1.5 thou|front=1.5 thou|distx=10|pitchx=.05",
			Mark: worksheet.Careful, Says: "Top left 1/16 turn", Facts: "right 3 nearer on 9 · leave the nod"},
		{Typed: "sweep|right=12 thou|left=0|back=9 thou|front=3 thou|swing=9|distx=10|pitchx=.05|disty=10|pitchy=.05",
			Mark: worksheet.Careful, Says: "Top: 1/4 turn left, 1/8 front", Facts: "right 12 nearer on 9"},
		{Typed: "sweep|right=0|left=0|back=0|front=0|swing=9|allow=.0015|cutter=5", Mark: worksheet.Good,
			Says: "Head square", Facts: "within 1-1/2 on 9 · nothing more you could read"},
		{Typed: "sweep|right=0|left=0|back=0|front=0|swing=9", Mark: worksheet.Careful,
			Says: "Head square, as near as it shows", Facts: "one more reading of each side · sure only to ±.6"},
		{Typed: "sweep|right=0|left=0|swing=9|allow=.0015", Mark: worksheet.Good, Says: "Right and left square",
			Facts: "nod not swept · within 1-1/2 on 9"},
		{Typed: "sweep|right=0|left=0|swing=9", Mark: worksheet.Careful, Says: "Right and left as near as it shows",
			Facts: "nod not swept · one more reading of each side"},
		{Typed: "sweep|back=0|front=3 thou|swing=9|machine=level", Mark: worksheet.Careful,
			Says: "Bottom away until it reads +1-1/2", Facts: "bottom 3 nearer on 9 · right and left not swept"},
		{Typed: "sweep|right=0|left=4 thou|back=2 thou|front=5 thou|swing=9", Mark: worksheet.Stop,
			Says: "Sides do not add up: 3 thou", Facts: "right + left against back + front · table, gib or a slip"},
		{Typed: "sweep|right=0|left=4 thou|back=2 thou|front=2 thou|readings=0, 5 thou", Mark: worksheet.Stop,
			Says: "Right reads 5 thou apart", Facts: "read twice: loose, or a chip · nothing moved till it repeats"},
		{Typed: "sweep|right=0|left=.5|swing=9", Mark: worksheet.Open, Says: "500 thou? Or 1/2 thou?"},
		{Typed: "dish", Says: "Which cutter?"},
		{Typed: "dish|cutter=6|width=4", Mark: worksheet.Good, Says: "Flat enough: hollows .1 thou",
			Facts: ".5 wanted · leans 1 a foot"},
		{Typed: "dish|cutter=6|width=4|along=.01", Mark: worksheet.Careful, Says: "Hollows .7, you want .5 thou",
			Facts: "leans 10 a foot · narrower cut or square it"},
		{Sys: units.MetricSystem, Typed: "dish|cutter=150|width=100|along=1 mm/m|flat=.01", Mark: worksheet.Careful,
			Says: "Hollows 0.02, you want 0.01 mm", Facts: "leans 1 a metre · narrower cut or square it"},
		{Typed: "square", Says: "Bottom reads?"},
		{Typed: "square|readings=, 0", Says: "Top reads?"},
		{Typed: "square|readings=, 0; , 1 thou", Says: "Leans 1 thou. Turned, bottom?"},
		{Typed: "square|readings=, 0, 0; , 1 thou", Says: "Turned, top?"},
		{Typed: "square|readings=, 0, 0; , 1 thou, 1 thou", Mark: worksheet.Careful, Says: "Slide leans out 1 thou",
			Facts: "1 out, sure to ±.5 · square itself true"},
		{Typed: "square|readings=, 0, 0; , 1 thou, 1 thou|turned=plate", Mark: worksheet.Careful,
			Says: "Plate's top leans out 1 thou", Facts: "shim under its front edge · 1 out, sure to ±.5"},
		{Typed: "square|readings=0,0,0; 12,1 thou,1 thou|turned=plate|foot=6", Mark: worksheet.Careful,
			Says:  "Plate's top leans out 1 thou",
			Facts: "shim 1/2 under its front edge · 1 out in 12, sure to ±.5"},
		{Typed: "square|readings=0,0,0; 12,-1 thou,-1 thou|turned=plate", Mark: worksheet.Careful,
			Says: "Plate's top leans in 1 thou", Facts: "shim under its back edge · 1 out in 12, sure to ±.5"},
		{Typed: "square|readings=0,0,0; 12,-.5 thou,.5 thou|turned=plate", Mark: worksheet.Good, Says: "Plate square",
			Facts: "machine itself 1/2 off · within 1/2 in 12"},
		{Typed: "square|readings=0,0; 12,1 thou|turned=no", Mark: worksheet.Open, Says: "Leans 1 thou, plate and square",
			Facts: "turn the square and read again to part them"},
		{Typed: "square|readings=0,0; 12,0|turned=no|within=.0002|allow=.0015", Mark: worksheet.Good, Says: "Square",
			Facts: "within 1-1/2 in 12 · nothing more you could read"},
		{Typed: "square|readings=0,0; 12,1 thou|turned=no|within=.0002", Mark: worksheet.Careful,
			Says: "It leans out 1 thou", Facts: "1 out in 12, sure only to ±.8"},
		{Typed: "square|readings=0,0,0; 6,4 thou,0; 12,0,0|allow=.0015", Mark: worksheet.Stop,
			Says: "Readings 4 thou from a line", Facts: "a chip, or the square rocks"},
		{Typed: "square|readings=0,0,0; 6,1 thou,0; 12,0,0|allow=.0015", Mark: worksheet.Careful,
			Says: "Slide square, but bowed 1 thou", Facts: "square itself true · within 1-1/2 in 12"},
		{Typed: "bar", Says: "At the nose reads?"},
		{Typed: "bar|readings=, 0, 0", Says: "Far end reads?"},
		{Typed: "bar|readings=, 0, 0; , 1 thou, 1 thou", Mark: worksheet.Careful, Says: "Far end 1 thou off",
			Facts: "toward the needle · sure to ±.5"},
		{Typed: "bar|readings=1,0,1 thou; 13,-2 thou,-.6 thou", Mark: worksheet.Careful,
			Says: "Far end 1-3/4 thou off, over 12", Facts: "away from the needle · bar's own 1-1/2 taken out"},
		{Typed: "bar|readings=1,0,1 thou; 13,1 thou,0|allow=.0015", Mark: worksheet.Good, Says: "Spindle true",
			Facts: "bar runs out 1 by itself · within 1-1/2 in 12"},
		{Typed: "bar|readings=1,0,3 thou; 13,3 thou,0|allow=.0015", Mark: worksheet.Careful,
			Says: "Spindle true, bar runs out 3", Facts: "bar runs out 3 by itself · within 1-1/2 in 12"},
		{Typed: "bar|readings=1,0,1 thou; 13,6 thou,0|allow=.0015", Mark: worksheet.Stop,
			Says: "Bar runs out 6: clean the taper", Facts: "more than it is worth reading"},
	} {
		row.Check(t, Sheets())
	}
}

// A lean over a height or a length that is not known is judged as with any: what the ends read apart
// is all there is to it.
func TestCounted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sheet, length := &squareSheet, "height"
		if rapid.Bool().Draw(t, "bar") {
			sheet, length = &barSheet, "length"
		}
		n := rapid.IntRange(2, 5).Draw(t, "places")
		plain := ""
		for range n {
			row := ""
			for range 2 {
				row += ", " + rapid.SampledFrom([]string{"0", "-1 thou", ".5 thou", "1.5 thou", "2 thou"}).Draw(t, "reading")
			}
			plain += row + "; "
		}
		a := worksheet.Run(sheet, units.InchSystem, []worksheet.Pair{{Key: "readings", Text: plain}})
		b := worksheet.Run(sheet, units.InchSystem, []worksheet.Pair{{Key: "readings", Text: plain}, {Key: length, Text: "7"}})
		require.Nil(t, a.Fault, "%v", a.Fault)
		require.Nil(t, b.Fault, "%v", b.Fault)
		require.Equal(t, a.Mark(), b.Mark())
		for _, key := range strings.Fields("out sure other tir is inline") {
			if _, ok := units.First(sheet.Results, func(r worksheet.Result) bool { return r.Key == key }); ok {
				require.Equal(t, a.Text(key), b.Text(key), key)
			}
		}
		assert.Equal(t, "", a.Text("angle"))
		assert.NotEmpty(t, b.Text("angle"))
	})
}
