package joint

import (
	"math"

	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

const (
	mm  = 25.4              // the inch in millimetres, exact
	ksi = 6.894757293168361 // one ksi in MPa
)

// Bolt is a stud or bolt: its sizes in inches and square inches, its strengths
// in ksi.
type Bolt struct {
	D      float64 // nominal diameter, in
	Pitch  float64 // in
	Pitch2 float64 // basic pitch diameter, in
	Core   float64 // root of the stud's thread, in
	Area   float64 // tensile stress area, in2
	Proof  float64 // proof strength, ksi
	Yield  float64 // ksi
	Su     float64 // tensile strength, ksi
}

// ProofLoad gives the proof load in lbf: proof strength x stress area
// (SAE J429 and ISO 898-1, proof load).
func (b *Bolt) ProofLoad() float64 { return b.Proof * 1000 * b.Area }

// ShearLoad gives the load in lbf at which the threads shear across on one
// plane: 0.60 Su At (AISC specification and NASA RP-1228 take about 0.6 Su).
func (b *Bolt) ShearLoad() float64 { return .60 * b.Su * 1000 * b.Area }

// Size fills in a bolt's sizes from its thread.
func Size(t thread.Thread) Bolt {
	u := worksheet.Either(t.System == thread.ISO, mm, 1.0)
	basic := t.Basic()
	b := Bolt{D: t.D / u, Pitch: t.Pitch / u, Pitch2: basic.Pitch / u, Core: basic.Core / u,
		Area: t.StressArea() / float64(u*u)}
	if l, err := t.ExternalLimits(); err == nil && t.System == thread.Unified {
		b.Core = l.Minor.Max // rounded root, B1.1 section 8
	}
	return b
}

// band is one strength of a grade over a range of diameters. Inch grades hold
// in and ksi, metric classes mm and MPa.
type band struct {
	grade               string
	over, upto          float64
	proof, yield, tensi float64
}

// inchBands: SAE J429, mechanical requirements; A307 and A574 are ASTM bolts,
// A574 by the mechanical requirements a bolt supplier reprints.
var inchBands = [...]band{
	{"sae1", .24, 1.51, 33, 36, 60},
	{"sae2", .24, .76, 55, 57, 74}, {"sae2", .76, 1.51, 33, 36, 60},
	{"sae4", .24, 1.51, 65, 100, 115},
	{"sae5", .24, 1.01, 85, 92, 120}, {"sae5", 1.01, 1.51, 74, 81, 105},
	{"sae8", .24, 1.51, 120, 130, 150},
	{"a574", 0, .51, 140, 153, 180}, {"a574", .51, 1.51, 135, 153, 170},
	{"rod", 0, 4.01, 33, 36, 60},
}

// isoBands: ISO 898-1:2013 table 3, minimum values; 4.8 and 5.8 have their
// stress at 0.0048 d in place of a yield strength.
var isoBands = [...]band{
	{"4.6", 0, 39.1, 225, 240, 400},
	{"4.8", 0, 16.1, 310, 340, 420},
	{"5.8", 0, 24.1, 380, 420, 520},
	{"8.8", 0, 16.1, 580, 640, 800}, {"8.8", 16.1, 39.1, 600, 660, 830},
	{"10.9", 0, 39.1, 830, 940, 1040},
	{"12.9", 0, 39.1, 970, 1100, 1220},
	{"rod", 0, 100, 225, 240, 400},
}

// Grade gives the bolt of a thread in a grade, "sae5" or "8.8"; a grade of the other system, or one
// that does not reach the diameter, is not found. An inch thread in an ISO 898-1 class gets that
// class's stresses, as studs are sold, if its diameter is in the class's range.
func Grade(t thread.Thread, grade string) (Bolt, bool) {
	b := Size(t)
	if t.System == thread.Unified {
		for _, r := range inchBands {
			if r.grade == grade && b.D > r.over && b.D <= r.upto {
				b.Proof, b.Yield, b.Su = r.proof, r.yield, r.tensi
				return b, true
			}
		}
	}
	d := b.D * mm
	for _, r := range isoBands {
		if r.grade == grade && d > r.over && d <= r.upto {
			b.Proof, b.Yield, b.Su = r.proof/ksi, r.yield/ksi, r.tensi/ksi
			return b, true
		}
	}
	return b, false
}

// Tension gives the tension in lbf that a torque in lbf-in pulls a bolt to:
// F = T/(K D) (Shigley eq. 8-27, turned round).
func (b *Bolt) Tension(torque, k float64) float64 { return torque / float64(k*b.D) }

// Torque gives the torque in lbf-in for a tension in lbf: T = K F D.
func (b *Bolt) Torque(tension, k float64) float64 { return float64(k*tension) * b.D }

// TorqueLong gives the torque in lbf-in from the friction of thread and nut
// apart: F [ d2/2 (tan l + ft sec a)/(1 - ft tan l sec a) + fb dm/2 ], with the
// flank angle a of 30 degrees and dm the mean diameter the nut turns on
// (Shigley eq. 8-26; VDI 2230 has the same with small angles).
func (b *Bolt) TorqueLong(tension, ft, fb, dm float64) float64 {
	const secant = 1.1547005383792515 // 1/cos 30
	lead := b.Pitch / float64(math.Pi*b.Pitch2)
	turn := (lead + float64(ft*secant)) / (1 - float64(float64(ft*lead)*secant))
	return tension * (float64(b.Pitch2/2*turn) + float64(fb*dm/2))
}

// Preload is a tension and how far it may be off.
type Preload struct {
	Aim float64 // lbf
	Min float64 // lbf: scattered low and settled
	Max float64 // lbf: scattered high
}

// Scattered spreads a tension by the scatter s of the way it was tightened and subtracts the
// settling on the low side: Fmin = (1 - s)(1 - settle) F, Fmax = (1 + s) F (NSTS 08307, maximum and
// minimum preload).
func Scattered(aim, s, settle float64) Preload {
	return Preload{Aim: aim, Min: aim * float64((1-s)*(1-settle)), Max: aim * (1 + s)}
}

// AtYield gives the tension in lbf at which tension and twist together load a bolt to a share of
// its yield strength while it is tightened, at a friction of its thread (VDI 2230, assembly
// preload, from memory; the published torque list it is checked against agrees):
//
//	FM = nu Rp A0/sqrt(1 + 3 [(3/2)(d2/d0)(P/(pi d2) + 1.155 mu)]^2),  d0 = (d2 + d3)/2
func (b *Bolt) AtYield(share, mu float64) float64 {
	d0 := (b.Pitch2 + b.Core) / 2
	turn := 1.5 * b.Pitch2 / d0 * (b.Pitch/float64(math.Pi*b.Pitch2) + float64(1.155*mu))
	return share * b.Yield * 1000 * math.Pi / 4 * float64(d0*d0) / math.Sqrt(1+float64(3*float64(turn*turn)))
}

// Landing gives the stress in ksi that a part resting on a loose stud bends it with, its weight on
// this stud acting at a distance from the plate: 32 F a/(pi d3^3).
func (b *Bolt) Landing(weight, out float64) float64 {
	return 32 * weight * out / float64(math.Pi*float64(b.Core*float64(b.Core*b.Core))) / 1000
}
