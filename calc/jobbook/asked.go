package jobbook

import (
	"math/bits"
	"strings"
)

// term is a word or a size of the question with all that stands for it.
type term struct {
	word   string
	begins int32            // how well the beginning of a word stands for it
	alike  map[string]int32 // how well another word or a size does
	words  []posted
	fields *[kindsRoom]uint64 // by kind's number: fields that are called so
	labels map[*Field]bool    // the same, columns too
	weight int32
	sized  bool // a size or a thread
	thread bool
}

// posted is where a word stands, and how well it stands for the term.
type posted struct {
	list []int32
	well int32
}

// kindsRoom is more than there are kinds: the two last numbers are pages and unknown kinds.
const (
	kindsRoom = 32
	sortPage  = kindsRoom - 2
	sortOther = kindsRoom - 1
)

func sortOf(kind string) uint8 {
	for i := range Kinds {
		if Kinds[i].Key == kind {
			return uint8(i)
		}
	}
	if kind == pageKind {
		return sortPage
	}
	return sortOther
}

// labels are the fields and columns that a word names, by the word's stem.
type labels map[string][]labelled

type labelled struct {
	kind  uint8
	bit   uint64
	field *Field
}

func readLabels() labels {
	out := labels{}
	for i := range Kinds {
		k := &Kinds[i]
		for j := range k.Fields {
			f := &k.Fields[j]
			out.add(labelled{uint8(i), 1 << (j & 63), f})
			for c := range f.Columns {
				out.add(labelled{uint8(i), 1 << (j & 63), &f.Columns[c]})
			}
		}
	}
	return out
}

func (l labels) add(one labelled) {
	if one.field.Kind == Link { // found by the name of its target
		return
	}
	words := parts(lower(one.field.Label))
	if !has(words, one.field.Key) {
		words = append(words, one.field.Key)
	}
	for _, w := range words {
		l[stem(w)] = append(l[stem(w)], one)
	}
}

// read makes the terms of the question.
func (a *asking) read() {
	x := a.x
	if x.alike == nil {
		x.alike, x.labels = readGroups(), readLabels()
	}
	a.said = fractions(chunks(strings.ReplaceAll(a.q.Text, "’", "'")), a.q.Unit)
	a.leans, a.where, a.asks = leaning(a.said), has(a.said, "where"), map[*Field]bool{}
	for _, w := range []string{"why", "where", "when", "who"} {
		if has(a.said, w) {
			for _, l := range x.labels[stem(w)] {
				a.asks[l.field] = true
			}
		}
	}
	a.readTerms(isIdle)
	if len(a.terms) == 0 { // nothing but idle words
		a.readTerms(func(string) bool { return false })
	}
}

func (a *asking) readTerms(skip func(string) bool) {
	list := a.said
	for at := 0; at < len(list) && len(a.terms) < mostAsk; {
		l, used, bare := size(list[at:], a.q.Unit)
		t := &term{word: list[at], alike: map[string]int32{}}
		if used > 0 {
			t.sized = true
			t.alike[sizeKey(l)] = wellSize
			if bare {
				t.alike[sizeKey(l)] = wellBare
			}
		}
		if used < 2 { // a term of several chunks is a size and nothing else
			used = 1
			if skip(t.word) {
				at++
				continue
			}
			a.readWord(t, at+1 == len(list))
		}
		a.weigh(t)
		at += used
	}
}

// readWord gathers what stands for a word.
func (a *asking) readWord(t *term, last bool) {
	x, w := a.x, t.word
	if key, ok := threadKey(w); ok {
		t.alike[key], t.sized, t.thread = wellSize, true, true
	}
	t.like(w, wellWord)
	t.begins = wellBegins
	if len(w) < 3 {
		t.begins = wellLetter
	}
	short := stem(w)
	x.family(t, short, wellStem)
	for _, other := range x.alike[short] {
		t.like(other, wellAlike)
		x.family(t, stem(other), wellAlike)
	}
	if p := parts(w); len(p) > 1 {
		for _, one := range p {
			if len(one) > 2 {
				t.like(one, wellBegins)
			}
		}
	}
	a.label(t, append([]string{w}, x.alike[short]...))
	if !last {
		t.begins = min(t.begins, wellFar)
	}
	half := last && len(x.beginning(w)) > 0 // it may be half typed
	if seen := a.count(t); seen < 3 && len(w) > 2 && !half {
		if x.near(t, seen); seen == 0 {
			x.split(t)
		}
	}
	if strings.HasSuffix(w, "er") && len(w) > 5 { // a miller is a mill
		x.family(t, stem(w[:len(w)-2]), wellAlike)
	}
}

