package reach

import (
	"math"

	"datumbook/calc/sheet"
)

// axis is one direction: the path the spindle must have about the face's
// middle, and the travel it has.
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

// move gives how far the part has to go to come into the window.
func (a axis) move() float64 { return min(max(a.used, a.from), a.to) - a.used }

func reachCompute(v *sheet.Values, o *sheet.Out) *sheet.Fault {
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
		home := r
		if v.Has("home") {
			home = v.In("home")
		}
		tx, ty = x, y-home
		o.Set("turretx", x, "in")
		o.Set("turrety", y, "in")
		o.Work("Spindle from the turret's axis", "x = r sin, y = r cos", o.Bare(r)+", "+o.Dec(v.As("swing", "deg"), 2)+" deg", o.Len(x)+" right, "+o.Len(y)+" out", "geometry")
	}
	travel, cross := v.In("travel"), v.In("cross")
	low := float64(-cross / 2)
	if v.Choice("machine") == "borer" {
		low = 0
	}
	if v.Has("low") {
		low = v.In("low")
	}
	x := newAxis(lo, hi, tx-float64(travel/2), tx+float64(travel/2), v.Has("atx"), v.In("atx"))
	y := newAxis(float64(-span/2), float64(span/2), low+ty, low+ty+cross, v.Has("aty"), v.In("aty"))
	set := func(key string, inches float64) { o.Set(key, inches, "in") }
	set("xneed", hi-lo)
	set("xwin", x.to-x.from)
	set("xfrom", x.from)
	set("xto", x.to)
	set("xplace", x.place)
	set("xspare", x.spare)
	set("yneed", span)
	set("ywin", y.to-y.from)
	set("yfrom", y.from)
	set("yto", y.to)
	set("yplace", y.place)
	set("yspare", y.spare)
	o.Set("rows", float64(n), "")
	set("approach", a)
	set("usedx", x.used)
	set("usedy", y.used)
	set("clearl", x.used-float64(l/2)-(x.tlo+float64(d/2)))
	set("clearr", x.thi-float64(d/2)-(x.used+float64(l/2)))
	start, stop := x.used+lo, x.used+hi
	if ends == FromHigh {
		start, stop = stop, start
	}
	set("startx", start)
	set("stopx", stop)
	set("rowlow", y.used-float64(span/2))
	set("rowhigh", y.used+float64(span/2))
	set("travlow", x.tlo)
	set("travhigh", x.thi)
	set("crosslow", y.tlo)
	set("crosshigh", y.thi)
	if big := travel - l - 2*c; big > 0 {
		set("bigcutter", big)
	}
	room, known := column(v, o, b, span, c)
	over(v, o, x.used, l)
	judge(v, o, x, y, room, known, n)
	o.Work("Approach to full width", "A = D/2 - sqrt((D/2)^2 - w^2)", "D "+o.Bare(d)+", w "+o.Bare(Half(b, d, edge, n, span)), o.Len(a), "FMP")
	switch ends {
	case ClearBoth:
		o.Work("Travel needed along", "L + D + 2 c", o.Bare(l)+" + "+o.Bare(d)+" + 2 x "+o.Bare(c), o.Len(hi-lo), "FMP")
	default:
		o.Work("Travel needed along", "L + A + 2 c", o.Bare(l)+" + "+o.Bare(a)+" + 2 x "+o.Bare(c), o.Len(hi-lo), "FMP")
	}
	o.Work("Window along", "travel - needed", o.Bare(travel)+" - "+o.Bare(hi-lo), o.Len(x.to-x.from), "geometry")
	o.Work("Passes side by side", "1 + (W + 2 edge - D)/step, rounded up", "W "+o.Bare(b)+", D "+o.Bare(d), o.Dec(float64(n), 0), "practice")
	o.Work("Window across", "travel - (W + 2 edge - D)", o.Bare(cross)+" - "+o.Bare(span), o.Len(y.to-y.from), "geometry")
	if tx != 0 || ty != 0 {
		o.Caution("A turret or ram that was moved has lost its tram: tram the head again after every swing.")
	}
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

// column gives the room between the rear of the part and the column, less the
// run-out, with the spindle on the front row.
func column(v *sheet.Values, o *sheet.Out, b, span, c float64) (room float64, known bool) {
	if !v.Has("throat") {
		return 0, false
	}
	room = v.In("throat") - (float64(b/2) + v.In("rear") + float64(span/2))
	o.Set("column", room, "in")
	o.Work("Room to the column, spindle on the front row", "throat - (W/2 + behind + span/2)",
		o.Bare(v.In("throat"))+" - ("+o.Bare(b/2)+" + "+o.Bare(v.In("rear"))+" + "+o.Bare(span/2)+")", o.Len(room), "geometry")
	return room - c, true
}

