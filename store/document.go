package store

import (
	"crypto/md5"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"slices"
	"strings"
	"unicode/utf8"

	bolt "go.etcd.io/bbolt"

	"datumbook/store/revtree"
)

// Doc is one revision of a document.
type Doc struct {
	ID      string
	Rev     revtree.Rev // on Edit: the revision to replace, zero for none
	Hashes  []string    // Rev's hash and its ancestors', newest first; may be nil for a root
	Deleted bool
	Body    []byte // the document's members as they were sent, without braces and without the protocol's own
	Atts    []Att
}

// Att is an attachment of a revision.
type Att struct {
	Name        string
	ContentType string
	RevPos      uint64 // generation in which its bytes were added; a stub's may be 0: not said
	Length      int64
	MD5         [16]byte // the protocol's name for the content; a stub's may be zero: not said
	SHA256      [32]byte // the store's name for the content

	Stub bool  // on writing: keep what the ancestor has under this name
	Blob *Blob // on writing: new content

	book string // where it was read from
	body uint64
}

// Digest gives the protocol's name for the content: md5- and the base64 of the MD5.
func (a Att) Digest() string { return "md5-" + base64.StdEncoding.EncodeToString(a.MD5[:]) }

// Result answers one document of a Push or Edit. Err is an *Error, or nil.
type Result struct {
	ID      string
	Rev     revtree.Rev
	Written bool // it was new to the store
	Err     error
}

// Push merges revisions that were made elsewhere (new_edits:false). It never conflicts, and known
// revisions change nothing. Results are in the order of docs; an error applies to all of them, and
// then none is stored. A document that is itself refused (Bad, Invalid, MissingStub) is quarantined
// and listed by Refused.
func (b *Book) Push(docs []Doc) ([]Result, error) { return b.PushBy("", docs) }

// PushBy is Push for the device of that id, or "office": the revisions note who sent them.
func (b *Book) PushBy(by string, docs []Doc) ([]Result, error) { return b.save(by, docs, false) }

// Edit makes a new revision of each document (new_edits:true). A document whose Rev is not a leaf,
// or that is live and has none, gets a Conflict; a deleted one is continued.
func (b *Book) Edit(docs []Doc) ([]Result, error) { return b.EditBy("", docs) }

// EditBy is Edit for the device of that id, or "office".
func (b *Book) EditBy(by string, docs []Doc) ([]Result, error) { return b.save(by, docs, true) }

// CheckID refuses the ids of new documents that the protocol does not allow (empty, too long, or
// beginning with _ other than _design/), and those that no address or JSON can name: not UTF-8, and
// "." and "..", which browsers and proxies take out of an address.
func CheckID(id string) error {
	switch err := CheckOldID(id); {
	case err != nil:
		return err
	case !utf8.ValidString(id):
		return newError(Bad, "a document id must be UTF-8: %q is not", id)
	case id == "." || id == "..":
		return newError(Bad, "a document id must not be %q, which no address can name: choose another", id)
	}
	return nil
}

// CheckOldID refuses ids that no version ever took. Documents whose ids only an earlier version took
// can be read, and deleted.
func CheckOldID(id string) error {
	switch {
	case id == "":
		return newError(Bad, "a document id must not be empty")
	case len(id) > MaxID:
		return newError(TooLarge, "a document id may be %d bytes long at most", MaxID)
	case id[0] == '_' && (!strings.HasPrefix(id, "_design/") || id == "_design/"):
		return newError(Bad, "Only reserved document ids may start with underscore.")
	}
	return nil
}

