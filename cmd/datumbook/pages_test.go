package main

import (
	"encoding/json"
	"flag"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/pages"
	"datumbook/calc/registry"
	"datumbook/calc/worksheet"
	"datumbook/cmd/datumbook/browsertest"
)

var only = flag.String("only", "", "worksheets whose pages are measured, set apart by commas")

// wordsBeside gives the words on a page that are not the name of a box, a chip or a key, a unit, the
// headline or its facts.
const wordsBeside = `(() => {
	const own = ".bx, .chip, .key, .page-foot, .bar, .top, .first, .unseen, .strip, select, option, [data-name]";
	const out = [];
	const walk = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
	for (let n; (n = walk.nextNode()); ) {
		const e = n.parentElement;
		if (e.closest(own) || !e.getClientRects().length || e.closest(".d-size, .d-num, .d-small")) continue;
		out.push(...n.data.split(/\s+/).filter((w) => /[a-z]{2}/i.test(w) && !/^(in|mm|thou)\.?$/.test(w)));
	}
	return out;
})()`

// measured is what a page takes of a screen.
type measured struct {
	High     float64  `json:"high"`
	Wide     float64  `json:"wide"`
	Lines    float64  `json:"lines"`
	Headline string   `json:"headline"`
	Words    []string `json:"words"`
	Boxes    []string `json:"boxes"`
	Faint    bool     `json:"faint"`
	Drawn    bool     `json:"drawn"`
}

const measurePage = `(async () => {
	const head = document.querySelector(".headline span");
	const line = parseFloat(getComputedStyle(head).lineHeight);
	return {
		high: document.documentElement.scrollHeight / innerHeight,
		wide: document.documentElement.scrollWidth,
		lines: Math.round(head.getBoundingClientRect().height / line),
		headline: head.textContent,
		words: ` + wordsBeside + `,
		boxes: [...document.querySelectorAll(".bx input, .bx select")].map((e) => e.name),
		faint: !!document.querySelector(".board.faint"),
		drawn: !!document.querySelector(".picture svg"),
	};
})()`

// settled waits until the page has its headline and its drawing and stands still.
const settled = `(() => {
	const head = document.querySelector(".headline span")?.textContent;
	const now = (head ?? "") + document.documentElement.scrollHeight + document.querySelectorAll(".picture path").length;
	if (!head || !document.querySelector(".picture svg") || document.querySelector(".first.stale")) return false;
	const still = window.lastSettled === now;
	window.lastSettled = now;
	return still;
})()`

// TestEveryPage opens every worksheet on a phone, empty and with its example: answered it fills one
// screen, says what to do in a short headline, adds few words, and is never wider than the narrowest
// phone.
func TestEveryPage(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	b := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	home := "http://" + office.Addr + "/"
	b.Go(home)
	b.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	show := func(s *worksheet.Sheet, draft map[string]string, screen browsertest.Screen) measured {
		page, _ := pages.Find(registry.All(), s.Name)
		text, err := json.Marshal(map[string]any{"inputs": draft, "more": map[string]string{"way": s.Name, "unit": "in"}})
		require.NoError(t, err)
		b.Go(home + "#/nowhere")
		b.Wait("another page", `!document.querySelector(".page")`)
		b.Resize(screen)
		quoted, _ := json.Marshal(string(text))
		browsertest.Eval[bool](b, `(localStorage.setItem("datumbook.draft.`+page.Name+`", `+string(quoted)+`), window.lastSettled = "", true)`)
		b.Go(home + "#/sheet/" + s.Name)
		b.Wait(s.Name+" is drawn", settled)
		browsertest.Eval[bool](b, `(document.activeElement?.blur(), true)`)
		b.Wait(s.Name+" stands still", settled)
		return browsertest.Eval[measured](b, measurePage)
	}
	narrow := browsertest.Screen{Width: 320, Height: 640, Scale: 1, Touch: true}
	for _, s := range registry.All() {
		if *only != "" && !slices.Contains(strings.Split(*only, ","), s.Name) {
			continue
		}
		empty := show(s, map[string]string{}, browsertest.Phone)
		example := map[string]string{}
		for _, p := range s.Example {
			example[p.Key] = p.Text
		}
		full := show(s, example, browsertest.Phone)
		slim := show(s, example, narrow)
		t.Logf("%-10s %.2f of 1.0 screens, %.0f of 320 px, headline %d of 34 in %.0f lines, %d of 12 words %v", s.Name,
			full.High, slim.Wide, utf8.RuneCountInString(full.Headline), full.Lines, len(full.Words), full.Words)
		assert.LessOrEqual(t, full.High, 1.001, "%s: screenfuls", s.Name)
		assert.LessOrEqual(t, slim.Wide, 320.0, "%s: wide", s.Name)
		assert.LessOrEqual(t, utf8.RuneCountInString(full.Headline), worksheet.HeadMost, s.Name)
		assert.LessOrEqual(t, full.Lines, 2.0, "%s: %s", s.Name, full.Headline)
		assert.LessOrEqual(t, len(full.Words), 12, "%s: %s", s.Name, strings.Join(full.Words, " "))
		assert.True(t, empty.Drawn && full.Drawn, "%s: no drawing", s.Name)
		assert.False(t, full.Faint, "%s: answered and not to scale", s.Name)
		assert.NotEmpty(t, empty.Boxes, s.Name)
	}
}
