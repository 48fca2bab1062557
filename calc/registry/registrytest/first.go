package registrytest

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// First is what a worksheet says first of what was typed: its headline, and the facts under it. Mark
// is "" where the answer waits for more.
type First struct {
	Sys         units.System
	Typed       string // worksheet|key=text|key=text
	Mark        worksheet.Mark
	Says, Facts string
}

// Check runs it.
func (row First) Check(t *testing.T, sheets []*worksheet.Sheet) {
	t.Helper()
	parts := strings.Split(row.Typed, "|")
	var pairs []worksheet.Pair
	for _, part := range parts[1:] {
		key, text, _ := strings.Cut(part, "=")
		pairs = append(pairs, worksheet.Pair{Key: key, Text: text})
	}
	s, ok := units.First(sheets, func(s *worksheet.Sheet) bool { return s.Name == parts[0] })
	if !assert.True(t, ok, row.Typed) {
		return
	}
	a := worksheet.Run(s, row.Sys, pairs)
	text, facts := a.Headline()
	assert.Equal(t, row.Says, text, row.Typed)
	assert.Equal(t, row.Facts, strings.Join(facts, " · "), row.Typed)
	mark := worksheet.Mark("")
	if a.Fault == nil {
		mark = a.Mark()
	}
	assert.Equal(t, row.Mark, mark, row.Typed)
}
