package jobbook

import "strings"

// seenLine is how well a line answers.
type seenLine struct {
	sayLine
	well  [mostAsk]int32 // how well each term stands in it
	bonus int32          // what it is worth besides
	marks [][][2]int
}

// seen is a candidate with its best line.
type seen struct {
	e     *entry
	line  *seenLine
	place *seenLine // the row that answers best
	name  [][2]int
	score int32
}

// look reads the best candidates line by line, orders them anew and writes the hits: words that
// stand together in one line, as a slot's with why it is there, are more than the same apart.
func (a *asking) look(best []int32, out *Found) {
	list := make([]*seen, len(best))
	for i, slot := range best {
		list[i] = a.see(a.x.entries[slot], a.scores[slot])
	}
	list = arranged(list, func(one, two *seen) int { return int(two.score - one.score) })
	for i, s := range list {
		if i == a.q.most() {
			break
		}
		out.Hits = append(out.Hits, s.hit(a.x))
	}
}

// see looks at a record's title and lines. The line shown is the one that says most beyond the
// title.
func (a *asking) see(e *entry, score int32) *seen {
	s := &seen{e: e, score: score}
	if len(a.terms) == 0 {
		return s
	}
	named := &seenLine{}
	s.name = a.mark(named, nil, e.title)
	k, linked := KindOf(e.kind), a.to.from(a.x.slots[e.num], 0)
	together, gained, placed := a.worth(named, nil, 0), int32(0), int32(0)
	for rest := e.lines; rest != ""; {
		l := &seenLine{}
		l.sayLine, rest = readLine(k, rest)
		for _, c := range l.cells {
			l.marks = append(l.marks, a.mark(l, c.def, c.text))
		}
		_, row := splitRow(l.key)
		if e.sort != sortPage {
			a.called(l, row != "")
		}
		gain := l.bonus
		for i, t := range a.terms {
			if named.well[i] == 0 {
				gain += t.weight * l.well[i] / 16
			}
		}
		if gain > gained {
			s.line, gained = l, gain
		}
		if row != "" && gain > placed {
			s.place, placed = l, gain
		}
		together = max(together, a.worth(l, named, linked))
	}
	if placed*2 < gained { // it may be a note that speaks of the row
		s.place = nil
	}
	s.score = score/2 + together*8
	if e.sort == sortPage {
		for i, t := range a.terms {
			if named.well[i] == 0 && a.takes(t, a.x.slots[e.num]) {
				s.score += t.weight * 8
			}
		}
		s.score += s.score / 64 * a.lean(e.sort)
	}
	return s
}

// worth is what a line says of the question, with what the title and what it is linked to say.
func (a *asking) worth(l, named *seenLine, linked uint32) int32 {
	sum := l.bonus
	for i, t := range a.terms {
		well := l.well[i]
		if well == 0 && named != nil && named.well[i] > 0 {
			well = wellWord * 3 / 4
		}
		if well == 0 && linked&(1<<i) != 0 {
			well = wellWord / 2
		}
		sum += t.weight * well / 16
	}
	return sum
}

// called adds what the names of a line's fields say: why, where and who are asked by them too. A row
// that says why it is there is worth a little more.
func (a *asking) called(l *seenLine, row bool) {
	any := false
	all := int32(0)
	for i, t := range a.terms {
		is := t.labels[l.def]
		for _, c := range l.cells {
			is = is || t.labels[c.def]
			if row && c.column == 0 && l.well[i] == wellWord {
				l.well[i] = wellWord + wellWord/4 // a place's name is its title
			}
		}
		if is && l.well[i] == 0 {
			l.well[i] = wellLabel
		}
		any = any || l.well[i] > 0
		all += t.weight
	}
	asked := false
	for _, c := range l.cells {
		if c.def == nil {
			continue
		}
		why := c.def.Key == "why"
		if why && any {
			l.bonus = all / 32
		}
		asked = asked || a.asks[c.def] || why && a.where
	}
	if asked {
		l.bonus += all / 8
	}
}

// mark finds the terms in a text, adds what they are worth to the line, and gives where they stand.
func (a *asking) mark(l *seenLine, def *Field, s string) (marks [][2]int) {
	list := spans(s)
	words := make([]string, len(list))
	for i, at := range list {
		words[i] = lower(s[at[0]:at[1]])
	}
	best := [mostAsk]int32{}
	for i := range list {
		from, to := list[i][0], list[i][1]
		if n := a.sized(best[:], def, s, words[i:]); n > 0 {
			marks = append(marks, [2]int{from, list[i+n-1][1]})
			continue
		}
		if a.stands(best[:], words[i]) {
			if l.key == "words" { // of a worksheet: those at the front are meant most
				l.bonus = max(l.bonus, 12-2*int32(i))
			}
			marks = append(marks, [2]int{from, to})
			continue
		}
		for _, p := range parts(words[i]) {
			if at := strings.Index(words[i], p); len(p) < len(words[i]) && a.stands(best[:], p) {
				marks = append(marks, [2]int{from + at, from + at + len(p)})
			}
		}
	}
	for i := range best {
		l.well[i] = max(l.well[i], best[i])
	}
	return marks
}

