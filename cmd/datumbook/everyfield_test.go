package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/field"
	"datumbook/calc/jobbook"
	"datumbook/calc/jobbook/demo"
	"datumbook/calc/pages"
	"datumbook/calc/registry"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
	"datumbook/cmd/datumbook/browsertest"
)

// heard records what the page asks of the calculations: the newest inputs of each worksheet, every
// text that was asked of an input, and what a record is made of or changed by, without what a form
// only tries while it is filled in. Where there is no answer the page asks for a shape too, so the
// newest are several.
const heard = `(() => {
	const heard = window.datumbookHeard = { run: {}, texts: {}, set: undefined };
	let tell = () => {};
	const sorted = (v) => JSON.stringify(v, (_, x) =>
		x && typeof x === "object" && !Array.isArray(x) ? Object.fromEntries(Object.entries(x).sort()) : x);
	heard.until = (get, want, fits = (one) => sorted(one) === sorted(want)) => new Promise((done) => {
		const found = () => [get()].flat().find(fits);
		const late = setTimeout(() => done([get()].flat().at(-1) ?? null), 60000);
		(tell = () => found() && (clearTimeout(late), done(found())))();
	});
	// What is typed in one box may put out what was typed in another: of those one is enough.
	heard.ran = (name, want, rivals) => heard.until(() => heard.run[name], want, (one) => one &&
		Object.keys(one).every((k) => want[k] === one[k]) &&
		Object.keys(want).every((k) => k in one || rivals.some((r) => r.includes(k) && r.some((other) => other in one))));
	heard.folded = async (selector) => {
		let e;
		while (!(e = document.querySelector(selector))) await new Promise((go) => setTimeout(go));
		const fold = e.closest("details:not([open])");
		document.querySelector("[data-fold]")?.removeAttribute("data-fold");
		fold?.setAttribute("data-fold", "");
		return !!fold;
	};
	const post = Worker.prototype.postMessage;
	Worker.prototype.postMessage = function (m, ...rest) {
		if (m.kind === "run") {
			const asked = Object.fromEntries(m.pairs.split("\x1e").filter(Boolean).map((p) => p.split("\x1f")));
			heard.run[m.name] = [...(heard.run[m.name] ?? []).slice(-2), asked];
			for (const [k, text] of Object.entries(asked)) (heard.texts[m.name + " " + k] ??= new Set()).add(text);
		}
		if (m.kind === "book" && (m.op === "new" || m.op === "edit")) {
			const { device, set } = JSON.parse(m.json);
			if (device !== "form") heard.set = set;
		}
		tell();
		return post.call(this, m, ...rest);
	};
})()`

// TestEveryField answers every input and every column of every worksheet, and every field and every
// column of every kind of record, on a phone with its own keypad and its choices alone; only words
// and days are typed with a keyboard. What was tapped is what the calculations are asked, and what
// the record is made of. A worksheet's inputs are on the drawing, in the strip and the chips under
// it, or under More, in one of the ways of its page.
func TestEveryField(t *testing.T) {
	sheets := registry.All()
	all := pages.All(sheets)
	next := make(chan *pages.Page, len(all))
	for i := range all {
		if *only == "" || slices.Contains(strings.Split(*only, ","), all[i].Name) {
			next <- &all[i]
		}
	}
	close(next)
	var mu sync.Mutex
	reached := map[string]bool{}
	t.Cleanup(func() {
		if t.Failed() || *only != "" {
			return // what a page that failed would have reached is not known
		}
		for _, s := range sheets {
			for i := range s.Inputs {
				f := &s.Inputs[i]
				assert.True(t, reached[s.Name+" "+f.Key], "%s of %s is nowhere", f.Key, s.Name)
				for j := range f.Columns {
					key := s.Name + " " + f.Key + " " + f.Columns[j].Key
					assert.True(t, reached[key], "column %s is nowhere", key)
				}
			}
		}
	})
	for _, name := range []string{"first phone", "second phone"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			office := browsertest.StartOffice(t, t.TempDir()) // only the second knows a job
			h := &finger{Browser: browsertest.Open(t, t.TempDir(), browsertest.Phone), t: t, reached: map[string]bool{}}
			h.Always(heard)
			h.home = "http://" + office.Addr + "/"
			if name == "second phone" {
				h.records()
			}
			for p := range next {
				for i := range p.Ways {
					h.way(p, &p.Ways[i])
				}
			}
			t.Logf("%d answers", h.n)
			mu.Lock()
			defer mu.Unlock()
			maps.Copy(reached, h.reached)
		})
	}
}

