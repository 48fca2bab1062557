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
// Measured on 25 November 2026, with the worksheets of nine rooms: scripts 76 kB, of which 31 kB before the first
// paint; calc.wasm 796 kB, of which the Go runtime's floor is about 350 kB; first visit 910 kB. A worksheet costs some
// 20 to 30 kB of calc.wasm: its description built by functions as much as its arithmetic, so write descriptions as
// package-level literals of constants, which the compiler lays out as data.
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
