package hold

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// plate is a part on two studs five inches up; withHole the hole, nut and lug it has as a rule.
const (
	plate = "studs=-4,5; 4,5|left=-6|right=6|bottom=0|top=8|cgy=4|cgz=3.5|thread=5/8-11"
	known = "|weight=180 lb|grade=sae5|into=blind|depth=13/16|to=shoulder|tap=bottoming|csk=11/16|thick=1.25" +
		"|washer=wide"
	bare = "|weight=180|grade=sae5|into=blind|depth=1|to=thread|bears=slot|ledge=yes"
	four = "|studs=-4,5; 4,5; -4,1; 4,1|weight=180 lb|grade=sae5|into=nut|force=100"
)

// A part that falls when the hoist lets go is said to fall, whatever the cut.
func TestFalls(t *testing.T) {
	for _, c := range []struct{ name, typed, says string }{
		{"rod: 5,594/1.25 = 4,475 at 41.95 lbf-ft; 40: 4,267 x .75 x .95 = 3,040; 2 x .12 x 3,040 = 729.6 (statics)",
			"|weight=1800 lb|into=nut|force=100",
			"It falls: friction holds 730 lbf, it weighs 1800 lb. Keep the hoist on."},
		{"10 lbf-ft: 120/(.18 x .625) = 1,067 x .7125 x .24 = 182.4 (statics)",
			"|weight=300 lb|grade=sae5|torque=10|into=nut",
			"It falls: friction holds 180 lbf, it weighs 300 lb. Keep the hoist on."},
		{"182.4 beside 182.5", "|weight=182.5 lb|grade=sae5|torque=10|into=nut",
			"It falls: friction holds 182 lbf, it weighs 182.5 lb. Keep the hoist on."},
		{"170 lb six inches out: 85 + 170 x 6/8 = 212.5 on one stud, friction there 91.2 (Shigley 8-57)",
			"|weight=170 lb|grade=sae5|torque=10|into=nut|cgx=6",
			"It turns by its own weight: that asks 213 lbf of one stud, and friction holds 91 lbf there. Keep the " +
				"hoist on."},
	} {
		a := answer(t, "hold", units.InchSystem, plate+c.typed)
		assert.Equal(t, c.says, a.Text("verdict"), c.name)
		assert.Equal(t, worksheet.Stop, a.Mark(), c.name)
	}
	// 20 N.m: 20/(.18 x .016) = 6,944 N x .7125 x .24 = 1,187 N (statics).
	m := answer(t, "hold", units.MetricSystem, "studs=-100,125; 100,125|left=-150|right=150|bottom=0|top=200"+
		"|cgy=100|cgz=90|thread=M16|grade=8.8|into=nut|weight=800 kg|torque=20")
	assert.Equal(t, "It falls: friction holds 1,200 N, it weighs 800 kg or 7,900 N. Keep the hoist on.",
		m.Text("verdict"))
	lets := answer(t, "hold", units.InchSystem, plate+"|weight=182.3 lb|grade=sae5|torque=10|into=nut|force=0")
	assert.NotContains(t, lets.Text("verdict"), "falls", "182.4 lbf hold 182.3 lb")
}

// The stud's proof load is no margin on the cut: at 105 lbf-ft four studs hold the cut's pull many
// times, whatever the cut.
func TestProofIsNoMargin(t *testing.T) {
	// 14,408/1.25 x .1125/12 = 108.06, 105 set: 11,200, least 7,980; the cut of 100 left at a
	// corner 6 by 3 from the middle twists 300 lbf-in, r^2 sum 4 x 20 = 80: 25 + 300 x 2/80 = 32.5
	// and 300 x 4/80 = 15: 35.79 lbf; the weight twists nothing: .12 x 7,980/35.79 = 26.75 (Shigley
	// 8-57).
	for _, way := range []string{"|ledge=yes|way=left|fx=6|fy=0", "|ledge=yes", "|way=in"} {
		a := answer(t, "hold", units.InchSystem, plate+four+way)
		assert.NotContains(t, a.Text("ruling"), "proof", way)
		assert.NotContains(t, a.Text("verdict"), "1.3 times", way)
		assert.Equal(t, "yes", a.Text("stays"), way)
	}
	a := answer(t, "hold", units.InchSystem, plate+four+"|ledge=yes|way=left|fx=6|fy=0")
	assert.Equal(t, "26.75", a.Text("turn"))
	a = answer(t, "hold", units.InchSystem, plate+four+"|ledge=yes|way=in|fx=0|fy=4|cgz=0|fz=1")
	assert.Contains(t, a.Text("verdict"), "It stays: the cut only presses it on.")
}

