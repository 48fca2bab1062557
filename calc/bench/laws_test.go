package bench

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A triangle drawn by two sides and the angle between is found again from any
// three of its parts.
func TestTriangleRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, c := rapid.Float64Range(.1, 10).Draw(t, "b"), rapid.Float64Range(.1, 10).Draw(t, "c")
		ang := rapid.Float64Range(2, 178).Draw(t, "A")
		// The corners in the plane are the second way.
		x, y := b*math.Cos(ang*rad), b*math.Sin(ang*rad)
		a := math.Hypot(x-c, y)
		angB := math.Atan2(y, c-x) / rad
		whole := Triangle{[3]float64{a, b, c}, [3]float64{ang, angB, 180 - ang - angB}}
		for _, row := range []struct{ sides, angles [3]bool }{
			{[3]bool{true, true, true}, [3]bool{}},
			{[3]bool{false, true, true}, [3]bool{true, false, false}},
			{[3]bool{true, false, true}, [3]bool{false, true, false}},
			{[3]bool{true, true, false}, [3]bool{false, false, true}},
			{[3]bool{true, false, false}, [3]bool{true, true, false}},
			{[3]bool{false, true, false}, [3]bool{true, false, true}},
			{[3]bool{false, false, true}, [3]bool{true, true, false}},
			{[3]bool{true, true, false}, [3]bool{true, false, false}},
			{[3]bool{true, false, true}, [3]bool{false, false, true}},
		} {
			var part Triangle
			for i := range 3 {
				if row.sides[i] {
					part.Side[i] = whole.Side[i]
				}
				if row.angles[i] {
					part.Angle[i] = whole.Angle[i]
				}
			}
			found, err := Solve(part)
			require.NoError(t, err, "%v", part)
			// Near a right angle opposite a given side the sine is flat: a tiny change of the side
			// is a millionth of the angle.
			best := math.Inf(1)
			for _, f := range found {
				worst := 0.0
				for i := range 3 {
					worst = max(worst, math.Abs(f.Side[i]-whole.Side[i])/10, math.Abs(f.Angle[i]-whole.Angle[i])/180)
				}
				best = min(best, worst)
				require.InDelta(t, 180, f.Angle[0]+f.Angle[1]+f.Angle[2], 1e-9)
			}
			require.Less(t, best, 1e-5, "%v of %v gave %v", part, whole, found)
		}
		s := (a + b + c) / 2
		require.InDelta(t, math.Sqrt(max(0, s*(s-a)*(s-b)*(s-c))), whole.Area(), 1e-6, "Heron's area")
	})
}

// An arc is found again from any two of its parts, and its area is that of
// many thin strips.
func TestArcRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, deg := rapid.Float64Range(.1, 100).Draw(t, "r"), rapid.Float64Range(1, 359).Draw(t, "deg")
		want, err := SolveArc(Arc{Radius: r, Angle: deg})
		require.NoError(t, err)
		x, y := r*math.Sin(deg/2*rad), r*math.Cos(deg/2*rad)
		require.InDelta(t, 2*x, want.Chord, 1e-9*r)
		require.InDelta(t, r-y, want.Rise, 1e-9*r)
		for _, part := range []Arc{{Radius: r, Rise: want.Rise}, {Chord: want.Chord, Rise: want.Rise}, {Chord: want.Chord, Angle: deg}, {Rise: want.Rise, Angle: deg}} {
			got, err := SolveArc(part)
			require.NoError(t, err)
			require.InEpsilon(t, r, got.Radius, 1e-6, "%+v", part)
			require.InDelta(t, deg, got.Angle, 1e-4, "%+v", part)
			require.InEpsilon(t, want.Length(), got.Length(), 1e-6)
		}
		if deg <= 180 {
			got, err := SolveArc(Arc{Radius: r, Chord: want.Chord})
			require.NoError(t, err)
			require.InDelta(t, deg, got.Angle, 1e-3)
		}
		sector := want.Length() * r / 2
		require.InDelta(t, sector-x*y, want.Segment(), 1e-9*r*r, "sector less triangle")
	})
}