func (b *Book) save(by string, docs []Doc, edit bool) ([]Result, error) {
	if len(docs) == 0 {
		return nil, nil
	}
	reasons := make([][]string, len(docs))
	packed := make([][]byte, len(docs))
	var text []byte
	var pack packer
	weight := 0
	for i := range docs {
		weight += len(docs[i].Body) + len(docs[i].ID) + 24*len(docs[i].Hashes) + 200
		for _, a := range docs[i].Atts {
			if a.Blob == nil {
				continue
			}
			weight += len(a.Blob.mem)
			if err := a.Blob.going.wait(); err != nil {
				return nil, err
			}
		}
		if rules := b.s.opt.Rules; rules != nil && !docs[i].Deleted && !isDesign(docs[i].ID) {
			text = append(append(append(text[:0], '{'), docs[i].Body...), '}')
			reasons[i] = rules(b.name, docs[i].ID, text)
		}
		packed[i] = pack.pack(docs[i].Body)
	}
	name := b.s.nameOf(by)
	compared, err := b.compare(by, name, docs, edit)
	if err != nil {
		return nil, err
	}
	order := generationOrder(docs, edit)
	waiting := !edit && b.s.refused.waits(b.name, docs)
	results := make([]Result, len(docs))
	var last uint64
	var written int
	var moves []move
	var whole [][32]byte
	var old int64
	j := &job{weight: weight}
	j.fn = func(tx *bolt.Tx) error {
		last, written, moves, whole, old = 0, 0, nil, nil, 0
		w, err := b.writer(tx)
		if err != nil {
			return err
		}
		w.by, w.name, w.compared = by, name, nil
		for _, i := range order {
			if compared != nil {
				w.compared = &compared[i]
			}
			results[i], err = w.save(&docs[i], edit, reasons[i], packed[i])
			if err != nil {
				return err
			}
			if results[i].Written {
				written++
			}
		}
		if 2*w.timed > w.fresh {
			w.doc.FillPercent = 0.9 // documents come in id order: pages behind them stay as they are
		}
		if waiting {
			if err := w.arrived(results); err != nil {
				return err
			}
		}
		whole, old = w.whole, w.old
		if w.st != w.was {
			last, moves = w.st.seq, w.moves
			return w.st.save(w.book)
		}
		return nil
	}
	j.after = func() {
		b.s.stats.calls.Add(1)
		b.s.stats.docs.Add(uint64(len(docs)))
		b.s.stats.merged.Add(uint64(written))
		b.s.marks.drop(whole)
		b.s.oldBodies.Add(old)
		for _, r := range results {
			if waiting && r.Err == nil {
				b.s.refused.came(b.name, r.ID, r.Rev.String())
			}
		}
		if last != 0 {
			b.pending.follow(moves)
			b.wake(last)
		}
	}
	if err := b.s.commit(j); err != nil {
		return nil, err
	}
	return results, nil
}

// generationOrder keeps the request's order, except that several revisions of one document come
// oldest first.
func generationOrder(docs []Doc, edit bool) []int {
	order := make([]int, len(docs))
	for i := range order {
		order[i] = i
	}
	if edit || len(docs) < 2 {
		return order
	}
	places := make(map[string][]int, len(docs))
	twice := false
	for i := range docs {
		places[docs[i].ID] = append(places[docs[i].ID], i)
		twice = twice || len(places[docs[i].ID]) == 2
	}
	if !twice {
		return order
	}
	for i := range docs {
		at := places[docs[i].ID]
		if at[0] != i || len(at) < 2 {
			continue
		}
		sorted := slices.Clone(at)
		slices.SortStableFunc(sorted, func(x, y int) int { return docs[x].Rev.Compare(docs[y].Rev) })
		for k, place := range at {
			order[place] = sorted[k]
		}
	}
	return order
}

// writer holds what one Push or Edit uses of its transaction.
type writer struct {
	b                    *Book
	tx                   *bolt.Tx
	book, doc, body, seq *bolt.Bucket
	st, was              state
	moves                []move
	fresh, timed         int        // new documents, and those among them with time-ordered ids
	old                  int64      // revisions that are not leaves any more
	whole                [][32]byte // contents that were damaged and are not any more
	refused              int        // documents refused and set aside
	by, name             string     // who sends, its id and its name
	compared             *Compared  // of the document being written; may be nil
	carried              []string   // what its replaced leaves were flagged for
}

func (b *Book) writer(tx *bolt.Tx) (*writer, error) {
	bb, err := b.bucket(tx)
	if err != nil {
		return nil, err
	}
	st, err := loadState(bb)
	if err != nil {
		return nil, err
	}
	w := &writer{b: b, tx: tx, book: bb, doc: bb.Bucket(bucketDoc), body: bb.Bucket(bucketBody), seq: bb.Bucket(bucketSeq), st: st, was: st}
	w.body.FillPercent, w.seq.FillPercent = 0.95, 0.95 // only appended to
	return w, nil
}

