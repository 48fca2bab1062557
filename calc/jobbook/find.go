package jobbook

import "math/bits"

// Query asks the index as one asks a man: idle words drop out, endings, near spellings and what else
// the trade calls it are found too, in the record itself or in the name of what it is linked to; a
// word may be the beginning of one. Not every word has to be there; a rare one weighs more. Sizes
// match in any notation: 8 in, 8" and 203.2mm are equal, and so are 5/8-11 and 5/8-11 UNC-2B.
type Query struct {
	Text        string
	Unit        string   // what a bare number in Text means
	Kinds       []string // none: all
	To          []string // ids of records that must be reachable by links
	From, Until string   // dates, inclusive, or ""
	Gone        bool     // deleted records too
	Most        int      // hits to give; 0 means 50
}

// Found is what was found, best first, then the newest.
type Found struct {
	Hits  []Hit
	Total int
	Kinds []Counted // of every kind, whatever kinds were asked for
}

// Counted is how many records of a kind were found.
type Counted struct {
	Kind  string
	Count int
}

// Hit is one record found. In a marked text the parts at uneven places are what the question has.
type Hit struct {
	ID, Kind, Title, Detail, Date, By, Demo string
	On                                      string   // the title of what it belongs to
	Name                                    []string // its title, marked
	Line                                    []string // what answers best, marked; nil where the title says all
	Label                                   string   // of that field
	Why                                     []string // of a row: why it is there, marked
	Place                                   string   // of a row: its table and row, as slots.0002-mill
	Gone                                    bool
	Score                                   int
}

// How well a word stands for one of the question, of 16; a quarter more in a title.
const (
	wellSize   = 20
	wellWord   = 16
	wellStem   = 15
	wellBare   = 12 // a bare number as a size
	wellAlike  = 11 // by another name
	wellNear   = 9  // a letter wrong
	wellLinked = 9  // in the name of what it is linked to
	wellLabel  = 11 // in the name of a field that is filled in
	wellBegins = 8
	wellFar    = 6 // two letters wrong
	wellLetter = 5 // the beginning is one letter or two
)

const (
	keepAt  = 45      // a hit that has not every word has to have so much of the best one's score, in percent
	lookAt  = 50      // hits that are looked at line by line
	mostAsk = 24      // words of a question that count
	kept    = 1 << 28 // the mark of a score that is kept however small it is
)

// asking is a question on its way through the index.
type asking struct {
	x      *Index
	q      *Query
	terms  []*term
	said   []string // every word of it
	leans  int32
	sizes  bool            // it asks for a size
	where  bool            // it asks where
	asks   map[*Field]bool // fields that are called as it asks: why, where, when, who
	scores []int32         // by slot; -1: not wanted
	has    []uint32        // by slot: the terms found in it, by bits
	best   []uint8         // by slot: how well the term at work was found
	stamp  []uint8         // by slot: that term, counted from 1
	named  []uint32        // by id's number: terms found in its title
	to     *leads
}

// Find gives the best hits.
func (x *Index) Find(q Query) Found {
	x.sortIn()
	a := &asking{x: x, q: &q, scores: make([]int32, len(x.entries))}
	narrow := q.From != "" || q.Until != ""
	for slot, e := range x.entries {
		if e == nil || e.gone && !q.Gone || narrow && !within(e, &q) {
			a.scores[slot] = -1
		}
	}
	for _, id := range q.To {
		x.only(id, a.scores)
	}
	a.read()
	least := int32(0)
	if len(a.terms) > 0 {
		least = a.match()
	}
	out, best := a.choose(least)
	a.look(best, &out)
	return out
}

// within checks an entry against dates.
func within(e *entry, q *Query) bool {
	return e.date >= q.From && (q.Until == "" || cut(e.date, len(q.Until)) <= q.Until)
}

// only drops the candidates that are not a record and are not linked to it.
func (x *Index) only(id string, scores []int32) {
	n := x.num(id)
	named := make([]uint32, len(x.slots))
	named[n] = 1
	to := x.leads(named)
	for slot, e := range x.entries {
		if scores[slot] >= 0 && e.num != n && to.from(int32(slot), 0) == 0 {
			scores[slot] = -1
		}
	}
}

