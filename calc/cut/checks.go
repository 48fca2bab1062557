//go:build !js

package cut

import (
	"math"
	"strconv"

	"datumbook/calc/check"
)

// Checks gives what the worksheets of this package were checked against.
func Checks() []check.Proof {
	return []check.Proof{
		{Sheet: "speed", Rows: speedChecks()},
		{Sheet: "power", Rows: powerChecks()},
		{Sheet: "drillforce", Rows: drillChecks()},
		{Sheet: "taptorque", Rows: tapChecks()},
		{Sheet: "facing", Rows: facingChecks()},
	}
}

const (
	perFoot  = .3048
	kwPerHP  = .74569987158227022
	ccPerIn3 = 16.387064
	ccPerMin = 1 / ccPerIn3 // in3/min in one cm3/min
	newMetre = .1129848290276167
)

var machine = []float64{80, 135, 210, 325, 660, 1115, 1750, 2720}

func speedChecks() []check.Check {
	const (
		guide = "Speeds for high speed steel drills, published drill guide"
		shop  = "Machine tool speeds and feeds, university shop table"
		navy  = "NAVEDTRA 14345, drill press: feeds by drill diameter"
		tap   = "Published table of suggested tapping speeds, rpm by surface speed and size"
	)
	rpm := func(v, d float64) func() float64 { return func() float64 { return RPM(v, d) } }
	mrpm := func(v, d float64) func() float64 { return func() float64 { return RPM(v/perFoot, d/25.4) } }
	low := func(key string, op Op) func() float64 {
		return func() float64 { m, _ := Find(key); l, _ := m.Range(op, false); return l }
	}
	high := func(key string, op Op) func() float64 {
		return func() float64 { m, _ := Find(key); _, h := m.Range(op, false); return h }
	}
	return []check.Check{
		{What: "10 mm drill at 30 m/min", Got: mrpm(30, 10), Want: 954.9, Tol: .06, Unit: "rpm", Source: "Published worked problem on drilling time", Provenance: check.Published},
		{What: "100 mm cutter at 35 m/min", Got: mrpm(35, 100), Want: 111.4084, Tol: .0001, Unit: "rpm", Source: "Published worked problem on milling time", Provenance: check.Published},
		{What: "250 mm cutter at 80 m/min", Got: mrpm(80, 250), Want: 101.91, Tol: .06, Unit: "rpm", Source: "An insert maker's technical pages, worked with pi 3.14", Provenance: check.Published},
		{What: "12 mm cutter at 25 m/min", Got: mrpm(25, 12), Want: 663, Tol: .5, Unit: "rpm", Source: "A cutter maker's page on cutting speed", Provenance: check.Published},
		{What: "1/4 in tap at 55 ft/min", Got: rpm(55, .25), Want: 841, Tol: 1, Unit: "rpm", Source: tap, Provenance: check.Published},
		{What: "5/8 in tap at 70 ft/min", Got: rpm(70, .625), Want: 428, Tol: .5, Unit: "rpm", Source: tap, Provenance: check.Published},
		{What: "280 mm/min, 12 teeth, 101.9 rpm: feed per tooth", Got: func() float64 { return Milling{Feed: 280, Teeth: 12, RPM: 101.9}.PerTooth() }, Want: .228, Tol: .0014, Unit: "mm", Source: "An insert maker's technical pages, worked example in milling", Provenance: check.Published},
		{What: "Mild steel, drill, least", Got: low("mild", Drill), Want: 80, Unit: "ft/min", Source: guide, Provenance: check.Published},
		{What: "Mild steel, drill, most", Got: high("mild", Drill), Want: 110, Unit: "ft/min", Source: guide, Provenance: check.Published},
		{What: "Medium cast iron, drill, most", Got: high("grey", Drill), Want: 100, Unit: "ft/min", Source: guide, Provenance: check.Published},
		{What: "Soft cast iron, mill, most", Got: high("greysoft", FaceMill), Want: 120, Unit: "ft/min", Source: shop, Provenance: check.Published},
		{What: "Mild steel, mill, least", Got: low("mild", EndMill), Want: 70, Unit: "ft/min", Source: shop, Provenance: check.Published},
		{What: "Hard cast iron on the lathe (boring), most", Got: high("grey", Bore), Want: 150, Unit: "ft/min", Source: shop, Provenance: check.Published},
		{What: "Grey iron class 30, reamer", Got: high("grey", Ream), Want: 55, Unit: "ft/min", Source: "A reamer maker's table of speeds in ferrous castings", Provenance: check.Published},
		{What: "3/8 in drill, most feed", Got: func() float64 { _, h := DrillFeed(.375); return h }, Want: .007, Tol: 1e-12, Unit: "in", Source: navy, Provenance: check.Published},
		{What: "Hole 5 diameters deep: speed left", Got: func() float64 { s, _ := Deep(5); return s }, Want: .7, Tol: 1e-12, Unit: "", Source: guide + ", deep holes", Provenance: check.Published},
		{What: "32 teeth, 88 rpm, 11.2 in/min: feed per tooth", Got: func() float64 { return Milling{Feed: 11.2, Teeth: 32, RPM: 88}.PerTooth() }, Want: .004, Tol: .00003, Unit: "in", Source: "A milling handbook of 1973, feed by chip load", Provenance: check.Published},
		{What: "Machine with 660 rpm, 764 aimed at: the next slower", Got: func() float64 { return PickSpeed(machine, 764, 1e9).RPM }, Want: 660, Unit: "rpm", Source: "Next speed at or below", Provenance: check.Practice},
		{What: "Same machine, 191 aimed at: the nearer neighbour", Got: func() float64 { return PickSpeed(machine, 191, 1e9).RPM }, Want: 210, Unit: "rpm", Source: "135 is only 0.71 of it", Provenance: check.Practice},
		{What: "Same, but 200 rpm is the most the tool stands", Got: func() float64 { return PickSpeed(machine, 191, 200).RPM }, Want: 135, Unit: "rpm", Source: "The limit is never passed", Provenance: check.Practice},
	}
}

