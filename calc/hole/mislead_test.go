package hole

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/drill"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/thread"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// answer runs the worksheet on inputs written as key=text|key=text.
func answer(t testing.TB, sys units.System, in string) worksheet.Answer {
	t.Helper()
	return registrytest.Answer(t, Sheets(), sys, "hole", in)
}

func shown(a worksheet.Answer, key string) string {
	text, _, _ := a.Shown(key)
	return text
}

// What once was answered as if all were well.
func TestNothingMisleads(t *testing.T) {
	for _, row := range []struct {
		name, in string
		mark     worksheet.Mark
		verdict  string // a part of it
		fits     string
	}{
		// 100 (.625 - .25)/(1.29904/11) = 317.5
		{"317 % of thread", "thread=5/8-11|depth=.5|stock=1|drill=1/4", worksheet.Stop,
			"1/4: hole too small by .2730 in, 318% of thread.", "no"},
		// likely hole .5781 + .0050 over .546 by .0371; 100 (.625 - .5831)/.118095 = 35.5
		{"35 % of thread", "thread=5/8-11|depth=.5|stock=1.5|drill=37/64", worksheet.Stop,
			"37/64: hole too big by .0371 in, 35% of thread.", "no"},
		// tip .75, shoulder .5904, less 1 P .0909 and 2 P .1818 is .3177; countersink (.6705 -
		// .546)/2 is .0622, or none of it
		{"short thread, said to the point", "thread=5/8-11|depth=.75|to=point|stock=.95|csk=none", worksheet.Careful,
			"17/32 drill, .590 in deep to the shoulder: .317 in full thread, .200 in floor; 0.5 D may strip before " +
				"the screw breaks.", "yes"},
		// shoulder .75 + .2727 = 1.0227, tip 1.1823; to the mark above would be 1.183, below 1.182
		{"comes out behind", "thread=5/8-11|depth=3/4|stock=.95", worksheet.Stop,
			"Comes out .232 in behind the stock.", "no"},
		{"floor wanted", "thread=5/8-11|depth=.4|stock=.95|floor=1/4", worksheet.Stop,
			"Floor .118 in, you want .250 in.", "no"},
		{"no thread left", "thread=5/8-11|depth=.4|to=point|stock=2|tap=plug", worksheet.Stop,
			"No full thread left.", "no"},
		{"two threads", "thread=5/8-11|depth=.2|stock=2", worksheet.Stop, "Only .200 in of full thread.", "no"},
		{"stock not said", "thread=1/4-20|depth=1/2", worksheet.Open, "How thick is the stock? The floor is not " +
			"reckoned.", ""},
		{"wrong drill, stock not said", "thread=1/4-20|depth=1/2|drill=#1", worksheet.Stop, "#1: hole too big", "no"},
		// 1 + 2 P .1538 + 2 P .1538 + pl .1267 is 1.4344, on the mark 1.435: shoulder 1.3083
		{"good", "thread=1/2-13|depth=1|stock=2|work=steel", worksheet.Good,
			"27/64 drill, 1.308 in deep to the shoulder: 1.000 in full thread, .565 in floor.", "yes"},
		{"a drill without a name", "thread=5/8-11|depth=.75|drill=.54|stock=2", worksheet.Careful,
			".5400 in drill, 1.023 in deep", "yes"},
		{"right through", "thread=3/8-16|depth=1|stock=through", worksheet.Good,
			"5/16 drill right through, tap 3/8-16 UNC until the chamfer is out: 2.5 D of thread.", "yes"},
		{"thin plate", "thread=3/8-16|depth=1/8|stock=through", worksheet.Careful,
			"0.1 D may strip before the screw breaks", "yes"},
		// what is left below the countersink holds: .7505 - (2 - .434)/2 is nothing, .5005 - (1.25 -
		// .434)/2 is .0925; the usual one of 11/16 takes .0708 of .3177
		{"countersink eats the thread", "thread=1/2-13|depth=.75|stock=1.5|csk=2", worksheet.Stop,
			"Only .000 in of thread left: the countersink takes .783 in.", "no"},
		{"1.2 threads left", "thread=1/2-13|depth=.5|stock=1.5|csk=1.25", worksheet.Stop,
			"Only .092 in of thread left: the countersink takes .408 in.", "no"},
		{"the usual countersink", "thread=5/8-11|depth=.75|to=point|stock=.95", worksheet.Stop,
			"Only .246 in of thread left: the countersink takes .071 in.", "no"},
		{"through, too", "thread=1/2-13|depth=.5|stock=through|csk=1.25", worksheet.Stop,
			"Only .092 in of thread left", "no"},
		{"through, with the usual one", "thread=1/4-20|depth=3/16|stock=through", worksheet.Careful,
			"0.5 D may strip before the screw breaks", "yes"},
		{"countersink under the drill", "thread=1/2-13|depth=.75|stock=1.5|csk=.4", worksheet.Careful,
			"; no countersink, .400 in is smaller than the hole.", "yes"},
		// .45 - .441 = .009; a quarter of .125 is .0313. Common practice, no published source.
		{"floor of nine thou", "thread=10-32|depth=.3|stock=.45", worksheet.Stop,
			"Floor .009 in: too thin, less than .031 in may come out behind.", "no"},
		{"floor of 35 thou", "thread=10-32|depth=.3|stock=.476", worksheet.Careful, ".035 in floor, thin", "yes"},
		{"floor of 35 thou, ten wanted", "thread=10-32|depth=.3|stock=.461|floor=.01", worksheet.Stop,
			"Floor .019 in: too thin, less than .030 in may come out behind.", "no"},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := answer(t, units.InchSystem, row.in)
			assert.Equal(t, row.mark, a.Mark())
			assert.Contains(t, a.Text("verdict"), row.verdict)
			assert.Equal(t, row.fits, a.Text("fits"))
			assert.NotContains(t, a.Text("verdict")+a.Text("steps"), "rill drill")
			cautions := 0
			for _, c := range a.Cautions() {
				if c.Level == worksheet.Warning {
					cautions++
				}
			}
			assert.LessOrEqual(t, cautions, 2, "%v", a.Cautions())
			if row.mark == worksheet.Stop {
				for _, key := range []string{"steps", "mark", "turns", "free", "bite", "stoptip", "stopedge"} {
					assert.Empty(t, a.Text(key), key)
				}
				assert.NotEmpty(t, a.Rows("ways"))
			}
		})
	}
}

