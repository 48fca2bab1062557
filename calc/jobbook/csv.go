package jobbook

// opCSV writes a table: {"kind","table","docs":[...]} gives {"name","csv"} as CSV does.
func opCSV(_ *Session, in, out *node) *RecordError {
	docs, f := many(in, "docs")
	if f != nil {
		return f
	}
	name, text, f := CSV(in.str("kind"), in.str("table"), docs)
	out.putStr("name", name)
	out.putStr("csv", text)
	return f
}

// Tables lists the tables of a kind that can be exported: "" for its records, and the keys of the
// tables inside them.
func (k *Kind) Tables() []string {
	out := []string{""}
	for i := range k.Fields {
		if k.Fields[i].Kind == Table {
			out = append(out, k.Fields[i].Key)
		}
	}
	return out
}

// CSV writes records of one kind, or the rows of one of their tables, as a file for spreadsheets
// (RFC 4180), with a byte order mark for UTF-8. Docs of other kinds provide the names of linked
// records. Clashing values are all in the cell.
func CSV(kind, table string, docs []*Record) (name, text string, f *RecordError) {
	k := KindOf(kind)
	if k == nil {
		return "", "", &RecordError{"kind", "There is no kind of record called '" + short(kind) + "'."}
	}
	names := map[string]string{}
	for _, d := range docs {
		names[d.id] = d.title()
	}
	fields := k.Fields
	name = k.Key
	if table != "" {
		def := k.Field(table)
		if def == nil || def.Kind != Table {
			return "", "", &RecordError{"table", "A " + k.Label + " has no table '" + short(table) + "'."}
		}
		fields = def.Columns
		name += "-" + table
	}
	c := csv{b: []byte("\ufeff"), names: names}
	c.cell("Id")
	if table != "" {
		c.cell(k.Label)
		c.cell("Row")
	}
	for i := range fields {
		if shownInCSV(&fields[i]) {
			c.cell(fields[i].Label)
		}
	}
	if table == "" {
		c.cell("Made")
		c.cell("Made by")
		c.cell("Changed")
	}
	c.end()
	for _, d := range arranged(docs, func(a, b *document) int { return compare(a.id, b.id) }) {
		if d.kind == k.Key && !d.gone() {
			c.record(d, fields, table)
		}
	}
	return name + ".csv", string(c.b), nil
}

func shownInCSV(f *Field) bool { return f.Kind != Table && f.Kind != Any && f.Kind != Photo }

type csv struct {
	b     []byte
	names map[string]string
	begun bool
}

func (c *csv) record(d *document, fields []Field, table string) {
	if table != "" {
		for _, r := range d.rows(table) {
			c.cell(d.id)
			c.cell(d.title())
			c.cell(r.id)
			for i := range fields {
				said := ""
				for _, h := range r.field.current() {
					said = also(said, c.said(&fields[i], h.v.get(fields[i].Key), h.unit))
				}
				c.cell(said)
			}
			c.end()
		}
		return
	}
	c.cell(d.id)
	for i := range fields {
		if !shownInCSV(&fields[i]) {
			continue
		}
		said := ""
		for _, h := range d.find(fields[i].Key).current() {
			said = also(said, c.said(&fields[i], h.v, h.unit))
		}
		c.cell(said)
	}
	made, changed := d.times()
	c.cell(made.at)
	c.cell(made.by)
	c.cell(changed.at)
	c.end()
}

func also(said, more string) string {
	if said == "" || said == more {
		return more
	}
	return said + " | " + more
}

func (c *csv) said(f *Field, v *node, unit string) string {
	switch {
	case f.Kind == Link && c.names[v.text] != "":
		return c.names[v.text]
	case v.kind == object:
		out := ""
		for i, key := range v.keys {
			if i > 0 {
				out += "; "
			}
			out += key + "=" + plain(v.list[i])
		}
		return out
	case v.kind == array:
		out := ""
		one := f
		if f.Kind == List {
			one = &f.Columns[0]
		}
		for i, each := range v.list {
			if i > 0 {
				out += ", "
			}
			out += c.said(one, each, unit)
		}
		return out
	}
	return saying(f, v, unit)
}

func (c *csv) end() {
	c.b = append(c.b, '\r', '\n')
	c.begun = false
}

// cell writes one cell, quoted where it holds what some spreadsheet separates cells by.
func (c *csv) cell(s string) {
	if c.begun {
		c.b = append(c.b, ',')
	}
	c.begun = true
	s = guarded(s)
	quote := false
	for i := range len(s) {
		quote = quote || s[i] == '"' || separates(s[i])
	}
	if !quote {
		c.b = append(c.b, s...)
		return
	}
	c.b = append(c.b, '"')
	for i := range len(s) {
		if s[i] == '"' {
			c.b = append(c.b, '"')
		}
		c.b = append(c.b, s[i])
	}
	c.b = append(c.b, '"')
}

// separates reports whether a spreadsheet may begin a new cell or row after this letter: which one
// it does depends on its language, and one that separates at semicolons does not see the quotes.
func separates(c byte) bool { return c == ',' || c == ';' || c == '\t' || c == '\n' || c == '\r' }

// guarded puts an apostrophe in front of each part of a text that a spreadsheet would take for a
// formula, if a cell began there. [CSVText] takes it away again: a part that has apostrophes before
// a formula gets one more, so that none that was typed is taken for ours.
func guarded(s string) string {
	return byParts(s, func(part string, first bool) string {
		if formula(part, first) {
			return "'" + part
		}
		return part
	})
}

// CSVText gives the text that was written as a cell of [CSV].
func CSVText(cell string) string {
	return byParts(cell, func(part string, first bool) string {
		if part[0] == '\'' && formula(part[1:], first) {
			return part[1:]
		}
		return part
	})
}

// byParts changes each part of a text, with what separates it from the next.
func byParts(s string, each func(part string, first bool) string) string {
	out, from := "", 0
	for i := range len(s) {
		if separates(s[i]) || i == len(s)-1 {
			out += each(s[from:i+1], from == 0)
			from = i + 1
		}
	}
	return out
}

// formula reports whether a part of a text begins a formula, behind apostrophes, quotes and blanks,
// or a cell with what spreadsheets drop before they look. A signed number stays a number.
func formula(s string, first bool) bool {
	for s != "" && (s[0] == '\'' || s[0] == '"' || s[0] == ' ') {
		s = s[1:]
	}
	if s == "" {
		return false
	}
	switch s[0] {
	case '=', '@':
		return true
	case '+', '-':
		return !numberLike(s)
	}
	return first && (s[0] == '\t' || s[0] == '\r' || s[0] == '\n')
}

// numberLike tells whether a text is a signed number, perhaps a fraction, with at most a unit behind.
// What separates may end it.
func numberLike(s string) bool {
	for s != "" && (separates(s[len(s)-1]) || s[len(s)-1] == ' ') {
		s = s[:len(s)-1]
	}
	at := 1
	for at < len(s) && (isDigit(s[at]) || s[at] == '.' || s[at] == '/' || s[at] == '-' || s[at] == ' ') {
		at++
	}
	if at < 2 || !isDigit(s[1]) && s[1] != '.' || at < len(s) && (s[at-1] == '/' || s[at-1] == '-') {
		return false
	}
	for ; at < len(s); at++ {
		if c := s[at]; c != '"' && (c|0x20 < 'a' || c|0x20 > 'z') {
			return false
		}
	}
	return true
}
