// Package pages describes the screens of the phone: which worksheets one joins, what picks each,
// which inputs stand on its drawing in the order a man measures in, which are choices under it and
// which results are drawn. No worksheet is merged: a page asks, one of its worksheets answers.
package pages

import (
	"slices"
	"strings"

	"datumbook/calc/field"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

// Page is one screen. Its name is that of its first worksheet.
type Page struct {
	Name   string
	Title  string
	Stages []string // where it stands, its home first
	Icon   string   // its pictogram, "" for that of its stage
	Ways   []Way
}

// Way is one of the worksheets of a page. Lists of keys are set apart by spaces.
type Way struct {
	Sheet string
	Chip  string // what picks it: a chip; "" where it is picked by what is typed
	When  string // inputs, any of which picks it once it is typed
	// Boxes are the inputs on the drawing in the order of Next. One with ? behind it is quiet: Next
	// passes it by.
	Boxes string
	// List is a table or list whose rows are places on the drawing. Flat names the column typed in a
	// strip under it, or two typed one after the other, first/second, and the one that stands above;
	// "" shows a row at a time. Ends are the names of the first and the last place.
	List, Flat, Ends string
	Chips            string // choices under the drawing
	Bold             string // results on the drawing
	Habit            string // inputs remembered from the last time
	// Takes are inputs taken from the answer of another way: "load=sling.worst". A way without a chip
	// takes them as long as they are not typed.
	Takes string
	// Sets are choices that come with its chip: "from=pins". One worksheet may stand on several ways.
	Sets string
	// Like are typical inputs where the worksheet's example has none for this way: "pin=.25in".
	Like string
}

// Stage is a part of the job, under which pages are found.
type Stage struct{ Key, Title string }

// Stages are those of the job, in its order.
var Stages = [...]Stage{
	{"holes", "Holes"}, {"line", "In line"}, {"where", "Where"},
	{"reach", "Reach"}, {"hold", "Hold"}, {"cut", "Cut"},
	{"lift", "Lift"}, {"fits", "Fits"}, {"bench", "Bench"},
}

// described are the pages by file, in the order they are most used in.
var described = [...][]Page{holes, line, where, reach, match, hold, cut, lift, fits, bench}

// home gives the stage of a worksheet whose page is not described, by its group.
func home(group string) string {
	switch group {
	case "fit":
		return "fits"
	case "makeup", "sure":
		return "bench"
	}
	return group
}

// All gives every page: those described, and one for each worksheet that stands on none.
func All(sheets []*worksheet.Sheet) []Page {
	var out []Page
	taken := map[string]bool{}
	for _, list := range described {
		for i := range list {
			out = append(out, list[i])
			for _, w := range list[i].Ways {
				taken[w.Sheet] = true
			}
		}
	}
	for _, s := range sheets {
		if !taken[s.Name] {
			out = append(out, Page{Name: s.Name, Title: s.Title, Stages: []string{home(s.Group)}, Ways: []Way{usual(s)}})
		}
	}
	return out
}

// usual is the way of a worksheet that no page describes: what it asks first is boxes, its choices
// stand under them.
func usual(s *worksheet.Sheet) Way {
	w := Way{Sheet: s.Name}
	chips := 0
	for i := range s.Inputs {
		in := &s.Inputs[i]
		choice := in.Kind == worksheet.Choice || in.Kind == worksheet.Flag
		switch {
		case in.Section != "" && !in.Required:
		case choice && chips < 2:
			chips++
			w.Chips = add(w.Chips, in.Key)
		case choice || in.Kind == worksheet.Choices:
		case (in.Kind == worksheet.Table || in.Kind == worksheet.List) && w.List == "":
			w.List = in.Key
			w.Boxes = add(w.Boxes, in.Key)
		case in.Kind == worksheet.Table || in.Kind == worksheet.List:
		case in.Required && in.Default == "":
			w.Boxes = add(w.Boxes, in.Key)
		default:
			w.Boxes = add(w.Boxes, in.Key+"?")
		}
	}
	return w
}

func add(list, key string) string {
	if list == "" {
		return key
	}
	return list + " " + key
}

// Find gives the page that a worksheet stands on.
func Find(sheets []*worksheet.Sheet, name string) (Page, bool) {
	return units.First(All(sheets), func(p Page) bool {
		for _, w := range p.Ways {
			if w.Sheet == name {
				return true
			}
		}
		return false
	})
}

// Write writes stages and pages as members of the description.
func Write(w *field.Writer, sheets []*worksheet.Sheet) {
	w.Key("stages")
	w.Open('[')
	for _, s := range Stages {
		w.Open('{')
		w.Text("key", s.Key)
		w.Text("title", s.Title)
		w.End('}')
	}
	w.End(']')
	w.Key("pages")
	w.Open('[')
	for _, p := range All(sheets) {
		w.Open('{')
		w.Text("name", p.Name)
		w.Text("title", p.Title)
		w.Strs("stages", p.Stages)
		w.Given("icon", p.Icon)
		w.Key("ways")
		w.Open('[')
		for i := range p.Ways {
			p.Ways[i].write(w)
		}
		w.End(']')
		w.End('}')
	}
	w.End(']')
}

func (y *Way) write(w *field.Writer) {
	w.Open('{')
	w.Text("sheet", y.Sheet)
	for _, m := range [...][2]string{{"chip", y.Chip}, {"when", y.When}, {"boxes", y.Boxes}, {"list", y.List},
		{"flat", y.Flat}, {"chips", y.Chips}, {"bold", y.Bold}, {"habit", y.Habit}, {"takes", y.Takes},
		{"sets", y.Sets}, {"like", y.Like}, {"ends", y.Ends}} {
		w.Given(m[0], m[1])
	}
	w.End('}')
}

// Check says what is wrong with the pages: keys that no worksheet has, a worksheet on two pages,
// ways that nothing picks.
func Check(sheets []*worksheet.Sheet) []string {
	var wrong []string
	seen := map[string]bool{}
	for _, p := range All(sheets) {
		say := func(what string) { wrong = append(wrong, p.Name+": "+what) }
		if len(p.Ways) == 0 || p.Ways[0].Sheet != p.Name {
			say("its name is not that of its first worksheet")
			continue
		}
		inputs := map[string]bool{}
		for i := range p.Ways {
			if s := sheet(sheets, p.Ways[i].Sheet); s != nil {
				for j := range s.Inputs {
					inputs[s.Inputs[j].Key] = true
				}
			}
		}
		for i := range p.Ways {
			y := &p.Ways[i]
			if seen[y.Sheet+" "+y.Sets] || seen[y.Sheet] && y.Sets == "" {
				say(y.Sheet + " stands on two pages, or twice alike")
			}
			seen[y.Sheet+" "+y.Sets], seen[y.Sheet] = true, true
			if len(p.Ways) > 1 && y.Chip == "" && y.When == "" && i > 0 {
				say(y.Sheet + " is picked by nothing")
			}
			wrong = append(wrong, y.check(sheets, inputs)...)
		}
	}
	return wrong
}

func sheet(sheets []*worksheet.Sheet, name string) *worksheet.Sheet {
	s, _ := units.First(sheets, func(s *worksheet.Sheet) bool { return s.Name == name })
	return s
}

// check holds the keys of a way against its worksheet; boxes may be those of another way, which
// they pick.
func (y *Way) check(sheets []*worksheet.Sheet, inputs map[string]bool) []string {
	s := sheet(sheets, y.Sheet)
	if s == nil {
		return []string{"there is no worksheet " + y.Sheet}
	}
	var wrong []string
	mine := func(list, what string) {
		for _, key := range strings.Fields(list) {
			if _, ok := s.Input(key); !ok {
				wrong = append(wrong, y.Sheet+": no input "+key+" for "+what)
			}
		}
	}
	for _, key := range strings.Fields(y.Boxes) {
		if !inputs[strings.TrimSuffix(key, "?")] {
			wrong = append(wrong, y.Sheet+": no input "+key+" for a box")
		}
	}
	mine(y.List, "the list")
	mine(y.Chips, "a chip")
	mine(y.Habit, "a habit")
	for _, set := range strings.Fields(y.Sets + " " + y.Like) {
		key, text, _ := strings.Cut(set, "=")
		if mine(key, "what it sets"); text == "" {
			wrong = append(wrong, y.Sheet+": "+set+" sets nothing")
		}
	}
	if in, ok := s.Input(y.List); ok {
		for _, key := range strings.Fields(strings.ReplaceAll(y.Flat, "/", " ")) {
			if !slices.ContainsFunc(in.Columns, func(c worksheet.Column) bool { return c.Key == key }) {
				wrong = append(wrong, y.Sheet+": the list has no column "+key)
			}
		}
		if !strings.Contains(" "+y.Boxes+" ", " "+y.List+" ") && !strings.Contains(" "+y.Boxes+" ", " "+y.List+"? ") {
			wrong = append(wrong, y.Sheet+": the list has no place in the order of Next")
		}
	}
	for _, key := range strings.Fields(y.Bold) {
		if !slices.ContainsFunc(s.Results, func(r worksheet.Result) bool { return r.Key == key }) {
			wrong = append(wrong, y.Sheet+": no result "+key)
		}
	}
	for _, take := range strings.Fields(y.Takes) {
		to, from, ok := strings.Cut(take, "=")
		name, key, dot := strings.Cut(from, ".")
		other := sheet(sheets, name)
		if !ok || !dot || other == nil || !slices.ContainsFunc(other.Results, func(r worksheet.Result) bool { return r.Key == key }) {
			wrong = append(wrong, y.Sheet+": "+take+" takes from no result")
		}
		mine(to, "what it takes")
	}
	return wrong
}
