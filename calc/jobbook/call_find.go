package jobbook

func (d *Session) x() *Index {
	if d.index == nil {
		d.index = NewIndex()
	}
	return d.index
}

// opIndex: {"docs":[...],"remove":[id],"clear":true} gives
// {"count","problems":[{"field":id,"message"}]}.
func opIndex(d *Session, in, out *node) *RecordError {
	if in.get("clear").yes() {
		d.index = nil
	}
	var problems []RecordError
	for _, n := range in.get("docs").list {
		doc, problem := toDocument(n)
		if problem != "" {
			problems = append(problems, RecordError{n.str("_id"), sentence(problem)})
			continue
		}
		d.x().add(doc)
	}
	for _, id := range in.get("remove").list {
		d.x().Remove(id.text)
	}
	out.put("count", whole(d.x().Len()))
	out.put("problems", faultList(problems))
	return nil
}

// texts reads an array of texts, in which anything else is passed over; a text alone is an array of
// one.
func (n *node) texts(key string) (out []string) {
	switch v := n.get(key); {
	case v.kind == text && v.text != "":
		out = []string{v.text}
	case v.kind == array:
		for _, each := range v.list {
			if each.kind == text {
				out = append(out, each.text)
			}
		}
	}
	return out
}

// opFind:
// {"query","unit","kinds":[kind],"to":[id],"machine":id,"fixture":id,"job":id,"from","until","gone","most"}
// gives {"hits":[{"id","type","label","title","detail","date","demo","gone","score"}],"total"}.
func opFind(d *Session, in, out *node) *RecordError {
	n, _ := digits(in.get("most").text)
	q := Query{Text: in.str("query"), Unit: in.str("unit"), Kinds: in.texts("kinds"), To: in.texts("to"),
		From: in.str("from"), Until: in.str("until"), Gone: in.get("gone").yes(), Most: int(min(n, 1000))}
	if len(q.Text) > 400 {
		return &RecordError{"query", "That is more than can be looked for at once. Use fewer words."}
	}
	for _, key := range linkKeys {
		q.To = append(q.To, in.texts(key)...)
	}
	hits, total := d.x().Find(q)
	list := newArray()
	for i := range hits {
		h := &hits[i]
		one := newObject().putStr("id", h.ID).putStr("type", h.Kind)
		if k := KindOf(h.Kind); k != nil {
			one.putStr("label", k.Label)
		}
		one.putStr("title", h.Title).putText("detail", h.Detail).putText("date", h.Date).putText("demo", h.Demo)
		one.putYes("gone", h.Gone).put("score", whole(h.Score))
		list.add(one)
	}
	out.put("hits", list)
	out.put("total", whole(total))
	return nil
}

var linkKeys = []string{"machine", "fixture", "job"}
