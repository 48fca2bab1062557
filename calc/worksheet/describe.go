package worksheet

import "datumbook/calc/units"

// Describe writes the description of worksheets as JSON: all that a form, a
// reference page or a program needs to know of them. Limits, units, options,
// words, columns and flags stand only where there are any: written out empty
// they were a fifth of what a phone reads before it shows the first form.
func Describe(groups []Group, sheets []*Sheet) []byte {
	w := &writer{}
	w.open('{')
	w.key("groups")
	w.open('[')
	for _, g := range groups {
		w.open('{')
		w.field("key", g.Key)
		w.field("title", g.Title)
		w.end('}')
	}
	w.end(']')
	w.key("worksheets")
	w.open('[')
	for _, s := range sheets {
		s.describe(w)
	}
	w.end(']')
	w.end('}')
	return w.b
}

func (s *Sheet) describe(w *writer) {
	w.open('{')
	w.field("name", s.Name)
	w.field("title", s.Title)
	w.field("question", s.Question)
	w.field("group", s.Group)
	w.field("drawing", s.Drawing)
	w.key("about")
	w.open('[')
	for _, p := range s.About {
		w.str(p)
	}
	w.end(']')
	w.key("inputs")
	w.open('[')
	for i := range s.Inputs {
		s.Inputs[i].describe(w)
	}
	w.end(']')
	w.key("results")
	w.open('[')
	for i := range s.Results {
		r := &s.Results[i]
		w.open('{')
		w.field("key", r.Key)
		w.field("label", r.Label)
		w.field("kind", string(r.Kind))
		w.field("help", r.Help)
		w.mark("main", r.Main)
		writeUnits(w, r.Kind, r.Units)
		writeColumns(w, r.Columns)
		w.end('}')
	}
	w.end(']')
	w.key("sources")
	w.open('[')
	for _, src := range s.Sources {
		w.open('{')
		w.field("key", src.Key)
		w.field("title", src.Title)
		w.end('}')
	}
	w.end(']')
	w.key("sample")
	w.open('[')
	for _, p := range s.Example {
		w.open('[')
		w.str(p.Key)
		w.str(p.Text)
		w.end(']')
	}
	w.end(']')
	w.end('}')
}

func (in *Input) describe(w *writer) {
	w.open('{')
	w.field("key", in.Key)
	w.field("label", in.Label)
	w.field("kind", string(in.Kind))
	w.field("help", in.Help)
	w.field("example", in.Example)
	w.field("default", in.Default)
	w.mark("required", in.Required)
	w.field("section", in.Section)
	writeUnits(w, in.Kind, in.Units)
	w.given("min", in.Min)
	w.given("max", in.Max)
	writeOptions(w, "options", in.Options)
	writeOptions(w, "words", in.Words)
	writeColumns(w, in.Columns)
	w.end('}')
}

func writeUnits(w *writer, k Kind, over Units) {
	inch, _ := unitOf(k, over, units.InchSystem)
	metric, _ := unitOf(k, over, units.MetricSystem)
	if inch.Name == "" && metric.Name == "" {
		return
	}
	w.key("units")
	w.open('{')
	w.field("in", inch.Name)
	w.field("mm", metric.Name)
	w.end('}')
}

func writeOptions(w *writer, key string, options []Option) {
	if len(options) == 0 {
		return
	}
	w.key(key)
	w.open('[')
	for _, o := range options {
		w.open('{')
		w.field("key", o.Key)
		w.field("label", o.Label)
		w.end('}')
	}
	w.end(']')
}

func writeColumns(w *writer, columns []Column) {
	if len(columns) == 0 {
		return
	}
	w.key("columns")
	w.open('[')
	for _, c := range columns {
		w.open('{')
		w.field("key", c.Key)
		w.field("label", c.Label)
		w.field("kind", string(c.Kind))
		writeUnits(w, c.Kind, c.Units)
		w.given("min", c.Min)
		w.given("max", c.Max)
		writeOptions(w, "options", c.Options)
		w.mark("optional", c.Optional)
		w.end('}')
	}
	w.end(']')
}

// given writes a text where there is one.
func (w *writer) given(k, v string) {
	if v != "" {
		w.field(k, v)
	}
}

// mark writes a flag where it is set.
func (w *writer) mark(k string, v bool) {
	if v {
		w.flag(k, true)
	}
}
