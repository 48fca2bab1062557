package cut

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWhatIsSaid(t *testing.T) {
	p := func(k, v string) worksheet.Pair { return worksheet.Pair{Key: k, Text: v} }
	for _, c := range []struct {
		name   string
		sheet  *worksheet.Sheet
		change []worksheet.Pair
		says   []string
		text   map[string]string
	}{
		{"end mill, finishing, thin cut", speedSheet,
			[]worksheet.Pair{p("op", "endmill"), p("dia", "1 in"), p("finish", "finish"), p("width", "0.1 in"),
				p("speeds", ""), p("feeds", "2 4 6 in/min")}, nil,
			map[string]string{"rpm": "280 rpm", "feed": "4.00 in/min", "depth": "0.0100 in"}},
		{"end mill in the middle of the table", speedSheet, []worksheet.Pair{p("op", "endmill"), p("dia", "0.625 in"), p("speeds", "")}, nil, map[string]string{"pertooth": "0.0035 in"}},
		{"small end mill", speedSheet, []worksheet.Pair{p("op", "endmill"), p("dia", "0.125 in"), p("speeds", ""), p("tool", "carbide")}, nil, map[string]string{"pertooth": "0.0010 in"}},
		{"reamer", speedSheet, []worksheet.Pair{p("op", "ream"), p("dia", "0.5 in"), p("teeth", "6"), p("speeds", ""), p("revfeeds", "")}, nil, map[string]string{"perrev": "0.0150 in"}},
		{"boring bar", speedSheet, []worksheet.Pair{p("op", "bore"), p("dia", "4 in"), p("finish", "finish")}, []string{"long bar chatters"}, map[string]string{"perrev": "0.0030 in"}},
		{"countersink", speedSheet, []worksheet.Pair{p("op", "csink"), p("dia", "1 in"), p("setup", "weak")}, nil, map[string]string{"rpm": "80 rpm"}},
		{"through scale", speedSheet, []worksheet.Pair{p("scale", "yes"), p("setup", "stiff")}, []string{"under the skin"}, map[string]string{"high": "65.0 ft/min"}},
		{"my own figures", speedSheet,
			[]worksheet.Pair{p("own", "120 ft/min"), p("ownfeed", "0.002 in"), p("speeds", ""), p("revfeeds", "")}, nil,
			map[string]string{"rpm": "860 rpm", "perrev": "0.0020 in"}},
		{"no feed small enough", speedSheet, []worksheet.Pair{p("dia", "0.1 in"), p("revfeeds", "0.006 in")}, []string{"smallest feed is more"}, nil},
		{"too much for the motor", powerSheet, []worksheet.Pair{p("motor", "1 hp")},
			[]string{"Too much: 1.6 hp of 1 hp", "Cut no deeper than .063 in"}, nil},
		{"near the motor's rating", powerSheet, []worksheet.Pair{p("motor", "1.7 hp")},
			[]string{"It pulls, just", "hard spot"}, nil},
		{"no motor given", powerSheet, []worksheet.Pair{p("motor", ""), p("wear", "dull"), p("drive", "belt")}, []string{"at the motor"}, map[string]string{"share": ""}},
		{"stainless from the insert tables", powerSheet, []worksheet.Pair{p("work", "stainless"), p("wear", "sharp")}, nil, map[string]string{"second": ""}},
		{"hardness out of the table", powerSheet, []worksheet.Pair{p("hb", "390"), p("drive", "old")}, []string{"outside the table"}, map[string]string{"constant": "0.91"}},
		{"my own power constant", powerSheet, []worksheet.Pair{p("kp", "1"), p("wear", "sharp")}, nil, map[string]string{"constant": "1"}},
		{"fewer than one tooth in the cut", powerSheet, []worksheet.Pair{p("teeth", "1"), p("feed", "0.8 in/min")}, nil, map[string]string{"engaged": "0.23"}},
		{"drill past the motor", drillSheet, []worksheet.Pair{p("motor", "1 hp")}, []string{"It stalls: 2.1 hp of 1 hp"},
			nil},
		{"split point", drillSheet, []worksheet.Pair{p("point", "split"), p("wear", "sharp"), p("kd", "24000")}, nil, map[string]string{"factor": "24000"}},
		{"metal no maker lists", drillSheet, []worksheet.Pair{p("work", "bronze"), p("wear", "dull"), p("point", "pilot")}, nil, map[string]string{"thrust2": ""}},
		{"tap that breaks", tapSheet, []worksheet.Pair{p("breaks", "10 lbf-ft")},
			[]string{"breaks near 10 lbf-ft, and takes 17"}, nil},
		{"tap near breaking", tapSheet, []worksheet.Pair{p("breaks", "25 lbf-ft"), p("rpm", "80")},
			[]string{"dull or packed 33 lbf-ft: it breaks near 25"}, map[string]string{"power": "0.25 hp"}},
		{"forming tap", tapSheet, []worksheet.Pair{p("tap", "form"), p("hole", "0.585 in"), p("work", "aluminium")}, []string{"two to three times"}, map[string]string{"factor": "3.1"}},
		{"odd hole", tapSheet, []worksheet.Pair{p("hole", "0.6 in"), p("kc", "3000 MPa")}, []string{"check the tap drill"}, nil},
		{"finish takes it all", facingSheet, []worksheet.Pair{p("stock", "0.010 in")}, []string{"no roughing pass"}, map[string]string{"levels": "0", "passes": "1"}},
		{"both ways", facingSheet, []worksheet.Pair{p("way", "two"), p("ends", "one"), p("wide", "14 in")}, []string{"climbs one way"}, map[string]string{"rows": "3", "passes": "12"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(c.sheet, units.InchSystem, withPairs(c.sheet.Example, c.change...))
			require.Nil(t, a.Fault, "%v", a.Fault)
			all := a.Text("verdict")
			for _, x := range a.Cautions() {
				all += " " + x.Text
			}
			for _, s := range c.says {
				assert.Contains(t, strings.ToLower(all), strings.ToLower(s))
			}
			for k, want := range c.text {
				assert.Equal(t, want, a.Text(k), k)
			}
		})
	}
}
