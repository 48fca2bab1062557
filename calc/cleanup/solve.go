package cleanup

import (
	"math"

	"datumbook/calc/fitting"
)

// Reason is why a question has no answer.
type Reason uint8

// The reasons.
const (
	Fine    Reason = iota
	Bare           // a feature has no touch, At names it
	Loose          // the touches do not locate the part in a free motion, At names it
	Nothing        // there is no machined feature or no free motion
)

const (
	penalty = 1e4  // weight of a missing wall against stock
	loose   = 1e-6 // what the second stage may lose of the first, in the unit of lengths
	settled = 1e-9 // gain at which the search stops, in the unit of lengths
	rounds  = 60   // most programmes, for each stage
	nudge   = .005 // rad
)

// Solve finds the move with the most least-stock: linear programmes in a small further shift and
// turn, each about the exact pose of the last, until there is no gain (sequential linear
// programming with a trust region). Walls come first. The second stage, keeping that, minimises the
// most stock. at is the feature or motion of a fault.
func Solve(a Ask) (r Result, fault Reason, at int) {
	machined, ways := 0, 0
	for i := range a.Features {
		n := 0
		for j := range a.Touches {
			if a.Touches[j].Feature == i {
				n++
			}
		}
		if n == 0 {
			return r, Bare, i
		}
		if !a.Features[i].keep() {
			machined++
		}
	}
	for _, f := range a.Free {
		if f {
			ways++
		}
	}
	if machined == 0 || ways == 0 {
		return r, Nothing, 0
	}
	s := solver{ask: &a, reach: a.reach()}
	if k, ok := s.held(); !ok {
		return r, Loose, k
	}
	m := still(a.Pivot)
	r.Stocks = make([]Stock, len(a.Touches))
	s.look(&m, r.Stocks)
	for j := range r.Stocks {
		r.Stocks[j].Laid = r.Stocks[j].Best
	}
	r.Laid = s.least(r.Stocks)
	m = s.climb(m, math.Inf(-1), rounds)
	duals, slopes, limit := s.duals, s.slopes, s.limit
	s.look(&m, r.Stocks)
	// A linear programme misses second-order gains of a turn: restart from a small turn each way,
	// unless every small move loses to first order.
	for k := range 6 {
		if !a.Free[3+k/2] || s.strict(ways) {
			continue
		}
		by := [2]float64{-nudge, nudge}[k%2]
		n := m
		n.Angle[k/2] = max(-a.MaxTurn, min(a.MaxTurn, n.Angle[k/2]+by))
		n.Turn = rotation(n.Angle)
		n = s.climb(n, math.Inf(-1), rounds/4)
		st := s.st
		if s.look(&n, st); s.merit(st, math.Inf(-1)) > s.merit(r.Stocks, math.Inf(-1))+loose {
			m, duals, slopes, limit = n, s.duals, s.slopes, s.limit
			s.look(&m, r.Stocks)
		}
	}
	s.was = s.walls(r.Stocks)
	m = s.climb(m, s.least(r.Stocks), rounds)
	r.Move, r.Rounds, r.Limit = m, s.rounds, limit
	s.look(&m, r.Stocks)
	r.Least, r.Walls, r.Most = s.least(r.Stocks), s.walls(r.Stocks), math.Inf(-1)
	sum := 0.0
	for j := range r.Stocks {
		if f := &a.Features[a.Touches[j].Feature]; !f.keep() {
			r.Most = max(r.Most, r.Stocks[j].Best)
		}
		sum += duals[j]
	}
	for j := range r.Stocks {
		r.Stocks[j].Share = duals[j] / max(sum, 1e-300)
		if duals[j] > 0 { // the slope of the share
			for k := range r.Stocks[j].grad {
				r.Stocks[j].grad[k] = slopes[j][k] / duals[j]
			}
		}
	}
	r.Cleans = r.Least >= -1e-7 && r.Walls >= -1e-7
	r.Proved = !limit && r.balanced(a.Free)
	return r, Fine, 0
}

