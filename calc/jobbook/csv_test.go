package jobbook_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/jobbook"
)

// cellOf writes a note's text as CSV and gives its cell, read by RFC 4180 to the letter: Go's own
// reader makes one line break of two letters.
func cellOf(t require.TestingT, text string) (cell, line string) {
	typed, err := json.Marshal(text)
	require.NoError(t, err)
	r, err := jobbook.Join([]byte(`{"_id":"note:1","type":"note","v":1,"f":{"text":[{"id":"a-1","v":` +
		string(typed) + `}]}}`))
	require.NoError(t, err)
	_, all, fault := jobbook.CSV("note", "", []*jobbook.Record{r})
	require.Nil(t, fault)
	head, line, _ := strings.Cut(strings.TrimPrefix(all, "\ufeff"), "\r\n")
	line = strings.TrimSuffix(line, "\r\n")
	at := slices.Index(readLine(head), "Note")
	require.GreaterOrEqual(t, at, 0, head)
	return readLine(line)[at], line
}

// readLine reads the cells of one line.
func readLine(line string) (cells []string) {
	cell, quoted := "", false
	for i := 0; i < len(line); i++ {
		switch c := line[i]; {
		case c == '"' && quoted && i+1 < len(line) && line[i+1] == '"':
			cell += `"`
			i++
		case c == '"':
			quoted = !quoted
		case c == ',' && !quoted:
			cells, cell = append(cells, cell), ""
		default:
			cell += line[i : i+1]
		}
	}
	return append(cells, cell)
}

func TestCSVCells(t *testing.T) {
	for _, c := range []struct{ text, cell string }{
		{"plain", "plain"}, {"", ""},
		{"=1+1", "'=1+1"}, {"+x", "'+x"}, {"-x", "'-x"}, {"@x", "'@x"}, {"\tx", "'\tx"}, {"\rx", "'\rx"},
		{"a;=1", "a;'=1"}, {"a\t=1", "a\t'=1"}, {"a,=1", "a,'=1"}, {"a\n=1", "a\n'=1"},
		{`a;"=1`, `a;'"=1`}, {"a; =1", "a;' =1"}, {"a;-3;b", "a;-3;b"}, {"a;-3 mm;", "a;-3 mm;"},
		{"'=1", "''=1"}, {"''=1", "'''=1"}, {"'tis", "'tis"}, {"'", "'"}, {"a\n\nb", "a\n\nb"},
		{"-.5", "-.5"}, {"+3", "+3"}, {"-1-3/8", "-1-3/8"}, {"-1 3/8 in", "-1 3/8 in"}, {`-3/8"`, `-3/8"`},
		{"+0.5 thou", "+0.5 thou"},
		{"-", "'-"}, {"--1", "'--1"}, {"-1+2", "'-1+2"}, {"-1*2", "'-1*2"}, {"-A1", "'-A1"}, {"-1/A", "'-1/A"},
		{"-1(2)", "'-1(2)"}, {"-1/A1", "'-1/A1"}, {"-1-A1", "'-1-A1"},
	} {
		cell, _ := cellOf(t, c.text)
		assert.Equal(t, c.cell, cell, "%q", c.text)
		assert.Equal(t, c.text, jobbook.CSVText(cell), "%q", c.cell)
	}
	_, line := cellOf(t, "a;b")
	assert.Contains(t, line, `"a;b"`)
	_, line = cellOf(t, "a\tb")
	assert.Contains(t, line, "\"a\tb\"")
}

// Whatever is typed: the cell is read back to the letter, and in a spreadsheet that separates at
// commas, semicolons or tabs, and knows of no quotes, no cell begins a formula.
func TestNoCellIsAFormula(t *testing.T) {
	letters := rapid.SampledFrom([]string{"=", "+", "-", "@", "\t", "\r", "\n", ",", ";", `"`, "'",
		" ", "a", "1", ".", "/", "(", "é"})
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(letters, 0, 12).Draw(t, "text"), "")
		cell, line := cellOf(t, text)
		if back := jobbook.CSVText(cell); back != text {
			t.Fatalf("%q became %q and %q", text, cell, back)
		}
		for _, at := range []string{",", ";", "\t"} {
			ends := func(r rune) bool { return r == '\n' || r == '\r' || string(r) == at }
			for _, one := range strings.FieldsFunc(line, ends) {
				one = strings.TrimLeft(one, `" `)
				sign := one != "" && strings.Contains("=@", one[:1])
				number := len(one) > 1 && (one[1] == '.' || one[1] == '1')
				formula := one != "" && strings.Contains("+-", one[:1]) && !number
				if sign || formula {
					t.Fatalf("%q at %q: %q", text, at, one)
				}
			}
		}
	})
}
