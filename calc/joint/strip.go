package joint

import (
	"math"
	"strings"

	"datumbook/calc/engage"
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// Strip is the load at which a thread strips, reckoned four ways for the hole and once for the
// stud. Loads are in lbf.
type Strip struct {
	Half   float64 // (a) half the tensile strength: FED-STD-H28/2B, ASME B1.1 appendix B
	VDI    float64 // (b) shear ratio of the metal, Alexander's factors: VDI 2230
	Shear  float64 // (c) the metal's own shear strength
	Rough  float64 // (d) a third of it on the pitch cylinder: NASA RP-1228, for poor holes
	Stud   float64 // the stud's thread, 0.6 of its tensile strength and the factors
	Rs     float64 // strength of the hole's thread over the stud's
	Ratio  float64 // shear over tensile strength in (b)
	Length float64 // of thread counted, in
	Limit  float64 // what the hole may be loaded to
	Way    string  // the letter of the way that sets it
	engage.Strength
}

// countedMost is how much thread shares a load, in diameters: beyond it the turns at the face carry
// what there is. Common practice, no published source.
const countedMost = 2

// Stripped gives the loads at which a length of thread strips in a hole's metal. The limit is, in
// grey iron of unknown class, the smaller of (a) and (d), which agree within a tenth there; where
// the class is known, (b) over 1.5; in other metals (a). Common practice, no published source. A
// boss narrower than 1.4 diameters has no published factor and is refused.
func Stripped(t thread.Thread, tensile float64, h *Hole, length float64) (Strip, *worksheet.InputError) {
	joint := engage.Joint{Thread: t, Bolt: tensile * 1000, Tensile: h.Metal.Tensile, Shear: h.Metal.Shear,
		Hole: h.Minor}
	e, f := engage.Length(joint)
	if f != nil {
		return Strip{}, f
	}
	c1 := 1.0
	if h.Wall > 0 {
		over := h.Wall / t.Inches(t.D)
		if over < 1.4-1e-9 {
			return Strip{}, worksheet.Refuse("wall",
				"the metal around the hole is less than a fifth of the thread's diameter thick. It bursts before "+
					"it strips: do not tighten there.")
		}
		c1 = C1(over)
	}
	s := Strip{Strength: e, Length: min(length, countedMost*t.Inches(t.D)), Ratio: shearRatio(h.Metal.Key)}
	hole, stud := e.Internal*s.Length, e.External*s.Length
	s.Rs = float64(s.Ratio*h.Metal.Tensile*e.Internal) / float64(600*tensile*e.External)
	s.Half = h.Metal.Tensile / 2 * hole
	s.VDI = s.Ratio * h.Metal.Tensile * hole * c1 * C3(s.Rs)
	s.Shear = h.Metal.Shear * hole
	s.Rough = e.PullOut(s.Length)
	s.Stud = 600 * tensile * stud * c1 * C2(s.Rs)
	s.Limit, s.Way = s.Half, "a"
	switch grey := strings.HasPrefix(h.Metal.Key, "grey"); {
	case grey && h.Known:
		s.Limit, s.Way = s.VDI/1.5, "b"
	case grey && s.Rough < s.Half:
		s.Limit, s.Way = s.Rough, "d"
	}
	return s, nil
}

// shearRatio is the shear over the tensile strength of a metal: 0.9 of iron, 0.7 of aluminium, 0.6
// of steel (VDI 2230, table, from memory) and of bronze.
func shearRatio(metal string) float64 {
	switch {
	case strings.HasPrefix(metal, "grey"), strings.HasPrefix(metal, "ductile"):
		return .9
	case strings.HasPrefix(metal, "al"):
		return .7
	}
	return .6
}

// C1 is the loss by the wall spreading, for a width of the boss or nut over the diameter (E. M.
// Alexander, SAE paper 770420, from memory; the three curves meet where they join).
func C1(over float64) float64 {
	if over >= 1.9 {
		return 1
	}
	return float64(3.8*over) - float64(over*over) - 2.61
}

// C2 is the loss of the stud's thread by bending of the threads, for the strength of the hole's
// thread over the stud's; past 2.2, where the paper ends, its last value.
func C2(rs float64) float64 {
	if rs <= 1 {
		return .897
	}
	return series(min(rs, 2.2), .9353, -6.057, 14.107, -13.682, 5.594)
}

// C3 is the loss of the hole's thread; below 0.4, where the paper ends, the same curve, which falls
// and so errs to the safe side.
func C3(rs float64) float64 {
	if rs >= 1 {
		return .897
	}
	return series(rs, 1.296, -2.896, 1.769, .728)
}

// series is a polynomial by Horner's rule, highest power first.
func series(x float64, c ...float64) (y float64) {
	for _, a := range c {
		y = float64(y*x) + a
	}
	return y
}

// Common is the least that a stud's hole bears as holes are usually made: half a diameter of thread
// in grey iron of the weakest class, in lbf. It limits what is said of a hole nobody described.
func Common(t thread.Thread, tensile float64) float64 {
	m, _ := engage.FindMetal("grey20")
	s, f := Stripped(t, tensile, &Hole{Metal: m}, t.Inches(t.D)/2)
	if f != nil {
		return math.Inf(1)
	}
	return s.Limit
}