// What friction bears is said over what is asked of it: 912/205.9 for cut and weight together, the
// cut alone where a ledge carries the weight: 2 x .12 x 3,800/100 = 9.12 (statics).
func TestTimesWhat(t *testing.T) {
	at := "|force=100|way=left|fx=0|fy=5"
	assert.Contains(t, answer(t, "hold", units.InchSystem, plate+known+at).Text("verdict"),
		"4.0 times what cut and weight ask")
	assert.Contains(t, answer(t, "hold", units.InchSystem, plate+known+at+"|ledge=yes").Text("verdict"),
		"9.0 times the cut")
}

// Reference 1.10 no. 10: a grip of 1.384 in loses 1,678 lbf. 4,000 - 1,678 = 2,322 lbf in place of
// 3,800: 2.84 becomes 1.73.
func TestSettled(t *testing.T) {
	a := answer(t, "hold", units.InchSystem, plate+known+"|force=100|way=left")
	assert.Contains(t, a.Text("verdict"), "2.8 times what cut and weight ask")
	assert.Contains(t, a.Text("verdict"), "1.7 once it has settled")
	assert.Equal(t, worksheet.Careful, a.Mark())
	text := ""
	for _, c := range a.Cautions() {
		if c.Level == worksheet.Warning {
			text += c.Text
		}
	}
	assert.Contains(t, text, "may lose 1,700 lbf as it settles, where 270 lbf is reckoned")
	assert.Contains(t, text, "1.7 times is left, and 2.5 is wanted")
	a = answer(t, "hold", units.InchSystem, plate+known+"|force=20|way=left|ledge=yes|fx=0|fy=5")
	assert.NotContains(t, a.Text("verdict"), "settled", "45 times leaves enough")
}

// Numbers a refused joint could be followed by are withheld.
func TestWithheld(t *testing.T) {
	a := answer(t, "hold", units.InchSystem, plate+known+"|force=100|torque=150")
	for _, key := range []string{"margin", "slip", "turn", "tip", "boltroom", "torque", "ratio", "cap", "least", "grip",
		"holding"} {
		assert.Empty(t, a.Text(key), key)
	}
	a = answer(t, "torque", units.InchSystem, "thread=5/8-11|grade=sae5|into=nut|torque=150")
	assert.Empty(t, a.Text("least"))
	a = answer(t, "hold", units.InchSystem, plate+"|weight=180|grade=sae5|into=nut|force=40000|way=out")
	assert.Equal(t, "It will not stay: the cut pulls it off the plate.", a.Text("verdict"))
	a = answer(t, "hold", units.InchSystem, plate+known+"|force=2000")
	assert.Empty(t, a.Text("boltroom"))
	assert.NotEmpty(t, a.Text("slip"), "shows what is wrong")
}

const strapped2 = "clamps=2|heel=3|nose=2|weight=120 lb|thread=5/8-11|grade=sae5|force=150|height=4|arm=5|cgarm=4"

