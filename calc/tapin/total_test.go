package tapin

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestTotal(t *testing.T) {
	assert.Empty(t, tapSheet.CheckFields())
	for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
		a := worksheet.Run(&tapSheet, sys, tapSheet.Example)
		require.Nil(t, a.Fault, "%v", a.Fault)
		require.NotEmpty(t, a.Lines())
	}
	answered := 0
	rapid.Check(t, func(t *rapid.T) {
		in := registrytest.Pairs(&tapSheet).Draw(t, "inputs")
		a := worksheet.Run(&tapSheet, units.System(rapid.IntRange(0, 1).Draw(t, "system")), in)
		if a.Fault == nil {
			answered++
			return
		}
		require.NotContains(t, a.Fault.Message, "could not be worked out", "%v", in)
	})
	t.Logf("answered %d", answered)
	assert.Greater(t, answered, 20)
}
