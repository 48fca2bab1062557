// Package check holds what the calculations were checked against: a value from
// outside the program, where it stands, and how close ours must come. The same
// rows are run by the tests and shown in the app, so that a sceptical user can
// see value, expected value and source on the phone itself.
package check

import "math"

// Provenance says where an expected value comes from.
type Provenance string

// The provenances, strongest first.
const (
	Published   Provenance = "published"           // printed in the source named
	Exact       Provenance = "exact by definition" // follows from a definition the source gives
	Independent Provenance = "second way"          // computed by another method or library
	Practice    Provenance = "common practice, no published source"
	Memory      Provenance = "from memory" // the source is named but could not be looked up
)

// Check is one comparison: Got computes our value in Unit, which must lie
// within Tol of Want.
type Check struct {
	What       string
	Got        func() float64
	Want, Tol  float64
	Unit       string
	Source     string
	Provenance Provenance
}

// Proof is what one worksheet was checked against. The rooms' proofs are no
// part of calc.wasm (their files say !js): the phone shows the list that the
// build works out.
type Proof struct {
	Sheet string
	Rows  []Check
}

// Outcome is a check that was run.
type Outcome struct {
	Check
	Value float64
	Pass  bool
}

// Run computes our value and compares it. A value that is not a number fails.
func (c Check) Run() Outcome {
	v := c.Got()
	return Outcome{Check: c, Value: v, Pass: math.Abs(v-c.Want) <= c.Tol}
}
