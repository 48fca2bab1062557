package registrytest

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Head is what an answer is to say first: its worksheet, inputs as key=text|key=text ("mm|" before
// them for millimetres), the mark ("" for what is not complete), the headline, and the facts as
// they are shown, " · " between.
type Head [5]string

// Heads checks what worksheets say first.
func Heads(t *testing.T, sheets []*worksheet.Sheet, rows []Head) {
	t.Helper()
	for _, r := range rows {
		var pairs []worksheet.Pair
		for in := range strings.SplitSeq(r[1], "|") {
			if key, text, ok := strings.Cut(in, "="); ok {
				pairs = append(pairs, worksheet.Pair{Key: key, Text: text})
			}
		}
		sys := worksheet.Either(strings.HasPrefix(r[1], "mm|"), units.MetricSystem, units.InchSystem)
		a := worksheet.Run(Find(t, sheets, r[0]), sys, pairs)
		mark := ""
		if a.Fault == nil {
			mark = string(a.Mark())
		}
		text, facts := a.Headline()
		what := r[0] + " " + r[1]
		assert.Equal(t, r[2], mark, "%s: %v", what, a.Fault)
		assert.Equal(t, r[3], text, what)
		assert.Equal(t, r[4], strings.Join(facts, " · "), what)
	}
}
