package reach

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// said is all an answer says, for looking into.
func said(a worksheet.Answer) string {
	var b strings.Builder
	b.WriteString(a.Text("verdict") + " " + a.Text("ways"))
	for _, c := range a.Cautions() {
		b.WriteString(" " + c.Text)
	}
	return b.String()
}

func TestWhatIsSaid(t *testing.T) {
	p := func(k, v string) worksheet.Pair { return worksheet.Pair{Key: k, Text: v} }
	for _, c := range []struct {
		name   string
		sheet  *worksheet.Sheet
		change []worksheet.Pair
		says   []string
		text   map[string]string
	}{
		{"a third beyond the table", reachSheet, []worksheet.Pair{p("table", "14 in"), p("left", "14 in")}, []string{"more than a third", "it reaches"}, map[string]string{"overleft": "14.000 in", "overright": "0.000 in"}},
		{"a little beyond the table", reachSheet, []worksheet.Pair{p("table", "16 in"), p("right", "2 in")}, []string{"hangs 1.0000 in beyond"}, map[string]string{"overright": "1.000 in"}},
		{"turret swung", reachSheet, []worksheet.Pair{p("machine", "turret"), p("ram", "18 in"), p("swing", "30"), p("home", "16 in")}, []string{"lost its tram"}, map[string]string{"xplace": "9.000 in", "yplace": "-0.412 in"}},
		{"one end is not enough", reachSheet, []worksheet.Pair{p("travel", "15 in")}, []string{"is not enough", "5.5000 in smaller"}, map[string]string{"xwin": "-5.500 in"}},
		{"move it left and back", reachSheet, []worksheet.Pair{p("atx", "3 in"), p("aty", "-9 in")}, []string{"2.2500 in to the left", "3.0000 in towards the column"}, nil},
		{"borer: move it up", reachSheet, []worksheet.Pair{p("machine", "borer"), p("aty", "-3 in"), p("atx", "0 in")}, []string{"3.0000 in up"}, map[string]string{"crosslow": "0.000 in"}},
		{"borer: move it down", reachSheet, []worksheet.Pair{p("machine", "borer"), p("aty", "15 in"), p("atx", "0 in")}, []string{"3.0000 in down"}, nil},
		{"cutting to the left", reachSheet, []worksheet.Pair{p("ends", "right")}, nil, map[string]string{"startx": "7.921 in", "stopx": "-7.921 in"}},
		{"turret short across", reachSheet, []worksheet.Pair{p("machine", "turret"), p("wide", "20 in")}, []string{"moving the ram"}, map[string]string{"rows": "5"}},
		{"column too near", reachSheet, []worksheet.Pair{p("throat", "5 in"), p("rear", "4 in")}, []string{"too near the column"}, map[string]string{"column": "-1.500 in"}},
		{"tilted head rises", daylightSheet, []worksheet.Pair{p("tilt", "60"), p("arm", "10 in")}, []string{"tilted"}, map[string]string{"tiltz": "5.000 in", "tiltx": "8.660 in", "roomup": "10.250 in"}},
		{"holder hits", daylightSheet, []worksheet.Pair{p("project", "1.5 in")}, []string{"it may hit by 0.4500 in"}, map[string]string{"holder": "-0.450 in"}},
		{"long bar", daylightSheet, []worksheet.Pair{p("bar", "0.75 in"), p("feed", "knee")}, []string{"6 times its diameter"}, map[string]string{"overhang": "6"}},
		{"no room to change", daylightSheet, []worksheet.Pair{p("part", "11 in")}, []string{"Run the table aside"}, map[string]string{"change": "-0.250 in"}},
		{"quill too short", daylightSheet, []worksheet.Pair{p("quill", "2 in")}, []string{"quill is 0.4500 in short"}, map[string]string{"state": "short"}},
		{"tool too short to come down", daylightSheet, []worksheet.Pair{p("knee", "2 in"), p("quill", "3 in")}, []string{"Does not come down"}, map[string]string{"state": "short"}},
		{"turned round in its room", foulSheet, []worksheet.Pair{p("px", "0 in"), p("py", "0 in"), p("swingroom", "8 in")}, []string{"cannot be turned here"}, map[string]string{"sweeper": "stud", "swept": "8.621 in"}},
		{"box on the head", foulSheet, []worksheet.Pair{p("heads", "column, 0 in, 30 in, 4 in, 6 in, 20 in, 1 in")}, []string{"Nothing hits"}, map[string]string{"nearest": "14.500 in"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(c.sheet, units.InchSystem, with(c.sheet, c.change...))
			require.Nil(t, a.Fault, "%v", a.Fault)
			all := strings.ToLower(said(a))
			for _, s := range c.says {
				assert.Contains(t, all, strings.ToLower(s))
			}
			for k, want := range c.text {
				assert.Equal(t, want, a.Text(k), k)
			}
		})
	}
}
