package thread_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/thread"
)

// A row of a published table. Fields named in the differs column disagree with
// the standard's formula or tables; the test insists that they do, and by no
// more than one unit in the last place when the reason says so.
type row map[string]string

func rows(t *testing.T, name string) []row {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var list []row
	for _, rec := range all[1:] {
		r := row{}
		for i, k := range all[0] {
			r[k] = rec[i]
		}
		require.NotEmpty(t, r["source"], "%v", rec)
		require.Equal(t, r["differs"] == "", r["reason"] == "", "%v", rec)
		list = append(list, r)
	}
	return list
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}

// compare checks one printed field against a computed value and returns how
// many values it compared.
func (r row) compare(t *testing.T, field string, got float64, given bool, tol, last float64) int {
	t.Helper()
	if r[field] == "" {
		return 0
	}
	what := r["thread"] + " " + r["class"] + " " + field + ": " + r["source"]
	want := number(t, r[field])
	require.True(t, given, what)
	for _, d := range strings.Fields(r["differs"]) {
		if d != field {
			continue
		}
		off := math.Abs(got - want)
		assert.Greater(t, off, last/2, "%s: said to differ (%s) but does not", what, r["reason"])
		if strings.HasPrefix(r["reason"], "last place:") {
			assert.Less(t, off, 1.1*last, "%s: %s", what, r["reason"])
		}
		return 1
	}
	assert.InDelta(t, want, got, tol, what)
	return 1
}

func limitsOf(t *testing.T, r row) thread.Limits {
	t.Helper()
	th, err := thread.Parse(r["thread"])
	require.NoError(t, err, r["thread"])
	l, err := th.Limits(r["class"])
	require.NoError(t, err, r["thread"])
	return l
}

// The Unified limits agree exactly with print. The UNR minor diameter alone is
// allowed one unit in the last place: it is a reference dimension, and the
// tables that B1.30 replaced rounded it otherwise.
func TestUnifiedLimitsAgainstPublishedTables(t *testing.T) {
	const exact, last = 1e-9, 1e-4
	n, classes := 0, map[string]int{}
	for _, r := range rows(t, "unified.csv") {
		l := limitsOf(t, r)
		classes[r["class"]]++
		n += r.compare(t, "allow", l.Allowance, true, exact, last)
		n += r.compare(t, "major_max", l.Major.Max, l.Major.HasMax, exact, last)
		n += r.compare(t, "major_min", l.Major.Min, l.Major.HasMin, exact, last)
		n += r.compare(t, "pitch_max", l.Pitch.Max, l.Pitch.HasMax, exact, last)
		n += r.compare(t, "pitch_min", l.Pitch.Min, l.Pitch.HasMin, exact, last)
		n += r.compare(t, "minor_min", l.Minor.Min, l.Minor.HasMin, exact, last)
		tol := exact
		if l.External {
			tol = 1.1 * last
		}
		n += r.compare(t, "minor_max", l.Minor.Max, l.Minor.HasMax, tol, last)
	}
	t.Log(n, "printed Unified values, rows by class", classes)
	assert.Greater(t, n, 900)
	for _, c := range []string{"1A", "2A", "3A", "1B", "2B", "3B"} {
		assert.NotZero(t, classes[c], c)
	}
}

func TestMetricLimitsAgainstPublishedTables(t *testing.T) {
	const exact, last = 1e-9, 1e-3
	n, classes := 0, map[string]int{}
	for _, r := range rows(t, "metric.csv") {
		l := limitsOf(t, r)
		classes[r["class"]]++
		n += r.compare(t, "major_max", l.Major.Max, l.Major.HasMax, exact, last)
		n += r.compare(t, "major_min", l.Major.Min, l.Major.HasMin, exact, last)
		n += r.compare(t, "pitch_max", l.Pitch.Max, l.Pitch.HasMax, exact, last)
		n += r.compare(t, "pitch_min", l.Pitch.Min, l.Pitch.HasMin, exact, last)
		n += r.compare(t, "minor_max", l.Minor.Max, l.Minor.HasMax, exact, last)
		n += r.compare(t, "minor_min", l.Minor.Min, l.Minor.HasMin, exact, last)
	}
	t.Log(n, "printed metric values, rows by class", classes)
	assert.Greater(t, n, 400)
	for _, c := range []string{"4H", "5H", "6H", "6G", "6g", "6h", "4g6g"} {
		assert.NotZero(t, classes[c], c)
	}
}

func TestBasicDimensionsAndAreasAgainstPublishedTables(t *testing.T) {
	eights := 0
	for _, r := range rows(t, "basic.csv") {
		th, err := thread.Parse(r["thread"])
		require.NoError(t, err)
		assert.True(t, th.Standard, "%s is in the series of %s", r["thread"], r["source"])
		if strings.Contains(r["source"], "table 5c") {
			eights++
		}
		b := th.Basic()
		// Printed to four decimals.
		r.compare(t, "pitch_dia", b.Pitch, true, 5.1e-5, 1e-4)
		r.compare(t, "minor_dia", b.Minor, true, 5.1e-5, 1e-4)
		// Areas are printed to three or four figures.
		for field, got := range map[string]float64{"stress_area": th.StressArea(), "minor_area": th.MinorArea()} {
			if r[field] != "" {
				assert.InEpsilon(t, number(t, r[field]), got, 0.005, "%s %s: %s", r["thread"], field, r["source"])
			}
		}
	}
	// Table 5c lists the whole 8-thread series; ours has those and no other.
	for _, th := range thread.AllUnified() {
		if th.TPI == 8 {
			eights--
		}
	}
	assert.Zero(t, eights)
}

// Printed percentages are whole numbers and some are cut rather than rounded,
// so one per cent is allowed.
func TestPercentOfThreadAgainstPublishedTables(t *testing.T) {
	n := 0
	for _, r := range rows(t, "percent.csv") {
		th, err := thread.Parse(r["thread"])
		require.NoError(t, err)
		hole := number(t, r["hole"])
		n += r.compare(t, "percent", th.PercentOfThread(hole), true, 1, 1.2)
		assert.InDelta(t, hole, th.HoleForPercent(th.PercentOfThread(hole)), 1e-12)
	}
	assert.Equal(t, 51, n)
}