// A forming tap's hole is drilled to come out on size: .25 - .0068 x 65/20 is .2279, #1 is .2280.
func TestFormingHole(t *testing.T) {
	a := answer(t, units.InchSystem, "thread=1/4-20|method=form|work=steel|depth=.4|stock=1")
	assert.Equal(t, "#1", a.Text("drill"))
	assert.Equal(t, worksheet.Good, a.Mark())
	b := answer(t, units.InchSystem, "thread=1/4-20|method=form|work=steel|depth=.4|stock=1|drill=#7")
	assert.Equal(t, worksheet.Stop, b.Mark())
	assert.Contains(t, b.Text("verdict"), "#7: hole too small to form, 144% of thread.")
	assert.Contains(t, b.Text("ways"), "Take the #1 drill: 65% of thread.")
}

// A closer class than the tables are made for takes a drill that stays inside it, or is bored.
func TestCloserClass(t *testing.T) {
	a := answer(t, units.InchSystem, "thread=5/8-11 UNC-3B|depth=.75|stock=2|work=steel")
	assert.Equal(t, "17/32", a.Text("drill")) // likely .5363 in .5270 to .5391
	b := answer(t, units.InchSystem, "thread=3/4-10 UNC-3B|depth=1|stock=2|work=steel")
	assert.Contains(t, b.Text("verdict"), "Bore or ream") // 41/64 is under .642, 21/32 over .6545
	assert.Equal(t, worksheet.Careful, b.Mark())
}

// A hole takes a class of holes.
func TestClassOfScrewsRefused(t *testing.T) {
	for _, class := range []string{"5/8-11 UNC-2A", "5/8-11 UNC-3A", "M12x1.75-6g"} {
		a := worksheet.Run(tapped, units.InchSystem, []worksheet.Pair{{Key: "thread", Text: class}, {Key: "depth",
			Text: ".75"}})
		require.NotNil(t, a.Fault, class)
		assert.Equal(t, "thread", a.Fault.Field)
		assert.Contains(t, a.Fault.Message, "class of screws")
	}
	for _, class := range []string{"5/8-11 UNC-3B", "5/8-11 UNC-2B/2A", "M12x1.75-6H/6g", "M20x1.5-6G"} {
		answer(t, units.InchSystem, "thread="+class+"|depth=20mm|stock=50mm")
	}
}

