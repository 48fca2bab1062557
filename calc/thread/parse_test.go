package thread_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/thread"
)

// Designations as ASME B1.1 section 6 and ISO 965-1 section 5 write them, and as
// they are typed in the shop (common practice, no published source).
func TestParse(t *testing.T) {
	for _, c := range []struct {
		in, out  string
		d, pitch float64
		standard bool
	}{
		{"5/8-11 UNC-2B", "5/8-11 UNC-2B", 0.625, 1.0 / 11, true},
		{"5/8-11", "5/8-11 UNC", 0.625, 1.0 / 11, true},
		{".500-13", "1/2-13 UNC", 0.5, 1.0 / 13, true},
		{"0.500-13", "1/2-13 UNC", 0.5, 1.0 / 13, true},
		{"1/2-13 UNC", "1/2-13 UNC", 0.5, 1.0 / 13, true},
		{"1/2 - 13 unc - 2b", "1/2-13 UNC-2B", 0.5, 1.0 / 13, true},
		{"1/2-13UNC-2A", "1/2-13 UNC-2A", 0.5, 1.0 / 13, true},
		{"1/2x13", "1/2-13 UNC", 0.5, 1.0 / 13, true},
		{"1/2\u201313", "1/2-13 UNC", 0.5, 1.0 / 13, true},
		{"\u00bd-13", "1/2-13 UNC", 0.5, 1.0 / 13, true},
		{"1\u00bd-6", "1-1/2-6 UNC", 1.5, 1.0 / 6, true},
		{"1/2\"-13", "1/2-13 UNC", 0.5, 1.0 / 13, true},
		{"1/2-13 NC", "1/2-13 UNC", 0.5, 1.0 / 13, true},
		{"1/2-13 UNC-2A/2B", "1/2-13 UNC-2B/2A", 0.5, 1.0 / 13, true},
		{"1/2-13-3B", "1/2-13 UNC-3B", 0.5, 1.0 / 13, true},
		{"1/2-20 UNRF-3A", "1/2-20 UNF-3A", 0.5, 1.0 / 20, true},
		{"10-24", "10-24 UNC", 0.190, 1.0 / 24, true},
		{"#10-24", "10-24 UNC", 0.190, 1.0 / 24, true},
		{"No. 10-32 UNF", "10-32 UNF", 0.190, 1.0 / 32, true},
		{"no 6-32", "6-32 UNC", 0.138, 1.0 / 32, true},
		{".190-32", "10-32 UNF", 0.190, 1.0 / 32, true},
		{"1-3/8-6", "1-3/8-6 UNC", 1.375, 1.0 / 6, true},
		{"1 3/8-6 UNC-2B", "1-3/8-6 UNC-2B", 1.375, 1.0 / 6, true},
		{"1+3/8-6", "1-3/8-6 UNC", 1.375, 1.0 / 6, true},
		{"1.375-6", "1-3/8-6 UNC", 1.375, 1.0 / 6, true},
		{".438-14", "7/16-14 UNC", 0.4375, 1.0 / 14, true},
		{".437-14", "7/16-14 UNC", 0.4375, 1.0 / 14, true},
		{".4380-14", ".4380-14 UNS", 0.438, 1.0 / 14, false},
		{"1-8", "1-8 UNC", 1, 1.0 / 8, true},
		{"1-64", "1-64 UNC", 0.073, 1.0 / 64, true},
		{"2-4.5", "2-4.5 UNC", 2, 1 / 4.5, true},
		{"2-56", "2-56 UNC", 0.086, 1.0 / 56, true},
		{"1-28 UN", "1-28 UN", 1, 1.0 / 28, true},
		{"1-8 UN", "1-8 UNC", 1, 1.0 / 8, true},
		{"1-14", "1-14 UNS", 1, 1.0 / 14, false},
		{"1-14 UNS-2B", "1-14 UNS-2B", 1, 1.0 / 14, false},
		{"2-30", "#2-30 UNS", 0.086, 1.0 / 30, false},
		{"2.000-30", "2.0000-30 UNS", 2, 1.0 / 30, false},
		{"19/64-36 UNS", "19/64-36 UNS", 0.296875, 1.0 / 36, false},
		{"M12x1.75-6H", "M12x1.75-6H", 12, 1.75, true},
		{"M12", "M12x1.75", 12, 1.75, true},
		{"m12", "M12x1.75", 12, 1.75, true},
		{"M12 x 1.25 - 6H", "M12x1.25-6H", 12, 1.25, true},
		{"M12-1.25", "M12x1.25", 12, 1.25, true},
		{"M12-6H", "M12x1.75-6H", 12, 1.75, true},
		{"m10X1", "M10x1", 10, 1, true},
		{"M 10 X 1", "M10x1", 10, 1, true},
		{"M10\u00d71", "M10x1", 10, 1, true},
		{"M10*1", "M10x1", 10, 1, true},
		{"M12x1,75", "M12x1.75", 12, 1.75, true},
		{"M12x1.75-6H/6g", "M12x1.75-6H/6g", 12, 1.75, true},
		{"M12x1.75-4g6g", "M12x1.75-4g6g", 12, 1.75, true},
		{"M2.5", "M2.5x0.45", 2.5, 0.45, true},
		{"M300x6", "M300x6", 300, 6, true},
		{"M13x1", "M13x1", 13, 1, false},
	} {
		th, err := thread.Parse(c.in)
		if !assert.NoError(t, err, c.in) {
			continue
		}
		assert.Equal(t, c.out, th.String(), c.in)
		assert.Equal(t, c.d, th.D, c.in)
		assert.Equal(t, c.pitch, th.Pitch, c.in)
		assert.Equal(t, c.standard, th.Standard, c.in)
		again, err := thread.Parse(th.String())
		require.NoError(t, err, th.String())
		assert.Equal(t, th, again, c.in)
	}
}

