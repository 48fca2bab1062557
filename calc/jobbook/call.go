package jobbook

// Session answers calls and keeps state between them: the search index, and the file being imported
// or exported. It serves one caller at a time.
type Session struct {
	index *Index
	text  []byte // of a file being imported; nil if none
	in    *Import
	out   *Export
}

// phone is the one session of a phone, which has one thread.
var phone Session

// Call answers in the phone's session: JSON in, JSON out, as FORMAT.md lists it. Concurrent callers
// need a Session each.
func Call(op string, in []byte) []byte { return phone.Call(op, in) }

// op is one operation: its input and its answer are objects.
type op struct {
	name string
	run  func(d *Session, in, out *node) *RecordError
}

// Call answers one operation. A request that cannot be answered gives
// {"error":{"field","message"}}.
func (d *Session) Call(name string, in []byte) []byte {
	n, out, problem := newObject(), newObject(), ""
	if len(in) > 0 {
		n, problem = parseTo(maxDepth+inCall, in)
	}
	fault := &RecordError{"", "There is nothing called '" + short(name) + "' to do here."}
	switch {
	case name == "describe":
		return Describe()
	case problem != "":
		fault = &RecordError{"", sentence(problem)}
	case n.kind != object:
		fault = &RecordError{"", "A request has to be a JSON object."}
	default:
		for i := range ops {
			if ops[i].name == name {
				fault = ops[i].run(d, n, out)
				break
			}
		}
	}
	if fault != nil {
		out = newObject().put("error", fault.node())
	}
	return appendNode(nil, out)
}

// ops lists all operations.
var ops = [...]op{
	{"check", opCheck}, {"new", opNew}, {"edit", opEdit}, {"merge", opMerge},
	{"view", opView}, {"clashes", opClashes}, {"history", opHistory}, {"index", opIndex}, {"find", opFind},
	{"prefill", opPrefill}, {"ahead", opAhead}, {"repeat", opRepeat}, {"readings", opReadings}, {"found", opFound}, {"csv", opCSV},
	{"export", opExport}, {"write", opWrite}, {"open", opOpen}, {"feed", opFeed}, {"take", opTake},
	{"shape", opShape}, {"placing", opPlacing}, {"invention", opInvention}, {"belongs", opBelongs}, {"purge", opPurge},
}

// one reads the document a request names under a key.
func one(in *node, key string) (*document, *RecordError) {
	n := in.get(key)
	if n.kind == null {
		return nil, &RecordError{key, "The request has no '" + key + "'."}
	}
	d, problem := toDocument(n)
	if problem != "" {
		return d, &RecordError{key, sentence(problem)}
	}
	return d, nil
}

// many reads an array of documents; one that cannot be read has no fields, so that the others come
// through.
func many(in *node, key string) ([]*document, *RecordError) {
	list := in.get(key)
	if list.kind != array {
		return nil, &RecordError{key, "The request has no list '" + key + "'."}
	}
	out := make([]*document, len(list.list))
	for i, n := range list.list {
		out[i], _ = toDocument(n)
	}
	return out, nil
}

func faultList(faults []RecordError) *node {
	out := newArray()
	for i := range faults {
		out.add(faults[i].node())
	}
	return out
}

func (f *RecordError) node() *node {
	return newObject().putStr("field", f.Field).putStr("message", f.Message)
}

// opCheck: {"doc"} gives {"faults":[{"field","message"}],"newer":[field]}.
func opCheck(_ *Session, in, out *node) *RecordError {
	d, f := one(in, "doc")
	if f != nil {
		return f
	}
	r := d.check()
	out.put("faults", faultList(r.Faults))
	out.put("newer", strs(r.Newer))
	return nil
}

