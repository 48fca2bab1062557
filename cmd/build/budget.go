package main

import (
	"fmt"
	"path"
	"strings"
)

// Byte budgets, in brotli as sent (kB = 1,000 bytes). A phone on a shop's weak network loads this
// once, in two steps: first what it needs to start, work a sheet, keep and send with no network,
// after which the app says that it is ready; then the job book's screens, the drawings, paper,
// pairing, the checks and the invented job. When a budget is exceeded, look at the size report: can
// something in the first bundle be imported lazily, or a few lines of our own replace a package?
// Raise a budget only with the reason in the commit.
//
// Measured on 25 November 2026: scripts of the first step 88 kB, of which PouchDB 38; all scripts
// 150 kB. Of calc.wasm some 350 kB are the Go runtime's floor, to which a package of worksheets
// adds 15 to 30 kB. What helped calc.wasm: no inlining (157 kB less), joined data segments (82),
// blanked names and lines (124), checks outside (45), folded tables of functions (50). In November
// 2026 the joint of hung work, the usual tap drills, overlapping volumes, ways out that are tried
// before they are given and sentences for what was not said took 110 kB more: they are what keeps a
// number from misleading. Headlines and facts of 52 worksheets, and pages whose drawings are their
// forms, took the budgets of November 2026 up: 1.1 MB of calc.wasm, 1.4 MB in all, and worksheets
// moved behind the first step. Records that are drawn, stock to begin with, Find by questions and
// paper with sketches took the second step to 150 kB and all to 1.48 MB: nothing of it is waited for.
// The office's page telling of its copies elsewhere, and texts made well-formed, took all to 1.492 MB.
// Binaryen's wasm-opt -Oz makes it 20 kB larger, so it is not used.
const (
	budgetJS    = 110_000   // scripts of the first step: page, worker, service worker, the book
	budgetLater = 150_000   // scripts of the second step
	budgetWASM  = 1_130_000 // calc.wasm
	budgetTotal = 1_492_000 // everything, both steps
)

// sizes are bytes as sent to a browser that takes brotli.
type sizes struct {
	lines                  []line
	js, later, wasm, total int
}

type line struct {
	name      string
	raw, sent int
}

// measure adds up what a first visit fetches: the service worker, what it stores, and index.html
// once more, since the page was loaded before the service worker.
func measure(files map[string][]byte, lists stored) sizes {
	var s sizes
	add := func(name string, scripts *int) {
		raw := len(files[name])
		sent := raw
		if br, ok := files[name+".br"]; ok {
			sent = len(br)
		}
		s.lines = append(s.lines, line{name, raw, sent})
		s.total += sent
		switch path.Ext(name) {
		case ".js":
			*scripts += sent
		case ".wasm":
			s.wasm += sent
		}
	}
	for _, entry := range lists.first {
		add(strings.TrimPrefix(entry.URL, "/"), &s.js)
	}
	add("sw.js", &s.js)
	add("index.html", &s.js)
	for _, entry := range lists.later {
		add(strings.TrimPrefix(entry.URL, "/"), &s.later)
	}
	return s
}

// limit is a ceiling, and a floor, so that an empty bundle fails too.
type limit struct {
	what              string
	have, floor, most int
}

func (s sizes) limits() []limit {
	return []limit{
		{"scripts until ready", s.js, 20_000, budgetJS},
		{"scripts behind", s.later, 1_000, budgetLater},
		{"calc.wasm", s.wasm, 300_000, budgetWASM},
		{"first visit in total", s.total, 400_000, budgetTotal},
	}
}

func (s sizes) report(b builder) {
	b.say("%-36s %10s %10s", "file", "bytes", "brotli")
	for _, l := range s.lines {
		b.say("%-36s %10d %10d", l.name, l.raw, l.sent)
	}
	for _, l := range s.limits() {
		b.say("%-36s %10s %10d of %d", l.what, "", l.have, l.most)
	}
}

func (s sizes) check() error {
	for _, l := range s.limits() {
		if l.have > l.most {
			return fmt.Errorf("%s: %d bytes in brotli, the budget is %d; see budget.go for what to do", l.what, l.have, l.most)
		}
		if l.have < l.floor {
			return fmt.Errorf("%s: %d bytes in brotli, which is too little to be whole (at least %d)", l.what, l.have, l.floor)
		}
	}
	return nil
}
