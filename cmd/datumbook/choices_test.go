package main

import (
	"fmt"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/registry"
	"datumbook/calc/worksheet"
	"datumbook/cmd/datumbook/browsertest"
)

// TestChoicesInTables: a choice in a table is offered and never typed. In every worksheet, each column that is a choice
// takes its last option by touch, and the row shows it.
func TestChoicesInTables(t *testing.T) {
	office := browsertest.StartOffice(t, t.TempDir())
	b := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	seen := 0
	for _, s := range registry.All() {
		open := false
		for i := range s.Inputs {
			in := &s.Inputs[i]
			if in.Kind != worksheet.Table {
				continue
			}
			for j := range in.Columns {
				col := &in.Columns[j]
				if col.Kind != worksheet.Choice {
					continue
				}
				if !open {
					b.Go("http://" + office.Addr + "/#/sheet/" + s.Name)
					b.Wait(s.Name+" is shown", `!!document.querySelector("main form, main .sheet-form")`)
					open = true
				}
				last := col.Options[len(col.Options)-1]
				name := fmt.Sprintf("%s-%s-%s", s.Name, in.Key, col.Key)
				radio := fmt.Sprintf(`input[name=%s][value=%s]`, strconv.Quote(name), strconv.Quote(last.Key))
				b.Wait(name+" is offered", fmt.Sprintf(`!!document.querySelector(%s)`, strconv.Quote(radio)))
				assert.Zero(t, browsertest.Eval[int](b, fmt.Sprintf(`document.querySelectorAll(%s).length`, strconv.Quote(`input[type=text][id="`+name+`"]`))), name)
				browsertest.Eval[bool](b, fmt.Sprintf(`(() => { for (let e = document.querySelector(%s); e; e = e.parentElement) if (e.tagName === "DETAILS") e.open = true; return true })()`, strconv.Quote(radio)))
				b.Tap(fmt.Sprintf(`label:has(> %s)`, radio))
				b.Wait(name+" took it", fmt.Sprintf(`document.querySelector(%s).checked`, strconv.Quote(radio)))
				b.Wait(name+" shows it", fmt.Sprintf(`[...document.querySelectorAll(".row-cell .num")].some((e) => e.textContent === %s)`, strconv.Quote(last.Label)))
				seen++
			}
		}
	}
	assert.Greater(t, seen, 10)
}
