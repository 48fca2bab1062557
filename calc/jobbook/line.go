package jobbook

import (
	"slices"
	"strings"
)

// A record's lines are its fields and the rows of its tables, as they are searched and shown. One
// line is
//
//	key by RS date {US column text}
//
// and ends with GS; by and date are those of a row's edit. Column is a column's place in the table,
// from ' ' on; what is no table has ' '. A flag's text is a space.
const (
	lineEnd byte = '\x1d'
	partAt  byte = '\x1e'
	cellAt  byte = '\x1f'
)

func (x *Index) beginLine(key, row string, h *edit) {
	if n := len(x.writing); n > 0 && x.writing[n-1] != lineEnd {
		x.writing = append(x.writing, lineEnd)
	}
	x.writing = append(append(x.writing, key...), partAt)
	if row != "" {
		x.writing = append(append(append(x.writing, h.by...), partAt), cut(h.at, 10)...)
	}
	x.beginCell(0)
}

// beginCell begins a column's cell, in place of one that stayed empty.
func (x *Index) beginCell(column int) {
	if n := len(x.writing); n > 1 && x.writing[n-2] == cellAt {
		x.writing = x.writing[:n-2]
	}
	x.writing = append(x.writing, cellAt, byte(' '+column))
}

// writeCell writes into the cell begun, behind what stands there.
func (x *Index) writeCell(text string) {
	if x.mute {
		return
	}
	if n := len(x.writing); x.writing[n-2] != cellAt {
		x.writing = append(x.writing, ", "...)
	}
	for i := range len(text) {
		x.writing = append(x.writing, max(text[i], ' '))
	}
}

// cell is one text of a line with its field or column, nil where that is not known.
type cell struct {
	column int
	def    *Field
	text   string
}

// sayLine is one field or row of a record.
type sayLine struct {
	key, by, at string
	def         *Field
	cells       []cell
}

// readLine takes the next line off a record's lines.
func readLine(k *Kind, lines string) (l sayLine, rest string) {
	one, rest, _ := strings.Cut(lines, string(rune(lineEnd)))
	for i := 0; one != ""; i++ {
		var part string
		part, one, _ = strings.Cut(one, string(rune(cellAt)))
		if i == 0 {
			l.key, part, _ = strings.Cut(part, string(rune(partAt)))
			l.by, l.at, _ = strings.Cut(part, string(rune(partAt)))
			l.def = k.Field(l.key)
			continue
		}
		c := cell{column: int(part[0] - ' '), def: l.def, text: part[1:]}
		if l.def != nil && l.def.Kind == Table && c.column < len(l.def.Columns) {
			c.def = &l.def.Columns[c.column]
		}
		at := len(l.cells)
		for at > 0 && l.cells[at-1].column > c.column {
			at--
		}
		l.cells = slices.Insert(l.cells, at, c)
	}
	return l, rest
}