// like lets another word stand for the term.
func (t *term) like(w string, well int32) { t.alike[w] = max(t.alike[w], well) }

// family adds the words of a stem.
func (x *Index) family(t *term, short string, well int32) {
	with := strings.TrimSuffix(short, "y")
	if len(with) < 2 {
		return
	}
	for _, w := range x.beginning(with) {
		if len(w.text) < len(short)+5 && stem(w.text) == short {
			t.like(w.text, well)
		}
	}
}

// near adds words that are spelled nearly so: what is typed in a hurry has a letter wrong, and so
// have records. Where the word itself was seen, one letter at most. A number is what it is.
func (x *Index) near(t *term, seen int) {
	if strings.ContainsAny(t.word, "0123456789") {
		return
	}
	most, well := 1, int32(wellNear)
	switch {
	case seen > 0:
		well = wellFar
	case len(t.word) > 6:
		most = 2
	}
	shape := lettersOf(t.word)
	for i, w := range x.vocab {
		if bits.OnesCount32(x.shapes[i]^shape) > 2*most || t.alike[w.text] > 0 {
			continue
		}
		if n := misspelt(t.word, w.text, most); n <= most && !isIdle(w.text) {
			t.like(w.text, well-int32(n-1)*(wellNear-wellFar))
		}
	}
}

// split takes a word that stands nowhere for two that do: spotface for spot face.
func (x *Index) split(t *term) {
	for i := 3; i+3 <= len(t.word); i++ {
		one, two := t.word[:i], t.word[i:]
		if x.posts[one] != nil && x.posts[two] != nil {
			t.like(one, wellFar)
			t.like(two, wellFar)
		}
	}
}

// label adds the fields that a word names.
func (a *asking) label(t *term, names []string) {
	for _, name := range names {
		for _, l := range a.x.labels[stem(name)] {
			if t.labels == nil {
				t.fields, t.labels = &[kindsRoom]uint64{}, map[*Field]bool{}
			}
			t.fields[l.kind] |= l.bit
			t.labels[l.field] = true
		}
	}
}

// count is how many places a term's words have so far.
func (a *asking) count(t *term) (n int) {
	for w := range t.alike {
		if one := a.x.posts[w]; one != nil {
			n += len(one.list)
		}
	}
	return n
}

// weigh collects where the term stands and what it is worth: the rarer the more.
func (a *asking) weigh(t *term) {
	n := 0
	for w, well := range t.alike { // the order does not matter: the best counts
		if one := a.x.posts[w]; one != nil && len(one.list) > 0 {
			t.words = append(t.words, posted{one.list, well})
			n += len(one.list)
		}
	}
	begun := 0
	if t.begins > 0 {
		for _, w := range a.x.beginning(t.word) {
			if t.alike[w.text] < t.begins {
				t.words = append(t.words, posted{w.list, t.begins})
				begun += len(w.list)
			}
		}
	}
	if n == 0 {
		n = begun
	}
	if n == 0 && t.fields != nil {
		for slot, sort := range a.x.sorts {
			if t.fields[sort] != 0 && a.scores[slot] >= 0 && a.x.entries[slot].filled&t.fields[sort] != 0 {
				n++
			}
		}
	}
	t.weight = 16 + doublings(a.x.Len()) - doublings(min(n, a.x.Len()))
	a.terms = append(a.terms, t)
	a.sizes = a.sizes || t.sized
}

// doublings is the logarithm of n+1 to the base of two, in sixteenths, near enough.
func doublings(n int) int32 {
	n++
	whole := bits.Len(uint(n)) - 1
	return int32(whole*16 + n<<4>>whole&15)
}
