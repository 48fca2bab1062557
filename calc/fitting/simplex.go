package fitting

import (
	"math"
	"slices"
)

// Status says how a linear program ended.
type Status int

// The three ways a linear program can end.
const (
	Optimal    Status = iota // X is the best point
	Infeasible               // no point meets every limit; Duals say which limits quarrel
	Unbounded                // the objective has no limit
)

// Optimum is the answer to a linear program.
type Optimum struct {
	Status Status
	X      []float64 // the best point, when Optimal
	Value  float64   // c.x there, when Optimal
	Slack  []float64 // b - A x, when Optimal: 0 where a limit holds the answer

	// Duals, one for each limit, never negative. When Optimal, Duals[i] is how
	// much Value would gain for each unit added to b[i], and c = A' Duals. When
	// Infeasible, the limits so weighted add up to 0 <= a negative number, so
	// the limits with a positive dual cannot all be met. Nil when Unbounded.
	Duals []float64
}

const (
	lpBiggest  = 1e15  // largest entry, as given
	lpLeast    = 1e-30 // entries smaller than this are taken as zero
	lpPivot    = 1e-9  // least pivot, after scaling to entries near one
	lpGain     = 1e-10 // least gain worth a step, after scaling
	lpFeasible = 1e-10 // least quarrel counted, as a part of the limits that quarrel
	lpNothing  = 1e-13 // a difference this part of what it is taken from is zero
)

// Maximise finds x, of any sign, that makes c.x greatest subject to A x <= b, by the simplex method
// on a dense table: meant for tens of unknowns and some hundreds of limits. Rows of a are limits;
// each has len(c) entries. For x >= 0 add a limit -x <= 0; for an equality add it both ways round.
//
// Entries may be up to 1e15 in size. Rows and columns are scaled first, so units need not match;
// entries of c and a below 1e-30, or below 1e-9 of the rest of their row and column, are taken as
// nothing. Limits that quarrel by less than 1e-10 of their own size are taken to meet. If many
// points are best, one corner of them is given, always the same.
//
// Method: dictionary form with a one-variable first phase (Chvatal, Linear Programming, ch. 2, 3),
// largest-coefficient choice, and Bland's rule (Mathematics of Operations Research 2 (1977) 103),
// which cannot cycle, while steps gain nothing.
func Maximise(c []float64, a [][]float64, b []float64) (Optimum, error) {
	if len(c) == 0 {
		return Optimum{}, ErrFew
	}
	if len(a) != len(b) {
		return Optimum{}, ErrLength
	}
	for _, row := range a {
		if len(row) != len(c) {
			return Optimum{}, ErrLength
		}
	}
	if err := within(lpBiggest, c, b); err != nil {
		return Optimum{}, err
	}
	if err := within(lpBiggest, a...); err != nil {
		return Optimum{}, err
	}
	t := newTable(c, a, b)
	t.freeIn()
	ok, err := t.phaseOne(b)
	if err != nil {
		return Optimum{}, err
	}
	if !ok {
		return Optimum{Status: Infeasible, Duals: t.duals(t.first, false)}, nil
	}
	bounded, err := t.climb(t.gain)
	if err != nil {
		return Optimum{}, err
	}
	if !bounded {
		return Optimum{Status: Unbounded}, nil
	}
	o := Optimum{Status: Optimal, X: t.point(), Duals: t.duals(t.gain, true)}
	o.Value = dot(c, o.X)
	o.Slack = make([]float64, len(b))
	for i := range b {
		o.Slack[i] = b[i] - dot(a[i], o.X)
	}
	return o, nil
}

// table is a dictionary: basic[i] = rhs[i] - sum cell[i][j] out[j]. Variables
// 0..n-1 are x, n..n+m-1 the slacks, n+m the first phase's own.
type table struct {
	n, m        int
	cell        [][]float64
	rhs         []float64
	gain, first []float64 // objective rows of the two phases: + sum gain[j] out[j]
	basic, out  []int
	shut        []bool // columns that may not enter

	row, col []float64 // scale: scaled A is row * A * col
	unit     float64   // scale of c
}

