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

func reachCompute(v *worksheet.Values, o *worksheet.Out) *worksheet.InputError {
	const most = 200
	l, b, d, c, edge := v.In("long"), v.In("wide"), v.In("cutter"), v.In("runout"), v.In("edge")
	n, span := Rows(b, d, edge, d*v.Num("step")/100)
	if n > most {
		return v.Refuse("cutter", "it would take more than 200 passes side by side. Take a larger cutter, or check the sizes.")
	}
	a := Approach(d, Half(b, d, edge, n, span))
	ends := map3(v.Choice("ends"))
	lo, hi := Path(l, d, c, a, ends)
	tx, ty := 0.0, 0.0
	if v.Choice("machine") == "turret" && v.Has("ram") {
		r := v.In("ram")
		x, y := Swing(r, v.As("swing", "deg"))
		home := v.Or("home", "in", r)
		tx, ty = x, y-home
		o.SetAll("turretx in, turrety in", x, y)
		o.Line(&spindleTurretStep, nil, r, v.As("swing", "deg"), x, y)
	}
	travel, cross := v.In("travel"), v.In("cross")
	low := worksheet.Either(v.Choice("machine") == "borer", 0, float64(-cross/2))
	if v.Has("low") {
		low = v.In("low")
	}
	x := newAxis(lo, hi, tx-float64(travel/2), tx+float64(travel/2), v.Has("atx"), v.In("atx"))
	y := newAxis(float64(-span/2), float64(span/2), low+ty, low+ty+cross, v.Has("aty"), v.In("aty"))
	set := func(key string, inches float64) { o.Set(key, inches, "in") }
	o.SetAll("xneed in, xwin in, xfrom in, xto in, xplace in, xspare in, yneed in, ywin in, yfrom in, yto in, yplace in, yspare in, rows, approach in, usedx in, usedy in, clearl in, clearr in",
		hi-lo, x.to-x.from, x.from, x.to, x.place, x.spare,
		span, y.to-y.from, y.from, y.to, y.place, y.spare,
		float64(n), a, x.used, y.used, x.used-float64(l/2)-(x.tlo+float64(d/2)), x.thi-float64(d/2)-(x.used+float64(l/2)))
	start, stop := x.used+lo, x.used+hi
	if ends == FromHigh {
		start, stop = stop, start
	}
	o.SetAll("startx in, stopx in, rowlow in, rowhigh in, travlow in, travhigh in, crosslow in, crosshigh in",
		start, stop, y.used-float64(span/2), y.used+float64(span/2), x.tlo, x.thi,
		y.tlo, y.thi)
	if big := travel - l - 2*c; big > 0 {
		set("bigcutter", big)
	}
	room, known := column(v, o, b, span, c)
	over(v, o, x.used, l)
	judge(v, o, x, y, room, known, n)
	o.Line(&approachFullStep, nil, d, Half(b, d, edge, n, span), a)
	switch ends {
	case ClearBoth:
		o.Line(&travelNeededStep, nil, l, d, c, hi-lo)
	default:
		o.Line(&travelNeededAlongStep, nil, l, a, c, hi-lo)
	}
	o.Line(&windowAlongStep, nil, travel, hi-lo, x.to-x.from)
	o.Line(&passesSideStep, nil, b, d, float64(n))
	o.Line(&windowAcrossStep, nil, cross, span, y.to-y.from)
	o.CautionIf(tx != 0 || ty != 0,
		"A turret or ram that was moved has lost its tram: tram the head again after every swing.")
	o.Note("Dry run by hand first: spindle off, cutter above the work, from stop to stop, and watch the table's ends, hoses and handles.")
	return nil
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

var roomColumnStep = worksheet.Step{What: "Room to the column, spindle on the front row", Formula: "throat - (W/2 + behind + span/2)", Numbers: "{len} - ({len} + {len} + {len})", Result: "{in}", Source: "geometry"}

// column gives the room between the rear of the part and the column, less the
// run-out, with the spindle on the front row.
func column(v *worksheet.Values, o *worksheet.Out, b, span, c float64) (room float64, known bool) {
	if !v.Has("throat") {
		return 0, false
	}
	room = v.In("throat") - (float64(b/2) + v.In("rear") + float64(span/2))
	o.Set("column", room, "in")
	o.Line(&roomColumnStep, nil, v.In("throat"), b/2, v.In("rear"), span/2, room)
	return room - c, true
}

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
		o.Caution("More than a third of the part hangs beyond the table: its weight tips the table and wears the gibs. Support it, or clamp it on an extension.")
	} else if hang > 0 {
		o.Note(o.Fill("The part hangs {in} beyond the table: mind the column, the knee and the floor as the table moves; the worksheet 'foul' checks them.", nil, hang))
	}
}

