package worksheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/units"
)

// A bare number is asked about only where the other unit alone makes sense: 25.4 times as large or
// as small, and then within what is sensible.
func TestAskUnit(t *testing.T) {
	s := &Sheet{Name: "ask", Inputs: []Input{
		{Key: "thick", Label: "Thickness", Kind: Length, Min: "0.001 in", Max: "400 in"},
		{Key: "at", Label: "Places", Kind: Table, MaxRows: 9, Columns: []Column{
			{Key: "x", Label: "X", Kind: Length, Min: "-400 in", Max: "400 in"},
			{Key: "y", Label: "Y", Kind: Length, Min: "-400 in", Max: "400 in"}}},
	}, Results: []Result{Verdict}, Compute: func(v *Values, o *Out) *InputError {
		o.AskUnit(v, "thick", .25, 12)
		most := 0.0
		for i := range v.Rows("at") {
			x, _ := v.Cell("at", i, 0, "in")
			most = max(most, x)
		}
		o.AskUnits(v, "at", most, .25, 12)
		return nil
	}}
	for _, row := range []struct {
		sys              units.System
		key, text, means string
	}{
		{units.InchSystem, "thick", "25", "25 mm"},
		{units.InchSystem, "thick", "12", ""},
		{units.InchSystem, "thick", "12.001", "12.001 mm"},
		{units.InchSystem, "thick", "25 in", ""},
		{units.InchSystem, "thick", "25\"", ""},
		{units.InchSystem, "thick", ".02", ""},
		{units.MetricSystem, "thick", ".75", ".75 in"},
		{units.MetricSystem, "thick", "20", ""},
		{units.MetricSystem, "thick", ".75 mm", ""},
		{units.MetricSystem, "thick", "400", ""},
		{units.InchSystem, "at", "25, 1; 100, 30", "25 mm, 1 mm; 100 mm, 30 mm"},
		{units.InchSystem, "at", "25, 1\n100, 30\n", "25 mm, 1 mm\n100 mm, 30 mm"},
		{units.InchSystem, "at", "25 in, 1 in", ""},
		{units.InchSystem, "at", "5, 1", ""},
		{units.InchSystem, "at", "", ""},
	} {
		a := Run(s, row.sys, []Pair{{row.key, row.text}})
		if !assert.Nil(t, a.Fault, row.text) {
			continue
		}
		means := ""
		for _, c := range a.Cautions() {
			assert.Equal(t, row.key, c.Field)
			means = c.Means
		}
		assert.Equal(t, row.means, means, "%v %s", row.sys, row.text)
		if means != "" {
			b := Run(s, row.sys, []Pair{{row.key, means}})
			assert.Nil(t, b.Fault)
			assert.Empty(t, b.Cautions())
		}
	}
}

// What is meant as it is typed is not asked about, and only that.
func TestMeant(t *testing.T) {
	s := &Sheet{Name: "ask", Inputs: []Input{
		{Key: "wide", Label: "Width", Kind: Length, Min: "0.001 in", Max: "400 in"},
		{Key: "thick", Label: "Thickness", Kind: Length, Min: "0.001 in", Max: "400 in"},
	}, Results: []Result{Verdict}, Compute: func(v *Values, o *Out) *InputError {
		o.AskUnit(v, "wide", .25, 12)
		o.AskUnit(v, "thick", .25, 12)
		return nil
	}}
	asked := func(meant string) (out []string) {
		for _, c := range Run(s, units.InchSystem, []Pair{{"wide", "30"}, {"thick", "25"}, {Meant, meant}}).Cautions() {
			out = append(out, c.Field)
		}
		return out
	}
	assert.Equal(t, []string{"wide", "thick"}, asked(""))
	assert.Equal(t, []string{"wide"}, asked("thick"))
	assert.Empty(t, asked("wide thick"))
}
