package align

import (
	"math"

	"datumbook/calc/fitting"
)

// Place is where a needle was read, once or more often. Lengths are in inches.
type Place struct {
	X, Low, High float64
	N            int // how often
	Row          int // of its first reading
}

// Mid is what a place counts for: half way between the least and the most it read, so that a
// reading inside what it has shown already changes nothing.
func (p Place) Mid() float64 { return float64((p.Low + p.High) / 2) }

// Gather puts readings together by place, in order of x.
func Gather(x, y []float64) []Place {
	var out []Place
	for i := range x {
		at := len(out)
		for at > 0 && x[i] < out[at-1].X-1e-6 {
			at--
		}
		if at > 0 && x[i] < out[at-1].X+1e-6 {
			p := &out[at-1]
			p.Low, p.High = min(p.Low, y[i]), max(p.High, y[i])
			p.N++
			continue
		}
		out = append(out, Place{})
		copy(out[at+1:], out[at:])
		out[at] = Place{x[i], y[i], y[i], 1, i}
	}
	return out
}

// hair is what whole picometres may be off by as float64s in inches; limits are met to it.
const hair = 1e-9

// Noise is how far off a needle's readings may be: by its graduation, and by how it repeats. It
// knows nothing of the face read: what is left off a line is the face's shape.
type Noise struct {
	Grad  float64 // the smallest step read
	Habit float64 // standard deviation of a reading taken again, from his own log; 0 for a quarter of Grad
	Cover float64 // how sure, both sides; 0 for 0.95

	ss   float64
	free int
}

// Take learns from what places read more than once: only what a reading strays beyond the
// graduation.
func (n *Noise) Take(places []Place) {
	for _, p := range places {
		over := max(0, p.High-p.Low-n.Grad)
		n.ss += float64(over * over / 2)
		n.free += p.N - 1
	}
}

// prior is the repeat taken for granted, worth eight degrees of freedom. A quarter of the
// graduation is from ASME B89.1.10M, from memory: it asks a fifth.
func (n *Noise) prior() float64 {
	if n.Habit > 0 {
		return n.Habit
	}
	return n.Grad / 4
}

// SD is the standard deviation of a reading taken again.
func (n *Noise) SD() float64 {
	s0 := n.prior()
	return math.Sqrt((float64(8*s0*s0) + n.ss) / float64(8+n.free))
}

// factors are Student's factor for the repeats, and 2 at 95 % for the graduation.
func (n *Noise) factors() (t, k float64) {
	cover := n.Cover
	if cover == 0 {
		cover = .95
	}
	t, _ = fitting.StudentQuantile((1+cover)/2, float64(8+n.free))
	z, _ := fitting.NormalQuantile((1 + cover) / 2)
	return t, 2 * z / 1.959963984540054
}

// Doubt is the half width of a sum of readings: many is the sum of the squares of their weights
// each over how often it was read, once the sum of the squares alone. A reading rounded to the
// graduation is rounded the same way each time, so that repeats do not help against that.
//
// Source: JCGM 100:2008, 4.3.7 (resolution), 5.1.2 (sum of squares), G.3 (few readings).
func (n *Noise) Doubt(many, once float64) float64 {
	t, k := n.factors()
	s := n.SD()
	return math.Sqrt(float64(t*t*s*s*many) + float64(k*k*once*n.Grad*n.Grad/12))
}

// Gate is the most that readings of one place may differ before something is loose: two
// graduations, more where his own log says that the needle repeats worse.
func (n *Noise) Gate() float64 { return max(float64(2*n.Grad), n.Grad+float64(4*n.prior())) }

// one is the standard uncertainty of one reading.
func (n *Noise) one() float64 {
	s0 := n.prior()
	return math.Sqrt(float64(s0*s0) + float64(n.Grad*n.Grad/12))
}

// Return is the most that a return to the first place may read off: 1.08 graduations.
func (n *Noise) Return() float64 { return float64(2 * math.Sqrt2 * n.one()) }

// Closure is the most that two pairs across a circle may differ: 1.53 graduations.
func (n *Noise) Closure() float64 { return float64(4 * n.one()) }

// Trouble is why nothing can be said of a lean: a place does not repeat, or the first place reads
// something else at the end.
type Trouble struct {
	At          Place
	Drift       bool
	Size, Limit float64
}