// over works out how far the part hangs beyond the table.
func over(v *sheet.Values, o *sheet.Out, at, l float64) {
	if !v.Has("table") {
		return
	}
	half := float64(v.In("table") / 2)
	left := -half - (at - float64(l/2) - v.In("left"))
	right := at + float64(l/2) + v.In("right") - half
	o.Set("overleft", max(left, 0), "in")
	o.Set("overright", max(right, 0), "in")
	whole := l + v.In("left") + v.In("right")
	if hang := max(left, right); hang > whole/3 {
		o.Caution("More than a third of the part hangs beyond the table: its weight tips the table and wears the gibs. Support it, or clamp it on an extension.")
	} else if hang > 0 {
		o.Note("The part hangs " + o.Len(hang) + " beyond the table: mind the column, the knee and the floor as the table moves; the worksheet 'foul' checks them.")
	}
}

// judge writes verdict, state and ways out.
func judge(v *sheet.Values, o *sheet.Out, x, y axis, room float64, roomKnown bool, n int) {
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
		state, verdict = "short", "It does not reach: the travel along is "+o.Len(xShort)+" short."
		ways = append(ways, "Take a cutter "+o.Len(xShort)+" smaller, or cut the face in two settings.")
		if v.Choice("ends") == "both" {
			d := v.In("cutter")
			_, span := Rows(v.In("wide"), d, v.In("edge"), d*v.Num("step")/100)
			less := x.hi - x.lo - (v.In("long") + Approach(d, Half(v.In("wide"), d, v.In("edge"), n, span)) + 2*v.In("runout"))
			if less >= xShort-1e-9 {
				ways = append(ways, "Let the cutter stop when the face is cut, instead of running clear: that saves "+o.Len(less)+" and it reaches.")
			} else {
				ways = append(ways, "Letting the cutter stop when the face is cut saves "+o.Len(less)+", which is not enough.")
			}
		}
		ways = append(ways, "Turn the part so that the face lies along the longer travel, or feed half way from each end.")
	case yShort > 1e-9:
		state, verdict = "short", "It does not reach across: the passes need "+o.Len(yShort)+" more travel."
		ways = append(ways, "Take a cutter "+o.Len(yShort)+" larger, so that fewer passes cover the width.")
		if v.Choice("machine") == "turret" {
			ways = append(ways, "Or cut the far side after moving the ram, and tram again.")
		}
	case roomKnown && room < -1e-9:
		state, verdict = "short", "The part's rear comes "+o.Len(-room)+" too near the column."
		ways = append(ways, "Turn the part end for end, move the ram out, or cut with a larger cutter in fewer passes.")
	case x.spare < -1e-9 || y.spare < -1e-9:
		state, verdict = "short", "Not from where it stands, but it can reach."
		if m := x.move(); m != 0 {
			ways = append(ways, "Move the part "+o.Len(math.Abs(m))+" to the "+leftRight(m)+" at least; "+o.Len(math.Abs(x.place-x.used))+" brings it to the middle of the window.")
		}
		if m := y.move(); m != 0 {
			to := "towards the column"
			if m < 0 {
				to = "away from the column"
			}
			if v.Choice("machine") == "borer" {
				to = "up"
				if m < 0 {
					to = "down"
				}
			}
			ways = append(ways, "Move the part "+o.Len(math.Abs(m))+" "+to+" at least.")
		}
	case worst <= closeBy:
		state = "close"
		verdict = "Close call: it clears with " + o.Len(worst) + " to spare at the tightest place."
		ways = append(ways, "Measure the travel from stop to stop and the part before you rely on it. Stand the part at the middle of the window.")
	default:
		verdict = "It reaches, with " + o.Len(worst) + " to spare at the tightest place."
	}
	if state != "short" && (!v.Has("atx") || !v.Has("aty")) {
		ways = append(ways, "Put the middle of the face "+o.Len(x.place)+" along and "+o.Len(y.place)+" across; it may be off by "+o.Len((x.to-x.from)/2)+" and "+o.Len((y.to-y.from)/2)+".")
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

func leftRight(x float64) string {
	if x < 0 {
		return "left"
	}
	return "right"
}
