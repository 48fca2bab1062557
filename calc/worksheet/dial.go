package worksheet

import (
	"math"

	"datumbook/calc/shoptext"
	"datumbook/calc/units"
)

// Dial is what a number is set or read on, and so how finely it is told. Results name theirs by
// key, and sentences write a number on one with a place like {quill in}.
type Dial struct {
	Key   string
	Name  string // as a machinist calls it: "quill stop"
	Units Units  // where it is not read in the kind's own units
	// Steps by size, smallest size first: the last whose From is not above the number counts.
	Inch, Metric []Rung
	Figures      int // in place of steps: so many figures
	Safe         Side
	Form         Form
	Most         float64 // the most that is said, 0 for no end
	Nothing      bool    // what rounds to nothing is "nothing you could read"
	Short        bool    // without noughts at the end: a step of a quarter is no hundredth
}

// Rung is the step of a dial from a size on, in the dial's unit.
type Rung struct{ Step, From float64 }

// Side is the way a number is rounded.
type Side uint8

// The sides. Toward leaves too little of a move in either direction.
const (
	Nearest Side = iota
	Less
	More
	Toward
)

// Form is how a number on a dial is written.
type Form uint8

// The forms: decimals; in the inch system and for pure numbers, a fraction; degrees and minutes;
// degrees, minutes and seconds.
const (
	Decimals Form = iota
	Fractions
	Minutes
	Seconds
)

// DialOf finds a dial by its key.
func DialOf(key string) *Dial {
	for i := range Dials {
		if Dials[i].Key == key {
			return &Dials[i]
		}
	}
	panic("sheet: no dial " + key)
}

// step is a step given by a run in place of a dial's own.
type step struct {
	dial string
	size float64
	unit string
}

// SetStep says how finely a dial of this run is read: the indicator's graduation, a chart's step.
func (o *Out) SetStep(dial string, size float64, unit string) {
	if size > 0 {
		o.steps = append(o.steps, step{dial, size, unit})
	}
}

// Read writes a number as it is read on a dial, with its unit. Numbers are given in the named unit.
func (o *Out) Read(dial string, x float64, unit string) string {
	return o.read(DialOf(dial), kindOf(unit), Units{}, o.System, x, unit, 1).text()
}

// Dialled gives a number as a dial shows it, in the unit it is given in: what is read there.
func (o *Out) Dialled(dial string, x float64, unit string) float64 {
	k := kindOf(unit)
	r := o.read(DialOf(dial), k, Units{}, o.System, x, unit, 1)
	x = float64(r.steps * r.step)
	if r.unit == unit {
		return x
	}
	dim, _ := k.Dim()
	from, _ := dim.Find(r.unit)
	to, _ := dim.Find(unit)
	return to.FromBase(from.ToBase(x))
}

// Allowed writes a small length that was typed, in inches, in the unit of the needle and unrounded.
func (o *Out) Allowed(inches float64) string {
	if o.System == units.MetricSystem {
		return o.Dec(inches*25.4, Either(inches < .0002, 5, 3)) + " mm"
	}
	return string(withoutNought([]byte(o.Dec(inches*1000, 4)))) + " thou"
}

// ReadApart writes two numbers on a dial so that which is larger can be seen: with a digit more
// where they would read the same though they are not; one more is enough beside nothing.
func (o *Out) ReadApart(dial string, a, b float64, unit string) (string, string) {
	d, k := DialOf(dial), kindOf(unit)
	for fine := 1.0; ; fine *= 10 {
		s := o.read(d, k, Units{}, o.System, a, unit, fine).text()
		t := o.read(d, k, Units{}, o.System, b, unit, fine).text()
		if s != t || a == b || fine > 1e4 || b == 0 && fine > 1 {
			return s, t
		}
	}
}

// reading is a number on a dial: whole steps of it.
type reading struct {
	steps, step float64
	form        Form
	unit        string
	nothing     bool // less than can be read
	short       bool
}

// text writes what is read.
func (r reading) text() string {
	if r.nothing {
		return "nothing you could read"
	}
	text := string(write(r.form, float64(r.steps*r.step), r.step, r.unit))
	if r.short {
		text = short(text)
	}
	return text
}

// by writes the step it was rounded to.
func (r reading) by() string { return string(write(r.form, r.step, r.step, r.unit)) }

