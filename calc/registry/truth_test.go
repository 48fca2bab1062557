package registry_test

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/registry"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What every answer of every worksheet keeps to, whatever is typed: headline, flag, caution and
// mark say the same, and no number is told more finely than it is read.

// answers draws many answers of a worksheet, in both systems of units.
func answers(t *testing.T, s *worksheet.Sheet, check func(t require.TestingT, a worksheet.Answer)) {
	t.Helper()
	for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
		check(t, worksheet.Run(s, sys, s.Example))
	}
	draw := registrytest.Pairs(s)
	rapid.Check(t, func(t *rapid.T) {
		for range 10 {
			pairs := draw.Draw(t, "inputs")
			sys := rapid.SampledFrom([]units.System{units.InchSystem, units.MetricSystem}).Draw(t, "system")
			if a := worksheet.Run(s, sys, pairs); a.Fault == nil {
				check(t, a)
			}
		}
	})
}

var (
	sunny = regexp.MustCompile(`^(It (fits|goes|stays|cleans|should)|In line|Square|Within|Inside|Good|Accept|` +
		`Carries it|Pull|Holds|Reaches|Clear|Cleans|Room|Nothing hits)\b`)
	grim = regexp.MustCompile(`^(Do not|Too |Not enough|It will not|It does not|Cannot|Reject|It breaks|No face)`)
)

// A refusal takes the headline and the flag: the mark is stop if and only if one is present, no
// flag says it will do, no plan is given, and the verdict does not say the opposite.
func TestMarks(t *testing.T) {
	for _, s := range registry.All() {
		t.Run(s.Name, func(t *testing.T) {
			marks := map[worksheet.Mark]int{}
			answers(t, s, func(t require.TestingT, a worksheet.Answer) {
				refused := slices.ContainsFunc(a.Cautions(), func(c worksheet.Caution) bool { return c.Level == worksheet.Refusal })
				mark, verdict := a.Mark(), a.Text("verdict")
				marks[mark]++
				require.Equal(t, refused, mark == worksheet.Stop, verdict)
				require.NotEmpty(t, verdict)
				for _, r := range s.Results {
					if r.Judges && a.Text(r.Key) == "yes" {
						require.Contains(t, []worksheet.Mark{worksheet.Good, worksheet.Careful}, mark, "%s: %s", r.Key, verdict)
						require.NotRegexp(t, grim, verdict, r.Key)
					}
					if r.Plan && refused {
						require.Empty(t, a.Text(r.Key), r.Key)
					}
				}
				if refused {
					require.NotRegexp(t, sunny, verdict)
				}
				require.True(t, slices.IsSortedFunc(a.Cautions(),
					func(x, y worksheet.Caution) int { return gravity(x.Level) - gravity(y.Level) }))
			})
			t.Logf("%v", marks)
		})
	}
}

// leftOpen is a place of a template in a text of an answer.
var leftOpen = regexp.MustCompile(`\{[a-z0-9=+][^"}]*\}`)

// braced says whether anything that was typed has a brace in it.
func braced(a worksheet.Answer) bool {
	return slices.ContainsFunc(a.Sheet.Inputs, func(in worksheet.Input) bool {
		return strings.ContainsAny(a.Values.Typed(in.Key), "{}")
	})
}

// A name is shown as it was typed, whatever signs are in it: the answer is that to another name of
// the same length. Where none has a brace no answer has one: every place of a template was filled.
func TestNamesAreNotTemplates(t *testing.T) {
	for _, s := range registry.All() {
		t.Run(s.Name, func(t *testing.T) {
			for _, sign := range []string{"{", "{s}", "{0}", "{in}", "}"} {
				plain := strings.Repeat("~", len(sign))
				told := func(sign string) string {
					return string(worksheet.Run(s, units.InchSystem, registrytest.Named(s, s.Example, sign)).JSON())
				}
				assert.Equal(t, strings.ReplaceAll(told(plain), plain, sign), told(sign))
			}
			answers(t, s, func(t require.TestingT, a worksheet.Answer) {
				if !braced(a) {
					require.Empty(t, leftOpen.FindString(string(a.JSON())))
				}
			})
		})
	}
}

func gravity(l worksheet.Level) int {
	return slices.Index([]worksheet.Level{worksheet.Refusal, worksheet.Warning, worksheet.Remark}, l)
}

