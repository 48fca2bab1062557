package shoptext_test

import (
	"encoding/json"
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

var update = flag.Bool("update", false, "write testdata/pin.json again")

// pinned are texts with what Pin makes of them: in inches, millimetres,
// micrometres and thousandths. The phone's own pinning is held to the same file.
type pinned struct {
	Units []string
	Rows  [][]string
}

const pinFile = "testdata/pin.json"

func pinTable() pinned {
	out := pinned{Units: []string{"in", "mm", "um", "thou"}}
	add := func(text string) {
		row := []string{text}
		for _, name := range out.Units {
			unit, _ := units.Span.Find(name)
			row = append(row, shoptext.Pin(text, units.Span, unit))
		}
		out.Rows = append(out.Rows, row)
	}
	parts := []string{"3", ".015", "1.5", "3/4", "1-3/8", "2 1/2", "5 mm", "1/4in", "5 thou", "6 um", "2'"}
	for _, one := range parts {
		add(one)
		add("-" + one)
		for _, join := range []string{"+", "-", " - "} {
			for _, two := range parts {
				add(one + join + two)
			}
		}
	}
	for _, text := range []string{"", " ", "F", "#7", "7 drill", "through", "14d2'10\"", "14:02", "1-3", "10-24",
		"3 5", "5 kg", "1/2/4", "3/0", "3/4+",
		"1.2.3", ".", "1,5", "12,125", "0,125+,5", "--3", "+ 3", "3'-2 5/8\"", "3' 2 5/8\"",
		"3ft", "19.05mm", "19.05 MM", "1 Inch", "1 inches+3", "5 µm+1", "5 microns",
		"½", "1½", "2−1⁄4", "1″", "3′", "5\u00a0mm", " 100+5 ",
		"10+5 mm", "10+5+2 mm", "10+5 mm+2", "10+5 millimetre",
		"1+2+3+4+5+6+7+8", "1+2+3+4+5+6+7+8+9",
		"1234567890123456", "1234567.123456789", "1000001/2", "1/1000001",
		"3 m", "3 min", "2 tenths", "1 tenth", "1 th", "1 mil", "1 mils",
		"100000000+200000000+300000000+400000000+500000000+600000000", "10.+5", "5.", "1 foot+3",
		"2 feet 3", "4 cm+1", "3 in -2", "3\"+1\""} {
		add(text)
	}
	return out
}

// TestPinTable holds Pin to the reviewed file of what it makes of each text.
func TestPinTable(t *testing.T) {
	got := pinTable()
	if *update {
		text, err := json.MarshalIndent(got, "", " ")
		require.NoError(t, err)
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(pinFile, append(text, '\n'), 0o644))
	}
	text, err := os.ReadFile(pinFile)
	require.NoError(t, err)
	var want pinned
	require.NoError(t, json.Unmarshal(text, &want))
	assert.Equal(t, want, got)
}

func TestPin(t *testing.T) {
	for text, want := range map[string]string{
		"100+5": "100 mm+5 mm", "10+5 mm": "10 mm+5 mm", "1-3/8": "1-3/8 mm", "10+1/2 in": "10 in+1/2 in",
		"10mm": "10mm", "F": "F", "#7": "#7", "1-3": "1-3", "10+5 thou": "10+5 thou",
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
		want, f := shoptext.ParseKept(text, units.Span, was)
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
