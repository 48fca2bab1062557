package hold

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// What is said first, for every mark. The figures are those worked by hand in the tests beside this
// one.
func TestHeadlines(t *testing.T) {
	const stout = strapped2 + "|wide=2|thick=1.25|into=nut"
	for _, c := range []struct {
		name, sheet, typed string
		mark               worksheet.Mark
		head, facts        string
	}{
		{"full thread told", "hold", plate + known + "|depth=5/8|to=thread|tap=plug|force=60", worksheet.Careful,
			"Stays: tighten after the first cut", "nuts 55 lbf-ft · ▲ 1.9 times once it settles"},
		{"good", "hold", hungBy + part + "|mu=.20|ledge=yes|weight=0|force=283.02", worksheet.Good,
			"Stays: nuts 55 lbf-ft", "slips first, 5 times the cut"},
		{"the cut only presses", "hold", plate + four + "|ledge=yes|way=in|fx=0|fy=4|cgz=0|fz=1", worksheet.Good,
			"Stays: nuts 105 lbf-ft", "the cut only presses it on"},
		{"hung on friction", "hold", plate + four + "|way=left|fx=0|fy=4", worksheet.Careful,
			"Stays: nuts 105 lbf-ft", "turns first, 16 times cut and weight · ▲ hoist on till tight"},
		{"just", "hold", hungBy + part + "|mu=.10|thick=4", worksheet.Careful,
			"Stays, just: 2.51, want 2.5", "slips first · nuts 55 lbf-ft · ▲ hoist on till tight"},
		{"settles", "hold", hungBy + part + "|mu=.10", worksheet.Careful,
			"Stays: tighten after the first cut", "nuts 55 lbf-ft · ▲ 1.6 times once it settles"},
		{"hole not said", "hold", plate + "|weight=180 lb|grade=sae5|force=20|ledge=yes", worksheet.Open,
			"Nuts 30 lbf-ft. How deep a hole?", "stays if the thread holds, 17 times the cut"},
		{"no cut", "hold", plate + four + "|force=", worksheet.Open,
			"Nuts 105 lbf-ft. How hard a cut?", "holds 21 times its weight"},
		{"no cut, hole not said", "hold", plate + "|weight=180 lb|grade=sae5", worksheet.Open,
			"Nuts 30 lbf-ft. How hard a cut?", "holds 3 times its weight · if the thread holds"},
		{"between 1 and what is wanted", "hold", hungBy + part + "|mu=.10|wanted=3", worksheet.Stop,
			"Not enough: 2.5, want 3", "deeper hole, nuts 85 lbf-ft: 3.5 times · slips first"},
		{"a torque that is too little", "hold", plate + four + "|ledge=yes|torque=20|force=200", worksheet.Stop,
			"Not enough: nuts to 105 lbf-ft", "2 times now, 10 then · stops at both sides: 2.5 times"},
		{"under 1", "hold", plate + known + "|force=400", worksheet.Stop,
			"Turns about the studs", "cut of 73 lbf at most: 2.5 times · .7 of cut and weight"},
		{"slips", "hold", plate + known + "|way=left|force=1500|fx=0|fy=5|ledge=yes", worksheet.Stop,
			"Slips left along the plate", "stops at both sides: 4 times · .6 of the cut"},
		{"tips", "hold", hungBy + part + "|ledge=yes|studs=-4,.5; 4,.5|way=out|fy=8|force=400", worksheet.Stop,
			"Not enough: 1.0, want 2.5", "cut of 160 lbf at most: 2.5 times · tips first"},
		{"pulled off", "hold", plate + "|weight=180|grade=sae5|into=nut|force=40000|way=out", worksheet.Stop,
			"The cut pulls it off the plate", "cut of 2,400 lbf at most: 2.5 times"},
		{"not enough, hole not said", "hold", "thread=5/8-11|grade=sae5|settle=10" + part + "|mu=.10", worksheet.Stop,
			"30 lbf-ft is not enough: how deep?", "stop beneath: 2.8 times · dry faces: 2.7 times · slips first"},
		{"falls", "hold", plate + "|weight=300 lb|grade=sae5|torque=10|into=nut", worksheet.Stop,
			"It falls: keep the hoist on", "nuts to 105 lbf-ft: 6 times · stop beneath: 7 times"},
		{"turns by its weight", "hold", plate + "|weight=170 lb|grade=sae5|torque=10|into=nut|cgx=6", worksheet.Stop,
			"Weight turns it: keep the hoist on", "nuts to 105 lbf-ft: 4.5 times · .4 of its weight"},
		{"rod", "hold", plate + four + "|torque=80|grade=rod|ledge=yes", worksheet.Stop,
			"Too tight for rod: 40 at most", "stays at 40: 8 times"},
		{"strips", "hold", plate + known + "|force=100|torque=150", worksheet.Stop,
			"Strips the plate above 50 lbf-ft", "deeper hole, nuts 100 lbf-ft: 4 times"},
		{"bends its studs", "hold", hungBy + part + "|mu=.20|thick=12", worksheet.Stop,
			"Do not land it on the studs", "stop beneath: 9.5 times · two more studs: 10 times"},
		{"no thread", "hold", plate + known + "|force=100|depth=.2", worksheet.Stop,
			"Hole .2 deep: no full thread", "1.29 deep: .938 of thread"},
		{"no thread under a slot: no washer helps", "hold", plate + "|weight=180|into=blind|depth=5/8|bears=slot|force=100",
			worksheet.Stop, "Hole .625 deep: no full thread", "bottoming tap: .126 of thread · 1.71 deep: .938 of thread"},
		{"bare nut on a slot, no cut", "hold", plate + bare, worksheet.Open, "How hard a cut?",
			"▲ nuts need a thick washer"},
		{"washer half described, no cut", "hold", plate + bare + "|washer=hard|washerod=2", worksheet.Open,
			"How hard a cut?", "▲ nuts need a thick washer"},
		{"bare nut on a slot", "hold", plate + bare + "|force=60", worksheet.Stop, "Nuts need a thick washer",
			"thick washer, nuts 100 lbf-ft: 18 times"},
		{"bare nut on a slot, much cut", "hold", plate + bare + "|force=400", worksheet.Stop, "Nuts need a thick washer",
			"thick washer, cut of 360 lbf, nuts 100 lbf-ft: 2.5 times"},
		{"no washer, said", "hold", plate + bare + "|washer=none", worksheet.Stop, "Nuts need a thick washer",
			"thick washer, nuts 100 lbf-ft: 99 times"},
		{"beds in", "hold", plate + known + "|washer=none|lug=alcast|seat=.75|torque=50|force=400", worksheet.Stop,
			"Turns about the studs", "cut of 40 lbf at most: 2.5 times · no grip above 35 lbf-ft"},

		{"good", "strap", stout + "|force=100", worksheet.Good,
			"Stays: nuts 60 lbf-ft", "slides first, 6.5 times the cut"},
		{"just", "strap", stout + "|force=250", worksheet.Careful,
			"Stays, just: 2.6, want 2.5", "slides first · nuts 60 lbf-ft"},
		{"past two thirds of yield", "strap", stout + "|torque=90", worksheet.Careful,
			"Stays: nuts 90 lbf-ft", "slides first, 6.5 times the cut"},
		{"hole not said", "strap", strapped2 + "|wide=2|thick=1.25|force=100", worksheet.Open,
			"Nuts 30 lbf-ft. How deep a hole?", "stays if the thread holds, 3 times the cut"},
		{"strap not said", "strap", strapped2 + "|into=nut|force=100", worksheet.Open,
			"How thick a strap?", "Nuts 105 lbf-ft · slides first, 11 times the cut"},
		{"tipping and lips not said", "strap", strapped2 + "|wide=2|thick=1.25|height=|into=tee|force=100", worksheet.Open,
			"Nuts 60 lbf-ft: 6.5 times the cut", "▲ tipping not reckoned · ▲ slot's lips not reckoned"},
		{"no cut", "strap", stout + "|force=", worksheet.Open,
			"Nuts 60 lbf-ft. How hard a cut?", "each strap presses with 2,700 lbf"},
		{"bends", "strap", strapped2 + "|torque=80|wide=1.5|thick=1/2", worksheet.Stop,
			"Strap bends: thicker or shorter", "this one is done at 6 lbf-ft · 1-7/8 thick: 5.5 times"},
		{"too thin for any torque", "strap", strapped2 + "|wide=1|thick=.25|into=nut", worksheet.Stop,
			"Strap bends: thicker or shorter", "2 thick, nuts 35 lbf-ft: 2.6 times"},
		{"slides", "strap", stout + "|torque=60|force=2000", worksheet.Stop,
			"Part slides on the table", "stop against the cut: 3 times · .3 of the cut"},
		{"not enough", "strap", stout + "|force=250|torque=30", worksheet.Stop,
			"Not enough: nuts to 60 lbf-ft", "1.3 times now, 2.6 then · slides first"},
		{"lips", "strap", stout + "|torque=60|into=tee|lips=7000", worksheet.Stop,
			"The slot gives above 50 lbf-ft", "nuts to 50 lbf-ft: 3.5 times"},
	} {
		t.Run(c.sheet+" "+c.name, func(t *testing.T) {
			a := answer(t, c.sheet, units.InchSystem, c.typed)
			head, facts := a.Headline()
			assert.Equal(t, c.head, head)
			assert.Equal(t, c.facts, strings.Join(facts, " · "))
			assert.Equal(t, c.mark, a.Mark())
		})
	}
}

