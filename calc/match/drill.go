package match

import (
	"math"

	"datumbook/calc/drill"
	"datumbook/calc/fits"
	"datumbook/calc/hole"
	"datumbook/calc/thread"
)

// Rules are the margins of new holes. Lengths are in inches; a negative margin takes the usual
// number of bolt diameters. Common practice, no published source.
type Rules struct {
	Edge    float64 // centre of a hole to the edge of the face: 1.5 bolts
	Between float64 // metal left to another hole or slot: 1 bolt
	Rib     float64 // edge of a hole to a rib or a place to keep clear: 1/2 bolt
	Work    hole.Work
	Chips   float64 // room under the tap, pitches; negative takes the metal's habit
	Centre  float64 // X of the part's centre line; not read where Guess
	Guess   bool    // the centre line is half way between the outermost places
}

// The usual margins in bolt diameters.
const (
	usualEdge    = 1.5
	usualBetween = 1.0
	usualRib     = 0.5
	teeBody      = 2.0 // width of a T-slot below, in throats: kept clear of
)

// Drilling is one plan of new holes.
type Drilling struct {
	Plate    int
	Pose     Pose
	New      []NewHole
	Old      []Seat  // bolts that use existing places
	Spare    float64 // least clearance beyond the margins
	Centred  bool    // the part's centre line lies on the face's
	Even     bool    // the bolts are symmetric about the part's centre line
	Distance float64 // of the part's middle from the face's
	score    score
}

// NewHole is one hole to drill. Lengths are in inches from the face's zero.
type NewHole struct {
	Spot  int
	X, Y  float64
	Drill string    // drill to take
	Dia   float64   // of that drill
	Bolt  Bolt      // thread to tap; a clearance hole where Clear
	Clear bool      // a clearance hole: the part holds the bolt
	Plan  hole.Plan // depths, for a tapped hole
	Open  bool      // it goes through
	Thin  bool      // thread is shorter than the metal usually wants
	Depth float64   // to the shoulder; 0 where the thickness is not known
	Tap   hole.Tap
	Near  float64 // least metal to the nearest thing kept clear of
	What  Hazard  // which that is
}

// Hazard is what a new hole is near.
type Hazard uint8

// The hazards.
const (
	NoHazard Hazard = iota
	EdgeNear
	HoleNear
	RibNear
	KeepNear
)

// Words gives the hazard in words.
func (h Hazard) Words() string {
	return [...]string{"nothing", "the edge", "a hole or slot", "a rib", "a place kept clear"}[h]
}

// planner searches one plan on one face.
type planner struct {
	rules  Rules
	spots  []Place
	points []vec // where each spot's bolt shall stand, in the part
	plate  *Plate
	rooms  [][]float64 // of each spot's bolt in each place, negative where it does not go
	fresh  bool
	at     []vec // the same at the turn looked at, on the face
	*chart
}

// maxPlans is how many faces Drill names.
const maxPlans = 20

// Drill says where to drill: for each of the best drillable faces the plan with the fewest new
// holes, at quarter turns, best first. Only if no existing hole of any face is usable are all holes
// new; then the part's middle is as near to the middle of the face as the margins allow. cut
// reports that the search was cut short.
func Drill(ask Ask, rules Rules, plates []Plate) (plans []Drilling, cut bool) {
	c := &chart{}
	for _, fresh := range []bool{false, true} {
		for i := range plates {
			var last *score // to be bettered
			if len(plans) == maxPlans {
				last = &plans[maxPlans-1].score
			}
			d, ok := drillFace(ask, rules, &plates[i], fresh, c, last)
			if !ok {
				continue
			}
			d.Plate = i
			if last == nil {
				plans = append(plans, d)
			} else if d.score.better(last) {
				plans[maxPlans-1] = d
			}
			for k := len(plans) - 1; k > 0 && plans[k].score.better(&plans[k-1].score); k-- {
				plans[k], plans[k-1] = plans[k-1], plans[k]
			}
		}
		if len(plans) > 0 {
			break
		}
	}
	return plans, c.evals > maxEvals
}

// drillFace returns the best plan of one face: with existing holes, or all new.
func drillFace(ask Ask, rules Rules, plate *Plate, fresh bool, c *chart, last *score) (top Drilling, found bool) {
	if plate.Width <= 0 || plate.Height <= 0 {
		return top, false
	}
	s := searcher{ask: ask}
	s.spots = append(s.spots, ask.Spots...)
	p := planner{rules: rules, spots: s.spots, plate: plate, fresh: fresh, chart: c}
	if !p.join() || !p.holes() {
		return top, false
	}
	p.draw()
	p.top, p.found, p.most, p.near = score{}, false, len(p.spots), math.Inf(1)
	if last != nil {
		p.most = min(p.most, last.fresh)
		thin := 0
		for i := range p.made {
			if p.made[i].Thin {
				thin++
			}
		}
		if thin >= last.thin { // with new holes only, it must lie nearer to the middle
			p.near = last.distance + .01
		}
	}
	for _, flip := range []bool{false, true} {
		if flip && !ask.Flip {
			break
		}
		if flip {
			s.over()
		}
		even := p.stand(flip)
		before := p.top
		for q := range 4 {
			p.turn(q, flip)
		}
		if p.found && p.top != before {
			top = Drilling{Even: even}
			p.plan(p.top.pose, p.turned(p.top.pose.Cos, p.top.pose.Sin), &top)
		}
	}
	return top, p.found
}

