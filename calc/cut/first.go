package cut

import (
	"math"
	"strings"

	"datumbook/calc/reach"
	"datumbook/calc/thread"
	"datumbook/calc/worksheet"
)

// What a cut says first: headlines and facts, and the load of a drill or tap beside its speed.

// speedFirst is the headline of speed and feed; a later one that is careful takes its place.
func speedFirst(o *worksheet.Out, op Op, rpm, feed, pitch float64) {
	switch op {
	case FaceMill, EndMill:
		o.Head("{=spindle rpm} rpm, {=tablefeed in/min}", nil, rpm, feed)
		o.Head("{=spindle rpm} rpm, {+tablefeed in/min}", nil, rpm, feed)
	case Tap:
		o.Head("{=spindle rpm} rpm, lead {=tooth in}", nil, rpm, pitch)
	default:
		o.Head("{=spindle rpm} rpm, {=tooth in} a turn", nil, rpm, feed/rpm)
	}
}

// load reckons what a drill or tap pushes and twists with at the speed and feed that were set, as
// the worksheets drillforce and taptorque do, and says where that is too much.
func load(v *worksheet.Values, o *worksheet.Out, m Material, op Op, d, pitch, rpm, perrev float64) {
	switch op {
	case Drill:
		drillLoad(v, o, m, d, rpm, perrev)
	case Tap:
		tapLoad(v, o, m, d, pitch)
	}
}

// drillWear is W of a drill.
func drillWear(key string) float64 { return worksheet.Either(key == "dull", 1.5, wear(key, 1.30)) }

func drillLoad(v *worksheet.Values, o *worksheet.Out, m Material, d, rpm, perrev float64) {
	cut := Drilling{D: d, Feed: perrev, RPM: rpm, Kd: m.Kd, Split: v.Choice("point") == "split",
		Piloted: v.Choice("point") == "pilot", Wear: drillWear(v.Choice("edges"))}
	e := efficiency(v.Choice("drive"))
	at := cut.Power() / e
	o.SetAll("push lbf, twist lbf-in, motorpower hp", cut.Thrust(), cut.Torque(), at)
	thrust, torque := o.Show(cut.Thrust(), "lbf", worksheet.Force), o.Show(cut.Torque(), "lbf-in", worksheet.Torque)
	a, b, j := cut.chisel()
	ff, ft, fm := Factors(cut.Feed, cut.D)
	o.Line(&thrustLbfStep, []string{thrust}, cut.Kd, ff, ft, b, j, cut.Wear)
	o.Line(&torqueLbfStep, []string{torque}, cut.Kd, ff, fm, a, cut.Wear)
	o.Fact("pushes {+push lbf}", nil, cut.Thrust())
	if v.Has("motor") {
		rated := v.As("motor", "hp")
		o.Set("share", 100*at/rated, "%")
		takes, has := ofMotor(o, at, rated)
		o.Fact("{s} of {s}", []string{takes, has})
		if at > rated {
			stalls(o, cut, at, rated, e)
		}
	}
	if deep := v.In("depth"); deep > 3*d {
		o.Fact("clear the chip at {=rule in}", nil, 3*d)
	}
}

// stalls refuses a hole that asks more than the motor is rated for; e is the drive's efficiency.
func stalls(o *worksheet.Out, d Drilling, at, rated, e float64) {
	takes, has := ofMotor(o, at, rated)
	way := ""
	o.HeadStop("Stalls: {s} of {s}", []string{takes, has})
	if slow := math.Floor(d.lighter(rated*e)*1e4) / 1e4; slow >= .001 {
		way = o.Fill(" Feed no more than {tooth in} a turn.", nil, slow)
		o.FactStop("{=tooth in} a turn at most", nil, slow)
	}
	o.FactStop("pushes {+push lbf}", nil, d.Thrust())
	takes, _ = o.ReadApart("motor", at, rated, "hp")
	o.Stop("It stalls: "+takes+" of "+has+"."+way, "The hole asks more than the motor is rated for."+way)
}