// newTable scales by powers of two, which loses nothing, and sets every slack
// basic.
func newTable(c []float64, a [][]float64, b []float64) *table {
	n, m := len(c), len(b)
	t := &table{n: n, m: m, unit: 1}
	// One piece for all, each row with room for the first phase's own column.
	wide := n + 1
	piece := make([]float64, (m+2)*wide+2*m+n)
	cut := func(size, room int) []float64 {
		part := piece[:size:room]
		piece = piece[room:]
		return part
	}
	t.row, t.col, t.rhs = cut(m, m), cut(n, n), cut(m, m)
	t.gain, t.first = cut(n, wide), cut(n, wide)
	t.cell, t.basic = make([][]float64, m), make([]int, m)
	t.out = make([]int, n, wide)
	inverse := func(v float64) float64 {
		if v < lpLeast {
			return 1
		}
		return 1 / pow2(v)
	}
	for i := range a {
		t.row[i] = inverse(largest(a[i]))
	}
	for i := range a {
		for j, v := range a[i] {
			if v = math.Abs(v); v < lpLeast {
				continue
			}
			if v *= t.row[i]; v > t.col[j] {
				t.col[j] = v // the largest of the column, so far
			}
		}
	}
	for j, v := range c {
		t.col[j] = inverse(t.col[j])
		if math.Abs(v) >= lpLeast {
			t.gain[j] = v * t.col[j]
		}
		t.out[j] = j
	}
	t.unit = inverse(largest(t.gain))
	for i := range b {
		t.rhs[i] = b[i] * t.row[i]
		t.basic[i] = n + i
		line := cut(n, wide)
		for j, v := range a[i] {
			if math.Abs(v) >= lpLeast {
				line[j] = v * t.row[i] * t.col[j]
			}
		}
		t.cell[i] = line
	}
	for j := range t.gain {
		t.gain[j] *= t.unit
	}
	t.shut = make([]bool, n, wide)
	return t
}

// pivot exchanges basic[r] and out[s].
func (t *table) pivot(r, s int) {
	p := t.cell[r][s]
	line := t.cell[r]
	for j := range line {
		line[j] /= p
	}
	line[s] = 1 / p
	t.rhs[r] /= p
	for i, row := range t.cell {
		if f := row[s]; i != r && f != 0 {
			row[s] = 0
			lessen(row, line, f)
			t.rhs[i] = less(t.rhs[i], float64(f*t.rhs[r]))
		}
	}
	for _, g := range [...][]float64{t.gain, t.first} {
		if f := g[s]; f != 0 {
			g[s] = 0
			lessen(g, line, f)
		}
	}
	t.basic[r], t.out[s] = t.out[s], t.basic[r]
}

// lessen is less for a whole row: row - f line. It is written out, since calls are slow in
// WebAssembly and most of a programme is spent here.
func lessen(row, line []float64, f float64) {
	line = line[:len(row)]
	for j, a := range row {
		b := float64(f * line[j])
		d := a - b
		if math.Abs(d) <= lpNothing*math.Abs(a) {
			d = 0
		}
		row[j] = d
	}
}

// less is a - b, or exactly 0 when what is left is only rounding: limits that
// meet in one point must be seen to, or their order is decided by noise.
func less(a, b float64) float64 {
	d := a - b
	if math.Abs(d) <= lpNothing*math.Abs(a) {
		return 0
	}
	return d
}

// free reports whether a variable has no lower limit.
func (t *table) free(v int) bool { return v < t.n }

// freeIn makes the unknowns basic, where they stay: they have no limit to meet.
// Of the pivots within a tenth of the largest it takes the limit nearest at
// hand, since going by way of a far one would lose the digits of the near ones.
// Unknowns left over are limited by nothing that the others are not; they are
// shut out, at zero.
func (t *table) freeIn() {
	columns := make([]int, t.n) // those of unknowns that are not basic yet
	for j := range columns {
		columns[j] = j
	}
	for {
		most := lpPivot
		for i, row := range t.cell {
			if t.basic[i] < t.n {
				continue
			}
			for _, j := range columns {
				if v := math.Abs(row[j]); v > most {
					most = v
				}
			}
		}
		r, s, best, least := -1, -1, math.Inf(1), most/10
		for i, row := range t.cell {
			if t.basic[i] < t.n {
				continue
			}
			for k, j := range columns {
				if v := math.Abs(row[j]); v > lpPivot && v >= least {
					if d := math.Abs(t.rhs[i]) / v; d < best {
						r, s, best = i, k, d
					}
				}
			}
		}
		if r < 0 {
			return
		}
		t.pivot(r, columns[s])
		columns = append(columns[:s], columns[s+1:]...)
	}
}

