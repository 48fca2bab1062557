// Package check holds the reference values of the calculations: an external value, its source, and
// the tolerance. The same rows are run by the tests and shown in the app, so that users can see
// value, expected value and source on the phone.
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

// Proof is the checks of one worksheet. The packages' checks are not in calc.wasm (their files have
// the build tag !js): the phone shows the outcomes the build computed.
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
