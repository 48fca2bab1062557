package engage

import (
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Metal is a metal that may be tapped. Strengths are in psi.
type Metal struct {
	Key, Label     string
	Tensile, Shear float64
	Rule           float64 // engagement the shop usually gives it, in diameters
	Brittle        bool    // crumbles under a fine thread
}

// Metals lists the metals known. The tensile strengths are the least of their
// specification: ASTM A48 for grey iron, A536 for ductile iron, A27 for cast
// steel, A36 for mild steel, B26 for 356-T6, B209 for 6061-T6 and 7075-T6, B505
// for bronze. The shear strength of grey iron is the usual one of Mechanical
// Engineering Design, 5th edition, table A-22 (classes 20 and 35 looked up, the
// others from memory); of ductile iron 0.9, of steel and bronze 0.6 of the tensile strength.
var Metals = [...]Metal{
	{"grey20", "Grey iron class 20", 20e3, 26e3, 1.5, true},
	{"grey25", "Grey iron class 25", 25e3, 32e3, 1.5, true},
	{"grey30", "Grey iron class 30", 30e3, 40e3, 1.5, true},
	{"grey35", "Grey iron class 35", 35e3, 48.5e3, 1.5, true},
	{"grey40", "Grey iron class 40", 40e3, 57e3, 1.5, true},
	{"grey50", "Grey iron class 50", 50e3, 73e3, 1.5, true},
	{"grey60", "Grey iron class 60", 60e3, 88.5e3, 1.5, true},
	{"ductile60", "Ductile iron 60-40-18", 60e3, 54e3, 1.5, false},
	{"ductile65", "Ductile iron 65-45-12", 65e3, 58.5e3, 1.5, false},
	{"ductile80", "Ductile iron 80-55-06", 80e3, 72e3, 1.5, false},
	{"caststeel", "Cast steel 65-35", 65e3, 39e3, 1, false},
	{"mild", "Mild steel", 58e3, 34.8e3, 1, false},
	{"al356", "Aluminium 356-T6 casting", 33e3, 26e3, 2, false},
	{"al6061", "Aluminium 6061-T6", 42e3, 27e3, 2, false},
	{"al7075", "Aluminium 7075-T6", 77e3, 46e3, 2, false},
	{"bronze", "Bearing bronze C93200", 35e3, 21e3, 1.5, false},
}

// FindMetal looks a metal up by its key; iron of no known class is the weakest.
func FindMetal(key string) (Metal, bool) {
	if key == "iron" {
		key = "grey20"
	}
	return units.First(Metals[:], func(m Metal) bool { return m.Key == key })
}

const psiPerMPa = 1e6 * 0.0254 * 0.0254 / (0.45359237 * 9.80665)

// Grade is a strength class of screws.
type Grade struct {
	Key, Label string
	upTo       float64 // largest diameter of the first strength, in
	small      float64 // tensile strength up to there, psi
	large      float64 // above
	least      float64 // smallest diameter of the standard, in
	most       float64 // largest
}

// Grades lists the strength classes known, by SAE J429, ASTM A307, A193 and
// A574, and ISO 898-1: the least tensile strength.
var Grades = [...]Grade{
	{"2", "SAE grade 2", .75, 74e3, 60e3, .25, 1.5},
	{"5", "SAE grade 5", 1, 120e3, 105e3, .25, 1.5},
	{"8", "SAE grade 8", 1.5, 150e3, 150e3, .25, 1.5},
	{"rod", "Plain threaded rod (A307, grade 1)", 4, 60e3, 60e3, .25, 4},
	{"b7", "B7 stud (A193)", 2.5, 125e3, 115e3, .25, 4},
	{"socket", "Socket head cap screw (A574)", .5, 180e3, 170e3, .06, 4},
	{"4.6", "Class 4.6", 99, 400 * psiPerMPa, 0, 1.6 / 25.4, 39.1 / 25.4},
	{"5.8", "Class 5.8", 99, 520 * psiPerMPa, 0, 1.6 / 25.4, 39.1 / 25.4},
	{"8.8", "Class 8.8", 16.1 / 25.4, 800 * psiPerMPa, 830 * psiPerMPa, 1.6 / 25.4, 39.1 / 25.4},
	{"10.9", "Class 10.9", 99, 1040 * psiPerMPa, 0, 1.6 / 25.4, 39.1 / 25.4},
	{"12.9", "Class 12.9", 99, 1220 * psiPerMPa, 0, 1.6 / 25.4, 39.1 / 25.4},
}

// Tensile gives the least tensile strength in psi of a grade's screw of the given diameter in
// inches; covered reports whether its standard covers that size. An unknown grade has none.
func Tensile(grade string, d float64) (psi float64, covered bool) {
	for _, g := range Grades {
		if g.Key != grade {
			continue
		}
		psi = worksheet.Either(d > g.upTo, g.large, g.small)
		return psi, d >= g.least-1e-9 && d <= g.most+1e-9
	}
	return 0, false
}

// Needed computes the joint of a thread with a bolt of a grade in a metal, both by key, for callers
// without figures of their own. Hole is the minor diameter of the tapped hole in inches, 0 for the
// largest its class allows. The fault names the field: thread, bolt, metal or hole.
func Needed(t thread.Thread, grade, metal string, hole float64) (Strength, *worksheet.InputError) {
	bolt, _ := Tensile(grade, t.Inches(t.D))
	m, _ := FindMetal(metal)
	return Length(Joint{Thread: t, Bolt: bolt, Tensile: m.Tensile, Shear: m.Shear, Hole: hole})
}

func gradeOptions() []worksheet.Option {
	option := func(g Grade) worksheet.Option { return worksheet.Option{Key: g.Key, Label: g.Label} }
	return worksheet.OptionsOf(Grades[:], option, worksheet.Option{Key: "own", Label: "My own figure"})
}

func metalOptions() []worksheet.Option {
	return worksheet.OptionsOf(Metals[:], Metal.Option, worksheet.Option{Key: "iron",
		Label: "Grey iron, class not known"}, worksheet.Option{Key: "own", Label: "My own figures"})
}

// Option is the metal as a choice of a worksheet.
func (m Metal) Option() worksheet.Option { return worksheet.Option{Key: m.Key, Label: m.Label} }
