package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook/demo"
	"datumbook/cmd/datumbook/browsertest"
)

// catchFiles records the page's downloads, and chooses a file in the page as a user would.
const catchFiles = `(() => {
	window.saved = [];
	URL.createObjectURL = (file) => { saved.push(file); return "#" };
	HTMLAnchorElement.prototype.click = () => {};
	window.choose = (text) => {
		const all = new DataTransfer();
		all.items.add(new File([text], "chosen.json", { type: "application/json" }));
		const field = document.querySelector('input[type="file"]');
		field.files = all.files;
		field.dispatchEvent(new Event("change", { bubbles: true }));
	};
	return true;
})()`

// TestFiles exports the invented job and imports it again, on the phone.
func TestFiles(t *testing.T) {
	t.Parallel()
	var invented struct{ Docs []json.RawMessage }
	require.NoError(t, json.Unmarshal(demo.File, &invented))
	office := browsertest.StartOffice(t, t.TempDir())
	for _, screen := range []struct {
		name string
		browsertest.Screen
	}{{"phone", browsertest.Phone}, {"desk", browsertest.Desk}} {
		t.Run(screen.name, func(t *testing.T) {
			b := browsertest.Open(t, t.TempDir(), screen.Screen)
			b.Go("http://" + office.Addr + "/#/files")
			b.WaitText("Tables for a spreadsheet")
			b.AtOffice()
			if screen.name == "phone" {
				b.Tap(`.demo-keys button`)
			}
			b.WaitText("Take the invented job out")
			want := len(invented.Docs)
			if screen.name == "desk" {
				want++ // with the phone's note
			}
			// They load kind by kind; the list says how many there are of each.
			b.Wait("all of it is there", fmt.Sprintf(`[...document.querySelectorAll(".file-list li > span")].reduce((n, s) => n + (Number(s.textContent) || 0), 0) === %d`, want))
			require.True(t, browsertest.Eval[bool](b, catchFiles))
			if *papers != "" {
				require.NoError(t, os.WriteFile(filepath.Join(*papers, "files-"+screen.name+".png"), b.Picture(), 0o644))
			}

			b.Tap(`section:nth-of-type(1) .button.go`)
			b.Wait("the file is made", `saved.length === 1`)
			assert.Equal(t, want, browsertest.Eval[int](b, `saved[0].text().then((t) => JSON.parse(t).docs.length)`))
			assert.Equal(t, 3, browsertest.Eval[int](b, `saved[0].text().then((t) => JSON.parse(t).docs.filter((d) => d._attachments?.image?.data).length)`))

			browsertest.Eval[bool](b, `saved[0].text().then((t) => { choose(t); return true })`)
			b.WaitText(fmt.Sprintf("0 new, 0 changed, %d here already.", want))
			browsertest.Eval[bool](b, `(choose('{"datumbook":1,"form":"records","docs":[{"_id":"note:01KJ8Q3V7M4T9Z2XBN5C6D8F0G","type":"note","v":1,"f":{"text":[{"id":"bench-1","v":"from `+screen.name+`"}]}},{"_id":"x","type":""}]}'), true)`)
			if screen.name == "phone" {
				b.WaitText("1 new, 0 changed, 0 here already.")
			} else {
				b.WaitText("0 new, 1 changed, 0 here already.")
				b.WaitText("1 record has two values to choose between:")
			}
			b.WaitText("1 record left out:")
			browsertest.Eval[bool](b, `(choose("words"), true)`)
			b.WaitText("That file could not be brought in:")

			require.True(t, browsertest.Eval[bool](b, `(() => { const key = [...document.querySelectorAll(".file-list button")].find((x) => x.textContent === "Holes"); key?.dispatchEvent(new MouseEvent("click", { bubbles: true })); return !!key })()`))
			b.Wait("the table is made", `saved.length === 2`)
			assert.Equal(t, "fixture-holes.csv", browsertest.Eval[string](b, `saved[1].name`))
			rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(browsertest.Eval[string](b, `saved[1].text()`), "\ufeff"))).ReadAll()
			require.NoError(t, err)
			assert.Len(t, rows, 5, "a head and four holes")
			wide := browsertest.Eval[int](b, `document.documentElement.scrollWidth - innerWidth`)
			assert.LessOrEqual(t, wide, 0, "nothing stands out of the screen")
			if screen.name == "phone" {
				require.Eventually(t, func() bool {
					answer, err := http.Get("http://" + office.Addr + "/sync/shop/note:01KJ8Q3V7M4T9Z2XBN5C6D8F0G")
					return err == nil && answer.Body.Close() == nil && answer.StatusCode == http.StatusOK
				}, time.Minute, 100*time.Millisecond, "what came in by file goes on to the office")
			}
		})
	}
}
