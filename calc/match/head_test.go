package match

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/worksheet"
)

// What an answer says first, for each mark and each way to it. The pairs change the example.
func TestHeads(t *testing.T) {
	const pair = "part=hole, 0, 0, 5/8-11, 11/16; hole, 6, 0, 5/8-11, 11/16|"
	for _, row := range []struct {
		in    string
		mark  worksheet.Mark // "" where what was typed is not complete or wrong
		head  string
		facts string
	}{
		{"", worksheet.Good, "Angle plate, front takes it", ".021 room at the tightest · all 3 bolts"},
		{pair + "places=sub-plate, , tapped, 4, 4, , 5/8-11; sub-plate, , tapped, 4, 10, , 5/8-11", worksheet.Good,
			"Sub-plate takes it", "turned 90° · .031 room at the tightest · all 2 bolts"},
		{pair + "fixtures=the long one with the rib, south side, 12, 9, 1-1/2|keep=|places=the long one with the rib, " +
			"south side, tapped, 4, 4, , 5/8-11; the long one with the rib, south side, tapped, 10, 4, , 5/8-11",
			worksheet.Good, "The long one with the rib takes it", ".031 room at the tightest · all 2 bolts"},
		{pair + "places=sub-plate, , tapped, 4, 4, , 5/8-11; sub-plate, , tapped, 10.06, 4, , 5/8-11", worksheet.Careful,
			"Sub-plate takes it, .001 room", "▲ bolt 1 binds first · all 2 bolts"},
		{pair + "places=sub-plate, , tapped, 4, 4, , 5/8-11; sub-plate, , hole, 10, 4, 1", worksheet.Careful,
			"Sub-plate takes it", "▲ thick washer under the nut · .031 room at the tightest"},
		{pair + "turn=free|places=sub-plate, , tapped, 4, 4, , 5/8-11; sub-plate, , tapped, 8.8, 7.6, , 5/8-11",
			worksheet.Good, "Sub-plate takes it", "out of square: indicate it · .031 room at the tightest"},
		{"part=slot, 0, 0, 5/8-11, 11/16, 2, 0|places=sub-plate, , tapped, 4, 4, , 5/8-11", worksheet.Good,
			"Sub-plate takes it", ".031 room at the tightest · its one bolt"},
		{pair + "places=", worksheet.Stop, "No hole pair fits", "drill 2 x 5/8-11 in sub-plate, 6.000 apart"},
		{pair + "places=sub-plate, , tapped, 4, 4, , 5/8-11", worksheet.Stop, "No hole pair fits",
			"drill 1 x 5/8-11 in sub-plate · an old one serves"},
		{"places=", worksheet.Stop, "No fixture's holes fit it", "drill 3 x 5/8-11 in sub-plate"},
		{"part=hole, 0, 0, 5/8-11, 11/16|places=", worksheet.Stop, "No hole fits", "drill 1 x 5/8-11 in sub-plate"},
		{pair + "places=|fixtures=F2, , 8, 3, 1-1/2|keep=F2, , rib, 5.6, 1.5, 1, 3", worksheet.Stop, "No hole pair fits",
			"drill 2 x 5/8-11 in F2, 6.000 apart · .687 to the edge"},
		{"part=hole, 0, 0, 5/8-11, 11/16; tapped, 6, 0, 1/2-13|places=", worksheet.Stop, "No hole pair fits",
			"drill 2 holes in sub-plate, 6.000 apart"},
		{pair + "places=|keep=|fixtures=a, , 12, 9, 1/4; b", worksheet.Stop, "Nothing takes it or can be drilled",
			"a too thin to drill · b size not typed"},
		{pair + "places=|keep=|fixtures=F1, , 6, 4, 1; F2, , 5, 4, 1", worksheet.Stop, "Nothing takes it or can be drilled",
			"F1 too narrow by 1.88 · F2 too narrow by 2.88"},
		{"part=", "", "Which holes has the part?", ""},
		{"fixtures=", "", "Which fixtures?", ""},
		{"part=hole, 0, 0, 5/8-11, 1/2", "", "Which holes has the part?", ""},
	} {
		t.Run(row.in, func(t *testing.T) {
			var change []worksheet.Pair
			for part := range strings.SplitSeq(row.in, "|") {
				if key, text, ok := strings.Cut(part, "="); ok {
					change = append(change, worksheet.Pair{Key: key, Text: text})
				}
			}
			a := run(change...)
			head, facts := a.Headline()
			assert.Equal(t, row.head, head)
			assert.Equal(t, row.facts, strings.Join(facts, " · "))
			if assert.Equal(t, row.mark == "", a.Fault != nil, "%v", a.Fault) && a.Fault == nil {
				assert.Equal(t, row.mark, a.Mark())
			}
		})
	}
}

// Each face has its reason, the best first.
func TestReasons(t *testing.T) {
	const pair = "hole, 0, 0, 5/8-11, 11/16; hole, 6, 0, 5/8-11, 11/16"
	for _, row := range []struct{ fixtures, places, want string }{
		// 6.02 is .02 more than 6, and the two holes of the part have .0625 between them.
		{"F1; F2", "F1, , tapped, 0, 0, , 5/8-11; F1, , tapped, 6.02, 0, , 5/8-11; F2, , tapped, 0, 0, , 1/2-13",
			"F1, , .021 room; F2, , no hole for 5/8-11"},
		// .1 off, less .0625.
		{"F1; F2; F3", "F2, , tapped, 0, 0, , 5/8-11; F2, , tapped, 6, 0, , 5/8-11; F1, , tapped, 0, 0, , 5/8-11; " +
			"F1, , tapped, 6.1, 0, , 5/8-11", "F2, , .031 room; F1, , holes .04 off; F3, , no holes yet"},
		{"F1, , 12, 9, 1-1/2; F2, , 5, 4, 1", "F2, , tapped, 1, 1, , 1/2-13", "F1, , drill 2; F2, , too narrow by 2.88"},
	} {
		a := run(worksheet.Pair{Key: "part", Text: pair}, worksheet.Pair{Key: "fixtures", Text: row.fixtures},
			worksheet.Pair{Key: "places", Text: row.places}, worksheet.Pair{Key: "keep", Text: ""})
		if assert.Nil(t, a.Fault, "%v", a.Fault) {
			assert.Equal(t, row.want, a.Text("why"), row.fixtures)
		}
	}
}
