package main

import (
	"fmt"
	"path"
	"strings"
)

// Byte budgets, in brotli as sent (kB = 1,000 bytes). A phone on a shop's weak network loads all of this once. When
// one trips, look at the size report: is something in the first bundle that could pass the late door, or is a
// package in that a few lines of our own would replace? Raise a budget only with the reason in the commit.
//
// Measured on 25 November 2026: scripts 76 kB, of which 31 kB before the first paint; the Go runtime's floor of
// calc.wasm 381 kB, to which a room of worksheets adds 30 to 60 kB. Tried for calc.wasm: no inlining (157 kB less),
// joined data segments (82 kB less), Binaryen's wasm-opt -Oz (20 kB more, so not used). Not tried: file names and line
// numbers for panics, some 60 kB; descriptions as package-level literals of constants instead of functions.
const (
	budgetJS    = 110_000   // every script: page, worker, service worker
	budgetWASM  = 850_000   // calc.wasm
	budgetTotal = 1_100_000 // everything that a first visit fetches
)

// sizes are bytes as sent to a browser that takes brotli.
type sizes struct {
	lines           []line
	js, wasm, total int
}

type line struct {
	name      string
	raw, sent int
}

// measure adds up what a first visit fetches: the service worker, what it stores, and index.html once more, since the
// page itself came before the service worker did.
func measure(files map[string][]byte, list []precached) sizes {
	var s sizes
	add := func(name string) {
		raw := len(files[name])
		sent := raw
		if br, ok := files[name+".br"]; ok {
			sent = len(br)
		}
		s.lines = append(s.lines, line{name, raw, sent})
		s.total += sent
		switch path.Ext(name) {
		case ".js":
			s.js += sent
		case ".wasm":
			s.wasm += sent
		}
	}
	for _, entry := range list {
		add(strings.TrimPrefix(entry.URL, "/"))
	}
	add("sw.js")
	add("index.html")
	return s
}

func (s sizes) report(b builder) {
	b.say("%-36s %10s %10s", "file", "bytes", "brotli")
	for _, l := range s.lines {
		b.say("%-36s %10d %10d", l.name, l.raw, l.sent)
	}
	b.say("%-36s %10s %10d of %d", "scripts", "", s.js, budgetJS)
	b.say("%-36s %10s %10d of %d", "calc.wasm", "", s.wasm, budgetWASM)
	b.say("%-36s %10s %10d of %d", "first visit in total", "", s.total, budgetTotal)
}

// check fails over a ceiling, and under a floor: an empty bundle is small, but no app.
func (s sizes) check() error {
	for _, limit := range []struct {
		what              string
		have, floor, most int
	}{
		{"the scripts", s.js, 20_000, budgetJS},
		{"calc.wasm", s.wasm, 300_000, budgetWASM},
		{"the first visit", s.total, 400_000, budgetTotal},
	} {
		if limit.have > limit.most {
			return fmt.Errorf("%s: %d bytes in brotli, and the budget is %d; see budget.go for what to do", limit.what, limit.have, limit.most)
		}
		if limit.have < limit.floor {
			return fmt.Errorf("%s: %d bytes in brotli, which is too little to be whole (at least %d)", limit.what, limit.have, limit.floor)
		}
	}
	return nil
}
