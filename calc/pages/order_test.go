package pages_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/pages"
	"datumbook/calc/registry"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What the headline asks for is the box that Next leads to: a page's boxes that have to be filled
// stand in the order in which the worksheet asks for them.
func TestBoxesInTheOrderAsked(t *testing.T) {
	sheets := map[string]*worksheet.Sheet{}
	for _, s := range registry.All() {
		sheets[s.Name] = s
	}
	for _, p := range pages.All(registry.All()) {
		for _, way := range p.Ways {
			s := sheets[way.Sheet]
			needed := func(key string) bool {
				in, ok := s.Input(key)
				return ok && in.Required
			}
			var boxes []string
			for key := range strings.FieldsSeq(way.Boxes) {
				if needed(key) {
					boxes = append(boxes, key)
				}
			}
			for n, next := range boxes {
				// What is chosen and what has no box is there, and of the boxes those before.
				given := slices.DeleteFunc(slices.Clone(s.Example), func(q worksheet.Pair) bool {
					return slices.Contains(boxes[n:], q.Key)
				})
				in, _ := s.Input(next)
				headline, _ := worksheet.Run(s, units.InchSystem, given).Headline()
				if in.Ask != "" {
					assert.Contains(t, headline, in.Ask, "%s, %s, with %v", p.Name, s.Name, boxes[:n])
				}
			}
		}
	}
}
