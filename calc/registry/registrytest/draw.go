// Package registrytest draws random inputs for any worksheet from its description,
// for the tests that run all worksheets together.
package registrytest

import (
	"strconv"
	"strings"

	"pgregory.net/rapid"

	"datumbook/calc/worksheet"
)

// Pairs draws inputs of a worksheet: most often the example with its numbers changed, else what is
// required and some of the rest within the limits, and one time in ten with invalid values.
func Pairs(s *worksheet.Sheet) *rapid.Generator[[]worksheet.Pair] {
	return rapid.Custom(func(t *rapid.T) []worksheet.Pair {
		pairs := plain(t, s)
		if rapid.IntRange(0, 9).Draw(t, "named") == 0 {
			sign := rapid.SampledFrom([]string{"{", "{s}", "{0}", "}", " {in} b"}).Draw(t, "sign")
			pairs = Named(s, pairs, sign)
		}
		return pairs
	})
}

// Named gives the inputs with the same sign behind every name, so that names that were alike stay so.
func Named(s *worksheet.Sheet, pairs []worksheet.Pair, sign string) []worksheet.Pair {
	var out []worksheet.Pair
	for _, p := range pairs {
		in, _ := s.Input(p.Key)
		out = append(out, worksheet.Pair{Key: p.Key, Text: signed(in, p.Text, sign)})
	}
	return out
}

func signed(in *worksheet.Input, text, sign string) string {
	switch in.Kind {
	case worksheet.Text:
		return text + sign
	case worksheet.Table:
		rows := strings.Split(text, ";")
		for i, row := range rows {
			cells := strings.Split(row, ",")
			for k := range min(len(cells), len(in.Columns)) {
				if c := in.Columns[k]; c.Kind == worksheet.Text && len(c.Options) == 0 && strings.TrimSpace(cells[k]) != "" {
					cells[k] += sign
				}
			}
			rows[i] = strings.Join(cells, ",")
		}
		return strings.Join(rows, ";")
	}
	return text
}

// plain draws inputs in which every name is of letters.
func plain(t *rapid.T, s *worksheet.Sheet) []worksheet.Pair {
	mode := rapid.IntRange(0, 9).Draw(t, "mode")
	if mode < 6 {
		return near(t, s)
	}
	var pairs []worksheet.Pair
	for i := range s.Inputs {
		in := &s.Inputs[i]
		if in.Required || rapid.Bool().Draw(t, "given") {
			pairs = append(pairs, worksheet.Pair{Key: in.Key, Text: drawText(t, in)})
		}
	}
	if mode == 9 && len(pairs) > 0 {
		at := rapid.IntRange(0, len(pairs)-1).Draw(t, "where")
		pairs[at].Text = rapid.String().Draw(t, "nonsense")
	}
	return pairs
}

// near draws inputs near the worksheet's example: each number up to a third
// smaller or larger, and some choices changed.
func near(t *rapid.T, s *worksheet.Sheet) []worksheet.Pair {
	var pairs []worksheet.Pair
	for i := range s.Inputs {
		in := &s.Inputs[i]
		text := ""
		for _, p := range s.Example {
			if p.Key == in.Key {
				text = p.Text
			}
		}
		switch _, quantity := in.Kind.Dim(); {
		case in.Kind == worksheet.Choice && rapid.IntRange(0, 3).Draw(t, "other") == 0:
			text = rapid.SampledFrom(in.Options).Draw(t, "option").Key
		case text == "":
			continue
		case in.Kind == worksheet.List || in.Kind == worksheet.Table:
			text = scaledCells(t, text)
		case quantity && in.Kind != worksheet.Count && in.Kind != worksheet.Drill:
			text = scaled(t, text)
		}
		pairs = append(pairs, worksheet.Pair{Key: in.Key, Text: text})
	}
	return pairs
}

// scaledCells changes the decimals of a list or table and leaves whole numbers,
// which may count things, and words as they are.
func scaledCells(t *rapid.T, text string) string {
	out, start := "", 0
	for i := 0; i <= len(text); i++ {
		if i == len(text) || text[i] == ',' || text[i] == ';' {
			cell := text[start:i]
			if strings.Contains(cell, ".") {
				cell = scaled(t, cell)
			}
			out += cell
			if i < len(text) {
				out += text[i : i+1]
			}
			start = i + 1
		}
	}
	return out
}

// scaled changes a number and keeps its unit; a fraction or a word is left.
func scaled(t *rapid.T, text string) string {
	text = strings.TrimSpace(text)
	end := 0
	for end < len(text) && (text[end] >= '0' && text[end] <= '9' || text[end] == '.' || end == 0 && text[end] == '-') {
		end++
	}
	x, err := strconv.ParseFloat(text[:end], 64)
	if err != nil || end < len(text) && (text[end] == '/' || text[end] == '-') {
		return text
	}
	return strconv.FormatFloat(x*rapid.Float64Range(.67, 1.5).Draw(t, "factor"), 'f', 5, 64) + text[end:]
}

// drawText draws what a user might type into an input.
func drawText(t *rapid.T, in *worksheet.Input) string {
	if len(in.Words) > 0 && rapid.IntRange(0, 3).Draw(t, "word") == 0 {
		return rapid.SampledFrom(in.Words).Draw(t, "which").Key
	}
	switch in.Kind {
	case worksheet.Choice:
		return rapid.SampledFrom(in.Options).Draw(t, "option").Key
	case worksheet.Choices:
		return rapid.SampledFrom(in.Options).Draw(t, "a").Key + "," + rapid.SampledFrom(in.Options).Draw(t, "b").Key
	case worksheet.Flag:
		return rapid.SampledFrom([]string{"yes", "no"}).Draw(t, "flag")
	case worksheet.Thread:
		return rapid.SampledFrom([]string{"5/8-11", "M12", "1/4-20 UNC-3B", "10-24", "M3", "2-1/2-4", "M64x6", "1-8", "M20x1.5-6G", "0-80"}).Draw(t, "thread")
	case worksheet.Text:
		return rapid.StringMatching(`[a-z]{0,12}`).Draw(t, "text")
	case worksheet.List, worksheet.Table:
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
func drawNumber(t *rapid.T, k worksheet.Kind, low, high string, options []worksheet.Option) string {
	switch {
	case len(options) > 0:
		return rapid.SampledFrom(options).Draw(t, "option").Key
	case k == worksheet.Text:
		return "a"
	case k == worksheet.Thread:
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
	if k == worksheet.Count {
		between, small = float64(int(between)), float64(int(small))
	}
	for _, x := range []float64{between, small, between, small, small} {
		choices = append(choices, strconv.FormatFloat(x, 'f', 6, 64)+unitA)
	}
	if k == worksheet.Count {
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
