package worksheet

import (
	"strings"
	"unicode/utf8"

	"datumbook/calc/field"
)

// What an answer says first: a headline, and at most three facts under it. They are told with the
// same figures as the results, on the same dials.

// The most characters of a headline, and of all facts with what sets them apart.
const (
	HeadMost  = 34
	FactsMost = 60
	between   = " · "
)

// head collects what is said first: one kind for answers, one for refusals.
type head struct {
	text  string
	facts []string
	care  bool
}

// Head gives the headline. The last call whose text fits counts, so that a short one may stand
// before one with numbers that can grow. Places are those of Fill; {=quill in} is {quill in}
// without its unit, which the screen says once, {+pull lbf} keeps it, {=in} is a length as typed.
func (o *Out) Head(template string, s []string, x ...float64) {
	if text := o.Fill(template, s, x...); fits(text) {
		o.first.text = text
	}
}

// Fact adds a fact under the headline, the most important first. One that needs care begins with
// "▲ ".
func (o *Out) Fact(template string, s []string, x ...float64) {
	o.first.facts = append(o.first.facts, o.Fill(template, s, x...))
}

// HeadStop gives the headline where the answer holds a refusal, or where Compute then gives an error
// in place of one; the first call that fits counts. Without any it is the verdict of the first Stop,
// or the question of the input at fault.
func (o *Out) HeadStop(template string, s []string, x ...float64) {
	if text := o.Fill(template, s, x...); o.halt.text == "" && fits(text) {
		o.halt.text = text
	}
}

// FactStop adds a fact where the answer holds a refusal: a way out first.
func (o *Out) FactStop(template string, s []string, x ...float64) {
	o.halt.facts = append(o.halt.facts, o.Fill(template, s, x...))
}

// Wants names the input to ask for next, in an answer that is open without it.
func (o *Out) Wants(key string) { o.wants = key }

// Care says that a caution goes before what was not said: the answer is careful, not open.
func (o *Out) Care() { o.first.care = true }

// Question is what is asked next in place of the open input's own question: of a table with some
// rows, the next one.
func (o *Out) Question(text string) { o.next = text }

// Next asks for the first of these inputs that is empty: the order a man measures in, where it is not
// that of the description.
func (o *Out) Next(keys ...string) {
	for _, key := range keys {
		if !o.values.Has(key) {
			in, _ := o.sheet.Input(key)
			o.next = in.Question()
			return
		}
	}
}

func fits(text string) bool {
	n := utf8.RuneCountInString(text)
	return n > 0 && n <= HeadMost
}

// few gives the facts that are shown: three at most, and no more than have room.
func few(facts []string) []string {
	var out []string
	left := FactsMost
	for _, f := range facts {
		n := utf8.RuneCountInString(f)
		if len(out) > 0 {
			n += utf8.RuneCountInString(between)
		}
		if len(out) < 3 && n <= left && f != "" {
			out = append(out, f)
			left -= n
		}
	}
	return out
}

// Headline gives what the answer, or what was typed so far, says first, and the facts under it.
func (a Answer) Headline() (text string, facts []string) {
	switch {
	case a.Fault != nil:
		return a.asked()
	case a.Mark() == Stop:
		return a.stopped(), few(a.Out.halt.facts)
	}
	o := a.Out
	text, facts = o.first.text, o.first.facts
	if next := o.question(); next != "" {
		text, facts = joined(text, next, facts)
	}
	if text == "" {
		text = a.plainly()
	}
	return text, few(facts)
}

// asked is the headline of what is not complete, or wrong: the question about it, behind what is
// known already.
func (a Answer) asked() (text string, facts []string) {
	in, ok := a.Sheet.Input(a.Fault.Field)
	if !ok {
		return a.Sheet.Title, nil
	}
	text = Either(a.gap != "", a.gap, in.Question())
	switch o := a.Out; {
	case o == nil:
	case o.halt.text != "": // what is wrong is known more closely than by its input
		text, facts = o.halt.text, o.halt.facts
	case a.missing || o.next != "":
		text, facts = joined(o.first.text, Either(o.next != "" && a.gap == "", o.next, text), o.first.facts)
	}
	return text, few(facts)
}

// question is what the answer asks next, "" where it is complete.
func (o *Out) question() string {
	if o.next == "" && o.wants != "" {
		in, _ := o.sheet.Input(o.wants)
		return in.Question()
	}
	return o.next
}

// joined puts a question behind what is known; where both have no room it stands alone, and what is
// known is the first fact.
func joined(known, question string, facts []string) (text string, all []string) {
	switch {
	case known == "":
		return question, facts
	case fits(known + ". " + question):
		return known + ". " + question, facts
	}
	return question, append([]string{known}, facts...)
}

func (a Answer) stopped() string {
	switch o := a.Out; {
	case o.halt.text != "":
		return o.halt.text
	case fits(strings.TrimSuffix(o.stop, ".")):
		return strings.TrimSuffix(o.stop, ".")
	}
	return "Not as asked"
}

// plainly is the headline of a worksheet that gives none: its first number, or its name.
func (a Answer) plainly() string {
	for _, r := range a.Sheet.Results {
		if r.Main && r.Key != Verdict.Key && r.Kind != Table && r.Kind != Lines && r.Kind != Flag {
			if text, _, _ := a.Shown(r.Key); text != "" && fits(r.Label+" "+text) {
				return r.Label + " " + text
			}
		}
	}
	return a.Sheet.Title
}

// writeHead writes the headline and its facts.
func (a Answer) writeHead(w *field.Writer) {
	text, facts := a.Headline()
	w.Text("headline", text)
	if len(facts) > 0 {
		w.Strs("facts", facts)
	}
}

// question is how a likely slip is asked about: "300 in? Or 300 mm?".
func question(typed, unit, means string, in *Input) string {
	text := typed
	if unit != "" {
		text += " " + unit
	}
	if text += "? Or " + means + "?"; fits(text) {
		return text
	}
	return in.Question()
}

// grouped sets the thousands of a number apart with commas; those of a whole with its fraction too.
func grouped(text string) string {
	whole := 0
	for whole < len(text) && (text[whole] >= '0' && text[whole] <= '9' || whole == 0 && text[0] == '-') {
		whole++
	}
	first := 0
	if whole > 0 && text[0] == '-' {
		first = 1
	}
	b := make([]byte, 0, len(text)+4)
	for i := range whole {
		if i > first && (whole-i)%3 == 0 {
			b = append(b, ',')
		}
		b = append(b, text[i])
	}
	return string(append(b, text[whole:]...))
}