// shopKind names kinds shared by many jobs. Their links lead to other jobs and are not followed: a
// plate has holes of many jobs.
func shopKind(kind string) bool {
	switch kind {
	case "machine", "fixture", "tool", "gauge", "set", "material":
		return true
	}
	return false
}

// match scores every candidate and gives the least score that is kept. What has every word is kept
// in any case.
func (a *asking) match() int32 {
	n := len(a.scores)
	a.has, a.best, a.stamp = make([]uint32, n), make([]uint8, n), make([]uint8, n)
	a.named = make([]uint32, len(a.x.slots))
	var all uint32
	weight := int32(0)
	for i, t := range a.terms {
		if a.score(i, t) {
			all |= 1 << i
			weight += t.weight
		}
	}
	if all == 0 {
		return 1 << 30
	}
	a.to = a.x.leads(a.named)
	top, sheet := int32(0), int32(0)
	for slot, s := range a.scores {
		if s < 0 {
			continue
		}
		has, sort := a.has[slot], a.x.sorts[slot]
		met := int32(0)
		for m := has; m != 0; m &= m - 1 {
			met += a.terms[bits.TrailingZeros32(m)].weight
		}
		if has != all && a.to.any {
			for m := a.to.from(int32(slot), 0) &^ has; m != 0; m &= m - 1 {
				w := a.terms[bits.TrailingZeros32(m)].weight
				s += w * wellLinked / 16
				met += w
			}
		}
		if s > 0 && sort == sortPage {
			for i, t := range a.terms {
				if all&^has&(1<<i) != 0 && a.takes(t, int32(slot)) {
					s += t.weight
					met += t.weight
				}
			}
		}
		if s > 0 {
			s = a.whole(sort, s, met, weight)
			top = max(top, s)
			if sort == sortPage {
				sheet = max(sheet, s)
			}
			if met == weight {
				s |= kept
			}
		}
		a.scores[slot] = s
	}
	for slot, sort := range a.x.sorts { // there are few worksheets: they are held against each other
		if s := a.scores[slot]; sort == sortPage && s > 0 && s&kept == 0 && s >= top/8 && s >= sheet*4/5 {
			a.scores[slot] |= kept
		}
	}
	return max(1, top*keepAt/100)
}

// threadWord is what a worksheet about threads has among its words.
const threadWord = "thread"

// takes reports whether a worksheet takes a term of any size: a length, or a thread where it is
// about one.
func (a *asking) takes(t *term, slot int32) bool {
	if !t.thread {
		return t.sized
	}
	if w := a.x.posts[threadWord]; w != nil {
		for _, p := range w.list {
			if p>>1 == slot {
				return true
			}
		}
	}
	return false
}

// whole takes from a score for what was not met of the question, and prefers worksheets where it asks
// for one. Of the thing in hand a worksheet knows nothing, so less is taken there.
func (a *asking) whole(sort uint8, s, met, weight int32) int32 {
	part := int(weight + 3*met)
	if sort == sortPage {
		part = int(weight+met) * 2
	}
	s = int32(int(s) * 4 * part / int(weight))
	return s + s/64*max(0, a.lean(sort)) // less comes later, so that it is not lost
}

// lean is what a worksheet is preferred by, in parts of 64.
func (a *asking) lean(sort uint8) int32 {
	if sort != sortPage {
		return 0
	}
	return 4 - 20*a.leans
}

// pageKind is what the phone's pages are indexed as, so that they are found among the records.
const pageKind = "sheet"