// rivals are inputs of which one puts the others out where they stand on the drawing: a dimension
// is typed, or follows from the others.
var rivals = map[string][][]string{
	"row":      {{"pitch", "over"}},
	"torque":   {{"torque", "tension"}},
	"sine":     {{"angle", "stack"}},
	"divide":   {{"divisions", "angle"}},
	"taper":    {{"big", "small", "rate", "ratio", "angle"}},
	"triangle": {{"a", "b", "c", "anga", "angb", "angc"}},
	"arc":      {{"chord", "rise", "radius", "angle"}},
}

// finger fills in the fields of a form.
type finger struct {
	*browsertest.Browser
	t       *testing.T
	home    string
	last    string          // the key hit last; a second hit at once would be dropped
	n       int             // answers given
	reached map[string]bool // inputs of worksheets, and columns, that could be answered
	later   func()          // answers what the drawing has once there is an answer
}

// way answers all that one way of a page asks, on its drawing and under More.
func (h *finger) way(p *pages.Page, w *pages.Way) {
	var s *worksheet.Sheet
	for _, one := range registry.All() {
		if one.Name == w.Sheet {
			s = one
		}
	}
	left, want := asksOf(p, w, s)
	h.begin(p, w)
	for range 3 { // what is answered under More may bring a box back to the drawing
		n := len(left)
		left = slices.DeleteFunc(left, func(f *field.Field) bool { return h.onBoard(w, f, want) })
		if h.later != nil {
			h.later()
			h.later = nil
		}
		// What stands under More is the same in every way: it is answered in one of them.
		left = slices.DeleteFunc(left, func(f *field.Field) bool { return h.reached[w.Sheet+" "+f.Key] })
		if len(left) == 0 {
			break
		}
		h.view("more")
		left = slices.DeleteFunc(left, func(f *field.Field) bool { return h.underMore(w, f, want) })
		if len(left) == 0 || len(left) == n {
			break
		}
		h.view("")
	}
	for _, f := range left {
		assert.Fail(h.t, "an input is nowhere", "%s of %s, %s", f.Key, w.Sheet, w.Chip)
	}
	h.ran(s.Name, want)
}

// asksOf gives the inputs that a way asks, and the texts that come with its chip.
func asksOf(p *pages.Page, w *pages.Way, s *worksheet.Sheet) ([]*field.Field, map[string]any) {
	keys := func(list string) []string { return strings.Fields(strings.ReplaceAll(list, "?", "")) }
	own := keys(w.Boxes)
	not := map[string]bool{}
	want := map[string]any{}
	for i := range p.Ways {
		if other := &p.Ways[i]; other.Sheet == w.Sheet {
			for _, k := range keys(other.Boxes) {
				not[k] = not[k] || !slices.Contains(own, k)
			}
			for _, pair := range strings.Fields(other.Sets) {
				k, v, _ := strings.Cut(pair, "=")
				not[k] = true
				if other == w {
					want[k] = v
				}
			}
		}
	}
	var out []*field.Field
	for i := range s.Inputs {
		if f := &s.Inputs[i]; !not[f.Key] {
			out = append(out, f)
		}
	}
	return out, want
}

// begin opens a way with nothing typed.
func (h *finger) begin(p *pages.Page, w *pages.Way) {
	name := p.Name
	if w.Chip == "" {
		name = w.Sheet
	}
	h.Go(h.home + "#/sheet/" + name)
	h.Wait(name+" is open, and drawn", `!!document.querySelector(".board .picture svg")`)
	if w.Chip != "" && h.there(".ways") {
		h.TapText(".ways .chip", w.Chip)
		h.Wait(w.Chip+" is picked", fmt.Sprintf(
			`document.querySelector('.ways [aria-pressed="true"]').textContent === %q`, w.Chip))
		browsertest.Eval[bool](h.Browser, `new Promise((go) =>
			requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(go, 0, true))))`) // it may open the keypad
	}
	h.view("more")
	if browsertest.Eval[bool](h.Browser, `!document.querySelector(".more .form-foot button.button").disabled`) {
		h.TapAtOnce(`.more .form-foot button.button`)
	}
	h.view("")
	for _, pair := range strings.Fields(w.Sets) {
		k, _, _ := strings.Cut(pair, "=")
		h.reached[w.Sheet+" "+k] = true
	}
}

