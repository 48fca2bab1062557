package reach

import (
	"math"

	"datumbook/calc/worksheet"
)

// axis is one direction: the path the spindle needs about the face's middle, and the travel
// available.
type axis struct {
	lo, hi, tlo, thi float64
	from, to         float64 // window
	place, used      float64
	spare            float64 // least spare at the place taken
}

func newAxis(lo, hi, tlo, thi float64, given bool, at float64) axis {
	a := axis{lo: lo, hi: hi, tlo: tlo, thi: thi}
	a.from, a.to = Window(lo, hi, tlo, thi)
	a.place = float64((a.from + a.to) / 2)
	a.used = a.place
	if given {
		a.used = at
	}
	a.spare = min(a.used+lo-tlo, thi-(a.used+hi))
	return a
}

// move returns how far the part must move to enter the window.
func (a axis) move() float64 { return min(max(a.used, a.from), a.to) - a.used }

// Worked lines of reachCompute.
var (
	spindleTurretStep     = worksheet.Step{What: "Spindle from the turret's axis", Formula: "x = r sin, y = r cos", Numbers: "{len}, {2} deg", Result: "{in} right, {in} out", Source: "geometry"}
	approachFullStep      = worksheet.Step{What: "Approach to full width", Formula: "A = D/2 - sqrt((D/2)^2 - w^2)", Numbers: "D {len}, w {len}", Result: "{in}", Source: "FMP"}
	travelNeededStep      = worksheet.Step{What: "Travel needed along", Formula: "L + D + 2 c", Numbers: "{len} + {len} + 2 x {len}", Result: "{in}", Source: "FMP"}
	travelNeededAlongStep = worksheet.Step{What: "Travel needed along", Formula: "L + A + 2 c", Numbers: "{len} + {len} + 2 x {len}", Result: "{in}", Source: "FMP"}
	windowAlongStep       = worksheet.Step{What: "Window along", Formula: "travel - needed", Numbers: "{len} - {len}", Result: "{in}", Source: "geometry"}
	passesSideStep        = worksheet.Step{What: "Passes side by side", Formula: "1 + (W + 2 edge - D)/step, rounded up", Numbers: "W {len}, D {len}", Result: "{0}", Source: "practice"}
	windowAcrossStep      = worksheet.Step{What: "Window across", Formula: "travel - (W + 2 edge - D)", Numbers: "{len} - {len}", Result: "{in}", Source: "geometry"}
)

// face is a face to be milled with what the machine has, so that a way out can be tried.
type face struct {
	long, wide, cutter, runout, edge, step float64 // step as a share of the cutter
	offset                                 float64 // cutter's middle off the face's, one pass
	ends                                   Ends
	travel, cross                          float64
	throat, rear                           float64
	column                                 bool // throat is known
}

func (f face) rows() (n int, span float64) {
	if f.offset != 0 {
		return 1, 0
	}
	return Rows(f.wide, f.cutter, f.edge, f.cutter*f.step)
}

// half is the half-width to the far side of the cutter's middle.
func (f face) half() float64 {
	n, span := f.rows()
	return Half(f.wide, f.cutter, f.edge, n, span) + math.Abs(f.offset)
}

func (f face) path() (lo, hi, approach float64) {
	approach = Approach(f.cutter, f.half())
	lo, hi = Path(f.long, f.cutter, f.runout, approach, f.ends)
	return lo, hi, approach
}

// room is what is left to the column with the spindle on the front row, less the run-out.
func (f face) room() float64 {
	if !f.column {
		return math.Inf(1)
	}
	_, span := f.rows()
	return f.throat - (float64(f.wide/2) + f.rear + float64(span/2) - f.offset) - f.runout
}

// short gives what is missing along and across; less than nothing is to spare.
func (f face) short() (along, across float64) {
	lo, hi, _ := f.path()
	_, span := f.rows()
	return hi - lo - f.travel, span - f.cross
}

// reaches says whether it reaches from some place of the part.
func (f face) reaches() bool {
	x, y := f.short()
	n, _ := f.rows()
	return x <= 1e-9 && y <= 1e-9 && f.room() >= -1e-9 && n <= mostRows
}

const (
	mostRows = 200
	none     = "No cutter near this one and no halving of the face brings it into these travels."
	noColumn = "The travels are enough, but no cutter near this one and no halving of the face keeps the part off the " +
		"column."
)

func reachCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	f := face{long: v.In("long"), wide: v.In("wide"), cutter: v.In("cutter"), runout: v.In("runout"),
		edge: v.In("edge"), step: v.Num("step") / 100, offset: v.In("offset"),
		ends: map3(v.Choice("ends")), travel: v.In("travel"), cross: v.In("cross"), throat: v.In("throat"),
		rear: v.In("rear"), column: v.Has("throat")}
	l, b, d, c := f.long, f.wide, f.cutter, f.runout
	n, span := f.rows()
	if n > mostRows {
		return v.Refuse("cutter", "it would take more than 200 passes side by side. Take a larger cutter, or check the sizes.")
	}
	if over := float64(d/2) - float64(b/2) - math.Abs(f.offset); f.offset != 0 && over < -1e-9 {
		return v.Refuse("offset", o.Fill("so far off, one pass does not cover the face: it is {in} at most.", nil,
			max((d-b)/2, 0)))
	} else if f.offset != 0 && over < f.edge-1e-9 {
		o.Note(o.Fill("So far off, the cutter hangs over one long edge by only {clear in}.", nil, over))
	}
	lo, hi, a := f.path()
	tx, ty := 0.0, 0.0
	if v.Choice("machine") == "turret" && v.Has("ram") {
		r := v.In("ram")
		x, y := Swing(r, v.As("swing", "deg"))
		home := v.Or("home", "in", r)
		tx, ty = x, y-home
		o.SetAll("turretx in, turrety in", x, y)
		o.Line(&spindleTurretStep, nil, r, v.As("swing", "deg"), x, y)
	}
	low := worksheet.Either(v.Choice("machine") == "borer", 0, float64(-f.cross/2))
	if v.Has("low") {
		low = v.In("low")
	}
	x := newAxis(lo, hi, tx-float64(f.travel/2), tx+float64(f.travel/2), v.Has("atx"), v.In("atx"))
	y := newAxis(f.offset-float64(span/2), f.offset+float64(span/2), low+ty, low+ty+f.cross, v.Has("aty"), v.In("aty"))
	o.SetAll("xneed in, xwin in, xfrom in, xto in, xspare in, yneed in, ywin in, yfrom in, yto in, yspare in, rows, "+
		"approach in, usedx in, usedy in, sparel in, sparer in, clearl in, clearr in",
		hi-lo, x.to-x.from, x.from, x.to, x.spare,
		span, y.to-y.from, y.from, y.to, y.spare,
		float64(n), a, x.used, y.used, x.used+lo-x.tlo, x.thi-(x.used+hi), x.used-float64(l/2)-(x.tlo+float64(d/2)), x.thi-float64(d/2)-(x.used+float64(l/2)))
	o.SetIf(x.from <= x.to, "xplace in", x.place)
	o.SetIf(y.from <= y.to, "yplace in", y.place)
	start, stop := x.used+lo, x.used+hi
	if f.ends == FromHigh {
		start, stop = stop, start
	}
	o.SetAll("startx in, stopx in, rowlow in, rowhigh in, travlow in, travhigh in, crosslow in, crosshigh in",
		start, stop, y.used+f.offset-float64(span/2), y.used+f.offset+float64(span/2), x.tlo, x.thi,
		y.tlo, y.thi)
	o.SetIf(f.travel-l-2*c > 0, "bigcutter in", f.travel-l-2*c)
	if f.column {
		o.Set("column", f.room()+c, "in")
		o.Line(&roomColumnStep, nil, f.throat, b/2, f.rear, span/2, f.offset, f.room()+c)
	}
	over(v, o, x.used, l)
	judge(v, o, f, x, y)
	side(o, f, n)
	if tx != 0 || ty != 0 {
		o.Fact("▲ tram the head again", nil)
	}
	placed(v, o, x, y)
	o.Fact(worksheet.Either(n == 1, "one pass", "{0} passes"), nil, float64(n))
	reachAsk(o, f)
	o.Line(&approachFullStep, nil, d, f.half(), a)
	switch f.ends {
	case ClearBoth:
		o.Line(&travelNeededStep, nil, l, d, c, hi-lo)
	default:
		o.Line(&travelNeededAlongStep, nil, l, a, c, hi-lo)
	}
	o.Line(&windowAlongStep, nil, f.travel, hi-lo, x.to-x.from)
	o.Line(&passesSideStep, nil, b, d, float64(n))
	o.Line(&windowAcrossStep, nil, f.cross, span, y.to-y.from)
	o.CautionIf(tx != 0 || ty != 0,
		"A turret or ram that was moved has lost its tram: tram the head again after every swing.")
	o.Note("Dry run by hand first: spindle off, cutter above the work, from stop to stop, and watch the table's ends, hoses and handles.")
	return nil
}

