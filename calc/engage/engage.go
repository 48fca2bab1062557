// Package engage answers one question: how much thread must a screw have in a
// tapped hole so that the screw breaks before the thread strips?
//
// The shear areas and the length of engagement are those of FED-STD-H28/2B and ASME B1.1, appendix
// B. Grey iron is stronger in shear than in tension, so the tensile ratio of the standard asks for
// more thread than the iron needs; both are computed and the longer one is the answer.
package engage

import (
	"math"

	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// shearOfSteel is shear strength over tensile strength of a steel screw by the
// distortion energy theory, 1/sqrt(3).
const shearOfSteel = 0.577

// tan30 is tan 30 degrees, the flank of a 60 degree thread.
const tan30 = 0.57735

// Joint is a screw in a tapped hole. Stresses are in psi, lengths in inches.
type Joint struct {
	Thread  thread.Thread
	Bolt    float64 // tensile strength of the screw
	Tensile float64 // tensile strength of the metal that is tapped
	Shear   float64 // shear strength of the metal that is tapped
	Hole    float64 // measured minor diameter; 0 takes the largest its class allows
}

// Strength is the capacity of a joint. Lengths are in inches of full thread, areas in square
// inches, loads in pounds.
type Strength struct {
	Area      float64 // tensile stress area of the screw
	Break     float64 // load that breaks the screw
	External  float64 // shear area of the screw's thread for each inch of engagement
	Internal  float64 // shear area of the tapped thread for each inch of engagement
	Ratio     float64 // J: stress ratio of the tapped thread to the screw's
	Equal     float64 // engagement for a hole as strong as the screw
	ByTensile float64 // engagement by the tensile strengths
	ByShear   float64 // engagement by the shear strengths
	Needed    float64 // the longer of the two
	Minor     float64 // minor diameter of the hole used
	Percent   float64 // percentage of full thread that hole leaves
	Pitch     float64 // pitch of the thread
	Middle    float64 // pitch diameter, basic
	j         Joint
}

// Length computes how much full thread a joint needs.
//
//	At  = 0.7854 (D - 0.9743/n)^2                           B1.1 appendix B (1)
//	ASs = pi n LE D1max [1/(2n) + 0.57735 (d2min - D1max)]  B1.1 appendix B, screw
//	ASn = pi n LE dmin  [1/(2n) + 0.57735 (dmin - D2max)]   B1.1 appendix B, hole
//	LE  = 2 At / (ASs/LE)                                   FED-STD-H28/2B
//	J   = (ASs x tensile of screw) / (ASn x tensile of hole); above 1 take J LE
//
// The other way asks that the tapped thread bear At x tensile of the screw in
// plain shear at the hole metal's own shear strength, and the screw's thread at
// 0.577 of its tensile strength. For screws above 100,000 psi appendix B also
// gives a smaller stress area; the larger one is kept, since it asks for more
// thread. The fault names the field: thread, bolt, metal or hole.
func Length(j Joint) (Strength, *worksheet.InputError) {
	t := j.Thread
	if !(t.D > 0) || !(t.Pitch > 0) {
		return Strength{}, worksheet.Refuse("thread", "the thread is missing. Type it like 5/8-11.")
	}
	if !(j.Bolt > 0) || math.IsInf(j.Bolt, 0) {
		return Strength{}, worksheet.Refuse("bolt", "the strength of the screw must be more than nothing. Choose a grade.")
	}
	if !(j.Tensile > 0) || !(j.Shear > 0) || math.IsInf(j.Tensile+j.Shear, 0) {
		return Strength{}, worksheet.Refuse("metal", "the strength of the hole's metal must be more than nothing. Choose a metal.")
	}
	ext, err := t.ExternalLimits()
	if err != nil {
		return Strength{}, worksheet.Refuse("thread", err.Error()+".")
	}
	in, err := t.InternalLimits()
	if err != nil {
		return Strength{}, worksheet.Refuse("thread", err.Error()+".")
	}
	k := worksheet.Either(t.System == thread.ISO, 1/25.4, 1.0)
	p := k * t.Pitch
	minor, least := k*in.Minor.Max, k*in.Minor.Min
	if j.Hole > 0 {
		minor = max(j.Hole, least) // a smaller hole is opened by the tap
	}
	dmin := float64(k * ext.Major.Min)
	if minor >= dmin {
		return Strength{}, worksheet.Refuse("hole", "the hole is as large as the screw, and no thread is left in it. Measure it again; if it is so, fit an insert or the next larger thread.")
	}
	s := Strength{
		Area: k * k * t.StressArea(), Minor: minor, Percent: t.PercentOfThread(minor / k),
		Pitch: p, Middle: k * t.Basic().Pitch, j: j,
		External: ShearArea(minor, p, float64(k*ext.Pitch.Min)-minor),
		Internal: ShearArea(dmin, p, dmin-float64(k*in.Pitch.Max)),
	}
	if !(s.External > 0) || !(s.Internal > 0) {
		return Strength{}, worksheet.Refuse("thread", "the tolerances of this thread's class are larger than the thread. Take a coarser pitch or a closer class.")
	}
	s.Break = j.Bolt * s.Area
	s.Equal = 2 * s.Area / s.External
	s.Ratio = float64(s.External*j.Bolt) / float64(s.Internal*j.Tensile)
	s.ByTensile = s.Equal * max(1, s.Ratio)
	s.ByShear = s.Break / min(s.Internal*j.Shear, s.External*float64(shearOfSteel*j.Bolt))
	s.Needed = max(s.ByTensile, s.ByShear)
	return s, nil
}

// ShearArea gives the area, in square inches for each inch of engagement, in
// which a thread of pitch p shears along the cylinder of diameter d; depth is
// how far that cylinder lies from the pitch cylinder, on diameter, towards the
// thread's own root. All in inches.
//
//	pi n d [1/(2n) + 0.57735 depth]      ASME B1.1 appendix B
func ShearArea(d, p, depth float64) float64 {
	return math.Pi / p * float64(d*(float64(0.5*p)+float64(tan30*depth)))
}

// Strip gives the load, in pounds, at which a length of full thread strips: by half the tensile
// strengths, as FED-STD-H28 does, and by the shear strengths. Metal is true if by shear the tapped
// metal strips before the screw's thread.
func (s Strength) Strip(length float64) (byTensile, byShear float64, metal bool) {
	byTensile = length / 2 * min(s.External*s.j.Bolt, s.Internal*s.j.Tensile)
	hole, screw := s.Internal*s.j.Shear, s.External*float64(shearOfSteel*s.j.Bolt)
	return byTensile, length * min(hole, screw), hole <= screw
}

// PullOut gives the load, in pounds, at which a worn or roughly made tapped
// thread pulls out, by the rule of NASA RP-1228:
//
//	P = pi dm Fs L / 3
//
// dm is the pitch diameter, Fs the shear strength of the tapped metal, and the factor is a third
// instead of the half for a perfect thread.
func (s Strength) PullOut(length float64) float64 {
	return math.Pi * s.Middle * float64(s.j.Shear*length) / 3
}