// The default drill is the usual tables', for every thread they have; it is never under the least
// minor diameter, whatever the thread.
func TestDefaultDrills(t *testing.T) {
	for _, th := range append(thread.AllUnified(), thread.AllISO()...) {
		name, ok := th.TapDrill()
		d := th.Inches(th.D)
		a := worksheet.Run(tapped, units.InchSystem, []worksheet.Pair{{Key: "thread", Text: th.String()},
			{Key: "depth", Text: strconv.FormatFloat(max(d, .011), 'f', 4, 64)}, {Key: "stock",
				Text: strconv.FormatFloat(min(3*d+.5, 40), 'f', 4, 64)}})
		if a.Fault != nil {
			continue // M1 and the like have no depth in range
		}
		if _, made := drill.Lookup(name); ok && made {
			require.Equal(t, name, a.Text("drill"), th.String())
			require.Contains(t, a.Text("tabled"), name)
		}
		limits, err := th.InternalLimits()
		require.NoError(t, err)
		p, f := Make(Input{Thread: th, Depth: d, To: ToThread, Tap: Bottoming, Chips: -1, Point: 118, Csk: -1,
			CskDeg: 90, Work: Iron, Usual: true, Sets: drill.Sets[:3]})
		require.Nil(t, f)
		require.GreaterOrEqual(t, p.Pick.Dia, th.Inches(limits.Minor.Min)-1e-9, th.String())
		require.NotEmpty(t, a.Text("reckoned"))
	}
}

// Drills of other printed charts are taken without a word against them.
func TestOtherChartsAccepted(t *testing.T) {
	for _, row := range [][2]string{{"2-56", "#51"}, {"12-24", "#17"}, {"1/4-20", "#8"}, {"7/16-28", "13/32"},
		{"M8", "6.75 mm"}, {"M12", "10.25 mm"}, {"M6x0.75", "5.25 mm"}} {
		th := mustThread(t, row[0])
		d, err := strconv.ParseFloat(strings.TrimSuffix(row[1], " mm"), 64)
		in := Input{Thread: th, Depth: .3, To: ToThread, Stock: 2, Tap: Bottoming, Chips: -1, Point: 118, Csk: 0,
			CskDeg: 90, Work: Steel}
		if in.Drill = d / 25.4; err != nil {
			size, ok := drill.Lookup(row[1])
			require.True(t, ok)
			in.Drill = size.Inches
		}
		p, f := Make(in)
		require.Nil(t, f)
		assert.LessOrEqual(t, p.Pick.Grade, Nominal, "%v", row)
		assert.True(t, p.Fits, "%v", row)
	}
	// The charts' own inch drill for 9/16-24 is .0014 under the least: taken, with a caution.
	a := answer(t, units.InchSystem, "thread=9/16-24|depth=3/4|stock=2|drill=33/64")
	assert.Equal(t, worksheet.Careful, a.Mark())
	assert.Contains(t, a.Text("verdict"), "under the least minor diameter, and counts on cutting big")
}

// Marks over the most minor diameter are a caution only for class work.
func TestClassWork(t *testing.T) {
	warns := func(in string) bool {
		for _, c := range answer(t, units.InchSystem, in).Cautions() {
			if c.Level == worksheet.Warning && strings.Contains(c.Text, "plug for the minor diameter") {
				return true
			}
		}
		return false
	}
	const rest = "|depth=1|stock=3|work=steel"
	assert.True(t, warns("thread=9/16-18 UNF-2B"+rest))  // > by .0006
	assert.True(t, warns("thread=1/2-20 UNF-2B"+rest))   // +: .4531 + .0047 over .457
	assert.False(t, warns("thread=9/16-18"+rest))        // no class said
	assert.False(t, warns("thread=1/2-20"+rest))         // no class said
	assert.False(t, warns("thread=5/8-11 UNC-2B"+rest))  // 17/32 stays inside
	assert.False(t, warns("thread=3/8-16 UNC-2B"+rest))  // 5/16 stays inside
	assert.False(t, warns("thread=5/16-24 UNF-2B"+rest)) // I + .0042 is .2762 in .277
}