// join computes each bolt's play in each place; false if no existing place is usable and one was
// required.
func (p *planner) join() bool {
	some := p.fresh
	for k := range p.spots {
		row := make([]float64, len(p.plate.Places))
		for j := range row {
			r, ok := joint(&p.spots[k], &p.plate.Places[j])
			if !ok {
				r = -1
			}
			row[j] = r
			some = some || ok
		}
		p.rooms = append(p.rooms, row)
	}
	return some
}

const (
	maxEvals = 400000 // positions tried before the search gives up
	fine     = 1.0 / 64
)

// holes plans the hole each spot needs in this plate; false if the plate is too thin for one of
// them.
func (p *planner) holes() bool {
	p.made = p.made[:0]
	for i := range p.spots {
		sp := &p.spots[i]
		k := 0 // plates of equal thickness share a plan
		for k < len(p.known) && (p.known[k].thick != p.plate.Thick || p.known[k].hole.Bolt != sp.Bolt || p.known[k].hole.Clear != (sp.Kind == Tapped)) {
			k++
		}
		if k == len(p.known) {
			n := bored{thick: p.plate.Thick}
			h := &n.hole
			h.Bolt = sp.Bolt
			if n.ok = true; sp.Kind == Tapped {
				h.Clear, h.Open, h.Depth = true, true, p.plate.Thick
				h.Dia, h.Drill = h.Bolt.Dia*17/16, ""
				if s, f := fits.FindScrew(h.Bolt.Name); f == nil {
					c := fits.Clearance(s, fits.Normal)
					h.Dia, h.Drill = c.Dia, c.Drill
				}
			} else {
				n.ok = p.tapped(h)
			}
			p.known = append(p.known, n)
		}
		if !p.known[k].ok {
			return false
		}
		h := p.known[k].hole
		h.Spot = i
		p.made = append(p.made, h)
	}
	return true
}

// tapped plans a tapped hole: deep enough for the bolt to break first where
// the plate allows, with a plug tap, else a bottoming one, else through.
func (p *planner) tapped(h *NewHole) bool {
	t, err := thread.Parse(h.Bolt.Name)
	if err != nil {
		return false
	}
	in := hole.Input{Thread: t, Depth: h.Bolt.Dia, To: hole.ToThread, Tap: hole.Plug, Work: p.rules.Work, Point: 118, Chips: p.rules.Chips, Csk: -1, CskDeg: 90, Run: 1.0 / 16, Stock: p.plate.Thick}
	for _, s := range drill.Sets {
		if (s == drill.Metric) == (t.System == thread.ISO) {
			in.Sets = append(in.Sets, s)
		}
	}
	probe, f := hole.Make(in)
	if f != nil {
		return false
	}
	in.Depth = probe.Strong + (probe.Full - probe.Usable) // the countersink's part
	for _, tap := range [...]hole.Tap{hole.Plug, hole.Bottoming} {
		in.Tap = tap
		plan, f := hole.Make(in)
		if f == nil && plan.Fits && !plan.ThinFloor {
			h.take(plan, tap, plan.Shoulder)
			return true
		}
	}
	if p.plate.Thick < h.Bolt.Dia { // less than a bolt diameter of thread is useless
		return false
	}
	in.Tap, in.Through, in.Depth, in.Stock = hole.Plug, true, p.plate.Thick, 0
	plan, f := hole.Make(in)
	if f != nil {
		return false
	}
	h.take(plan, hole.Plug, p.plate.Thick)
	h.Open = true
	return true
}

func (h *NewHole) take(plan hole.Plan, tap hole.Tap, depth float64) {
	h.Plan, h.Tap, h.Depth, h.Thin = plan, tap, depth, plan.Weak
	h.Drill, h.Dia = plan.Pick.Name, plan.Pick.Dia
}

// stand places the bolts in the part's places: in the middle of holes, and in slots nearest to
// another place's mirror image about the centre line. even reports symmetry.
func (p *planner) stand(flip bool) (even bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	p.points = p.points[:0]
	for i := range p.spots {
		v := vec{p.spots[i].X, p.spots[i].Y}
		p.points = append(p.points, v)
		lo, hi = min(lo, v.x), max(hi, v.x)
	}
	c := (lo + hi) / 2
	if !p.rules.Guess {
		c = p.rules.Centre
		if flip {
			c = -c
		}
	}
	mirror := func(v vec) vec { return vec{2*c - v.x, v.y} }
	for i := range p.spots {
		h := along(p.spots[i], p.spots[i].Bolt.Dia)
		if p.spots[i].Kind != Slot || h.size() < tiny {
			continue
		}
		// The nearest point of this slot to the mirror image of another place.
		best, at := math.Inf(1), p.points[i]
		for k := range p.spots {
			if k == i && math.Abs(p.points[i].x-c) > .01 {
				continue
			}
			m := mirror(p.points[k])
			if d, out := apart(m.sub(vec{p.spots[i].X, p.spots[i].Y}), h, vec{}); d < best-tiny {
				best, at = d, m.sub(out.times(d))
			}
		}
		p.points[i] = at
	}
	even = true
	for i := range p.points {
		some := false
		for k := range p.points {
			d := mirror(p.points[i]).sub(p.points[k])
			some = some || d.size() < .01
		}
		even = even && some
	}
	return even
}