// ofMotor writes what is asked of a motor and what it has: "1.6" of "3 hp".
func ofMotor(o *worksheet.Out, at, rated float64) (takes, has string) {
	takes, _ = o.ReadApart("motor", at, rated, "hp")
	takes, _, _ = strings.Cut(takes, " ")
	return takes, o.Scaled(rated, 3, " hp", .74569987158227022, 3, " kW")
}

// tapLoad reckons a tap in the hole of three quarters of the thread.
func tapLoad(v *worksheet.Values, o *worksheet.Out, m Material, d, pitch float64) {
	t, _ := thread.Parse(v.Text("thread"))
	kind := v.Choice("tap")
	hole := d - float64(pitch*.9743)
	nm := TapTorque(float64(d*25.4), float64(hole*25.4), m.Tapping, TapFactor(kind, t.Coarse, m.Key))
	breaks := v.Or("breaks", "N.m", Breaks(core(d, pitch)))
	o.SetAll("twist N.m, dull N.m, stands N.m", nm, 2*nm, breaks)
	o.Note("The tap's twist is for a hole of three quarters of the thread; 'taptorque' takes yours.")
	o.Line(&tappingTorqueStep, nil, m.Tapping, TapFactor(kind, t.Coarse, m.Key), d*25.4, hole*25.4, nm)
	if nm > breaks {
		headBreaks(o, nm, breaks)
		easier(o, &m, t, hole, m.Tapping, breaks)
		takes, _ := o.ReadApart("push", nm, breaks, "N.m")
		o.Stop(o.Fill("The tap breaks near {grip N.m}, and takes {s}.", []string{takes}, breaks),
			"The torque is more than the tap stands.")
	}
	o.Fact("twists {=push N.m}, dull {+push N.m}", nil, nm, 2*nm)
	if 2*nm > breaks && nm <= breaks {
		o.Caution(o.Fill("Dull or with packed chips it may break: near {grip N.m}. Oil, back it off often, clear chips.",
			nil, breaks))
		o.Fact("▲ breaks at {=grip N.m}", nil, breaks)
	}
}

// core is the diameter of a thread's core in mm.
func core(d, pitch float64) float64 { return float64((d - float64(1.08253175*pitch)) * 25.4) }

// easier offers a spiral point in the same hole where that is within what the tap stands.
func easier(o *worksheet.Out, m *Material, t thread.Thread, hole, kc, breaks float64) {
	nm := TapTorque(float64(t.Inches(t.D)*25.4), float64(hole*25.4), kc, TapFactor("gun", t.Coarse, m.Key))
	if nm <= breaks {
		o.FactStop("spiral point, if through: {=push N.m}", nil, nm)
	}
}

// headBreaks is the headline of a tap that takes more than it stands.
func headBreaks(o *worksheet.Out, nm, breaks float64) {
	takes, _ := o.ReadApart("push", nm, breaks, "N.m")
	bare, _, _ := strings.Cut(takes, " ")
	at := o.Fill("{=grip N.m}", nil, breaks)
	o.HeadStop("Tap breaks at {s}, takes {s}", []string{at, takes})
	o.HeadStop("Tap breaks at {s}, takes {s}", []string{at, bare})
	o.HeadStop("The tap breaks", nil)
}

// drillHalf says what feed is usual while it is not typed.
func drillHalf(v *worksheet.Values, o *worksheet.Out) {
	if v.Has("dia") {
		lo, hi := DrillFeed(v.In("dia"))
		o.Head("Usual {=tooth in} to {=tooth in}", nil, lo, hi)
	}
}

// tapHalf says what the tap stands while its hole is not typed.
func tapHalf(v *worksheet.Values, o *worksheet.Out) {
	t, err := thread.Parse(v.Text("thread"))
	if err != nil || t.D <= 0 {
		return
	}
	o.Head("Breaks near {+grip N.m}", nil, v.Or("breaks", "N.m", Breaks(core(t.Inches(t.D), t.Inches(t.Pitch)))))
}