// balanced reports whether the slopes weighted by the shares add up to zero in every free motion,
// and the spares to the answer: then a small move gains at one touch what it loses at another, and
// all touches with a share are limiting. With a touch almost on a bore's axis the slope has no
// unique direction and the sum may not vanish, though the search has converged.
func (r *Result) balanced(free [6]bool) bool {
	var sum [6]float64
	for j := range r.Stocks {
		for k := range sum {
			sum[k] += float64(r.Stocks[j].Share * r.Stocks[j].grad[k])
		}
	}
	for k := range sum {
		if free[k] && math.Abs(sum[k]) > 5e-3 {
			return false
		}
	}
	spare := 0.0
	for j := range r.Stocks {
		spare += float64(r.Stocks[j].Share * r.Stocks[j].Spare)
	}
	return math.Abs(spare-r.Least) <= 1e-5
}

// strict reports whether at the end of the first stage every small move loses at some touch: one
// more touches than free motions are limiting, each with a significant share.
func (s *solver) strict(ways int) bool {
	hold, sum := 0, 0.0
	for _, d := range s.duals {
		sum += d
	}
	for _, d := range s.duals {
		if d > float64(1e-3*sum) {
			hold++
		}
	}
	return hold > ways && !s.limit
}

// solver is one search.
type solver struct {
	ask    *Ask
	reach  float64      // of the touches from the pivot: turns are scaled by it
	duals  []float64    // of each touch in the last programme of the first stage
	slopes [][6]float64 // the slopes those duals stand for, summed up by touch
	limit  bool
	was    float64 // least spare of the walls after the first stage
	rounds int
	cuts   []cut
	rows   [][]float64 // of the programme, kept for the next, as all below
	cells  []float64   // backing array of rows
	rhs    []float64
	owner  []int   // the touch of each row
	st     []Stock // of the last climb's two moves
	next   []Stock
}

// cut is the direction of a bore's touch at a tried move. A radius is never less than its
// projection on any direction, so each cut bounds the stock, and together they converge to it.
type cut struct {
	touch int
	n     [3]float64
}

const maxCuts = 100 // the newest are kept

// remember keeps the directions of touches with less stock than the programme predicted.
func (s *solver) remember(st []Stock, promised float64) {
	for j := range st {
		if st[j].Spare < promised && s.ask.Features[s.ask.Touches[j].Feature].Kind == Bore {
			s.cuts = append(s.cuts, cut{j, st[j].n})
		}
	}
	s.cuts = s.cuts[max(0, len(s.cuts)-maxCuts):]
}

// at is a move as six lengths.
func (s *solver) at(m *Move) (x [6]float64) {
	for k := range 3 {
		x[k], x[3+k] = m.Shift[k], float64(m.Angle[k]*s.reach)
	}
	return x
}

// reach is the largest distance of the touches from the pivot.
func (a *Ask) reach() float64 {
	most := 0.0
	for i := range a.Touches {
		d := sub(a.Touches[i].P, a.Pivot)
		most = max(most, dot(d, d))
	}
	return max(math.Sqrt(most), 1e-6)
}

// look evaluates every touch at a move; the gradient is in shift and in the turn vector times
// reach.
func (s *solver) look(m *Move, out []Stock) {
	cols := turnCols(m)
	for j := range s.ask.Touches {
		t := &s.ask.Touches[j]
		stock, g, n := s.ask.measure(m, t)
		out[j].Best, out[j].Spare, out[j].n = stock, stock-s.ask.Features[t.Feature].Need, n
		out[j].grad = s.inTurn(g, &cols)
	}
}

// turnCols returns how a small change e of the turn vector v turns the part: by e + v x e/2 + v x
// (v x e)/6.
func turnCols(m *Move) (cols [3][3]float64) {
	for k := range 3 {
		var e [3]float64
		e[k] = 1
		x := cross(m.Angle, e)
		xx := cross(m.Angle, x)
		for i := range 3 {
			cols[k][i] = e[i] + float64(x[i]/2) + float64(xx[i]/6)
		}
	}
	return cols
}

// inTurn converts a slope by a small turn into one by the turn vector times reach.
func (s *solver) inTurn(g [6]float64, cols *[3][3]float64) [6]float64 {
	w := [3]float64{g[3], g[4], g[5]}
	for k := range 3 {
		g[3+k] = dot(w, cols[k]) / s.reach
	}
	return g
}

