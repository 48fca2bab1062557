package worksheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/units"
)

// A table with too few rows is not wrong, it is not complete: what is there may be told already, and
// the next row is asked for in words of its own.
func TestFewRows(t *testing.T) {
	s := headed(func(v *Values, o *Out) {
		o.Head("{0} read", nil, float64(v.Rows("places")))
		o.Question("Right end?")
	}, func(_ *Values, o *Out) { o.AskIn("places", "5? Or 7?", "7", "Places: were 7 meant?") })
	s.Inputs = append(s.Inputs, Input{Key: "places", Label: "Places", Kind: Table, MinRows: 2, Required: true,
		Ask: "Left end?", Columns: []Column{{Key: "x", Label: "X", Kind: Length}}})
	count := Pair{"count", "3"}
	for _, row := range []struct{ places, says, message string }{
		{"", "0 read. Right end?", "Places is missing. Fill it in."},
		{"1", "1 read. Right end?", "where at least 2 are needed. Add more."},
		{"ten", "Left end?", "row 1, X"},
	} {
		a := Run(s, units.InchSystem, []Pair{count, {"places", row.places}})
		require.NotNil(t, a.Fault)
		text, _ := a.Headline()
		assert.Equal(t, row.says, text)
		assert.Equal(t, "places", a.Fault.Field)
		assert.Contains(t, a.Fault.Message, row.message)
	}
	a := Run(s, units.InchSystem, []Pair{count, {"places", "1; 2"}})
	require.Nil(t, a.Fault, "%v", a.Fault)
	assert.Equal(t, "5? Or 7?", a.Cautions()[0].Asks)
}

// The last row of a table that is half typed is not wrong: its next cell is asked for. A gap in a row
// before it is.
func TestHalfRow(t *testing.T) {
	length := func(key, label string) Column { return Column{Key: key, Label: label, Kind: Length} }
	s := headed(func(v *Values, o *Out) {
		o.Head("{0} read", nil, float64(v.Rows("places")))
		o.Question("The next?")
	}, func(_ *Values, o *Out) {})
	s.Inputs = append(s.Inputs, Input{Key: "places", Label: "Places", Kind: Table, MinRows: 1, Required: true,
		Columns: []Column{length("x", "X"), length("y", "Y"), {Key: "z", Label: "Z", Kind: Length, Optional: true}}})
	for _, row := range []struct {
		places, says string
		open         bool
	}{
		{"3.864", "0 read. Y?", true}, {"1, 2; 3.864,", "1 read. Y?", true}, {"1, 2; , 4", "1 read. X?", true},
		{"3.864; 1, 2", "Places?", false}, {"1, 2; , four", "Places?", false}, {"1, 2; 3, 4", "", false},
	} {
		a := Run(s, units.InchSystem, []Pair{{"count", "3"}, {"places", row.places}})
		if row.says == "" {
			assert.Nil(t, a.Fault)
			continue
		}
		require.NotNil(t, a.Fault, row.places)
		text, _ := a.Headline()
		assert.Equal(t, row.says, text, row.places)
		assert.Equal(t, row.open, strings.Contains(string(a.JSON()), `"open":true`), row.places)
	}
	s.Half = nil
	a := Run(s, units.InchSystem, []Pair{{"count", "3"}, {"places", "3.864"}})
	text, _ := a.Headline()
	assert.Equal(t, "Y?", text)
}
