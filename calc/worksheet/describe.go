package worksheet

import "datumbook/calc/field"

// Describe writes the description of worksheets as JSON: all that a form, a
// reference page or a program needs to know of them; pages writes the screens they stand on.
func Describe(groups []Group, sheets []*Sheet, pages func(w *field.Writer, sheets []*Sheet)) []byte {
	w := &field.Writer{}
	w.Open('{')
	w.Key("groups")
	w.Open('[')
	for _, g := range groups {
		w.Open('{')
		w.Text("key", g.Key)
		w.Text("title", g.Title)
		w.End('}')
	}
	w.End(']')
	w.Key("worksheets")
	w.Open('[')
	for _, s := range sheets {
		s.describe(w)
	}
	w.End(']')
	pages(w, sheets)
	w.End('}')
	return w.B
}

func (s *Sheet) describe(w *field.Writer) {
	w.Open('{')
	w.Text("name", s.Name)
	w.Text("title", s.Title)
	w.Text("question", s.Question)
	w.Text("group", s.Group)
	w.Text("drawing", s.Drawing)
	w.Strs("about", s.About)
	field.WriteAll(w, "inputs", s.Inputs)
	w.Key("results")
	w.Open('[')
	for i := range s.Results {
		r := &s.Results[i]
		w.Open('{')
		w.Text("key", r.Key)
		w.Text("label", r.Label)
		w.Text("kind", string(r.Kind))
		w.Text("help", r.Help)
		w.Mark("main", r.Main)
		field.WriteUnits(w, r.Kind, r.Units)
		field.WriteAll(w, "columns", r.Columns)
		w.End('}')
	}
	w.End(']')
	w.Key("sources")
	w.Open('[')
	for _, src := range s.Sources {
		w.Open('{')
		w.Text("key", src.Key)
		w.Text("title", src.Title)
		w.End('}')
	}
	w.End(']')
	w.Key("sample")
	w.Open('[')
	for _, p := range s.Example {
		w.Open('[')
		w.Str(p.Key)
		w.Str(p.Text)
		w.End(']')
	}
	w.End(']')
	w.End('}')
}
