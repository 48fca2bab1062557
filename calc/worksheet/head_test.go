package worksheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/units"
)

func headed(half func(v *Values, o *Out), compute func(v *Values, o *Out)) *Sheet {
	s := trial(func(v *Values, o *Out) *InputError {
		if err := pass(v, o); err != nil {
			return err
		}
		compute(v, o)
		return nil
	})
	s.Half = half
	s.Inputs[1].Required = true
	s.Inputs[1].Ask = "How many?"
	s.Results = append(s.Results, Result{Key: "fits", Label: "Fits", Kind: Flag, Judges: true})
	return s
}

func TestHeadline(t *testing.T) {
	count := Pair{"count", "3"}
	run := func(s *Sheet, pairs ...Pair) (string, []string) {
		return Run(s, units.InchSystem, pairs).Headline()
	}
	s := headed(nil, func(v *Values, o *Out) {
		o.Head("{=quill in} deep", nil, v.In("size"))
		o.Head("{=quill in} deep, and far more than thirty-four letters", nil, v.In("size"))
		o.Fact("{+pull lbf} pull", nil, 15608)
		o.Fact("", nil)
		o.Fact("▲ a second fact", nil)
		o.Fact("a third fact that has no room behind the others", nil)
		o.Fact("fourth", nil)
	})
	text, facts := run(s, count)
	assert.Equal(t, "1.000 deep", text, "what is too long does not count")
	assert.Equal(t, []string{"16,000 lbf pull", "▲ a second fact", "fourth"}, facts)
	text, _ = run(s)
	assert.Equal(t, "How many?", text)
	text, _ = run(s, Pair{"size", "99"}, count)
	assert.Equal(t, "Size?", text, "what is wrong is asked about")
	text, _ = run(s, Pair{"size", "99"})
	assert.Equal(t, "Size?", text, "what is wrong before what is missing")

	s = headed(func(v *Values, o *Out) { o.Head("{=quill in} deep", nil, v.In("size")) }, nil)
	text, _ = run(s)
	assert.Equal(t, "1.000 deep. How many?", text)

	s = headed(nil, nil)
	s.Compute = func(v *Values, o *Out) *InputError {
		o.Head("{=quill in} deep", nil, 2)
		return v.Refuse("size", "type it, or the count.")
	}
	text, _ = run(s, count)
	assert.Equal(t, "2.000 deep. Size?", text, "one of two that go together is missing")
	text, _ = run(s, count, Pair{"size", "3"})
	assert.Equal(t, "Size?", text)

	s = headed(nil, func(_ *Values, o *Out) {
		o.Head("All is well", nil)
		o.Fact("well", nil)
		o.Stop("Too long, and a verdict that has no room at all", "It is too long.")
		o.HeadStop("{=quill in} too long", nil, 2)
		o.HeadStop("second", nil)
		o.FactStop("cut it", nil)
	})
	text, facts = run(s, count)
	assert.Equal(t, "2.000 too long", text)
	assert.Equal(t, []string{"cut it"}, facts)

	s = headed(nil, nil)
	s.Compute = func(v *Values, o *Out) *InputError {
		o.Head("All is well", nil)
		if v.In("size") < 2 {
			o.HeadStop("Shorter than it is thick", nil)
			o.FactStop("turn it round", nil)
		}
		return v.Refuse("size", "it does not go with the others.")
	}
	text, facts = run(s, count)
	assert.Equal(t, "Shorter than it is thick", text, "an error that is known more closely")
	assert.Equal(t, []string{"turn it round"}, facts)
	text, _ = run(s, count, Pair{"size", "3"})
	assert.Equal(t, "Size?", text)

	s = headed(nil, func(_ *Values, o *Out) { o.Stop("Too long.", "It is too long.") })
	text, _ = run(s, count)
	assert.Equal(t, "Too long", text)

	s = headed(nil, func(_ *Values, o *Out) {
		o.Head("Two thirds of all that is known", nil)
		o.Wants("tap")
	})
	text, facts = run(s, count)
	assert.Equal(t, "Tap?", text)
	assert.Equal(t, []string{"Two thirds of all that is known"}, facts)
	assert.Equal(t, Open, Run(s, units.InchSystem, []Pair{count}).Mark())
}

// Numbers that are refused are told as a refusal is, and one of two that is missing is asked for
// behind what is known.
func TestRefusedHeadline(t *testing.T) {
	s := trial(func(v *Values, o *Out) *InputError {
		o.Head("{=quill in} deep", nil, v.In("size"))
		if v.Given("count") {
			o.HeadStop("No such triangle", nil)
			o.FactStop("too short by {=quill in}", nil, .25)
			return v.Refuse("size", "is too short.")
		}
		return v.Refuse("count", "is missing, and so is the other.")
	})
	text, facts := Run(s, units.InchSystem, []Pair{{"count", "3"}}).Headline()
	assert.Equal(t, "No such triangle", text)
	assert.Equal(t, []string{"too short by .250"}, facts)
	text, _ = Run(s, units.InchSystem, nil).Headline()
	assert.Equal(t, "1.000 deep. Count?", text)
}

// The first rows of a list that needs more are known: the next is asked for.
func TestListBegun(t *testing.T) {
	s := trial(pass)
	s.Inputs[3].MinRows = 2
	s.Inputs[3].Ask = "Read it again"
	s.Half = func(v *Values, o *Out) { o.Head("{2} so far", nil, v.List("list", "in")[0]) }
	a := Run(s, units.InchSystem, []Pair{{"list", "1.5"}})
	text, _ := a.Headline()
	assert.Equal(t, "1.5 so far. Read it again", text)
	assert.Contains(t, a.Fault.Message, "has 1 numbers where at least 2")
	text, _ = Run(s, units.InchSystem, []Pair{{"list", "1.5"}, {"size", "99"}}).Headline()
	assert.Equal(t, "Size?", text, "what is wrong before what is missing")
}

// A slip is asked about in the words that go on the keys.
func TestSlipAsks(t *testing.T) {
	s := headed(nil, func(_ *Values, o *Out) { o.Ask("size", "30 mm", "Size: 30 in? Or 30 mm?") })
	a := Run(s, units.InchSystem, []Pair{{"size", "30"}, {"count", "1"}})
	assert.Equal(t, "30 in? Or 30 mm?", a.Cautions()[0].Asks)
	a = Run(s, units.InchSystem, []Pair{{"size", "30 in"}, {"count", "1"}})
	assert.Equal(t, "30 in? Or 30 mm?", a.Cautions()[0].Asks)
}

func TestGrouped(t *testing.T) {
	for in, want := range map[string]string{"0": "0", "-12": "-12", "999": "999", "1000 lbf": "1,000 lbf",
		"-123456.5": "-123,456.5", ".656": ".656",
		"11-3/4": "11-3/4", "-101-1/2": "-101-1/2", "1234-1/64": "1,234-1/64", "nothing": "nothing", "1234567": "1,234,567"} {
		assert.Equal(t, want, grouped(in))
	}
}