func powerChecks() []check.Check {
	const (
		insert = "An insert maker's technical pages, cutting power: "
		mh     = "Machinery's Handbook, 31st ed., p. 1147, table 1b, inch and SI columns"
	)
	si := func(key string, hb float64) func() float64 { // kW per cm3/s
		return func() float64 {
			m, _ := Find(key)
			k, _ := m.PowerConstant(hb, .01)
			return k * kwPerHP / ccPerIn3 * 60
		}
	}
	kw := func(kc, ccMin, e float64) float64 { return kc * hpPerKc * ccMin * ccPerMin * kwPerHP / e }
	facing := Milling{Depth: .125, Width: 4, Feed: 7.5, Cutter: 6, Teeth: 6, RPM: RPM(300, 6)}
	pc := PowerAtCutter(.82, 1, facing.Removal(), 1)
	return append(arcChecks(), []check.Check{
		{What: "Mild steel, 120 m/min, 3 mm deep, 0.2 mm/rev, kc 3100, efficiency 0.8", Got: func() float64 { return kw(3100, 3*.2*120, .8) }, Want: 4.65, Tol: .001, Unit: "kW", Source: insert + "turning example", Provenance: check.Published},
		{What: "Tool steel, 2 x 80 mm, 280 mm/min, 0.228 mm a tooth, efficiency 0.8", Got: func() float64 { m, _ := Find("tool"); return kw(m.Specific(.228/25.4), 2*80*280/1000.0, .8) }, Want: 1.68, Tol: .02, Unit: "kW", Source: insert + "milling example", Provenance: check.Published},
		{What: "Slot 30 mm wide, 4 mm deep, 120 mm/min, ks 1000: power at the cutter", Got: func() float64 { return kw(1000, 30*4*120/1000.0, 1) }, Want: .24, Tol: .001, Unit: "kW", Source: "Fundamentals of Machining Processes, 2nd ed., example in 6.3", Provenance: check.Published},
		{What: "Carbon steel 190 HB, power constant in kW per cm3/s", Got: si("medium", 190), Want: 2.24, Tol: .006, Unit: "kW", Source: mh, Provenance: check.Published},
		{What: "Carbon steel 90 HB", Got: si("mild", 90), Want: 1.72, Tol: .006, Unit: "kW", Source: mh, Provenance: check.Published},
		{What: "Alloy steel 290 HB", Got: si("alloy", 290), Want: 2.38, Tol: .006, Unit: "kW", Source: mh, Provenance: check.Published},
		{What: "Free-cutting steel 190 HB", Got: si("free", 190), Want: 1.36, Tol: .006, Unit: "kW", Source: mh, Provenance: check.Published},
		{What: "Grey iron 200 HB at 0.2 mm a tooth: specific cutting force", Got: func() float64 { m, _ := Find("grey"); return m.Specific(.2 / 25.4) }, Want: 1400, Tol: 1e-6, Unit: "MPa", Source: insert + "milling table", Provenance: check.Published},
		{What: "Grey iron, power constant 200 HB", Got: func() float64 { m, _ := Find("grey"); k, _ := m.PowerConstant(200, .01); return k }, Want: .60, Tol: 1e-12, Unit: "hp", Source: "Machinery's Handbook, table 1a", Provenance: check.Memory},
		{What: "Facing steel, 0.125 x 4 in at 7.5 in/min: power at the cutter", Got: func() float64 { return pc }, Want: 3.075, Tol: .001, Unit: "hp", Source: "0.82 x 3.75 by hand", Provenance: check.Independent},
		{What: "Same at 300 ft/min: mean force", Got: func() float64 { return Tangential(pc, 300) }, Want: 338.25, Tol: .01, Unit: "lbf", Source: "33,000 x 3.075/300 by hand", Provenance: check.Independent},
		{What: "Same, torque from the force at the rim against 63,025 hp/n", Got: func() float64 { return SpindleTorque(pc, facing.RPM) - float64(Tangential(pc, 300)*3) }, Want: 0, Tol: .02, Unit: "lbf-in", Source: "Force times radius", Provenance: check.Independent},
		{What: "Grey iron, 0.2 mm a tooth: handbook constant against the insert maker's force", Got: func() float64 {
			m, _ := Find("grey")
			k, _ := m.PowerConstant(200, .2/25.4)
			return k * FeedFactor(.2/25.4) / (m.Specific(.2/25.4) * hpPerKc)
		}, Want: 1, Tol: .3, Unit: "", Source: "Two independent tables", Provenance: check.Independent},
	}...)
}

