package reach

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

// The window by brute force: at every place of a fine grid the cutter is run
// from stop to stop, and the place counts when the disc is clear of the face
// where it must be and has passed over every point of the face's edges.
func TestWindowByBruteForce(t *testing.T) {
	works := func(p, l, d, c, w, travel float64, ends Ends) bool {
		r := d / 2
		clear := func(stop, end float64) bool { return math.Abs(stop-end) >= r+c-1e-9 }
		cut := func(stop, end, dir float64) bool { // the farthest point is passed, c before the stop
			for k := range 21 {
				y := w * float64(k) / 20
				front := stop - dir*c + dir*math.Sqrt(math.Max(r*r-y*y, 0))
				if dir*(front-end) < -1e-9 {
					return false
				}
			}
			return true
		}
		left, right, lo, hi := p-l/2, p+l/2, -travel/2, travel/2
		outL := lo < left && clear(lo, left)
		outR := hi > right && clear(hi, right)
		switch ends {
		case FromLow:
			return outL && (cut(hi, right, 1) || outR)
		case FromHigh:
			return outR && (cut(lo, left, -1) || outL)
		}
		return outL && outR
	}
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		l, d, c, travel := f("l", 1, 20), f("d", 1, 10), f("c", 0, 1), f("travel", 5, 40)
		w := d / 2 * f("w", .05, 1)
		ends := Ends(rapid.IntRange(0, 2).Draw(rt, "ends"))
		lo, hi := Path(l, d, c, Approach(d, w), ends)
		from, to := Window(lo, hi, -travel/2, travel/2)
		const step = .02
		first, last, any := 0.0, 0.0, false
		for p := -40.0; p <= 40; p += step {
			if works(p, l, d, c, w, travel, ends) {
				if !any {
					first, any = p, true
				}
				last = p
			}
		}
		if to-from > 2*step {
			require.True(rt, any)
			assert.InDelta(rt, from, first, step+1e-6)
			assert.InDelta(rt, to, last, step+1e-6)
		}
		if to < from-2*step {
			assert.False(rt, any)
		}
	})
}

// Rows by brute force: every point across the face lies under some pass, with
// the edge over, and no two passes stand further apart than the step.
func TestRowsCoverTheFace(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := rapid.Float64Range(.1, 40).Draw(rt, "b")
		d := rapid.Float64Range(.5, 10).Draw(rt, "d")
		edge := rapid.Float64Range(0, .2).Draw(rt, "edge")
		step := d * rapid.Float64Range(.1, .95).Draw(rt, "step")
		n, span := Rows(b, d, edge, step)
		apart := 0.0
		if n > 1 {
			apart = span / float64(n-1)
		}
		assert.LessOrEqual(rt, apart, step+1e-9)
		for k := range 101 {
			y := (b/2 + edge) * (2*float64(k)/100 - 1)
			covered := false
			for i := range n {
				if math.Abs(y-(-span/2+apart*float64(i))) <= d/2+1e-9 {
					covered = true
				}
			}
			require.True(rt, covered, "y %v of %v", y, b)
		}
		if n > 2 {
			_, wider := Rows(b, d, edge, step)
			assert.Greater(rt, wider/float64(n-2), step-1e-9, "one pass fewer would step too far")
		}
	})
}

// The distance between box and swept head part by walking the sweep.
func TestGapByWalking(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		x, y, z := f("x", -8, 8), f("y", -8, 8), f("z", -8, 8)
		b := Box{"b", x, x + f("w", .1, 4), y, y + f("h", .1, 4), z, z + f("t", .1, 4)}
		h := Head{Round: rapid.Bool().Draw(rt, "round"), Radius: f("r", .1, 3), HalfX: f("hx", .1, 3), HalfY: f("hy", .1, 3), OffX: f("ox", -2, 2), OffY: f("oy", -2, 2), Z1: 0, Z2: f("z2", .1, 5)}
		s := Sweep{-3, 3, -2, 2, 0, 0}
		least := math.Inf(1)
		const step = .05
		for sx := s.X1; sx <= s.X2+1e-9; sx += step {
			for sy := s.Y1; sy <= s.Y2+1e-9; sy += step {
				var dx, dy float64
				plan := 0.0
				if h.Round {
					dx, dy = math.Max(math.Max(b.X1-sx, sx-b.X2), 0), math.Max(math.Max(b.Y1-sy, sy-b.Y2), 0)
					plan = math.Max(math.Hypot(dx, dy)-h.Radius, 0)
				} else {
					cx, cy := sx+h.OffX, sy+h.OffY
					dx = math.Max(math.Max(b.X1-(cx+h.HalfX), cx-h.HalfX-b.X2), 0)
					dy = math.Max(math.Max(b.Y1-(cy+h.HalfY), cy-h.HalfY-b.Y2), 0)
					plan = math.Hypot(dx, dy)
				}
				up := math.Max(math.Max(b.Z1-h.Z2, h.Z1-b.Z2), 0)
				least = math.Min(least, math.Hypot(plan, up))
			}
		}
		got := Between(b, h, s)
		assert.InDelta(rt, least, math.Max(got, 0), step*1.5)
	})
}

