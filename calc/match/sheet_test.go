package match

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/hole"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// run runs the example with some inputs changed.
func run(pairs ...worksheet.Pair) worksheet.Answer {
	all := append([]worksheet.Pair{}, pairs...)
	for _, e := range matchSheet.Example {
		given := false
		for _, p := range pairs {
			given = given || p.Key == e.Key
		}
		if !given {
			all = append(all, e)
		}
	}
	return worksheet.Run(&matchSheet, units.InchSystem, all)
}

func TestExample(t *testing.T) {
	a := run()
	require.Nil(t, a.Fault, "%v", a.Fault)
	assert.Contains(t, a.Text("verdict"), "angle plate, front takes it")
	assert.Equal(t, "true", a.Value("takes"))
	// The two threads are 6.02 apart for holes 6 apart: .02 shared by two bolts.
	assert.Equal(t, "0.0213 in", a.Text("room"))
	assert.Contains(t, a.Text("verdict"), " 1 way in all, on 1 of 2 faces.")
	assert.Len(t, a.Rows("bolts"), 3)
	assert.NotEmpty(t, a.Lines())
}

func TestDrilledFor(t *testing.T) {
	places := worksheet.Pair{Key: "places", Text: "sub-plate, , tapped, 4, 4, , 5/8-11; sub-plate, , tapped, 4, 12, , 5/8-11; angle plate, front, slot, 6, 7, 11/16, , 4, 0"}
	a := run(places, worksheet.Pair{Key: "name", Text: "bracket"})
	require.Nil(t, a.Fault, "%v", a.Fault)
	assert.Equal(t, "false", a.Value("takes"))
	assert.Contains(t, a.Text("verdict"), "None of the 2 faces takes it")
	require.NotEmpty(t, a.Rows("holes"))
	assert.Contains(t, a.Rows("holes")[0], "bracket")
	assert.NotEmpty(t, a.Rows("plans"))
	// Nothing there at all: two holes and the slot's bolt in the middle of the roomier face.
	a = run(worksheet.Pair{Key: "places", Text: ""}, worksheet.Pair{Key: "keep", Text: ""})
	require.Nil(t, a.Fault)
	assert.Len(t, a.Rows("holes"), 3)
	// Too thin, and no size known.
	a = run(worksheet.Pair{Key: "places", Text: ""}, worksheet.Pair{Key: "keep", Text: ""}, worksheet.Pair{Key: "fixtures", Text: "a, , 12, 9, 1/4; b"})
	require.Nil(t, a.Fault)
	assert.Contains(t, a.Text("verdict"), "none with its size given can be drilled")
}

func TestRefusals(t *testing.T) {
	for _, row := range []struct{ key, text, says string }{
		{"part", "hole, 0, 0, 5/8-11", "no diameter"},
		{"part", "slot, 0, 0, 5/8-11, 11/16", "without a length"},
		{"part", "slot, 0, 0, 5/8-11, 11/16, 1/2", "shorter than it is wide"},
		{"part", "hole, 0, 0, 5/8-11, 1/2", "smaller than its bolt"},
		{"part", "hole, 0, 0, what, 1/2", "what"},
		{"part", "hole, 0, 0, 5/8-11, 11/16; hole, 0.1, 0, 5/8-11, 11/16", "lies on row 1"},
		{"places", "nowhere, , tapped, 3, 2, , 5/8-11", "not among the fixture faces"},
		{"places", "sub-plate, , tapped, 3, 2", "without a thread"},
		{"fixtures", "sub-plate; sub-plate", "second time"},
		{"keep", "nowhere, , rib, 3, 2, 1, 1", "not among the fixture faces"},
	} {
		a := run(worksheet.Pair{Key: row.key, Text: row.text})
		if assert.NotNil(t, a.Fault, row.text) {
			assert.Equal(t, row.key, a.Fault.Field)
			assert.Contains(t, a.Fault.Message, row.says)
			assert.True(t, strings.HasSuffix(a.Fault.Message, "."), a.Fault.Message)
		}
	}
}

// TestWholeShop: 200 faces with 40 places each are taken at once, called as at
// length as people call things, and the one that fits is found among them.
func TestWholeShop(t *testing.T) {
	var faces, places []string
	for i := range 200 {
		name := fmt.Sprintf("Invented angle plate for the long castings %d F%d, upright", i+1, i+1)
		faces = append(faces, name+", 24 in, 18 in, 1.5 in, 0 in, 0 in")
		for j := range 40 {
			gap := 2.25 // on these no two threads are 6.02 apart
			if i == 137 {
				gap = 3.01
			}
			places = append(places, fmt.Sprintf("%s, tapped, %.4f in, %.4f in, , 5/8-11 UNC-2B", name, 1+gap*float64(j%8), 1+2.25*float64(j/8)))
		}
	}
	a := run(worksheet.Pair{Key: "part", Text: "hole, 0 in, 0 in, 5/8-11, 0.6875 in; hole, 6.02 in, 0 in, 5/8-11, 0.6875 in"},
		worksheet.Pair{Key: "fixtures", Text: strings.Join(faces, "; ")}, worksheet.Pair{Key: "places", Text: strings.Join(places, "; ")}, worksheet.Pair{Key: "keep", Text: ""})
	require.Nil(t, a.Fault)
	assert.Equal(t, []string{"Invented angle plate for the long castings 138 F138, upright, 60, 0.0313 in"}, a.Rows("faces"))
	assert.Contains(t, a.Text("verdict"), " 60 ways in all, on 1 of 200 faces.")
}

