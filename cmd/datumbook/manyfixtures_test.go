package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
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
	"datumbook/cmd/datumbook/browsertest"
)

// manyFixtures are the records of an invented shop: a job with one part of four bolt holes, and n
// fixtures with so many holes and slots each, at random multiples of 1/16 in. Only the fixture
// numbered fits has four threads for it.
func manyFixtures(t testing.TB, n, features, fits int) []json.RawMessage {
	var docs []json.RawMessage
	desk := &jobbook.Session{}
	add := func(kind string, n int, set map[string]any) string {
		id := fmt.Sprintf("%s:%026d", kind, n)
		in, err := json.Marshal(map[string]any{"type": kind, "id": id, "set": set, "device": "bench", "by": "bench", "unit": "in",
			"at": time.Date(2026, 3, 2, 8, len(docs), 0, 0, time.UTC).Format(time.RFC3339)})
		require.NoError(t, err)
		var out struct {
			Doc    json.RawMessage
			Faults []jobbook.RecordError
		}
		require.NoError(t, json.Unmarshal(desk.Call("new", in), &out))
		require.Empty(t, out.Faults, id)
		docs = append(docs, out.Doc)
		return id
	}
	size := func(x float64) string { return fmt.Sprintf("%.4f", x) }
	at := [][2]float64{{0, 0}, {6.13, .3}, {5.87, 4.2}, {.4, 3.9}}
	var also []any
	for _, p := range at[1:] {
		also = append(also, map[string]any{"x": size(p[0]), "y": size(p[1])})
	}
	job := add("job", 1, map[string]any{"name": "Invented bracket job", "state": "running"})
	part := add("part", 1, map[string]any{"name": "Invented bracket", "job": job})
	add("feature", 1, map[string]any{"name": "Bolt holes", "part": part, "kind": "hole", "face": "base", "nominal": "11/16", "bolt": "5/8-11", "x": "0", "y": "0", "also": also})
	chance := rand.New(rand.NewPCG(6, 1))
	for i := 1; i <= n; i++ {
		var holes, slots []any
		for j := range features {
			x, y := float64(chance.IntN(384))/16, float64(chance.IntN(288))/16
			if i == fits && j < len(at) {
				x, y = 7+at[j][0], 5+at[j][1]
			}
			row := map[string]any{"name": fmt.Sprintf("A%d", j+1), "face": "upright", "x": size(x), "y": size(y)}
			switch {
			case j%10 == 9:
				row["wide"], row["long"], row["runs"], row["kind"] = "11/16", "2", "y", "through"
				slots = append(slots, row)
				continue
			case j%10 == 8:
				row["kind"], row["dia"] = "clear", "11/16"
			default:
				row["kind"], row["thread"], row["why"] = "tapped", "5/8-11", "invented"
			}
			holes = append(holes, row)
		}
		add("fixture", i, map[string]any{"name": fmt.Sprintf("Invented angle plate %d", i), "tag": fmt.Sprintf("F%d", i), "kind": "angle", "thick": "1-1/2",
			"faces": []any{map[string]any{"face": "upright", "wide": "24", "high": "18", "left": "0", "bottom": "0"}}, "holes": holes, "slots": slots})
	}
	return docs
}

// shopOf starts an office that has the records and opens its job on a phone that has pulled all of
// them.
func shopOf(t testing.TB, docs []json.RawMessage) *browsertest.Browser {
	office := browsertest.StartOffice(t, t.TempDir())
	body, err := json.Marshal(map[string]any{"docs": docs})
	require.NoError(t, err)
	answer, err := http.Post("http://"+office.Addr+"/sync/shop/_bulk_docs", "application/json", strings.NewReader(string(body)))
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	require.Equal(t, http.StatusCreated, answer.StatusCode)
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	phone.Go("http://" + office.Addr + "/")
	phone.AtOffice()
	phone.Go("http://" + office.Addr + "/#/job/" + url.QueryEscape(fmt.Sprintf("job:%026d", 1)) + "?view=part")
	phone.Wait("the question stands on the job's page", `!!document.querySelector(`+toMatch+`)`)
	return phone
}

const toMatch = "`a[href*=\"sheet/match\"]`"

// tapToAnswer is the time in milliseconds from the tap on the question to the answer on the screen.
func tapToAnswer(phone *browsertest.Browser, says string) float64 {
	return browsertest.Eval[float64](phone, `new Promise((done) => {
		const from = performance.now();
		const look = setInterval(() => {
			if (!document.querySelector("main").innerText.includes(`+fmt.Sprintf("%q", says)+`)) return;
			clearInterval(look);
			done(performance.now() - from);
		}, 10);
		document.querySelector(`+toMatch+`).click();
	})`)
}

// TestFixtureFound: of the fixtures in the job book the one that takes the part
// is found, and where none does it says where to drill.
func TestFixtureFound(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, says string
		fits       int
	}{
		{"one takes it", "Invented angle plate 9 F9 takes it", 9},
		{"none takes it", "No fixture's holes fit it", 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			phone := shopOf(t, manyFixtures(t, 12, 10, row.fits))
			phone.Tap(`a[href*="sheet/match"]`)
			phone.Wait("the answer", `!!document.querySelector(".headline span")?.textContent.startsWith(`+strconv.Quote(row.says)+`)`)
			if row.fits > 0 {
				phone.WaitText("zero X 7.000")
				phone.WaitText("Y 5.000")
				phone.Tap(`.page-foot .go`)
				phone.WaitText("The fixtures found")
				phone.Tap(`section[aria-label="The fixtures found"] a.link-card`)
				phone.WaitText("Invented angle plate 9")
				assert.Contains(t, browsertest.Eval[string](phone, `decodeURIComponent(location.hash)`), fmt.Sprintf("fixture:%026d", 9))
			} else {
				phone.WaitText("drill 2 x 5/8-11 in Invented angle plate 9 F9, 6.767 apart")
			}
		})
	}
}

// BenchmarkManyFixtures prints the time from the tap on the question to the
// answer, in a job book of 200 fixtures with 40 holes and slots each, the first
// time and after.
func BenchmarkManyFixtures(b *testing.B) {
	for _, row := range []struct {
		name, says string
		fits       int
	}{
		{"taken", "Invented angle plate 138 F138", 138},
		{"drill", "No fixture's holes fit it", 0},
	} {
		b.Run(row.name, func(b *testing.B) {
			phone := shopOf(b, manyFixtures(b, 200, 40, row.fits))
			first, total, n := tapToAnswer(phone, row.says), 0.0, 0.0
			if *papers != "" {
				require.NoError(b, os.WriteFile(filepath.Join(*papers, "many-"+row.name+".png"), phone.Picture(), 0o644))
			}
			for b.Loop() {
				browsertest.Eval[bool](phone, `(history.back(), true)`)
				phone.Wait("the job's page is back", `!!document.querySelector(`+toMatch+`)`)
				time.Sleep(time.Second)
				total += tapToAnswer(phone, row.says)
				n++
			}
			b.ReportMetric(first, "ms-first")
			b.ReportMetric(total/n, "ms-after")
		})
	}
}
