package locate

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

// What the patterns say first: how many holes and how far apart, or where the one lies that is gone
// to.

// nowInput asks which hole is gone to.
var nowInput = worksheet.Input{Key: "at", Label: "Hole to go to", Kind: worksheet.Count, Example: "3", Min: "1",
	Max: "100", Ask: "Which hole?", Box: "hole", Help: "Where it lies then stands first. Empty: the pattern stands first."}

// typedSize writes a length as it was typed, without its unit.
func typedSize(v *worksheet.Values, o *worksheet.Out, key string) string {
	size, _, _ := strings.Cut(o.Size(v.Length(key)), " ")
	return size
}

// headPattern says what pattern it is: the template's numbers, behind how many holes, and where the
// first one lies.
func headPattern(o *worksheet.Out, holes []fitting.Point, template string, x ...float64) {
	n := []string{counted(len(holes))}
	o.Head("{s}", n)
	if len(holes) == 1 {
		template, x = "{s}, X {=readout in} Y {=readout in}", []float64{holes[0].X, holes[0].Y}
	}
	o.Head(template, n, x...)
}

// going says whether one of the holes is gone to.
func going(v *worksheet.Values, holes []fitting.Point) bool {
	return v.Has("at") && int(v.Num("at")) <= len(holes)
}

// factPattern says where the first hole of a pattern lies, and what checks it.
func factPattern(v *worksheet.Values, o *worksheet.Out, holes []fitting.Point, check string, x ...float64) {
	if len(holes) > 1 && !going(v, holes) {
		o.Fact("hole 1 at X {=readout in} Y {=readout in}", nil, holes[0].X, holes[0].Y)
		o.Fact(check, nil, x...)
	}
}

// farthestOf finds the hole that lies farthest from hole 1.
func farthestOf(holes []fitting.Point) (hole int, across float64) {
	for i, h := range holes {
		if d := math.Hypot(h.X-holes[0].X, h.Y-holes[0].Y); d > across+1e-9 {
			hole, across = i, d
		}
	}
	return hole, across
}

// goTo gives the hole gone to, counting from 0, and says where it lies; -1 where none was asked for.
func goTo(v *worksheet.Values, o *worksheet.Out, holes []fitting.Point) int {
	i := int(v.Num("at")) - 1
	if !going(v, holes) {
		if !v.Has("at") {
			return -1
		}
		o.Note("There is no hole " + strconv.Itoa(i+1) + ": there are " + strconv.Itoa(len(holes)) + ".")
		return -1
	}
	n := []string{strconv.Itoa(i + 1)}
	o.Head("Hole {s}", n)
	o.Head("Hole {s}: X {=readout in} Y {=readout in}", n, holes[i].X, holes[i].Y)
	return i
}

// headStop says how the dials stand at a hole, and which of them is gone past.
func headStop(o *worksheet.Out, hole int, x, y Stop) {
	n := strconv.Itoa(hole + 1)
	on := func(axis string, s Stop) (string, []string) {
		turns := []string{axis, strconv.FormatInt(max(s.Turns, -s.Turns), 10)}
		switch {
		case s.Count == 0:
			return "{s} at zero", turns
		case s.Turns == 0:
			return "{s} {=wheel in} on the dial", turns
		case s.Turns == 1:
			return "{s} 1 turn + {=wheel in}", turns
		case s.Turns < 0:
			return "{s} {s} below 0, dial {=wheel in}", turns
		}
		return "{s} {s} turns + {=wheel in}", turns
	}
	o.Head("Hole {s}", []string{n})
	text, with := on("X", x)
	o.Head("Hole {s}: "+text, append([]string{n}, with...), x.Reading.Inches())
	text, with = on("Y", y)
	o.Fact(text, with, y.Reading.Inches())
	axes := ""
	switch {
	case x.Past && y.Past:
		axes = "X, Y"
	case x.Past:
		axes = "X"
	case y.Past:
		axes = "Y"
	default:
		return
	}
	o.Fact("{s}: go past, come back to it", []string{axes})
}