// stands reports whether a word stands for a term.
func (a *asking) stands(best []int32, word string) (any bool) {
	for i, t := range a.terms {
		well := t.alike[word]
		if well == 0 && t.begins > 0 && strings.HasPrefix(word, t.word) {
			well = t.begins
		}
		if well > 0 {
			best[i], any = max(best[i], well), true
		}
	}
	return any
}

// sized reports how many words are a size or a thread that stands for a term.
func (a *asking) sized(best []int32, def *Field, s string, words []string) int {
	if c := words[0][0]; !a.sizes || !isDigit(c) && c != '.' && c != '#' && c != 'm' {
		return 0
	}
	if key, ok := threadKey(words[0]); ok && a.stands(best, key) {
		return 1
	}
	if def != nil && def.Kind == Length {
		if n, fault := readNumber(def, s, "in"); fault == nil && a.stands(best, sizeKey(n.Length)) {
			return len(words)
		}
	}
	if l, used, bare := size(words, ""); used > 0 && !bare && a.stands(best, sizeKey(l)) {
		return used
	}
	return 0
}

// hit writes what the screen shows.
func (s *seen) hit(x *Index) Hit {
	e := s.e
	h := Hit{ID: e.id, Kind: e.kind, Title: e.title, Detail: e.detail, Date: e.date, By: e.by, Demo: e.demo,
		On: x.ownerTitle(e), Gone: e.gone, Score: int(s.score), Name: marked(e.title, s.name)}
	l := s.line
	k := KindOf(e.kind)
	if s.place != nil {
		table, row := splitRow(s.place.key)
		h.Place = table + "." + row
	}
	switch {
	case l == nil || k == nil || l.def == nil:
	case l.def.Kind == Table:
		if l.at != "" {
			h.By, h.Date = l.by, l.at
		}
		h.Line, h.Why = l.row()
		for _, c := range l.cells {
			if c.def != nil && c.def.Kind == Date {
				h.Date = c.text
			}
		}
	default:
		h.Line = excerpt(l.cells[0].text, l.marks[0])
		h.Label = l.def.Label
	}
	return h
}

// owners are the kinds that a record belongs to, what says most first.
const owners = "setup step feature part job fixture machine tool gauge"

func (x *Index) ownerTitle(e *entry) string {
	for kind := range strings.FieldsSeq(owners) {
		for _, l := range x.links(x.slots[e.num]) {
			if slot := x.slots[l]; slot >= 0 && x.entries[slot].kind == kind {
				return x.entries[slot].title
			}
		}
	}
	return ""
}

// row is a table's row in a line, and why it is there.
func (l *seenLine) row() (line, why []string) {
	var m marking
	for i, c := range l.cells {
		f := c.def
		switch {
		case f == nil || c.text == "" || f.Kind == Date || f.Kind == Link:
		case f.Key == "why":
			why = marked(c.text, l.marks[i])
		case len(l.marks[i]) == 0 && strings.Contains(" x y z left bottom face runs order ", " "+f.Key+" "):
		default:
			m.cell(c, l.marks[i], l.def)
		}
	}
	return m.parts, why
}

// marking is a text being put together, with what is marked at uneven places.
type marking struct{ parts []string }

func (m *marking) put(text string, bold bool) {
	if text == "" {
		return
	}
	if n := len(m.parts); n > 0 && (n%2 == 0) == bold {
		m.parts[n-1] += text
		return
	}
	if bold && len(m.parts) == 0 {
		m.parts = append(m.parts, "")
	}
	m.parts = append(m.parts, text)
}

func (m *marking) text(s string, marks [][2]int) {
	at := 0
	for _, one := range marks {
		if one[0] >= at {
			m.put(s[at:one[0]], false)
			m.put(s[one[0]:one[1]], true)
			at = one[1]
		}
	}
	m.put(s[at:], false)
}

// cell adds one cell of a row of a table: a number with its column's name, a flag by it.
func (m *marking) cell(c cell, marks [][2]int, table *Field) {
	label := lower(c.def.Label)
	_, number := c.def.Kind.Dim()
	switch {
	case len(m.parts) > 0:
		m.put(", ", false)
	case c.def.Key != "name":
		m.put(table.Label+": ", false)
	case !strings.Contains(lower(c.text), label):
		m.put(c.def.Label+" ", false)
	}
	if c.text == " " {
		m.put(label, false)
		return
	}
	if m.text(c.text, marks); number {
		m.put(" "+label, false)
	}
}

func marked(s string, marks [][2]int) []string {
	var m marking
	m.text(s, marks)
	return m.parts
}

// excerpt is a long text about the first of its marks.
func excerpt(s string, marks [][2]int) []string {
	const room, ahead = 110, 40
	var m marking
	from, to := 0, len(s)
	if to > room && len(marks) > 0 && marks[0][0] > ahead {
		from = marks[0][0] - ahead
		from = min(marks[0][0], from+strings.IndexByte(s[from:], ' ')+1)
		m.put("…", false)
	}
	for from < to && s[from]&0xC0 == 0x80 {
		from++
	}
	if to > from+room {
		to = from + len(cut(s[from:], room))
		if at := strings.LastIndexByte(s[from:to], ' '); at > 0 {
			to = from + at
		}
	}
	var here [][2]int
	for _, one := range marks {
		if one[1] <= to {
			here = append(here, [2]int{one[0] - from, one[1] - from})
		}
	}
	if m.text(s[from:to], here); to < len(s) {
		m.put("…", false)
	}
	return m.parts
}
