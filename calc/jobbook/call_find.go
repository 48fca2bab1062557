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
// gives {"hits":[{"id","type","label","title","detail","date","by","on","demo","gone","name":[text],
// "line":[text],"why":[text],"field","place","score"}],"total","kinds":{kind:count}}. In a list of
// texts those at uneven places are what the question has.
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
	found := d.x().Find(q)
	list, counts := newArray(), newObject()
	for i := range found.Hits {
		list.add(found.Hits[i].node())
	}
	for _, c := range found.Kinds {
		counts.put(c.Kind, whole(c.Count))
	}
	out.put("hits", list)
	out.put("total", whole(found.Total))
	out.put("kinds", counts)
	return nil
}

func (h *Hit) node() *node {
	one := newObject().putStr("id", h.ID).putStr("type", h.Kind)
	if k := KindOf(h.Kind); k != nil {
		one.putStr("label", k.Label)
	}
	one.putStr("title", h.Title).putText("detail", h.Detail).putText("date", h.Date).putText("by", h.By)
	one.putText("on", h.On).putText("demo", h.Demo).putYes("gone", h.Gone)
	for i, marked := range [][]string{h.Name, h.Line, h.Why} {
		if len(marked) > 0 {
			one.put([]string{"name", "line", "why"}[i], strs(marked))
		}
	}
	return one.putText("field", h.Label).putText("place", h.Place).put("score", whole(h.Score))
}

var linkKeys = []string{"machine", "fixture", "job"}
