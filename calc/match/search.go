package match

import "math"

// Find searches every placement on every face. It is exact: a branch is pruned only if the
// distances of two bolts, or the turn they force on the part, leave a third no place; nothing is
// sampled. The rest is fitted for the most room at the tightest bolt.
func Find(ask Ask, plates []Plate) Found {
	var out Found
	each := ask.Each
	if each == 0 {
		each = 3
	}
	s := searcher{ask: ask}
	for i := range plates {
		s.start(i, &plates[i])
		for _, flip := range []bool{false, true} {
			if flip && !ask.Flip {
				break
			}
			s.flip = flip
			s.face()
		}
		if len(s.found) == 0 {
			continue
		}
		out.Total += len(s.found)
		kept := s.rank(each)
		out.Counts = append(out.Counts, Count{i, len(s.found), kept[0].Room})
		out.Ways = append(out.Ways, kept...)
	}
	out.Stopped = s.nodes > maxNodes || out.Total >= maxFound
	sortWays(out.Ways)
	return out
}

// searcher is the search of one face at a time.
type searcher struct {
	ask    Ask
	flip   bool
	at     int
	plate  *Plate
	spots  []Place // turned over where flip
	half   []vec   // half slot of each spot
	fits   [MaxSpots][]fitting
	stiff  [MaxSpots]int     // the first so many fittings are no slots, from left to right
	wides  [MaxSpots]float64 // the most room among them
	order  []int             // of the spots: the farthest two first
	to     [MaxSpots]int16
	rooms  [MaxSpots]float64
	slots  [MaxSpots]vec
	reach  [MaxSpots]float64 // of both slots of a spot and its place
	lens   []float64         // of half
	cos    float64
	sin    float64
	wide   float64 // half of the turn still open, rad
	across []int   // the face's places: no slots first, from left to right
	first  int     // ways found before this pair of places
	found  []Way
	total  int
	nodes  float64
	lo, hi float64 // the piece of turns gone on with, rad
	seats  []seat
	turned []seat
	fitter fitter
}

// fitting is a place of the face that takes a spot's bolt.
type fitting struct {
	place int
	room  float64
	half  vec
	len   float64 // of half
	at    vec
	many  bool // takes several bolts
}

func (s *searcher) start(i int, p *Plate) {
	s.total += len(s.found)
	s.at, s.plate, s.found = i, p, nil
	s.across = s.across[:0]
	for j := range p.Places {
		s.across = append(s.across, j)
	}
	slot := func(k int) bool { q := p.Places[k].Kind; return q == Slot || q == Tee }
	arrange(len(s.across), func(i, j int) bool {
		a, b := s.across[i], s.across[j]
		if x := slot(a); x != slot(b) {
			return !x
		}
		return p.Places[a].X < p.Places[b].X
	}, func(i, j int) { s.across[i], s.across[j] = s.across[j], s.across[i] })
}

// face searches the face with the part as it lies.
func (s *searcher) face() {
	s.spots = append(s.spots[:0], s.ask.Spots...)
	if s.flip {
		s.over()
	}
	s.half, s.lens, s.seats = s.half[:0], s.lens[:0], s.seats[:0]
	for i := range s.spots {
		p := &s.spots[i]
		h := along(*p, p.Bolt.Dia)
		s.half, s.lens = append(s.half, h), append(s.lens, h.size())
		s.seats = append(s.seats, seat{b: vec{p.X, p.Y}, p: h})
		s.fits[i] = s.fits[i][:0]
		s.stiff[i], s.wides[i] = 0, 0
		for _, j := range s.across {
			to := &s.plate.Places[j]
			if r, ok := joint(p, to); ok {
				f := fitting{place: j, room: r, at: vec{to.X, to.Y}, many: to.Kind == Slot || to.Kind == Tee}
				if f.many {
					f.half = along(*to, p.Bolt.Dia)
					f.len = f.half.size()
				} else {
					s.stiff[i]++
					s.wides[i] = max(s.wides[i], r)
				}
				s.fits[i] = append(s.fits[i], f)
			}
		}
		if len(s.fits[i]) == 0 {
			return
		}
	}
	s.setOrder()
	a := s.order[0]
	gap, slack := 0.0, 0.0
	if len(s.order) > 1 {
		gap, slack = s.part(a, s.order[1]).size(), s.lens[a]+s.lens[s.order[1]]+tiny
	}
	for k := range s.fits[a] {
		f := &s.fits[a][k]
		s.set(a, f)
		if len(s.order) == 1 {
			s.lo, s.hi = 0, 0
			s.first = len(s.found)
			s.done()
			continue
		}
		for l := range s.fits[s.order[1]] {
			g := &s.fits[s.order[1]][l]
			// The distance of the two spots against that of the two places. Inlined by hand, since
			// calls are slow in WebAssembly.
			dx, dy, most := g.at.x-f.at.x, g.at.y-f.at.y, f.room+g.room+f.len+g.len+slack
			dd := float64(dx*dx) + float64(dy*dy)
			if dd > (gap+most)*(gap+most) || gap > most && dd < (gap-most)*(gap-most) || s.taken(1, g) {
				continue
			}
			if s.nodes++; s.nodes > maxNodes || s.total+len(s.found) >= maxFound {
				return
			}
			s.set(s.order[1], g)
			s.first = len(s.found)
			s.turns()
		}
	}
}