// save writes one document. A refusal of the document is in the result; an error aborts the
// transaction.
func (w *writer) save(d *Doc, edit bool, reasons []string, packed []byte) (Result, error) {
	res := Result{ID: d.ID, Rev: d.Rev}
	refuse := func(err error) (Result, error) {
		res.Err = err
		if edit {
			return res, nil
		}
		if w.refused++; w.refused > RefusedEach {
			return res, nil // it would only push out those before it
		}
		return res, addRefused(w.tx, w.b.s, w.by, w.b.name, d, d.Rev.String(), err)
	}
	if err := CheckOldID(d.ID); err != nil {
		return refuse(err)
	}
	rec, err := getRecord(w.doc, d.ID)
	if KindOf(err) == Damaged {
		return refuse(err) // the others are not kept waiting for it
	}
	if err != nil {
		return res, err
	}
	if err := CheckID(d.ID); err != nil && !(d.Deleted && len(rec.tree.Nodes) > 0) {
		return refuse(err)
	}
	path, err := w.path(d, edit, &rec.tree)
	if err != nil {
		return refuse(err)
	}
	res.Rev = path.Leaf()
	node, known := rec.tree.Find(res.Rev)
	mended := false
	if known && !edit {
		if mended, err = w.again(d, &rec.tree, node, packed); err != nil {
			return res, err
		}
	}
	var atts []Att
	if !known && branches(path, &rec.tree) && len(rec.tree.Leaves()) >= MaxLeaves {
		return refuse(newError(Bad, "document %q has %d versions side by side already, and no more are kept: "+
			"delete those that are not needed, or give it another id", d.ID, MaxLeaves))
	}
	if !known {
		if atts, err = w.attach(d, path, &rec.tree, edit); err != nil {
			if KindOf(err) == MissingStub {
				return refuse(err)
			}
			return res, err
		}
		path.Body = w.st.body + 1
	}
	before := leafRevs(&rec.tree)
	live, was := rec.live(), len(rec.tree.Nodes) > 0
	out := rec.tree.Merge(path)
	if !out.Changed && !mended {
		return res, nil
	}
	if !was {
		w.fresh++
		if timed(d.ID) {
			w.timed++
		}
	}
	if out.Added {
		w.st.body++
		if was {
			w.old++
		}
		key := key64(path.Body)
		if err := w.body.Put(key, seal(key, encodeBody(atts, d.Body, packed))); err != nil {
			return res, err
		}
		if err := w.stamp(path.Body); err != nil {
			return res, err
		}
		res.Written = true
	}
	for _, n := range rec.tree.Stem(int(w.st.limit)) {
		err := w.dropBody(n.Body)
		if KindOf(err) == Damaged { // what it names stays, counted once too often
			err = w.body.Delete(key64(n.Body))
		}
		if err != nil {
			return res, err
		}
	}
	if out.Leaves || mended { // replicas that set it aside hear of it again
		if err := w.sequence(d.ID, &rec, before, was, live); err != nil {
			return res, err
		}
	}
	if out.Added {
		var c Compared
		if w.compared != nil {
			c = *w.compared
		}
		if err := w.told(d, res.Rev, &rec, was && live, reasons, c); err != nil {
			return res, err
		}
	}
	return res, w.doc.Put([]byte(d.ID), rec.encode(d.ID))
}

// MaxLeaves is how many revisions of one document may lie side by side. Each change of a document
// costs as much as it has of them, so without a limit one device could keep all writers waiting.
const MaxLeaves = 1000

// branches reports whether a path adds a leaf and does not only make one longer.
func branches(p revtree.Path, t *revtree.Tree) bool {
	for i := 1; i < len(p.Hashes); i++ {
		if at, ok := t.Find(revtree.Rev{Pos: p.Start - uint64(i), Hash: p.Hashes[i]}); ok {
			return t.Nodes[at].Inner
		}
	}
	return true
}

// timed reports whether an id is time-ordered: a kind, a colon and 26 letters of Crockford's base
// 32, the milliseconds first.
func timed(id string) bool {
	at := len(id) - 26
	if at < 2 || id[at-1] != ':' {
		return false
	}
	for _, c := range []byte(id[at:]) {
		if (c < '0' || c > '9') && (c < 'A' || c > 'Z') {
			return false
		}
	}
	return true
}

// path works out the revision path to merge: as sent, or for an edit the new revision on the leaf
// it replaces.
func (w *writer) path(d *Doc, edit bool, t *revtree.Tree) (revtree.Path, error) {
	if !edit {
		p := revtree.Path{Start: d.Rev.Pos, Hashes: d.Hashes, Deleted: d.Deleted}
		if len(p.Hashes) == 0 {
			p.Hashes = []string{d.Rev.Hash}
		}
		if !p.Valid() || p.Hashes[0] != d.Rev.Hash {
			return p, newError(Bad, "Invalid rev format")
		}
		if most := w.furthest(t); p.Start > most {
			return p, newError(Bad, "revision %d-%s is beyond generation %d, further than a history can have grown",
				p.Start, p.Hashes[0], most)
		}
		return p, nil
	}
	parent := -1
	switch win := t.Winner(); {
	case !d.Rev.IsZero():
		i, ok := t.Find(d.Rev)
		if !ok || t.Nodes[i].Inner {
			return revtree.Path{}, newError(Conflict, "Document update conflict.")
		}
		parent = i
	case win >= 0 && !t.Nodes[win].Deleted:
		return revtree.Path{}, newError(Conflict, "Document update conflict.")
	case win >= 0:
		parent = win
	}
	p := revtree.Path{Start: 1, Deleted: d.Deleted}
	var old revtree.Rev
	if parent >= 0 {
		old = t.Nodes[parent].Rev
		p.Start = old.Pos + 1
	}
	p.Hashes = append([]string{NewHash(old, d)}, t.Path(parent)...)
	if _, ok := t.Find(p.Leaf()); ok || p.Start > revtree.MaxPos {
		return p, newError(Conflict, "Document update conflict.")
	}
	return p, nil
}