// Trouble looks for what forbids a judgement. Readings are in the order they were taken.
func (n *Noise) Trouble(x, y []float64, places []Place, most float64) *Trouble {
	worst := places[0]
	for _, p := range places {
		if beats(p.High-p.Low, worst.High-worst.Low, p, worst) {
			worst = p
		}
	}
	if r := worst.High - worst.Low; r > n.Gate()+hair {
		return &Trouble{worst, false, r, n.Gate()}
	}
	if d := Drift(x, y); math.Abs(d) > most+hair {
		return &Trouble{Place{X: x[0]}, true, math.Abs(d), most}
	}
	return nil
}

// beats says whether a place's size is the larger; of two alike the place read first counts, so
// that left and right are treated alike.
func beats(size, than float64, p, q Place) bool {
	return size > than+hair || size > than-hair && p.Row < q.Row
}

// Drift is how far the first place read off, on return to it, what it read at first: 0 inside that.
func Drift(x, y []float64) float64 {
	low, high, far := y[0], y[0], 0.0
	left := false
	for i := range x {
		switch same := math.Abs(x[i]-x[0]) < 1e-6; {
		case !same:
			left = true
		case !left:
			low, high = min(low, y[i]), max(high, y[i])
		default:
			for _, d := range [...]float64{y[i] - high, low - y[i]} {
				if d > math.Abs(far) {
					far = math.Copysign(d, y[i]-low)
				}
			}
		}
	}
	return far
}

// Lean is a lean judged: the difference of what two ends read, or of what two sides do.
type Lean struct {
	T, U, Allow float64 // inches
	Out         bool    // more than is allowed, by what was read
	Sure        bool    // and the doubt does not reach across the limit
	More        int     // readings more of each end that, agreeing, make it sure; 0 where four do not

	noise   Noise
	beside  float64   // doubt that no reading makes less
	squares []float64 // of the weights of the places
	counts  []int     // how often each was read
}

// Judge holds a lean against what is allowed: in line if |T| <= A, the doubt apart.
//
// Source: JCGM 106:2012, 8.2 (simple acceptance).
func (n *Noise) Judge(t, allow float64, squares []float64, counts []int) Lean {
	return Lean{T: t, Allow: allow, Out: math.Abs(t) > allow+hair, noise: *n, squares: squares,
		counts: counts}.Beside(0)
}

// Beside adds a doubt that no reading makes less, such as a square's certificate.
func (l Lean) Beside(u float64) Lean {
	l.beside = u
	l.U = l.doubt(0)
	l.Sure, l.More = l.clears(l.U), 0
	for k := 1; k <= 4 && !l.Sure && l.More == 0; k++ {
		if l.clears(l.doubt(k)) {
			l.More = k
		}
	}
	return l
}

// Unit is the standard uncertainty of the lean.
func (l *Lean) Unit() float64 {
	_, k := l.noise.factors()
	return l.U / k
}

// clears says whether a doubt stays on one side of the limit.
func (l *Lean) clears(u float64) bool {
	if l.Out {
		return math.Abs(l.T)-u > l.Allow+hair
	}
	return math.Abs(l.T)+u <= l.Allow+hair
}

// doubt is the doubt after so many readings more of each place that agree with those it has.
func (l *Lean) doubt(more int) float64 {
	n := l.noise
	n.free += more * len(l.counts)
	var many, once float64
	for i, w := range l.squares {
		many += w / float64(l.counts[i]+more)
		once += w
	}
	return l.beside + n.Doubt(many, once)
}

// finer gives the coarsest of some graduations that would settle it, read once; 0 where none would.
func (l *Lean) finer(of []float64) float64 {
	for _, g := range of {
		if g > l.noise.Grad*.9 {
			continue
		}
		n := Noise{Grad: g, Cover: l.noise.Cover, Habit: l.noise.Habit}
		var once float64
		for _, w := range l.squares {
			once += w
		}
		if l.clears(l.beside + n.Doubt(once, once)) {
			return g
		}
	}
	return 0
}

// Ends judges the difference of two places.
func (n *Noise) Ends(first, last Place, allow float64) Lean {
	return n.Judge(last.Mid()-first.Mid(), allow, []float64{1, 1}, []int{first.N, last.N})
}