// judge writes verdict, state and ways out.
func judge(v *worksheet.Values, o *worksheet.Out, x, y axis, room float64, roomKnown bool, n int) {
	var ways []string
	state, verdict := "reaches", ""
	closeBy := v.In("close")
	worst := min(x.spare, y.spare)
	if roomKnown {
		worst = min(worst, room)
	}
	xShort, yShort := x.from-x.to, y.from-y.to
	switch {
	case xShort > 1e-9:
		state, verdict = "short", o.Fill("It does not reach: the travel along is {in} short.", nil, xShort)
		ways = append(ways, o.Fill("Take a cutter {in} smaller, or cut the face in two settings.", nil, xShort))
		if v.Choice("ends") == "both" {
			d := v.In("cutter")
			_, span := Rows(v.In("wide"), d, v.In("edge"), d*v.Num("step")/100)
			less := x.hi - x.lo - (v.In("long") + Approach(d, Half(v.In("wide"), d, v.In("edge"), n, span)) + 2*v.In("runout"))
			if less >= xShort-1e-9 {
				ways = append(ways, o.Fill("Let the cutter stop when the face is cut, instead of running clear: that saves {in} and it reaches.", nil, less))
			} else {
				ways = append(ways, o.Fill("Letting the cutter stop when the face is cut saves {in}, which is not enough.", nil, less))
			}
		}
		ways = append(ways, "Turn the part so that the face lies along the longer travel, or feed half way from each end.")
	case yShort > 1e-9:
		state, verdict = "short", o.Fill("It does not reach across: the passes need {in} more travel.", nil, yShort)
		ways = append(ways, o.Fill("Take a cutter {in} larger, so that fewer passes cover the width.", nil, yShort))
		if v.Choice("machine") == "turret" {
			ways = append(ways, "Or cut the far side after moving the ram, and tram again.")
		}
	case roomKnown && room < -1e-9:
		state, verdict = "short", o.Fill("The part's rear comes {in} too near the column.", nil, -room)
		ways = append(ways, "Turn the part end for end, move the ram out, or cut with a larger cutter in fewer passes.")
	case x.spare < -1e-9 || y.spare < -1e-9:
		state, verdict = "short", "Not from where it stands, but it can reach."
		if m := x.move(); m != 0 {
			ways = append(ways, o.Fill("Move the part {in} to the {s} at least; {in} brings it to the middle of the window.",
				[]string{worksheet.Either(m < 0, "left", "right")}, math.Abs(m), math.Abs(x.place-x.used)))
		}
		if m := y.move(); m != 0 {
			to := worksheet.Either(m < 0, "away from the column", "towards the column")
			if v.Choice("machine") == "borer" {
				to = worksheet.Either(m < 0, "down", "up")
			}
			ways = append(ways, o.Fill("Move the part {in} {s} at least.", []string{to}, math.Abs(m)))
		}
	case worst <= closeBy:
		state = "close"
		verdict = o.Fill("Close call: it clears with {in} to spare at the tightest place.", nil, worst)
		ways = append(ways, "Measure the travel from stop to stop and the part before you rely on it. Stand the part at the middle of the window.")
	default:
		verdict = o.Fill("It reaches, with {in} to spare at the tightest place.", nil, worst)
	}
	if state != "short" && (!v.Has("atx") || !v.Has("aty")) {
		ways = append(ways, o.Fill("Put the middle of the face {in} along and {in} across; it may be off by {in} and {in}.", nil, x.place, y.place, (x.to-x.from)/2, (y.to-y.from)/2))
	}
	if state == "short" {
		o.Refuse(verdict)
	} else if state == "close" {
		o.Caution(verdict)
	}
	o.SetText("state", state)
	o.SetText("verdict", verdict)
	o.SetLines("ways", ways)
}
