package head

import "math"

// Pass is a cut with a tilted face mill. Lengths are in inches.
type Pass struct {
	Dia    float64 // diameter of the cutter over its tips
	Width  float64 // width of the cut
	Offset float64 // cutter's centre from the middle of the cut, across the feed
	Along  float64 // tilt in the direction of feed, in/in
	Across float64 // tilt across the feed, in/in
	Step   float64 // from one pass to the next; 0 for a single pass
}

// Face is what the pass leaves. Lengths are in inches.
type Face struct {
	Hollow    float64 // lowest to highest across the cut, by the tilt along the feed
	Radius    float64 // radius of the hollow at its lowest line; 0 where there is no tilt
	Slope     float64 // height from one side of the cut to the other, by the tilt across
	Ridge     float64 // step from one pass to the next
	Near, Far float64 // least and greatest distance of the cut's sides from the cutter's centre
}

// Dish computes the face.
//
// The tips run on a circle of radius R tilted by phi along the feed; at a
// distance y from the centre the lowest edge passes sin(phi) sqrt(R^2 - y^2)
// below the centre, so that a cut from -B/2 to B/2 is hollow by
// sin(phi) (R - sqrt(R^2 - (B/2)^2)). Its section is part of an ellipse whose
// radius at the bottom is R/sin(phi).
func Dish(p Pass) Face {
	r := float64(p.Dia * .5)
	side := float64(p.Width * .5)
	a, b := p.Offset-side, p.Offset+side
	f := Face{Far: max(math.Abs(a), math.Abs(b)), Near: min(math.Abs(a), math.Abs(b))}
	if a < 0 && b > 0 {
		f.Near = 0
	}
	sin := math.Abs(p.Along) / math.Sqrt(1+float64(p.Along*p.Along))
	// sqrt(R^2 - near^2) - sqrt(R^2 - far^2), written to avoid cancellation for a narrow cut.
	top, low := half(r, f.Near), half(r, f.Far)
	f.Hollow = sin * ((f.Far - f.Near) * (f.Far + f.Near) / (top + low))
	if sin > 0 {
		f.Radius = r / sin
	}
	f.Slope = math.Abs(p.Across) * p.Width
	f.Ridge = math.Abs(p.Across) * p.Step
	return f
}

// half is the half chord of a circle of radius r at distance y, sqrt(r^2 - y^2).
func half(r, y float64) float64 { return math.Sqrt(max(0, (r-y)*(r+y))) }

// MostTilt is the tilt along the feed, in/in, that leaves no more than a hollow
// of allow.
func MostTilt(p Pass, allow float64) float64 {
	p.Along = 1
	unit := Dish(p).Hollow * math.Sqrt2 // hollow for a sine of 1
	if unit <= 0 {
		return 1
	}
	sin := allow / unit
	if sin >= math.Sqrt2/2 {
		return 1
	}
	return sin / math.Sqrt(1-float64(sin*sin))
}