// arcChecks are the examples of a cutter's arc: forces by width, chips, and which way the part is
// pushed. No public numeric example was found; all were computed apart, in double precision.
func arcChecks() (out []check.Check) {
	const kc, apart = 2e5, "Computed apart in double precision: "
	mill := func(d, z, fz, b, e float64) Milling {
		return Milling{Depth: .1, Width: b, Cutter: d, Teeth: z, RPM: 100, Feed: fz * z * 100, Offset: e}
	}
	add := func(what, source, unit string, want, tol, got float64) {
		out = append(out, check.Check{What: what, Got: func() float64 { return got }, Want: want, Tol: tol, Unit: unit,
			Source: apart + source, Provenance: check.Independent})
	}
	for _, r := range [][6]float64{ // width, arc, teeth in the cut, mean, worst instant, mean and one tooth
		{2, 38.94, .649, 76.39, 120, 196.4}, {2.9, 57.81, .963, 110.8, 120, 230.8}, {3, 60, 1, 114.6, 207.8, 234.6}, {3.1,
			62.22, 1.037, 118.4, 207.8, 238.4},
		{4, 83.62, 1.394, 152.8, 207.8, 272.8}, {5.2, 120.1, 2.002, 198.6, 240, 318.6}, {5.9, 159.1, 2.651, 225.4, 240,
			345.4}, {6, 180, 3, 229.2, 240, 349.2},
	} {
		c := mill(6, 6, .006, r[0], 0)
		at := "6 in cutter, 6 teeth at 0.006 in, 0.1 deep, 200 ksi, " + strconv.FormatFloat(r[0], 'g', -1, 64) + " in wide: "
		enters, leaves := c.Arc()
		add(at+"arc", "phi = acos(2y/D)", "deg", r[1], .006+float64(5e-4*r[1]), (leaves-enters)*180/math.Pi)
		add(at+"teeth in the cut", "z arc/(2 pi)", "", r[2], .0006, c.Engaged())
		add(at+"mean force", "kc ap fz z B/(pi D)", "lbf", r[3], 6e-4*r[3], c.Mean(kc))
		add(at+"worst instant", "teeth added up at every place", "lbf", r[4], .06, c.Pushes(kc).Rim)
		add(at+"force to hold against", "mean and one tooth", "lbf", r[5], 6e-4*r[5], c.Hold(kc))
	}
	for _, r := range [][6]float64{{4, .5, .006, .003969, .002075, 1.512}, {4, .25, .006, .002905, .001484, 2.066},
		{1, .1, .004, .0024, .001243, 1.667}, {6, 4, .006, .006, .005482, 1}} {
		c := mill(r[0], 6, r[2], r[1], (r[0]-r[1])/2)
		if r[5] == 1 {
			c.Offset = 0
		}
		thick, mean := c.Chip()
		at := strconv.FormatFloat(r[0], 'g', -1, 64) + " in cutter, " + strconv.FormatFloat(r[1], 'g', -1, 64) +
			" in wide at " + strconv.FormatFloat(r[2], 'g', -1, 64) + " in a tooth: "
		add(at+"thickest chip", "2 fz sqrt(x - x^2)", "in", r[3], 6e-7, thick)
		add(at+"mean chip", "fz (1 - cos psi)/psi", "in", r[4], 6e-7, mean)
		add(at+"times the feed for a full chip", "fz over the thickest", "", r[5], 6e-4, Thinned(r[1], r[0]))
	}
	for _, r := range []struct {
		what string
		e    float64
		want [5]float64
	}{
		{"conventional side", 1.25, [5]float64{78.38, 34.44, 108.4, -40.17, 145.5}}, {"centred", 0,
			[5]float64{33.55, -.42, 82.94, -83.89, 129.2}}, {"climb side", -1.25, [5]float64{-29.05, -40.62, -11.57, -83.14,
			145.5}},
	} {
		p := mill(4, 6, .006, 1.5, r.e).Pushes(kc)
		for i, x := range []float64{p.X, p.XLow, p.XTop, p.Y, p.Worst} {
			add("4 in cutter, 1.5 in wide, "+r.what+": "+[...]string{"mean push ahead", "least push ahead",
				"most push ahead", "mean push to the left", "most in the plane"}[i],
				"Ft cos + Fr sin, -Ft sin + Fr cos, Fr 0.4 Ft", "lbf", r.want[i], .06+float64(6e-4*math.Abs(r.want[i])),
				x) // the figures were sampled
		}
	}
	return out
}

