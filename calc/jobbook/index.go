package jobbook

import "strings"

// Index finds records by words, sizes, links and dates. Records can be added,
// replaced and taken out one at a time.
type Index struct {
	entries []*entry         // by slot; nil where a record was replaced or taken out
	sorts   []uint8          // by slot: the kind's number
	numAt   []int32          // by slot: the id's number
	linkAt  []int32          // where the links of a slot begin in linkTo, and where the last ones end
	linkTo  []int32          // ids' numbers
	dead    int              // how many slots are nil
	nums    map[string]int32 // a number for every id that was ever named
	slots   []int32          // by that number; -1 where there is no such record
	posts   map[string]*word
	vocab   []*word  // words, sorted, for the beginnings of words
	shapes  []uint32 // the letters of each, for near spellings
	fresh   []*word  // words not yet sorted in
	writing []byte   // lines of the record being added
	mute    bool     // a worksheet's long list, which nobody reads, stays out of them
	alike   groups
	labels  labels
}

// entry is what is known of one record. Its strings are copies: a part of the text it was read from
// would keep all of that in memory.
type entry struct {
	id, kind, title, detail, date, by, demo string
	lines                                   string // what it says, as line.go writes it
	filled                                  uint64 // fields that have a value, by their place in the kind
	gone, shop                              bool
	sort                                    uint8 // its kind's number
	num                                     int32
}

// word is a token with where it stands: slot*2, plus 1 where it stands in the
// title; slots rise.
type word struct {
	text string
	list []int32
}

// NewIndex makes an empty index.
func NewIndex() *Index {
	return &Index{nums: map[string]int32{}, posts: map[string]*word{}, linkAt: []int32{0}}
}

// Len is how many records the index holds.
func (x *Index) Len() int { return len(x.entries) - x.dead }

// num gives an id its number.
func (x *Index) num(id string) int32 {
	n, ok := x.nums[id]
	if !ok {
		n = int32(len(x.slots))
		x.nums[strings.Clone(id)] = n
		x.slots = append(x.slots, -1)
	}
	return n
}

// Remove takes a record out.
func (x *Index) Remove(id string) {
	n, ok := x.nums[id]
	if !ok || x.slots[n] < 0 {
		return
	}
	x.entries[x.slots[n]] = nil
	x.slots[n] = -1
	if x.dead++; x.dead > 2000 && x.dead*2 > len(x.entries) {
		x.pack()
	}
}

// pack removes the empty slots of replaced records.
func (x *Index) pack() {
	moved := make([]int32, len(x.entries))
	kept, linkAt, linkTo := x.entries[:0], []int32{0}, []int32(nil)
	for slot, e := range x.entries {
		moved[slot] = -1
		if e != nil {
			moved[slot] = int32(len(kept))
			x.slots[e.num] = moved[slot]
			kept = append(kept, e)
			linkTo = append(linkTo, x.links(int32(slot))...)
			linkAt = append(linkAt, int32(len(linkTo)))
		}
	}
	x.linkAt, x.linkTo = linkAt, linkTo
	x.entries, x.sorts, x.numAt, x.dead = kept, x.sorts[:0], x.numAt[:0], 0
	for _, e := range kept {
		x.sorts, x.numAt = append(x.sorts, e.sort), append(x.numAt, e.num)
	}
	for token, w := range x.posts { // each word separately: map order does not matter
		live := w.list[:0]
		for _, p := range w.list {
			if to := moved[p>>1]; to >= 0 {
				live = append(live, to<<1|p&1)
			}
		}
		if w.list = live; len(live) == 0 {
			delete(x.posts, token)
		}
	}
	x.sortIn()
	words := x.vocab[:0]
	for _, w := range x.vocab {
		if len(w.list) > 0 {
			words = append(words, w)
		}
	}
	x.vocab = words
	x.shape()
}

// links are the numbers of the ids that a slot's record names.
func (x *Index) links(slot int32) []int32 { return x.linkTo[x.linkAt[slot]:x.linkAt[slot+1]] }

// place allocates a slot for a record and its links.
func (x *Index) place(d *document) *entry {
	e := &entry{id: strings.Clone(d.id), kind: strings.Clone(d.kind), num: x.num(d.id)}
	e.shop, e.sort = shopKind(d.kind), sortOf(d.kind)
	x.slots[e.num] = int32(len(x.entries))
	x.entries, x.sorts, x.numAt = append(x.entries, e), append(x.sorts, e.sort), append(x.numAt, e.num)
	for _, l := range linksOf(d) {
		x.linkTo = append(x.linkTo, x.num(l))
	}
	x.linkAt = append(x.linkAt, int32(len(x.linkTo)))
	return e
}

// Add adds a record, replacing its earlier state.
func (x *Index) Add(doc []byte) error {
	d, problem := readDocument(doc)
	if problem != "" {
		return &RecordError{"", sentence(problem)}
	}
	x.add(d)
	return nil
}

