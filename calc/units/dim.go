package units

// Dim says what kind of quantity a number is. Torque and energy share a
// physical dimension but not a Dim, so that one is never taken for the other.
type Dim uint8

// The kinds of quantity a worksheet may ask for or answer with.
const (
	None Dim = iota // a pure number
	Span            // a length
	Angle
	Force
	Torque
	Mass
	SurfaceSpeed // cutting speed at the tool's edge
	TableFeed    // feed per minute
	Power
	Stress
	Temperature
	Area
	Volume
	Density
	Spin // revolutions per minute
	Time
	Slope     // rise over run
	Removal   // volume of metal a minute
	Expansion // length change per length per degree
	Percent
	dims // how many there are
)

// System says which units a bare number is in and an answer is given in.
type System uint8

// The two systems of units.
const (
	InchSystem System = iota
	MetricSystem
)

// Name gives the system's short name as typed by the user: "in" or "mm".
func (s System) Name() string {
	if s == MetricSystem {
		return "mm"
	}
	return "in"
}

// ParseSystem reads "in" or "mm".
func ParseSystem(text string) (System, bool) {
	switch text {
	case "", "in", "inch":
		return InchSystem, true
	case "mm", "metric":
		return MetricSystem, true
	}
	return InchSystem, false
}

// Unit is one way to write a quantity: value in the dimension's base unit =
// typed number x Scale + Offset.
type Unit struct {
	Name    string
	Aliases []string
	Scale   float64
	Offset  float64
	places  int    // decimals an answer is rounded to in this unit
	system  System // the system this unit belongs to
}

// Places is the number of decimals an answer in this unit is rounded to unless
// the result declares its own.
func (u Unit) Places() int { return u.places }

// System says whether the unit belongs to the inch or the metric system.
func (u Unit) System() System { return u.system }

// ToBase converts a number in this unit to the dimension's base unit.
func (u Unit) ToBase(x float64) float64 { return float64(x*u.Scale) + u.Offset }

// FromBase converts a number in the base unit to this unit.
func (u Unit) FromBase(x float64) float64 { return (x - u.Offset) / u.Scale }

// dimension lists the units of one kind: index 0 is the inch-system unit,
// index 1 the metric one, the others are accepted when typed.
type dimension struct {
	name  string
	units []Unit
}

// Factors, exact by definition unless said: 1 lb = 0.45359237 kg, standard
// gravity 9.80665 m/s2 (NIST SP 811, appendix B), 1 hp = 550 ft.lbf/s.
const (
	newtonPerLbf = 0.45359237 * 9.80665
	wattPerHP    = 550 * 0.3048 * newtonPerLbf
	paPerPsi     = newtonPerLbf / (0.0254 * 0.0254)
	radPerDeg    = 0.017453292519943295 // pi/180
)