func drillChecks() []check.Check {
	const (
		t8 = "Machinery's Handbook, 31st ed., p. 1153, table 8"
		t9 = "Machinery's Handbook, 31st ed., p. 1153, table 9"
	)
	ff := func(f float64) func() float64 { return func() float64 { x, _, _ := Factors(f, 1); return x } }
	ft := func(d float64) func() float64 { return func() float64 { _, x, _ := Factors(1, d); return x } }
	fm := func(d float64) func() float64 { return func() float64 { _, _, x := Factors(1, d); return x } }
	steel := Drilling{D: .875, Feed: .008, RPM: 350, Kd: 24000, Wear: 1.3}
	iron := Drilling{D: 17.0 / 32, Feed: .010, RPM: 575, Kd: 15000, Wear: 1.3}
	ten := Drilling{D: 10 / 25.4, Feed: .3 / 25.4, RPM: 1, Kd: 24000, Wear: 1}
	return []check.Check{
		{What: "Feed factor at 0.008 in", Got: ff(.008), Want: .021, Tol: .0005, Unit: "", Source: t8, Provenance: check.Published},
		{What: "Feed factor at 0.020 in", Got: ff(.020), Want: .044, Tol: .0005, Unit: "", Source: t8, Provenance: check.Published},
		{What: "Feed factor at 0.20 mm", Got: ff(.20), Want: .276, Tol: .0005, Unit: "", Source: t8, Provenance: check.Published},
		{What: "Thrust factor of a 7/8 in drill", Got: ft(.875), Want: .899, Tol: .0005, Unit: "", Source: t9, Provenance: check.Published},
		{What: "Torque factor of a 7/8 in drill", Got: fm(.875), Want: .786, Tol: .0005, Unit: "", Source: t9, Provenance: check.Published},
		{What: "Thrust factor of a 1/2 in drill", Got: ft(.5), Want: .574, Tol: .0005, Unit: "", Source: t9, Provenance: check.Published},
		{What: "Torque factor of a 2 in drill", Got: fm(2), Want: 3.482, Tol: .0005, Unit: "", Source: t9, Provenance: check.Published},
		{What: "Thrust factor of a 3 in drill", Got: ft(3), Want: 2.408, Tol: .0005, Unit: "", Source: t9, Provenance: check.Published},
		{What: "Torque factor of a 22 mm drill", Got: fm(22), Want: 260.8, Tol: .1, Unit: "", Source: t9, Provenance: check.Published},
		{What: "10 mm drill in steel at 0.3 mm, sharp: torque", Got: func() float64 { return ten.Torque() * newMetre }, Want: 15, Tol: 1, Unit: "N.m", Source: "A drill maker's training page", Provenance: check.Published},
		{What: "7/8 in drill, steel 200 HB, 0.008 in: thrust", Got: steel.Thrust, Want: 2313, Tol: 1, Unit: "lbf", Source: "Handbook formula and tables in double precision; Kd from memory", Provenance: check.Memory},
		{What: "Same, torque", Got: steel.Torque, Want: 559, Tol: 1, Unit: "lbf-in", Source: "Handbook formula and tables in double precision; Kd from memory", Provenance: check.Memory},
		{What: "17/32 in drill in iron, 0.010 in, 575 rpm: power", Got: iron.Power, Want: 1.55, Tol: .01, Unit: "hp", Source: "Handbook formula and tables in double precision; Kd from memory", Provenance: check.Memory},
		{What: "10 mm drill in mild steel at 0.3 mm, sharp: thrust against a drill maker's formula", Got: func() float64 { t, _, _ := Maker("mild", ten.D, ten.Feed); return ten.Thrust() / t }, Want: 1, Tol: .1, Unit: "", Source: "Two independent formulas", Provenance: check.Independent},
		{What: "3/4 in drill in magnesium, 0.010 in: torque against 49,500 f D^2 x unit power", Got: func() float64 { return Drilling{D: .75, Feed: .010, RPM: 1, Kd: 4000, Wear: 1}.Torque() }, Want: 56, Tol: 12, Unit: "lbf-in", Source: "A clamp maker's guide, worked example", Provenance: check.Published},
	}
}