// side says on which side the cutter cuts. Seen from the spindle, which turns clockwise, work on
// the right of the cutter's way is cut with the feed.
func side(o *worksheet.Out, f face, n int) {
	right, left := "climb", "conventional"
	if f.offset < 0 {
		right, left = left, right
	}
	switch {
	case n > 1:
		o.SetText("side", "rows side by side: the first cuts over its middle, the others to one side")
	case f.offset == 0:
		o.SetText("side", "centred: as much climb as conventional")
	case f.ends == ClearBoth:
		o.SetText("side", right+" cutting to the right, "+left+" cutting to the left")
	default:
		is := worksheet.Either(f.ends == FromLow, right, left)
		o.SetText("side", is)
		o.CautionIf(is == "climb", "Cut this way it climbs: the cutter draws the part in. Take up the lost motion, or "+
			"start from the other end.")
		if is == "climb" {
			o.Fact("▲ climbs: take up the slack", nil)
		}
	}
}

// reachAsk asks about sizes that are likely in the other unit.
func reachAsk(o *worksheet.Out, f face) {
	work, machine := max(f.long, f.wide, f.cutter), max(f.travel, f.cross)
	o.AskMillimetres(f.long > 5*machine, "long", f.long)
	o.AskMillimetres(f.wide > 5*machine, "wide", f.wide)
	o.AskMillimetres(f.cutter > machine, "cutter", f.cutter)
	o.AskMillimetres(f.travel > 200 && f.travel > 20*work, "travel", f.travel)
	o.AskMillimetres(f.cross > 100 && f.cross > 20*work, "cross", f.cross)
}

func map3(key string) Ends {
	switch key {
	case "left":
		return FromLow
	case "right":
		return FromHigh
	}
	return ClearBoth
}

var roomColumnStep = worksheet.Step{What: "Room to the column, spindle on the front row",
	Formula: "throat - (W/2 + behind + span/2 - offset)", Numbers: "{len} - ({len} + {len} + {len} - {len})",
	Result: "{in}", Source: "geometry"}

// over computes how far the part overhangs the table.
func over(v *worksheet.Values, o *worksheet.Out, at, l float64) {
	if !v.Has("table") {
		return
	}
	half := float64(v.In("table") / 2)
	left := -half - (at - float64(l/2) - v.In("left"))
	right := at + float64(l/2) + v.In("right") - half
	o.SetAll("overleft in, overright in", max(left, 0), max(right, 0))
	whole := l + v.In("left") + v.In("right")
	if hang := max(left, right); hang > whole/3 {
		o.Fact("▲ support what overhangs", nil)
		o.Caution("More than a third of the part hangs beyond the table: its weight tips the table and wears the gibs. Support it, or clamp it on an extension.")
	} else if hang > 0 {
		o.Note(o.Fill("The part hangs {need in} beyond the table: mind the column, the knee and the floor as the table "+
			"moves; the worksheet 'foul' checks them.", nil, hang))
	}
}

