package weigh

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
	const box = "metal=own|density=.26|parts=add, box, 10, 10, 1, 5, 5"
	const eye = "size=5/8|angle=30|pull=350|kind=shoulder|flat=yes|metal=mild"
	for _, c := range []struct {
		name, sheet, typed string
		mark               worksheet.Mark
		head, facts        string
	}{
		{"the usual angle, no tag", "sling", "weight=420", worksheet.Open,
			"Each leg 250 lbf at 60°", "take slings of 325 or more · a qualified person decides"},
		{"no tag", "sling", "weight=420|angle=50", worksheet.Open,
			"Each leg 275 lbf at 50°", "take slings of 350 or more · a qualified person decides"},
		{"one leg", "sling", "weight=420|legs=1", worksheet.Open,
			"425 lbf, straight up", "take slings of 525 or more · a qualified person decides"},
		{"within the tag", "sling", "weight=420|angle=50|rated=1600", worksheet.Good,
			"Leg pulls 275, tag says 1,600", "50° · eyebolts 40° over · a qualified person decides"},
		{"the usual angle", "sling", "weight=420|rated=1600", worksheet.Good,
			"At 60° leg pulls 250, tag 1,600", "eyebolts 30° over · a qualified person decides"},
		{"four legs", "sling", "weight=1200|legs=4|leg=20|rise=16|rated=1600", worksheet.Good,
			"Leg pulls 750, tag says 1,600", "53° · eyebolts 37° over · a qualified person decides"},
		{"unlike legs", "sling", "weight=2000|how=two|near=10|far=2|rise=10|rated=2500", worksheet.Good,
			"Leg pulls 1,700, tag says 2,500", "78° · eyebolts 12° over · a qualified person decides"},
		{"unlike legs, no tag", "sling", "weight=2000|how=two|near=10|far=2|rise=10", worksheet.Open,
			"Worst leg 1,700 lbf at 78°", "take slings of 2,125 or more · a qualified person decides"},
		{"little to spare", "sling", "weight=2500|angle=60|rated=1600", worksheet.Careful,
			"Leg pulls 1,450, tag says 1,600", "▲ starts and stops add a quarter · 60° · eyebolts 30° over"},
		{"flat", "sling", "weight=420|angle=40|rated=1600", worksheet.Careful,
			"Leg pulls 350, tag says 1,600", "▲ 40°: a qualified person decides · eyebolts 50° over"},
		{"flat, no tag", "sling", "weight=600|angle=30", worksheet.Careful,
			"Each leg 600 lbf at 30°", "slings of 750 or more · ▲ 30°: a qualified person decides"},
		{"flat, heavy, no tag", "sling", "weight=12000|angle=30", worksheet.Careful,
			"Each leg 12,000 lbf at 30°", "slings of 15,000 or more · ▲ 30°: a qualified person decides"},
		{"flat, little to spare", "sling", "weight=600|angle=30|rated=650", worksheet.Careful,
			"Leg pulls 600, tag says 650", "▲ starts add a quarter · ▲ 30°: a qualified person decides"},
		{"flat choker", "sling", "weight=600|angle=40|hitch=choker|rated=1600", worksheet.Careful,
			"Leg asks 625, tag says 1,600", "▲ 40°: a qualified person decides · ▲ choke at 120° or wider"},
		{"choker", "sling", "weight=600|angle=60|hitch=choker|rated=1000", worksheet.Careful,
			"Leg asks 475, tag says 1,000", "60° · ▲ choke at 120° or wider · eyebolts 30° over"},
		{"too flat", "sling", "weight=600|angle=28|rated=1000", worksheet.Stop,
			"28° is too flat: 30 at least", "longer legs or a spreader"},
		{"too flat, legs known", "sling", "weight=600|leg=20|rise=9", worksheet.Stop,
			"26° is too flat: 30 at least", "legs .63 longer, or a spreader"},
		{"over the tag", "sling", "weight=600|angle=45|rated=400", worksheet.Stop,
			"Leg pulls 425, tag says 400", "70° would do · or heavier slings"},
		{"swings", "sling", "weight=100|how=lugs|lugs=5,1,10; -5,1,10", worksheet.Stop,
			"It will swing: hook not over it", "a lug on the other side of the balance"},

		{"carries", "eyebolt", eye + "|rated=5200|grip=1", worksheet.Good,
			"Eye carries 1,410, pull is 350 lbf", "30° over · a qualified person decides"},
		{"not marked", "eyebolt", eye + "|grip=1", worksheet.Careful,
			"Eye carries 1,410, pull is 350 lbf", "30° over · ▲ read its marking · a qualified person decides"},
		{"just", "eyebolt", eye + "|rated=5200|grip=1|pull=1350", worksheet.Careful,
			"Carries it, just: 1,350 of 1,410", "▲ starts and stops add a quarter · 30° over"},
		{"thread not said", "eyebolt", eye + "|rated=5200", worksheet.Open,
			"Carries 1,410. How much thread?", "pull is 350 · 30° over · a qualified person decides"},
		{"angle not said", "eyebolt", "size=5/8|pull=350|metal=mild|grip=1", worksheet.Open,
			"Straight 2,940. How far over?", "straight pull · ▲ read its marking"},
		{"too much", "eyebolt", eye + "|angle=45|pull=900", worksheet.Stop,
			"Eye carries 880, pull is 900", "30° or less does · or a 3/4 eyebolt · 45° over"},
		{"too far over", "eyebolt", eye + "|angle=52", worksheet.Stop,
			"Eyebolt 52° over: 45 at most", "longer legs or a spreader"},
		{"plain", "eyebolt", eye + "|kind=plain", worksheet.Stop,
			"Plain eyebolt: straight pull only", "seated shoulder eyebolt, or a spreader"},
		{"across", "eyebolt", eye + "|flat=no", worksheet.Stop,
			"Across the eye: it bends", "turn the eye to the pull with shims"},
		{"too little thread", "eyebolt", eye + "|metal=grey30|grip=.6", worksheet.Stop,
			"Eye's thread .600, needs .94", ""},
		{"thread bears too little", "eyebolt", eye + "|metal=grey20|grip=.95|angle=0|pull=2900|rated=5200", worksheet.Stop,
			"Thread bears 4.5 times, 5 wanted", "more thread, a larger eye, or a nut behind"},

		{"weighs", "weigh", box + "; cut, rod, 4, , 1, 5, 5", worksheet.Good,
			"26 lb to lift", "weighs 23 · balances 5.0 from left, 5.0 from front, .5 up"},
		{"far balance", "weigh", "parts=add, box, 30, 40, 24, 15, 20|metal=aluminium", worksheet.Good,
			"3,150 lb to lift", "weighs 2,820 · 15.0 from left, 20.0 from front, 12.0 up"},
		{"scale a little over", "weigh", box + "|scale=27 lb", worksheet.Good,
			"27 lb to lift: scale says so", "4% over reckoned · 5.0 from left, 5.0 from front, .5 up"},
		{"scale", "weigh", box + "|scale=31 lb", worksheet.Careful,
			"31 lb to lift: scale says so", "19% over reckoned · 5.0 from left, 5.0 from front, .5 up"},
		{"scale reads less", "weigh", box + "|scale=20 lb", worksheet.Careful,
			"29 lb to lift: scale reads less", "▲ 23% less: hoist carrying some?"},
		{"mm", "weigh", "metal=grey|parts=add, box, 300, 200, 150", worksheet.Careful,
			"2,342,000 lb? Or are sizes mm?", ""},
		{"cuts nothing", "weigh", box + "; cut, rod, 1, , 1, 80, 8", worksheet.Careful,
			"29 lb to lift", "▲ row 2 cuts nothing · weighs 26"},
		{"nothing left", "weigh", "parts=add, box, 1, 1, 1; cut, box, 2, 2, 2", worksheet.Stop,
			"More cut out than there is", "check the sizes, and which rows are cut"},
	} {
		t.Run(c.sheet+" "+c.name, func(t *testing.T) {
			var pairs []string
			last := map[string]string{}
			for _, p := range strings.Split(c.typed, "|") {
				key, text, _ := strings.Cut(p, "=")
				last[key] = text
			}
			for key, text := range last {
				pairs = append(pairs, key, text)
			}
			a := run(t, sheet(c.sheet), pairs...)
			head, facts := a.Headline()
			assert.Equal(t, c.head, head)
			assert.Equal(t, c.facts, strings.Join(facts, " · "))
			assert.Equal(t, c.mark, a.Mark())
		})
	}
}

