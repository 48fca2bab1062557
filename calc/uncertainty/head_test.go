package uncertainty

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What is said first, of every mark: sizes, limits and chances from the rows of checks.go and the
// tests beside them.
func TestHeadlines(t *testing.T) {
	const five = "graduation, step, .0005 in; repeat of five, std, .0002 in, 1, 4; indicator, limit, .0003 in; " +
		"master, k2, .00004 in"
	for _, row := range []struct {
		sheet, in string
		mark      worksheet.Mark // "" where the numbers are refused, or do not suffice yet
		says      string
		facts     string
	}{
		{"accept", "", "", "What does it read?", ""},
		{"accept", "size=1.25", "", "How sure is that?", ""},
		{"accept", "size=1.25|unsure=.0002", "", "What limits?", ""},
		{"accept", "size=1.25|unsure=.0002|low=1.3|high=1.2", "", "High limit is the lower one", ""},
		{"accept", "size=1.25|unsure=.0002|low=1.249|high=1.251", "good", "Good: inside by .0010",
			"1.2500 ± .0002 · limits 1.249, 1.251"},
		{"accept", "size=1.25|unsure=.0002|low=1.2495|high=1.2505", "careful", "Good: inside by .0005",
			"1.2500 ± .0002 · ▲ tolerance 2.5 times the spread"},
		// one standard uncertainty of .0001 inside: 84 in 100
		{"accept", "size=1.2504|unsure=.0002|low=1.2495|high=1.2505", "careful", "In doubt: .0001 inside the limit",
			"84 in 100 inside · measure finer, or ask · 1.2504 ± .0002"},
		{"accept", "size=1.2506|unsure=.0002|high=1.2505", "careful", "In doubt: .0001 over the limit",
			"15 in 100 inside · measure finer, or ask · 1.2506 ± .0002"},
		{"accept", "size=1.2505|unsure=.0002|high=1.2505", "careful", "In doubt: right at the limit",
			"50 in 100 inside · measure finer, or ask · 1.2505 ± .0002"},
		{"accept", "size=1.2511|unsure=.0002|low=1.249|high=1.2505", "stop", "Too big by .0006", "and surely"},
		{"accept", "size=1.248|unsure=.0002|low=1.249|high=1.2505", "stop", "Too small by .0010", "and surely"},
		{"accept", "size=1.25|unsure=.001|low=1.2495|high=1.2505", "stop", "Cannot tell: gauge too coarse",
			"doubt takes the whole tolerance · sure to ±.001"},
		{"accept", "size=1.2504|unsure=.0002|high=1.2505|rule=simple", "good", "Good: inside by .0001",
			"84 in 100 inside · 1.2504 ± .0002 · limit 1.2505"},
		{"accept", "size=1.2507|unsure=.0002|high=1.2505|rule=simple", "stop", "Too big by .0002", "2 in 100 inside"},
		{"accept", "size=1.2505000001|unsure=.0002|high=1.2505|rule=simple", "stop", "Just past the limit",
			"49 in 100 inside"},
		{"accept", "size=1.2506|unsure=.0002|low=1.25|rule=out", "good", "Good: inside by .0006",
			"1.2506 ± .0002 · limit 1.25"},
		{"accept", "size=1.2506|unsure=.0002|high=1.2505|rule=out", "careful", "In doubt: .0001 over the limit",
			"15 in 100 inside · passes: not surely bad · 1.2506 ± .0002"},
		{"mm accept", "size=31.75|unsure=.005|low=31.7|high=31.8", "good", "Good: inside by 0.0500",
			"31.7500 ± 0.005 · limits 31.7, 31.8"},

		{"repeat", "", "", "What does it read?", ""},
		{"repeat", "readings=1.25", "", "Read it again", "1.25 so far"},
		{"repeat", "readings=1.25 1.25 1.25", "open", "All 3 read 1.2500. What step?", ""},
		{"repeat", "readings=1.25 1.2502 1.2501 1.2499|step=.0001", "good", "1.2501 ± .0002",
			"4 readings · the scatter is most of it"},
		{"repeat", "readings=1.25 1.25 1.2501 1.25|step=.0005", "good", "1.2500 ± .00029",
			"4 readings · the step is most of it"},
		{"repeat", "readings=1.25 1.25 1.2501 1.25|step=.0001|other=.001", "good", "1.250 ± .002",
			"4 readings · what they share is most of it"},
		{"mm repeat", "readings=25.4 25.402 25.404", "good", "25.4020 ± 0.005", "3 readings · its step is not in it"},
		{"repeat", "readings=0 .5 1 1.5 2 2.5 3 thou|step=.0005", "careful", "Wait: the readings walk one way",
			".002 ± .0011 · the scatter is most of it"},
		{"repeat", "readings=1 1.001 1.001 1.1", "careful", "Take reading 4 again",
			".10 from the others · 1.03 ± .08 · its step is not in it"},
		{"repeat", "readings=1 1.0001 1 1.0001 1 1.0001 1.0006|step=.0001", "careful", "Take reading 7 again",
			"it stands apart · 1.0001 ± .00021"},

		{"sure", "", "", "What could be off?", ""},
		{"sure", "parts=" + five, "good", "Sure to ±.00064", "most from repeat of five · halve that: ±.00049"},
		{"sure", "size=2.0003|parts=" + five, "good", "2.0003 ± .00064",
			"most from repeat of five · halve that: ±.00049"},
		{"sure", "parts=indicator, limit, .0003 in; master, k2, .00004 in", "careful", "Sure to ±.00035: a guess",
			"half of it has no readings · most from indicator"},
		{"sure", "parts=indicator, limit, 0", "", "Every cause is nothing", ""},
		{"sure", "parts=a, std, .001 in; b, std, .001 in|corr=1, 2, -1", "", "These cannot go together", ""},
	} {
		name, metric := strings.CutPrefix(row.sheet, "mm ")
		s, ok := units.First(Sheets(), func(s *worksheet.Sheet) bool { return s.Name == name })
		assert.True(t, ok, name)
		var pairs []worksheet.Pair
		for _, p := range strings.FieldsFunc(row.in, func(r rune) bool { return r == '|' }) {
			key, text, _ := strings.Cut(p, "=")
			pairs = append(pairs, worksheet.Pair{Key: key, Text: text})
		}
		a := worksheet.Run(s, worksheet.Either(metric, units.MetricSystem, units.InchSystem), pairs)
		says, facts := a.Headline()
		mark := worksheet.Mark("")
		if a.Fault == nil {
			mark = a.Mark()
		}
		assert.Equal(t, row.mark, mark, row.in)
		assert.Equal(t, row.says, says, row.in)
		assert.Equal(t, row.facts, strings.Join(facts, " · "), row.in)
	}
}
