// Package thread reads screw thread designations and gives a thread's basic
// dimensions and limits of size: Unified inch threads by ASME B1.1 and ISO
// metric threads by ISO 965-1, right-hand and single-start. Unified threads are
// in inches and metric threads in millimetres throughout.
package thread

import (
	"math"

	"datumbook/calc/shoptext"
)

// A System is the family of standards a thread belongs to; it also fixes the
// unit of every length of that thread.
type System int

// The systems this package knows.
const (
	Unified System = iota // ASME B1.1, inches
	ISO                   // ISO 68-1, 261, 965-1, millimetres
)

// String returns "Unified" or "ISO metric".
func (s System) String() string {
	if s == ISO {
		return "ISO metric"
	}
	return "Unified"
}

// Unit returns "in" or "mm".
func (s System) Unit() string {
	if s == ISO {
		return "mm"
	}
	return "in"
}

// A Thread is one parsed designation. The zero Thread is not valid; get one from Parse, or from
// NewUnified or NewISO.
type Thread struct {
	System System
	// D is the basic major diameter, in or mm.
	D float64
	// Pitch is the distance from thread to thread, in or mm.
	Pitch float64
	// TPI is the threads per inch; 0 for a metric thread.
	TPI float64
	// Series is "UNC", "UNF", "UNEF", "UN" or "UNS"; "M" for metric.
	Series string
	// Standard says that the standard lists this diameter and pitch together:
	// ASME B1.1 standard series and selected combinations, or ISO 261. When it
	// is false the limits are computed and must be written out on the drawing.
	Standard bool
	// Coarse says that the pitch is the diameter's coarse pitch (UNC, or the
	// coarse column of ISO 261).
	Coarse bool
	// Internal and External are the classes as given, "2B", "6H", "4H5H", "2A",
	// "6g", or "" where none was given.
	Internal, External string
}

// An Error is a designation or class that cannot be used. Says is one sentence for the machinist;
// Try is a valid entry, or empty.
type Error struct{ Says, Try string }

// Error returns the sentence.
func (e *Error) Error() string { return e.Says }

// Inches turns a length in the unit of the thread's system into inches.
func (t Thread) Inches(x float64) float64 {
	if t.System == ISO {
		return x / 25.4
	}
	return x
}

// Canon makes a worksheet's check of a typed designation. Errors are the parser's sentence, which
// names what was typed once, with an example: if own is set, the one that fits the typed text.
func Canon(example string, own bool) func(text string) (string, *shoptext.ParseError) {
	return func(text string) (string, *shoptext.ParseError) {
		t, err := Parse(text)
		if err == nil {
			return t.String(), nil
		}
		try := example
		if e, ok := err.(*Error); ok && own && e.Try != "" {
			try = e.Try
		}
		says := err.Error() + "."
		if says[0] != '\'' {
			says = "'" + text + "': " + says
		}
		return text, &shoptext.ParseError{Says: says, Try: "Type it like " + try + "."}
	}
}

// InternalClass returns the class of the tapped hole: the one given, or the
// ordinary one. That is 2B, or for metric 6H, with 5H up to M1.4 and the finest
// grade there is for the few pitches that have no such grade (ISO 965-1,
// recommended tolerance classes).
func (t Thread) InternalClass() string {
	switch {
	case t.Internal != "":
		return t.Internal
	case t.System == Unified:
		return "2B"
	case t.D > 1.4 && t.has("6H"):
		return "6H"
	case t.has("5H"):
		return "5H"
	}
	return "4H"
}

// ExternalClass returns the class of the screw or stud: the one given, or the
// ordinary one, 2A, or for metric 6g, with 6h up to M1.4.
func (t Thread) ExternalClass() string {
	switch {
	case t.External != "":
		return t.External
	case t.System == Unified:
		return "2A"
	case t.D > 1.4:
		return "6g"
	}
	return "6h"
}

func (t Thread) has(class string) bool {
	_, err := t.Limits(class)
	return err == nil
}

