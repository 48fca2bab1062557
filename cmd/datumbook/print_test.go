package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"image"
	"image/png"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook"
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
	{"setup", "setup", "setup:" + demo.Prefix + "02", 2, 2, []string{"Setup 2 of 4", "Base to the plate", "Demo turret mill", "from the front", "from the right",
		"Holes in F1 in", "B1 -2.75 0 1/2-13 27/64 .856", "Snug Half Full", "15 30", "Tram the base face along X", "left middle +.5", "Bolt shortened", "Housing, C-7", "1/2-13 bottoming tap",
		"1.1 D", "Lift and hold by what the makers", "1 of 2", "2 of 2", "Housing on the plate"}},
	{"setup without photos", "setup", "setup:" + demo.Prefix + "03", 1, 1, []string{"Setup 3 of 4", "Demo vise, F2", "Drill and tap four cap holes", "After cut", "1 of 1"}},
	{"fixture holes", "holes", "fixture:" + demo.Prefix + "01", 1, 1, []string{"B1 upright -2.75 0", "1/2-13", "pump flange of the pillow block, left", "on the upright", "Page 1 of 1"}},
	{"job holes", "holes", "job:" + demo.Prefix + "01", 1, 2, []string{"Main bore", "4.000 in", "+.0014 in", "Cap screw holes", "1/2-13", "on the flange", "Page 1 of 2"}},
	{"inspection", "inspection", "job:" + demo.Prefix + "01", 1, 2, []string{"4.0000 in", "4.0014 in", "3.958 in", ".5 thou", "Out", "surely out", "Inside", "Inspected by"}},
	{"fixture card", "card", "fixture:" + demo.Prefix + "01", 1, 3, []string{"Demo angle plate", "F1", "1-3/4 in", "Keep clear", "from the front"}},
	{"machine card", "card", "machine:" + demo.Prefix + "01", 1, 2, []string{"Demo turret mill", "30 in", "Knee drops", "X 30"}},
	{"history", "job", "job:" + demo.Prefix + "01", 8, 40, []string{"In the customer's own words", "Setup 1 Bored side down", "Setup 4 Finish bore", "Every change", "demo bench"}},
	{"label", "label", "fixture:" + demo.Prefix + "01", 1, 1, []string{"Demo angle plate", "F1", "B1, B2, 1/2-13", "5.5", "Lift by hoist"}},
	{"machine label", "label", "machine:" + demo.Prefix + "01", 1, 1, []string{"Demo turret mill", "D1", "X 30 in"}},
	{"job label", "label", "job:" + demo.Prefix + "01", 1, 1, []string{"Pillow-block housing", "DEMO-100", "96 lb"}},
}

// sheets are the papers in points: ANSI/ASME Y14.1 size A, ISO 216 A4, and a label.
var sheets = map[string][2]float64{"letter": {612, 792}, "a4": {595.28, 841.89}, "label": {288, 144}}