func (s *searcher) set(spot int, f *fitting) {
	s.to[spot], s.rooms[spot], s.slots[spot] = int16(f.place), f.room, f.half
	s.reach[spot] = f.len + s.lens[spot]
	c := &s.seats[spot]
	c.a, c.s, c.r = f.at, f.half, f.room
}

// taken reports whether one of the first n spots has the place; slots take several bolts.
func (s *searcher) taken(n int, f *fitting) bool {
	if f.many {
		return false
	}
	for _, i := range s.order[:n] {
		if int(s.to[i]) == f.place {
			return true
		}
	}
	return false
}

// setOrder puts the two spots farthest apart first, since they limit the turn most, then the rest
// by fewest places.
func (s *searcher) setOrder() {
	n := len(s.spots)
	s.order = s.order[:0]
	for i := range n {
		s.order = append(s.order, i)
	}
	best, a, b := -1.0, 0, 0
	for i := range n {
		for j := range i {
			// A slot leaves the turn open, so holes go first if there are any.
			d := s.part(i, j).size() - float64(4*(s.half[i].size()+s.half[j].size()))
			if a == b || d > best {
				best, a, b = d, j, i
			}
		}
	}
	rank := func(k int) int {
		switch {
		case k == a && n > 1:
			return -2
		case k == b && n > 1:
			return -1
		}
		return len(s.fits[k])
	}
	arrange(n, func(i, j int) bool { return rank(s.order[i]) < rank(s.order[j]) }, func(i, j int) { s.order[i], s.order[j] = s.order[j], s.order[i] })
}

// arrange is a stable sort by insertion. The lists are short or nearly sorted, and each type would
// add a copy of the library's sort.
func arrange(n int, before func(i, j int) bool, swap func(i, j int)) {
	for i := 1; i < n; i++ {
		for j := i; j > 0 && before(j, j-1); j-- {
			swap(j, j-1)
		}
	}
}

// part is the way from spot i to spot j.
func (s *searcher) part(i, j int) vec {
	return vec{s.spots[j].X - s.spots[i].X, s.spots[j].Y - s.spots[i].Y}
}

// far is the way between the places spots i and j go to.
func (s *searcher) far(i, j int) vec { return s.seats[j].a.sub(s.seats[i].a) }

// turns finds the turns at which the first two spots come to their places and
// goes on with each range of them.
func (s *searcher) turns() {
	a, b := s.order[0], s.order[1]
	part, far := s.part(a, b), s.far(a, b)
	lp, lf := part.size(), far.size()
	slots := s.reach[a] + s.reach[b]
	all := s.rooms[a] + s.rooms[b] + slots
	// The turn that maps one to the other; a disc of radius all seen from the far end spans
	// asin(all/distance) to each side.
	whole := min(lp, lf) <= float64(all*1.01)+tiny
	from, to := -math.Pi, math.Pi
	slack := min(s.ask.Slack, math.Pi/4)
	if !whole {
		w := math.Asin(all/min(lp, lf)) + 1e-9
		if c, sn := part.dot(far), part.cross(far); s.ask.Free || slack+w > .7 || min(math.Abs(c), math.Abs(sn)) <= float64(lp*lf)*(math.Sin(slack+w)+tiny) {
			mid := math.Atan2(sn, c)
			from, to = mid-w, mid+w
		} else {
			return
		}
	}
	if s.ask.Free {
		s.within(from, to, whole || slots >= tiny)
		return
	}
	for q := -4; q <= 4; q++ {
		mid := float64(float64(q) * (math.Pi / 2))
		lo, hi := mid-slack, mid+slack
		if !whole {
			lo, hi = max(from, lo), min(to, hi)
		} else if q < -2 || q > 1 {
			continue
		}
		if lo <= hi {
			s.within(lo, hi, whole || slots >= tiny)
		}
	}
}

