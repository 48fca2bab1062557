package jobbook

// The file of records, as FORMAT.md writes it down:
// {"datumbook":1,"form":"records","book","made","job","docs":[record,...]}, pictures inside. Before
// it there was a file of revisions, {"datumbook":1,"book","made","docs":[revision,...]}, which is
// read as well: the revisions of one id are merged like any copies of it.

// slice is how many records are exported or imported at a time, so that a large book needs little
// more memory than its file.
const slice = 50

// passage is the progress of an import or export.
type passage struct {
	ids []string
	at  int
}

// Next returns the ids of the next records: provide them with their files.
func (p *passage) Next() []string { return p.ids[p.at:min(p.at+slice, len(p.ids))] }

// answer reports the progress to the caller.
func (p *passage) answer(out *node) {
	out.put("ids", strs(p.Next())).put("done", whole(p.at)).put("all", whole(len(p.ids)))
}

// Import is the import of a file: call Take slice by slice, until Next is empty.
type Import struct {
	passage
	docs map[string][]string // the file's documents of each id

	// The results so far.
	Added, Changed, Same int
	Clashes              []Clash
	Refused              []RecordError // left out, each with its id as the field
	Look                 []RecordError // taken as they are, though something in them cannot be read
}

// Clash names the fields of a record that now have more than one value.
type Clash struct {
	ID     string
	Fields []string
}

// OpenFile reads a file and refuses it if it is incomplete or of another format.
func OpenFile(text string) (*Import, *RecordError) {
	w := walk{reader: reading(text)}
	im := &Import{docs: map[string][]string{}}
	version, form, listed := none, none, false
	w.space()
	ok := w.take('{')
	for first := true; ok && !w.ends('}'); first = false {
		var key string
		switch key, ok = w.key(first); {
		case ok && key == "docs":
			ok = w.take('[') && im.list(&w)
			listed = true
		case ok && key == "datumbook":
			version = w.value()
		case ok && key == "form":
			form = w.value()
		case ok:
			w.value()
		}
		ok = ok && w.bad == ""
	}
	w.space()
	number, _ := digits(version.text)
	problem := ""
	switch {
	case ok && number > 1:
		problem = "This file was saved by a newer Datumbook. Update this one first, then read it in."
	case !ok || w.at < len(text) || number != 1 || !listed || form.kind != null && form.text != "records":
		problem = "This file is not whole, or is not a Datumbook file. Choose one that Datumbook saved."
	default:
		return im, nil
	}
	return nil, &RecordError{"", problem}
}

// list notes the position of each record in the file.
func (im *Import) list(w *walk) bool {
	for first := true; !w.ends(']'); first = false {
		if !first && !w.take(',') {
			return false
		}
		w.space()
		from := w.at
		n := w.value()
		if w.bad != "" {
			return false
		}
		id := n.str("_id")
		switch {
		case id == "" || id[0] == '_':
			im.refuse(id, "this is not a record; it was left out")
		case im.docs[id] == nil:
			im.ids = append(im.ids, id)
			fallthrough
		default:
			im.docs[id] = append(im.docs[id], w.s[from:w.at])
		}
	}
	return true
}

func (im *Import) refuse(id, problem string) {
	im.Refused = append(im.Refused, RecordError{id, sentence(problem)})
}

// Take merges the next records of the file into the stored ones of the same ids, with their files
// inside, and returns the records to write. Nothing is overwritten: a record in both is merged.
func (im *Import) Take(mine []*Record) (put []*Record) {
	here := map[string]*document{}
	for _, d := range mine {
		d.plainFiles(nil)
		here[d.id] = d
	}
	ids := im.Next()
	for _, id := range ids {
		was := here[id]
		d := im.join(was, im.docs[id])
		delete(im.docs, id)
		switch {
		case d == was: // nothing of it was usable
			continue
		case was == nil:
			im.Added++
		case was.node(false).json() == d.node(false).json():
			im.Same++
			if !was.old { // else it is rewritten in the current format
				continue
			}
		default:
			im.Changed++
		}
		put = append(put, d)
		if says := d.unreadable(); says != nil {
			im.Look = append(im.Look, RecordError{id, says[0].Message})
		}
		if fields := d.clashing(); fields != nil {
			im.Clashes = append(im.Clashes, Clash{id, fields})
		}
	}
	im.at += len(ids)
	return put
}

// join merges a file's copies of one record into the stored one.
func (im *Import) join(d *document, texts []string) *document {
	for _, text := range texts {
		r := reading(text)
		n := r.value()
		theirs, problem := toDocument(n)
		if n.get("_deleted").yes() && len(theirs.fields) == 0 && problem == "" {
			continue // a deletion marker has nothing to merge
		}
		if theirs.plainFiles(d); problem == "" {
			problem = theirs.incomplete()
		}
		if problem != "" {
			im.refuse(theirs.id, problem)
			continue
		}
		if d == nil {
			theirs.rev = none
			d = theirs
			continue
		}
		all, f := merged([]*document{d, theirs})
		if f != nil {
			im.Refused = append(im.Refused, RecordError{d.id, f.Message})
			continue
		}
		all.rev, all.by = d.rev, d.by
		d = all
	}
	return d
}

// incomplete says why a document of a file cannot be stored.
func (d *document) incomplete() string {
	if d.kind == "" && len(d.fields) == 0 {
		return "this is not a record; it was left out"
	}
	for i, name := range d.files.keys {
		if d.files.list[i].get("data").kind != text {
			return "the file '" + short(name) + "' of this record is not in the export; it was left out"
		}
	}
	return ""
}

