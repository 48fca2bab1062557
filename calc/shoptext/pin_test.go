package shoptext_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

func TestPin(t *testing.T) {
	for text, want := range map[string]string{
		"100+5": "100 mm+5 mm", "10+5 mm": "10 mm+5 mm", "1-3/8": "1-3/8 mm",
		"10mm": "10mm", "F": "F", "#7": "#7", "1-3": "1-3",
	} {
		assert.Equal(t, want, shoptext.Pin(text, units.Span, mm), text)
	}
}

func TestPinKeepsTheValue(t *testing.T) {
	part := rapid.SampledFrom([]string{"3", "10", "3/4", ".015", "1.5", "1-3/8", "2 1/2", "5 mm", "1/4 in", "5 thou"})
	join := rapid.SampledFrom([]string{"+", "-", " + ", " - "})
	rapid.Check(t, func(t *rapid.T) {
		text := part.Draw(t, "first")
		for range rapid.IntRange(0, 3).Draw(t, "more") {
			text += join.Draw(t, "join") + part.Draw(t, "part")
		}
		was, now := inch, mm
		if rapid.Bool().Draw(t, "metric") {
			was, now = mm, inch
		}
		want, f := shoptext.Parse(text, units.Span, was)
		pinned := shoptext.Pin(text, units.Span, was)
		if f != nil {
			assert.Equal(t, text, pinned)
			return
		}
		got, f := shoptext.Parse(pinned, units.Span, now)
		if f != nil || got.Length != want.Length {
			t.Fatalf("%q pinned as %q: %v, want %v (%v)", text, pinned, got.Length, want.Length, f)
		}
	})
}
