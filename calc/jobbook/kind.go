package jobbook

import (
	"strings"

	"datumbook/calc/field"
)

// Kind describes one kind of thing in the job book, once: from it come the
// forms, the checks, the tables and the reference page.
type Kind struct {
	Key    string
	Label  string // "Machine"
	Plural string // "Machines"
	Help   string
	Title  []string // fields that name it, in this order
	Detail []string // fields for the line under the name
	Fields []Field
}

// A kind is described as a worksheet is. A row of a table is stored as a field
// of its own.
type (
	Field  = field.Field
	Option = field.Option
	Units  = field.Units
)

// The kinds of fields.
const (
	Text, Long, Count, Thread, Sheet = field.Text, field.Long, field.Count, field.Thread, field.Sheet
	Choice, Flag, Date, Link, List   = field.Choice, field.Flag, field.Date, field.Link, field.List
	Table, Pairs, Any, Photo, Number = field.Table, field.Pairs, field.Any, field.Photo, field.Number
	Length, Torque, Mass, Power      = field.Length, field.Torque, field.Mass, field.Power
	Spin, SurfaceSpeed, TableFeed    = field.Spin, field.SurfaceSpeed, field.TableFeed
	Stress, Temperature, Slope       = field.Stress, field.Temperature, field.Slope
	Density, Expansion, Force, Time  = field.Density, field.Expansion, field.Force, field.Time
)

// choices reads "key=label; key": a key that stands alone is its own label.
func choices(list string) []Option {
	var out []Option
	for item := range strings.SplitSeq(list, "; ") {
		key, label, named := strings.Cut(item, "=")
		if !named {
			label = key
		}
		out = append(out, Option{Key: key, Label: label})
	}
	return out
}

// goneField is common to all kinds: deletion is a value, so it can be undone and merged.
var goneField = Field{Key: "gone", Label: "Deleted", Kind: Flag,
	Help: "Deleted records are kept for 30 days and can be brought back."}

// KindOf finds a kind by its key; nil for one from a newer version.
func KindOf(key string) *Kind {
	for i := range Kinds {
		if Kinds[i].Key == key {
			return &Kinds[i]
		}
	}
	return nil
}

// Field finds a field by its key; a table's row "holes#0001-mill" is found as
// its table.
func (k *Kind) Field(key string) *Field {
	base, _ := splitRow(key)
	if base == goneField.Key {
		return &goneField
	}
	if k != nil {
		for i := range k.Fields {
			if k.Fields[i].Key == base {
				return &k.Fields[i]
			}
		}
	}
	return nil
}

// splitRow parts "holes#0001-mill" into table and row.
func splitRow(key string) (table, row string) {
	table, row, _ = strings.Cut(key, "#")
	return table, row
}
