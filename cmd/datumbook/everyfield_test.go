package main

import (
	"encoding/json"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/field"
	"datumbook/calc/jobbook"
	"datumbook/calc/jobbook/demo"
	"datumbook/calc/registry"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
	"datumbook/cmd/datumbook/browsertest"
)

// heard records what the page asks of the calculations: the newest inputs of each worksheet, and
// what a record is made of or changed by, without what a form only tries while it is filled in.
const heard = `(() => {
	const heard = window.datumbookHeard = { run: {}, set: undefined };
	let tell = () => {};
	const sorted = (v) => JSON.stringify(v, (_, x) =>
		x && typeof x === "object" && !Array.isArray(x) ? Object.fromEntries(Object.entries(x).sort()) : x);
	heard.until = (get, want) => new Promise((done) => {
		const late = setTimeout(() => done(get() ?? null), 60000);
		(tell = () => sorted(get()) === sorted(want) && (clearTimeout(late), done(want)))();
	});
	heard.folded = async (selector) => {
		let e;
		while (!(e = document.querySelector(selector))) await new Promise((go) => setTimeout(go));
		const fold = e.closest("details:not([open])");
		fold?.setAttribute("data-fold", "");
		return !!fold;
	};
	const post = Worker.prototype.postMessage;
	Worker.prototype.postMessage = function (m, ...rest) {
		if (m.kind === "run")
			heard.run[m.name] = Object.fromEntries(m.pairs.split("\x1e").filter(Boolean).map((p) => p.split("\x1f")));
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
// the record is made of.
func TestEveryField(t *testing.T) {
	office := browsertest.StartOffice(t, t.TempDir())
	sheets := registry.All()
	next := make(chan *worksheet.Sheet, len(sheets))
	for _, s := range sheets {
		next <- s
	}
	close(next)
	for _, name := range []string{"first phone", "second phone"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h := &finger{Browser: browsertest.Open(t, t.TempDir(), browsertest.Phone), t: t}
			h.Always(heard)
			h.home = "http://" + office.Addr + "/"
			if name == "second phone" {
				h.records()
			}
			for s := range next {
				h.sheet(s)
			}
			t.Logf("%d answers", h.n)
		})
	}
}

// finger fills in the fields of a form.
type finger struct {
	*browsertest.Browser
	t    *testing.T
	home string
	last string // the key hit last; a second hit at once would be dropped
	n    int    // answers given
}

func (h *finger) sheet(s *worksheet.Sheet) {
	h.Go(h.home + "#/sheet/" + s.Name)
	want := map[string]any{}
	for i := range s.Inputs {
		f := &s.Inputs[i]
		if got := h.answer(s.Name, f); f.Kind == field.Table {
			var cells []string
			row := got.([]any)[0].(map[string]any)
			for _, c := range f.Columns {
				cells = append(cells, row[c.Key].(string))
			}
			want[f.Key] = strings.Join(cells, ",")
		} else {
			want[f.Key] = got
		}
	}
	h.hears("what "+s.Name+" is asked", "run["+strconv.Quote(s.Name)+"]", want)
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

func (h *finger) there(selector string) bool {
	return browsertest.Eval[bool](h.Browser, `!!document.querySelector(`+strconv.Quote(selector)+`)`)
}

// touch opens the section that an element is folded into, and presses it once it can be pressed.
func (h *finger) touch(selector string) {
	if browsertest.Eval[bool](h.Browser, fmt.Sprintf(`datumbookHeard.folded(%q)`, selector)) {
		h.TapAtOnce(`[data-fold]:not([open]) > summary`)
	}
	h.TapAtOnce(selector)
}

// answer fills in one field and gives what it has to become: a text, or the rows of a table.
func (h *finger) answer(prefix string, f *field.Field) any {
	id := prefix + "-" + f.Key
	if f.Kind != field.Table {
		h.n++
	}
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
	case field.Link, field.Sheet:
		return h.pick(id, f)
	case field.Text, field.Long, field.Date:
		return h.write(id, f)
	}
	text := h.number(f)
	h.touch("#" + id)
	if browsertest.Eval[string](h.Browser, `document.activeElement.value`) != "" {
		h.key("clear")
	}
	for _, c := range text {
		h.key(string(c))
	}
	return text
}

// key hits one key of the app's own keypad.
func (h *finger) key(name string) {
	h.TapAtOnce(`.keypad [data-key="` + name + `"]`)
	h.last = name
}

// choose touches an option that is not the default.
func (h *finger) choose(id string, f *field.Field) string {
	options := f.Options
	if f.Kind == field.Flag {
		options = []field.Option{{Key: "no"}, {Key: "yes"}}
	}
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
	at := len(options) - 1
	for options[at].Key == f.Default {
		at--
	}
	radio := `input[type=radio][name="` + id + `"][value="` + options[at].Key + `"]`
	h.touch(`label:has(> ` + radio + `)`)
	assert.False(h.t, h.there(`input[type=text][id="`+id+`"]`), "%s is typed", id)
	return options[at].Key
}

// pick chooses the first entry of a list, as the phone's own list would.
func (h *finger) pick(id string, f *field.Field) string {
	options := `[...document.querySelector("#` + id + `").options].map((e) => e.value)`
	h.touch("#" + id)
	offered := browsertest.Eval[[]string](h.Browser, options)
	require.Greater(h.t, len(offered), 1, "%s offers nothing", id)
	was := browsertest.Eval[string](h.Browser, `document.querySelector("#`+id+`").value`)
	step, at := kb.ArrowDown, slices.Index(offered, was)+1
	if at == len(offered) {
		step, at = kb.ArrowUp, at-2
	}
	h.Type("#"+id, step)
	if kind, _, _ := strings.Cut(offered[at], ":"); len(f.Of) > 0 {
		assert.Contains(h.t, f.Of, kind, id)
	}
	return offered[at]
}

// write types words or a day with a keyboard.
func (h *finger) write(id string, f *field.Field) string {
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
	h.touch("#" + id)
	if f.Kind != field.Date {
		browsertest.Eval[bool](h.Browser, `(document.activeElement.select(), true)`)
	}
	h.Type("#"+id, typed)
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
		if _, fault := r.Number(text); fault == nil && len(slices.Compact(keys)) == len(text)+1 {
			return text
		}
	}
	require.FailNow(h.t, "no number will do", "%s %s", f.Key, f.Kind)
	return ""
}