// clashing lists the fields with more than one current value.
func (d *document) clashing() []string {
	var out []string
	for _, f := range d.fields {
		if d.clashesIn(f) {
			out = append(out, f.key)
		}
	}
	return out
}

// opOpen begins to read a file: {"bytes"} gives {}. Its text follows in "feed" calls.
func opOpen(s *Session, in, _ *node) *RecordError {
	n, _ := digits(in.get("bytes").text)
	if n > 1<<31 {
		return &RecordError{"", "This file is larger than can be read in. Save it in parts, a job at a time."}
	}
	s.in, s.text = nil, make([]byte, 0, max(n, 1)) // at once: growing would take twice as much
	return nil
}

// noFile is the error of calls without a begun file, or after a restart.
var noFile = RecordError{"", "That file is no longer open. Begin with it once more; nothing is doubled."}

// opFeed takes the next piece of the text: {"text"} gives {}.
func opFeed(s *Session, in, _ *node) *RecordError {
	if s.text == nil {
		return &noFile
	}
	s.text = append(s.text, in.str("text")...)
	return nil
}

// opTake: {"mine":[stored records of the ids asked for]} gives {"put":[docs to write],"ids":[ask
// for these next],"done",
// "all","added","changed","same","clashes":[{"id","fields"}],"refused" and "look":[{"field":id,"message"}]}.
// The first call asks for none.
func opTake(s *Session, in, out *node) (f *RecordError) {
	put := newArray()
	if s.in == nil {
		if s.text == nil {
			return &noFile
		}
		s.in, f = OpenFile(string(s.text))
		s.text = nil
	} else {
		var mine []*document
		if mine, f = many(in, "mine"); f == nil {
			for _, d := range s.in.Take(mine) {
				put.add(d.node(true))
			}
		}
	}
	if f != nil {
		return f
	}
	clashes := newArray()
	for _, c := range s.in.Clashes {
		clashes.add(newObject().putStr("id", c.ID).put("fields", strs(c.Fields)))
	}
	out.put("put", put).put("clashes", clashes).put("refused", faultList(s.in.Refused)).put("look", faultList(s.in.Look))
	out.put("added", whole(s.in.Added)).put("changed", whole(s.in.Changed)).put("same", whole(s.in.Same))
	s.in.answer(out)
	return nil
}

// Export is the export of a file: call Write slice by slice, until Done.
type Export struct {
	passage
	Name       string // of the file
	head       *node
	some, done bool // some records, all records were written
}

// NewExport begins the file of a book's records, or of those of one job: docs are all of the book,
// and of the whole book their ids are enough.
func NewExport(book, made, job string, docs []*Record) *Export {
	head := newObject().put("datumbook", whole(1)).putStr("form", "records")
	e := &Export{head: head.putText("book", book).putText("made", made).putText("job", job)}
	name := book
	if job != "" {
		e.ids, name = Belongs(job, docs), "job"
	}
	for _, d := range docs {
		if job == "" && d.id != "" {
			e.ids = append(e.ids, d.id)
		} else if d.id == job {
			name = FileName(d.title())
		}
	}
	e.Name = "datumbook-" + name
	if len(made) >= len("2026-03-09T14:00") {
		e.Name += "-" + made[:10] + made[11:13] + made[14:16]
	}
	e.Name += ".json"
	return e
}

// FileName turns a name into one valid on every file system.
func FileName(name string) string {
	var b []byte
	for _, c := range []byte(lower(name)) {
		if isDigit(c) || 'a' <= c && c <= 'z' {
			b = append(b, c)
		} else if len(b) > 0 && b[len(b)-1] != '-' {
			b = append(b, '-')
		}
	}
	b = b[:min(len(b), 40)]
	if len(b) > 0 && b[len(b)-1] == '-' {
		b = b[:len(b)-1]
	}
	if len(b) == 0 {
		return "record"
	}
	return string(b)
}

// Records is how many records go into the file.
func (e *Export) Records() int { return len(e.ids) }

// Done reports that the file is complete.
func (e *Export) Done() bool { return e.done }

// Write gives the next piece of the file: the records of Next with their files inside, and the
// file's head and end with the first and the last.
func (e *Export) Write(docs []*Record) []byte {
	var b []byte
	if e.at == 0 {
		b = appendNode(nil, e.head)
		b = append(b[:len(b)-1], `,"docs":[`...)
	}
	for _, d := range arranged(docs, func(a, b *document) int { return compare(a.id, b.id) }) {
		if e.some {
			b = append(b, ',')
		}
		e.some = true
		d.plainFiles(nil)
		b = appendNode(append(b, '\n'), d.node(false))
	}
	e.at += len(e.Next())
	if e.done = e.at == len(e.ids); e.done {
		b = append(b, "\n]}\n"...)
	}
	return b
}

// opExport begins a file: {"docs","book","made","job"} gives {"name","ids":[bring these with their
// files],"done","all"}.
func opExport(s *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	s.out = NewExport(in.str("book"), in.str("made"), in.str("job"), docs)
	out.putStr("name", s.out.Name)
	s.out.answer(out)
	return nil
}

// opWrite: {"docs":[the records asked for]} gives {"text":the next piece of the file,"ids":[bring
// these next],"done","all"}.
func opWrite(s *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	if s.out == nil {
		return &noFile
	}
	out.putStr("text", string(s.out.Write(docs)))
	s.out.answer(out)
	return nil
}
