package thread_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/check"
	"datumbook/calc/thread"
)

func TestPublished(t *testing.T) {
	list := published()
	assert.GreaterOrEqual(t, len(list), 30)
	seen := map[string]bool{}
	for _, c := range list {
		o := c.Run()
		assert.True(t, o.Pass, "%s: %v, printed %v, %s", c.What, o.Value, c.Want, c.Source)
		assert.NotEmpty(t, c.Source)
		assert.False(t, seen[c.What], c.What)
		seen[c.What] = true
		// The tolerance is tight enough to notice one unit in the last place.
		assert.Less(t, c.Tol, 0.01*c.Want, c.What)
	}
}

// published are some of the printed values the limits, percentages and areas are
// checked against; testdata holds many more.
func published() []check.Check {
	const (
		mh27   = "Machinery's Handbook 27 p. 1755, limits of ASME B1.1"
		b11    = "ASME B1.1 standard series, public reproduction"
		unc2b  = "ASME B1.1 UNC class 2B, public reproduction"
		b130   = "Machinery's Handbook 31, worked example of ASME B1.30"
		b113   = "ASME B1.13M limiting dimensions, public reproduction"
		jis    = "ISO 965-1 / JIS B 0209 TD2 by class, public reproduction"
		mh31   = "Machinery's Handbook 31 p. 1978 table 4a"
		drills = "Machinery's Handbook 31 p. 2155 table 2"
	)
	in, mm := 0.5e-4, 0.5e-3 // half the last place printed
	return []check.Check{
		size("5/8-11 UNC", "2A", "major", "max", .6234, in, b11),
		size("5/8-11 UNC", "2A", "pitch", "max", .5644, in, b11),
		size("5/8-11 UNC", "2A", "pitch", "min", .5589, in, b11),
		size("5/8-11 UNC", "2B", "minor", "min", .527, in, unc2b),
		size("5/8-11 UNC", "2B", "minor", "max", .546, in, unc2b),
		size("5/8-11 UNC", "3B", "minor", "max", .5391, in, b11),
		size("10-24 UNC", "2B", "minor", "max", .156, in, unc2b),
		size("1/2-13 UNC", "2B", "pitch", "max", .4565, in, unc2b),
		size("1-3/4-5 UNC", "2B", "minor", "max", 1.568, in, unc2b),
		size("2-1/2-4 UNC", "1A", "major", "min", 2.4612, in, mh27),
		size("2-1/2-4 UNC", "1B", "pitch", "max", 2.3578, in, mh27),
		size("2-1/2-8 UN", "3B", "minor", "max", 2.3797, in, mh27),
		size("2-1/2-12 UN", "2A", "pitch", "min", 2.4378, in, mh27),
		size("1/2-28 UNEF", "2A", "pitch", "min", .4720, in, b130),
		size("1-64 UNC", "2A", "major", "min", .0686, in, b11),
		size("M1.6x0.35", "6g", "pitch", "min", 1.291, mm, b113),
		size("M6x1", "4g6g", "pitch", "min", 5.253, mm, b113),
		size("M5x0.8", "6h", "major", "min", 4.850, mm, b113),
		size("M10x1.5", "6H", "minor", "max", 8.676, mm, b113),
		size("M12x1.75", "6H", "minor", "min", 10.106, mm, b113),
		size("M12x1.75", "6H", "minor", "max", 10.441, mm, b113),
		size("M12x1.75", "6H", "pitch", "max", 11.063, mm, b113),
		size("M14x2", "6H", "pitch", "max", 12.913, mm, b113),
		size("M3x0.5", "4H", "pitch", "max", 2.738, mm, jis),
		size("M8x1.25", "6G", "pitch", "max", 7.376, mm, jis),
		value("basic pitch diameter of 3/4-10", "3/4-10", .6850, in, mh31, func(t thread.Thread) float64 { return t.Basic().Pitch }),
		value("basic minor diameter of 1-8", "1-8", .8647, in, mh31, func(t thread.Thread) float64 { return t.Basic().Minor }),
		area("5/8-11", .2260, .0005, unc2b),
		area("M12", 84.27, .005, "ASME B1.13M and ISO 898-1, public reproduction"),
		percent("percentage of thread, 2-56 with a #50 drill", "2-56", .0700, 69, drills),
		percent("percentage of thread, 4-40 with a #42 drill", "4-40", .0935, 57, drills),
	}
}

// size is one printed limit of one class.
func size(designation, class, diameter, end string, want, tol float64, source string) check.Check {
	return value(diameter+" diameter, "+end+"imum, of "+designation+"-"+class, designation, want, tol, source,
		func(t thread.Thread) float64 {
			l, err := t.Limits(class)
			if err != nil {
				return math.NaN() // a check that cannot be computed fails
			}
			s := l.Minor
			switch diameter {
			case "major":
				s = l.Major
			case "pitch":
				s = l.Pitch
			}
			if end == "min" {
				return s.Min
			}
			return s.Max
		})
}

func percent(what, designation string, hole, want float64, source string) check.Check {
	c := value(what, designation, want, 0.5, source, func(t thread.Thread) float64 { return t.PercentOfThread(hole) })
	c.Unit = "%"
	return c
}

func area(designation string, want, tol float64, source string) check.Check {
	c := value("stress area of "+designation, designation, want, tol, source, thread.Thread.StressArea)
	c.Unit += "2"
	return c
}

func value(what, designation string, want, tol float64, source string, got func(thread.Thread) float64) check.Check {
	t, err := thread.Parse(designation)
	unit := t.System.Unit()
	return check.Check{
		What: what, Want: want, Tol: tol, Unit: unit, Source: source, Provenance: check.Published,
		Got: func() float64 {
			if err != nil {
				return math.NaN()
			}
			return got(t)
		},
	}
}