// view leads to what stands under More, or back to the drawing.
func (h *finger) view(name string) {
	if h.there(".keypad") {
		h.TapAtOnce(`.keypad [aria-label="Close the keypad"]`)
	}
	h.TapAtOnce(`.page-foot a[href*="/sheet/"]:last-of-type`)
	if name == "" {
		name = "board"
	}
	h.Wait("the view "+name, `!!document.querySelector("form.page.view-`+name+`")`)
}

// onBoard answers an input that stands on the drawing or under it.
func (h *finger) onBoard(w *pages.Way, f *field.Field, want map[string]any) bool {
	id := w.Sheet + "-" + f.Key
	switch {
	case f.Kind == field.Table || f.Kind == field.List:
		if key := `.list-key[name="` + f.Key + `"]`; h.there(key) {
			h.touch(key)
			h.Wait(id+" is open", `!!document.querySelector('[data-list="`+id+`"]')`)
		}
		if !h.there(`[data-list="` + id + `"]`) {
			return false
		}
		rows := h.rows(w, f)
		h.told(w, f, tableText(rows), want)
		if _, above := strip(w, f); above != "" {
			h.later = func() { h.places(w, f, rows); want[f.Key] = tableText(rows) }
		}
	case h.there(`.choices [role="group"][aria-label=` + strconv.Quote(f.Label) + `]`):
		o := another(f)
		h.TapText(`.choices [aria-label=`+strconv.Quote(f.Label)+`] .chip`, cmp.Or(o.Short, o.Label))
		h.told(w, f, o.Key, want)
	case f.Kind == field.Flag && h.chip(cmp.Or(f.Box, f.Label)):
		h.TapText(`.choices > .chip`, cmp.Or(f.Box, f.Label))
		h.told(w, f, another(f).Key, want)
	case h.there(`.choices select#` + id):
		h.told(w, f, h.pick("#"+id, f), want)
	case h.there(`.boxes [name="` + f.Key + `"]`):
		h.told(w, f, h.input(`.boxes [name="`+f.Key+`"]`, f), want)
	default:
		return false
	}
	return true
}

// underMore answers an input that stands under More.
func (h *finger) underMore(w *pages.Way, f *field.Field, want map[string]any) bool {
	id := w.Sheet + "-" + f.Key
	if !h.offered(id, f) {
		return false
	}
	got := h.answer(w.Sheet, f)
	if f.Kind == field.Table {
		var cells []string
		row := got.([]any)[0].(map[string]any)
		for _, c := range f.Columns {
			cells = append(cells, row[c.Key].(string))
			h.reached[w.Sheet+" "+f.Key+" "+c.Key] = true
		}
		got = strings.Join(cells, ",")
	}
	if f.Kind == field.List {
		h.reached[w.Sheet+" "+f.Key+" "+f.Columns[0].Key] = true
	}
	h.told(w, f, got, want)
	return true
}

// offered tells whether More has a field.
func (h *finger) offered(id string, f *field.Field) bool {
	return browsertest.Eval[bool](h.Browser, fmt.Sprintf(`!!document.querySelector('.more [id="%[1]s"], .more [id="%[1]s-0"], .more [name="%[1]s"]')
		|| [...document.querySelectorAll(".more fieldset.rows > legend")].some((e) => e.textContent === %[2]q)`, id, f.Label))
}

// told notes an answer.
func (h *finger) told(w *pages.Way, f *field.Field, got any, want map[string]any) {
	want[f.Key] = got
	h.reached[w.Sheet+" "+f.Key] = true
}

func (h *finger) chip(says string) bool {
	return browsertest.Eval[bool](h.Browser, fmt.Sprintf(
		`[...document.querySelectorAll(".choices > .chip")].some((e) => e.textContent === %q)`, says))
}

// another is an option that is not the default.
func another(f *field.Field) field.Option {
	options := f.Options
	if f.Kind == field.Flag {
		options = []field.Option{{Key: "no"}, {Key: "yes"}}
	}
	at := len(options) - 1
	for options[at].Key == f.Default {
		at--
	}
	return options[at]
}