// score adds a term to the scores and reports whether it stands anywhere.
func (a *asking) score(i int, t *term) bool {
	bit, mark, any := uint32(1)<<i, uint8(i+1), false
	for _, w := range t.words {
		for _, p := range w.list {
			slot := p >> 1
			if a.scores[slot] < 0 {
				continue
			}
			any = true
			well := w.well
			if p&1 == 1 {
				well += well / 4
				if w.well > wellLetter {
					a.named[a.x.numAt[slot]] |= bit
				}
			}
			a.add(slot, mark, bit, well, t.weight)
		}
	}
	if fields := t.fields; fields != nil {
		for slot, sort := range a.x.sorts {
			if fields[sort] != 0 && a.scores[slot] >= 0 && a.x.entries[slot].filled&fields[sort] != 0 {
				any = true
				a.add(int32(slot), mark, bit, wellLabel, t.weight)
			}
		}
	}
	return any
}

func (a *asking) add(slot int32, mark uint8, bit uint32, well, weight int32) {
	had := int32(a.best[slot])
	if a.stamp[slot] != mark {
		had, a.stamp[slot] = 0, mark
		a.has[slot] |= bit
	}
	if well > had {
		a.best[slot] = uint8(well)
		a.scores[slot] += weight*well/16 - weight*had/16
	}
}

// choose counts what is kept and gives the slots of the best.
func (a *asking) choose(least int32) (out Found, best []int32) {
	most := max(a.q.most(), lookAt)
	var counts [kindsRoom]int
	var wanted uint32
	for _, kind := range a.q.Kinds {
		wanted |= 1 << sortOf(kind)
	}
	for slot, s := range a.scores {
		if s < least {
			continue
		}
		a.scores[slot] = s &^ kept
		sort := a.x.sorts[slot]
		if counts[sort]++; len(a.q.Kinds) > 0 && wanted&(1<<sort) == 0 {
			continue
		}
		out.Total++
		at := len(best)
		for at > 0 && a.before(int32(slot), best[at-1]) {
			at--
		}
		if at == most {
			continue
		}
		if len(best) < most {
			best = append(best, 0)
		}
		copy(best[at+1:], best[at:])
		best[at] = int32(slot)
	}
	for i, n := range counts {
		switch {
		case n == 0:
		case i < len(Kinds):
			out.Kinds = append(out.Kinds, Counted{Kinds[i].Key, n})
		case i == sortPage:
			out.Kinds = append(out.Kinds, Counted{pageKind, n})
		}
	}
	return out, best
}

func (q *Query) most() int {
	if q.Most <= 0 {
		return 50
	}
	return q.Most
}

// before orders hits: score, then date, then id, each the greatest first; of worksheets the shorter
// name.
func (a *asking) before(one, two int32) bool {
	if a.scores[one] != a.scores[two] {
		return a.scores[one] > a.scores[two]
	}
	e, o := a.x.entries[one], a.x.entries[two]
	if c := compare(e.date, o.date); c != 0 {
		return c > 0
	}
	if e.sort == sortPage {
		return e.id < o.id // shim before shims
	}
	return e.id > o.id
}

// leads gives the terms that a record's links reach, directly or over others: a reading belongs to
// its setup's fixture. Each record is visited once.
type leads struct {
	x     *Index
	named []uint32 // by id's number
	seen  []bool   // by id's number: known, or in progress
	have  []uint32
	any   bool
}

func (x *Index) leads(named []uint32) *leads {
	to := &leads{x: x, named: named, seen: make([]bool, len(x.slots)), have: make([]uint32, len(x.slots))}
	for _, n := range named {
		to.any = to.any || n != 0
	}
	return to
}

// maxHops is the longest chain of links followed.
const maxHops = 5

// from is what the record of a slot leads to.
func (t *leads) from(slot int32, hops int) (have uint32) {
	for _, l := range t.x.links(slot) {
		have |= t.named[l] | t.over(l, hops+1)
	}
	return have
}

// over is what the record of a number leads on to.
func (t *leads) over(n int32, hops int) uint32 {
	if t.seen[n] {
		return t.have[n]
	}
	t.seen[n] = true
	slot := t.x.slots[n]
	if slot < 0 || hops >= maxHops || t.x.entries[slot].shop {
		return 0
	}
	t.have[n] = t.from(slot, hops)
	return t.have[n]
}