// What the studs of straps screw into is asked for; not said, it is not counted as strong.
func TestStrapStudsHole(t *testing.T) {
	stout := strapped2 + "|wide=2|thick=1.25"
	for _, c := range []struct {
		name, typed string
		mark        worksheet.Mark
		says        []string
	}{
		{"5 x 1.4249 x .3125 x 2 = 4,453: 4,453/1.25 x .1125/12 = 33.4, 30 set (H28)", stout + "|force=100", worksheet.Open,
			[]string{"What the studs screw into was not said. If it bears 30 lbf-ft, it stays, "}},
		{"typed", stout + "|torque=60", worksheet.Open,
			[]string{"What the studs screw into was not said. If it bears 60 lbf-ft, it stays, "}},
		{"lips not said", stout + "|torque=60|into=tee", worksheet.Open,
			[]string{"the strap takes 60 lbf-ft at most", "The slot's lips not reckoned."}},
		{"lips bear 8,000/1.25 x .1125/12 = 60.0", stout + "|torque=60|into=tee|lips=8100", worksheet.Good,
			[]string{"At 60 lbf-ft; the slot's lip takes 60 lbf-ft at most. It stays"}},
		{"60 lbf-ft pulls to 6,400 x 1.25 = 8,000", stout + "|torque=60|into=tee|lips=7000", worksheet.Stop,
			[]string{"Too tight: 60 lbf-ft may pull to 8,000 lbf, and the slot's lip bears 7,000 lbf. At most 50"}},
		{"a nut below", stout + "|torque=60|into=nut", worksheet.Good, []string{"It stays"}},
		{"half an inch in class 20: 10 x 1.4249 x .5 = 7,125 (H28)", stout + "|torque=60|into=length|depth=1/2",
			worksheet.Stop, []string{"Too tight: 60 lbf-ft may pull to 8,000 lbf, and the hole's thread bears 7,1"}},
		{"30 lbf-ft: 3,200 x .7125 = 2,280 x .6 x 2 = 2,736 + 120 = 2,856 x .12 = 342 over 250: 1.37",
			stout + "|force=250", worksheet.Stop,
			[]string{"Not enough with the 30 lbf-ft a short hole in grey iron bears: slipping lets go at 1.3 times"}},
	} {
		a := answer(t, "strap", units.InchSystem, c.typed)
		for _, says := range c.says {
			assert.Contains(t, a.Text("verdict"), says, c.name)
		}
		assert.Equal(t, c.mark, a.Mark(), c.name)
	}
}

// A strap that no mark of the wrench suits: one that is stout enough is offered, and is. By hand: 2
// in thick, Z = (1 - .6875) 4/6 = .2083, 30 x .2083/1.2 = 5,208 lbf: 5,208/1.25 x .1125/12 = 39.06;
// 35: 3,733 x .7125 x 1.2 + 120 = 3,312 x .12/150 = 2.65.
func TestStrapTooThin(t *testing.T) {
	thin := strapped2 + "|wide=1|thick=.25|into=nut"
	for _, torque := range []string{"", "|torque=60"} {
		a := answer(t, "strap", units.InchSystem, thin+torque)
		assert.Equal(t, "No torque is safe: the strap cannot take it.", a.Text("verdict"))
		for _, c := range a.Cautions() {
			assert.NotContains(t, c.Text, "ksi")
			assert.NotContains(t, c.Text, " 0 lbf-ft")
		}
		assert.Contains(t, a.Text("raise"), "Straps 2 in thick, and 35 lbf-ft on the nuts: 2.6 times.")
		for _, key := range []string{"slip", "tip", "onwork", "torque", "bending"} {
			assert.Empty(t, a.Text(key), key)
		}
	}
	assert.Equal(t, "yes", answer(t, "strap", units.InchSystem, thin+"|thick=2|torque=35").Text("stays"))
	assert.Empty(t, answer(t, "strap", units.InchSystem, strapped2+"|into=nut|wide=1.5|thick=.5|torque=80").
		Text("slip"), "a bent strap holds by no margin")
}

// No way out is a crowd of clamps; what is offered is tried.
func TestStrapWaysOut(t *testing.T) {
	a := answer(t, "strap", units.InchSystem, strapped2+"|wide=2|thick=1.25|into=nut|torque=60|force=2000")
	assert.NotContains(t, a.Text("raise"), "clamps like these")
	a = answer(t, "strap", units.InchSystem,
		"clamps=2|heel=3|nose=2|weight=120 lb|thread=5/8-11|grade=sae5|into=nut|force=2000|wide=3|thick=2")
	assert.Contains(t, a.Text("raise"), "A stop against the cut.")
	a = answer(t, "strap", units.InchSystem, strapped2+"|wide=3|thick=2|into=nut|force=600")
	assert.Contains(t, a.Text("raise"), "Studs of 3/4-10")
	b := answer(t, "strap", units.InchSystem, strapped2+"|wide=3|thick=2|into=nut|force=600|thread=3/4-10")
	assert.Equal(t, "yes", b.Text("stays"))
}

