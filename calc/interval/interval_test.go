package interval_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"datumbook/calc/interval"
)

var (
	unit  = interval.Zone{Lo: 0, Hi: 1}
	half  = interval.Zone{Lo: 0.5, Hi: 0.5}
	empty = interval.Empty()
)

func TestZone(t *testing.T) {
	assert.True(t, empty.IsEmpty())
	assert.True(t, interval.Zone{Lo: 1, Hi: 0}.IsEmpty())
	assert.True(t, interval.Zone{Lo: math.NaN(), Hi: 1}.IsEmpty())
	assert.False(t, interval.Zone{}.IsEmpty(), "the zero zone holds 0")
	assert.False(t, half.IsEmpty())
	assert.True(t, unit.Contains(0) && unit.Contains(1) && half.Contains(0.5))
	assert.False(t, unit.Contains(1.0001) || empty.Contains(0) || unit.Contains(math.NaN()))
	assert.True(t, unit.ContainsZone(half) && unit.ContainsZone(empty) && empty.ContainsZone(empty))
	assert.False(t, half.ContainsZone(unit) || empty.ContainsZone(half))
	assert.True(t, unit.Intersects(interval.Zone{Lo: 1, Hi: 2}), "touching counts")
	assert.False(t, unit.Intersects(interval.Zone{Lo: 1.1, Hi: 2}) || unit.Intersects(empty))
	assert.Equal(t, half, unit.Intersection(half))
	assert.Equal(t, empty, unit.Intersection(empty))
	assert.Equal(t, unit, unit.Union(empty))
	assert.Equal(t, unit, empty.Union(unit))
	assert.Equal(t, interval.Zone{Lo: 0, Hi: 3}, unit.Union(interval.Between(3, 2)))
	assert.Equal(t, []float64{1, 0, 0}, []float64{unit.Width(), half.Width(), empty.Width()})
	assert.Equal(t, []float64{0.5, 0.5, 0}, []float64{unit.Mid(), half.Mid(), empty.Mid()})
	assert.Equal(t, interval.Zone{Lo: -1, Hi: 2}, unit.Expanded(1))
	assert.True(t, unit.Expanded(-1).IsEmpty() && empty.Expanded(9).IsEmpty() && interval.About(1, -1).IsEmpty())
	assert.Equal(t, interval.Zone{Lo: 2, Hi: 3}, unit.Shifted(2))
	assert.True(t, empty.Shifted(1).IsEmpty())
	assert.Equal(t, []float64{0, 1, 0.3, 7}, []float64{unit.Clamp(-2), unit.Clamp(2), unit.Clamp(0.3), empty.Clamp(7)})
	assert.Equal(t, []float64{0.25, 0, -1}, []float64{unit.Room(0.75), unit.Room(1), unit.Room(2)})
	assert.True(t, math.IsInf(empty.Room(0), -1))
}

func TestHolds(t *testing.T) {
	for _, c := range []struct {
		z        interval.Zone
		x, doubt float64
		want     interval.Verdict
	}{
		{unit, 0.5, 0.1, interval.In}, {unit, 0.95, 0.1, interval.Close}, {unit, 1.05, 0.1, interval.Close},
		{unit, 1.2, 0.1, interval.Out}, {unit, 1, 0, interval.In}, {unit, 1, -5, interval.In}, {unit, 0.75, 0.25, interval.In},
		{empty, 0, 1, interval.Out}, {unit, math.NaN(), 1, interval.Out},
	} {
		assert.Equal(t, c.want, c.z.Holds(c.x, c.doubt), "%v", c)
	}
	assert.Equal(t, "in", interval.In.String())
	assert.Equal(t, "out", interval.Out.String())
	assert.Equal(t, "too close to call", interval.Close.String())
}

func TestLaws(t *testing.T) {
	value := rapid.Float64Range(-1e6, 1e6)
	rapid.Check(t, func(t *rapid.T) {
		a := interval.Zone{Lo: value.Draw(t, "alo"), Hi: value.Draw(t, "ahi")}
		b := interval.Zone{Lo: value.Draw(t, "blo"), Hi: value.Draw(t, "bhi")}
		x := value.Draw(t, "x")
		i, u := a.Intersection(b), a.Union(b)
		if i.Contains(x) != (a.Contains(x) && b.Contains(x)) {
			t.Fatal("intersection", a, b, x)
		}
		if (a.Contains(x) || b.Contains(x)) && !u.Contains(x) {
			t.Fatal("union", a, b, x)
		}
		if !a.ContainsZone(i) || !u.ContainsZone(a) || a.Intersects(b) != b.Intersects(a) {
			t.Fatal("order", a, b)
		}
		if !a.IsEmpty() && (!a.Contains(a.Clamp(x)) || !a.Contains(a.Mid())) {
			t.Fatal("clamp", a, x)
		}
		if math.IsNaN(a.Width()+a.Mid()) || a.Width() < 0 {
			t.Fatal("width", a)
		}
		d := math.Abs(value.Draw(t, "doubt"))
		if a.Holds(x, d) == interval.In && !a.Contains(x) || a.Holds(x, d) == interval.Out && a.Contains(x) {
			t.Fatal("holds", a, x, d)
		}
	})
}
