package shape_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"datumbook/calc/shape"
	"datumbook/calc/units"
)

func size(x float64) shape.Size { return shape.Size{Length: units.FromInches(x), Text: "typed"} }

// plate is 16 by 12 with zero in its lower left corner: a rib up its middle, a hole, a rib taken off.
func plate() shape.Face {
	return shape.Face{Wide: size(16), High: size(12), Places: []shape.Place{
		{Table: "ribs", Row: "1", What: shape.Rib, X: size(8), Y: size(6), Wide: size(1), High: size(12)},
		{Table: "holes", Row: "1", Name: "A1", What: shape.Tapped, X: size(3), Y: size(4), Dia: size(.5)},
		{Table: "marks", Row: "1", What: shape.RibGone, X: size(12), Y: size(6), Wide: size(1), High: size(12)},
		{Table: "holes", Row: "2", What: shape.Hole, X: size(12)}, // nobody wrote down how high
	}}
}

// TestNearest: distances of plane geometry, worked by hand.
func TestNearest(t *testing.T) {
	face := plate()
	for _, c := range []struct {
		x, y, dia, gap float64
		what           shape.What
		side, passed   string
	}{
		{x: 6, y: 4, dia: .5, gap: 1.25, what: shape.Rib},                      // 7.5 - 6 - .25
		{x: 3, y: 6, dia: .5, gap: 1.5, what: shape.Tapped},                    // 2 - .25 - .25
		{x: 3, y: 6, dia: .5, gap: 2.75, side: "left edge", passed: "holes.1"}, // 3 - .25
		{x: 8, y: 6, dia: .5, gap: -.75, what: shape.Rib},                      // .5 inside, and its half
		{x: 15.5, y: 6, dia: 2, gap: -.5, side: "right edge"},                  // .5 - 1
		{x: 12, y: 1, dia: 1, gap: .5, side: "bottom edge"},
		{x: 6, y: 8, dia: .5, gap: 1.25, what: shape.Rib},
	} {
		d, ok := face.Nearest(units.FromInches(c.x), units.FromInches(c.y), units.FromInches(c.dia), c.passed)
		assert.True(t, ok)
		assert.InDelta(t, c.gap, d.Gap.Inches(), 1e-9, "%+v", c)
		assert.Equal(t, c.what, d.What, "%+v", c)
		assert.Equal(t, c.side, d.Side, "%+v", c)
	}
	nothing := shape.Face{}
	_, ok := nothing.Nearest(0, 0, 0, "")
	assert.False(t, ok)
}

// TestNearestSlot: distances of plane geometry, worked by hand. A slot as long as wide is a hole.
func TestNearestSlot(t *testing.T) {
	face := plate()
	for _, c := range []struct {
		x, y, wide, long, gap float64
		upright               bool
		what                  shape.What
		side                  string
	}{
		{x: 4, y: 9, wide: .5, long: 6, gap: .5, what: shape.Rib},                     // 7.5 - 4 - 3
		{x: 3.5, y: 9, wide: .5, long: 6.5, gap: .25, side: "left edge"},              // 3.5 - 3.25
		{x: 5, y: 8.75, wide: .5, long: 6, upright: true, gap: .25, side: "top edge"}, // 12 - 8.75 - 3
		{x: 3, y: 8, wide: .5, long: 5, upright: true, gap: 1.25, what: shape.Tapped}, // 4 - 2.5 - .25
		{x: 6, y: 4, wide: .5, long: .5, gap: 1.25, what: shape.Rib},
	} {
		d, ok := face.NearestSlot(units.FromInches(c.x), units.FromInches(c.y), units.FromInches(c.wide),
			units.FromInches(c.long), c.upright, "")
		assert.True(t, ok)
		assert.InDelta(t, c.gap, d.Gap.Inches(), 1e-9, "%+v", c)
		assert.Equal(t, c.what, d.What, "%+v", c)
		assert.Equal(t, c.side, d.Side, "%+v", c)
	}
}

// TestNearestSpansGap: outside of everything the line that is drawn is as long as the gap that is told.
func TestNearestSpansGap(t *testing.T) {
	face := plate()
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(0, 16).Draw(t, "x"), rapid.Float64Range(0, 12).Draw(t, "y")
		dia := rapid.Float64Range(0, 2).Draw(t, "dia")
		d, _ := face.Nearest(units.FromInches(x), units.FromInches(y), units.FromInches(dia), "")
		if d.Gap < 0 {
			return
		}
		long := math.Hypot((d.To[0] - d.From[0]).Inches(), (d.To[1] - d.From[1]).Inches())
		assert.InDelta(t, d.Gap.Inches(), long, 1e-8)
	})
}
