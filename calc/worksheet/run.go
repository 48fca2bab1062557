package worksheet

import "datumbook/calc/units"

// Answer is one run of a worksheet: the inputs as parsed and the results, or the error that stopped
// it.
type Answer struct {
	Sheet  *Sheet
	Values *Values
	Out    *Out
	Fault  *InputError
}

// Run parses the inputs, computes and rounds. It never panics on what a user can type and never
// answers with NaN or infinity.
func Run(s *Sheet, sys units.System, pairs []Pair) Answer {
	v, fault := parse(s, sys, pairs)
	a := Answer{Sheet: s, Values: v, Fault: fault}
	if fault != nil {
		return a
	}
	o := &Out{System: sys, sheet: s, fields: make([]found, len(s.Results)), lines: make([]Line, 0, 12)}
	if fault = s.Compute(v, o); fault == nil {
		fault = o.fault
	}
	a.Out, a.Fault = o, fault
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

// Value gives a result's value as JSON, "" where it does not apply.
func (a Answer) Value(key string) string {
	if a.Out == nil {
		return ""
	}
	_, f := a.Out.at(key)
	return string(f.appendValue(nil))
}

// Cautions gives the cautions in order.
func (a Answer) Cautions() []Caution {
	if a.Out == nil {
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