func TestParseRefusesInPlainWords(t *testing.T) {
	for in, says := range map[string]string{
		"":                      "missing",
		"  ":                    "missing",
		"1/4 NPT":               "taper pipe",
		"1/4-18 NPTF":           "taper pipe",
		"1/2-14 NPS":            "straight pipe",
		"G1/2":                  "pipe thread",
		"G 1/2":                 "pipe thread",
		"R3/4":                  "pipe thread",
		"Rc 1/4":                "taper pipe",
		"5/8 BSW":               "Whitworth",
		"5/8-11 bsw":            "Whitworth",
		"1/4-26 BSF":            "Whitworth",
		"Tr20x4":                "trapezoidal",
		"1/2-10 ACME":           "Acme",
		"5/8-11 UNC-2B-LH":      "left-hand",
		"M12x1.75-6H LH":        "left-hand",
		"5/8-18 UNJF-3B":        "UNJ",
		"MJ12x1.75":             "MJ",
		"2 BA":                  "47-1/2",
		"Pg 11":                 "conduit",
		"1/2-13 2 starts":       "multiple-start",
		"5/8":                   "no threads per inch",
		"5/8-":                  "cannot be read",
		"1-3/8":                 "no threads per inch",
		"5/8-13 UNC":            "11, 18, 24, 12, 16, 20, 28 and 32 threads per inch",
		"1/2-20 UNC":            "not UNC but UNF",
		"5/8-11 XYZ":            "not a Unified series",
		"5/8-11 UNC-4B":         "no class",
		"5/8-11 UNC-2B-3B":      "one class",
		"3/7-11":                "halves, quarters",
		"5/0-11":                "halves, quarters",
		"1-9/8-6":               "cannot be read",
		"#7-20":                 "no screw size",
		"7-1/2-4":               "to 6 in",
		"1/2-2":                 "3 to 100",
		"1/8-12":                "too coarse",
		".50001-13":             "four places",
		"-5/8-11":               "cannot be read",
		"5/8-1e1":               "",
		"M":                     "metric thread",
		"M13":                   "no coarse pitch",
		"M72":                   "no coarse pitch",
		"M12x1.1":               "1.75, 1.5, 1.25 or 1",
		"M12x0":                 "metric thread",
		"M12x1.75-6K":           "no class",
		"M12x1.75-6H-5H":        "one class",
		"M12x1.75-7g":           "no tolerance of class",
		"M12x1.75-6H6G":         "no class",
		"M1000x6":               "no series",
		strings.Repeat("5", 61): "at most 60",
	} {
		th, err := thread.Parse(in)
		var e *thread.Error
		if assert.ErrorAs(t, err, &e, "%q gave %v", in, th) {
			assert.Contains(t, e.Says, says, "%q", in)
			assert.False(t, strings.HasSuffix(e.Says, "."), "one sentence, no full stop: %q", e.Says)
			if e.Try != "" {
				_, err := thread.Parse(e.Try)
				assert.NoError(t, err, "%q: what it says to try must work: %q", in, e.Try)
			}
		}
		assert.Zero(t, th, "%q", in)
	}
}