// furthest gives the greatest generation that is taken for a document: revtree.MaxNew, or as many
// beyond its newest known one as are kept of a history.
func (w *writer) furthest(t *revtree.Tree) uint64 {
	most := uint64(revtree.MaxNew)
	if n := len(t.Nodes); n > 0 {
		most = max(most, t.Nodes[n-1].Pos+w.st.limit)
	}
	return most
}

// NewHash computes the hash of a new revision from what it replaces and what it holds: the same
// content on the same revision gives the same hash. It is a name, not a proof, and is never
// checked.
func NewHash(parent revtree.Rev, d *Doc) string {
	h := md5.New()
	put := func(b []byte) {
		h.Write(binary.AppendUvarint(nil, uint64(len(b))))
		h.Write(b)
	}
	put([]byte(parent.String()))
	if d.Deleted {
		put([]byte{1})
	} else {
		put([]byte{0})
	}
	put(d.Body)
	for _, a := range d.Atts {
		put([]byte(a.Name))
		put([]byte(a.ContentType))
		if a.Blob != nil {
			put(a.Blob.SHA256[:])
		} else {
			put(a.MD5[:])
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}

// again takes a known revision: what was damaged here is written anew from it, which the result
// tells. One with other content than the known one is quarantined: two replicas gave different
// content the same revision, and the first stays.
func (w *writer) again(d *Doc, t *revtree.Tree, i int, packed []byte) (mended bool, err error) {
	switch err := w.same(d, t, i); KindOf(err) {
	case "":
		before := len(w.whole)
		for _, a := range d.Atts {
			if err := w.renewBlob(a); err != nil {
				return false, err
			}
		}
		return len(w.whole) > before, nil
	case Conflict:
		return false, addRefused(w.tx, w.b.s, w.by, w.b.name, d, d.Rev.String(), err)
	case Damaged:
		return true, w.mendBody(d, t.Nodes[i].Body, packed)
	default:
		return false, err
	}
}

// isDesign reports whether a document is a design document: code of some replica, which is kept and
// given on, and is no record.
func isDesign(id string) bool { return strings.HasPrefix(id, "_design/") }

// same refuses with Conflict if a known leaf holds different content than was pushed under its
// revision.
func (w *writer) same(d *Doc, t *revtree.Tree, i int) error {
	if t.Nodes[i].Inner || t.Nodes[i].Body == 0 {
		return nil
	}
	atts, body, err := getBody(w.body, t.Nodes[i].Body)
	if err != nil {
		return err
	}
	same := t.Nodes[i].Deleted == d.Deleted && sameMembers(body, d.Body)
	if !d.Deleted {
		same = same && len(atts) == len(d.Atts)
		for _, a := range d.Atts {
			j := named(atts, a.Name)
			same = same && j >= 0 && (a.Blob == nil || a.Blob.SHA256 == atts[j].SHA256) &&
				(a.Blob != nil || a.MD5 == [16]byte{} || a.MD5 == atts[j].MD5)
		}
	}
	if !same {
		return newError(Conflict, otherContent+": revision %s of this document is known with other content", d.Rev)
	}
	return nil
}

// sequence moves a changed document to a new sequence and updates counts and flags.
func (w *writer) sequence(id string, rec *record, before []revtree.Rev, was, live bool) error {
	if rec.seq != 0 {
		if err := w.seq.Delete(key64(rec.seq)); err != nil {
			return err
		}
	}
	w.st.seq++
	w.moves = append(w.moves, move{rec.seq, w.st.seq})
	rec.seq = w.st.seq
	after := leafRevs(&rec.tree)
	still := make(map[revtree.Rev]bool, len(after))
	for _, r := range after {
		still[r] = true
	}
	for _, r := range before {
		if !still[r] {
			carried, err := takeFlag(w.tx, w.b.name, id, r)
			if err != nil {
				return err
			}
			w.carried = append(w.carried, carried...)
		}
	}
	nowLive := rec.live()
	if was && live {
		w.st.docs--
	} else if was {
		w.st.deleted--
	}
	if nowLive {
		w.st.docs++
	} else {
		w.st.deleted++
	}
	key := key64(rec.seq)
	return w.seq.Put(key, seal(key, encodeRow(id, !nowLive, after)))
}

func (w *writer) dropBody(number uint64) error {
	if number == 0 {
		return nil
	}
	if err := dropStamp(w.book, number); err != nil {
		return err
	}
	key := key64(number)
	if raw := w.body.Get(key); raw != nil {
		if err := releaseBody(w.tx, key, raw); err != nil {
			return err
		}
	}
	return w.body.Delete(key)
}
