package cut

import "math"

// radial is the force toward the cutter's middle as a share of the force along the rim: 0.3 to 0.5
// by rake and wear. Common practice, no published source.
const radial = .4

// psiPerHP turns a power constant in hp per in3/min into a cutting pressure in psi: 33,000 ft lbf
// a minute in a horsepower, 12 in in a foot.
const psiPerHP = 33000 * 12

// Arc gives where a tooth enters and leaves the work, radians from the left of the cutter's way in
// the sense it turns, clockwise seen from the spindle: phi = acos(2y/D) at the edges y of the cut.
// At pi/2 a tooth is at the front.
func (c Milling) Arc() (enters, leaves float64) {
	at := func(y float64) float64 { return math.Acos(min(max(2*y/c.Cutter, -1), 1)) }
	return at(c.Offset + float64(c.Width/2)), at(c.Offset - float64(c.Width/2))
}

// Front gives the largest sine a tooth reaches in the cut: 1 where the cut takes in the front.
func (c Milling) Front() float64 {
	enters, leaves := c.Arc()
	if enters <= math.Pi/2 && leaves >= math.Pi/2 {
		return 1
	}
	return max(math.Sin(enters), math.Sin(leaves))
}

// Chip gives the thickest and the mean chip, inches: fz sin at the place nearest the front, and
// fz (cos enters - cos leaves)/arc.
func (c Milling) Chip() (thickest, mean float64) {
	enters, leaves := c.Arc()
	fz := c.PerTooth()
	if leaves-enters < 1e-9 {
		return 0, 0
	}
	return fz * c.Front(), fz * (math.Cos(enters) - math.Cos(leaves)) / (leaves - enters)
}

// Mean gives the force along the rim over a turn, lbf, at a cutting pressure in psi:
// kc ap fz z B/(pi D), which is power over speed.
func (c Milling) Mean(kc float64) float64 {
	return float64(kc*c.Depth) * c.PerTooth() * c.Teeth * c.Width / float64(math.Pi*c.Cutter)
}

// Tooth gives the most that one tooth takes, lbf: kc ap fz sin.
func (c Milling) Tooth(kc float64) float64 {
	return float64(kc*c.Depth) * float64(c.PerTooth()*c.Front())
}

// Hold gives the force to hold against, lbf: mean and one tooth. The force at an instant is that of
// the teeth in the cut, and jumps where their number changes. A sum of samples of a curve with one
// hump is never more than its integral over their spacing and its peak, so this is never less than
// the worst instant, and it rises with the width without a jump.
func (c Milling) Hold(kc float64) float64 { return c.Mean(kc) + float64(c.Tooth(kc)) }

// Push is what the cut does to the work over a turn, lbf: X ahead on the cutter's way over the
// work, against the table's feed; Y to its left.
type Push struct {
	X, Y       float64 // mean
	XLow, XTop float64
	Rim, Worst float64 // most at an instant: the forces along the rim added up, and the resultant
}

// Pushes follows the teeth through a pitch. Of each tooth, with Ft = kc ap fz sin phi along the rim
// and Fr = 0.4 Ft toward the middle:
//
//	X = Ft cos phi + Fr sin phi,  Y = -Ft sin phi + Fr cos phi
func (c Milling) Pushes(kc float64) Push {
	enters, leaves := c.Arc()
	one := float64(kc*c.Depth) * c.PerTooth()
	pitch := 2 * math.Pi / c.Teeth
	s1, c1 := math.Sincos(enters)
	s2, c2 := math.Sincos(leaves)
	cross := float64((float64(s2*s2) - float64(s1*s1)) / 2)                           // of sin cos
	square := float64((leaves-enters)/2) - float64((float64(s2*c2)-float64(s1*c1))/2) // of sin^2
	p := Push{X: one / pitch * (cross + float64(radial*square)), Y: one / pitch * (float64(radial*cross) - square),
		XLow: math.Inf(1), XTop: math.Inf(-1)}
	// at looks at the teeth from first on, a pitch apart, up to the place they leave at.
	at := func(first, last float64) {
		rim, x, y := 0.0, 0.0, 0.0
		for phi := first; phi <= last; phi += pitch {
			s, q := math.Sincos(phi)
			f := float64(one * s)
			rim += f
			x += float64(f*q) + float64(radial*f*s)
			y += float64(radial*f*q) - float64(f*s)
		}
		p.XLow, p.XTop = min(p.XLow, x), max(p.XTop, x)
		p.Rim, p.Worst = max(p.Rim, rim), max(p.Worst, math.Hypot(x, y))
	}
	const steps, hair = 180, 1e-9
	for i := range steps {
		at(enters+float64(pitch*float64(i)/steps), leaves+hair)
	}
	at(enters+pitch, leaves+hair) // the next tooth is not in yet
	last := enters + math.Mod(leaves-enters, pitch)
	at(last, leaves+hair) // one is about to leave
	at(last, leaves-hair) // and has left
	return p
}
