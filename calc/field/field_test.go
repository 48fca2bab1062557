package field_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/field"
	"datumbook/calc/jobbook"
	"datumbook/calc/registry"
	"datumbook/calc/units"
)

// every visits all fields and columns of all worksheets and kinds of record.
func every(visit func(where string, f *field.Field)) {
	var all func(where string, fields []field.Field)
	all = func(where string, fields []field.Field) {
		for i := range fields {
			at := where + "." + fields[i].Key
			visit(at, &fields[i])
			all(at, fields[i].Columns)
		}
	}
	for _, s := range registry.All() {
		all(s.Name, s.Inputs)
	}
	for _, k := range jobbook.Kinds {
		all(k.Key, k.Fields)
	}
}

// TestLimits: every limit is itself taken, in both systems of units, though limits and typed text
// have different parsers; values beyond it are refused in a sentence that names it.
func TestLimits(t *testing.T) {
	seen := 0
	every(func(where string, f *field.Field) {
		for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
			r := f.Range(sys)
			unit, _ := f.Unit(sys)
			for limit, beyond := range map[string]float64{f.Min: -1, f.Max: 1} {
				if limit == "" {
					continue
				}
				seen++
				n, fault := r.Number(limit)
				require.Nil(t, fault, "%s: %s in %s", where, limit, unit.Name)
				_, fault = r.Number(strconv.FormatFloat(n.Value+beyond, 'f', -1, 64) + n.Unit.Name)
				require.NotNil(t, fault, "%s: beyond %s", where, limit)
				assert.Contains(t, fault.Says, " than "+limit+",", where)
			}
		}
	})
	require.Greater(t, seen, 2000)
}

// TestOtherUnitMeant: a length without a unit that is too large as inches, or too small as
// millimetres, is refused with the question whether the other unit was meant.
func TestOtherUnitMeant(t *testing.T) {
	f := field.Field{Key: "high", Label: "Height", Kind: field.Length, Min: "0.01 in", Max: "40 in"}
	for _, row := range []struct {
		sys  units.System
		text string
		asks string
	}{
		{units.InchSystem, "50", "Or was 50 mm meant?"}, {units.MetricSystem, ".2", "Or was .2 in meant?"},
		{units.InchSystem, "50 in", ""}, {units.InchSystem, "5000", ""}, {units.InchSystem, "0", ""},
	} {
		r := f.Range(row.sys)
		_, fault := r.Number(row.text)
		require.NotNil(t, fault, row.text)
		if row.asks == "" {
			assert.NotContains(t, fault.Error(), "meant")
		} else {
			assert.Contains(t, fault.Error(), row.asks)
		}
	}
}
