package registrytest

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/check"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Worksheets tests what holds of every package: its worksheets describe their fields,
// their examples answer in both systems with worked lines, and every published
// value comes out.
func Worksheets(t *testing.T, sheets []*worksheet.Sheet, proofs []check.Proof) {
	t.Helper()
	for _, s := range sheets {
		assert.Empty(t, s.CheckFields(), s.Name)
		for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
			a := worksheet.Run(s, sys, s.Example)
			require.Nil(t, a.Fault, "%s: %v", s.Name, a.Fault)
			assert.NotEmpty(t, a.Text("verdict"), s.Name)
			assert.NotEmpty(t, a.Lines(), s.Name)
		}
	}
	for _, p := range proofs {
		assert.GreaterOrEqual(t, len(p.Rows), 5, p.Sheet)
		for _, c := range p.Rows {
			o := c.Run()
			assert.True(t, o.Pass, "%s: %s: got %v, want %v within %v %s (%s)", p.Sheet, c.What, o.Value, c.Want, c.Tol, c.Unit, c.Source)
		}
	}
}

// Cautioned holds worksheets by which someone may be hurt to a caution or a note
// on every example.
func Cautioned(t *testing.T, sheets []*worksheet.Sheet) {
	t.Helper()
	for _, s := range sheets {
		assert.NotEmpty(t, worksheet.Run(s, units.InchSystem, s.Example).Cautions(), s.Name)
	}
}

// Find gives a worksheet of the package by its name.
func Find(t testing.TB, sheets []*worksheet.Sheet, name string) *worksheet.Sheet {
	t.Helper()
	for _, s := range sheets {
		if s.Name == name {
			return s
		}
	}
	require.FailNow(t, "no worksheet "+name)
	return nil
}

// Run runs a worksheet of the package in inches.
func Run(t testing.TB, sheets []*worksheet.Sheet, name string, pairs ...worksheet.Pair) worksheet.Answer {
	t.Helper()
	return worksheet.Run(Find(t, sheets, name), units.InchSystem, pairs)
}

// Answer runs a worksheet of the package on inputs written as key=text|key=text.
func Answer(t testing.TB, sheets []*worksheet.Sheet, sys units.System, name, in string) worksheet.Answer {
	t.Helper()
	var pairs []worksheet.Pair
	for _, p := range strings.Split(in, "|") {
		key, text, _ := strings.Cut(p, "=")
		pairs = append(pairs, worksheet.Pair{Key: key, Text: text})
	}
	a := worksheet.Run(Find(t, sheets, name), sys, pairs)
	require.Nil(t, a.Fault, "%v", a.Fault)
	return a
}

// Turn finds by bisection where the mark of an answer changes between two values of an input, to
// within 2e-9, and gives the answer just beyond.
func Turn(t testing.TB, low, high float64, run func(x float64) worksheet.Answer) worksheet.Answer {
	t.Helper()
	mark := run(low).Mark()
	require.NotEqual(t, mark, run(high).Mark(), "%v to %v", low, high)
	for high-low > 2e-9 {
		if m := (low + high) / 2; run(m).Mark() == mark {
			low = m
		} else {
			high = m
		}
	}
	return run(high)
}

// Worked gives the numbers and results of an answer's worked lines.
func Worked(a worksheet.Answer) string {
	all := ""
	for _, l := range a.Lines() {
		all += l.Numbers + " " + l.Result + "\n"
	}
	return all
}

// Said gives the sentences of a level.
func Said(a worksheet.Answer, level worksheet.Level) string {
	var out []string
	for _, c := range a.Cautions() {
		if c.Level == level {
			out = append(out, c.Text)
		}
	}
	return strings.Join(out, " ")
}