// phaseOne finds a corner that meets every limit, or reports that none does.
// Every limit not yet met at a corner is loosened by one extra variable, which
// is then made as small as it will go.
func (t *table) phaseOne(b []float64) (bool, error) {
	r := -1
	for i, v := range t.rhs {
		if !t.free(t.basic[i]) && v < 0 && (r < 0 || v < t.rhs[r]) {
			r = i
		}
	}
	if r < 0 {
		return true, nil
	}
	extra := t.n + t.m
	s := len(t.out)
	for i := range t.cell {
		v := -1.0
		if t.free(t.basic[i]) {
			v = 0
		}
		t.cell[i] = append(t.cell[i], v)
	}
	t.out, t.shut = append(t.out, extra), append(t.shut, false)
	t.gain, t.first = append(t.gain, 0), append(t.first, -1)
	t.pivot(r, s)
	if _, err := t.climb(t.first); err != nil {
		return false, err
	}
	if i := slices.Index(t.basic, extra); i >= 0 {
		// The limits, weighted by their duals, add up to 0 <= sum. What counts
		// as below zero is measured against the very limits added up, so that
		// a far looser limit elsewhere cannot hide it.
		sum, size := 0.0, 0.0
		for k, y := range t.duals(t.first, false) {
			sum += float64(y * b[k])
			size += math.Abs(float64(y * b[k]))
		}
		if sum < -lpFeasible*size {
			return false, nil
		}
		// It is nothing, and basic: change it for the column where it counts
		// most. One is sure to count, or the extra could not have been entered.
		s := -1
		for j, v := range t.cell[i] {
			if !t.free(t.out[j]) && (s < 0 || math.Abs(v) > math.Abs(t.cell[i][s])) {
				s = j
			}
		}
		t.pivot(i, s)
	}
	t.shut[slices.Index(t.out, extra)] = true
	return true, nil
}

// climb takes steps while the objective row g gains. It reports false when
// nothing limits a gain.
func (t *table) climb(g []float64) (bounded bool, err error) {
	bland := 0
	for range 1000 + 100*(t.n+t.m) {
		s := t.entering(g, bland > 2*(t.n+t.m))
		if s < 0 {
			return true, nil
		}
		r, step := t.leaving(s, bland > 2*(t.n+t.m))
		if r < 0 {
			return false, nil
		}
		if step > 0 {
			bland = 0
		} else {
			bland++
		}
		t.pivot(r, s)
	}
	return false, ErrSettle
}

// entering chooses the column with most to gain, or under Bland's rule the one
// with the smallest variable number; -1 when there is no gain to be had.
func (t *table) entering(g []float64, bland bool) int {
	s := -1
	for j, v := range g {
		if t.shut[j] {
			continue
		}
		if t.free(t.out[j]) {
			v = math.Abs(v) // limited by nothing: either way is a gain for ever
		}
		if v <= lpGain {
			continue
		}
		switch {
		case s < 0:
			s = j
		case bland && t.out[j] < t.out[s]:
			s = j
		case !bland && v > math.Abs(g[s]):
			s = j
		}
	}
	return s
}

// leaving chooses the row that stops column s first; among rows that stop it
// together, the firmest pivot, or under Bland's rule the smallest number.
func (t *table) leaving(s int, bland bool) (r int, step float64) {
	if t.free(t.out[s]) {
		return -1, 0
	}
	stops := func(i int, v float64) float64 {
		if t.rhs[i] > 0 {
			return t.rhs[i] / v
		}
		return 0
	}
	step = math.Inf(1)
	for i := range t.cell {
		if v := t.cell[i][s]; v > lpPivot && !t.free(t.basic[i]) {
			if by := stops(i, v); by < step {
				step = by
			}
		}
	}
	r = -1
	for i := range t.cell {
		v := t.cell[i][s]
		if v <= lpPivot || t.free(t.basic[i]) || stops(i, v) > step*(1+lpNothing) {
			continue
		}
		switch {
		case r < 0:
			r = i
		case t.basic[i] == t.n+t.m: // the first phase's own leaves when it can
			r = i
		case t.basic[r] == t.n+t.m:
		case bland && t.basic[i] < t.basic[r]:
			r = i
		case !bland && v > t.cell[r][s]:
			r = i
		}
	}
	return r, step
}

// point reads x off the table, in the caller's units.
func (t *table) point() []float64 {
	x := make([]float64, t.n)
	for i, v := range t.basic {
		if t.free(v) {
			x[v] = t.rhs[i] * t.col[v]
		}
	}
	return x
}

// duals reads the limits' prices off an objective row, in the caller's units
// when real, else scaled so that the largest is one.
func (t *table) duals(g []float64, priced bool) []float64 {
	y := make([]float64, t.m)
	for j, v := range t.out {
		if v >= t.n && v < t.n+t.m {
			y[v-t.n] = max(0, -g[j]) * t.row[v-t.n]
			if priced {
				y[v-t.n] /= t.unit
			}
		}
	}
	if most := largest(y); !priced && most > 0 {
		for i := range y {
			y[i] /= most
		}
	}
	return y
}
