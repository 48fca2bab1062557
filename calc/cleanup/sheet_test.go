//go:build !js

package cleanup

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

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }

// run runs the example with some inputs changed.
func run(pairs ...worksheet.Pair) worksheet.Answer {
	all := append([]worksheet.Pair{}, pairs...)
	for _, e := range cleanSheet.Example {
		given := false
		for _, p := range pairs {
			given = given || p.Key == e.Key
		}
		if !given {
			all = append(all, e)
		}
	}
	return worksheet.Run(&cleanSheet, units.InchSystem, all)
}

func TestExample(t *testing.T) {
	a := run(worksheet.Pair{Key: "supports", Text: "left, 0, 0, 0; right, 10, 0, 0"}, worksheet.Pair{Key: "up", Text: "+y"})
	require.Nil(t, a.Fault, "%v", a.Fault)
	assert.Equal(t, "true", a.Value("cleans"))
	assert.Equal(t, "0.105 in", a.Text("least")[:5]+" in")
	assert.Contains(t, a.Text("verdict"), "Cleans up, .105 in to spare at the thinnest; as laid out .050 in. Set it as "+
		"below, then touch it again.")
	// The part turns by -.0025 in the rough, so the casting is tipped the other
	// way: over 10 in one end comes up by .025.
	assert.Contains(t, a.Rows("shims")[1], "0.0250")
	assert.NotEmpty(t, a.Lines())
}

func TestStarves(t *testing.T) {
	a := run(worksheet.Pair{Key: "need", Text: "0.125"})
	require.Nil(t, a.Fault)
	assert.Equal(t, "false", a.Value("cleans"))
	assert.Equal(t, "-0.0200 in", a.Text("least"))
	for _, name := range []string{"left", "right", "front", "back"} {
		assert.Contains(t, a.Text("verdict"), name)
	}
	assert.Contains(t, a.Text("ways"), "With less wanted to come off it cleans up: .105 in")
	assert.Equal(t, worksheet.Stop, a.Mark())
	assert.Empty(t, a.Text("steps"), "nothing to set")
}

func TestRefusals(t *testing.T) {
	for _, row := range []struct{ key, text, says string }{
		{"features", "a, bore, +z, 0, 0, 0", "no diameter"},
		{"features", "a, wall, +z, 0, 0, 0", "at least how much"},
		{"features", "a, face, given, 0, 0, 0", "no direction"},
		{"features", "a, face, +x, 0, 0, 0; a, face, +x, 0, 0, 0", "taken"},
		{"touches", "nothing, 0, 0, 0", "not in the table of surfaces"},
		{"touches", "left, 0, 0, 0", "was not touched"},
	} {
		a := run(worksheet.Pair{Key: row.key, Text: row.text})
		if assert.NotNil(t, a.Fault, row.text) {
			assert.Equal(t, row.key, a.Fault.Field)
			assert.Contains(t, a.Fault.Message, row.says)
			assert.True(t, strings.HasSuffix(a.Fault.Message, "."))
		}
	}
	// All six ways, but nothing touched in Z: refused by name.
	a := run(worksheet.Pair{Key: "free", Text: "x, y, z, rx, ry, rz"})
	require.NotNil(t, a.Fault)
	assert.Contains(t, a.Fault.Message, "Three points on one face, two on a second and one on a third")
	// Points of a face too near one another for a turn.
	b := worksheet.Run(&cleanSheet, units.InchSystem, []worksheet.Pair{
		{Key: "features", Text: "top, face, +z, 0, 0, 1"}, {Key: "touches", Text: "top, 1, 1, 1.1; top, 2, 1, 1.1; top, 3, 1, 1.1"}, {Key: "free", Text: "z, rx, ry"}})
	require.NotNil(t, b.Fault, "three points in a line do not hold a plane")
	assert.Contains(t, b.Fault.Message, "turn about X")
}

// TestMoreStockNeverLoses: metal added to the rough never costs stock, and
// metal added everywhere on faces adds that much.
func TestMoreStockNeverLoses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawn(t)
		before, fault, _ := Solve(a)
		require.Equal(t, Fine, fault)
		add := rapid.Float64Range(0, .1).Draw(t, "add")
		for j := range a.Touches {
			f := &a.Features[a.Touches[j].Feature]
			if f.Kind != Face {
				f.Need = -1 // not a constraint
				continue
			}
			for k := range 3 {
				a.Touches[j].P[k] += add * f.Dir[k]
			}
		}
		after, fault, _ := Solve(a)
		require.Equal(t, Fine, fault)
		require.GreaterOrEqual(t, after.Least, before.Least+add-1e-4)
	})
}

// Touches in millimetres on a part of 10 in: 100 in off its left face is no stock. The question is
// the headline, it is not answered yes, and nothing is to be set; a touch 2 in off may be of
// another surface.
func TestTouchesInAnotherUnitAreAskedAbout(t *testing.T) {
	const rest = "; right, 10.22, 1, 0; right, 10.12, 5, 0; front, 1, -.05, 0; front, 9, -.13, 0; back, 1, 6.24, 0; " +
		"back, 9, 6.14, 0"
	a := run(worksheet.Pair{Key: "touches", Text: "left, -100, 1, 0; left, -100, 5, 0" + rest})
	require.Nil(t, a.Fault)
	assert.Equal(t, worksheet.Open, a.Mark())
	assert.Contains(t, a.Text("verdict"), "Touch 1 lies 100.00 in from 'left' as laid out: is it in mm?")
	assert.Empty(t, a.Text("cleans"))
	assert.Empty(t, a.Text("steps"))
	first := a.Cautions()[0]
	assert.Equal(t, "touches", first.Field)
	assert.True(t, strings.HasPrefix(first.Means, "left, -100 mm, 1 mm, 0 mm; left, -100 mm, 5 mm, 0 mm; right, 10.22, "),
		first.Means)
	// -5 mm is .197 in: near.
	b := run(worksheet.Pair{Key: "touches", Text: "left, -5, 25, 0; left, -5, 125, 0" + rest})
	require.Nil(t, b.Fault)
	again := run(worksheet.Pair{Key: "touches", Text: b.Cautions()[0].Means})
	require.Nil(t, again.Fault)
	assert.Equal(t, worksheet.Good, again.Mark(), "%v", again.Cautions())
	c := run(worksheet.Pair{Key: "touches", Text: "left, -.1, 1, 0; left, -.1, 5, 0; right, 12.5 in, 1, 0; right, " +
		"12.5 in, 5, 0" + rest[strings.Index(rest, "; front"):]})
	require.Nil(t, c.Fault)
	assert.Equal(t, worksheet.Careful, c.Mark())
	assert.Contains(t, c.Cautions()[0].Text, "is it of that surface")
}

// What the step says and what the results say of the turn agree: the casting turns the other way
// than the drawing in it, and the labels say whose turn it is.
func TestTurnSaysWhose(t *testing.T) {
	a := run()
	assert.Contains(t, a.Text("steps"), "counter-clockwise, seen from above")
	assert.True(t, strings.HasPrefix(a.Text("rz"), "-"), a.Text("rz"))
	for _, r := range cleanSheet.Results {
		switch r.Key {
		case "dx", "dy", "dz", "rx", "ry", "rz", "turn", "about":
			assert.Contains(t, r.Label, "Drawing's")
		}
	}
}
