package weigh

import (
	"strconv"
	"strings"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// written is the table of bodies as typed, row by row and cell by cell.
func written(v *worksheet.Values) [][]string {
	var out [][]string
	for _, row := range strings.FieldsFunc(v.Typed("parts"), func(r rune) bool { return r == ';' || r == '\n' }) {
		if strings.TrimSpace(row) != "" {
			out = append(out, strings.Split(strings.TrimSpace(row), ","))
		}
	}
	return out
}

func joined(rows [][]string) string {
	lines := make([]string, len(rows))
	for i, r := range rows {
		lines[i] = strings.Join(r, ",")
	}
	return strings.Join(lines, "; ")
}

// inUnit names a unit behind every bare size and place; given says whether there was one.
func inUnit(rows [][]string, unit string) (text string, given bool) {
	out := make([][]string, len(rows))
	for i, r := range rows {
		out[i] = append([]string{}, r...)
		for k := 2; k < min(len(r), 8); k++ {
			cell := strings.TrimSpace(r[k])
			if n := len(cell); n > 0 && (cell[n-1] >= '0' && cell[n-1] <= '9' || cell[n-1] == '.') {
				out[i][k], given = " "+cell+" "+unit, true
			}
		}
	}
	return joined(out), given
}

// with is the table with one cell changed.
func with(rows [][]string, row, col int, text string) [][]string {
	out := append([][]string{}, rows...)
	out[row] = append([]string{}, rows[row]...)
	for len(out[row]) <= col {
		out[row] = append(out[row], "")
	}
	out[row][col] = " " + text
	return out
}

// doubts asks about what is likely a slip, each with the table as it was likely meant. The question
// about the unit is the headline too: the weight is four orders of magnitude out.
func doubts(v *worksheet.Values, o *worksheet.Out, list []Body, t Total) (headline string) {
	rows := written(v)
	if len(rows) != len(list) {
		return ""
	}
	size := max(t.Top[0]-t.Low[0], t.Top[1]-t.Low[1], t.Top[2]-t.Low[2])
	metric := v.System == units.MetricSystem
	other := worksheet.Either(metric, "in", "mm")
	if text, bare := inUnit(rows, other); bare && !o.Meant("parts") && (!metric && (t.Weight > 10000 || size > 80) ||
		metric && t.Weight < .05 && size < 4) {
		headline = o.Fill("{lift lb}? Or are the sizes in {s}?", []string{other}, t.Weight)
		o.Ask("parts", text, headline)
		o.Head("{+lift lb}? Or are sizes {s}?", []string{other}, t.Weight)
	}
	for i := range list {
		for j := range i {
			if list[i] == list[j] {
				o.Ask("parts", joined(append(append([][]string{}, rows[:i]...), rows[i+1:]...)),
					"Row "+strconv.Itoa(i+1)+" is row "+strconv.Itoa(j+1)+" again: it counts once. Leave it out?")
				break
			}
		}
	}
	if cornered(o, rows, list, t) {
		return headline
	}
	for _, i := range t.Idle {
		if list[i].Void {
			o.Fact("▲ row "+strconv.Itoa(i+1)+" cuts nothing", nil)
			o.Caution("Row " + strconv.Itoa(i+1) + " cuts where there is no metal of the rows above it: nothing is taken off. " +
				"Check its place and axis.")
		}
	}
	for _, i := range t.Partly {
		half, b := list[i], &list[i]
		half.A /= 2
		if b.Void && (b.Shape == Rod || b.Shape == Dome || b.Shape == Ball || b.Shape == Fillet) &&
			wide(list, t.Bodies, i) && fits(list, i, half) {
			text := strings.TrimSpace(rows[i][2])
			o.Ask("parts", joined(with(rows, i, 2, o.Len(half.A))),
				"Row "+strconv.Itoa(i+1)+", "+text+" across, is wider than the body it is cut from. Is half of it meant?")
		}
	}
	return headline
}

// cornered asks whether places were counted from a corner of the first box though it stands about
// zero: where that alone puts every cut into metal.
func cornered(o *worksheet.Out, rows [][]string, list []Body, t Total) bool {
	b := list[0]
	if b.Void || b.Shape != Box || b.X != 0 || b.Y != 0 || (b.Axis != "" && b.Axis != "z") {
		return false
	}
	astray := false
	for _, i := range append(append([]int{}, t.Idle...), t.Partly...) {
		astray = astray || list[i].Void && !within(t.Bodies, i, 0)
	}
	moved := append([]Body{}, list...)
	moved[0].X, moved[0].Y = b.A/2, b.B/2
	again, f := Weigh(moved)
	if !astray || f != nil || len(again.Idle)+len(again.Partly) > 0 {
		return false
	}
	o.Ask("parts", joined(with(with(rows, 0, 5, o.Len(b.A/2)), 0, 6, o.Len(b.B/2))),
		"A cut lies outside the box, which stands with its middle at X 0, Y 0. Are the places counted from its corner?")
	return true
}

// wide says whether a cut reaches out of a body it meets on both sides of one axis.
func wide(list []Body, placed []Placed, i int) bool {
	for _, j := range meets(placed, i) {
		axes, _ := list[i].frame()
		for _, k := range axes[:2] { // not along its height: a hole may be longer than the body
			if !list[j].Void && placed[i].Low[k] < placed[j].Low[k] && placed[i].Top[k] > placed[j].Top[k] {
				return true
			}
		}
	}
	return false
}

// fits says whether a body in place of row i lies in metal whole but along its height.
func fits(list []Body, i int, b Body) bool {
	changed := append([]Body{}, list...)
	changed[i] = b
	t, f := Weigh(changed)
	return f == nil && !wide(changed, t.Bodies, i)
}
