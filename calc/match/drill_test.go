package match

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/hole"
)

// clearOf is how much further a 5/8 in hole stands clear than its margins ask,
// by plain geometry; the plate has round places and ribs only.
func clearOf(plate *Plate, x, y float64) float64 {
	least := min(x-plate.Left, plate.Left+plate.Width-x, y-plate.Bottom, plate.Bottom+plate.Height-y) - 1.5*.625
	for _, p := range plate.Places {
		least = min(least, math.Hypot(x-p.X, y-p.Y)-max(p.Size, p.Bolt.Dia)/2-.3125-.625)
	}
	for _, k := range plate.Keep {
		dx, dy := math.Abs(x-k.X)-k.Wide/2, math.Abs(y-k.Y)-k.High/2
		d := max(dx, dy)
		if d > 0 {
			d = math.Hypot(max(dx, 0), max(dy, 0))
		}
		least = min(least, d-.3125-.3125)
	}
	return least
}

// drawPlate draws a face with threads, or holes that serve nothing, and ribs.
func drawPlate(t *rapid.T, serve bool) Plate {
	num := func(lo, hi float64, what string) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
	plate := Plate{Width: 16, Height: 12, Thick: 1.5, Left: -2, Bottom: 1}
	least, most := 1, 14
	if !serve {
		least, most = 10, 26
	}
	for range rapid.IntRange(least, most).Draw(t, "places") {
		p := tapped58(num(-2, 14, "x"), num(1, 13, "y"))
		if !serve {
			p = Place{Kind: Clear, X: p.X, Y: p.Y, Size: .5}
		}
		plate.Places = append(plate.Places, p)
	}
	for range rapid.IntRange(0, 2).Draw(t, "ribs") {
		plate.Keep = append(plate.Keep, Rect{num(-2, 14, "kx"), num(1, 13, "ky"), .75, 5, true})
	}
	return plate
}

var tradeRules = Rules{-1, -1, -1, hole.Iron, -1, 0, true}

// turnedOver gives the spots after a quarter turn, turned over first where flip.
func turnedOver(spots []Place, q int, flip bool) []vec {
	out := make([]vec, len(spots))
	for i, s := range spots {
		x := s.X
		if flip {
			x = -x
		}
		a := float64(q) * math.Pi / 2
		out[i] = vec{math.Cos(a)*x - math.Sin(a)*s.Y, math.Sin(a)*x + math.Cos(a)*s.Y}
	}
	return out
}

// TestDrillFewest: no position with a bolt in the middle of an old thread needs
// fewer new holes than the plan, gone through one by one.
func TestDrillFewest(t *testing.T) {
	some, none := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		plate := drawPlate(t, true)
		num := func(lo, hi float64, what string) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
		spots := []Place{clear58(0, 0), clear58(num(3, 5, "sx"), 0), clear58(1.7, num(3, 4, "sy")), clear58(num(-3, -2, "tx"), 2)}
		if rapid.Bool().Draw(t, "meets") { // a second bolt finds a thread
			p := plate.Places[0]
			plate.Places = append(plate.Places, tapped58(p.X+spots[1].X+.01, p.Y))
		}
		ask := Ask{Spots: spots, Flip: rapid.Bool().Draw(t, "flip")}
		best := len(spots)
		for _, flip := range []bool{false, true} {
			for q := range 4 {
				if flip && !ask.Flip {
					continue
				}
				at := turnedOver(spots, q, flip)
				for i := range at {
					for _, p := range plate.Places {
						fresh := 0
						for k := range at {
							x, y := at[k].x-at[i].x+p.X, at[k].y-at[i].y+p.Y
							old := false
							for _, o := range plate.Places {
								old = old || math.Hypot(x-o.X, y-o.Y) <= .03125-1e-6
							}
							if old {
								continue
							}
							if clearOf(&plate, x, y) < 1e-6 {
								fresh = 100
								break
							}
							fresh++
						}
						if fresh > 0 {
							best = min(best, fresh)
						}
					}
				}
			}
		}
		plans, cut := Drill(ask, tradeRules, []Plate{plate})
		require.False(t, cut)
		if best == len(spots) {
			none++
			return
		}
		some++
		require.NotEmpty(t, plans)
		require.LessOrEqual(t, len(plans[0].New), best)
	})
	t.Logf("%d faces with an old thread that serves, %d without", some, none)
	assert.Positive(t, some)
}

// TestDrillNearest: with new holes only, no position nearer to the middle of the
// face is free, tried at every eighth of an inch. A turn that has a position on
// the face's centre line takes it, so such turns are left out.
func TestDrillNearest(t *testing.T) {
	off, none := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		plate := drawPlate(t, false)
		num := func(lo, hi float64, what string) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
		spots := []Place{clear58(0, 0), clear58(num(4, 7, "sx"), 0), clear58(2.7, num(4, 6, "sy")), clear58(6, 3), clear58(-2, 3.4), clear58(1, 2)}
		plans, cut := Drill(Ask{Spots: spots}, tradeRules, []Plate{plate})
		require.False(t, cut)
		far := 100.0
		if len(plans) > 0 {
			far = plans[0].Distance - .03
			require.Len(t, plans[0].New, len(spots))
			for _, h := range plans[0].New {
				require.GreaterOrEqual(t, clearOf(&plate, h.X, h.Y), -1e-6)
			}
		} else {
			none++
		}
		for q := range 4 {
			at := turnedOver(spots, q, false)
			m := vec{}
			for _, v := range at {
				m = m.add(v.times(1 / float64(len(at))))
			}
			free := func(x, y float64) float64 { // with the spots' middle there
				least := math.Inf(1)
				for _, v := range at {
					least = min(least, clearOf(&plate, v.x-m.x+x, v.y-m.y+y))
				}
				return least
			}
			line := false
			for y := 0.0; y <= 12; y += 1. / 16 {
				line = line || free(6, 1+y) > -.04
			}
			if line {
				continue
			}
			for x := 0.0; x <= 16; x += 1. / 8 {
				for y := 0.0; y <= 12; y += 1. / 8 {
					if math.Hypot(x-8, y-6) < far {
						// The search goes down to 1/64 in, so a position must be that free.
						require.Less(t, free(x-2, y+1), .02, "nearer: %v %v, turn %d", x-2, y+1, q)
					}
				}
			}
			off++
		}
	})
	t.Logf("%d turns without a position on the centre line, %d faces without any", off, none)
	assert.Positive(t, off)
}