// Daylight by trying every nose-to-table distance.
func TestDaylightByTrying(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		s := Stack{Daylight: f("day", 5, 25), Quill: f("quill", .5, 8), Tool: f("tool", 1, 8), Under: f("under", 0, 4), Part: f("part", 0, 10),
			Depth: f("depth", 0, 3), Over: f("over", 0, 2), Clear: f("clear", 0, 1), Hang: f("hang", 0, 10), Floor: f("floor", 0, 20), HasHang: rapid.Bool().Draw(rt, "hanging")}
		s.Knee = s.Daylight * f("knee", .3, .9)
		work := s.Under + s.Part
		any := false
		const step = .01
		for z := s.Daylight - s.Knee; z <= s.Daylight; z += step {
			up := z - s.Tool             // edge above the table, quill up
			down := z - s.Tool - s.Quill // and down
			ok := up >= work+s.Over+s.Clear && down <= work-s.Depth
			if s.HasHang && s.Floor-(z-s.Daylight) < s.Hang+s.Clear {
				ok = false
			}
			any = any || ok
		}
		fit := s.Fits()
		if fit.High-fit.Low > 2*step {
			assert.True(rt, any)
			assert.True(rt, s.Works())
		}
		if fit.High-fit.Low < -2*step {
			assert.False(rt, any)
			assert.False(rt, s.Works())
		}
	})
}

// The same with the knee feeding: the table is run up from its lowest in small
// steps, and both the place where the tool clears and the one where it is at
// depth must be met.
func TestDaylightByRaisingTheKnee(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		s := Stack{Daylight: f("day", 5, 25), Tool: f("tool", 1, 8), Under: f("under", 0, 4), Part: f("part", 0, 10),
			Depth: f("depth", .1, 3), Over: f("over", 0, 2), Clear: f("clear", 0, 1)}
		s.Knee = s.Daylight * f("knee", .3, .9)
		const step = .01
		clears, cuts := false, false
		for up := 0.0; up <= s.Knee; up += step {
			edge := s.Daylight - up - s.Tool - s.Under - s.Part // cutting edge above the finished surface
			clears = clears || edge >= s.Over+s.Clear
			cuts = cuts || edge <= -s.Depth
		}
		if math.Abs(s.Spare()) > 2*step {
			assert.Equal(rt, clears && cuts, s.Works())
		}
	})
}

func TestLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := rapid.Float64Range(.1, 20).Draw(rt, "d")
		w := rapid.Float64Range(0, 20).Draw(rt, "w")
		a := Approach(d, w)
		assert.GreaterOrEqual(rt, a, 0.0)
		assert.LessOrEqual(rt, a, d/2)
		assert.GreaterOrEqual(rt, Approach(d, w+.1), a, "a wider face needs no less")
		r, phi := rapid.Float64Range(0, 50).Draw(rt, "r"), rapid.Float64Range(-180, 180).Draw(rt, "phi")
		x, y := Swing(r, phi)
		assert.InDelta(rt, r, math.Hypot(x, y), 1e-9)
	})
}

