package thread

import "math"

// Blind is a blind tapped hole as it was drilled. Lengths are in one unit, the pitch's.
type Blind struct {
	Pitch   float64
	Depth   float64 // to the end of the full diameter, or to the point where ToPoint
	ToPoint bool
	Drill   float64 // read where ToPoint
	Angle   float64 // included angle of the drill's point, degrees
	Below   float64 // left under the tap for chips, pitches: 1 careful, 0.5 least
	Chamfer float64 // of the tap that finishes it, pitches
	Centre  float64 // how far a point on the tap stands out beyond the chamfer
	Csk     float64 // diameter of the countersink, 0 for none
	CskDeg  float64
	Minor   float64 // the largest minor diameter of the thread's class, or the hole's own
}

// Usable gives where the tap's chamfer comes to stop, where the last full thread is, and how much
// full thread is left below the countersink:
//
//	Hs = depth - pl, pl = (d/2)/tan(a/2)       shoulder, where the depth is to the point
//	zt = Hs - g, or Hs + pl - centre           the tap's point may land first
//	Lf = zt - c P
//	Lu = Lf - (Dc - D1)/(2 tan(ac/2))
//
// Countersunk threads count as nothing, which is the careful way. Chamfers by TM 9-254; geometry
// and common practice for the rest.
func (b Blind) Usable() (tip, full, usable float64) {
	point := PointLength(b.Drill, b.Angle)
	shoulder := b.Depth
	if b.ToPoint {
		shoulder -= point
	}
	tip = shoulder - max(float64(b.Below*b.Pitch), b.Centre-point)
	full = tip - float64(b.Chamfer*b.Pitch)
	return tip, full, max(0, full-CskLoss(b.Csk, b.Minor, b.CskDeg))
}

// PointLength is pl = (d/2)/tan(a/2), the height of a drill's cone; a flat cutter (180 degrees) has
// none.
func PointLength(d, angle float64) float64 {
	if angle >= 180 || d <= 0 {
		return 0
	}
	return d / 2 / math.Tan(angle/2*math.Pi/180)
}

// CskLoss is the thread a countersink takes: kc = (Dc - D1)/(2 tan(ac/2)), D1 the largest minor
// diameter.
func CskLoss(csk, minor, angle float64) float64 {
	if csk <= minor {
		return 0
	}
	return (csk - minor) / 2 / math.Tan(angle/2*math.Pi/180)
}

// Bite is how a tap follows a shorter thread cut by the one before it. Lengths are in one unit.
type Bite struct {
	Tip   float64 // depth of the tap's end at the first bite
	Free  float64 // turns it goes in free from the face
	Turns float64 // from the first bite to the end
}

// FirstBite gives where a tap of chamfer c2 pitches, taken to z2, first cuts in the thread that a
// tap of the longer chamfer c1 left when its end was at z1:
//
//	zb = z1 - (c1 - c2) P      if z1 >= c1 P
//	zb = z1 c2/c1              if the earlier tap never cut a full thread
//
// Chamfers are taken as straight and beginning at the size of the hole; a smaller end makes the
// first half to one pitch idle. With no earlier tap (z1 0) it bites at the face.
func FirstBite(z1, c1, z2, c2, pitch float64) Bite {
	tip := z1 - float64((c1-c2)*pitch)
	switch {
	case z1 <= 0:
		tip = 0
	case z1 < float64(c1*pitch):
		tip = z1 * c2 / c1
	}
	return Bite{Tip: tip, Free: tip / pitch, Turns: (z2 - tip) / pitch}
}