// strip names the columns of a list that is typed in a strip, and the one that stands above it;
// nil where a row stands on a card.
func strip(w *pages.Way, f *field.Field) (columns []string, above string) {
	list, flat := strings.Fields(w.List), strings.Fields(w.Flat)
	if len(flat) == 0 || list[0] != f.Key || f.Kind == field.List {
		return nil, ""
	}
	if len(flat) > 1 {
		above = flat[1]
	}
	return strings.Split(flat[0], "/"), above
}

// rows answers the first row of a list, in a strip the first two, and gives its cells.
func (h *finger) rows(w *pages.Way, f *field.Field) [][]string {
	columns, _ := strip(w, f)
	rows := make([][]string, min(len(columns), 1)+1)
	for i := range rows {
		rows[i] = make([]string, len(f.Columns))
		for j := range f.Columns {
			if c := &f.Columns[j]; columns == nil || slices.Contains(columns, c.Key) {
				rows[i][j] = h.input(fmt.Sprintf("#%s-%s-%d-%d", w.Sheet, f.Key, i, j), c)
				h.reached[w.Sheet+" "+f.Key+" "+c.Key] = true
			}
		}
	}
	return rows
}

// places answers the column that stands above a strip: its place is touched on the drawing, which
// it has once there is an answer; where there is none it stands there by itself.
func (h *finger) places(w *pages.Way, f *field.Field, rows [][]string) {
	_, above := strip(w, f)
	at := slices.IndexFunc(f.Columns, func(c field.Field) bool { return c.Key == above })
	if at < 0 {
		return
	}
	cell := fmt.Sprintf("#%s-%s-0-%d", w.Sheet, f.Key, at)
	h.Wait("a place, or its cell", `!!document.querySelector(".picture .spot, `+cell+`")`)
	if !h.there(cell) {
		h.touch(".picture .spot")
	}
	rows[0][at] = h.input(cell, &f.Columns[at])
	h.reached[w.Sheet+" "+f.Key+" "+above] = true
}

func tableText(rows [][]string) string {
	var texts []string
	for _, r := range rows {
		texts = append(texts, strings.Join(r, ","))
	}
	return strings.Join(texts, "; ")
}

// records makes one of each kind from its form alone. A picture is taken and not typed, so its
// record's text is changed instead.
func (h *finger) records() {
	h.Go(h.home)
	h.Tap(`.demo-keys button`)
	h.WaitText("Base to the plate")
	for i := range jobbook.Kinds {
		k := &jobbook.Kinds[i]
		address := "#/new/" + k.Key
		if k.Key == "photo" {
			address = "#/edit/" + url.QueryEscape("photo:"+demo.Prefix+"01")
		}
		h.Go(h.home + address)
		h.Wait("the form of "+k.Key, `!!document.querySelector("form.rec-form")`)
		if h.there(".more-fields") {
			h.TapAtOnce(".more-fields")
		}
		browsertest.Eval[bool](h.Browser, `(datumbookHeard.set = undefined, true)`)
		want := map[string]any{}
		for j := range k.Fields {
			switch f := &k.Fields[j]; f.Kind {
			case field.Pairs, field.Any, field.Photo: // filled in by other means
			case field.Flag:
				want[f.Key] = h.answer("rec", f) == "yes"
			case field.List:
				want[f.Key] = []any{h.answer("rec", f)}
			case field.Table:
				rows := h.answer("rec", f).([]any)
				for _, c := range f.Columns {
					if c.Kind == field.Flag {
						row := rows[0].(map[string]any)
						row[c.Key] = row[c.Key] == "yes"
					}
				}
				want[f.Key] = rows
			default:
				want[f.Key] = h.answer("rec", f)
			}
		}
		h.TapAtOnce(`.rec-form [type=submit]`)
		h.hears("what the "+k.Key+" is made of", "set", want)
		h.Wait(k.Key+" is kept", `!document.querySelector("form.rec-form")`)
	}
}

// hears waits until the page asks what was answered.
func (h *finger) hears(what, member string, want map[string]any) {
	wanted, err := json.Marshal(want)
	require.NoError(h.t, err)
	got := browsertest.Eval[map[string]any](h.Browser,
		fmt.Sprintf(`datumbookHeard.until(() => datumbookHeard.%s, %s)`, member, wanted))
	require.Equal(h.t, want, got, "%s; the page shows:\n%s", what,
		browsertest.Eval[string](h.Browser, `document.body.innerText`))
}