// A plug drawn with a known taper, its pins and balls placed by the touching
// of circles and lines, is measured right.
func TestTaperByTouching(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		half := rapid.Float64Range(-20, 20).Draw(t, "half")
		end, pin := rapid.Float64Range(.5, 4).Draw(t, "end"), rapid.Float64Range(.1, 1).Draw(t, "pin")
		// The side leaves the plate at end/2 and leans out by half; a pin on the
		// plate touches it where its distance from the side is its radius.
		r := pin / 2
		centre := end/2 + r*math.Tan(half*rad) + r/math.Cos(half*rad)
		require.InDelta(t, end, PinsEnd(2*(centre+r), pin, half), 1e-9)

		h := rapid.Float64Range(.5, 5).Draw(t, "blocks")
		raised := centre + h*math.Tan(half*rad)
		require.InDelta(t, half, TaperHalf(2*(raised+r), 2*(centre+r), h), 1e-9)

		if half > .5 {
			mouth, ball := rapid.Float64Range(2, 4).Draw(t, "mouth"), rapid.Float64Range(.2, 1).Draw(t, "ball")
			depth := func(d float64) float64 { // of the centre: distance to the side is d/2
				return (mouth/2 - d/2/math.Cos(half*rad)) / math.Tan(half*rad)
			}
			big := ball * 1.5
			require.InDelta(t, half, DiscsHalf(big, ball, depth(ball)-depth(big)), 1e-7)
			require.InDelta(t, mouth, BallsMouth(big, depth(big), half), 1e-9)
		}
	})
}

// Every way to step is held against plain fractions: exact where the ratio's
// part is whole, else within half a hole; the nearest comes first.
func TestDivideAgainstFractions(t *testing.T) {
	for _, ratio := range []int{1, 5, 40, 60, 72, 90} {
		for n := int64(2); n <= 400; n++ {
			ways := Divide(1, n, ratio, plates[0].circles)
			for i, w := range ways {
				want := float64(ratio) / float64(n) * float64(w.Circle)
				got := float64(w.Turns*w.Circle + w.Holes)
				require.LessOrEqual(t, math.Abs(got-want), .5+1e-9)
				require.Equal(t, int64(ratio)*int64(w.Circle)%n == 0, w.Exact(), "%d on %d", n, w.Circle)
				require.InDelta(t, (got-want)*360/float64(ratio)/float64(w.Circle), w.Off, 1e-9)
				require.Less(t, w.Holes, w.Circle)
				if i > 0 {
					require.LessOrEqual(t, math.Abs(ways[i-1].Off), math.Abs(w.Off))
				}
			}
		}
	}
}

func TestSineLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bar, deg := rapid.Float64Range(1, 20).Draw(t, "bar"), rapid.Float64Range(0, 89).Draw(t, "deg")
		require.InDelta(t, deg, SineAngle(bar, SineStack(bar, deg)), 1e-9)
		const h = 1e-6
		require.InEpsilon(t, (SineAngle(bar, SineStack(bar, deg)+h)-SineAngle(bar, SineStack(bar, deg)-h))/2/h, SineSlope(bar, deg), 1e-3)
	})
}

func TestHeatRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.Float64Range(.1, 100).Draw(t, "size")
		ap, ag := rapid.Float64Range(0, 30).Draw(t, "part"), rapid.Float64Range(0, 30).Draw(t, "gauge")
		tp, tg := rapid.Float64Range(-20, 100).Draw(t, "tp"), rapid.Float64Range(-20, 60).Draw(t, "tg")
		// The part grows, the gauge's scale grows: it reads how many of its own
		// grown inches go into the grown part.
		reads := size * (1 + ap*1e-6*(tp-20)) / (1 + ag*1e-6*(tg-20))
		require.InEpsilon(t, size, At20(reads, ag, tg, ap, tp), 1e-12)
	})
}

// The size at 20 degrees by warming the part and the gauge's scale in small
// steps and trying sizes until the part ends at the mark that was read.
func TestHeatByWarming(t *testing.T) {
	warm := func(length, ppm, to float64) float64 {
		const n = 1000
		grown := length
		for range n {
			grown += length * ppm * 1e-6 * (to - 20) / n // each step by the length at 20 degrees
		}
		return grown
	}
	rapid.Check(t, func(t *rapid.T) {
		reads := rapid.Float64Range(.1, 100).Draw(t, "reading")
		ap, ag := rapid.Float64Range(0, 30).Draw(t, "part"), rapid.Float64Range(0, 30).Draw(t, "gauge")
		tp, tg := rapid.Float64Range(-20, 100).Draw(t, "tp"), rapid.Float64Range(-20, 60).Draw(t, "tg")
		mark := warm(reads, ag, tg) // where the scale's mark now lies
		low, high := reads*.9, reads*1.1
		for range 60 {
			size := (low + high) / 2
			if warm(size, ap, tp) < mark {
				low = size
			} else {
				high = size
			}
		}
		require.InEpsilon(t, low, At20(reads, ag, tg, ap, tp), 1e-10)
	})
}
