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
	t.Parallel()
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
				there := func(selector string) bool {
					return browsertest.Eval[bool](b, `!!document.querySelector(`+strconv.Quote(selector)+`)`)
				}
				b.Wait(name+" is offered", `!!document.querySelector(`+strconv.Quote(radio)+`)`)
				assert.False(t, there(`input[type=text][id="`+name+`"]`), "%s is typed", name)
				if folded := `details:not([open]):has(` + radio + `) > summary`; there(folded) {
					b.Tap(folded)
				}
				b.Tap(`label:has(> ` + radio + `)`)
				b.Wait(name+" took it", `document.querySelector(`+strconv.Quote(radio)+`).checked`)
				cells := `[...document.querySelectorAll(".row-cell .num")].map((e) => e.textContent)`
				b.Wait(name+" shows it", cells+`.includes(`+strconv.Quote(last.Label)+`)`)
				seen++
			}
		}
	}
	assert.Greater(t, seen, 10)
}