// The depth is set to a mark of the quill's stop: the deeper one if the wanted floor still holds,
// and all else follows from it. 5/8-11, 17/32 at 118 degrees: pl .15960, chamfer .18182, chips
// .09091.
func TestDepthOnTheMark(t *testing.T) {
	for _, row := range []struct {
		in, tip, shoulder, full, floor string
	}{
		// tip .75 + .27273 + .15960 = 1.18233: 1.183 leaves .317 of the .136 wanted
		{"thread=5/8-11|depth=.75|stock=1.5", "1.1830", "1.0234", ".7507", ".3170"},
		// 1.318 - 1.183 = .135 is less than the usual 1.5 P .13636: 1.182 leaves .1360 and that
		// is less too
		{"thread=5/8-11|depth=.75|stock=1.3188", "1.1820", "1.0224", ".7497", ".1368"},
		// wanted exactly: .1358 stays at the deeper mark, .1359 does not
		{"thread=5/8-11|depth=.75|stock=1.3188|floor=.1358", "1.1830", "1.0234", ".7507", ".1358"},
		{"thread=5/8-11|depth=.75|stock=1.3188|floor=.1359", "1.1820", "1.0224", ".7497", ".1368"},
		// a depth to the point that stands on a mark stays there
		{"thread=5/8-11|depth=.75|to=point|stock=1.5", ".7500", ".5904", ".3177", ".7500"},
		// as deep as it goes: 1.5 - .13636 = 1.36364, the mark below
		{"thread=5/8-11|stock=1.5", "1.3630", "1.2034", ".9307", ".1370"},
	} {
		a := answer(t, units.InchSystem, row.in)
		for key, want := range map[string]string{"tip": row.tip, "shoulder": row.shoulder, "full": row.full,
			"floor": row.floor} {
			x, err := strconv.ParseFloat(want, 64)
			require.NoError(t, err)
			got, err := strconv.ParseFloat(a.Value(key), 64)
			require.NoError(t, err)
			assert.InDelta(t, x, got, 1.01e-4, "%s %s", row.in, key)
		}
	}
	// Millimetres: marks of 0.05. M12: 10.2 at 118 pl 3.0643, 2 P 3.5, 1 P 1.75: 20 + 8.3143 =
	// 28.3143 to 28.35
	m := answer(t, units.MetricSystem, "thread=M12|depth=20|stock=40")
	assert.Equal(t, "28.35 mm", shown(m, "tip"))
	assert.Equal(t, "25.30 mm", shown(m, "shoulder")) // 25.2857
	assert.Equal(t, "20.00 mm", shown(m, "full"))     // 20.0357, thread there is: less

	assert.Equal(t, "11.64 mm", shown(m, "floor")) // 11.65 in steps of 0.02: less
}

// The mark on the tap and the turns, worked by hand: 5/8-11, shoulder .8125, half a pitch of room,
// tip of the tap to .7670, plug of 4 and bottoming of 1.5 pitches: bites at .7670 - 2.5 P = .5398.
// On the quill's mark, .813, all is half a thou deeper.
func TestMarkOnTheTap(t *testing.T) {
	const in = "thread=5/8-11|depth=.8125|to=shoulder|stock=2|chips=.5|chamfer=1.5|lead=4|csk=none"
	a := answer(t, units.InchSystem, in)
	assert.Equal(t, "49/64 in", shown(a, "mark")) // .7656; a 64th more is past the end
	assert.Equal(t, "2-1/2", shown(a, "turns"))
	assert.Equal(t, "5-7/8", shown(a, "free")) // 5.94
	assert.Equal(t, ".540 in", shown(a, "bite"))
	assert.Equal(t, ".631 in", shown(a, "full")) // .7675 - 1.5 P = .6312
	assert.Contains(t, a.Text("steps"), "bites about 2-1/2 turns before the mark")
	assert.NotContains(t, a.Text("steps"), "from the first bite")

	// Chamfers not measured: 3 - 2 to 5 - 1 turns.
	wide := answer(t, units.InchSystem, "thread=5/8-11|depth=.8125|to=shoulder|stock=2")
	assert.Contains(t, wide.Text("steps"), "bites 1 to 4 turns before the mark")

	// One tap alone bites at the surface.
	alone := answer(t, units.InchSystem, "thread=5/8-11|depth=.95|to=shoulder|stock=2|tap=plug")
	assert.Empty(t, alone.Text("bite"))
	assert.Contains(t, alone.Text("steps"), "about 9-3/8 turns from the face") // (.95 - P) x 11 = 9.45

	// A point on the tap's end of .3: it lands .8125 + .1596 - .3 = .6721 down, and the mark is
	// at .9721
	point := answer(t, units.InchSystem, "thread=5/8-11|depth=.8125|to=shoulder|stock=2|centre=.3")
	assert.Equal(t, "31/32 in", shown(point, "mark")) // .96875
	assert.Equal(t, ".490 in", shown(point, "full"))

	// A tap that never cut a full thread: z1 .7670 under 8.5 P .7727; bites at .7670 x 4/8.5 =
	// .3610
	never := answer(t, units.InchSystem,
		"thread=5/8-11|depth=.8125|to=shoulder|stock=2|chips=.5|chamfer=4|tap=plug|before=taper|lead=8.5|csk=none")
	assert.Equal(t, ".361 in", shown(never, "bite"))
	assert.Equal(t, "4-3/8", shown(never, "turns")) // 4.467
}

