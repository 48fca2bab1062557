package main

import (
	"bytes"
	"flag"
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook/demo"
	"datumbook/cmd/datumbook/browsertest"
)

var papers = flag.String("papers", "", "also write the printed pages into this folder, to be looked at")

// paperPages is every page of the invented job, with the fewest and most sheets it may take and the
// text it must contain.
var paperPages = []struct {
	name, what, id string
	least, most    int
	says           []string
}{
	{"setup", "setup", "setup:" + demo.Prefix + "02", 2, 4, []string{"Base to the plate", "Demo turret mill", "Tram the base face along X", "+.5 thou", "Bolt shortened"}},
	{"fixture holes", "holes", "fixture:" + demo.Prefix + "01", 1, 1, []string{"B1", "-2.75 in", "1/2-13", "pump flange of the pillow block, left", "4 holes on the upright"}},
	{"job holes", "holes", "job:" + demo.Prefix + "01", 1, 1, []string{"Main bore", "4.000 in", "+.0014 in / 0 in", "Cap screw holes", "1/2-13"}},
	{"inspection", "inspection", "job:" + demo.Prefix + "01", 1, 2, []string{"4.0000 in to 4.0014 in", "3.958 in", ".5 thou", "Out", "surely out", "Inside micrometer", "Inspected by"}},
	{"fixture card", "card", "fixture:" + demo.Prefix + "01", 1, 3, []string{"Demo angle plate", "F1", "1-3/4 in", "Keep clear", "from the front"}},
	{"machine card", "card", "machine:" + demo.Prefix + "01", 1, 2, []string{"Demo turret mill", "30 in", "Knee drops"}},
	{"history", "job", "job:" + demo.Prefix + "01", 8, 40, []string{"In the customer's own words", "Setup 1 Bored side down", "Setup 4 Finish bore", "Every change", "demo bench"}},
	{"label", "label", "fixture:" + demo.Prefix + "01", 1, 1, []string{"Demo angle plate", "F1"}},
}

// sheets are the papers in points: ANSI/ASME Y14.1 size A and ISO 216 A4.
var sheets = map[string][2]float64{"letter": {612, 792}, "a4": {595.28, 841.89}}

// TestPaper loads the invented job with one touch on an empty phone, prints
// every page on both papers, and takes the job out with one touch.
func TestPaper(t *testing.T) {
	t.Parallel()
	office := browsertest.StartOffice(t, t.TempDir())
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	home := "http://" + office.Addr + "/"
	phone.Go(home)
	phone.WaitText("Load an invented job to look round")
	phone.Tap(`.demo-keys button`)
	phone.WaitText("Base to the plate")
	phone.AtOffice()

	for _, p := range paperPages {
		t.Run(p.name, func(t *testing.T) {
			for paper, size := range sheets {
				phone.Go(home + "#/print/" + url.PathEscape(p.what+"/"+p.id) + "?paper=" + paper)
				phone.Wait("the page is whole", `document.querySelector('.paper-`+p.what+`')?.dataset.ready === "yes" && location.hash.includes("paper=`+paper+`")`)
				text := browsertest.Eval[string](phone, `document.querySelector(".paper").textContent`)
				for _, says := range p.says {
					assert.Contains(t, text, says)
				}
				assert.Contains(t, text, "INVENTED", "an invented record says so on paper")
				pdf := phone.PDF()
				if *papers != "" {
					require.NoError(t, os.WriteFile(filepath.Join(*papers, p.name+"-"+paper+".pdf"), pdf, 0o644))
					require.NoError(t, os.WriteFile(filepath.Join(*papers, p.name+".png"), phone.Picture(), 0o644))
				}
				pages := browsertest.PDFPages(pdf)
				assert.GreaterOrEqual(t, len(pages), p.least)
				assert.LessOrEqual(t, len(pages), p.most)
				for _, is := range pages {
					assert.InDelta(t, size[0], is[0], 1, "width on %s", paper)
					assert.InDelta(t, size[1], is[1], 1, "height on %s", paper)
				}
			}
			wide := browsertest.Eval[int](phone, `document.documentElement.scrollWidth - innerWidth`)
			assert.LessOrEqual(t, wide, 0, "nothing stands out of the screen")
		})
	}

	phone.Go(home + "#/job/" + url.PathEscape("job:"+demo.Prefix+"01"))
	phone.WaitText("Take the invented job out")
	phone.Tap(`.demo-keys button`)
	phone.WaitText("89 invented records taken out.")
	phone.Go(home + "#/")
	phone.WaitText("Load an invented job to look round")
}

// TestPrintCommand prints the same pages by the command line.
func TestPrintCommand(t *testing.T) {
	t.Parallel()
	data := t.TempDir()
	say := func(code int, args ...string) string {
		t.Helper()
		var out bytes.Buffer
		require.Equal(t, code, run(t.Context(), append(args, "--data", data), &out, &out), out.String())
		return out.String()
	}
	say(exitOK, "demo")
	file := filepath.Join(t.TempDir(), "inspection.pdf")
	assert.Contains(t, say(exitOK, "print", "inspection", "demo-100", "--paper", "a4", "--out", file), "Wrote "+file)
	pdf, err := os.ReadFile(file)
	require.NoError(t, err)
	pages := browsertest.PDFPages(pdf)
	require.NotEmpty(t, pages)
	assert.InDelta(t, sheets["a4"][1], pages[0][1], 1)

	// A label's code has to be an address that a phone can reach.
	assert.Contains(t, say(exitFailed, "print", "label", "F1", "--out", file), "--address")
	say(exitOK, "print", "label", "F1", "--out", file, "--address", "https://datumbook.local:8470")
	pdf, err = os.ReadFile(file)
	require.NoError(t, err)
	assert.Len(t, browsertest.PDFPages(pdf), 1)
}
