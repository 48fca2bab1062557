package cut

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestWorksheets(t *testing.T) {
	registrytest.Worksheets(t, Sheets(), Checks())
	registrytest.Cautioned(t, Sheets())
}

func TestMaterialsAreWhole(t *testing.T) {
	for _, m := range materials {
		for _, op := range []Op{FaceMill, EndMill, Drill, Ream, Tap, Csink, Bore} {
			for _, carbide := range []bool{false, true} {
				lo, hi := m.Range(op, carbide)
				assert.Positive(t, lo, "%s %s", m.Key, op)
				assert.GreaterOrEqual(t, hi, lo, "%s %s", m.Key, op)
			}
			if op != Tap {
				lo, _ := m.Range(op, false)
				fast, _ := m.Range(op, true)
				assert.Greater(t, fast, lo, "carbide runs faster: %s %s", m.Key, op)
			}
		}
		assert.Greater(t, m.Face.hi, m.Face.lo, m.Key)
		assert.Greater(t, m.End.hi, m.End.lo, m.Key)
		assert.Positive(t, m.Depth, m.Key)
		assert.Positive(t, m.Kd, m.Key)
		assert.Positive(t, m.Tapping, m.Key)
		kp, inside := m.PowerConstant(m.HB, .01)
		assert.Positive(t, kp, m.Key)
		assert.True(t, inside, "the usual hardness lies in the table: %s", m.Key)
		for i := 1; i < len(m.Kp); i++ {
			assert.Greater(t, m.Kp[i].value, m.Kp[i-1].value, "harder takes more: %s", m.Key)
		}
		for i := 1; i < len(m.Kc); i++ {
			assert.LessOrEqual(t, m.Kc[i], m.Kc[i-1], "a thicker chip takes less for each cubic inch: %s", m.Key)
		}
	}
}

// The machine's speed by trying every one.
func TestPickSpeedByTrying(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		list := rapid.SliceOfN(rapid.Float64Range(10, 3000), 1, 12).Draw(rt, "list")
		aim := rapid.Float64Range(5, 4000).Draw(rt, "aim")
		most := aim * rapid.Float64Range(1, 2).Draw(rt, "most")
		got := PickSpeed(list, aim, most)
		assert.Contains(rt, list, got.RPM)
		if got.Fast {
			for _, n := range list {
				assert.Greater(rt, n, most)
				assert.GreaterOrEqual(rt, n, got.RPM)
			}
			return
		}
		assert.LessOrEqual(rt, got.RPM, most*(1+1e-9), "the limit is never passed")
		ratio := func(n float64) float64 { return math.Max(n/aim, aim/n) }
		for _, n := range list {
			if n <= aim && n > got.RPM {
				assert.True(rt, got.Above == false && n <= got.RPM || got.Above, "a nearer slower one was left")
			}
			if got.Above && n <= aim {
				assert.Less(rt, n, .75*aim, "a slower one near enough was left")
				assert.Less(rt, ratio(got.RPM), ratio(n)+1e-9)
			}
		}
	})
}

func TestPickFeed(t *testing.T) {
	list := []float64{1.5, 2.5, 4, 6}
	for _, c := range []struct {
		aim, want float64
		over      bool
	}{{5, 4, false}, {4, 4, false}, {1, 1.5, true}, {99, 6, false}} {
		got, over := PickFeed(list, c.aim)
		assert.Equal(t, c.want, got)
		assert.Equal(t, c.over, over)
	}
	got, over := PickFeed(nil, 3.3)
	assert.Equal(t, 3.3, got)
	assert.False(t, over)
}

func TestLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		v, d := f("v", 1, 5000), f("d", .01, 60)
		assert.InDelta(rt, v, Surface(RPM(v, d), d), 1e-9*v)
		x := f("x", 1e-4, 100)
		assert.InDelta(rt, math.Pow(x, .8), pow8(x), 1e-12*(1+x))
		assert.InDelta(rt, math.Pow(x, .85), pow85(x), 1e-12*(1+x))
		g := Drilling{D: f("dd", .02, 5), Feed: f("f", .0005, .05), RPM: 100, Kd: 15000, Wear: 1.3}
		more := g
		more.Feed *= 1.1
		assert.Greater(rt, more.Thrust(), g.Thrust())
		assert.Greater(rt, more.Torque(), g.Torque())
		split, piloted := g, g
		split.Split, piloted.Piloted = true, true
		assert.Less(rt, split.Thrust(), g.Thrust())
		assert.Less(rt, piloted.Thrust(), g.Thrust())
		assert.GreaterOrEqual(rt, FeedFactor(g.Feed), FeedFactor(g.Feed*1.1))
		ae := f("ae", .01, 1) * d
		th := Thinning(ae, d)
		assert.GreaterOrEqual(rt, th, 1.0)
		assert.LessOrEqual(rt, th, 2.0)
	})
}

// The thickest chip by walking a tooth through the cut, against Thinning.
func TestThinningByWalking(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d, share := 2.0, rapid.Float64Range(.08, .5).Draw(rt, "share")
		ae, fz := share*d, .004
		thickest := 0.0
		for k := range 20001 {
			a := math.Pi * float64(k) / 20000 // from the start of the cut's side
			if d/2*(1-math.Cos(a)) <= ae {
				thickest = math.Max(thickest, fz*math.Sin(a))
			}
		}
		if want := fz / thickest; want <= 2 {
			assert.InDelta(rt, want, Thinning(ae, d), .002)
		}
	})
}