func author(in *node) Author {
	n, _ := digits(in.get("counter").text)
	a := Author{Device: in.str("device"), By: in.str("by"), At: in.str("at"), Unit: in.str("unit"), Counter: int(n), Units: map[string]string{}}
	if seen := in.get("seen"); seen.kind == object {
		a.Seen = map[string][]string{}
		for _, key := range seen.keys {
			a.Seen[key] = seen.texts(key)
		}
	}
	units := in.get("units")
	for i, key := range units.keys {
		a.Units[key] = units.list[i].text
	}
	return a
}

// opNew: {"type","ms","chance","set":{field:value},"device","by","at","unit","demo"}
// gives {"doc","counter"} or {"faults"}.
func opNew(_ *Session, in, out *node) *RecordError {
	kind := in.str("type")
	if KindOf(kind) == nil {
		return &RecordError{"type", "There is no kind of record called '" + short(kind) + "'."}
	}
	id := in.str("id")
	if id == "" {
		ms, _ := digits(in.get("ms").text)
		made, f := NewID(kind, ms, in.str("chance"), 0)
		if f != nil {
			return f
		}
		id = made
	}
	a := author(in)
	d := fresh(kind, id, in.str("demo"))
	faults := d.change(in.get("set"), &a)
	if faults == nil {
		faults = d.check().Faults
	}
	answerChange(d, &a, faults, out)
	return nil
}

func fresh(kind, id, demo string) *document {
	d := &document{rev: none, files: none, id: id, kind: kind}
	d.keep("type", str(kind))
	d.keep("v", whole(version))
	if demo != "" {
		d.keep("demo", str(demo))
	}
	return d
}

func answerChange(d *document, a *Author, faults []RecordError, out *node) {
	if faults != nil {
		out.put("faults", faultList(faults))
		return
	}
	out.put("doc", d.node(true))
	out.put("counter", whole(a.Counter))
}

// opEdit: {"doc","set":{field:value},"seen":{field:[edit ids]},"device","by","at","unit","counter",
// "units":{field:unit}} gives {"doc","counter"} or {"faults"}.
func opEdit(_ *Session, in, out *node) *RecordError {
	d, f := one(in, "doc")
	if f != nil {
		return f
	}
	if set := in.get("set"); set.kind != object {
		return &RecordError{"set", "The request has no values to set."}
	}
	a := author(in)
	answerChange(d, &a, d.change(in.get("set"), &a), out)
	return nil
}

// opMerge: {"docs":[...]} gives {"doc","same":[positions of copies that say the
// same already],"clashes":[field]}.
func opMerge(_ *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	all, f := merged(docs)
	if f != nil {
		return f
	}
	n := all.node(false)
	want := n.json()
	same := newArray()
	for i := range docs {
		if !docs[i].old && docs[i].node(false).json() == want {
			same.add(whole(i))
		}
	}
	out.put("doc", n)
	out.put("same", same)
	out.put("clashes", strs(all.clashing()))
	return nil
}

// opView: {"docs":[...]} gives {"views":[...]}; what cannot be read becomes
// {"id","problem"}.
func opView(_ *Session, in, out *node) *RecordError {
	list := in.get("docs")
	if list.kind != array {
		return &RecordError{"docs", "The request has no list 'docs'."}
	}
	views := newArray()
	for _, n := range list.list {
		d, problem := toDocument(n)
		if problem != "" {
			views.add(newObject().putStr("id", n.str("_id")).putStr("problem", sentence(problem)))
			continue
		}
		views.add(d.view())
	}
	out.put("views", views)
	return nil
}

// opClashes: {"doc"} gives {"clashes":[{"field","label","values":[{"id","at","by","unit","v"}]}]}.
func opClashes(_ *Session, in, out *node) *RecordError {
	d, f := one(in, "doc")
	if f == nil {
		out.put("clashes", d.clashes())
	}
	return f
}

// opHistory: {"doc"} gives
// {"history":[{"field","label","id","at","by","unit","v","over":[...],"current":true}]}.
func opHistory(_ *Session, in, out *node) *RecordError {
	d, f := one(in, "doc")
	if f == nil {
		out.put("history", d.history())
	}
	return f
}