func sheet(name string) *worksheet.Sheet {
	for _, s := range Sheets() {
		if s.Name == name {
			return s
		}
	}
	return nil
}

// What is known is said before the question for what is not.
func TestHalf(t *testing.T) {
	for _, c := range []struct{ sheet, typed, head string }{
		{"sling", "", "What weight?"},
		// 1600 x 2 x sin 60 = 2,771: two figures, less.
		{"sling", "rated=1600", "Lifts 2,700 lb. What weight?"},
		{"sling", "rated=1600|hitch=choker", "Lifts 2,000 lb. What weight?"},
		{"sling", "rated=1600|legs=4|leg=20|rise=10", "Lifts 1,600 lb. What weight?"},
		{"sling", "rated=1600|leg=20|rise=9", "What weight?"},
		{"weigh", "", "What shape?"},
		{"eyebolt", "", "Which eyebolt?"},
		{"eyebolt", "size=5/8", "What pull?"},
	} {
		var pairs []worksheet.Pair
		for _, p := range strings.Split(c.typed, "|") {
			if key, text, ok := strings.Cut(p, "="); ok {
				pairs = append(pairs, worksheet.Pair{Key: key, Text: text})
			}
		}
		got, _ := worksheet.Run(sheet(c.sheet), units.InchSystem, pairs).Headline()
		assert.Equal(t, c.head, got, c.typed)
	}
}