// Every quantity among the main results names what it is set or read on.
func TestMainResultsHaveADial(t *testing.T) {
	for _, s := range registry.All() {
		for _, r := range s.Results {
			if _, quantity := r.Kind.Dim(); quantity && r.Main && r.Kind != worksheet.Count {
				assert.NotEmpty(t, r.Dial, "%s: %s", s.Name, r.Key)
			}
			if r.Dial != "" {
				assert.NotPanics(t, func() { worksheet.DialOf(r.Dial) }, "%s: %s", s.Name, r.Key)
			}
		}
	}
}

// A main result is told in whole steps of its dial.
func TestMainResultsAreWholeSteps(t *testing.T) {
	for _, s := range registry.All() {
		t.Run(s.Name, func(t *testing.T) {
			answers(t, s, func(t require.TestingT, a worksheet.Answer) {
				for _, r := range s.Results {
					text, _, step := a.Shown(r.Key)
					x, ok := number(text)
					by, set := number(step)
					if !ok || !set {
						continue
					}
					n := x / by
					require.InDelta(t, math.Round(n), n, 1e-3+1e-6*math.Abs(n), "%s: %s in steps of %s", r.Key, text, step)
				}
			})
		})
	}
}

// number reads a decimal at the start of a text; fractions and angles in minutes are left out.
func number(text string) (float64, bool) {
	word, rest, _ := strings.Cut(text, " ")
	if strings.ContainsAny(word+rest, "/°") && !strings.Contains(rest, "min") && !strings.Contains(rest, "ft") &&
		!strings.Contains(rest, "mm/m") {
		return 0, false
	}
	x, err := strconv.ParseFloat(strings.TrimSuffix(word, "%"), 64)
	return x, err == nil
}

// most is how many decimals a number with a unit has in a headline or caution: those of the finest
// instrument that is read in that unit. A tenth of a thou is a micrometer's, gauge blocks' and
// microns' finest.
var most = map[string]int{"in": 4, "mm": 3, "thou": 4, "lbf": 2, "lb": 3, "N": 2, "kN": 4, "kg": 3, "lbf-ft": 2,
	"N.m": 2, "deg": 1, "rpm": 1, "hp": 2, "kW": 2,
	"ksi": 1, "MPa": 1, "ft/min": 0, "m/min": 0, "in/min": 3, "mm/min": 2, "min": 0, "%": 0}

// Worksheets whose lengths are read finer than a handwheel's thou: by micrometer, blocks, finder
// and readout, or with drills by their size and feeds a tooth; and those that tell an uncertainty
// to two figures.
var (
	tenths = []string{"hole", "clear", "bore", "room", "bolts", "row", "grid", "pairs", "dials",
		"power", "speed", "facing", "drillforce", "taptorque", "fit", "dowel", "blocks", "shims", "sine", "heat", "edge",
		"middle", "centre", "skew", "taper"}
	finer = []string{"accept", "repeat", "sure"}
)

// needles are read finer than a dial in mm too, where their graduation is.
var needles = []string{"tram", "shim", "sweep", "dish", "square", "bar", "tapin", "lever", "dials"}

// decimals is how many decimals a number with a unit may have in a sentence of a worksheet.
func decimals(sheet, unit string) int {
	switch {
	case slices.Contains(finer, sheet):
		return 8
	case sheet == "sine" && unit == "deg": // what blocks turn a bar by
		return 4
	case unit == "mm" && slices.Contains([]string{"shims", "shim", "blocks"}, sheet): // as they are marked
		return 5
	case unit == "mm" && slices.Contains(needles, sheet):
		return 5
	case sheet == "room" && (unit == "in" || unit == "mm"): // two numbers whose order must be seen
		return 7
	case sheet == "speed" && unit == "mm": // a feed of the machine's own chart
		return 4
	case sheet == "sling" && unit == "lbf":
		return 3
	case unit == "in" && !slices.Contains(tenths, sheet):
		return 3
	}
	return most[unit]
}

var withUnit = regexp.MustCompile(`(\d*\.?\d+) ?(in|mm|thou|lbf-ft|lbf|lb|N\.m|N|kN|kg|deg|rpm|hp|kW|ksi|MPa|` +
	`ft/min|m/min|in/min|mm/min|min|%)(?:[\s.,;:)]|$)`)

var decimal = regexp.MustCompile(`\d*\.?\d+`)

