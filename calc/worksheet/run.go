package worksheet

import "datumbook/calc/units"

// Answer is one run of a worksheet: the inputs as parsed and the results, or the error that stopped
// it.
type Answer struct {
	Sheet   *Sheet
	Values  *Values
	Out     *Out
	Fault   *InputError
	missing bool // the fault is an input that nothing was typed into yet, or not all of its last row
	gap     string
}

// Run parses the inputs, computes and rounds. It never panics on what a user can type and never
// answers with NaN or infinity.
func Run(s *Sheet, sys units.System, pairs []Pair) Answer {
	v, fault, missing := parse(s, sys, pairs)
	a := Answer{Sheet: s, Values: v, Fault: fault, missing: missing}
	if missing {
		a.gap = v.at(fault.Field).gap
	}
	if fault != nil && (!missing || s.Half == nil) {
		return a
	}
	o := &Out{System: sys, sheet: s, values: v, fields: make([]found, len(s.Results)), lines: make([]Line, 0, 12)}
	if missing {
		s.Half(v, o)
		a.Out = o
		return a
	}
	if fault = s.Compute(v, o); fault == nil {
		fault = o.fault
	}
	o.settle()
	a.Out, a.Fault = o, fault
	if fault != nil { // one of two that go together may be what is missing
		_, ok := s.Input(fault.Field)
		a.missing = ok && !v.Given(fault.Field)
	}
	return a
}

// Text gives a result's text, "" where it does not apply.
func (a Answer) Text(key string) string {
	if a.Out == nil {
		return ""
	}
	_, f := a.Out.at(key)
	return string(f.appendText(nil))
}

// Shown gives a result as it is read on its dial, and in the other system of units, with the step
// it is rounded to; a result without a dial as Text and Also give it.
func (a Answer) Shown(key string) (text, also, step string) {
	if a.Out == nil {
		return "", "", ""
	}
	r, f := a.Out.at(key)
	return a.Out.shown(r, f)
}

// shown writes a result as Shown gives it.
func (o *Out) shown(r *Result, f *found) (text, also, step string) {
	if r.Dial == "" || f.kind != asNumber || !f.set {
		text = string(f.appendText(nil))
		if f.there.unit != "" {
			also = string(f.there.append(nil))
		}
		return text, also, ""
	}
	d := DialOf(r.Dial)
	here := o.read(d, r.Kind, r.Units, o.System, f.x, f.unit, 1)
	if f.there.unit != "" {
		also = o.read(d, r.Kind, r.Units, o.other(), f.x, f.unit, 1).text()
	}
	return here.text(), also, here.by()
}

// Value gives a result's value as JSON, "" where it does not apply.
func (a Answer) Value(key string) string {
	if a.Out == nil {
		return ""
	}
	_, f := a.Out.at(key)
	return string(f.appendValue(nil))
}

// Mark sums an answer up.
type Mark string

// The marks: it will do; it will do with care; it will not do as asked; what it depends on was not
// said.
const (
	Good    Mark = "good"
	Careful Mark = "careful"
	Stop    Mark = "stop"
	Open    Mark = "open"
)

// Mark gives the answer's mark: stop if and only if it holds a refusal; open where it wants an input,
// or the worksheet judges and no judgement was given, unless care goes before that; careful where it
// holds a caution.
func (a Answer) Mark() Mark {
	worst, judges, judged := Good, false, false
	for _, c := range a.Cautions() {
		switch c.Level {
		case Refusal:
			return Stop
		case Warning:
			worst = Careful
		}
	}
	for i, r := range a.Sheet.Results {
		if r.Judges {
			judges = true
			judged = judged || a.Out.fields[i].set
		}
	}
	if judges && !judged && !(a.Out.first.care && worst == Careful) || a.Out.wants != "" {
		return Open
	}
	return worst
}

// Cautions gives the cautions in order.
func (a Answer) Cautions() []Caution {
	if a.Out == nil || a.Fault != nil {
		return nil
	}
	return a.Out.cautions
}

// Lines gives the worked lines in order.
func (a Answer) Lines() []Line {
	if a.Out == nil {
		return nil
	}
	return a.Out.lines
}

// Also gives a result's text in the other system of units, or "".
func (a Answer) Also(key string) string {
	if a.Out == nil {
		return ""
	}
	_, f := a.Out.at(key)
	if f.there.unit == "" {
		return ""
	}
	return string(f.there.append(nil))
}

// Rows gives a table's or a list of sentences' lines as text.
func (a Answer) Rows(key string) []string {
	if a.Out == nil {
		return nil
	}
	_, f := a.Out.at(key)
	return f.rows
}
