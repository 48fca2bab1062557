// Package shelftest draws random inputs for any worksheet from its description,
// for the tests that run all worksheets together.
package shelftest

import (
	"strconv"
	"strings"

	"pgregory.net/rapid"

	"datumbook/calc/sheet"
)

// Pairs draws inputs of a worksheet: what is required and some of the rest,
// mostly within the limits and now and then nonsense.
func Pairs(s *sheet.Sheet) *rapid.Generator[[]sheet.Pair] {
	return rapid.Custom(func(t *rapid.T) []sheet.Pair {
		var pairs []sheet.Pair
		for i := range s.Inputs {
			in := &s.Inputs[i]
			if in.Required || rapid.Bool().Draw(t, "given") {
				pairs = append(pairs, sheet.Pair{Key: in.Key, Text: drawText(t, in)})
			}
		}
		return pairs
	})
}

// drawText draws what a user might type into an input: mostly sense, sometimes
// not.
func drawText(t *rapid.T, in *sheet.Input) string {
	if rapid.IntRange(0, 29).Draw(t, "nonsense") == 0 {
		return rapid.String().Draw(t, "text")
	}
	if len(in.Words) > 0 && rapid.IntRange(0, 3).Draw(t, "word") == 0 {
		return rapid.SampledFrom(in.Words).Draw(t, "which").Key
	}
	switch in.Kind {
	case sheet.Choice:
		return rapid.SampledFrom(in.Options).Draw(t, "option").Key
	case sheet.Choices:
		return rapid.SampledFrom(in.Options).Draw(t, "a").Key + "," + rapid.SampledFrom(in.Options).Draw(t, "b").Key
	case sheet.Flag:
		return rapid.SampledFrom([]string{"yes", "no"}).Draw(t, "flag")
	case sheet.Thread:
		return rapid.SampledFrom([]string{"5/8-11", "M12", "1/4-20 UNC-3B", "10-24", "M3", "2-1/2-4", "M64x6", "1-8", "M20x1.5-6G", "0-80"}).Draw(t, "thread")
	case sheet.Text:
		return rapid.StringMatching(`[a-z]{0,12}`).Draw(t, "text")
	case sheet.List, sheet.Table:
		rows := rapid.IntRange(0, 8).Draw(t, "rows")
		var out []string
		for range rows {
			var cells []string
			for _, c := range in.Columns {
				cells = append(cells, drawNumber(t, c.Kind, c.Min, c.Max, c.Options))
			}
			out = append(out, strings.Join(cells, ","))
		}
		return strings.Join(out, ";")
	}
	return drawNumber(t, in.Kind, in.Min, in.Max, nil)
}

// drawNumber draws a number, by preference at or between its limits.
func drawNumber(t *rapid.T, k sheet.Kind, low, high string, options []sheet.Option) string {
	switch {
	case len(options) > 0:
		return rapid.SampledFrom(options).Draw(t, "option").Key
	case k == sheet.Text:
		return "a"
	case k == sheet.Thread:
		return "1/2-13"
	}
	var choices []string
	for _, s := range []string{low, high} {
		if s != "" {
			choices = append(choices, s)
		}
	}
	a, unitA := leading(low)
	b, _ := leading(high)
	if low == "" {
		a = -100
	}
	if high == "" {
		b = a + 200
	}
	between := a + (b-a)*rapid.Float64Range(0, 1).Draw(t, "between")
	small := a + (b-a)*rapid.Float64Range(0, .02).Draw(t, "small")
	if k == sheet.Count {
		between, small = float64(int(between)), float64(int(small))
	}
	for _, x := range []float64{between, small, between, small, small} {
		choices = append(choices, strconv.FormatFloat(x, 'f', 6, 64)+unitA)
	}
	if k == sheet.Count {
		choices = append(choices[:len(choices)-5], strconv.Itoa(int(between)), strconv.Itoa(int(small)))
	}
	return rapid.SampledFrom(choices).Draw(t, "number")
}

// leading splits "0.01 in" into its number and " in".
func leading(s string) (float64, string) {
	num, unit, _ := strings.Cut(s, " ")
	x, _ := strconv.ParseFloat(num, 64)
	if unit != "" {
		unit = " " + unit
	}
	return x, unit
}