// powerHalf says how deep a cut the motor has while the depth is not typed.
func powerHalf(v *worksheet.Values, o *worksheet.Out) {
	for _, key := range [...]string{"width", "feed", "cutter", "teeth", "rpm", "motor"} {
		if !v.Has(key) {
			return
		}
	}
	c := asked(v)
	c.Depth = 1
	if c.Width > c.Cutter {
		return
	}
	c.at(v.As("feed", "in/min"))
	if deep := v.As("motor", "hp") * c.e / c.hp(); deep < 10 {
		o.Head("Motor has {=pass in}", nil, deep)
	}
}

// facingHalf says how many rows a face takes.
func facingHalf(v *worksheet.Values, o *worksheet.Out) {
	if v.Has("wide") && v.Has("cutter") {
		n, _ := reach.Rows(v.In("wide"), v.In("cutter"), v.In("edge"), v.In("cutter")*v.Num("step")/100)
		o.Head(rowsText(o, n), nil)
	}
}

func rowsText(o *worksheet.Out, n int) string {
	return worksheet.Either(n == 1, "One row", o.Fill("{0} rows", nil, float64(n)))
}

// lasts writes minutes as a clock does: "20 min", "2 h 10".
func lasts(o *worksheet.Out, minutes float64) string {
	text := o.Read("clock", minutes, "min")
	bare, _, _ := strings.Cut(text, " ")
	n := 0
	for i := range len(bare) {
		if bare[i] < '0' || bare[i] > '9' {
			return text
		}
		n = 10*n + int(bare[i]-'0')
	}
	if n <= 60 {
		return text
	}
	h, m := o.Dec(float64(n/60), 0)+" h", n%60
	switch {
	case m == 0:
		return h
	case m < 10:
		h += " 0"
	default:
		h += " "
	}
	return h + o.Dec(float64(m), 0)
}

// facingFirst is the headline of a face: how many passes, and how long.
func facingFirst(o *worksheet.Out, f *Face, p *Plan, start float64) {
	passes := worksheet.Either(p.Passes() == 1, "1 pass", o.Fill("{0} passes", nil, float64(p.Passes())))
	o.Head("{s}, {s}", []string{passes, lasts(o, p.Total)})
	last := f.Stock - float64(float64(p.Levels)*p.Each)
	switch {
	case p.Levels > 0 && p.Finishing:
		o.Fact("{0} x {=pass in}, then {=pass in}", nil, float64(p.Levels), p.Each, last)
	case p.Levels > 0:
		o.Fact("{0} x {=pass in}", nil, float64(p.Levels), p.Each)
	default:
		o.Fact("{=pass in} in one", nil, last)
	}
	o.Fact(strings.ToLower(rowsText(o, p.Rows)), nil)
	o.Fact("start {=need in} left of middle", nil, start)
	if f.BothWays && p.Passes() > 1 {
		o.Fact("▲ climbs one way", nil)
	}
}

// powerFirst is the headline of a milling cut; hold is the force to hold against.
func powerFirst(o *worksheet.Out, takes, has string, at, rated, hold, fz float64, climbs bool) {
	switch {
	case rated == 0:
		o.Wants("motor")
		o.Head("Takes {+motor hp}", nil, at)
	case at > .85*rated:
		o.Head("Pulls, just: {s} of {s}", []string{takes, has})
	default:
		o.Head("Pulls: {s} of {s}", []string{takes, has})
	}
	o.Fact("hold against {+push lbf}", nil, hold)
	if climbs {
		o.Fact("▲ climbs: lock on", nil)
	}
	o.Fact("{=tooth in} a tooth", nil, fz)
}

// upTo is a number on a dial in the system's own unit.
func upTo(o *worksheet.Out, dial string, x float64, unit string) float64 {
	text, _, _ := strings.Cut(o.Read(dial, x, unit), " ")
	n, point, down := 0.0, false, 1.0
	for i := range len(text) {
		switch c := text[i]; {
		case c == '.':
			point = true
		case c >= '0' && c <= '9':
			n = float64(10*n) + float64(c-'0')
			if point {
				down *= 10
			}
		}
	}
	return math.Round(n) / down
}
