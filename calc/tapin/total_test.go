package tapin

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/quantity"
	"datumbook/calc/sheet"
	"datumbook/calc/shelf/shelftest"
)

func TestTotal(t *testing.T) {
	assert.Empty(t, tapSheet.CheckFields())
	for _, sys := range []quantity.System{quantity.InchSystem, quantity.MetricSystem} {
		a := sheet.Run(&tapSheet, sys, tapSheet.Example)
		require.Nil(t, a.Fault, "%v", a.Fault)
		require.NotEmpty(t, a.Lines())
		t.Log(a.Text("verdict"))
		t.Log(a.Text("history"))
		for _, l := range a.Lines() {
			t.Log(l)
		}
	}
	answered := 0
	rapid.Check(t, func(t *rapid.T) {
		in := shelftest.Pairs(&tapSheet).Draw(t, "inputs")
		a := sheet.Run(&tapSheet, quantity.System(rapid.IntRange(0, 1).Draw(t, "system")), in)
		if a.Fault == nil {
			answered++
			return
		}
		require.NotContains(t, a.Fault.Message, "could not be worked out", "%v", in)
	})
	t.Logf("answered %d", answered)
	a := sheet.Run(&tapSheet, quantity.InchSystem, []sheet.Pair{{Key: "mode", Text: "head"}, {Key: "sweeps", Text: ".003, -.0005, -.001, .0005; .0003,0,-.0001,.0002"}, {Key: "span", Text: "10"}})
	t.Log(a.Fault, a.Text("verdict"), a.Text("history"), a.Cautions())
}