var table = [dims]dimension{
	None: {"number", []Unit{{Name: "", Scale: 1, places: 4}, {Name: "", Scale: 1, places: 4, system: MetricSystem}}},
	// base: millimetre
	Span: {"length", []Unit{
		{Name: "in", Aliases: []string{"inch", "inches", "\""}, Scale: 25.4, places: 4},
		{Name: "mm", Aliases: []string{"millimetre", "millimeter"}, Scale: 1, places: 3, system: MetricSystem},
		{Name: "thou", Aliases: []string{"th", "mil"}, Scale: 0.0254, places: 1},
		{Name: "tenths", Aliases: []string{"tenth"}, Scale: 0.00254, places: 0},
		{Name: "ft", Aliases: []string{"foot", "feet", "'"}, Scale: 304.8, places: 3},
		{Name: "um", Aliases: []string{"micron", "microns", "µm", "μm"}, Scale: 0.001, places: 1, system: MetricSystem},
		{Name: "cm", Scale: 10, places: 3, system: MetricSystem},
		{Name: "m", Scale: 1000, places: 4, system: MetricSystem},
	}},
	// base: degree
	Angle: {"angle", []Unit{
		{Name: "deg", Aliases: []string{"°", "d", "degree", "degrees"}, Scale: 1, places: 4},
		{Name: "deg", Aliases: []string{"°", "d", "degree", "degrees"}, Scale: 1, places: 4, system: MetricSystem},
		{Name: "rad", Scale: 1 / radPerDeg, places: 6},
		{Name: "arcmin", Scale: 1.0 / 60, places: 2},
		{Name: "arcsec", Scale: 1.0 / 3600, places: 1},
	}},
	// base: newton
	Force: {"force", []Unit{
		{Name: "lbf", Aliases: []string{"lb", "lbs", "pounds"}, Scale: newtonPerLbf, places: 1},
		{Name: "N", Aliases: []string{"newton", "newtons"}, Scale: 1, places: 0, system: MetricSystem},
		{Name: "kN", Scale: 1000, places: 3, system: MetricSystem},
		{Name: "kgf", Scale: 9.80665, places: 2, system: MetricSystem},
		{Name: "tonf", Scale: 2000 * newtonPerLbf, places: 4},
	}},
	// base: newton metre
	Torque: {"torque", []Unit{
		{Name: "lbf-ft", Aliases: []string{"ft-lbf", "ft-lb", "lb-ft", "ftlb"}, Scale: 0.3048 * newtonPerLbf, places: 2},
		{Name: "N.m", Aliases: []string{"Nm", "N-m"}, Scale: 1, places: 2, system: MetricSystem},
		{Name: "lbf-in", Aliases: []string{"in-lbf", "in-lb", "lb-in", "inlb"}, Scale: 0.0254 * newtonPerLbf, places: 1},
	}},
	// base: kilogram
	Mass: {"mass", []Unit{
		{Name: "lb", Aliases: []string{"lbs", "pound", "pounds", "#"}, Scale: 0.45359237, places: 2},
		{Name: "kg", Scale: 1, places: 3, system: MetricSystem},
		{Name: "g", Scale: 0.001, places: 0, system: MetricSystem},
		{Name: "ton", Scale: 907.18474, places: 4},
		{Name: "t", Aliases: []string{"tonne"}, Scale: 1000, places: 4, system: MetricSystem},
	}},
	// base: metre per minute
	SurfaceSpeed: {"speed", []Unit{
		{Name: "ft/min", Aliases: []string{"sfm", "fpm"}, Scale: 0.3048, places: 1},
		{Name: "m/min", Scale: 1, places: 1, system: MetricSystem},
	}},
	// base: millimetre per minute
	TableFeed: {"feed", []Unit{
		{Name: "in/min", Aliases: []string{"ipm"}, Scale: 25.4, places: 2},
		{Name: "mm/min", Scale: 1, places: 1, system: MetricSystem},
	}},
	// base: watt
	Power: {"power", []Unit{
		{Name: "hp", Scale: wattPerHP, places: 2},
		{Name: "kW", Scale: 1000, places: 2, system: MetricSystem},
		{Name: "W", Scale: 1, places: 0, system: MetricSystem},
	}},
	// base: megapascal
	Stress: {"stress", []Unit{
		{Name: "ksi", Scale: paPerPsi / 1000, places: 2},
		{Name: "MPa", Aliases: []string{"N/mm2"}, Scale: 1, places: 1, system: MetricSystem},
		{Name: "psi", Scale: paPerPsi / 1e6, places: 0},
		{Name: "GPa", Scale: 1000, places: 4, system: MetricSystem},
	}},
	// base: degree Celsius
	Temperature: {"temperature", []Unit{
		{Name: "F", Aliases: []string{"°F", "degF"}, Scale: 5.0 / 9, Offset: -160.0 / 9, places: 1},
		{Name: "C", Aliases: []string{"°C", "degC"}, Scale: 1, places: 1, system: MetricSystem},
	}},
	// base: square millimetre
	Area: {"area", []Unit{
		{Name: "in2", Aliases: []string{"sqin", "in^2"}, Scale: 645.16, places: 4},
		{Name: "mm2", Aliases: []string{"mm^2"}, Scale: 1, places: 2, system: MetricSystem},
	}},
	// base: cubic centimetre
	Volume: {"volume", []Unit{
		{Name: "in3", Aliases: []string{"cuin", "in^3"}, Scale: 16.387064, places: 3},
		{Name: "cm3", Aliases: []string{"cc", "cm^3"}, Scale: 1, places: 2, system: MetricSystem},
	}},
	// base: gram per cubic centimetre
	Density: {"density", []Unit{
		{Name: "lb/in3", Scale: 453.59237 / 16.387064, places: 4},
		{Name: "g/cm3", Scale: 1, places: 3, system: MetricSystem},
		{Name: "kg/m3", Scale: 0.001, places: 0, system: MetricSystem},
	}},
	// base: revolution per minute
	Spin: {"spin", []Unit{
		{Name: "rpm", Aliases: []string{"rev/min", "r/min"}, Scale: 1, places: 0},
		{Name: "rpm", Aliases: []string{"rev/min", "r/min"}, Scale: 1, places: 0, system: MetricSystem},
	}},
	// base: minute
	Time: {"time", []Unit{
		{Name: "min", Scale: 1, places: 2},
		{Name: "min", Scale: 1, places: 2, system: MetricSystem},
		{Name: "s", Aliases: []string{"sec"}, Scale: 1.0 / 60, places: 0},
		{Name: "h", Aliases: []string{"hr", "hours"}, Scale: 60, places: 3},
	}},
	// base: millimetre per metre
	Slope: {"slope", []Unit{
		{Name: "in/ft", Aliases: []string{"ipf", "tpf", "/ft"}, Scale: 1000.0 / 12, places: 5},
		{Name: "mm/m", Scale: 1, places: 3, system: MetricSystem},
		{Name: "thou/ft", Scale: 1.0 / 12, places: 2},
		{Name: "in/in", Aliases: []string{"mm/mm"}, Scale: 1000, places: 7},
	}},
	// base: cubic centimetre per minute
	Removal: {"removal", []Unit{
		{Name: "in3/min", Scale: 16.387064, places: 3},
		{Name: "cm3/min", Scale: 1, places: 2, system: MetricSystem},
	}},
	// base: millionths per kelvin
	Expansion: {"expansion", []Unit{
		{Name: "ppm/F", Scale: 1.8, places: 2},
		{Name: "ppm/K", Aliases: []string{"ppm/C"}, Scale: 1, places: 2, system: MetricSystem},
	}},
	Percent: {"percent", []Unit{
		{Name: "%", Aliases: []string{"percent", "pct"}, Scale: 1, places: 1},
		{Name: "%", Aliases: []string{"percent", "pct"}, Scale: 1, places: 1, system: MetricSystem},
	}},
}

