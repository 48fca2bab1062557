//go:build !js

package registry

import (
	"strconv"

	"datumbook/calc/align"
	"datumbook/calc/bench"
	"datumbook/calc/chain"
	"datumbook/calc/check"
	"datumbook/calc/cleanup"
	"datumbook/calc/cut"
	"datumbook/calc/engage"
	"datumbook/calc/field"
	"datumbook/calc/fits"
	"datumbook/calc/head"
	"datumbook/calc/hold"
	"datumbook/calc/hole"
	"datumbook/calc/locate"
	"datumbook/calc/match"
	"datumbook/calc/reach"
	"datumbook/calc/tapin"
	"datumbook/calc/uncertainty"
	"datumbook/calc/weigh"
)

// proofs lists the worksheets' checks. It is not part of calc.wasm: the build runs the checks and
// stores the outcomes with the app.
var proofs = []func() []check.Proof{
	reach.Checks,
	hold.Checks,
	match.Checks,
	cut.Checks,
	hole.Checks,
	engage.Checks,
	align.Checks,
	head.Checks,
	tapin.Checks,
	chain.Checks,
	locate.Checks,
	cleanup.Checks,
	fits.Checks,
	weigh.Checks,
	bench.Checks,
	uncertainty.Checks,
}

// Outcome is one worksheet check that was run.
type Outcome struct {
	Sheet string
	check.Outcome
}

// Checks runs all checks, in the order of the worksheets.
func Checks() []Outcome {
	var all []check.Proof
	for _, room := range proofs {
		all = append(all, room()...)
	}
	var out []Outcome
	for _, s := range All() {
		for _, p := range all {
			if p.Sheet != s.Name {
				continue
			}
			for _, c := range p.Rows {
				out = append(out, Outcome{s.Name, c.Run()})
			}
		}
	}
	return out
}

// ChecksJSON runs all checks and writes them for the app's page: an array of
// {sheet, what, expected, got, tolerance, unit, source, provenance, pass}.
func ChecksJSON() []byte {
	w := &field.Writer{}
	w.Open('[')
	for _, o := range Checks() {
		num := func(key string, x float64) { w.Text(key, strconv.FormatFloat(x, 'g', 9, 64)) }
		w.Open('{')
		w.Text("sheet", o.Sheet)
		w.Text("what", o.What)
		num("expected", o.Want)
		num("got", o.Value)
		num("tolerance", o.Tol)
		w.Text("unit", o.Unit)
		w.Text("source", o.Source)
		w.Text("provenance", string(o.Provenance))
		w.Key("pass")
		w.Put(strconv.AppendBool(w.B, o.Pass))
		w.End('}')
	}
	w.End(']')
	return w.B
}
