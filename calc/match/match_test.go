package match

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var m58 = Bolt{"5/8-11 UNC-2B", .625}

func clear58(x, y float64) Place  { return Place{Kind: Clear, X: x, Y: y, Size: .6875, Bolt: m58} }
func tapped58(x, y float64) Place { return Place{Kind: Tapped, X: x, Y: y, Bolt: m58} }

// holds is the law every way must keep, by plain geometry: each bolt's centre
// can be placed within the reach of both its places.
func holds(t require.TestingT, ask Ask, plates []Plate, w Way) {
	p := &plates[w.Plate]
	seen := map[int16]bool{}
	for i, spot := range ask.Spots {
		to := p.Places[w.To[i]]
		if to.Kind == Clear || to.Kind == Tapped {
			require.False(t, seen[w.To[i]], "two bolts in one hole")
			seen[w.To[i]] = true
		}
		tol := 1e-9
		if spot.Kind == Slot { // walked along in steps
			tol = 1e-3
		}
		require.GreaterOrEqual(t, slack(spot, to, w.Pose, 400), w.Room-tol, "bolt %d: %+v", i, w)
	}
}

// slack is the room of one bolt, found without the package's own code: the best
// over points along the slots of how far the centre distance is below the play.
func slack(spot, to Place, p Pose, steps int) float64 {
	x := spot.X
	ang := spot.Angle
	if p.Flip {
		x, ang = -x, 180-ang
	}
	cx, cy := p.Cos*x-p.Sin*spot.Y+p.X, p.Sin*x+p.Cos*spot.Y+p.Y
	ang += p.Angle()
	play := 0.0
	if spot.Kind != Tapped {
		play += (spot.Size - spot.Bolt.Dia) / 2
	}
	if to.Kind == Clear || to.Kind == Slot {
		play += (to.Size - spot.Bolt.Dia) / 2
	}
	h1, h2 := 0.0, 0.0
	if spot.Kind == Slot {
		h1 = max(0, (spot.Length-spot.Size)/2)
	}
	switch to.Kind {
	case Slot:
		h2 = max(0, (to.Length-to.Size)/2)
	case Tee:
		h2 = max(0, to.Length/2-spot.Bolt.Dia)
	}
	n1 := steps
	if h1 == 0 {
		n1 = 0
	}
	best := math.Inf(-1)
	for i := 0; i <= n1; i++ {
		u := 0.0
		if n1 > 0 {
			u = h1 * (2*float64(i)/float64(n1) - 1)
		}
		px, py := cx+u*math.Cos(ang*math.Pi/180), cy+u*math.Sin(ang*math.Pi/180)
		// The nearest point of the fixture's slot is found by projection.
		du, dv := math.Cos(to.Angle*math.Pi/180), math.Sin(to.Angle*math.Pi/180)
		v := max(-h2, min(h2, (px-to.X)*du+(py-to.Y)*dv))
		d := math.Hypot(px-to.X-v*du, py-to.Y-v*dv)
		best = max(best, play-d)
	}
	return best
}

// brute is the second way: for one set of places, the most room over shift and
// turns from lo to hi by a compass search from many starts.
func brute(ask Ask, plate *Plate, to []int, flip bool, lo, hi float64, starts int) float64 {
	f := func(x [3]float64) float64 {
		p := Pose{Cos: math.Cos(x[2]), Sin: math.Sin(x[2]), X: x[0], Y: x[1], Flip: flip}
		least := math.Inf(1)
		for i, s := range ask.Spots {
			least = min(least, slack(s, plate.Places[to[i]], p, 30))
		}
		return least
	}
	best := math.Inf(-1)
	for k := range starts {
		th := lo + (hi-lo)*(float64(k)+.5)/float64(starts)
		var x [3]float64
		x[2] = th
		for i, s := range ask.Spots {
			sx := s.X
			if flip {
				sx = -sx
			}
			x[0] += (plate.Places[to[i]].X - (math.Cos(th)*sx - math.Sin(th)*s.Y)) / float64(len(ask.Spots))
			x[1] += (plate.Places[to[i]].Y - (math.Sin(th)*sx + math.Cos(th)*s.Y)) / float64(len(ask.Spots))
		}
		v, step := f(x), .5
		for step > 1e-4 {
			better := false
			for a := range 27 { // all mixed directions: a ridge stops a plain compass
				y := x
				y[0] += step * float64(a%3-1)
				y[1] += step * float64(a/3%3-1)
				y[2] = max(lo, min(hi, y[2]+step/4*float64(a/9-1)))
				if g := f(y); g > v+1e-12 {
					x, v, better = y, g, true
				}
			}
			if !better {
				step /= 2
				if v < -8*step { // the rest of the way is too short to matter
					break
				}
			}
		}
		best = max(best, v)
	}
	return best
}