// looksRight holds printed pages to what a reader needs: something on each, nothing at its edge, the
// text that must stand on them, no photo on two of them.
func looksRight(t *testing.T, pdf []byte, says []string) []browsertest.Sheet {
	t.Helper()
	pages := browsertest.Sheets(t, pdf)
	all := ""
	seen := map[string]int{}
	for i, s := range pages {
		assert.Greater(t, s.Ink, .005, "page %d is not blank", i+1)
		assert.Greater(t, len(s.Text), 20, "page %d says something", i+1)
		assert.GreaterOrEqual(t, s.Edge, 1.5, "nothing on page %d is cut by its edge", i+1)
		for _, picture := range s.Pictures {
			assert.NotContains(t, seen, picture, "a photo stands on page %d and on another", i+1)
			seen[picture] = i
		}
		all += s.Text + " "
	}
	for _, one := range says {
		assert.Contains(t, all, one)
	}
	return pages
}

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
	var invented struct{ Docs []json.RawMessage }
	require.NoError(t, json.Unmarshal(demo.File, &invented))
	require.Eventually(t, func() bool { return len(atOffice(t, office)) == len(invented.Docs) }, time.Minute, 100*time.Millisecond, "the invented job reaches the office")

	for _, p := range paperPages {
		t.Run(p.name, func(t *testing.T) {
			for paper, size := range sheets {
				if paper == "label" && p.what != "label" {
					continue
				}
				phone.Go(home + "#/print/" + url.PathEscape(p.what+"/"+p.id) + "?paper=" + paper)
				phone.Wait("the page is whole", `document.querySelector('.paper-`+p.what+`[data-size="`+paper+`"]')?.dataset.ready === "yes" && decodeURIComponent(location.hash).includes("`+p.id+`")`)
				pdf := phone.PDF()
				if *papers != "" {
					require.NoError(t, os.WriteFile(filepath.Join(*papers, p.name+"-"+paper+".pdf"), pdf, 0o644))
					require.NoError(t, os.WriteFile(filepath.Join(*papers, p.name+".png"), phone.Picture(), 0o644))
				}
				drawn := looksRight(t, pdf, append([]string{"INVENTED"}, p.says...))
				if leaves := browsertest.Eval[int](phone, `document.querySelectorAll(".paper-leaf, .paper-sheet").length`); leaves > 0 {
					assert.Len(t, drawn, leaves, "each sheet takes one page on %s", paper)
					for i, sheet := range drawn {
						assert.Contains(t, sheet.Text, fmt.Sprintf("%d of %d", i+1, leaves), "each sheet says which it is")
						assert.Contains(t, sheet.Text, "INVENTED", "each sheet has its head")
					}
				}
				pages := browsertest.PDFPages(pdf)
				assert.GreaterOrEqual(t, len(pages), p.least, paper)
				assert.LessOrEqual(t, len(pages), p.most, paper)
				for _, is := range pages {
					assert.InDelta(t, size[0], is[0], 1, "width on %s", paper)
					assert.InDelta(t, size[1], is[1], 1, "height on %s", paper)
				}
			}
			for _, wide := range []int64{360, 320} {
				phone.Resize(browsertest.Screen{Width: wide, Height: 740, Scale: 2, Touch: true})
				over := browsertest.Eval[int](phone, `document.documentElement.scrollWidth - innerWidth`)
				assert.LessOrEqual(t, over, 0, "nothing stands out of the screen at %d", wide)
			}
			phone.Resize(browsertest.Phone)
		})
	}

	phone.Go(home + "#/files")
	phone.WaitText("Take the invented job out")
	phone.Tap(`.demo-keys button`)
	phone.WaitText("89 invented records taken out.")
	phone.Go(home + "#/")
	phone.WaitText("Load an invented job to look round")
}

