// Package registry is the one list of worksheets, grouped by the question the
// machinist asks. A new worksheet is added here and nowhere else.
package registry

import (
	"datumbook/calc/align"
	"datumbook/calc/bench"
	"datumbook/calc/chain"
	"datumbook/calc/cleanup"
	"datumbook/calc/cut"
	"datumbook/calc/engage"
	"datumbook/calc/fits"
	"datumbook/calc/head"
	"datumbook/calc/hold"
	"datumbook/calc/hole"
	"datumbook/calc/locate"
	"datumbook/calc/match"
	"datumbook/calc/pages"
	"datumbook/calc/reach"
	"datumbook/calc/tapin"
	"datumbook/calc/uncertainty"
	"datumbook/calc/units"
	"datumbook/calc/weigh"
	"datumbook/calc/worksheet"
)

// Groups are the headings of worksheets, in the order of the job.
func Groups() []worksheet.Group {
	return []worksheet.Group{
		{Key: "holes", Title: "Holes and threads"},
		{Key: "line", Title: "In line and square"},
		{Key: "where", Title: "Where is it"},
		{Key: "hold", Title: "Reach and hold"},
		{Key: "cut", Title: "Cut it"},
		{Key: "lift", Title: "Weigh and lift"},
		{Key: "fit", Title: "What goes with it"},
		{Key: "makeup", Title: "Make it up"},
		{Key: "sure", Title: "How sure"},
	}
}

// packages lists those with worksheets.
var packages = []func() []*worksheet.Sheet{
	reach.Sheets,
	hold.Sheets,
	match.Sheets,
	cut.Sheets,
	hole.Sheets,
	engage.Sheets,
	align.Sheets,
	head.Sheets,
	tapin.Sheets,
	locate.Sheets,
	cleanup.Sheets,
	fits.Sheets,
	weigh.Sheets,
	bench.Sheets,
	uncertainty.Sheets,
	chain.Sheets,
}

// all is every worksheet in the order of the groups, built once: per answer it cost a phone more
// than the answer.
var all = gather()

// All gives every worksheet in the order of the groups. Callers must not change the slice.
func All() []*worksheet.Sheet { return all }

func gather() []*worksheet.Sheet {
	var found []*worksheet.Sheet
	for _, sheets := range packages {
		found = append(found, sheets()...)
	}
	out := make([]*worksheet.Sheet, 0, len(found))
	for _, g := range Groups() {
		for _, s := range found {
			if s.Group == g.Key {
				out = append(out, s)
			}
		}
	}
	return out
}

// Find gives a worksheet by name.
func Find(name string) (*worksheet.Sheet, bool) {
	return units.First(All(), func(s *worksheet.Sheet) bool { return s.Name == name })
}

// Run runs a worksheet by name and gives the JSON of its answer; failed says
// that the JSON is an error. found is false where there is no such worksheet.
func Run(name string, unit string, pairs []worksheet.Pair) (json []byte, failed, found bool) {
	s, ok := Find(name)
	if !ok {
		f := worksheet.Refuse("", "There is no worksheet '"+name+"'.")
		return f.JSON(), true, false
	}
	sys, ok := units.ParseSystem(unit)
	if !ok {
		f := worksheet.Refuse("unit", "Unit must be in or mm.")
		return f.JSON(), true, true
	}
	a := worksheet.Run(s, sys, pairs)
	return a.JSON(), a.Fault != nil, true
}

// Describe gives the description of all worksheets, and of the screens they stand on, as JSON.
func Describe() []byte { return worksheet.Describe(Groups(), All(), pages.Write) }