// least is the least spare of the machined touches.
func (s *solver) least(st []Stock) float64 { return s.lowest(st, false) }

// walls is the least spare of the walls.
func (s *solver) walls(st []Stock) float64 { return s.lowest(st, true) }

func (s *solver) lowest(st []Stock, keep bool) float64 {
	low := math.Inf(1)
	for j := range st {
		if s.ask.Features[s.ask.Touches[j].Feature].keep() == keep {
			low = min(low, st[j].Spare)
		}
	}
	return low
}

// merit is what the search maximises: in the first stage the least spare, in the second (floor
// given) the negative of the most spare; missing walls cost much, and the first stage's gain must
// be kept.
func (s *solver) merit(st []Stock, floor float64) float64 {
	lack := max(0, -s.walls(st))
	if math.IsInf(floor, -1) {
		return s.least(st) - float64(penalty*lack)
	}
	most := math.Inf(-1)
	for j := range st {
		if !s.ask.Features[s.ask.Touches[j].Feature].keep() {
			most = max(most, st[j].Spare)
		}
	}
	if lack > max(0, -s.was)+loose || s.least(st) < floor-loose {
		return math.Inf(-1)
	}
	return -most
}

// climb iterates programmes from a move.
func (s *solver) climb(m Move, floor float64, rounds int) Move {
	if s.st == nil {
		s.st, s.next = make([]Stock, len(s.ask.Touches)), make([]Stock, len(s.ask.Touches))
	}
	st, next := s.st, s.next
	s.look(&m, st)
	now := s.merit(st, floor)
	trust, lost := max(s.ask.MaxShift, float64(s.ask.MaxTurn*s.reach)), 0
	for range rounds {
		s.rounds++
		step, value, ok := s.programme(&m, st, floor, trust)
		if !ok || value-now < settled {
			break
		}
		to := s.moved(m, step)
		s.look(&to, next)
		promised := floor
		if math.IsInf(floor, -1) {
			promised = value
		}
		s.remember(next, promised)
		got := s.merit(next, floor)
		gain := (got - now) / (value - now)
		if got > now {
			m, st, next = to, next, st
		}
		if lost++; gain > .1 {
			lost = 0
		}
		switch {
		case gain > .75:
			trust *= 2
		case lost > 2: // not for lack of tangents: the turn is too nonlinear
			trust, lost = float64(.5*min(trust, widest(step))), 0
		}
		now = max(now, got)
		if trust < settled/100 {
			break
		}
	}
	return m
}

func widest(step [6]float64) float64 {
	w := 0.0
	for _, v := range step {
		w = max(w, math.Abs(v))
	}
	return w
}

// moved adds a step to a move.
func (s *solver) moved(m Move, step [6]float64) Move {
	for k := range 3 {
		m.Shift[k] += step[k]
		m.Angle[k] += step[3+k] / s.reach
	}
	m.Turn = rotation(m.Angle)
	return m
}

