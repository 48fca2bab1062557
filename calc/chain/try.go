package chain

import (
	"math"
	"slices"
)

// Trial is the Monte Carlo result for one predicted error.
type Trial struct {
	Mean float64
	Unit float64
	Low  float64 // 2.5 % lie below
	High float64 // 2.5 % lie above
}

// Try is a Monte Carlo check of Predict: it draws every error many times (normal for a reading,
// uniform within the limits for an assumption), turns the part through the whole chain in space and
// measures the finished faces: the propagation of distributions of JCGM 101:2008, 7, without
// linearising. The same seed draws the same numbers.
func (p *Plan) Try(errors []Error, trials int, seed uint64) []Trial {
	d := draws(seed)
	first := make([]int, len(p.Causes))
	type turn struct {
		axis int
		sign float64
	}
	turns := make([]turn, len(p.Causes))
	for i, c := range p.Causes {
		first[i] = p.first(i)
		turns[i].axis, turns[i].sign = p.effect(c)
	}
	values := make([]float64, len(p.Causes))
	stands := make([]rotation, len(p.Setups)+1)
	stands[0] = rotation{1, 0, 0, 0}
	small := make([][3]float64, len(p.Setups)+1)
	got := make([][]float64, len(errors))
	for i := range got {
		got[i] = make([]float64, trials)
	}
	for n := range trials {
		clear(small)
		for i, c := range p.Causes {
			values[i] = values[first[i]]
			if first[i] == i {
				if c.Measured {
					values[i] = c.Value + float64(c.std()*d.normal())
				} else {
					values[i] = c.Half * (float64(2*d.unit()) - 1)
				}
			}
			small[c.Setup][turns[i].axis] += float64(turns[i].sign * values[i])
		}
		for s := range p.Setups {
			stands[s+1] = stands[p.Setups[s].From].then(rotationOf(small[s+1]))
		}
		for i, e := range errors {
			got[i][n] = p.measure(e, stands)
		}
	}
	out := make([]Trial, len(errors))
	for i, x := range got {
		t := &out[i]
		for n, y := range x {
			t.Mean += (y - t.Mean) / float64(n+1)
		}
		for _, y := range x {
			t.Unit += float64((y - t.Mean) * (y - t.Mean))
		}
		t.Unit = math.Sqrt(t.Unit / float64(max(trials-1, 1)))
		slices.Sort(x)
		t.Low, t.High = quantile(x, .025), quantile(x, .975)
	}
	return out
}

// quantile interpolates in a sorted list.
func quantile(x []float64, part float64) float64 {
	at := float64(part * float64(len(x)-1))
	i := min(int(at), len(x)-1)
	j := min(i+1, len(x)-1)
	return x[i] + float64((x[j]-x[i])*(at-float64(i)))
}

// measure returns the face's turn against its datum about the axis of e: the rise at the end of a
// line as long as the face.
func (p *Plan) measure(e Error, stands []rotation) float64 {
	f := p.Faces[e.Face]
	r := stands[f.Setup]
	if f.To > 0 {
		r = stands[p.Faces[f.To-1].Setup].back().then(r)
	}
	var line [3]float64
	line[(e.Axis+1)%3] = 1 // a line at right angles to the axis
	return f.Length * r.turn(line)[(e.Axis+2)%3]
}

// rotation is a unit quaternion: scalar part, then x, y, z.
type rotation [4]float64

// rotationOf turns by a small rotation vector: half its tangent along the axis.
func rotationOf(v [3]float64) rotation {
	x, y, z := float64(v[0]*.5), float64(v[1]*.5), float64(v[2]*.5)
	n := 1 / math.Sqrt(1+float64(x*x)+float64(y*y)+float64(z*z))
	return rotation{n, x * n, y * n, z * n}
}

// back is the inverse rotation.
func (a rotation) back() rotation { return rotation{a[0], -a[1], -a[2], -a[3]} }

// then is the product a b: b first, in the frame of a.
func (a rotation) then(b rotation) rotation {
	return rotation{
		float64(a[0]*b[0]) - float64(a[1]*b[1]) - float64(a[2]*b[2]) - float64(a[3]*b[3]),
		float64(a[0]*b[1]) + float64(a[1]*b[0]) + float64(a[2]*b[3]) - float64(a[3]*b[2]),
		float64(a[0]*b[2]) - float64(a[1]*b[3]) + float64(a[2]*b[0]) + float64(a[3]*b[1]),
		float64(a[0]*b[3]) + float64(a[1]*b[2]) - float64(a[2]*b[1]) + float64(a[3]*b[0]),
	}
}

// turn turns a vector.
func (a rotation) turn(v [3]float64) [3]float64 {
	r := a.then(rotation{0, v[0], v[1], v[2]}).then(a.back())
	return [3]float64{r[1], r[2], r[3]}
}

// draws is a splitmix64 generator: the same seed gives the same trials on every machine.
type draws uint64

// unit draws uniformly from 0 to 1.
func (d *draws) unit() float64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64(float64((z^z>>31)>>11) / (1 << 53))
}

// normal draws from the standard normal distribution: the sum of twelve draws, corrected by a
// polynomial to 2 parts in ten thousand up to three standard deviations. It avoids logarithms,
// whose last digit differs between machines.
//
// Source: The Art of Computer Programming, volume 2, 2nd edition, 3.4.1, as
// published programs for simulation reproduce it.
func (d *draws) normal() float64 {
	sum := -6.0
	for range 12 {
		sum += d.unit()
	}
	r := float64(sum * .25)
	r2 := float64(r * r)
	p := 0.0
	for _, a := range [...]float64{.029899776, .008355968, .076542912, .252408784, 3.949846138} {
		p = a + float64(p*r2)
	}
	return p * r
}
