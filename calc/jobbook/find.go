package jobbook

// Query asks the index. Every word has to be found, in the record itself or in the name of what it
// is linked to; a word may be the beginning of one. Sizes match in any notation: 8 in, 8" and
// 203.2mm are equal, and so are 5/8-11 and 5/8-11 UNC-2B.
type Query struct {
	Text        string
	Unit        string   // what a bare number in Text means
	Kinds       []string // none: all
	To          []string // ids of records that must be reachable by links
	From, Until string   // dates, inclusive, or ""
	Gone        bool     // deleted records too
	Most        int      // hits to give; 0 means 50
}

// Hit is one record found.
type Hit struct {
	ID, Kind, Title, Detail, Date, Demo string
	Gone                                bool
	Score                               int
}

// Scores of a match; doubled in the title.
const (
	scoreSize   = 6
	scoreWord   = 4
	scoreBare   = 3 // a bare number matched as a size
	scoreBegins = 2
	scoreLinked = 1
)

// Find gives the best hits, best first, then the newest, and how many there
// are in all.
func (x *Index) Find(q Query) (hits []Hit, total int) {
	x.sortIn()
	scores := make([]int32, len(x.entries))
	narrow := q.From != "" || q.Until != "" || len(q.Kinds) > 0 // else skip 20,000 calls
	for slot, e := range x.entries {
		if e == nil || e.gone && !q.Gone || narrow && !fits(e, &q) {
			scores[slot] = -1
		}
	}
	for _, id := range q.To {
		x.only(id, scores)
	}
	list := chunks(q.Text)
	for len(list) > 0 {
		used := x.match(list, q.Unit, scores)
		list = list[used:]
	}
	most := q.Most
	if most <= 0 {
		most = 50
	}
	var best []int32
	for slot, s := range scores {
		if s < 0 {
			continue
		}
		total++
		at := len(best)
		for at > 0 && x.before(int32(slot), best[at-1], scores) {
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
	for _, slot := range best {
		e := x.entries[slot]
		hits = append(hits, Hit{e.id, e.kind, e.title, e.detail, e.date, e.demo, e.gone, int(scores[slot])})
	}
	return hits, total
}

// before orders hits: score, then date, then id, each the greatest first.
func (x *Index) before(a, b int32, scores []int32) bool {
	if scores[a] != scores[b] {
		return scores[a] > scores[b]
	}
	if c := compare(x.entries[a].date, x.entries[b].date); c != 0 {
		return c > 0
	}
	return x.entries[a].id > x.entries[b].id
}

// fits checks an entry against kinds and dates.
func fits(e *entry, q *Query) bool {
	if q.From != "" && e.date < q.From || q.Until != "" && cut(e.date, len(q.Until)) > q.Until {
		return false
	}
	if len(q.Kinds) == 0 {
		return true
	}
	for _, k := range q.Kinds {
		if k == e.kind {
			return true
		}
	}
	return false
}

// only drops the candidates that are not a record and are not linked to it.
func (x *Index) only(id string, scores []int32) {
	to := x.leads()
	n := x.num(id)
	to.named = append(to.named, make([]bool, len(x.slots)-len(to.named))...)
	to.named[n] = true
	for slot, e := range x.entries {
		if scores[slot] >= 0 && e.num != n && !to.from(e, 0) {
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

// match matches every candidate with the first term of the list, adds to the scores of those that
// have it and drops the others (-1). It returns how many chunks the term used.
func (x *Index) match(list []string, unit string, scores []int32) int {
	term := list[0]
	found := make([]int32, len(scores))
	to, any := x.leads(), false
	note := func(w *word, worth int32) {
		if w == nil {
			return
		}
		for _, p := range w.list {
			slot, score := p>>1, worth<<(p&1)
			if found[slot] < score {
				found[slot] = score
			}
			if e := x.entries[slot]; p&1 == 1 && e != nil {
				to.named[e.num], any = true, true
			}
		}
	}
	l, used, bare := size(list, unit)
	if used > 0 && !bare {
		note(x.posts[sizeKey(l)], scoreSize)
	}
	if used < 2 { // a term of several chunks is a size and nothing else
		used = 1
		if bare {
			note(x.posts[sizeKey(l)], scoreBare)
		}
		if key, ok := threadKey(term); ok {
			note(x.posts[key], scoreSize)
		}
		for _, w := range x.beginning(term) {
			note(w, scoreBegins)
		}
		note(x.posts[term], scoreWord)
	}
	for slot, s := range scores {
		switch {
		case s < 0:
		case found[slot] > 0:
			scores[slot] = s + found[slot]
		case any && to.from(x.entries[slot], 0):
			scores[slot] = s + scoreLinked
		default:
			scores[slot] = -1
		}
	}
	return used
}

// leads reports whether a record's links reach a named one, directly or over others: a reading
// belongs to its setup's fixture. Each record is visited once.
type leads struct {
	x     *Index
	named []bool // by id's number
	seen  []int8 // by id's number: 1 yes, -1 no or in progress
}

func (x *Index) leads() *leads {
	return &leads{x: x, named: make([]bool, len(x.slots), len(x.slots)+1), seen: make([]int8, len(x.slots))}
}

// maxHops is the longest chain of links followed.
const maxHops = 5

func (t *leads) from(e *entry, hops int) bool {
	if hops > 0 && e.shop || hops >= maxHops {
		return false
	}
	for _, l := range e.links {
		if t.named[l] || t.seen[l] > 0 {
			return true
		}
		if t.seen[l] != 0 {
			continue
		}
		t.seen[l] = -1
		if slot := t.x.slots[l]; slot >= 0 && t.from(t.x.entries[slot], hops+1) {
			t.seen[l] = 1
			return true
		}
	}
	return false
}
