package drill_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/drill"
)

// rows reads a table of testdata as one map per row.
func rows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var list []map[string]string
	for _, rec := range all[1:] {
		m := map[string]string{}
		for i, k := range all[0] {
			m[k] = rec[i]
		}
		require.NotEmpty(t, m["source"], "%v", rec)
		list = append(list, m)
	}
	return list
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}

func TestNumberAndLetterSizesAgainstPublishedTables(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range rows(t, "sizes.csv") {
		s, ok := drill.Lookup(r["drill"])
		require.True(t, ok, r["drill"])
		assert.Equal(t, number(t, r["inches"]), s.Inches, "%s, %s", r["drill"], r["source"])
		assert.Equal(t, r["drill"], s.Name)
		seen[s.Name] = true
	}
	// Every number and letter size has a published row.
	for _, s := range drill.All(drill.Number, drill.Letter) {
		assert.True(t, seen[s.Name], s.Name)
	}
	assert.Len(t, drill.All(drill.Number), 97)
	assert.Len(t, drill.All(drill.Letter), 26)
}

func TestSizesAreOrderedAndFoundByName(t *testing.T) {
	all := drill.All()
	for i, s := range all {
		got, ok := drill.Lookup(s.Name)
		require.True(t, ok, s.Name)
		assert.Equal(t, s, got)
		assert.InEpsilon(t, s.Inches*25.4, s.MM, 1e-15, s.Name)
		if i > 0 {
			assert.LessOrEqual(t, all[i-1].Inches, s.Inches, s.Name)
		}
	}
	n := 0
	for _, set := range drill.Sets {
		list := drill.All(set)
		for i, s := range list {
			assert.Equal(t, set, s.Set)
			if i > 0 {
				assert.Less(t, list[i-1].Inches, s.Inches, "%s %s", set, s.Name)
			}
		}
		n += len(list)
	}
	assert.Len(t, all, n)
}

func TestFractionsAndMetric(t *testing.T) {
	f := drill.All(drill.Fraction)
	assert.Equal(t, "1/64", f[0].Name)
	assert.Equal(t, "3", f[len(f)-1].Name)
	// 128 by 64ths to 2 in, 8 by 32nds to 2-1/4, 12 by 16ths to 3.
	assert.Len(t, f, 128+8+12)
	for _, c := range []struct {
		name string
		in   float64
	}{{"17/32", 0.53125}, {"27/64", 0.421875}, {"1-3/8", 1.375}, {"1 3/8", 1.375}, {"2-1/16", 2.0625}, {"1", 1}, {"E", 0.25}, {"no. 7", 0.201}, {"7 drill", 0}, {"#7 drill", 0.201}, {"letter f", 0.257}} {
		s, ok := drill.Lookup(c.name)
		assert.Equal(t, c.in != 0, ok, c.name)
		assert.Equal(t, c.in, s.Inches, c.name)
	}
	for _, c := range []struct {
		name string
		mm   float64
	}{{"10.2 mm", 10.2}, {"10.2mm", 10.2}, {"5.0 mm", 5}, {"1.25 mm", 1.25}, {"14.25 mm", 14.25}, {"39.5 mm", 39.5}} {
		s, ok := drill.Lookup(c.name)
		require.True(t, ok, c.name)
		assert.Equal(t, c.mm, s.MM, c.name)
	}
	for _, bad := range []string{"", "7", "#0", "#98", "AA", "3/7", "10.23 mm", "x mm", "2-1/64"} {
		_, ok := drill.Lookup(bad)
		assert.False(t, ok, bad)
	}
}

func TestNearest(t *testing.T) {
	s, ok := drill.Nearest(drill.All(drill.Number), 0.2015)
	require.True(t, ok)
	assert.Equal(t, "#7", s.Name)
	_, ok = drill.Nearest(nil, 1)
	assert.False(t, ok)
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(0.001, 4).Draw(t, "d")
		got, _ := drill.Nearest(drill.All(), d)
		for _, s := range drill.All() {
			if math.Abs(s.Inches-d) < math.Abs(got.Inches-d) {
				t.Fatalf("%s is nearer to %v than %s", s.Name, d, got.Name)
			}
		}
	})
}

// The mean oversize is checked against a published tap drill table that prints
// the probable mean hole beside each drill; agreement is to half a thousandth,
// which is the spread between published mean figures.
func TestMeanOversizeAgainstPublishedHoles(t *testing.T) {
	list := rows(t, "oversize.csv")
	require.Len(t, list, 36)
	for _, r := range list {
		s, ok := drill.Lookup(r["drill"])
		require.True(t, ok, r["drill"])
		require.InDelta(t, number(t, r["inches"]), s.Inches, 6e-5, r["drill"])
		o, inside := drill.UsualOversize(s.Inches)
		assert.Equal(t, s.Inches >= 1.0/16, inside)
		assert.InDelta(t, number(t, r["mean_hole"]), s.Inches+o.Mean, 5e-4, "%s, %s", r["drill"], r["source"])
	}
}

func TestOversizeTableAndEnds(t *testing.T) {
	for _, c := range []struct {
		d      float64
		o      drill.Oversize
		inside bool
	}{
		{1.0 / 16, drill.Oversize{Min: .0010, Mean: .0015, Max: .0020}, true},
		{1.0 / 4, drill.Oversize{Min: .0025, Mean: .0040, Max: .0065}, true},
		{3.0 / 4, drill.Oversize{Min: .0030, Mean: .0050, Max: .0080}, true},
		{1, drill.Oversize{Min: .0040, Mean: .0070, Max: .0090}, true},
		{1.0 / 32, drill.Oversize{Min: .0005, Mean: .00075, Max: .0010}, false},
		{2.5, drill.Oversize{Min: .0040, Mean: .0070, Max: .0090}, false},
		{0, drill.Oversize{}, false}, {math.NaN(), drill.Oversize{}, false},
	} {
		o, inside := drill.UsualOversize(c.d)
		assert.InDelta(t, c.o.Min, o.Min, 1e-12, "%v", c.d)
		assert.InDelta(t, c.o.Mean, o.Mean, 1e-12, "%v", c.d)
		assert.InDelta(t, c.o.Max, o.Max, 1e-12, "%v", c.d)
		assert.Equal(t, c.inside, inside, "%v", c.d)
	}
}

// Oversize never shrinks with diameter, and least, mean and most stay in order.
func TestOversizeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(1e-4, 4).Draw(t, "a")
		b := rapid.Float64Range(a, 4).Draw(t, "b")
		x, _ := drill.UsualOversize(a)
		y, _ := drill.UsualOversize(b)
		if !(0 < x.Min && x.Min < x.Mean && x.Mean < x.Max) {
			t.Fatal(a, x)
		}
		if y.Min < x.Min-1e-15 || y.Mean < x.Mean-1e-15 || y.Max < x.Max-1e-15 {
			t.Fatal(a, x, b, y)
		}
	})
}

func TestSetNames(t *testing.T) {
	assert.Equal(t, "metric", drill.Metric.String())
	assert.Equal(t, "fraction", drill.Fraction.String())
	assert.Equal(t, "unknown", drill.Set(9).String())
}