// judge writes verdict, state and ways out, each of which was tried.
func judge(v *worksheet.Values, o *worksheet.Out, f face, x, y axis) {
	var ways []string
	state, verdict := "reaches", ""
	room := f.room()
	worst := min(x.spare, y.spare, room)
	xShort, yShort := f.short()
	switch {
	case xShort > 1e-9:
		o.HeadStop("{=need in} short along the feed", nil, xShort)
		state, ways = "short", alongWays(v, o, f)
		o.Stop(o.Fill("{need in} short along the feed.", nil, xShort),
			o.Fill("It does not reach: the travel along is {need in} short.", nil, xShort))
	case yShort > 1e-9:
		o.HeadStop("{=need in} short across the feed", nil, yShort)
		state, ways = "short", acrossWays(o, f)
		o.Stop(o.Fill("{need in} short across the feed.", nil, yShort),
			o.Fill("It does not reach across: the passes need {need in} more travel.", nil, yShort))
	case room < -1e-9:
		if hits := room + f.runout; hits < -1e-9 {
			o.HeadStop("Hits the column by {=need in}", nil, -hits)
		}
		o.HeadStop("{=need in} too near the column", nil, -room)
		o.FactStop("the back of the part", nil)
		state, ways = "short", acrossWays(o, f)
		if ways[0] == none {
			ways[0] = noColumn
		}
		ways = append(ways, "Turned end for end, what stands out before the face comes to the column: type that as 'Part "+
			"behind the face' to see.")
		o.Stop(o.Fill("Too near the column by {need in}.", nil, -room),
			o.Fill("The part's rear comes {need in} too near the column.", nil, -room))
	case x.spare < -1e-9 || y.spare < -1e-9:
		state = "short"
		leads(v, o, x, y)
		o.Stop("Not from where it stands, but it can reach.", "From where the part stands the travel does not reach.")
		if m := x.move(); m != 0 {
			ways = append(ways, o.Fill("Move the part {need in} to the {s} at least; {rule in} brings it to the middle of the "+
				"window.",
				[]string{worksheet.Either(m < 0, "left", "right")}, math.Abs(m), math.Abs(x.place-x.used)))
		}
		if m := y.move(); m != 0 {
			to := worksheet.Either(m < 0, "away from the column", "towards the column")
			if v.Choice("machine") == "borer" {
				to = worksheet.Either(m < 0, "down", "up")
			}
			ways = append(ways, o.Fill("Move the part {need in} {s} at least.", []string{to}, math.Abs(m)))
		}
	case worst <= v.In("close"):
		state = "close"
		verdict = o.Fill("Reaches, {spare in} to spare: close.", nil, worst)
		toSpare(o, "Reaches, ", worst)
		o.Fact("▲ stops and castings are not that sure", nil)
		o.Caution("Close call: stops, dials and castings are not that sure. Measure the travel from stop to stop and the " +
			"part before you rely on it.")
	default:
		verdict = o.Fill("Reaches, {spare in} to spare.", nil, worst)
		toSpare(o, "Reaches, ", worst)
	}
	if state != "short" && (!v.Has("atx") || !v.Has("aty")) {
		at := "Centre the face on the table's middle"
		if math.Abs(x.place) >= .005 || math.Abs(y.place) >= .005 {
			at = o.Fill("Put the middle of the face {rule in} along and {rule in} across", nil, x.place, y.place)
		}
		ways = append(ways, o.Fill("{s}; it may be off by {spare in} along and {spare in} across.", []string{at},
			(x.to-x.from)/2, (y.to-y.from)/2))
	}
	if f.column || v.Choice("machine") == "borer" || state == "short" {
		o.SetFlag("ok", state != "short")
	} else {
		verdict += " The column was not reckoned: type the throat."
		o.Fact("▲ column not checked", nil)
	}
	o.SetText("state", state)
	o.SetText("verdict", verdict)
	o.SetLines("ways", ways)
}

// toSpare heads an answer with what is left over.
func toSpare(o *worksheet.Out, does string, x float64) {
	left := o.Fill("{=spare in}", nil, x)
	if left == ".00" || left == "0.0" {
		left = "nothing"
	}
	o.Head("{s}{s} to spare", []string{does, left})
}

// leads heads an answer that reaches, but not from where the part stands: how to move it.
func leads(v *worksheet.Values, o *worksheet.Out, x, y axis) {
	right, back := []string{worksheet.Either(x.move() < 0, "left", "right")}, []string{backward(v, y.move())}
	if x.move() != 0 {
		o.HeadStop("Not from there: move it {=need in} {s}", right, math.Abs(x.move()))
		o.HeadStop("Not from there: move it {s}", right)
		if y.move() != 0 {
			o.FactStop("and {=need in} {s}", back, math.Abs(y.move()))
		}
		o.FactStop("{=rule in} {s} is the middle", []string{worksheet.Either(x.place < x.used, "left", "right")},
			math.Abs(x.place-x.used))
		return
	}
	o.HeadStop("Not from there: move it {=need in} {s}", back, math.Abs(y.move()))
	o.HeadStop("Not from there: move it {s}", back)
	o.FactStop("{=rule in} {s} is the middle", []string{backward(v, y.place-y.used)}, math.Abs(y.place-y.used))
}

// backward names a way across the feed.
func backward(v *worksheet.Values, by float64) string {
	if v.Choice("machine") == "borer" {
		return worksheet.Either(by < 0, "down", "up")
	}
	return worksheet.Either(by < 0, "forward", "back")
}

