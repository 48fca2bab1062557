package fitting

import "math"

// rank is how small a column may become, as a part of its own length, once the
// earlier columns are taken out of it. Below this the columns say the same.
const rank = 1e-10

// solved is the answer to a linear least-squares problem.
type solved struct {
	beta []float64
	rinv [][]float64 // inverse of the triangle; covariance is rinv times its transpose
}

// leastSquares finds beta that makes sum w (y - sum beta_j cols_j)^2 least, by
// Householder reflections (Golub and Van Loan, Matrix Computations, 5.3.2).
// Normal equations would square the condition number; reflections do not.
// Columns are first scaled to unit length. Lists are not changed.
func leastSquares(cols [][]float64, y, w []float64) (solved, error) {
	n, k := len(y), len(cols)
	if n < k {
		return solved{}, ErrFew
	}
	q := make([][]float64, k)
	size := make([]float64, k)
	for j := range cols {
		c := weighted(cols[j], w)
		size[j] = norm(c)
		if size[j] == 0 {
			return solved{}, ErrSpread
		}
		q[j] = make([]float64, n)
		for i := range c {
			q[j][i] = c[i] / size[j]
		}
	}
	rhs := append([]float64(nil), weighted(y, w)...)
	diag := make([]float64, k)
	for j := range q {
		v := q[j][j:]
		s := norm(v)
		if s < rank {
			return solved{}, ErrSpread
		}
		if v[0] > 0 {
			s = -s
		}
		diag[j] = s
		v[0] -= s // v is now the mirror's normal; v.v = -2 s v[0]
		for c := j + 1; c < k; c++ {
			mirror(v, q[c][j:], s)
		}
		mirror(v, rhs[j:], s)
	}
	out := solved{beta: make([]float64, k), rinv: make([][]float64, k)}
	for j := k - 1; j >= 0; j-- {
		t := rhs[j]
		for c := j + 1; c < k; c++ {
			t -= float64(q[c][j] * out.beta[c])
		}
		out.beta[j] = t / diag[j]
		row := make([]float64, k)
		row[j] = 1 / diag[j]
		for c := j + 1; c < k; c++ {
			t := 0.0
			for l := j + 1; l <= c; l++ {
				t -= float64(q[l][j] * out.rinv[l][c])
			}
			row[c] = t / diag[j]
		}
		out.rinv[j] = row
	}
	for j := range out.beta {
		out.beta[j] /= size[j]
		for c := range out.rinv[j] {
			out.rinv[j][c] /= size[j]
		}
	}
	return out, nil
}

// mirror reflects x in the plane whose normal is v, where v.v = -2 s v[0].
func mirror(v, x []float64, s float64) {
	d := dot(v, x) / float64(s*v[0])
	for i := range x {
		x[i] += float64(d * v[i])
	}
}

// unit is the standard error of g.beta when each reading has unit error (and
// the weights are one): the length of g times the inverse triangle. It is a
// root of squares, so rounding cannot make it negative.
func (s solved) unit(g ...float64) float64 {
	v := make([]float64, len(s.beta))
	for j, row := range s.rinv {
		for c := range row {
			v[c] += float64(g[j] * row[c])
		}
	}
	return norm(v)
}

// dot is the sum of products.
func dot(a, b []float64) float64 {
	t := 0.0
	for i := range a {
		t += float64(a[i] * b[i])
	}
	return t
}

// dotw is the sum of weighted products; nil weights are all one.
func dotw(a, b, w []float64) float64 {
	if w == nil {
		return dot(a, b)
	}
	t := 0.0
	for i := range a {
		t += float64(w[i] * a[i] * b[i])
	}
	return t
}

// axes gives the root-mean-square spread of centred points along their longest
// direction and across it. The second is found by projecting, not from a
// determinant, so that it is right even when it is tiny.
func axes(x, y []float64) (along, across float64) {
	a, b, c := dot(x, x), dot(x, y), dot(y, y)
	ux, uy := 1.0, 0.0
	if h := length(a-c, 2*b); h > 0 {
		ux = math.Sqrt(max(0, (1+(a-c)/h)/2))
		uy = math.Sqrt(max(0, (1-(a-c)/h)/2))
		if b < 0 {
			uy = -uy
		}
	}
	p, q := make([]float64, len(x)), make([]float64, len(x))
	for i := range x {
		p[i] = float64(ux*x[i]) + float64(uy*y[i])
		q[i] = float64(ux*y[i]) - float64(uy*x[i])
	}
	root := math.Sqrt(float64(len(x)))
	return norm(p) / root, norm(q) / root
}