func (x *Index) add(d *document) {
	x.Remove(d.id)
	k := KindOf(d.kind)
	e := x.place(d)
	slot := x.slots[e.num]
	made, _ := d.times()
	e.title, e.detail, e.date, e.demo, e.gone = d.title(), d.detail(), made.at, strings.Clone(d.top("demo").text), d.gone()
	e.by = strings.Clone(made.by)
	if k != nil {
		x.tokens(k.Label, slot, false)
	}
	x.writing = x.writing[:0]
	for _, f := range d.fields {
		base, row := splitRow(f.key)
		if base == "gone" {
			continue
		}
		def := k.Field(base)
		e.filled |= k.bit(def)
		title := k == nil && base == "name" || k != nil && has(k.Title, base)
		for _, h := range f.heads() {
			if def != nil && def.Kind == Link {
				continue // found by its target
			}
			x.beginLine(f.key, row, h)
			x.addValue(def, h.v, h.unit, slot, title)
			if (base == "when" || base == "taken") && h.v.kind == text {
				e.date = h.v.text
			}
		}
	}
	e.title, e.detail, e.date = strings.Clone(e.title), strings.Clone(e.detail), strings.Clone(e.date)
	e.lines = string(x.writing)
}

// bit marks a field among those of its kind. A kind has fewer than 64.
func (k *Kind) bit(def *Field) uint64 {
	if k != nil {
		for i := range k.Fields {
			if &k.Fields[i] == def {
				return 1 << (i & 63)
			}
		}
	}
	return 0
}

// linksOf lists a record's links, except to the one it repeats: an earlier job is another job.
func linksOf(d *document) []string {
	var out []string
	k := KindOf(d.kind)
	for _, f := range d.fields {
		def := k.Field(f.key)
		if def == nil || def.Key == "repeats" {
			continue
		}
		for _, h := range f.heads() {
			switch {
			case def.Kind == Link && h.v.kind == text:
				out = append(out, h.v.text)
			case def.Kind == Table:
				for i := range def.Columns {
					if c := &def.Columns[i]; c.Kind == Link {
						if id := h.v.str(c.Key); id != "" {
							out = append(out, id)
						}
					}
				}
			}
		}
	}
	return out
}

// addValue indexes one value by its field, and writes it into the record's line; def is nil for an
// unknown field.
func (x *Index) addValue(def *Field, v *node, unit string, slot int32, title bool) {
	switch {
	case v.kind == array:
		for _, each := range v.list {
			one := def
			if def != nil && def.Kind == List {
				one = &def.Columns[0]
			}
			x.addValue(one, each, unit, slot, title)
		}
	case v.kind == object:
		if def != nil && def.Kind == Any {
			return // an answer's numbers would match everything
		}
		for i, key := range v.keys {
			var one *Field
			if def != nil && def.Kind == Table {
				for j := range def.Columns {
					if def.Columns[j].Key == key {
						one = &def.Columns[j]
						x.beginCell(j)
					}
				}
			}
			x.mute = def != nil && def.Kind == Pairs && len(v.list[i].text) > 60
			x.addValue(one, v.list[i], unit, slot, title)
			x.mute = false
		}
	case def != nil && def.Kind == Flag && v.yes():
		x.writeCell(" ")
	case v.kind != text && v.kind != number:
	case def != nil && def.Kind == Link:
	case def != nil && def.Kind == Choice:
		said := saying(def, v, unit)
		x.tokens(said, slot, title)
		x.writeCell(said)
	default:
		x.tokens(v.text, slot, title)
		if def != nil && def.Kind == Length {
			if n, fault := readNumber(def, v.text, unit); fault == nil {
				x.post(sizeKey(n.Length), slot, title)
			}
		}
		said := v.text
		if def != nil && unit == "mm" {
			said = saying(def, v, unit)
		}
		x.writeCell(said)
	}
}

func (x *Index) tokens(s string, slot int32, title bool) {
	tokens(s, func(key string) { x.post(key, slot, title) })
}

func (x *Index) post(key string, slot int32, title bool) {
	p := slot << 1
	if title {
		p |= 1
	}
	w := x.posts[key]
	if w == nil {
		w = &word{text: strings.Clone(key)}
		x.posts[w.text] = w
		if key[0] > ' ' {
			x.fresh = append(x.fresh, w)
		}
	}
	if n := len(w.list); n > 0 && w.list[n-1]>>1 == slot {
		w.list[n-1] |= p
		return
	}
	w.list = append(w.list, p)
}

// sortIn merges the new words into the sorted ones.
func (x *Index) sortIn() {
	if len(x.fresh) == 0 {
		return
	}
	out := make([]*word, 0, len(x.vocab)+len(x.fresh))
	at := 0
	for _, w := range arranged(x.fresh, func(a, b *word) int { return compare(a.text, b.text) }) {
		for at < len(x.vocab) && x.vocab[at].text < w.text {
			out = append(out, x.vocab[at])
			at++
		}
		out = append(out, w)
	}
	x.vocab = append(out, x.vocab[at:]...)
	x.fresh = nil
	x.shape()
}

func (x *Index) shape() {
	x.shapes = x.shapes[:0]
	for _, w := range x.vocab {
		x.shapes = append(x.shapes, lettersOf(w.text))
	}
}

// beginning returns the words with a prefix.
func (x *Index) beginning(with string) []*word {
	low, high := 0, len(x.vocab)
	for low < high {
		if mid := (low + high) / 2; x.vocab[mid].text < with {
			low = mid + 1
		} else {
			high = mid
		}
	}
	for high < len(x.vocab) && hasPrefix(x.vocab[high].text, with) {
		high++
	}
	return x.vocab[low:high]
}

func hasPrefix(s, prefix string) bool { return len(s) >= len(prefix) && s[:len(prefix)] == prefix }