// wasTyped says whether a number stands as it was typed, in its unit or the other system's.
func wasTyped(text string, places int, typed []float64) bool {
	x, err := strconv.ParseFloat(text, 64)
	return err == nil && slices.ContainsFunc(typed, func(y float64) bool {
		return slices.ContainsFunc([]float64{1, 25.4, 1 / 25.4, 1000, .7457, 4.448222e-3, 1.355818, 1 / 1.355818, 1 / 12.,
			12, .3048}, func(to float64) bool {
			return math.Abs(x-y*to) <= 1.1*math.Pow10(-places)
		})
	})
}

// beside says whether two numbers of a sentence stand so near each other that they are told finer,
// for which is larger to be seen.
func beside(m, n []string) bool {
	x, _ := strconv.ParseFloat(m[1], 64)
	y, _ := strconv.ParseFloat(n[1], 64)
	return m[2] == n[2] && m[1] != n[1] && math.Abs(x-y) <= .1*max(x, y)
}

// twoFigures is a number below one told to two figures, as forces and feeds are.
var twoFigures = regexp.MustCompile(`^0?\.0*\d{1,2}0?$`)

// oneFigure is a number of one figure: where it would read as nothing it is told with it.
var oneFigure = regexp.MustCompile(`^0?\.0*[1-9]$`)

// No sentence tells a number more finely than its unit's finest instrument, unless it was typed so.
func TestSentencesHaveFewDigits(t *testing.T) {
	for _, s := range registry.All() {
		t.Run(s.Name, func(t *testing.T) {
			answers(t, s, func(t require.TestingT, a worksheet.Answer) {
				var typed []float64
				for i := range s.Inputs {
					for _, m := range decimal.FindAllString(a.Values.Typed(s.Inputs[i].Key), -1) {
						x, err := strconv.ParseFloat(m, 64)
						require.NoError(t, err)
						typed = append(typed, x)
					}
				}
				sentences := []string{a.Text("verdict")}
				if slices.ContainsFunc(a.Cautions(), func(c worksheet.Caution) bool { return c.Field != "" }) ||
					slices.ContainsFunc(s.Inputs, func(in worksheet.Input) bool { return in.Key == "mark" && a.Values.Has("mark") }) {
					return // a question quotes what was typed, and a wrench's marks are as typed
				}
				for _, c := range a.Cautions() {
					sentences = append(sentences, c.Text)
				}
				for _, says := range sentences {
					told := withUnit.FindAllStringSubmatch(says, -1)
					for _, m := range told {
						if slices.ContainsFunc(told, func(n []string) bool { return beside(m, n) }) {
							continue
						}
						_, places, _ := strings.Cut(m[1], ".")
						if x, _ := strconv.ParseFloat(m[1], 64); oneFigure.MatchString(m[1]) && x < .5*math.Pow10(-decimals(s.Name, m[2])) {
							continue
						}
						little := twoFigures.MatchString(m[1]) && (strings.ContainsAny(m[2], "lN/Wpr") || s.Name == "speed")
						if len(places) > decimals(s.Name, m[2]) && !little && !wasTyped(m[1], len(places), typed) {
							require.Fail(t, "too many digits", "%s %s in: %s", m[1], m[2], says)
						}
					}
				}
			})
		})
	}
}

// calm is what a worksheet is hardly ever given by chance: readings that are good.
var calm = map[string][]worksheet.Pair{"tapin": with("pairs", "0 in, 0.0002 in", "span", "12 in")}

// A caution that comes whatever is typed is a note.
func TestCautionsAreAboutThisCase(t *testing.T) {
	digits := regexp.MustCompile(`[\d.]+`)
	for _, s := range registry.All() {
		t.Run(s.Name, func(t *testing.T) {
			n, said := 0, map[string]int{}
			check := func(t require.TestingT, a worksheet.Answer) {
				n++
				for _, c := range a.Cautions() {
					if c.Level != worksheet.Remark {
						said[digits.ReplaceAllString(c.Text, "#")]++
					}
				}
			}
			answers(t, s, check)
			if rest := calm[s.Name]; rest != nil {
				check(t, worksheet.Run(s, units.InchSystem, rest))
			}
			require.Greater(t, n, 100, "too few answers")
			for text, times := range said {
				assert.Less(t, times, n, "comes whatever is typed: %s", text)
			}
		})
	}
}