func with(s *worksheet.Sheet, changes ...worksheet.Pair) []worksheet.Pair {
	pairs := append([]worksheet.Pair{}, s.Example...)
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

func TestAnswers(t *testing.T) {
	p := func(k, v string) worksheet.Pair { return worksheet.Pair{Key: k, Text: v} }
	for _, c := range []struct {
		name   string
		sheet  *worksheet.Sheet
		change []worksheet.Pair
		state  string
	}{
		{"reaches", reachSheet, nil, "reaches"},
		{"close call along", reachSheet, []worksheet.Pair{p("travel", "20.7 in")}, "close"},
		{"short along", reachSheet, []worksheet.Pair{p("travel", "20 in")}, "short"},
		{"one end saves it", reachSheet, []worksheet.Pair{p("travel", "20 in"), p("ends", "left")}, "reaches"},
		{"wide face needs cross travel", reachSheet, []worksheet.Pair{p("wide", "20 in")}, "short"},
		{"from here no, elsewhere yes", reachSheet, []worksheet.Pair{p("atx", "3 in"), p("aty", "0 in")}, "short"},
		{"rear meets the column", reachSheet, []worksheet.Pair{p("throat", "5 in"), p("rear", "4 in")}, "short"},
		{"borer measures from the table", reachSheet, []worksheet.Pair{p("machine", "borer"), p("aty", "10 in")}, "reaches"},
		{"fits", daylightSheet, nil, "fits"},
		{"too tall", daylightSheet, []worksheet.Pair{p("part", "12 in")}, "short"},
		{"close above", daylightSheet, []worksheet.Pair{p("part", "11.2 in"), p("quill", "5.1 in")}, "close"},
		{"hanging part meets the floor", daylightSheet, []worksheet.Pair{p("hang", "28 in"), p("floor", "20 in")}, "short"},
		{"knee fed", daylightSheet, []worksheet.Pair{p("feed", "knee")}, "fits"},
		{"clear", foulSheet, nil, "clear"},
		{"stud too near", foulSheet, []worksheet.Pair{p("boxes", "stud, 8 in,8.6 in, 0 in,0.6 in, 0 in,5.95 in")},
			"too near"},
		{"stud hit", foulSheet, []worksheet.Pair{p("boxes", "stud, 8 in,8.6 in, 0 in,0.6 in, 0 in,6.5 in")}, "fouls"},
		{"stud close", foulSheet, []worksheet.Pair{p("boxes", "stud, 8 in,8.6 in, 0 in,0.6 in, 0 in,5.8 in")}, "close"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(c.sheet, units.InchSystem, with(c.sheet, c.change...))
			require.Nil(t, a.Fault, "%v", a.Fault)
			assert.Equal(t, c.state, a.Text("state"), a.Text("verdict"))
		})
	}
}

func TestRefusals(t *testing.T) {
	p := func(k, v string) worksheet.Pair { return worksheet.Pair{Key: k, Text: v} }
	for _, c := range []struct {
		name, field string
		sheet       *worksheet.Sheet
		change      []worksheet.Pair
	}{
		{"too many passes", "cutter", reachSheet, []worksheet.Pair{p("cutter", "0.1 in"), p("wide", "100 in")}},
		{"knee beyond daylight", "knee", daylightSheet, []worksheet.Pair{p("knee", "30 in")}},
		{"hang without floor", "floor", daylightSheet, []worksheet.Pair{p("hang", "5 in")}},
		{"box turned round", "boxes", foulSheet, []worksheet.Pair{p("boxes", "a, 2 in, 1 in, 0 in, 1 in, 0 in, 1 in")}},
		{"head turned round", "heads", foulSheet, []worksheet.Pair{p("heads", "a, 2 in, 1 in, 3 in")}},
		{"round with an offset", "heads", foulSheet, []worksheet.Pair{p("heads", "a, 0 in, 1 in, 3 in, , 1 in")}},
		{"nothing left", "skip", foulSheet, []worksheet.Pair{p("boxes", "part, 0 in, 1 in, 0 in, 1 in, 0 in, 6 in"), p("heads", "body, 0.1 in, 1 in, 3 in")}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := worksheet.Run(c.sheet, units.InchSystem, with(c.sheet, c.change...))
			require.NotNil(t, a.Fault)
			assert.Equal(t, c.field, a.Fault.Field, a.Fault.Message)
		})
	}
}

// Any numbers within the limits give an answer or a refusal with its field.
func TestTotal(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		for _, s := range Sheets() {
			pairs := append([]worksheet.Pair{}, s.Example...)
			for _, in := range s.Inputs {
				if in.Kind != worksheet.Length || !rapid.Bool().Draw(rt, s.Name+in.Key) {
					continue
				}
				d, _ := units.Round(rapid.Float64Range(-5, 60).Draw(rt, in.Key), 2)
				pairs = with(&worksheet.Sheet{Example: pairs}, worksheet.Pair{Key: in.Key, Text: d.Text() + " in"})
			}
			a := worksheet.Run(s, units.InchSystem, pairs)
			if a.Fault != nil {
				assert.NotEmpty(rt, a.Fault.Field, a.Fault.Message)
			}
		}
	})
}
