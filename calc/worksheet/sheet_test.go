package worksheet

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/field"
	"datumbook/calc/units"
)

// trial is a worksheet with one input of each sort, that returns its numbers.
func trial(compute func(v *Values, o *Out) *InputError) *Sheet {
	return &Sheet{
		Name: "trial", Title: "Trial", Question: "Does it?", Group: "none", About: []string{"A trial."},
		Inputs: []Input{
			{Key: "size", Label: "Size", Kind: Length, Min: "0.01 in", Max: "40 in", Help: "A size.", Default: "1",
				Words: []Option{{Key: "most", Label: "as much as goes"}}},
			{Key: "count", Label: "Count", Kind: Count, Min: "1", Max: "9", Help: "A count."},
			{Key: "tap", Label: "Tap", Kind: Choice, Default: "plug", Help: "A tap.",
				Options: []Option{{Key: "plug", Label: "Plug tap"}, {Key: "taper", Label: "Taper tap"}}},
			{Key: "list", Label: "Readings", Kind: List, Help: "Readings.", Columns: []Column{{Key: "y", Label: "Reading", Kind: Length}}},
			{Key: "points", Label: "Points", Kind: Table, Help: "Points.", MaxRows: 3, Columns: []Column{
				{Key: "x", Label: "X", Kind: Length, Min: "-10 in", Max: "10 in"}, {Key: "y", Label: "Y", Kind: Length, Optional: true}}},
		},
		Results: []Result{
			{Key: "out", Label: "Out", Kind: Length, Main: true},
			{Key: "angle", Label: "Angle", Kind: Angle, Digits: Digits{Inch: 2, Metric: 2}},
		},
		Sources: []Source{{Key: "practice", Title: "Common practice, no published source"}},
		Compute: compute,
	}
}

func pass(v *Values, o *Out) *InputError {
	o.Set("out", v.In("size"), "in")
	o.Work("Size", "out = size", o.Bare(v.In("size")), o.Len(v.In("size")), "practice")
	return nil
}

// The form of the answer is published: people script against it.
func TestAnswerForm(t *testing.T) {
	a := Run(trial(pass), units.InchSystem, []Pair{{"size", "19.05mm"}})
	require.Nil(t, a.Fault)
	assert.JSONEq(t, `{"worksheet":"trial",
		"inputs":{"size":{"text":"19.05mm","value":19.05,"unit":"mm"},"count":{"text":"","value":null,"unit":""},
			"tap":{"text":"plug","value":"plug","unit":""},"list":{"text":"","value":null,"unit":""},"points":{"text":"","value":null,"unit":""}},
		"results":{"out":{"text":"0.7500 in","value":0.75,"unit":"in","also":"19.050 mm"}},
		"lines":[{"what":"Size","formula":"out = size","numbers":"0.7500","result":"0.7500 in","source":"practice"}],
		"mark":"good","headline":"Out 0.7500 in","cautions":[],"sources":[{"key":"practice","title":"Common practice, no published source"}]}`, string(a.JSON()))
	a = Run(trial(pass), units.MetricSystem, []Pair{{"size", "25.4"}})
	assert.Equal(t, "25.400 mm", a.Text("out"))
	assert.Equal(t, "1.0000 in", a.Also("out"))
	a = Run(trial(pass), units.InchSystem, []Pair{{"size", "0"}})
	assert.JSONEq(t, `{"error":{"field":"size","message":"Size: '0' is less than 0.01 in, the least this takes. Type a value from 0.01 in to 40 in."},
		"headline":"Size?"}`, string(a.JSON()))
}

func TestRefusalsNameTheField(t *testing.T) {
	for _, row := range []struct{ key, text, says string }{
		{"size", "41", "more than 40 in"},
		{"size", "3/", "no bottom number"},
		{"count", "2.5", "whole number"},
		{"tap", "spiral", "plug, taper"},
		{"list", "1, 2, 3/", "number 3"},
		{"points", "1,2; 3,4,5", "row 2 has 3 values where 2 are due"},
		{"points", "1;2;3;4", "3 is the most"},
		{"points", ",2", "no X"},
		{"points", "11,0", "row 1, X"},
		{"nothing", "1", "Its inputs are size, count"},
	} {
		a := Run(trial(pass), units.InchSystem, []Pair{{row.key, row.text}})
		if assert.NotNil(t, a.Fault, row.text) {
			assert.Equal(t, row.key, a.Fault.Field)
			assert.Contains(t, a.Fault.Message, row.says)
		}
	}
	a := Run(trial(pass), units.InchSystem, []Pair{{"size", "1"}, {"size", "2"}})
	assert.Contains(t, a.Fault.Message, "given twice")
	a = Run(trial(pass), units.InchSystem, []Pair{{"points", strings.Repeat("1,1;", 9000)}})
	assert.Contains(t, a.Fault.Message, "longer than")
}