// programme solves for one step. Its unknowns are the free motions, then t, the least spare (or the
// most, in the second stage), then what is lacking.
func (s *solver) programme(m *Move, st []Stock, floor, trust float64) (step [6]float64, value float64, ok bool) {
	way := make([]int, 0, 6)
	for k, f := range s.ask.Free {
		if f {
			way = append(way, k)
		}
	}
	n := len(way)
	even := !math.IsInf(floor, -1)
	most := 2*len(st) + len(s.cuts) + 1 + 2*n
	if len(s.cells) < most*(n+2) {
		s.cells, s.rows = make([]float64, 2*most*(n+2)), make([][]float64, 0, 2*most)
	}
	rows, cells := s.rows[:0], s.cells
	rhs, owner := s.rhs[:0], s.owner[:0]
	row := func(g *[6]float64, sign, t, lack, most float64) {
		line := cells[: n+2 : n+2]
		cells = cells[n+2:]
		for i, k := range way {
			line[i] = sign * g[k]
		}
		line[n], line[n+1] = t, lack
		rows, rhs = append(rows, line), append(rhs, most)
	}
	for j := range st {
		g := &st[j].grad
		switch keep := s.ask.Features[s.ask.Touches[j].Feature].keep(); {
		case keep && even: // wall + g.d >= what it was, at most nothing
			row(g, -1, 0, 0, st[j].Spare-min(0, s.was))
		case keep: // wall + g.d >= -lack
			row(g, -1, 0, -1, st[j].Spare)
		case even: // spare + g.d >= floor
			row(g, -1, 0, 0, st[j].Spare-floor)
		default: // spare + g.d >= t
			row(g, -1, 1, 0, st[j].Spare)
		}
		owner = append(owner, j)
	}
	x := s.at(m)
	cols := turnCols(m)
	for i := range s.cuts {
		j := s.cuts[i].touch
		t := &s.ask.Touches[j]
		f := &s.ask.Features[t.Feature]
		g := s.inTurn(m.slope(t, s.cuts[i].n), &cols)
		spare := f.Radius + dot(s.cuts[i].n, sub(m.Back(t.P), f.At)) - f.Need
		if even {
			row(&g, -1, 0, 0, spare-floor)
		} else {
			row(&g, -1, 1, 0, spare)
		}
		owner = append(owner, j)
	}
	if even { // spare + g.d <= -t
		for j := range st {
			if !s.ask.Features[s.ask.Touches[j].Feature].keep() {
				row(&st[j].grad, 1, 1, 0, -st[j].Spare)
			}
		}
	}
	s.owner = owner
	var none [6]float64
	row(&none, 1, 0, -1, 0)
	limits := len(rows)
	for _, k := range way {
		most := s.ask.MaxShift
		if k > 2 {
			most = float64(s.ask.MaxTurn * s.reach)
		}
		var e [6]float64
		e[k] = 1
		row(&e, 1, 0, 0, min(trust, most-x[k]))
		row(&e, -1, 0, 0, min(trust, most+x[k]))
	}
	s.rhs = rhs
	var gains [8]float64
	c := gains[:n+2]
	c[n], c[n+1] = 1, -penalty
	o, err := fitting.Maximise(c, rows, rhs)
	if err != nil || o.Status != fitting.Optimal {
		return step, 0, false
	}
	for i, k := range way {
		step[k] = o.X[i]
	}
	if !even {
		s.duals, s.limit = make([]float64, len(st)), false
		s.slopes = make([][6]float64, len(st))
		for i, j := range owner {
			s.duals[j] += o.Duals[i]
			for l, k := range way { // a bore's touch may be limited by several tangents at once
				s.slopes[j][k] -= float64(o.Duals[i] * rows[i][l])
			}
		}
		for i := limits; i < len(rows); i++ {
			// The dual of a row other than the trust region's.
			s.limit = s.limit || o.Duals[i] > 1e-9 && rhs[i] < trust
		}
	}
	return step, o.Value, true
}

// held reports whether the touches locate the part in every free motion: the rank of their
// gradients, by elimination with pivoting on the normal matrix. k is a motion left free.
func (s *solver) held() (k int, ok bool) {
	m := still(s.ask.Pivot)
	st := make([]Stock, len(s.ask.Touches))
	s.look(&m, st)
	var a [6][6]float64
	for j := range st {
		for i := range 6 {
			for l := range 6 {
				if s.ask.Free[i] && s.ask.Free[l] {
					a[i][l] += float64(st[j].grad[i] * st[j].grad[l])
				}
			}
		}
	}
	done, first := [6]bool{}, 0.0
	for {
		p := -1
		for i := range 6 {
			if s.ask.Free[i] && !done[i] && (p < 0 || a[i][i] > a[p][p]) {
				p = i
			}
		}
		if p < 0 {
			return 0, true
		}
		first = max(first, a[p][p])
		if a[p][p] <= 1e-6*first || first == 0 {
			return p, false
		}
		done[p] = true
		for i := range 6 {
			if done[i] {
				continue
			}
			f := a[i][p] / a[p][p]
			for l := range 6 {
				a[i][l] -= float64(f * a[p][l])
			}
		}
	}
}
