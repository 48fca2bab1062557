package cut

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// instant is the sum of the forces along the rim with the first tooth at a place, one tooth at a
// time, as the picture has it.
func instant(c Milling, kc, first float64) (sum float64) {
	y1, y2 := c.Offset+c.Width/2, c.Offset-c.Width/2
	for k := range int(c.Teeth) {
		phi := math.Mod(first+2*math.Pi*float64(k)/c.Teeth, 2*math.Pi)
		y := c.Cutter / 2 * math.Cos(phi)
		if math.Sin(phi) > 0 && y <= y1+1e-12 && y >= y2-1e-12 {
			sum += kc * c.Depth * c.PerTooth() * math.Sin(phi)
		}
	}
	return sum
}

// The true worst instant never passes the force to hold against, which rises with the width
// and does not jump (trade reference 6.1).
func TestHoldIsNeverPassed(t *testing.T) {
	n := 0
	for range 30 { // 100 draws each
		rapid.Check(t, func(rt *rapid.T) {
			n++
			d := rapid.Float64Range(.25, 12).Draw(rt, "d")
			c := Milling{Depth: .1, Cutter: d, Teeth: float64(rapid.IntRange(1, 16).Draw(rt, "z")), RPM: 100}
			c.Width = d * rapid.Float64Range(.02, 1).Draw(rt, "b")
			c.Offset = (d - c.Width) / 2 * rapid.Float64Range(-1, 1).Draw(rt, "e")
			c.Feed = .006 * c.Teeth * c.RPM
			hold := c.Hold(2e5)
			worst := 0.0
			enters, leaves := c.Arc()
			for i := range 400 {
				worst = max(worst, instant(c, 2e5, 2*math.Pi/c.Teeth*float64(i)/400))
			}
			worst = max(worst, instant(c, 2e5, enters+1e-9), instant(c, 2e5, leaves-1e-9))
			if worst > hold*(1+1e-9) {
				rt.Fatalf("%v passes %v", worst, hold)
			}
			p := c.Pushes(2e5)
			teeth := (leaves - enters) / (2 * math.Pi / c.Teeth)
			apart := math.Abs(teeth-math.Round(teeth)) > 1e-3 // where one comes in as one goes out, a hair decides
			if p.Rim > hold*(1+1e-9) || apart && math.Abs(p.Rim-worst) > .01*worst {
				rt.Fatalf("followed %v, by the picture %v", p.Rim, worst)
			}
			wider := c
			wider.Width *= 1 + 1e-6
			if up := wider.Hold(2e5) - hold; c.Width < d*.999 && (up < 0 || up > .001*hold) {
				rt.Fatalf("a hair wider adds %v to %v", up, hold)
			}
		})
	}
	assert.GreaterOrEqual(t, n, 3000)
}

// A cutter that turns the other way is the mirror: the same ahead, the other way sideways; and the
// mean found by closed form is that of the instants.
func TestPushesByInstants(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := Milling{Depth: .1, Cutter: 4, Teeth: float64(rapid.IntRange(1, 12).Draw(rt, "z")), RPM: 100,
			Width: rapid.Float64Range(.1, 4).Draw(rt, "b")}
		c.Offset = (4 - c.Width) / 2 * rapid.Float64Range(-1, 1).Draw(rt, "e")
		c.Feed = .006 * c.Teeth * c.RPM
		p := c.Pushes(2e5)
		enters, leaves := c.Arc()
		x, y, one := 0.0, 0.0, 2e5*.1*.006
		const n = 20000
		for i := range n {
			phi := enters + (leaves-enters)*(float64(i)+.5)/n
			f := one * math.Sin(phi)
			x += f*math.Cos(phi) + .4*f*math.Sin(phi)
			y += -f*math.Sin(phi) + .4*f*math.Cos(phi)
		}
		k := (leaves - enters) / n * c.Teeth / (2 * math.Pi)
		assert.InDelta(rt, x*k, p.X, 1e-3)
		assert.InDelta(rt, y*k, p.Y, 1e-3)
		assert.LessOrEqual(rt, p.XLow, p.X+1e-9)
		assert.GreaterOrEqual(rt, p.XTop, p.X-1e-9)
		assert.LessOrEqual(rt, p.Worst, 1.08*p.Rim)
	})
}
