package fitting

import "math"

// Rigid3 is a turn and a shift in space that lay one set of points on another
// without stretching or mirroring: to = Turn from + Shift.
type Rigid3 struct {
	Turn    [3][3]float64 // rotation matrix, rows first
	Shift   Point3        // where the origin goes
	Misses  []Point3      // to less mapped from, in the order given
	SD      float64       // sqrt(sum of squared misses / Free), per coordinate
	Worst   float64       // largest distance missed
	N, Free int           // points; coordinates to spare, 3N - 6

	c, m [3]float64 // centres of from and to
}

// FitRigid3 finds the turn and shift that make the sum of squared distances
// between to and the moved from least, point i going to point i. It needs 3
// points not in a line: otherwise ErrFew or ErrSpread. The lists must be of one
// length.
//
// The turn is the greatest eigenvector of a 4 by 4 matrix: Horn, Journal of the
// Optical Society of America A 4 (1987) 629. Unlike the plain singular-value
// method it never answers with a mirror image.
func FitRigid3(from, to []Point3) (Rigid3, error) {
	a, b := split(from), split(to)
	if err := check(3, a[0], a[1], a[2], b[0], b[1], b[2]); err != nil {
		return Rigid3{}, err
	}
	r := Rigid3{N: len(from), Free: 3*len(from) - 6}
	scaleA, err := centre3(a, &r.c)
	if err != nil {
		return Rigid3{}, err
	}
	scaleB, err := centre3(b, &r.m)
	if err != nil {
		return Rigid3{}, err
	}
	var s [3][3]float64
	for i := range s {
		for j := range s[i] {
			s[i][j] = dot(a[i], b[j])
		}
	}
	n := [4][4]float64{
		{s[0][0] + s[1][1] + s[2][2], s[1][2] - s[2][1], s[2][0] - s[0][2], s[0][1] - s[1][0]},
		{0, s[0][0] - s[1][1] - s[2][2], s[0][1] + s[1][0], s[2][0] + s[0][2]},
		{0, 0, s[1][1] - s[0][0] - s[2][2], s[1][2] + s[2][1]},
		{0, 0, 0, s[2][2] - s[0][0] - s[1][1]},
	}
	for i := range n {
		for j := range i {
			n[i][j] = n[j][i]
		}
	}
	vals, vecs := jacobi4(n)
	top, second := 0, -1
	for i := 1; i < 4; i++ {
		if vals[i] > vals[top] {
			top, second = i, top
		} else if second < 0 || vals[i] > vals[second] {
			second = i
		}
	}
	// Points in a line may turn about it freely: two eigenvalues meet. The gap
	// falls as the square of the spread across the line.
	if vals[top]-vals[second] < 1e-10*max(math.Abs(vals[top]), math.Abs(vals[second])) {
		return Rigid3{}, ErrSpread
	}
	r.Turn = quaternion(vecs[0][top], vecs[1][top], vecs[2][top], vecs[3][top])
	d := r.spin(r.c)
	r.Shift = Point3{r.m[0] - d[0], r.m[1] - d[1], r.m[2] - d[2]}
	var all []float64
	for i := range from {
		t := r.spin([3]float64{a[0][i], a[1][i], a[2][i]})
		var e [3]float64
		for k := range e {
			e[k] = float64(b[k][i]*scaleB) - float64(t[k]*scaleA)
		}
		r.Misses = append(r.Misses, Point3{e[0], e[1], e[2]})
		all = append(all, e[:]...)
		r.Worst = max(r.Worst, norm(e[:]))
	}
	r.SD = norm(all) / math.Sqrt(float64(r.Free))
	return r, nil
}

// Map gives where a from point lands.
func (r Rigid3) Map(p Point3) Point3 {
	t := r.spin([3]float64{p.X - r.c[0], p.Y - r.c[1], p.Z - r.c[2]})
	return Point3{r.m[0] + t[0], r.m[1] + t[1], r.m[2] + t[2]}
}

// spin is the turn alone.
func (r Rigid3) spin(p [3]float64) (t [3]float64) {
	for i := range t {
		t[i] = dot(r.Turn[i][:], p[:])
	}
	return t
}

// split gives the coordinates as three lists.
func split(p []Point3) [3][]float64 {
	var c [3][]float64
	for _, v := range p {
		c[0], c[1], c[2] = append(c[0], v.X), append(c[1], v.Y), append(c[2], v.Z)
	}
	return c
}

// centre3 takes the means away and scales all coordinates alike, in place.
func centre3(c [3][]float64, mean *[3]float64) (scale float64, err error) {
	half, size := 0.0, 0.0
	for k := range c {
		mean[k] = middle(c[k], nil)
		size = max(size, largest(c[k]))
		for i := range c[k] {
			c[k][i] -= mean[k]
		}
		half = max(half, largest(c[k]))
	}
	if half < smallest || half < narrow*size {
		return 0, ErrSpread
	}
	scale = pow2(half)
	for k := range c {
		for i := range c[k] {
			c[k][i] /= scale
		}
	}
	return scale, nil
}

// quaternion is the rotation matrix of w + xi + yj + zk, scaled to unit length.
func quaternion(w, x, y, z float64) [3][3]float64 {
	l := norm([]float64{w, x, y, z})
	w, x, y, z = w/l, x/l, y/l, z/l
	two := func(p, q, r, s float64) float64 { return 2 * (float64(p*q) + float64(r*s)) }
	return [3][3]float64{
		{1 - two(y, y, z, z), two(x, y, -w, z), two(x, z, w, y)},
		{two(x, y, w, z), 1 - two(x, x, z, z), two(y, z, -w, x)},
		{two(x, z, -w, y), two(y, z, w, x), 1 - two(x, x, y, y)},
	}
}

// jacobi4 gives the eigenvalues of a symmetric matrix, and its eigenvectors as
// columns, by Jacobi's rotations (Golub and Van Loan, Matrix Computations, 8.5).
func jacobi4(a [4][4]float64) (vals [4]float64, v [4][4]float64) {
	for i := range v {
		v[i][i] = 1
	}
	for range 50 { // each sweep squares what is left; ten are ample
		off := 0.0
		for p := range 4 {
			for q := p + 1; q < 4; q++ {
				off = max(off, math.Abs(a[p][q]))
				if a[p][q] == 0 {
					continue
				}
				theta := (a[q][q] - a[p][p]) / 2 / a[p][q]
				t := 0.0
				if math.Abs(theta) < 1e150 {
					t = 1 / (math.Abs(theta) + length(theta, 1))
				}
				if theta < 0 {
					t = -t
				}
				c := 1 / length(t, 1)
				s := t * c
				turn := func(x, y *float64) {
					*x, *y = float64(c**x)-float64(s**y), float64(s**x)+float64(c**y)
				}
				for k := range 4 {
					turn(&a[k][p], &a[k][q])
				}
				for k := range 4 {
					turn(&a[p][k], &a[q][k])
				}
				for k := range 4 {
					turn(&v[k][p], &v[k][q])
				}
				a[p][q], a[q][p] = 0, 0
			}
		}
		if off < 1e-300 {
			break
		}
	}
	for i := range vals {
		vals[i] = a[i][i]
	}
	return vals, v
}