// placed says where the middle of the face is put, and how far it may be off there.
func placed(v *worksheet.Values, o *worksheet.Out, x, y axis) {
	half := (x.to - x.from) / 2
	room := "{=aside in} either side of mid-travel"
	switch {
	case v.Has("atx"):
	case math.Abs(x.place) >= .005:
		o.Fact("middle of the face {=rule in} {s}", []string{worksheet.Either(x.place < 0, "left", "right")},
			math.Abs(x.place))
	case half < 1./16:
		o.Fact("face at mid-travel", nil)
	default:
		o.Fact(room, nil, half)
	}
	if !v.Has("aty") && v.Choice("machine") != "borer" && math.Abs(y.place) >= .005 {
		o.Fact("{=rule in} {s}", []string{backward(v, y.place)}, math.Abs(y.place))
	}
}

// reachHalf says what is needed, or the largest cutter, before all is typed.
func reachHalf(v *worksheet.Values, o *worksheet.Out) {
	o.Next("long", "wide", "cutter", "travel", "cross")
	if v.Choice("ends") != "both" || !v.Has("long") {
		return
	}
	need := v.In("long") + float64(2*v.In("runout"))
	switch {
	case v.Has("cutter") && !v.Has("travel"):
		o.Head("Needs {=need in} along", nil, need+v.In("cutter"))
	case v.Has("cutter") || !v.Has("travel"):
	case v.In("travel") > need:
		o.Head("Cutters to {=spare in}", nil, v.In("travel")-need)
	default:
		o.Fact("▲ {=need in} short with any cutter", nil, need-v.In("travel"))
	}
}

// sized finds the cutter nearest to the one there is, towards an end, with which a face is reached,
// on the rounded mark of a rule; 0 where there is none.
func sized(f face, end float64) float64 {
	const steps = 400
	from := f.cutter
	for i := 1; i <= steps; i++ {
		f.cutter = from + float64((end-from)*float64(i))/steps
		if end < from {
			f.cutter = math.Floor(f.cutter*100) / 100
		} else {
			f.cutter = math.Ceil(f.cutter*100) / 100
		}
		covers := f.offset == 0 || f.half() <= f.cutter/2
		if f.cutter > 0 && covers && f.reaches() {
			return f.cutter
		}
	}
	return 0
}

// alongWays are the ways out where the travel along is short.
func alongWays(v *worksheet.Values, o *worksheet.Out, f face) (ways []string) {
	if one := f; f.ends == ClearBoth {
		if one.ends = FromLow; one.reaches() {
			lo, hi, _ := one.path()
			all, _ := f.short()
			left, _ := one.short()
			o.FactStop("stopping on the face saves {=spare in}", nil, all-left)
			ways = append(ways, o.Fill("Let the cutter stop when the face is cut, instead of running clear: that needs {need "+
				"in}, and reaches.", nil, hi-lo))
		}
	}
	if d := sized(f, f.cutter/3); d > 0 {
		ways = append(ways, o.Fill("A cutter of {left in} reaches.", nil, d))
	}
	half := f
	half.long, half.ends = f.long/2, FromLow
	if half.reaches() {
		o.FactStop("two settings", nil)
		ways = append(ways, "Cut the face in two settings, half of it from each end.")
	}
	turned := f
	turned.travel, turned.cross = f.cross, f.travel
	if v.Choice("machine") != "borer" && !f.column && turned.reaches() {
		o.FactStop("turn it a quarter", nil)
		ways = append(ways, "Turn the part so that the face lies along the cross travel.")
	}
	if ways == nil {
		ways = []string{none}
		o.FactStop("no cutter near it, no halving helps", nil)
	}
	return ways
}

// acrossWays are the ways out where the travel across is short or the column is too near.
func acrossWays(o *worksheet.Out, f face) (ways []string) {
	if d := sized(f, min(float64(2*f.cutter), f.wide+2*f.edge+.01)); d > f.cutter {
		ways = append(ways, o.Fill("A cutter of {need in} covers the width in fewer or nearer passes, and reaches.", nil, d))
	}
	half := f
	half.wide, half.rear = f.wide/2, f.rear+float64(f.wide/2)
	if half.reaches() {
		o.FactStop("half the width from each end", nil)
		ways = append(ways, "Cut half the width, turn the part end for end, and cut the other half.")
	}
	if ways == nil {
		ways = []string{none}
		o.FactStop("no cutter near it, no halving helps", nil)
	}
	return ways
}
