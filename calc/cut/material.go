// Package cut gives starting speeds, feeds and depths, the power and force of a
// cut, drilling thrust and torque, tapping torque, and the passes and time of a
// face. Typed functions work in inches, ft/min, in/min, lbf and hp.
package cut

import (
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// span is a range of surface speeds in ft/min, or of feeds in inches.
type span struct{ lo, hi float64 }

func (s span) at(share float64) float64 { return s.lo + float64(share*(s.hi-s.lo)) }

// Material is a work material and its cutting data.
type Material struct {
	Key, Label string
	// Surface speeds in ft/min. Carbide is for milling and boring.
	Drill, Mill, Carbide, Bore, Tap span
	Ream                            float64 // ft/min, high speed steel
	Face                            span    // feed per tooth of a face mill, in
	End                             span    // feed per tooth of a 1/4 in and a 1 in end mill, in
	BoreFeed                        span    // finishing and roughing feed of a boring bar, in/rev
	Depth                           float64 // starting depth on a light machine, high speed steel, in
	Soft                            bool    // drilled at the upper half of the feed range
	HB                              float64 // usual hardness where none is given
	Kp                              []band  // power constant by hardness
	KpFrom                          string  // source of Kp
	Kc                              [5]float64
	Kd                              float64 // work material factor for drilling
	Tapping                         float64 // specific cutting resistance in tapping, N/mm2
}

// band is a value that applies up to a Brinell hardness.
type band struct{ upto, value float64 }

// lookup returns the value for a hardness; inside reports whether the table covers it; its first
// band starts 20 below its end.
func lookup(bands []band, hb float64) (value float64, inside bool) {
	if len(bands) == 1 {
		return bands[0].value, true
	}
	for i, b := range bands {
		if hb <= b.upto {
			return b.value, i > 0 || hb >= b.upto-20
		}
	}
	return bands[len(bands)-1].value, false
}

// Power constants Kp, hp per in3/min with sharp tools. Steels: Machinery's
// Handbook, 31st ed., p. 1147, table 1b. Cast metals and copper alloys: table
// 1a, from memory of that page.
var (
	kpCarbon = []band{{100, .63}, {120, .66}, {140, .69}, {160, .74}, {180, .78}, {200, .82}, {220, .85}, {240, .89}, {260, .92}, {280, .95}, {300, 1.00}, {320, 1.03}, {340, 1.06}, {360, 1.14}}
	kpAlloy  = []band{{160, .62}, {180, .65}, {200, .69}, {220, .72}, {240, .76}, {260, .80}, {280, .84}, {300, .87}, {320, .91}, {340, .96}, {360, 1.00}}
	kpFree   = []band{{120, .41}, {140, .42}, {160, .44}, {180, .48}, {200, .50}, {220, .55}, {240, .57}, {260, .62}}
	kpGrey   = []band{{120, .28}, {140, .35}, {160, .38}, {180, .52}, {200, .60}, {220, .71}, {240, .91}}
	kpMall   = []band{{175, .42}, {200, .57}, {250, .82}, {300, 1.18}}
	kpCast   = []band{{175, .62}, {200, .78}, {250, .86}}
)

const (
	steelTable = "MH"
	ironTable  = "MH iron"
)

// kcFeeds are the feeds per tooth, mm, of the specific cutting forces below.
var kcFeeds = [...]float64{.1, .2, .3, .4, .6}

// materials: surface speeds for drilling, milling and boring from a university shop table (drill,
// lathe and mill columns) and a drill guide; tapping speeds from tap makers' tables; reaming from a
// reamer maker's table; feeds of face mills from the shop table, of end mills from a cutter maker's
// table; depth from the shop table, in iron by habit. Carbide is three to four times high speed
// steel by habit. Specific cutting forces in milling, N/mm2, from an insert maker's technical
// pages. Where a metal stands in none of these (hard grey iron, free-cutting steel and bronze in
// boring, carbide) the figure is shop habit. Kd from memory of Machinery's Handbook, table 6.
// Tapping resistance from a tap maker's technical pages.
var materials = [...]Material{
	{Key: "greysoft", Label: "grey iron, soft (to 150 HB)", Drill: span{100, 150}, Mill: span{80, 120}, Carbide: span{250, 350}, Bore: span{100, 250}, Tap: span{50, 80}, Ream: 65,
		Face: span{.004, .016}, End: span{.003, .008}, BoreFeed: span{.005, .015}, Depth: .05, Soft: true, HB: 140, Kp: kpGrey, KpFrom: ironTable, Kc: [5]float64{1750, 1400, 1240, 1050, 970}, Kd: 15000, Tapping: 2900},
	{Key: "grey", Label: "grey iron, medium (180-220 HB)", Drill: span{70, 100}, Mill: span{50, 100}, Carbide: span{200, 300}, Bore: span{50, 150}, Tap: span{30, 40}, Ream: 55,
		Face: span{.004, .010}, End: span{.002, .005}, BoreFeed: span{.003, .010}, Depth: .05, Soft: true, HB: 200, Kp: kpGrey, KpFrom: ironTable, Kc: [5]float64{1750, 1400, 1240, 1050, 970}, Kd: 15000, Tapping: 2900},
	{Key: "greyhard", Label: "grey iron, hard (220-260 HB)", Drill: span{50, 60}, Mill: span{40, 60}, Carbide: span{150, 220}, Bore: span{40, 100}, Tap: span{25, 35}, Ream: 40,
		Face: span{.004, .010}, End: span{.002, .005}, BoreFeed: span{.003, .010}, Depth: .04, HB: 235, Kp: kpGrey, KpFrom: ironTable, Kd: 15000, Tapping: 2900},
	{Key: "ductile", Label: "ductile iron (140-225 HB)", Drill: span{70, 100}, Mill: span{50, 90}, Carbide: span{180, 280}, Bore: span{50, 150}, Tap: span{30, 40}, Ream: 45,
		Face: span{.004, .010}, End: span{.002, .005}, BoreFeed: span{.003, .010}, Depth: .04, Soft: true, HB: 180, Kp: kpMall, KpFrom: ironTable, Kd: 15000, Tapping: 2900},
	{Key: "malleable", Label: "malleable iron", Drill: span{80, 90}, Mill: span{80, 100}, Carbide: span{200, 300}, Bore: span{70, 150}, Tap: span{35, 60}, Ream: 55,
		Face: span{.004, .010}, End: span{.002, .005}, BoreFeed: span{.003, .010}, Depth: .05, Soft: true, HB: 160, Kp: kpMall, KpFrom: ironTable, Kd: 15000, Tapping: 2900},
	{Key: "mild", Label: "mild steel", Drill: span{80, 110}, Mill: span{70, 120}, Carbide: span{300, 450}, Bore: span{100, 250}, Tap: span{50, 60}, Ream: 60,
		Face: span{.003, .010}, End: span{.001, .004}, BoreFeed: span{.003, .010}, Depth: .03, HB: 150, Kp: kpCarbon, KpFrom: steelTable, Kc: [5]float64{2200, 1950, 1820, 1700, 1580}, Kd: 24000, Tapping: 3700},
	{Key: "free", Label: "free-cutting steel", Drill: span{110, 130}, Mill: span{80, 140}, Carbide: span{350, 500}, Bore: span{120, 280}, Tap: span{40, 80}, Ream: 75,
		Face: span{.003, .010}, End: span{.001, .004}, BoreFeed: span{.003, .010}, Depth: .03, Soft: true, HB: 150, Kp: kpFree, KpFrom: steelTable, Kd: 18000, Tapping: 3600},
	{Key: "medium", Label: "steel, 0.4-0.5 carbon", Drill: span{70, 80}, Mill: span{60, 90}, Carbide: span{250, 350}, Bore: span{80, 180}, Tap: span{30, 50}, Ream: 50,
		Face: span{.003, .010}, End: span{.001, .004}, BoreFeed: span{.003, .010}, Depth: .03, HB: 200, Kp: kpCarbon, KpFrom: steelTable, Kc: [5]float64{1980, 1800, 1730, 1600, 1570}, Kd: 24000, Tapping: 3900},
	{Key: "caststeel", Label: "cast steel", Drill: span{45, 70}, Mill: span{50, 90}, Carbide: span{200, 300}, Bore: span{70, 150}, Tap: span{20, 30}, Ream: 45,
		Face: span{.003, .008}, End: span{.001, .004}, BoreFeed: span{.003, .010}, Depth: .03, HB: 175, Kp: kpCast, KpFrom: ironTable, Kc: [5]float64{2800, 2500, 2320, 2200, 2040}, Kd: 24000, Tapping: 3900},
	{Key: "alloy", Label: "alloy steel, 250-300 HB", Drill: span{40, 60}, Mill: span{30, 60}, Carbide: span{150, 250}, Bore: span{50, 150}, Tap: span{22, 32}, Ream: 30,
		Face: span{.003, .008}, End: span{.0005, .003}, BoreFeed: span{.003, .010}, Depth: .025, HB: 275, Kp: kpAlloy, KpFrom: steelTable, Kc: [5]float64{2540, 2250, 2140, 2000, 1800}, Kd: 31000, Tapping: 4900},
	{Key: "tool", Label: "tool steel, annealed", Drill: span{50, 60}, Mill: span{40, 70}, Carbide: span{150, 200}, Bore: span{50, 150}, Tap: span{15, 25}, Ream: 35,
		Face: span{.003, .008}, End: span{.0005, .003}, BoreFeed: span{.003, .010}, Depth: .025, HB: 220, Kp: kpCarbon, KpFrom: steelTable, Kc: [5]float64{2030, 1800, 1750, 1700, 1580}, Kd: 31000, Tapping: 5300},
	{Key: "stainfree", Label: "stainless, free-cutting", Drill: span{30, 80}, Mill: span{50, 80}, Carbide: span{250, 400}, Bore: span{60, 180}, Tap: span{20, 35}, Ream: 45,
		Face: span{.003, .008}, End: span{.001, .004}, BoreFeed: span{.003, .010}, Depth: .03, HB: 180, Kc: [5]float64{2030, 1970, 1900, 1770, 1710}, Kd: 24000, Tapping: 4200},
	{Key: "stainless", Label: "stainless, 300 series", Drill: span{15, 50}, Mill: span{30, 60}, Carbide: span{150, 300}, Bore: span{50, 120}, Tap: span{10, 20}, Ream: 35,
		Face: span{.003, .006}, End: span{.001, .004}, BoreFeed: span{.003, .008}, Depth: .03, HB: 160, Kc: [5]float64{2030, 1970, 1900, 1770, 1710}, Kd: 34000, Tapping: 4200},
	{Key: "brass", Label: "brass, ordinary bronze", Drill: span{150, 300}, Mill: span{150, 450}, Carbide: span{500, 800}, Bore: span{250, 500}, Tap: span{80, 115}, Ream: 130,
		Face: span{.004, .020}, End: span{.003, .007}, BoreFeed: span{.003, .015}, Depth: .05, Soft: true, HB: 100, Kp: []band{{400, .50}}, KpFrom: ironTable, Kc: [5]float64{1150, 950, 800, 700, 630}, Kd: 14000, Tapping: 2300},
	{Key: "bronze", Label: "high-tensile bronze", Drill: span{70, 150}, Mill: span{60, 115}, Carbide: span{250, 400}, Bore: span{100, 250}, Tap: span{20, 50}, Ream: 60,
		Face: span{.004, .012}, End: span{.002, .005}, BoreFeed: span{.003, .010}, Depth: .04, HB: 150, Kp: []band{{400, .50}}, KpFrom: ironTable, Kd: 14000, Tapping: 2300},
	{Key: "aluminium", Label: "aluminium", Drill: span{200, 300}, Mill: span{250, 500}, Carbide: span{800, 2000}, Bore: span{350, 700}, Tap: span{50, 150}, Ream: 200,
		Face: span{.005, .020}, End: span{.003, .009}, BoreFeed: span{.005, .015}, Depth: .05, Soft: true, HB: 80, Kp: []band{{400, .25}}, KpFrom: ironTable, Kc: [5]float64{700, 600, 490, 450, 390}, Kd: 7000, Tapping: 1300},
}

// Find gives a material by its key.
func Find(key string) (Material, bool) {
	return units.First(materials[:], func(m Material) bool { return m.Key == key })
}

func materialOptions() []worksheet.Option {
	option := func(m Material) worksheet.Option { return worksheet.Option{Key: m.Key, Label: m.Label} }
	return worksheet.OptionsOf(materials[:], option)
}

func materialInput() worksheet.Input {
	return worksheet.Input{Key: "work", Label: "Metal", Ask: "What metal?", Kind: worksheet.Choice, Default: "grey", Options: materialOptions(),
		Help: "What is cut. An old casting of unknown iron: medium grey iron."}
}

var sources = []worksheet.Source{
	{Key: "MH", Title: "Machinery's Handbook, 31st edition, pp. 1145-1154: machining power, drilling thrust and torque"},
	{Key: "MH iron", Title: "Machinery's Handbook, power constants of cast and copper metals and work material factors, from memory: confirm before you rely on them"},
	{Key: "shop", Title: "Machine tool speeds and feeds, university shop table; speeds for high speed steel drills, published drill guide"},
	{Key: "makers", Title: "Cutter, reamer and tap makers' published tables of speeds, feeds and specific cutting forces"},
	{Key: "Navy", Title: "US Navy NAVEDTRA 14345 Engine Mechanics: drill speeds and feeds"},
	{Key: "geometry", Title: "Geometry and units"},
	worksheet.Practice,
}