// within continues with a range of turns; wide ones are filtered first.
func (s *searcher) within(from, to float64, wide bool) {
	run := span{from, to, !wide}
	if wide {
		s.split(from, to, s.order[0], s.order[1], &run)
	}
	s.flush(&run)
}

// span is a range of turns being collected.
type span struct {
	from, to float64
	any      bool
}

// split halves a range of turns until it is narrow, and collects what may fit.
func (s *searcher) split(from, to float64, a, b int, run *span) {
	s.nodes++
	s.sin, s.cos = math.Sincos((from + to) / 2)
	s.wide = (to - from) / 2
	if s.nodes > maxNodes || !s.agrees(a, b) {
		return
	}
	reach := s.part(a, b).size()
	if s.wide > 1e-3 && s.wide*reach > max(2*(s.rooms[a]+s.rooms[b]), .01) {
		mid := (from + to) / 2
		s.split(from, mid, a, b, run)
		s.split(mid, to, a, b, run)
		return
	}
	if run.any && from-run.to < 1e-9 {
		run.to = to
		return
	}
	s.flush(run)
	*run = span{from, to, true}
}

// flush continues with a collected range, in pieces narrow enough to prune.
func (s *searcher) flush(run *span) {
	if !run.any {
		return
	}
	run.any = false
	s.first = len(s.found)
	n := max(1, math.Ceil((run.to-run.from)/.1))
	w := (run.to - run.from) / n
	for k := range int(n) {
		s.lo, s.hi = run.from+float64(w*float64(k)), run.from+float64(w*float64(k+1))
		if k+1 == int(n) {
			s.hi = run.to
		}
		mid := float64((s.lo + s.hi) / 2)
		s.sin, s.cos = math.Sincos(mid)
		s.wide = float64((s.hi-s.lo)/2) + 1e-9
		s.extend(2)
	}
}

func quarter(q int) (c, s float64) {
	return [4]float64{1, 0, -1, 0}[q], [4]float64{0, 1, 0, -1}[q]
}

// agrees says whether spots i and j can both be in their places at some turn
// within the open range: the way between them, turned, must come within both
// rooms of the way between their places, slots helping along their length.
func (s *searcher) agrees(i, j int) bool {
	part := s.part(i, j)
	v := part.turned(s.cos, s.sin).sub(s.far(i, j))
	play := s.rooms[i] + s.rooms[j] + tiny
	if s.wide > 0 {
		play += float64(s.wide * (part.size() + s.lens[i] + s.lens[j]))
	}
	d, all := v.dot(v), play+s.reach[i]+s.reach[j]
	switch {
	case d <= float64(play*play):
		return true
	case d > float64(all*all):
		return false
	}
	// Across each slot the others and the play must reach: |w x v| is the
	// distance times the slot's own length.
	ways := [4]vec{s.slots[i], s.slots[j], s.half[i].turned(s.cos, s.sin), s.half[j].turned(s.cos, s.sin)}
	lens := [4]float64{s.reach[i] - s.lens[i], s.reach[j] - s.lens[j], s.lens[i], s.lens[j]}
	for k := range ways {
		l := lens[k]
		if l < tiny {
			continue
		}
		w, most := &ways[k], float64(play*l)
		for m := range ways {
			if lens[m] >= tiny && m != k {
				most += math.Abs(float64(w.x*ways[m].y) - float64(w.y*ways[m].x))
			}
		}
		if math.Abs(float64(w.x*v.y)-float64(w.y*v.x)) > most {
			return false
		}
	}
	return true
}