// Two studs and a width are enough: zero is the middle of the face's lower edge, which reaches as
// far above the studs as below them, and the part balances half way up.
func TestTwoStudsAndAWidth(t *testing.T) {
	const joint = "weight=180 lb|cgz=3.5|force=100|thread=5/8-11|grade=sae5|into=nut|studs=-4,4; 4,4|"
	short := answer(t, "hold", units.InchSystem, joint+"width=12")
	long := answer(t, "hold", units.InchSystem, joint+"left=-6|right=6|bottom=0|top=8|cgy=4")
	for _, key := range []string{"margin", "slip", "turn", "tip", "edge", "left", "right", "bottom", "top", "middle"} {
		assert.Equal(t, long.Text(key), short.Text(key), key)
	}
	assert.NotEmpty(t, short.Text("margin"))
	from := answer(t, "hold", units.InchSystem, joint+"width=12|left=-5|height=9|bottom=-1")
	assert.Equal(t, "-5.0000 in 7.0000 in -1.0000 in 8.0000 in", strings.Join([]string{from.Text("left"), from.Text("right"),
		from.Text("bottom"), from.Text("top")}, " "))
}

// What is known is said before the question for what is not.
func TestHalf(t *testing.T) {
	for text, head := range map[string]string{
		"":                                   "Which studs?",
		"studs=-4,4; 4,4|width=12":           "What weight?",
		"studs=-4,4; 4,4|width=300":          "How wide is the face?",
		"studs=-4,4|width=12":                "Which studs?",
		"thread=5/8-11":                      "Nuts 30 lbf-ft. Which studs?",
		"thread=5/8-11|studs=-4,4; 4,4":      "Nuts 30 lbf-ft. What weight?",
		"thread=5/8-11|grade=sae5|weight=80": "Nuts 30 lbf-ft. Which studs?",
	} {
		var pairs []worksheet.Pair
		if text != "" {
			pairs = typed(text)
		}
		got, _ := worksheet.Run(staySheet(), units.InchSystem, pairs).Headline()
		assert.Equal(t, head, got, text)
	}
	got, _ := worksheet.Run(strapSheet(), units.InchSystem, typed("thread=5/8-11|clamps=2")).Headline()
	assert.Equal(t, "Nuts 30 lbf-ft. Heel to stud?", got)
}
