package shelf_test

import (
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/quantity"
	"datumbook/calc/sheet"
	"datumbook/calc/shelf"
)

func TestDescriptions(t *testing.T) {
	seen := map[string]bool{}
	groups := map[string]bool{}
	for _, g := range shelf.Groups() {
		groups[g.Key] = true
	}
	for _, s := range shelf.All() {
		assert.Empty(t, s.CheckFields())
		assert.False(t, seen[s.Name], "two worksheets are named %s", s.Name)
		seen[s.Name] = true
		assert.True(t, groups[s.Group], "%s stands in no group", s.Name)
	}
	assert.True(t, json.Valid(shelf.Describe()))
	assert.True(t, json.Valid(shelf.ChecksJSON()))
}

// TestExamples: the inputs shown as an example work in both systems of units,
// and every worksheet shows how its numbers came about and on whose authority.
func TestExamples(t *testing.T) {
	for _, s := range shelf.All() {
		for _, sys := range []quantity.System{quantity.InchSystem, quantity.MetricSystem} {
			a := sheet.Run(s, sys, s.Example)
			if sys == quantity.InchSystem {
				require.Nil(t, a.Fault, "%s: %v", s.Name, a.Fault)
				assert.NotEmpty(t, a.Lines(), "%s shows no worked lines", s.Name)
			}
			assert.True(t, json.Valid(a.JSON()), s.Name)
		}
	}
}

func TestChecksPass(t *testing.T) {
	count := map[string]int{}
	for _, o := range shelf.Checks() {
		count[o.Sheet]++
		assert.True(t, o.Pass, "%s: %s: got %v, want %v +/- %v (%s)", o.Sheet, o.What, o.Value, o.Want, o.Tol, o.Source)
		assert.NotEmpty(t, o.Source, o.What)
		assert.NotEmpty(t, o.Provenance, o.What)
	}
	for _, s := range shelf.All() {
		assert.GreaterOrEqual(t, count[s.Name], 5, "%s is checked against fewer than five values", s.Name)
	}
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

// TestTotal runs every worksheet on random inputs in both systems: it answers
// or refuses in a sentence, never panics, and no number that is none leaves it.
func TestTotal(t *testing.T) {
	for _, s := range shelf.All() {
		t.Run(s.Name, func(t *testing.T) {
			answered := 0
			rapid.Check(t, func(t *rapid.T) {
				var pairs []sheet.Pair
				for i := range s.Inputs {
					in := &s.Inputs[i]
					if in.Required || rapid.Bool().Draw(t, "given") {
						pairs = append(pairs, sheet.Pair{Key: in.Key, Text: drawText(t, in)})
					}
				}
				sys := rapid.SampledFrom([]quantity.System{quantity.InchSystem, quantity.MetricSystem}).Draw(t, "system")
				a := sheet.Run(s, sys, pairs)
				text := a.JSON()
				require.True(t, json.Valid(text), "%s", text)
				if a.Fault != nil {
					require.NotEmpty(t, a.Fault.Message)
					require.NotContains(t, a.Fault.Message, "could not be worked out", "%v", pairs)
					return
				}
				answered++
			})
			t.Logf("%s answered %d of the random inputs", s.Name, answered)
		})
	}
}

// FuzzRun throws any text at any input. Run: go test ./calc/shelf -fuzz FuzzRun
func FuzzRun(f *testing.F) {
	f.Add("hole", "thread", "5/8-11", "depth", "3/4", "stock", ".95")
	f.Add("hole", "thread", "M12x1.75-6H", "depth", "24mm", "stock", "through")
	f.Fuzz(func(t *testing.T, name, k1, t1, k2, t2, k3, t3 string) {
		got, _, _ := shelf.Run(name, "in", []sheet.Pair{{Key: k1, Text: t1}, {Key: k2, Text: t2}, {Key: k3, Text: t3}})
		if !json.Valid(got) {
			t.Fatalf("not JSON: %s", got)
		}
	})
}

func TestPackRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var pairs []sheet.Pair
		for range rapid.IntRange(0, 5).Draw(t, "n") {
			pairs = append(pairs, sheet.Pair{Key: rapid.StringMatching(`[a-z0-9]{1,8}`).Draw(t, "k"), Text: rapid.StringMatching(`[ -~]{0,20}`).Draw(t, "t")})
		}
		require.Equal(t, pairs, shelf.Unpack(shelf.Pack(pairs)))
	})
}
