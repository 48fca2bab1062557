package joint

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/engage"
)

func TestChecks(t *testing.T) {
	for _, c := range Rows() {
		o := c.Run()
		assert.True(t, o.Pass, "%s: got %v, want %v within %v %s", c.What, o.Value, c.Want, c.Tol, c.Unit)
	}
}

// any draws a joint.
func any(rt *rapid.T) Input {
	in := hung()
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
	in.Bolt = *bolt("5/8-11", rapid.SampledFrom([]string{"rod", "sae2", "sae5", "sae8"}).Draw(rt, "grade"))
	in.Hole = Hole{Into: rapid.SampledFrom([]Into{Blind, Tapped, Length, Unsaid, Nutted}).Draw(rt, "into"),
		Depth: f("depth", .3, 2), ToPoint: rapid.Bool().Draw(rt, "point"),
		Angle: f("angle", 60, 180), Chamfer: f("chamfer", .5, 10), Left: 1, Csk: f("csk", 0, 1), CskDeg: 90,
		Skin: f("skin", 0, .1), In: f("in", 0, 1),
		Metal: rapid.SampledFrom(engage.Metals[:]).Draw(rt, "metal"), Known: rapid.Bool().Draw(rt, "known")}
	in.Seat.Opening = rapid.SampledFrom([]Opening{NoSeat, Round, Slot, OpenSlot}).Draw(rt, "seat")
	in.Nut = Nut{Class: rapid.SampledFrom([]string{"", "j2", "j5", "j8"}).Draw(rt, "nut")}
	in.Scatter, in.Settle, in.Share = f("scatter", 0, .6), f("settle", 0, .5), f("share", .1, 1)
	return in
}

func TestNoPartIsOverloaded(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := any(rt)
		r, f := in.Make()
		require.Nil(rt, f)
		for _, l := range r.Links {
			assert.LessOrEqual(rt, r.Preload.Max, l.Bears*(1+1e-9)+1e-9, l.Part.String())
			assert.GreaterOrEqual(rt, l.Bears, r.Weakest.Bears)
		}
		assert.Nil(rt, r.Over)
		assert.Nil(rt, r.Soft)
		// A torque a little above what the weakest part takes loads it past what it bears, and says so.
		in.Torque = float64(r.Cap*1.001) + 1e-6
		over, f := in.Make()
		require.Nil(rt, f)
		assert.True(rt, over.Over != nil || over.Soft != nil)
		assert.LessOrEqual(rt, over.Preload.Min, over.Preload.Max)
	})
}

func TestMoreThreadBearsMore(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := any(rt)
		a, f := in.Make()
		require.Nil(rt, f)
		in.Hole.Depth += rapid.Float64Range(0, .5).Draw(rt, "deeper")
		in.Hole.Chamfer /= 2
		b, f := in.Make()
		require.Nil(rt, f)
		assert.GreaterOrEqual(rt, b.Usable.Engaged, a.Usable.Engaged-1e-12)
		assert.GreaterOrEqual(rt, b.Cap, a.Cap-1e-9)
	})
}

// In grey iron of class 20 the two careful ways agree within a tenth, and the smaller is the limit.
func TestCarefulWaysAgree(t *testing.T) {
	for _, d := range []string{"3/8-16", "1/2-13", "5/8-11", "3/4-10"} {
		s, f := Stripped(made(d), 120, &Hole{Metal: metal("grey20")}, .5)
		require.Nil(t, f)
		assert.InDelta(t, 1, s.Rough/s.Half, .1, d)
		assert.InDelta(t, min(s.Rough, s.Half), s.Limit, 1e-9)
	}
}

// A full nut stripped as a hole in mild steel bears about what a grade 2 nut is proved to.
func TestFullNutIsItsProofLoad(t *testing.T) {
	th, b := made("5/8-11"), bolt("5/8-11", "sae5")
	_, _, least := Face(th)
	full := Nut{Class: "j2"}.Proof(th, b)
	assert.InDelta(t, full, Nut{Class: "j2", Thick: least}.Proof(th, b), 1)
	assert.Less(t, Nut{Class: "j2", Thick: least / 2}.Proof(th, b), .6*full)
}

func TestThinWallsAreRefused(t *testing.T) {
	_, f := Stripped(made("1/2-13"), 120, &Hole{Metal: metal("grey20"), Wall: .69}, .5)
	require.NotNil(t, f)
	assert.Equal(t, "wall", f.Field)
	s, f := Stripped(made("1/2-13"), 120, &Hole{Metal: metal("grey20"), Wall: .70, Known: true}, .5)
	require.Nil(t, f)
	thick, _ := Stripped(made("1/2-13"), 120, &Hole{Metal: metal("grey20"), Known: true}, .5)
	assert.InDelta(t, .75, s.Limit/thick.Limit, 1e-9)
}

// The area pressed on, counted on a grid.
func TestPressedAreaByCounting(t *testing.T) {
	const n, de, wide = 2000, 1.0, .4
	for _, o := range []Opening{Round, Slot, OpenSlot} {
		in := 0
		for i := range n {
			for j := range n {
				x, y := (float64(i)+.5)/n-.5, (float64(j)+.5)/n-.5
				r, opened := math.Hypot(x, y), false
				switch o {
				case Round:
					opened = r < wide/2
				case Slot:
					opened = math.Abs(x) < wide/2
				default:
					opened = math.Abs(x) < wide/2 && y > 0 || r < wide/2
				}
				if r < de/2 && !opened {
					in++
				}
			}
		}
		assert.InDelta(t, float64(in)/n/n, Pressed(de, wide, o), 2e-4)
	}
	assert.Zero(t, Pressed(.5, .5, Slot))
}

// A hole nobody described bears as little as a short one where a torque is sought.
func TestUnsaidIsShort(t *testing.T) {
	in := hung()
	in.Hole = Hole{}
	r, f := in.Make()
	require.Nil(t, f)
	assert.Equal(t, TheCommonHole, r.Weakest.Part)
	in.Hole = Hole{Into: Length, Depth: in.Bolt.D / 2, Metal: metal("grey20")}
	said, f := in.Make()
	require.Nil(t, f)
	assert.InDelta(t, said.Most, r.Most, 1e-9)
}
