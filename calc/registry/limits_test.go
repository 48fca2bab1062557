package registry_test

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"datumbook/calc/registry"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// limit is a number of a worksheet that is turned up until the answer's mark changes.
type limit struct {
	sheet    string
	key      string // of the input that is turned
	from, to float64
	unit     string
	shows    string           // the worked line
	limit    float64          // the number it shows at the limit
	tol      float64          // how near; 0 for a thousandth
	rest     []worksheet.Pair // the other inputs, in place of the example's
}

func with(pairs ...string) []worksheet.Pair {
	var out []worksheet.Pair
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, worksheet.Pair{Key: pairs[i], Text: pairs[i+1]})
	}
	return out
}

var limits = []limit{
	{sheet: "accept", key: "size", from: 2.0004, to: 2.0009, unit: " in", shows: "Inside by", limit: .0002},
	{sheet: "accept", key: "size", from: 2.0001, to: 2.0009, unit: " in", shows: "Inside by", limit: 0, tol: 1e-6,
		rest: with("rule", "simple")},
}

// at runs the example with one input turned to a value.
func (l limit) at(t *testing.T, x float64) worksheet.Answer {
	t.Helper()
	s := l.find(t)
	pairs := slices.Clone(s.Example)
	for _, p := range append(slices.Clone(l.rest),
		worksheet.Pair{Key: l.key, Text: strconv.FormatFloat(x, 'f', 9, 64) + l.unit}) {
		at := slices.IndexFunc(pairs, func(q worksheet.Pair) bool { return q.Key == p.Key })
		if at < 0 {
			pairs = append(pairs, p)
		} else {
			pairs[at] = p
		}
	}
	a := worksheet.Run(s, units.InchSystem, pairs)
	require.Nil(t, a.Fault, "%s %s=%v: %v", l.sheet, l.key, x, a.Fault)
	return a
}

func (l limit) find(t *testing.T) *worksheet.Sheet {
	t.Helper()
	for _, s := range registry.All() {
		if s.Name == l.sheet {
			return s
		}
	}
	require.FailNow(t, "no worksheet "+l.sheet)
	return nil
}

// Between two inputs whose marks differ, bisection ends at a limit that is printed: there a worked
// line has the limit as its result, and at either end it does not.
func TestMarksChangeAtAPrintedLimit(t *testing.T) {
	for _, l := range limits {
		t.Run(l.sheet+" "+l.key+" "+l.shows, func(t *testing.T) {
			low, high := l.from, l.to
			first, last := l.at(t, low), l.at(t, high)
			require.NotEqual(t, first.Mark(), last.Mark(), "%s / %s", first.Text("verdict"), last.Text("verdict"))
			for range 60 {
				if middle := low + (high-low)/2; l.at(t, middle).Mark() == first.Mark() {
					low = middle
				} else {
					high = middle
				}
			}
			t.Logf("%s to %s at %v", first.Mark(), last.Mark(), low)
			require.True(t, l.printed(l.at(t, low)), "at %v: %s\n%v", low, l.at(t, low).Text("verdict"), l.at(t, low).Lines())
			require.False(t, l.printed(first))
			require.False(t, l.printed(last))
		})
	}
}

var anyNumber = regexp.MustCompile(`\d*\.?\d+`)

// printed says whether the worked line has the limit as its result.
func (l limit) printed(a worksheet.Answer) bool {
	for _, line := range a.Lines() {
		if line.What != l.shows {
			continue
		}
		for _, m := range anyNumber.FindAllString(line.Result, -1) {
			if x, err := strconv.ParseFloat(m, 64); err == nil &&
				math.Abs(x-l.limit) <= max(l.tol, 1e-3*worksheet.Either(l.tol == 0, l.limit, 0)) {
				return true
			}
		}
	}
	return false
}
