package worksheet

import (
	"datumbook/calc/field"
	"datumbook/calc/units"
)

// AskUnit asks whether a length typed without a unit was meant in the other system: as it stands it
// lies outside the sizes that make sense (in inches), and in the other system within them.
func (o *Out) AskUnit(v *Values, key string, least, most float64) {
	if !v.Given(key) || v.Word(key) != "" {
		return
	}
	text := field.Trimmed(v.Typed(key))
	if as, other := meant(v.System, text, v.In(key), least, most); other != "" {
		o.Ask(key, text+" "+other, v.Label(key)+": "+text+" "+as+"? Or "+text+" "+other+"?")
	}
}

// AskUnits does the same for a list or table of lengths by its largest one, whose size without its
// sign is given.
func (o *Out) AskUnits(v *Values, key string, largest, least, most float64) {
	text := field.Trimmed(v.Typed(key))
	as, other := meant(v.System, text, largest, least, most)
	if other == "" || largest == 0 {
		return
	}
	all := make([]byte, 0, 2*len(text))
	for i := 0; i <= len(text); i++ {
		if i == len(text) || apart(text[i]) {
			if n := len(all); n > 0 && !apart(all[n-1]) && all[n-1] != ' ' {
				all = append(append(all, ' '), other...)
			}
		}
		if i < len(text) {
			all = append(all, text[i])
		}
	}
	o.Ask(key, string(all), v.Label(key)+": up to "+o.Len(largest)+"? Were "+other+" meant, not "+as+"?")
}

// apart says whether a letter sets the values of a list or table apart.
func apart(c byte) bool { return c == ',' || c == ';' || c == '\n' }

// meant gives the unit a bare number was read in, and the other one where only that makes sense. x
// is the length in inches as it was read.
func meant(sys units.System, text string, x, least, most float64) (as, other string) {
	for i := range len(text) {
		if c := field.Lower(text[i]); c >= 'a' && c <= 'z' || c == '"' || c == '\'' {
			return "", ""
		}
	}
	const mm = 25.4
	switch {
	case sys != units.MetricSystem && x > most && x/mm >= least:
		return "in", "mm"
	case sys == units.MetricSystem && x > 0 && x < least && x*mm <= most:
		return "mm", "in"
	}
	return "", ""
}

// AskMillimetres asks, of a length in inches that was likely typed in millimetres, whether it was;
// in the inch system, where a bare number is inches.
func (o *Out) AskMillimetres(odd bool, field string, inches float64) {
	if odd && o.System == units.InchSystem {
		text := o.Dec(inches, 4)
		o.Ask(field, text+" mm", text+" in? Or "+text+" mm?")
	}
}

// Few makes notes of all cautions but the first two, those that can hurt someone first: more are
// not read. Questions about slips are not counted.
func (o *Out) Few() {
	left := 2
	for _, rank := range [...]int{2, 3} {
		for i := range o.cautions {
			c := &o.cautions[i]
			if c.rank != rank || c.Level != Warning {
				continue
			}
			if left--; left < 0 {
				c.Level, c.rank = Remark, 4
			}
		}
	}
}