// No count goes past the mark: bite and turns end at the tap's end, over many plans.
func TestCountEndsAtTheMark(t *testing.T) {
	for _, th := range []string{"1/4-20", "5/8-11", "M6", "M12x1.25", "1-8"} {
		for _, before := range []Tap{"", Taper, Plug} {
			for _, tap := range Taps {
				for depth := .3; depth < 2; depth += .17 {
					p, f := Make(Input{Thread: mustThread(t, th), Depth: depth, To: ToShoulder, Tap: tap,
						Before: before, Chips: -1, Point: 118, CskDeg: 90, Work: Iron})
					require.Nil(t, f)
					if p.Full <= 0 {
						continue
					}
					require.InDelta(t, p.Reach, p.Bite.Tip+p.Bite.Turns*p.Pitch, 1e-9)
					require.LessOrEqual(t, p.Fewest, p.Bite.Turns+1e-9)
					require.GreaterOrEqual(t, p.Most, p.Bite.Turns-1e-9)
					require.LessOrEqual(t, p.Most*p.Pitch, p.Reach+1e-9)
					require.GreaterOrEqual(t, p.Bite.Tip, -1e-9)
				}
			}
		}
	}
}

// At the limit between two answers a worked line shows its number: by bisecting the stock between
// one that breaks through and one that leaves a floor, and the drill between sizes taken and
// refused.
func TestLimitsAreShown(t *testing.T) {
	bisect := func(low, high float64, in func(x float64) string) worksheet.Answer {
		return registrytest.Turn(t, low, high, func(x float64) worksheet.Answer { return answer(t, units.InchSystem, in(x)) })
	}
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', 9, 64) }
	lines := func(a worksheet.Answer) string {
		all := ""
		for _, l := range a.Lines() {
			all += l.What + ": " + l.Numbers + " " + l.Result + "\n"
		}
		return all
	}
	floor := bisect(1, 2, func(x float64) string { return "thread=5/8-11|depth=.75|work=aluminium|stock=" + number(x) })
	assert.Contains(t, lines(floor), "Floor left: 1.3071 - 1.2730 0.0341 "+
		"in") // .75 + 2 P + 2 P + .1596, to the mark below; a quarter of 1.5 P
	big := bisect(.53, .56, func(x float64) string { return "thread=5/8-11|depth=1|stock=3|drill=" + number(x) })
	assert.Contains(t, lines(big), "0.527 to 0.546 in")
	assert.Contains(t, lines(big), "oversize of the drill: 0.5460")
	thin := bisect(1.3, 1.6, func(x float64) string { return "thread=5/8-11|depth=1|work=steel|stock=" + number(x) })
	assert.Contains(t, lines(thin), "Least floor: P 0.0909, d 0.5313 0.1364 in")
}

// A bare number that only makes sense in the other unit is asked about, with what was likely meant.
func TestUnitSlip(t *testing.T) {
	asked := func(sys units.System, in string) string {
		for _, c := range answer(t, sys, in).Cautions() {
			if c.Means != "" {
				return c.Field + "=" + c.Means
			}
		}
		return ""
	}
	assert.Equal(t, "stock=25 mm", asked(units.InchSystem, "thread=3/8-16|depth=1/2|stock=25"))
	assert.Equal(t, "depth=12 mm", asked(units.InchSystem, "thread=1/4-20|depth=12|stock=20 in"))
	assert.Equal(t, "depth=.75 in", asked(units.MetricSystem, "thread=M12|depth=.75|stock=40"))
	assert.Empty(t, asked(units.InchSystem, "thread=3/8-16|depth=1/2|stock=25 in"))
	assert.Empty(t, asked(units.InchSystem, "thread=5/8-11|depth=3/4|stock=1.75"))
	assert.Empty(t, asked(units.MetricSystem, "thread=M12|depth=20|stock=40"))
}

