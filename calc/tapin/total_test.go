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
	assert.Greater(t, answered, 20)
}