// extend gives places to the spots from the nth on.
func (s *searcher) extend(n int) {
	if n == len(s.order) {
		s.done()
		return
	}
	cos, sin, wide := s.cos, s.sin, s.wide
	i, o := s.order[n], s.order[0]
	// Where the first spot puts this one, and its largest error: a quick test before the full one.
	part := s.part(o, i)
	v := part.turned(cos, sin)
	v.x, v.y = v.x+s.seats[o].a.x, v.y+s.seats[o].a.y
	out := s.rooms[o] + s.reach[o] + s.lens[i] + tiny
	if wide > 0 {
		out += float64(wide * (part.size() + s.lens[o] + s.lens[i]))
	}
	list, stiff := s.fits[i], s.stiff[i]
	lo, hi := 0, stiff // the first stiff place that is not too far left
	for lo < hi {
		if mid := (lo + hi) / 2; list[mid].at.x < v.x-out-s.wides[i] {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	for l := lo; l < len(list); l++ {
		f := &list[l]
		most := out + f.room + f.len
		if l < stiff && f.at.x-v.x > out+s.wides[i] {
			l = stiff - 1 // the rest of them are too far right
			continue
		}
		if f.at.x-v.x > most || v.x-f.at.x > most || f.at.y-v.y > most || v.y-f.at.y > most || s.taken(n, f) {
			continue
		}
		if s.nodes++; s.nodes > maxNodes || s.total+len(s.found) >= maxFound {
			return
		}
		s.set(i, f)
		ok := true
		for _, k := range s.order[:n] {
			if !s.agrees(k, i) {
				ok = false
				break
			}
		}
		if ok {
			s.extend(n + 1)
		}
	}
}

// done keeps a complete assignment in which all bolts fit.
func (s *searcher) done() {
	w := Way{Plate: s.at, To: s.to, lo: s.lo, hi: s.hi, most: math.Inf(1)}
	slots := 0.0
	for i := range s.seats {
		w.most = min(w.most, s.rooms[i])
		slots += s.reach[i]
	}
	// A test with the first bolt in the middle of its place saves most fits.
	start := begin(s.lo, s.hi)
	p := Pose{Cos: start.c, Sin: start.s, Flip: s.flip}
	a := &s.seats[s.order[0]]
	p.X = a.a.x - (float64(p.Cos*a.b.x) - float64(p.Sin*a.b.y))
	p.Y = a.a.y - (float64(p.Sin*a.b.x) + float64(p.Cos*a.b.y))
	w.Pose, w.Room = p, room(s.seats, p)
	if w.Room < w.most-tiny && slots < tiny {
		w.most = s.bound(w.most)
	}
	if w.most < -tiny {
		return
	}
	if w.Room < min(0, w.most-tiny) {
		s.fit(&w, -tiny, -tiny)
		if w.Room < -tiny {
			return
		}
	}
	w.Room = max(0, w.Room)
	for k := s.first; k < len(s.found); k++ { // the same places, from another part of this range
		if o := &s.found[k]; o.To == w.To && o.Pose.Flip == w.Pose.Flip {
			o.lo, o.hi, o.most = min(o.lo, w.lo), max(o.hi, w.hi), max(o.most, w.most)
			if w.Room > o.Room {
				o.Pose, o.Room = w.Pose, w.Room
			}
			return
		}
	}
	s.found = append(s.found, w)
}

// begin is the first turn to try: square if included.
func begin(lo, hi float64) knot {
	mid := float64((lo + hi) / 2)
	q := math.Round(mid * (2 / math.Pi))
	if at := float64(q * (math.Pi / 2)); lo <= at && at <= hi {
		c, s := quarter(int(q) & 3)
		return knot{at, c, s}
	}
	s, c := math.Sincos(mid)
	return knot{mid, c, s}
}

func knotAt(at float64) knot {
	s, c := math.Sincos(at)
	return knot{at, c, s}
}

// fit maximises the room of the seats' way. Turning slots give poor bounds, so if the part's are
// longer, the fixture is turned about the part.
func (s *searcher) fit(w *Way, enough, worth float64) {
	seats := s.seats
	face, part := 0.0, 0.0
	for i := range seats {
		face += seats[i].s.size()
		part += seats[i].p.size()
	}
	lo, start, hi := knotAt(w.lo), begin(w.lo, w.hi), knotAt(w.hi)
	f := &s.fitter
	if part <= face {
		f.fit(seats, lo, hi, start, enough, worth)
	} else {
		s.turned = s.turned[:0]
		for _, c := range seats {
			s.turned = append(s.turned, seat{c.a, c.s, c.b, c.p, c.r})
		}
		f.fit(s.turned, hi.back(), lo.back(), start.back(), enough, worth)
		f.turn = f.turn.back()
		f.shift = f.shift.turned(f.turn.c, f.turn.s).times(-1)
	}
	w.Pose = Pose{f.turn.c, f.turn.s, f.shift.x, f.shift.y, s.flip}
	w.Room, w.most = f.room, min(w.most, f.most)
}

// bound is the upper limit for stiff seats: two bolts share the difference of their spacings.
func (s *searcher) bound(most float64) float64 {
	for i := range s.seats {
		for j := range i {
			a, b := &s.seats[i], &s.seats[j]
			differ := math.Abs(a.b.sub(b.b).size() - a.a.sub(b.a).size())
			most = min(most, float64((a.r+b.r-differ)/2))
		}
	}
	return most
}

// fill writes the seats for a set of places.
func (s *searcher) fill(to [MaxSpots]int16) {
	s.seats = s.seats[:0]
	for i := range s.spots {
		sp, pl := &s.spots[i], &s.plate.Places[to[i]]
		r, _ := joint(sp, pl)
		s.seats = append(s.seats, seat{vec{sp.X, sp.Y}, along(*sp, sp.Bolt.Dia), vec{pl.X, pl.Y}, along(*pl, sp.Bolt.Dia), r})
	}
}

// rank fits the most promising of those ways and orders the best of each.
func (s *searcher) rank(each int) []Way {
	var kept []Way
	keep := func(w *Way) {
		k := len(kept)
		if k == each && compare(w, &kept[k-1]) >= 0 {
			return
		}
		for k > 0 && compare(w, &kept[k-1]) < 0 {
			k--
		}
		kept = append(kept, *w)
		copy(kept[k+1:], kept[k:len(kept)-1])
		kept[k] = *w
		kept = kept[:min(len(kept), each)]
	}
	for i := range s.found {
		if w := &s.found[i]; w.most-w.Room <= settled {
			keep(w)
		}
	}
	for i := range s.found {
		w := &s.found[i]
		if w.most-w.Room <= settled {
			continue
		}
		worth := -settled // else as roomy, to a tenth of a thou, as the last that is kept
		if len(kept) == each {
			worth = (math.Round(kept[each-1].Room*1e4) - .5) / 1e4
		}
		if w.most < worth {
			continue
		}
		if w.Pose.Flip != s.flip {
			s.turnOver()
		}
		s.fill(w.To)
		s.fit(w, math.Inf(1), worth)
		w.Room = max(0, w.Room)
		keep(w)
	}
	return kept
}

// turnOver flips the spots about the part's Y axis.
func (s *searcher) turnOver() {
	s.flip = !s.flip
	s.over()
}

func (s *searcher) over() {
	for i := range s.spots {
		s.spots[i].X, s.spots[i].Angle = -s.spots[i].X, 180-s.spots[i].Angle
	}
}

func order(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// sortWays puts the most room first; of ways as roomy within a tenth of a thou the squarest, then
// the least turned and the nearest to the face's zero.
func sortWays(w []Way) {
	arrange(len(w), func(i, j int) bool { return compare(&w[i], &w[j]) < 0 }, func(i, j int) { w[i], w[j] = w[j], w[i] })
}

func compare(a, b *Way) int {
	if d := b.Room - a.Room; d > 2e-4 || d < -2e-4 {
		return order(d, 0)
	}
	for _, d := range [...]float64{
		math.Round(b.Room*1e4) - math.Round(a.Room*1e4),
		math.Round(skew(a.Pose)*1e6) - math.Round(skew(b.Pose)*1e6),
		flipped(a) - flipped(b),
		math.Round(b.Pose.Cos*1e6) - math.Round(a.Pose.Cos*1e6),
		float64(a.Plate - b.Plate),
		math.Round((a.Pose.Y - b.Pose.Y) * 1e4),
		math.Round((a.Pose.X - b.Pose.X) * 1e4),
	} {
		if d != 0 {
			return order(d, 0)
		}
	}
	return 0
}

func flipped(w *Way) float64 {
	if w.Pose.Flip {
		return 1
	}
	return 0
}

// skew is the sine of the angle to the nearest quarter turn.
func skew(p Pose) float64 { return min(math.Abs(p.Cos), math.Abs(p.Sin)) }

// Seats gives the bolts of a way.
func Seats(ask Ask, plate *Plate, w Way) []Seat {
	s := searcher{ask: ask, plate: plate}
	s.spots = append(s.spots, ask.Spots...)
	if w.Pose.Flip {
		s.turnOver()
	}
	s.fill(w.To)
	out := make([]Seat, len(s.seats))
	for i := range s.seats {
		c := &s.seats[i]
		at, d := w.Pose.at(c.b), c.off(w.Pose)
		out[i] = Seat{i, int(w.To[i]), at.x, at.y, d, c.r - d, c.r}
	}
	return out
}