// Name gives the kind's plain name, as it stands in a worksheet's description.
func (d Dim) Name() string { return table[d].name }

// Unit gives the unit answers of this kind are given in.
func (d Dim) Unit(s System) Unit {
	if s == MetricSystem {
		return table[d].units[1]
	}
	return table[d].units[0]
}

// Units lists every unit accepted for this kind.
func (d Dim) Units() []Unit { return table[d].units }

// Find looks a unit up by its name or an alias. Case counts only where two
// units differ by nothing else.
func (d Dim) Find(name string) (Unit, bool) {
	if name == "" {
		return table[d].units[0], d == None
	}
	list := table[d].units // walked by index: a unit is large
	for i := range list {
		if list[i].Name == name {
			return list[i], true
		}
	}
	for i := range list {
		u := &list[i]
		if equalFold(u.Name, name) {
			return *u, true
		}
		for _, a := range u.Aliases {
			if equalFold(a, name) {
				return *u, true
			}
		}
	}
	return Unit{}, false
}

// DimOf finds the kind by its plain name.
func DimOf(name string) (Dim, bool) {
	for d := range table {
		if table[d].name == name {
			return Dim(d), true
		}
	}
	return None, false
}

// equalFold compares ASCII letters without regard to case; other bytes must be the same. The
// unicode tables of strings.EqualFold would enlarge calc.wasm.
func equalFold(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range len(a) {
		if lower(a[i]) != lower(b[i]) {
			return false
		}
	}
	return true
}

func lower(c byte) byte {
	if 'A' <= c && c <= 'Z' {
		return c + 'a' - 'A'
	}
	return c
}