// A unit behind the last number of a list counts for all, where no other
// number carries one.
func TestLists(t *testing.T) {
	for text, want := range map[string][]float64{
		"0, 1.5, 3 thou":        {0, .0015, .003},
		"0 1.5 3 thou":          {0, .0015, .003},
		"0; 1/2; 1-3/8":         {0, .5, 1.375},
		"1 1/2, 2":              {1.5, 2},
		"1mm, 2 thou":           {1 / 25.4, .002},
		"-.001 .002 -.003":      {-.001, .002, -.003},
		"0\n1.5 thou\n0.1in":    {0, .0015, .1},
		"25.4mm":                {1},
		"1-3/8 1/2":             {1.375, .5},
		"0.1, 0.2, 0.3 in":      {.1, .2, .3},
		"10 20 30 tenths":       {.001, .002, .003},
		"1 thou, -2 thou, .005": {.001, -.002, .005},
	} {
		var got []float64
		a := Run(trial(func(v *Values, _ *Out) *InputError { got = v.List("list", "in"); return nil }), units.InchSystem, []Pair{{"list", text}})
		require.Nil(t, a.Fault, "%s: %v", text, a.Fault)
		assert.InDeltaSlice(t, want, got, 1e-12, text)
	}
}

func TestWordsAndEmptyCells(t *testing.T) {
	var word string
	var set bool
	a := Run(trial(func(v *Values, _ *Out) *InputError {
		word = v.Word("size")
		_, set = v.Cell("points", 0, 1, "in")
		return nil
	}), units.InchSystem, []Pair{{"size", "As much as goes"}, {"points", "1,"}})
	require.Nil(t, a.Fault)
	assert.Equal(t, "most", word)
	assert.False(t, set)
}

// TestNoNumberNeverLeaves: whatever a calculation returns, the answer is valid JSON without NaN or
// infinity.
func TestNoNumberNeverLeaves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64().Draw(t, "x")
		if rapid.Bool().Draw(t, "bad") {
			x = rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64}).Draw(t, "no number")
		}
		a := Run(trial(func(_ *Values, o *Out) *InputError { o.Set("angle", x, "deg"); return nil }), units.InchSystem, nil)
		require.True(t, json.Valid(a.JSON()), "%s", a.JSON())
		if math.IsNaN(x) || math.IsInf(x, 0) {
			require.NotNil(t, a.Fault)
		}
	})
}

func TestFill(t *testing.T) {
	var got string
	a := Run(trial(func(_ *Values, o *Out) *InputError {
		got = o.Fill("{len} + {in} = {s}, {2} and {lbf}", []string{"so"}, .5, .25, 1.23456, 100)
		return nil
	}), units.InchSystem, nil)
	require.Nil(t, a.Fault)
	assert.Equal(t, "0.5000 + 0.2500 in = so, 1.23 and 100.0 lbf", got)
}

// Half by definition is rounded up, whichever side of it floating point falls.
func TestRoundingOfTies(t *testing.T) {
	for _, row := range []struct {
		x      float64
		places int
		want   string
	}{{.00375, 4, "0.0038"}, {.003749999, 4, "0.0037"}, {.00374999999999999, 4, "0.0038"}, {-.00375, 4, "-0.0038"}, {2.5, 0, "3"}, {.1 + .2, 1, "0.3"}, {1e15, 4, "1000000000000000"}} {
		d, ok := units.Round(row.x, row.places)
		require.True(t, ok)
		assert.Equal(t, row.want, Decimal(d), "%v", row.x)
	}
}

// Decimal writes a rounded number as the answer would, large ones whole.
func Decimal(d units.Decimal) string {
	if d.Float() >= 1e6 {
		return d.Trim()
	}
	return d.Text()
}

// TestQuoted holds the writer of strings against encoding/json: what it writes
// reads back the same, bytes that are no UTF-8 as the replacement character.
func TestQuoted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ -~\x00-\x1f"\\]*`), rapid.Custom(func(t *rapid.T) string {
			return string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes"))
		})).Draw(t, "s")
		var back string
		require.NoError(t, json.Unmarshal(field.AppendQuoted(nil, s), &back), "%q", s)
		var want string
		text, err := json.Marshal(s)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(text, &want))
		require.Equal(t, want, back)
	})
}