// drawThread draws any thread of either system, with or without classes.
func drawThread(t *rapid.T) thread.Thread {
	var th thread.Thread
	all := append(thread.AllUnified(), thread.AllISO()...)
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		u, err := thread.NewUnified(float64(rapid.IntRange(600, 60000).Draw(t, "d"))/10000, float64(rapid.IntRange(6, 200).Draw(t, "n"))/2)
		if err != nil {
			th = all[0]
			break
		}
		th = u
	case 1:
		u, err := thread.NewUnified(float64(rapid.IntRange(4, 6*64).Draw(t, "d"))/64, float64(rapid.IntRange(3, 100).Draw(t, "n")))
		if err != nil {
			th = all[0]
			break
		}
		th = u
	default:
		th = rapid.SampledFrom(all).Draw(t, "thread")
	}
	in, ex := []string{"", "1B", "2B", "3B"}, []string{"", "1A", "2A", "3A"}
	if th.System == thread.ISO {
		in, ex = []string{"", "4H", "5H", "6H", "7H", "6G", "4H5H"}, []string{"", "6g", "6h", "4g6g", "8g", "6e", "3h4h"}
	}
	if c := rapid.SampledFrom(in).Draw(t, "in"); c != "" {
		if _, err := th.Limits(c); err == nil {
			th.Internal = c
		}
	}
	if c := rapid.SampledFrom(ex).Draw(t, "ex"); c != "" {
		if _, err := th.Limits(c); err == nil {
			th.External = c
		}
	}
	return th
}

func TestPrintThenParseGivesTheSameThread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		th := drawThread(t)
		again, err := thread.Parse(th.String())
		if err != nil || again != th {
			t.Fatalf("%s: got %+v (%v), want %+v", th, again, err, th)
		}
	})
}

func TestEveryListedThreadPrintsAndParses(t *testing.T) {
	for _, th := range append(thread.AllUnified(), thread.AllISO()...) {
		again, err := thread.Parse(th.String())
		require.NoError(t, err, th.String())
		require.Equal(t, th, again)
		require.Contains(t, th.Listed(), th)
		require.True(t, th.Standard)
	}
}

// checkParsed holds for whatever Parse accepts: it is usable, and prints to
// something that reads back the same.
func checkParsed(t *testing.T, in string) {
	th, err := thread.Parse(in)
	if err != nil {
		var e *thread.Error
		require.ErrorAs(t, err, &e)
		require.NotEmpty(t, e.Says)
		require.Zero(t, th)
		return
	}
	again, err := thread.Parse(th.String())
	require.NoError(t, err, "%q printed %q", in, th.String())
	require.Equal(t, th, again, "%q", in)
	for _, f := range []func() (thread.Limits, error){th.InternalLimits, th.ExternalLimits} {
		l, err := f()
		require.NoError(t, err, "%q", in)
		for _, x := range []float64{l.Major.Min, l.Major.Max, l.Pitch.Min, l.Pitch.Max, l.Minor.Min, l.Minor.Max, l.Allowance, l.TolPitch, th.StressArea(), th.PercentOfThread(th.D)} {
			require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%q", in)
		}
	}
}

// Run with: go test ./calc/thread -fuzz FuzzParse -fuzztime 20s
func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"5/8-11 UNC-2B", "5/8-11", ".500-13", "#10-24", "1-3/8-6", "1 3/8-6 UNC-2B", "M12x1.75-6H", "M12", "M12 x 1.25 - 6H",
		"M12-1.25", "m10X1", "1/4 NPT", "G1/2", "2-30", "1.0000-30", "\u00bd-13", "1\u00bd-6", "M12x1,75", "M12x1.75-6H/6g", "1-14",
		"No. 10-32", "-", "x", "M", "#", "1/", "//", "1--1", "0-80", "1e9-1", "2B", "1/2-13-2A/2B", "M1.4", "1-72", "6-16",
	} {
		f.Add(s)
	}
	f.Fuzz(checkParsed)
}

func TestNotice(t *testing.T) {
	for in, says := range map[string]string{
		"5/8-13": "in no standard series; with that diameter it lists 11", "1-14": "UNS", ".520-20": "in no standard series; the limits",
		"M13x1": "not in ISO 261", "M12x2": "pitch 1.75, 1.5, 1.25 or 1", "5/8-12 UN-1B": "only for UNC and UNF", "10-24-1A": "from 1/4 in up",
		"5/8-11": "", "5/8-11-1B": "", "M12": "", "1-1/16-18": "",
	} {
		th, err := thread.Parse(in)
		require.NoError(t, err, in)
		if says == "" {
			assert.Empty(t, th.Notice(), in)
		} else {
			assert.Contains(t, th.Notice(), says, in)
		}
	}
	assert.Empty(t, thread.Thread{}.Notice())
}