// TestDrillKeepsMargins: every new hole keeps its margins by plain geometry,
// every bolt of the part gets a place, and the middle of an empty face is taken
// where it is free.
func TestDrillKeepsMargins(t *testing.T) {
	made := 0
	rapid.Check(t, func(t *rapid.T) {
		num := func(lo, hi float64, what string) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
		plate := Plate{Width: 14, Height: 11, Thick: 1.5, Left: -2, Bottom: 1}
		for range rapid.IntRange(0, 12).Draw(t, "places") {
			p := tapped58(num(-2, 12, "x"), num(1, 12, "y"))
			switch rapid.IntRange(0, 3).Draw(t, "kind") {
			case 0:
				p = Place{Kind: Slot, X: p.X, Y: p.Y, Size: .6875, Length: 3, Angle: num(0, 180, "angle")}
			case 1:
				p = Place{Kind: Clear, X: p.X, Y: p.Y, Size: 1}
			}
			plate.Places = append(plate.Places, p)
		}
		for range rapid.IntRange(0, 3).Draw(t, "ribs") {
			plate.Keep = append(plate.Keep, Rect{num(-2, 12, "kx"), num(1, 12, "ky"), .75, 5, true})
		}
		spots := []Place{clear58(0, 0), clear58(num(3, 5, "sx"), 0), clear58(1.7, num(3, 4, "sy"))}
		plans, _ := Drill(Ask{Spots: spots, Flip: rapid.Bool().Draw(t, "flip")}, Rules{-1, -1, -1, hole.Iron, -1, 0, true}, []Plate{plate})
		for _, d := range plans {
			made++
			require.Equal(t, len(spots), len(d.New)+len(d.Old))
			for _, o := range d.Old {
				require.GreaterOrEqual(t, o.Room, 0.0)
			}
			for _, h := range d.New {
				edge := min(h.X+2, 12-h.X, h.Y-1, 12-h.Y)
				require.GreaterOrEqual(t, edge, 1.5*.625-1e-6)
				for _, p := range plate.Places {
					d := math.Hypot(h.X-p.X, h.Y-p.Y)
					size := max(p.Size, p.Bolt.Dia)
					if p.Kind == Slot {
						for k := -200; k <= 200; k++ { // walk along the slot
							u := float64(k) / 200 * (p.Length - p.Size) / 2
							d = min(d, math.Hypot(h.X-p.X-u*math.Cos(p.Angle*math.Pi/180), h.Y-p.Y-u*math.Sin(p.Angle*math.Pi/180)))
						}
					}
					require.GreaterOrEqual(t, d-size/2-.3125, .625-1e-3)
				}
				for _, k := range plate.Keep {
					dx, dy := max(0, math.Abs(h.X-k.X)-k.Wide/2), max(0, math.Abs(h.Y-k.Y)-k.High/2)
					require.GreaterOrEqual(t, math.Hypot(dx, dy)-.3125, .3125-1e-6)
				}
			}
		}
	})
	assert.Positive(t, made)
	spots := []Place{clear58(0, 0), clear58(6, 0)}
	plans, _ := Drill(Ask{Spots: spots}, Rules{-1, -1, -1, hole.Iron, -1, 0, true}, []Plate{{Width: 12, Height: 8, Thick: 1.5}})
	require.Len(t, plans, 1)
	assert.True(t, plans[0].Centred && plans[0].Even)
	assert.Equal(t, vec{3, 4}, vec{plans[0].New[0].X, plans[0].New[0].Y})
}

// TestWiderHolesNeverLose: a larger hole in the part never costs room.
func TestWiderHolesNeverLose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.SliceOfN(rapid.Float64Range(-.03, .03), 6, 6).Draw(t, "off")
		plate := Plate{Places: []Place{tapped58(1+off[0], 1+off[1]), tapped58(7+off[2], 1+off[3]), tapped58(4+off[4], 5+off[5])}}
		last := -1.0
		for _, size := range []float64{.64, .66, .6875, .75} {
			ask := Ask{Slack: .05}
			for _, p := range []vec{{0, 0}, {6, 0}, {3, 4}} {
				ask.Spots = append(ask.Spots, Place{X: p.x, Y: p.y, Size: size, Bolt: m58})
			}
			f := Find(ask, []Plate{plate})
			room := -1.0
			if f.Total > 0 {
				room = f.Ways[0].Room
				assert.LessOrEqual(t, room, (size-.625)/2+1e-9)
			}
			require.GreaterOrEqual(t, room, last-1e-6)
			last = room
		}
		require.GreaterOrEqual(t, last, 0.0, "an eighth of clearance takes an error of .03 a coordinate")
	})
}

// TestMetricAndInch gives the same answer in both systems of units.
func TestMetricAndInch(t *testing.T) {
	a := worksheet.Run(&matchSheet, units.InchSystem, matchSheet.Example)
	b := worksheet.Run(&matchSheet, units.MetricSystem, matchSheet.Example)
	require.Nil(t, a.Fault)
	require.Nil(t, b.Fault)
	assert.Equal(t, a.Value("ways"), b.Value("ways"))
	assert.Equal(t, a.Also("room"), b.Text("room"))
}