// near is how far the fit may stay under the most room.
func near(ask Ask, plate *Plate) float64 {
	part, face := false, false
	for _, s := range ask.Spots {
		part = part || s.Kind == Slot
	}
	for _, p := range plate.Places {
		face = face || p.Kind == Slot || p.Kind == Tee
	}
	if part && face {
		return 1.1e-5
	}
	return 1e-6
}

// hopeless reports that two bolts are too far apart or too near for any turn and shift, by their
// distances alone.
func hopeless(ask Ask, plate *Plate, to []int) bool {
	for i := range to {
		for k := range i {
			a, b, p, q := ask.Spots[i], ask.Spots[k], plate.Places[to[i]], plate.Places[to[k]]
			// Nothing here has more play than its size, or reaches farther than its half length.
			most := a.Size + b.Size + p.Size + q.Size + (a.Length+b.Length+p.Length+q.Length)/2
			if math.Abs(math.Hypot(a.X-b.X, a.Y-b.Y)-math.Hypot(p.X-q.X, p.Y-q.Y)) > most {
				return true
			}
		}
	}
	return false
}

// TestBrute: random parts and fixtures, every permutation of places by brute
// force against the search, which must find each set of places that goes in, no
// other, and give each at least the room that brute force finds.
func TestBrute(t *testing.T) {
	answered, refused, worst := 0, 0, math.Inf(-1)
	rapid.Check(t, func(t *rapid.T) {
		num := func(lo, hi float64, what string) float64 {
			return math.Round(rapid.Float64Range(lo, hi).Draw(t, what)*100) / 100
		}
		n := rapid.IntRange(2, 3).Draw(t, "bolts")
		ask := Ask{Free: rapid.Bool().Draw(t, "free"), Slack: .1, Flip: rapid.Bool().Draw(t, "flip"), Each: 1000}
		for range n {
			s := Place{X: num(-3, 3, "x"), Y: num(-3, 3, "y"), Size: .9, Bolt: m58}
			if rapid.IntRange(0, 4).Draw(t, "kind") == 0 {
				s.Kind, s.Length, s.Angle = Slot, 1.5, num(0, 180, "angle")
			}
			ask.Spots = append(ask.Spots, s)
		}
		var p Plate
		th, ox, oy := num(-3, 3, "th"), num(0, 5, "ox"), num(0, 5, "oy")
		if !ask.Free {
			th = float64(rapid.IntRange(0, 3).Draw(t, "q")) * math.Pi / 2
		}
		for i := range rapid.IntRange(n, 4).Draw(t, "places") {
			q := Place{Kind: Tapped, X: num(0, 8, "px"), Y: num(0, 8, "py"), Bolt: m58}
			if i < n { // near where the part would come
				s := ask.Spots[i]
				q.X = math.Cos(th)*s.X - math.Sin(th)*s.Y + ox + num(-.2, .2, "dx")
				q.Y = math.Sin(th)*s.X + math.Cos(th)*s.Y + oy + num(-.2, .2, "dy")
			}
			switch rapid.IntRange(0, 5).Draw(t, "pkind") {
			case 0:
				q.Kind, q.Size = Clear, .75
			case 1:
				q.Kind, q.Size, q.Length, q.Angle = Tee, .6875, 5, num(0, 180, "pangle")
			}
			p.Places = append(p.Places, q)
		}
		plates := []Plate{p}
		got := Find(ask, plates)
		require.False(t, got.Stopped)
		most := map[[3]int16]float64{}
		key := func(to [MaxSpots]int16, flip bool) [3]int16 {
			k := [3]int16{to[0], to[1], -1}
			if n > 2 {
				k[2] = to[2]
			}
			if flip {
				k[0] += 100
			}
			return k
		}
		for _, w := range got.Ways {
			holds(t, ask, plates, w)
			k := key(w.To, w.Pose.Flip)
			most[k] = max(most[k], w.Room)
			if !ask.Free {
				require.LessOrEqual(t, math.Asin(skew(w.Pose)), ask.Slack+1e-6)
			}
		}
		var to [MaxSpots]int16
		var try func(i int)
		try = func(i int) {
			if i == n {
				idx := make([]int, n)
				for k := range idx {
					idx[k] = int(to[k])
				}
				for _, flip := range []bool{false, true} {
					if flip && !ask.Flip {
						continue
					}
					room, ok := most[key(to, flip)]
					if hopeless(ask, &plates[0], idx) {
						require.False(t, ok, "places %v flip %v", idx, flip)
						refused++
						continue
					}
					b := math.Inf(-1)
					if ask.Free {
						b = brute(ask, &plates[0], idx, flip, -math.Pi, math.Pi, 8)
					} else {
						for q := range 4 {
							mid := float64(q) * math.Pi / 2
							b = max(b, brute(ask, &plates[0], idx, flip, mid-ask.Slack, mid+ask.Slack, 1))
						}
					}
					// Brute force may stop short of the best, so it proves one side; holds proves
					// the other.
					if b > 1e-6 {
						require.True(t, ok, "places %v flip %v have room %v and were not found", idx, flip, b)
						require.GreaterOrEqual(t, room, b-near(ask, &plates[0]), "places %v", idx)
						worst = max(worst, b-room)
						answered++
					} else if b < 0 {
						refused++
					}
				}
				return
			}
			for j := range plates[0].Places {
				k := plates[0].Places[j].Kind
				dup := false
				for l := range i {
					dup = dup || int(to[l]) == j && k != Slot && k != Tee
				}
				if dup {
					continue
				}
				to[i] = int16(j)
				try(i + 1)
			}
		}
		try(0)
	})
	t.Logf("%d ways by brute force found again, at most %.1e in short, %d sets of places without any", answered, worst, refused)
	assert.Positive(t, answered)
}

