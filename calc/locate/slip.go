package locate

import (
	"math"
	"strconv"
	"strings"

	"datumbook/calc/fitting"
	"datumbook/calc/worksheet"
)

// twice finds the first place that stands in a list twice, within a thousandth of an inch.
func twice(p []fitting.Point) (first, again int, found bool) {
	for j := range p {
		for i := range j {
			if math.Abs(p[i].X-p[j].X) < .001 && math.Abs(p[i].Y-p[j].Y) < .001 {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

// askTwice asks about a row of a table that is typed twice; what is a row's name: "Touch".
func askTwice(v *worksheet.Values, o *worksheet.Out, key, what string, p []fitting.Point) bool {
	i, j, found := twice(p)
	if found {
		o.Ask(key, without(v.Typed(key), j), what+" "+strconv.Itoa(j+1)+" is the same as "+strconv.Itoa(i+1)+": "+
			"typed twice?")
	}
	return found
}

// without is a table as typed, less one row.
func without(text string, row int) string {
	rows := strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '\n' })
	var kept []string
	n := 0
	for _, r := range rows {
		if strings.TrimSpace(r) == "" {
			continue
		}
		if n != row {
			kept = append(kept, strings.TrimSpace(r))
		}
		n++
	}
	return strings.Join(kept, "; ")
}

// farthest is the largest coordinate of a list, without its sign.
func farthest(p []fitting.Point) float64 {
	most := 0.0
	for _, q := range p {
		most = max(most, math.Abs(q.X), math.Abs(q.Y))
	}
	return most
}

// mostTravel is farther than the machines that use these worksheets travel, in inches.
const mostTravel = 120

// mostPitch is the most that holes stand apart in a row or a grid without a question whether it was
// millimetres, and mostWheel how far a handwheel is turned without one, in inches: 200 turns of
// .200 in.
const mostPitch, mostWheel = 24, 40

// askTip asks about a tip that is no usual one: half of one is likely its radius.
func askTip(v *worksheet.Values, o *worksheet.Out) {
	o.AskUnit(v, "tip", .02, 1.1)
	if !v.Given("tip") {
		return
	}
	for _, t := range [...]struct {
		radius float64
		means  string
	}{{.1, "0.2 in"}, {5 / 25.4, "10 mm"}, {3 / 25.4, "6 mm"}} {
		if math.Abs(v.In("tip")-t.radius) < 1e-6 {
			o.Ask("tip", t.means, "A tip of "+v.Typed("tip")+"? Its diameter is wanted, not its radius: "+t.means+"?")
		}
	}
}