// longSetup writes a file of records: a setup with more of everything than stands on one page.
func longSetup(t *testing.T) string {
	t.Helper()
	type row = map[string]any
	var docs []any
	n := 0
	add := func(kind string, set row) string {
		n++
		id := fmt.Sprintf("%s:01KJ8Q3V7M4T9Z2XBN5C6D%04d", kind, n)
		in, err := json.Marshal(row{"type": kind, "id": id, "set": set, "device": "bench", "by": "bench", "at": fmt.Sprintf("2026-03-02T08:%02d:%02dZ", n/60, n%60), "unit": "in"})
		require.NoError(t, err)
		var out struct {
			Doc    map[string]any
			Faults []jobbook.RecordError
		}
		require.NoError(t, json.Unmarshal(new(jobbook.Session).Call("new", in), &out))
		require.Empty(t, out.Faults)
		docs = append(docs, out.Doc)
		return id
	}
	var holes, bolts, expected []any
	for i := range 14 {
		name := fmt.Sprintf("H%d", i+1)
		holes = append(holes, row{"name": name, "face": "upright", "x": strconv.Itoa(-8 + i%7*2), "y": strconv.Itoa(-2 + i/7*4), "kind": "tapped", "thread": "1/2-13", "depth": "1"})
		bolts = append(bolts, row{"hole": name, "thread": "1/2-13", "torque": "30", "order": strconv.Itoa(i + 1)})
	}
	plate := add("fixture", row{"name": "Long plate", "tag": "F9", "kind": "angle", "long": "18", "wide": "12", "high": "14", "thick": "1-3/4", "holes": holes,
		"faces": []any{row{"face": "upright", "wide": "18", "high": "14", "left": "-9", "bottom": "-7"}}})
	for i := range 30 {
		expected = append(expected, row{"station": fmt.Sprintf("station number %d", i+1), "x": strconv.Itoa(i), "value": "+1"})
	}
	setup := add("setup", row{"name": "Long setup, of which not all stands on one page", "fixture": plate, "bolts": bolts, "expected": expected,
		"pickup": strings.Repeat("Edge finder from the left, then from the right, halved. ", 40), "wrong": strings.Repeat("It slipped. ", 30) + "LAST OF WHAT WENT WRONG"})
	for i := range 60 {
		add("step", row{"setup": setup, "order": strconv.Itoa(i + 1), "name": fmt.Sprintf("Step with a name that says what is done, number %d.", i+1), "notes": "Look at it from all sides before the next one."})
	}
	for i := range 7 {
		add("photo", row{"about": setup, "name": fmt.Sprintf("photo %d", i+1), "image": "image.png", "wide": "300", "high": "400"})
		picture := image.NewGray(image.Rect(0, 0, 300, 400))
		for j := range picture.Pix {
			picture.Pix[j] = byte(j * (i + 3) / 7)
		}
		var encoded bytes.Buffer
		require.NoError(t, png.Encode(&encoded, picture))
		docs[len(docs)-1].(map[string]any)["_attachments"] = row{"image.png": row{"content_type": "image/png", "data": encoded.Bytes()}}
	}
	text, err := json.Marshal(row{"datumbook": 1, "form": "records", "docs": docs})
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "long.json")
	require.NoError(t, os.WriteFile(file, text, 0o600))
	return file
}

// TestLongPaper prints a setup with sixty steps, thirty stations, fourteen nuts and seven photos: what
// does not stand on the first page goes on in order, none of it is lost, no photo is cut in two.
func TestLongPaper(t *testing.T) {
	t.Parallel()
	data := t.TempDir()
	var out bytes.Buffer
	require.Equal(t, exitOK, run(t.Context(), []string{"import", longSetup(t), "--data", data}, &out, &out), out.String())
	for _, paper := range []string{"letter", "a4"} {
		file := filepath.Join(t.TempDir(), "long.pdf")
		require.Equal(t, exitOK, run(t.Context(), []string{"print", "setup", "Long setup, of which not all stands on one page", "--paper", paper, "--out", file, "--data", data}, &out, &out), out.String())
		pdf, err := os.ReadFile(file)
		require.NoError(t, err)
		if *papers != "" {
			require.NoError(t, os.WriteFile(filepath.Join(*papers, "long-"+paper+".pdf"), pdf, 0o644))
		}
		says := []string{"Holes in F9", "LAST OF WHAT WENT WRONG", "Lift and hold by what the makers"}
		for i := range 60 {
			says = append(says, fmt.Sprintf("number %d.", i+1))
		}
		pages := looksRight(t, pdf, says)
		all, photos := "", 0
		for i, p := range pages {
			assert.Contains(t, p.Text, fmt.Sprintf("%d of %d", i+1, len(pages)), "each sheet says which it is")
			all += p.Text
			photos += len(p.Pictures)
		}
		for i := range 30 {
			assert.Contains(t, all, fmt.Sprintf("station number %d", i+1))
		}
		assert.Equal(t, 7, photos)
		assert.Len(t, pages[len(pages)-2].Pictures, 4, "photos have pages of their own")
		assert.LessOrEqual(t, len(pages), 9)
	}
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
	looksRight(t, pdf, []string{"F1", "B1, B2, 1/2-13", "5.5"})

	// On a label's own paper, and on no other page.
	say(exitOK, "print", "label", "F1", "--paper", "label", "--out", file, "--address", "https://datumbook.local:8470")
	pdf, err = os.ReadFile(file)
	require.NoError(t, err)
	assert.InDelta(t, sheets["label"][0], browsertest.PDFPages(pdf)[0][0], 1)
	assert.Contains(t, say(exitUsage, "print", "card", "F1", "--paper", "label"), "paper is letter or a4")
}