// Profile heights as parts of the pitch, for the 60 degree form of ASME B1.1
// section 3 and ISO 68-1.
const (
	sqrt3 = 1.73205080756887729352744634150587236694
	// HeightRatio is H/P, the sharp triangle: H = 0.86602540 P.
	HeightRatio = sqrt3 / 2
	// pitchRatio: D - D2 = 2 x 3H/8 = 0.64951905 P.
	pitchRatio = 3 * sqrt3 / 8
	// minorRatio: D - D1 = 2 x 5H/8 = 1.08253175 P.
	minorRatio = 5 * sqrt3 / 8
	// unrRatio: d - d3 = 2 hs = 1.19078493 P, the rounded root of a UNR screw.
	unrRatio = 11 * sqrt3 / 16
	// coreRatio: d - d3 = 2 x 17H/24 = 1.22686932 P.
	coreRatio = 17 * sqrt3 / 24
)

// Basic is the basic profile, unrounded, in the thread's unit.
type Basic struct {
	Major float64 // D = d
	Pitch float64 // D2 = d2 = D - 0.64951905 P
	Minor float64 // D1 = d1 = D - 1.08253175 P
	Core  float64 // d3 = d - 1.22686932 P, rounded root of a metric screw
	H     float64 // height of the sharp triangle, 0.86602540 P
}

// Basic returns the thread's basic profile (ASME B1.1 section 3; ISO 68-1 and
// ISO 724).
func (t Thread) Basic() Basic {
	return Basic{
		Major: t.D,
		Pitch: t.D - float64(pitchRatio*t.Pitch),
		Minor: t.D - float64(minorRatio*t.Pitch),
		Core:  t.D - float64(coreRatio*t.Pitch),
		H:     HeightRatio * t.Pitch,
	}
}

// StressArea returns the tensile stress area of the external thread, in2 or
// mm2.
//
//	Unified: As = 0.7854 (D - 0.9743/n)^2     ASME B1.1 appendix B, FED-STD-H28/2
//	metric:  As = pi/4 ((d2 + d3)/2)^2        ISO 898-1
func (t Thread) StressArea() float64 {
	mean := t.D - float64(0.9743*t.Pitch)
	if t.System == ISO {
		b := t.Basic()
		mean = (b.Pitch + b.Core) / 2
	}
	return math.Pi / 4 * float64(mean*mean)
}

// A Span holds the limits of one diameter. A side that the standard leaves open
// has its Has flag false and its value 0.
type Span struct {
	Min, Max       float64
	HasMin, HasMax bool
}

func both(lo, hi float64) Span { return Span{Min: lo, Max: hi, HasMin: true, HasMax: true} }
func atLeast(lo float64) Span  { return Span{Min: lo, HasMin: true} }
func atMost(hi float64) Span   { return Span{Max: hi, HasMax: true} }

// Limits are the limits of size of one class, rounded as the standard prints
// them, in the thread's unit.
type Limits struct {
	Class    string
	External bool
	// Major of an internal thread has a minimum only. Minor of an external
	// thread has a maximum only, for reference: the UNR rounded root for
	// Unified, D1 less the allowance for metric.
	Major, Pitch, Minor Span
	// Allowance is how far the whole profile stands off basic: below it for an
	// external thread (es), above it for an internal one (EI). Never negative.
	Allowance float64
	// The tolerances. TolMajor is 0 for an internal thread and TolMinor is 0 for
	// an external one.
	TolMajor, TolPitch, TolMinor float64
}

// InternalLimits returns the limits of the tapped hole in InternalClass.
func (t Thread) InternalLimits() (Limits, error) { return t.Limits(t.InternalClass()) }

// ExternalLimits returns the limits of the screw in ExternalClass.
func (t Thread) ExternalLimits() (Limits, error) { return t.Limits(t.ExternalClass()) }

// Limits returns the limits of size for a class, "2B" or "6H". A class the
// thread's system does not have is an *Error.
func (t Thread) Limits(class string) (Limits, error) {
	if t.System == ISO {
		return isoLimits(t, class)
	}
	return unifiedLimits(t, class)
}