// Facing by stepping through every pass.
func TestFacingBySteps(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		face := Face{Long: f("l", 1, 60), Wide: f("w", 1, 40), Stock: f("s", .01, 2), Deep: f("deep", .02, .5), Finish: .015, Cutter: f("d", 1, 10), Runout: f("c", 0, 1), Edge: f("e", 0, .25),
			Clear: true, Feed: f("feed", 1, 40), FineFeed: f("fine", 1, 40), Rapid: 50, Handling: .3}
		face.Step = .75 * face.Cutter
		p := face.Make()
		left, minutes, passes := face.Stock, 0.0, 0
		way := face.Long + face.Cutter + 2*face.Runout
		for left > 1e-9 {
			deep, feed := math.Min(p.Each, left), face.Feed
			if left <= math.Min(face.Finish, face.Stock)+1e-9 {
				deep, feed = left, face.FineFeed
			}
			for range p.Rows {
				minutes += way/feed + way/face.Rapid + face.Handling
				passes++
			}
			left -= deep
		}
		assert.Equal(rt, passes, p.Passes())
		assert.InDelta(rt, minutes, p.Total, 1e-6*(1+minutes))
		assert.LessOrEqual(rt, p.Each, face.Deep+1e-9)
	})
}

func withPairs(base []worksheet.Pair, changes ...worksheet.Pair) []worksheet.Pair {
	pairs := append([]worksheet.Pair{}, base...)
next:
	for _, c := range changes {
		for i := range pairs {
			if pairs[i].Key == c.Key {
				pairs[i].Text = c.Text
				continue next
			}
		}
		pairs = append(pairs, c)
	}
	return pairs
}

func TestRefusals(t *testing.T) {
	p := func(k, v string) worksheet.Pair { return worksheet.Pair{Key: k, Text: v} }
	for _, c := range []struct {
		name, field string
		sheet       *worksheet.Sheet
		change      []worksheet.Pair
	}{
		{"tap without a thread", "thread", speedSheet, []worksheet.Pair{p("op", "tap")}},
		{"drill without a diameter", "dia", speedSheet, []worksheet.Pair{p("dia", "")}},
		{"cut wider than the cutter", "width", powerSheet, []worksheet.Pair{p("width", "7 in")}},
		{"hole larger than the tap", "hole", tapSheet, []worksheet.Pair{p("hole", "3/4 in")}},
		{"hole far too small", "hole", tapSheet, []worksheet.Pair{p("hole", "1/4 in")}},
		{"thousands of passes", "depth", facingSheet, []worksheet.Pair{p("stock", "20 in"), p("depth", "0.001 in")}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(c.sheet, units.InchSystem, withPairs(c.sheet.Example, c.change...))
			require.NotNil(t, a.Fault)
			assert.Equal(t, c.field, a.Fault.Field, a.Fault.Message)
		})
	}
}

func TestSpeedAnswers(t *testing.T) {
	p := func(k, v string) worksheet.Pair { return worksheet.Pair{Key: k, Text: v} }
	base := speedSheet.Example
	for _, c := range []struct {
		name    string
		change  []worksheet.Pair
		rpm     string
		refused bool
	}{
		{"drill 17/32 in iron", nil, "660 rpm", false},
		{"deep hole", []worksheet.Pair{p("depth", "3 in")}, "325 rpm", false},
		{"never past the tool's limit", []worksheet.Pair{p("maxrpm", "300")}, "210 rpm", false},
		{"slowest is too fast", []worksheet.Pair{p("op", "facemill"), p("work", "alloy"), p("dia", "8 in")}, "", true},
		{"tap", []worksheet.Pair{p("op", "tap"), p("thread", "5/8-11")}, "210 rpm", false},
		{"no list", []worksheet.Pair{p("speeds", "")}, "610 rpm", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(speedSheet, units.InchSystem, withPairs(base, c.change...))
			require.Nil(t, a.Fault, "%v", a.Fault)
			assert.Equal(t, c.rpm, a.Text("rpm"), a.Text("verdict"))
			refused := false
			for _, x := range a.Cautions() {
				refused = refused || x.Level == worksheet.Refusal
			}
			assert.Equal(t, c.refused, refused)
		})
	}
}

// Any numbers within the limits give an answer or a refusal with its field.
func TestTotal(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		for _, s := range Sheets() {
			pairs := append([]worksheet.Pair{}, s.Example...)
			for _, in := range s.Inputs {
				if !rapid.Bool().Draw(rt, s.Name+in.Key) {
					continue
				}
				text := ""
				switch in.Kind {
				case worksheet.Length, worksheet.Drill:
					d, _ := units.Round(rapid.Float64Range(.001, 10).Draw(rt, in.Key), 4)
					text = d.Text() + " in"
				case worksheet.Spin, worksheet.Count, worksheet.TableFeed, worksheet.Number, worksheet.Percent, worksheet.Time:
					d, _ := units.Round(rapid.Float64Range(1, 400).Draw(rt, in.Key), 0)
					text = d.Text()
				case worksheet.Choice:
					text = in.Options[rapid.IntRange(0, len(in.Options)-1).Draw(rt, in.Key)].Key
				case worksheet.Thread:
					text = rapid.SampledFrom([]string{"1/4-20", "5/8-11", "M12", "M8x1", "1-8"}).Draw(rt, in.Key)
				}
				if text != "" {
					pairs = withPairs(pairs, worksheet.Pair{Key: in.Key, Text: text})
				}
			}
			a := worksheet.Run(s, units.InchSystem, pairs)
			if a.Fault != nil {
				assert.NotEmpty(rt, a.Fault.Field, a.Fault.Message)
			}
		}
	})
}