// A drill that makes no thread leaves nothing to follow; the other drill is offered, and what is
// offered was tried. 5/8-11, 3/4 deep: 17/32 to 1.182 comes out of .95 too.
func TestWaysAreTried(t *testing.T) {
	a := answer(t, units.InchSystem, "thread=5/8-11|depth=.75|stock=.95|drill=1/2")
	for _, key := range []string{"drill", "shoulder", "tip", "full", "floor", "steps"} {
		assert.Empty(t, a.Text(key), key)
	}
	assert.Equal(t, worksheet.Stop, a.Mark())
	assert.NotEmpty(t, a.Text("percent"))
	ways := a.Text("ways")
	assert.NotContains(t, ways, "drill: 79%")
	assert.NotContains(t, ways, "works as it is") // .040 of floor
	assert.Contains(t, ways, "Take the 17/32 drill. Less thread: .380 in with this tap")
	assert.Contains(t, ways, "0.4 D may strip before the screw breaks.")

	big := answer(t, units.InchSystem, "thread=5/8-11|depth=.75|stock=2|drill=1/4")
	assert.Contains(t, big.Text("ways"), "Take the 17/32 drill: 79% of thread; ")
	sunk := answer(t, units.InchSystem, "thread=1/2-13|depth=.75|stock=1.5|csk=2")
	assert.Contains(t, sunk.Text("ways"), "Countersink to 9/16 in: ")
	// nothing holds in a quarter, 2.75 threads: not through either
	thin := answer(t, units.InchSystem, "thread=5/8-11|depth=.2|stock=.25")
	assert.NotContains(t, thin.Text("ways"), "Go through")
}

// A thou of the hole is 100 x .001 x 13/.68 = 1.91 per cent of a formed 1/2-13, told as 2; 0.02 mm
// of M12 is 2/(.68 x 1.75) = 1.7 per cent, by the formula of Machinery's Handbook.
func TestFormingThou(t *testing.T) {
	says := func(sys units.System, in string) string {
		all := ""
		for _, c := range answer(t, sys, in).Cautions() {
			all += c.Text
		}
		return all
	}
	assert.Contains(t, says(units.InchSystem, "thread=1/2-13|depth=.75|stock=1.5|method=form|work=aluminium"),
		"a thou larger takes 2% of thread off")
	assert.Contains(t, says(units.MetricSystem, "thread=M12|depth=20|stock=40|method=form|work=aluminium"),
		"0.02 mm larger takes 2% of thread off")
}

// The usual countersink, thread and half a pitch, is told to the next 1/16 in, 1/64 in under 1/4:
// .5385 is 9/16, .6705 is 11/16, .5833 is 5/8, .2056 is 7/32. M12 12.875 is 13 mm.
func TestCountersinkIsTold(t *testing.T) {
	for in, want := range map[string]string{"1/2-13": "9/16 in", "5/8-11": "11/16 in", "9/16-24": "5/8 in",
		"10-32": "7/32 in"} {
		a := answer(t, units.InchSystem, "thread="+in+"|depth=.9|stock=4|work=steel")
		assert.Contains(t, a.Text("steps"), "Countersink to "+want+" at")
	}
	assert.Contains(t, answer(t, units.MetricSystem, "thread=M12|depth=20|stock=40").Text("steps"),
		"Countersink to 13.00 mm at")
	assert.Contains(t, answer(t, units.InchSystem, "thread=1/2-13|depth=.75|stock=2|csk=.6").Text("steps"),
		"Countersink to .600 in at")
}

// The turns it goes in free are the same in the list and in the steps.
func TestOneCountOfFreeTurns(t *testing.T) {
	a := answer(t, units.InchSystem, "thread=1/2-13|depth=.75|stock=1.5")
	assert.Equal(t, "8-3/4", shown(a, "free"))
	assert.Contains(t, a.Text("steps"), "free for about 8-3/4 turns")
	assert.True(t, slices.ContainsFunc(results, func(r worksheet.Result) bool { return r.Key == "free" && r.Main }))
}