// TestManyBolts: patterns of up to eight bolts in places measured out of true;
// each bolt in its own place has at least the room that brute force finds.
func TestManyBolts(t *testing.T) {
	worst, fitted := math.Inf(-1), 0
	rapid.Check(t, func(t *rapid.T) {
		num := func(lo, hi float64, what string) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
		ask := Ask{Free: rapid.Bool().Draw(t, "free"), Slack: .05, Each: 1000}
		n := rapid.IntRange(3, 8).Draw(t, "bolts")
		var p Plate
		th := 0.0
		if ask.Free {
			th = num(-3, 3, "th")
		}
		for i := range n {
			a := 2 * math.Pi * float64(i) / float64(n)
			s := Place{X: 4 * math.Cos(a), Y: 3 * math.Sin(a), Size: .75, Bolt: m58}
			if rapid.IntRange(0, 3).Draw(t, "slot") == 0 {
				s.Kind, s.Length, s.Angle = Slot, 1.5, num(0, 180, "angle")
			}
			q := Place{Kind: Tapped, X: math.Cos(th)*s.X - math.Sin(th)*s.Y + num(-.05, .05, "dx"), Y: math.Sin(th)*s.X + math.Cos(th)*s.Y + num(-.05, .05, "dy"), Bolt: m58}
			if rapid.IntRange(0, 4).Draw(t, "tee") == 0 {
				q.Kind, q.Size, q.Length, q.Angle = Tee, .6875, 3, num(0, 180, "teeAngle")
			}
			ask.Spots, p.Places = append(ask.Spots, s), append(p.Places, q)
		}
		got := Find(ask, []Plate{p})
		idx := make([]int, n)
		for i := range idx {
			idx[i] = i
		}
		b := brute(ask, &p, idx, false, th-.05, th+.05, 3)
		if b <= 1e-6 {
			return
		}
		room := -1.0
		for _, w := range got.Ways {
			same := true
			for i := range idx {
				same = same && int(w.To[i]) == i
			}
			if same {
				holds(t, ask, []Plate{p}, w)
				room = max(room, w.Room)
			}
		}
		require.GreaterOrEqual(t, room, b-near(ask, &p))
		worst, fitted = max(worst, b-room), fitted+1
	})
	t.Logf("%d fitted, at most %.1e in short", fitted, worst)
	assert.Positive(t, fitted)
}

func TestTwoHoles(t *testing.T) {
	// ASME Y14.5-2009 appendix B: H .688, F .625, fixed: spacing may differ by .063.
	part := Ask{Spots: []Place{{Size: .688, Bolt: m58}, {X: 8, Size: .688, Bolt: m58}}}
	for _, row := range []struct {
		name string
		far  float64
		room float64
		ok   bool
	}{
		{"as drawn", 8, .0315, true},
		{"half off", 8.031, .016, true},
		{"just in", 8.063, 0, true},
		{"just not", 8.0632, 0, false},
	} {
		got := Find(part, []Plate{{Places: []Place{tapped58(1, 1), tapped58(1+row.far, 1)}}})
		require.Equal(t, row.ok, got.Total > 0, row.name)
		if row.ok {
			assert.Equal(t, 2, got.Total, "either way round")
			assert.InDelta(t, row.room, got.Ways[0].Room, 1e-6, row.name)
		}
	}
}