// ran waits until a worksheet is asked what was answered; of what one puts out the other, each was
// asked at some time.
func (h *finger) ran(name string, want map[string]any) {
	wanted, err := json.Marshal(want)
	require.NoError(h.t, err)
	others, err := json.Marshal(append([][]string{}, rivals[name]...))
	require.NoError(h.t, err)
	got := browsertest.Eval[map[string]any](h.Browser,
		fmt.Sprintf(`datumbookHeard.ran(%q, %s, %s)`, name, wanted, others))
	for _, r := range rivals[name] {
		for _, k := range r {
			if _, on := got[k]; !on && want[k] != nil {
				assert.True(h.t, browsertest.Eval[bool](h.Browser,
					fmt.Sprintf(`datumbookHeard.texts[%q]?.has(%q) ?? false`, name+" "+k, want[k])), "%s of %s was asked", k, name)
				delete(want, k)
			}
		}
	}
	assert.Equal(h.t, want, got, "what %s is asked; the page shows:\n%s", name,
		browsertest.Eval[string](h.Browser, `document.body.innerText`))
}

func (h *finger) there(selector string) bool {
	return browsertest.Eval[bool](h.Browser, `!!document.querySelector(`+strconv.Quote(selector)+`)`)
}

// touch opens the section that an element is folded into, and presses it once it can be pressed. A
// section may open by itself under the finger, which then closes it.
func (h *finger) touch(selector string) {
	for range 3 {
		if !browsertest.Eval[bool](h.Browser, fmt.Sprintf(`datumbookHeard.folded(%q)`, selector)) {
			break
		}
		h.TapAtOnce(`[data-fold] > summary`)
	}
	h.TapAtOnce(selector)
}

// answer fills in one field and gives what it has to become: a text, or the rows of a table.
func (h *finger) answer(prefix string, f *field.Field) any {
	id := prefix + "-" + f.Key
	switch f.Kind {
	case field.Table:
		first := "#" + id + "-" + f.Columns[0].Key + `, [name="` + id + "-" + f.Columns[0].Key + `"]`
		const legend = `(e) => e.querySelector("legend").textContent === %q`
		table := fmt.Sprintf(`[...document.querySelectorAll("fieldset.rows")].find(`+legend+`)`, f.Label)
		h.Wait(id+" is there", "!!"+table)
		if !h.there(first) {
			browsertest.Eval[bool](h.Browser, fmt.Sprintf(`(%s.setAttribute("data-table", %q), true)`, table, id))
			h.touch(`[data-table="` + id + `"] > .chips > .chip:last-child`)
		}
		row := map[string]any{}
		for i := range f.Columns {
			row[f.Columns[i].Key] = h.answer(id, &f.Columns[i])
		}
		return []any{row}
	case field.List:
		c := f.Columns[0]
		c.Key = "0"
		return h.answer(id, &c)
	case field.Choice, field.Flag, field.Choices:
		return h.choose(id, f)
	}
	return h.input("#"+id, f)
}

// input answers what stands in one box or field, found by a selector; a choice in one is a list.
func (h *finger) input(at string, f *field.Field) string {
	switch f.Kind {
	case field.Choice, field.Flag, field.Link, field.Sheet:
		return h.pick(at, f)
	case field.Text, field.Long, field.Date:
		return h.write(at, f)
	}
	h.n++
	text := h.number(f)
	h.touch(at)
	if browsertest.Eval[string](h.Browser, `document.activeElement.value`) != "" {
		h.key("clear")
	}
	bare := browsertest.Eval[string](h.Browser, `document.activeElement.dataset.bare ?? ""`)
	h.keys(strings.Split(text, ""))
	if bare != "" { // what the needle shows
		text += " " + bare
	}
	return text
}

// keys hits keys of the app's own keypad: at once where one page of it has them all.
func (h *finger) keys(names []string) {
	row := make([]string, len(names))
	for i, name := range names {
		row[i] = `.keypad [data-key="` + name + `"]`
	}
	if browsertest.Eval[bool](h.Browser, fmt.Sprintf(`%s.every((s) => document.querySelector(s))`, list(row))) {
		h.TapRow(row...)
		h.last = names[len(names)-1]
		return
	}
	for _, name := range names {
		h.key(name)
	}
}

func list(texts []string) string {
	out, _ := json.Marshal(texts)
	return string(out)
}