// What was not said is said.
func TestNotSaid(t *testing.T) {
	assert.Contains(t, answer(t, "hold", units.InchSystem, plate+known+"|weight=0|force=0").Text("verdict"),
		"Its weight was not said; no cut reckoned.")
	assert.Contains(t, answer(t, "strap", units.InchSystem, strapped2+"|weight=0|force=0|into=nut").Text("verdict"),
		"Its weight was not said; no cut reckoned: each clamp presses with")
}

// A number said twice is the same number: 30 kN are 6,744 lbf, 6,744 x 1.25 = 8,430, rounded up.
func TestSameInBoth(t *testing.T) {
	a := answer(t, "torque", units.InchSystem, "thread=M12|grade=8.8|tension=30 kN|into=nut")
	assert.Contains(t, a.Text("verdict"), "may pull to 8,500 lbf, and three quarters of the stud's proof load is 8,200")
	most, _, _ := a.Shown("most")
	assert.Equal(t, "8500 lbf", most)
}

// A torque typed in another unit is told so, and the others to a wrench's finest marks: the stud
// takes 108.06 lbf-ft.
func TestTypedInItsUnit(t *testing.T) {
	for typed, says := range map[string]string{
		"50 N.m":     "At 50 N.m; the stud takes 108 lbf-ft at most.",
		"50.5N.m":    "At 50.5 N.m; the stud takes 108 lbf-ft at most.",
		"601 lbf-in": "At 601 lbf-in; the stud takes 108 lbf-ft at most.",
		"42 lbf-ft":  "At 42 lbf-ft; the stud takes 108 lbf-ft at most.",
		"60":         "At 60 lbf-ft; the stud takes 105 lbf-ft at most.",
	} {
		a := answer(t, "torque", units.InchSystem, "thread=5/8-11|grade=sae5|into=nut|torque="+typed)
		assert.Contains(t, a.Text("verdict"), says, typed)
	}
	a := answer(t, "torque", units.MetricSystem, "thread=M16|grade=8.8|into=nut|torque=50 lbf-ft")
	assert.Contains(t, a.Text("verdict"), "At 50 lbf-ft; the stud takes ")
	assert.Contains(t, a.Text("verdict"), "157 N.m at most", "without decimals")
	a = answer(t, "hold", units.InchSystem, plate+four+"|torque=50 N.m|ledge=yes")
	assert.Contains(t, a.Text("steps"), "and 36 lbf-ft", "36.88 on the wrench")
}

// A centre of gravity outside the part is likely a slip.
func TestMiddleOfWeightOutside(t *testing.T) {
	asks := func(change string) (means []string) {
		for _, c := range answer(t, "hold", units.InchSystem, plate+known+"|force=100|"+change).Cautions() {
			if c.Field != "" {
				means = append(means, c.Field+" "+c.Means)
			}
		}
		return means
	}
	assert.Equal(t, []string{"cgy 40 mm"}, asks("cgy=40"))
	assert.Equal(t, []string{"cgx 80 mm"}, asks("cgx=80"))
	assert.Equal(t, []string{"cgx -4"}, asks("cgx=-40|left=-6|right=-3|studs=-5,5; -3.5,5"))
	assert.Empty(t, asks("cgy=8"))
}

// A nut narrower than what it bears over is said to fall in.
func TestNutFallsIn(t *testing.T) {
	a := answer(t, "torque", units.InchSystem, "thread=5/8-11|grade=sae5|into=nut|seat=1|bears=slot")
	assert.Equal(t, "The nut falls into the slot: use a wider washer.", a.Text("verdict"))
	a = answer(t, "torque", units.InchSystem, "thread=5/8-11|grade=sae5|into=nut|seat=1")
	assert.Equal(t, "The nut falls into the hole: use a wider washer.", a.Text("verdict"))
	assert.Equal(t, worksheet.Stop, a.Mark())
}