// read puts a number on a dial.
func (o *Out) read(
	d *Dial, k Kind, over Units, sys units.System, x float64, unit string, finer float64,
) reading {
	if d.Units != (Units{}) {
		over = d.Units
	}
	u, ok := k.Unit(over, sys)
	dim, _ := k.Dim()
	if !ok || unit != u.Name {
		from, found := dim.Find(unit)
		if !ok || !found {
			panic("sheet: dial " + d.Key + " has no unit '" + unit + "'")
		}
		if from.Name != u.Name {
			x = u.FromBase(from.ToBase(x))
		}
	}
	size, set := d.stepAt(sys, x), false
	for _, s := range o.steps {
		if s.dial == d.Key {
			was, _ := dim.Find(s.unit)
			size, set = u.FromBase(was.ToBase(s.size)), true
			if was.System() != u.System() || !plain(size) {
				size = neat(size)
			}
		}
	}
	size /= finer
	if d.Most > 0 {
		x = min(x, d.Most)
	}
	q := math.Round(x/size*1e6) / 1e6 // a whole number of steps stays one
	switch {
	case d.Safe == Less, d.Safe == Toward && q > 0:
		q = math.Floor(q)
	case d.Safe == More, d.Safe == Toward:
		q = math.Ceil(q)
	default:
		q = math.Copysign(math.Floor(math.Abs(q)+.5), q)
	}
	form := d.Form
	if form == Fractions && (u.Name == "mm" || set) {
		form = Decimals
	}
	return reading{q, size, form, u.Name, q == 0 && d.Nothing, d.Short}
}

// short drops the noughts at the end of a decimal.
func short(text string) string {
	end, point := 0, -1
	for end < len(text) && text[end] != ' ' {
		if text[end] == '.' {
			point = end
		}
		end++
	}
	if point < 0 {
		return text
	}
	last := end
	for text[last-1] == '0' {
		last--
	}
	if last-1 == point {
		last--
	}
	if last == 0 || text[:last] == "-" {
		return "0" + text[end:]
	}
	return text[:last] + text[end:]
}

// stepAt gives the dial's own step for a number of a size.
func (d *Dial) stepAt(sys units.System, x float64) float64 {
	x = math.Abs(x)
	if d.Figures > 0 {
		s := 1.0
		if x == 0 {
			return s
		}
		for x >= 10*s {
			s *= 10
		}
		for s > 1e-6 && x < s*(1-1e-9) {
			s /= 10
		}
		for range d.Figures - 1 {
			s /= 10
		}
		return s
	}
	rungs := d.Inch
	if sys == units.MetricSystem {
		rungs = d.Metric
	}
	size := rungs[0].Step
	for _, r := range rungs {
		if x >= r.From {
			size = r.Step
		}
	}
	return size
}

// plain says whether a step has three figures at most, as graduations have.
func plain(size float64) bool {
	for size < 100 {
		size *= 10
	}
	return math.Abs(size-math.Round(size)) < 1e-4
}

// neat gives the next step of 1, 2 or 5 not above a step read in the other system of units.
func neat(size float64) float64 {
	s := 1.0
	for s > size {
		s /= 10
	}
	for s*10 <= size {
		s *= 10
	}
	switch {
	case 5*s <= size:
		return 5 * s
	case 2*s <= size:
		return 2 * s
	}
	return s
}

// write writes a number that is a whole number of steps. Inches and thou have no leading nought.
func write(form Form, x, step float64, unit string) []byte {
	b := make([]byte, 0, 24)
	switch form {
	case Fractions:
		if text, ok := shoptext.Fraction(units.Length(math.Round(x * float64(units.Inch)))); ok {
			b = append(b, text...)
			if unit != "" {
				b = append(append(b, ' '), unit...)
			}
			return b
		}
	case Minutes, Seconds:
		return appendMinutes(b, x, form == Seconds)
	}
	places := 0
	for s := step; places < 9 && (s < .9 || math.Abs(s-math.Round(s)) > 1e-6); s *= 10 {
		places++
	}
	d, ok := units.Round(x, places)
	if !ok {
		d, _ = units.Round(math.Copysign(9e15, x), 0)
	}
	b = d.Append(b)
	if unit == "in" || unit == "thou" {
		b = withoutNought(b)
	}
	switch unit {
	case "":
	case "%":
		b = append(b, '%')
	default:
		b = append(append(b, ' '), unit...)
	}
	return b
}

// withoutNought drops the nought before a decimal point.
func withoutNought(b []byte) []byte {
	i := 0
	if len(b) > 0 && b[0] == '-' {
		i = 1
	}
	if len(b) > i+1 && b[i] == '0' && b[i+1] == '.' {
		return append(b[:i], b[i+1:]...)
	}
	return b
}

// appendMinutes writes an angle in degrees as degrees, minutes and, if asked for, seconds.
func appendMinutes(b []byte, deg float64, seconds bool) []byte {
	if deg < 0 {
		b = append(b, '-')
		deg = -deg
	}
	n := int64(math.Round(deg * 3600))
	d, m, s := n/3600, n/60%60, n%60
	b = append(units.Decimal{Units: d}.Append(b), "°"...)
	if m > 0 || s > 0 {
		b = append(units.Decimal{Units: m}.Append(append(b, ' ')), '\'')
	}
	if seconds && s > 0 {
		b = append(units.Decimal{Units: s}.Append(append(b, ' ')), '"')
	}
	return b
}