func tapChecks() []check.Check {
	const pages = "A tap maker's technical pages, tapping torque: tables of resistance and tap factor"
	k := func(tap string, coarse bool, work string) func() float64 {
		return func() float64 { return TapFactor(tap, coarse, work) }
	}
	kc := func(key string) func() float64 { return func() float64 { m, _ := Find(key); return m.Tapping } }
	return []check.Check{
		{What: "Hand tap, plug, steel, coarse", Got: k("plug", true, "mild"), Want: 1.35, Unit: "", Source: pages, Provenance: check.Published},
		{What: "Hand tap, bottoming, iron, coarse", Got: k("bottoming", true, "grey"), Want: 1.30, Unit: "", Source: pages, Provenance: check.Published},
		{What: "Spiral flute, steel, fine", Got: k("spiral", false, "mild"), Want: 1.25, Unit: "", Source: pages, Provenance: check.Published},
		{What: "Spiral point, iron, coarse", Got: k("gun", true, "grey"), Want: .80, Unit: "", Source: pages, Provenance: check.Published},
		{What: "Hand tap, plug, brass", Got: k("plug", true, "brass"), Want: 1.60, Unit: "", Source: pages, Provenance: check.Published},
		{What: "Resistance of grey iron GG25", Got: kc("grey"), Want: 2900, Unit: "MPa", Source: pages, Provenance: check.Published},
		{What: "Resistance of steel Ck45", Got: kc("medium"), Want: 3900, Unit: "MPa", Source: pages, Provenance: check.Published},
		{What: "Resistance of the 18-8 stainless", Got: kc("stainless"), Want: 4200, Unit: "MPa", Source: pages, Provenance: check.Published},
		{What: "M12 plug tap in GG25, hole 10.3 mm", Got: func() float64 { return TapTorque(12, 10.3, 2900, 1.25) }, Want: 8.22, Tol: .01, Unit: "N.m", Source: "The published formula in double precision", Provenance: check.Independent},
		{What: "5/8-11 bottoming tap in iron, 17/32 in hole", Got: func() float64 { return TapTorque(15.875, 17.0/32*25.4, 2900, 1.30) }, Want: 22.0, Tol: .1, Unit: "N.m", Source: "The published formula in double precision", Provenance: check.Independent},
		{What: "5/8-11 tap, core 13.375 mm: breaks near", Got: func() float64 { return Breaks(13.375) }, Want: 101.5, Tol: .1,
			Unit: "N.m", Source: "pi/16 x 1000 N/mm2 x (0.6 x 13.375)^3; no public table was found", Provenance: check.Practice},
		{What: "M10 groove cut in 2,000 slices, against the formula", Got: func() float64 { return slices(10, 8.5, 3900, 1.35) / TapTorque(10, 8.5, 3900, 1.35) }, Want: 1, Tol: 1e-6, Unit: "", Source: "Numeric integration of the thread's triangle", Provenance: check.Independent},
	}
}