// key hits one key of the app's own keypad, turned to where it stands.
func (h *finger) key(name string) {
	for range 6 {
		if h.there(`.keypad [data-key="` + name + `"]`) {
			break
		}
		h.TapAtOnce(`.keypad [data-key^="page"]`)
	}
	h.TapAtOnce(`.keypad [data-key="` + name + `"]`)
	h.last = name
}

// choose touches an option that is not the default.
func (h *finger) choose(id string, f *field.Field) string {
	h.n++
	options := f.Options
	if f.Kind == field.Choices {
		boxes := `[...document.getElementsByName(` + strconv.Quote(id) + `)]`
		h.Wait(id+" is offered", boxes+".length > 0")
		on := browsertest.Eval[[]bool](h.Browser, boxes+".map((e) => e.checked)")
		require.Len(h.t, on, len(options), id)
		at := max(0, slices.Index(on, false))
		browsertest.Eval[bool](h.Browser, fmt.Sprintf(`(%s[%d].setAttribute("data-answer", %q), true)`, boxes, at, id))
		h.touch(`label:has(> [data-answer="` + id + `"])`)
		on[at] = !on[at]
		var keys []string
		for i, o := range options {
			if on[i] {
				keys = append(keys, o.Key)
			}
		}
		return strings.Join(keys, ", ")
	}
	o := another(f)
	radio := `input[type=radio][name="` + id + `"][value="` + o.Key + `"]`
	h.touch(`label:has(> ` + radio + `)`)
	assert.False(h.t, h.there(`input[type=text][id="`+id+`"]`), "%s is typed", id)
	return o.Key
}

// pick chooses the first entry of a list, as the phone's own list would.
func (h *finger) pick(at string, f *field.Field) string {
	h.n++
	options := `[...document.querySelector(` + strconv.Quote(at) + `).options].map((e) => e.value)`
	h.touch(at)
	offered := browsertest.Eval[[]string](h.Browser, options)
	require.Greater(h.t, len(offered), 1, "%s offers nothing", at)
	was := browsertest.Eval[string](h.Browser, `document.querySelector(`+strconv.Quote(at)+`).value`)
	step, next := kb.ArrowDown, slices.Index(offered, was)+1
	if next == len(offered) {
		step, next = kb.ArrowUp, next-2
	}
	h.Type(at, step)
	if kind, _, _ := strings.Cut(offered[next], ":"); len(f.Of) > 0 {
		assert.Contains(h.t, f.Of, kind, at)
	}
	return offered[next]
}

// write types words or a day with a keyboard.
func (h *finger) write(at string, f *field.Field) string {
	h.n++
	typed := f.Example
	if typed == "" || f.Kind != field.Text || f.Canon == nil {
		typed = "w" + strconv.Itoa(h.n)
	}
	want := typed
	if f.Kind == field.Date {
		// Day and month alike, whichever comes first, and from the first on, wherever the finger
		// came down.
		day := fmt.Sprintf("%02d", h.n%12+1)
		typed, want = kb.ArrowLeft+kb.ArrowLeft+day+day+"2026", "2026-"+day+"-"+day
	}
	h.touch(at)
	if f.Kind != field.Date {
		browsertest.Eval[bool](h.Browser, `(document.activeElement.select(), true)`)
	}
	h.Type(at, typed)
	return want
}

// number is a text that the field takes, other than those before it, in which no key is repeated at
// once.
func (h *finger) number(f *field.Field) string {
	switch f.Kind {
	case field.Thread:
		return []string{"M8", "M10", "M12", "M6"}[h.n%4]
	case field.Drill:
		return []string{"#7", "#12", "#30", "#4"}[h.n%4]
	}
	var texts []string
	for _, form := range []string{"%d", ".%d", "%d0", ".0%d", "%d50", ".00%d", "%d250", ".000%d"} {
		for i := range 9 {
			texts = append(texts, fmt.Sprintf(form, (h.n+i)%9+1))
		}
	}
	r := f.Range(units.InchSystem)
	for _, text := range texts {
		keys := append([]string{h.last}, strings.Split(text, "")...)
		read := text
		if f.Needle {
			read += " thou"
		}
		if _, fault := r.Number(read); fault == nil && len(slices.Compact(keys)) == len(text)+1 {
			return text
		}
	}
	require.FailNow(h.t, "no number will do", "%s %s", f.Key, f.Kind)
	return ""
}
