//go:build !js

package cleanup

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What an answer says first, for each mark and each way to it. The pairs change the example.
func TestHeads(t *testing.T) {
	const top = "features=top, face, +z, 0, 0, 4|free=z, rx, ry|touches="
	const two = "features=left, face, -x, 0, 0, 0; right, face, +x, 10, 0, 0|free=x|touches="
	for _, row := range []struct {
		in    string
		mark  worksheet.Mark // "" where what was typed is not complete or wrong
		head  string
		facts string
	}{
		{"", worksheet.Good, "Cleans up: .105 at the thinnest", "turn it first, then touch zero again · as laid out .050"},
		{top + "top, 1, 1, 4.09; top, 9, 1, 4.09; top, 5, 5, 4.09|free=x", "", "Touch more: it can shift along X", ""},
		{"free=x, y, z", "", "Touch more: it can shift along Z", ""},
		{"touches=left, 0, 0, 0", "", "Touch right twice", ""},
		{"features=top, wall, +z, 0, 0, 4, , 1|touches=top, 0, 0, 0", "", "Which faces?", ""},
		{"features=", "", "Which faces?", ""},
		{"touches=", "", "Where is it touched?", ""},
		{"need=.125", worksheet.Stop, "Will not clean: left short .020", "with less wanted it cleans up · left starves against right"},
		{two + "left, -.1, 1, 0; left, -.1, 5, 0; right, 10.1, 1, 0; right, 10.1, 5, 0", worksheet.Good,
			"Cleans up as it lies: .100", "take zero as laid out"},
		{two + "left, -.06, 1, 0; left, -.06, 5, 0; right, 10.14, 1, 0; right, 10.14, 5, 0", worksheet.Good,
			"Cleans up: .100 at the thinnest", "only the zero shifts · as laid out .060"},
		{two + "left, -.01, 1, 0; left, -.01, 5, 0; right, 10.03, 1, 0; right, 10.03, 5, 0", worksheet.Careful,
			"Cleans up, .020 at the thinnest", "▲ thin at left · only the zero shifts · as laid out .010"},
		{two + "left, -.1, 1, 0; right, 10.1, 1, 0; right, 10.1, 5, 0", worksheet.Careful, "Cleans up as it lies: .100",
			"▲ touch left in more places · take zero as laid out"},
		{two + "left, .03, 1, 0; left, .03, 5, 0; right, 9.97, 1, 0; right, 9.97, 5, 0", worksheet.Stop,
			"Will not clean: left short .030", "left starves against right · ask before weld or scrap"},
		{top + "top, 1, 1, 4.1; top, 9, 1, 4.1|free=z|maxshift=.5", worksheet.Careful,
			"Cleans up: .600 at the thinnest", "▲ held by the most shift or turn · only the zero shifts"},
		{top + "top, 1, 1, 3.1; top, 9, 1, 3.1|free=z|maxshift=.5", worksheet.Stop, "Will not clean: top short .400",
			"more shift or turn would do · ask before weld or scrap"},
		// The wall's back was touched .1 over its face: .25 is missing, and .01 may be shifted.
		{"features=top, face, +z, 0, 0, 4; web, wall, +z, 0, 0, 4, , .15|free=z|touches=top, 1, 1, 4.2; top, 9, 1, 4.2; " +
			"web, 1, 1, 4.1; web, 9, 1, 4.1|maxshift=.01", worksheet.Stop, "A wall would be .240 too thin",
			"ask before weld or scrap"},
		{two + "left, -100, 1, 0; left, -100, 5, 0; right, 10.1, 1, 0; right, 10.1, 5, 0", worksheet.Open,
			"Touch 1: is it in mm?", ""},
	} {
		t.Run(row.in, func(t *testing.T) {
			given := map[string]string{}
			for _, e := range cleanSheet.Example {
				given[e.Key] = e.Text
			}
			for part := range strings.SplitSeq(row.in, "|") {
				if key, text, ok := strings.Cut(part, "="); ok {
					given[key] = text
				}
			}
			var pairs []worksheet.Pair
			for _, in := range cleanSheet.Inputs {
				if text, ok := given[in.Key]; ok {
					pairs = append(pairs, worksheet.Pair{Key: in.Key, Text: text})
				}
			}
			a := worksheet.Run(&cleanSheet, units.InchSystem, pairs)
			head, facts := a.Headline()
			assert.Equal(t, row.head, head)
			assert.Equal(t, row.facts, strings.Join(facts, " · "))
			if assert.Equal(t, row.mark == "", a.Fault != nil, "%v", a.Fault) && a.Fault == nil {
				assert.Equal(t, row.mark, a.Mark())
			}
		})
	}
}