// slices is the tapping torque as the sum over thin rings of the thread's triangle, each at its own
// radius: force kc K times its area, N.m.
func slices(d, hole, kc, k float64) float64 {
	const n = 2000
	h := float64((d - hole) / 2)
	sum := 0.0
	for i := range n {
		up := float64((float64(i)+.5)*h) / n // from the hole's wall outward
		width := float64(2*(h-up)) / math.Sqrt(3)
		sum += float64(float64(width*h/n) * (float64(hole/2) + up))
	}
	return sum * kc * k / 1000
}

func facingChecks() []check.Check {
	const (
		fmp  = "Fundamentals of Machining Processes, 2nd ed., example in 6.3: face 300 mm, cutter 30 mm, 120 mm/min"
		gate = "Published worked problem on milling time: 300 mm, cutter 100 mm, 35 m/min, 20 teeth at 0.1 mm, 25 mm in 5 mm passes"
	)
	slot := Face{Long: 300, Wide: 30, Stock: 4, Deep: 4, Cutter: 30, Runout: 3, Step: 20, Feed: 120, FineFeed: 60, BothWays: true}.Make()
	big := Face{Long: 300, Wide: 100, Stock: 25, Deep: 5, Cutter: 100, Runout: 5, Step: 75, Feed: .1 * 20 * 111.4084, FineFeed: 1, BothWays: true}.Make()
	wide := Face{Long: 20, Wide: 14, Stock: .25, Deep: .1, Finish: .02, Cutter: 6, Runout: .25, Edge: .125, Step: 4.5, Clear: true, Feed: 10, FineFeed: 5, Rapid: 100, Handling: .5}.Make()
	get := func(x float64) func() float64 { return func() float64 { return x } }
	return []check.Check{
		{What: "Length of travel", Got: get(slot.Travel), Want: 321, Tol: 1e-9, Unit: "mm", Source: fmp, Provenance: check.Published},
		{What: "Machining time", Got: get(slot.Pass), Want: 2.68, Tol: .006, Unit: "min", Source: fmp, Provenance: check.Published},
		{What: "Length of cut", Got: get(big.Travel), Want: 360, Tol: 1e-9, Unit: "mm", Source: gate, Provenance: check.Published},
		{What: "Time of one pass", Got: get(big.Pass), Want: 1.6157, Tol: .0001, Unit: "min", Source: gate, Provenance: check.Published},
		{What: "Passes", Got: get(float64(big.Passes())), Want: 5, Unit: "", Source: gate, Provenance: check.Published},
		{What: "Machining time", Got: get(big.Cutting), Want: 8.078, Tol: .001, Unit: "min", Source: gate, Provenance: check.Published},
		{What: "Face 14 in wide, cutter 6 in, step 4.5 in: passes side by side", Got: get(float64(wide.Rows)), Want: 3, Unit: "", Source: "Span 14 + 1/4 - 6 = 8.25, two steps of 4.125", Provenance: check.Exact},
		{What: "Same, 0.23 in roughing at 0.1 in: passes deep", Got: get(float64(wide.Levels)), Want: 3, Unit: "", Source: "0.23/0.1 rounded up", Provenance: check.Exact},
		{What: "Same, time in all", Got: get(wide.Total), Want: 9*2.65 + 3*5.3 + 12*(.265+.5), Tol: 1e-9, Unit: "min", Source: "Nine passes of 26.5 in at 10, three at 5, twelve returns at 100 in/min and half a minute each", Provenance: check.Exact},
	}
}
