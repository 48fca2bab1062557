package registry_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/pages"
	"datumbook/calc/registry"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// TestAskedIsThere: what a headline asks for stands on the page: among the boxes or the choices of its
// way, for the typical inputs and every part of them. A choice may also be touched on the drawing; what
// one asks for besides, as figures of one's own, gets a box once it is asked for.
func TestAskedIsThere(t *testing.T) {
	for _, p := range pages.All(registry.All()) {
		for i := range p.Ways {
			way := &p.Ways[i]
			s, ok := registry.Find(way.Sheet)
			assert.True(t, ok, way.Sheet)
			there := map[string]bool{}
			for _, key := range strings.Fields(way.Boxes + " " + way.Chips + " " + way.List + " " + way.Sets) {
				key, _, _ = strings.Cut(strings.TrimSuffix(key, "?"), "=")
				if in, ok := s.Input(key); ok { // else it is one of another way, which it picks
					there[in.Question()] = true
				}
			}
			seen := map[string]bool{}
			variants(s, way, func(typed []worksheet.Pair) {
				a := worksheet.Run(s, units.InchSystem, typed)
				head, _ := a.Headline()
				for j := range s.Inputs {
					in := &s.Inputs[j]
					asks := head == in.Question() || strings.HasSuffix(head, ". "+in.Question())
					if !asks || in.Kind == worksheet.Choice || there[in.Question()] || has(typed, in.Key) || seen[in.Key] {
						continue
					}
					seen[in.Key] = true
					t.Errorf("%s asks '%s', and %s is not on its page: %v", way.Sheet+" "+way.Sets, head, in.Key, typed)
				}
			})
		}
	}
}

func has(typed []worksheet.Pair, key string) bool {
	for _, p := range typed {
		if p.Key == key {
			return true
		}
	}
	return false
}

// variants are the typical inputs of a way, their beginnings, and all but one of them.
func variants(s *worksheet.Sheet, way *pages.Way, do func([]worksheet.Pair)) {
	pairs := func(list string) (out []worksheet.Pair) {
		for _, p := range strings.Fields(list) {
			key, text, _ := strings.Cut(p, "=")
			out = append(out, worksheet.Pair{Key: key, Text: text})
		}
		return out
	}
	sets, typical := pairs(way.Sets), s.Example
	if way.Like != "" {
		typical = pairs(way.Like)
	}
	typed := func(list ...worksheet.Pair) []worksheet.Pair {
		out := append([]worksheet.Pair{}, sets...)
		for _, p := range list {
			if !has(sets, p.Key) {
				out = append(out, p)
			}
		}
		return out
	}
	for n := range len(typical) + 1 {
		do(typed(typical[:n]...))
	}
	for n := range typical {
		do(typed(append(append([]worksheet.Pair{}, typical[:n]...), typical[n+1:]...)...))
	}
}
