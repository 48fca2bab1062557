//go:build !(js && wasm)

package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"datumbook/calc/registry"
	"datumbook/calc/worksheet"
	"datumbook/cmd/datumbook/browsertest"
)

// BenchmarkWorksheets prints how long each worksheet's example takes in
// WebAssembly on a processor six times slower than this one: the mean of a
// hundred answers, and the first, which compiles what it uses. The browser slows
// down a page and not its worker: the time is taken as it is and counted six
// times. Before the hundred the worksheet is run as the phone runs one just
// opened, at rest (pwa/src/engine/worker.ts). Goal for an answer: 5 ms.
func BenchmarkWorksheets(b *testing.B) {
	phone := browsertest.Open(b, b.TempDir(), browsertest.Desk)
	phone.Go(serveModule(b))
	phone.Wait("the module is up", `window.ready === true`)
	const slower = 6
	for _, s := range registry.All() {
		b.Run(s.Name, func(b *testing.B) {
			text, err := json.Marshal([]string{s.Name, "in", registry.Pack(s.Example)})
			require.NoError(b, err)
			first, total, n := 0.0, 0.0, 0.0
			for b.Loop() {
				took := browsertest.Eval[[]float64](phone, `(async () => {
					const ask = `+string(text)+`;
					const time = (n) => {
						const from = performance.now();
						for (let i = 0; i < n; i++) datumbook.run(...ask);
						return (performance.now() - from) / n;
					};
					const first = time(1);
					const rest = (ms) => new Promise((go) => setTimeout(go, ms));
					for (let run = 0, spent = 0; run < 200 && spent < 1000; run++) {
						await rest(0);
						spent += time(1);
					}
					await rest(1000);
					return [first, time(100)];
				})()`)
				if n == 0 {
					first = took[0]
				}
				total += took[1]
				n++
			}
			b.ReportMetric(slower*total/n, "ms-answer")
			b.ReportMetric(slower*first, "ms-first")
		})
	}
}

// manyFixtures are invented: 200 faces with 40 holes, threads and slots each, as the job book
// passes them, and a part with four bolts. With fits, the part's four places are among the holes of
// the 138th.
func manyFixtures(fits bool) []worksheet.Pair {
	chance := rand.New(rand.NewPCG(6, 1))
	inch := func(x float64) string { return fmt.Sprintf("%.4f in", x) }
	part := [][2]float64{{0, 0}, {6.13, .3}, {5.87, 4.2}, {.4, 3.9}}
	var bolts, faces, places []string
	for _, at := range part {
		bolts = append(bolts, fmt.Sprintf("hole, %s, %s, 5/8-11, 0.6875 in", inch(at[0]), inch(at[1])))
	}
	for i := range 200 {
		name := fmt.Sprintf("Invented plate %d F%d, upright", i+1, i+1)
		faces = append(faces, name+", 24 in, 18 in, 1.5 in, 0 in, 0 in")
		for j := range 40 {
			x, y := inch(float64(chance.IntN(384))/16), inch(float64(chance.IntN(288))/16)
			if fits && i == 137 && j < len(part) {
				x, y = inch(7+part[j][0]), inch(5+part[j][1])
			}
			switch {
			case j%8 == 6:
				places = append(places, fmt.Sprintf("%s, hole, %s, %s, 0.6875 in", name, x, y))
			case j%8 == 7:
				places = append(places, fmt.Sprintf("%s, slot, %s, %s, 0.6875 in, , 2 in, 90", name, x, y))
			default:
				places = append(places, fmt.Sprintf("%s, tapped, %s, %s, , 5/8-11", name, x, y))
			}
		}
	}
	return []worksheet.Pair{
		{Key: "part", Text: strings.Join(bolts, "; ")}, {Key: "fixtures", Text: strings.Join(faces, "; ")}, {Key: "places", Text: strings.Join(places, "; ")},
	}
}

// BenchmarkMatchLarge prints how long the whole worksheet "which of my fixtures
// takes this part" takes over 200 fixtures with 40 features each: in WebAssembly,
// not slowed down, and natively. Goal: 300 ms.
func BenchmarkMatchLarge(b *testing.B) {
	free := []worksheet.Pair{{Key: "turn", Text: "free"}, {Key: "flip", Text: "yes"}}
	rows := []struct {
		name  string
		pairs []worksheet.Pair
		says  string
	}{
		{"taken", manyFixtures(true), "Invented plate 138 F138, upright takes it"},
		{"drill", manyFixtures(false), "None of the 200 faces takes it as it is. Drill"},
		{"taken any turn", append(manyFixtures(true), free...), "takes it"},
	}
	phone := browsertest.Open(b, b.TempDir(), browsertest.Desk)
	phone.Go(serveModule(b))
	phone.Wait("the module is up", `window.ready === true`)
	for _, row := range rows {
		text, err := json.Marshal([]string{"match", "in", registry.Pack(row.pairs)})
		require.NoError(b, err)
		browsertest.Eval[bool](phone, `(window.ask = `+string(text)+`, true)`)
		require.Contains(b, browsertest.Eval[string](phone, `datumbook.run(...ask)`), row.says)
		b.Run(row.name, func(b *testing.B) {
			least, total, n := 1e9, 0.0, 0.0
			for b.Loop() {
				took := browsertest.Eval[float64](phone, `(() => {
					const from = performance.now();
					datumbook.run(...ask);
					return performance.now() - from;
				})()`)
				least, total, n = min(least, took), total+took, n+1
			}
			b.ReportMetric(least, "ms-least")
			b.ReportMetric(total/n, "ms-mean")
		})
		b.Run(row.name+" native", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				registry.Run("match", "in", row.pairs)
			}
		})
	}
}

// invented makes n records as a shop's book has them, most of them readings, steps and notes of
// setups on a few machines and fixtures.
func invented(n int) []any {
	chance := rand.New(rand.NewPCG(5, 4))
	stems := strings.Fields("base bore cover flange plate pump housing bracket angle vise left right top datum shim face slot rough finish tram head gear shaft boss wall pad foot rib")
	words := func(k int) string {
		out := make([]string, k)
		for i := range out {
			out[i] = stems[chance.IntN(len(stems))]
			if chance.IntN(3) == 0 { // some 4,000 words in all
				out[i] += fmt.Sprintf("%c%c", 'a'+chance.IntN(12), 'a'+chance.IntN(12))
			}
		}
		return strings.Join(out, " ")
	}
	id := func(kind string, from, to int) string { return fmt.Sprintf("%s:%06d", kind, from+chance.IntN(to-from)) }
	size := func() string { return fmt.Sprintf("%d.%03d", chance.IntN(12), 125*chance.IntN(8)) }
	out := make([]any, n)
	for i := range out {
		kind, set := "reading", map[string]any{"setup": id("setup", 700, 2700), "station": words(1), "value": fmt.Sprintf("%+d.5", chance.IntN(20)-10), "x": size()}
		switch {
		case i < 40:
			kind, set = "machine", map[string]any{"name": fmt.Sprintf("invented mill %d", i), "tag": fmt.Sprintf("M%d", i), "kind": "turret"}
		case i < 240:
			kind, set = "fixture", map[string]any{"name": "angle plate " + words(1), "kind": "angle", "thick": size(), "holes#0001-a": map[string]any{"name": "A1", "thread": "5/8-11", "why": words(2)}}
		case i < 700:
			kind, set = "job", map[string]any{"name": words(2), "words": words(12), "drawing": fmt.Sprintf("D-%d", i)}
		case i < 2700:
			kind, set = "setup", map[string]any{"name": words(3), "job": id("job", 240, 700), "machine": id("machine", 0, 40), "fixture": id("fixture", 40, 240), "datum": words(4), "when": fmt.Sprintf("202%d-%02d-%02d", i%6, 1+i%12, 1+i%28)}
		case i%4 == 0:
			kind, set = "step", map[string]any{"name": words(3), "setup": id("setup", 700, 2700), "notes": words(8)}
		case i%17 == 0:
			kind, set = "feature", map[string]any{"name": words(2), "kind": "tapped", "nominal": size(), "thread": []string{"5/8-11", "3/8-16", "M12"}[chance.IntN(3)]}
		case i%5 == 0:
			kind, set = "note", map[string]any{"text": words(12) + " " + size() + " in"}
		}
		f := map[string]any{}
		for key, v := range set {
			f[key] = []any{map[string]any{"id": "bench-1", "at": fmt.Sprintf("202%d-%02d-%02dT08:00:00Z", i%6, 1+i%12, 1+i%28), "by": "bench", "unit": "in", "v": v}}
		}
		out[i] = map[string]any{"_id": fmt.Sprintf("%s:%06d", kind, i), "type": kind, "v": 1, "f": f}
	}
	return out
}

// inventedQuestions are sixty: words and their beginnings, sizes however they are written, machines
// by name and by link, dates, and questions as they are said, some misspelt.
func inventedQuestions() (out []any) {
	ask := func(q string) { out = append(out, map[string]any{"query": q, "unit": "in", "most": 50}) }
	for _, q := range strings.Split("5/8-11|8 in|8\"|203.2mm|a|f|bore|bore flange|pump cover|angle plate|invented mill 7|m12|D-345|2023-05-13|rough pad left|3/8-16|7-1/2 in|7 1/2 in|.625-11|ribaa|shim top datum|foot boss wall gear|p f s|base base base|tram head|3.125|zzz|mill|turret|reading", "|") {
		ask(q)
	}
	for _, q := range strings.Split("why was that slot in the angle plate cut|where did the housing bracket go|which left flagne was shimmed|"+
		"what did we face the rough pumpp housing with|how was the gear shaft picked up|when did boss and wall get tramed last|"+
		"which setup had the datum on the bore flange of the pump cover|what is 8 in from the top of the rib|slto anlge plaet|"+
		"please tell me again which of the 5/8-11 holes in the big angle plate is for the pump housing", "|") {
		ask(q)
	}
	for i := range 8 {
		out = append(out, map[string]any{"query": "", "unit": "in", "kinds": []string{"setup"}, "to": []string{fmt.Sprintf("machine:%06d", 5*i)}})
		out = append(out, map[string]any{"query": "bore", "unit": "in", "to": []string{fmt.Sprintf("job:%06d", 240+50*i)}})
	}
	for i := range 4 {
		out = append(out, map[string]any{"query": "face", "unit": "in", "from": fmt.Sprintf("202%d-01", i), "until": fmt.Sprintf("202%d-12", i)})
	}
	return out
}

// BenchmarkFindLarge prints how long a phone four times slower than this machine searches 20,000
// records: the query that sorts the index, which the app makes itself, the first query after it,
// and sixty others. Goal: 100 ms.
func BenchmarkFindLarge(b *testing.B) {
	docs, err := json.Marshal(invented(20_000))
	require.NoError(b, err)
	questions := inventedQuestions()
	require.Len(b, questions, 60)
	asked, err := json.Marshal(questions)
	require.NoError(b, err)
	phone := browsertest.Open(b, b.TempDir(), browsertest.Desk)
	phone.Go(serveModule(b))
	phone.Wait("the module is up", `window.ready === true`)
	browsertest.Eval[bool](phone, `(window.docs = `+string(docs)+`, window.questions = `+string(asked)+`, true)`)
	phone.Slow(4)
	took := browsertest.Eval[[]float64](phone, `(async () => {
		for (let i = 0; i < docs.length; i += 100) { // as pwa/src/records/finder.ts does
			const said = JSON.parse(datumbook.book("index", JSON.stringify({docs: docs.slice(i, i + 100), ...(i === 0 && {clear: true})})));
			if (said.problems.length) throw new Error(said.problems[0].message);
			await new Promise((go) => setTimeout(go, 0));
		}
		window.time = (q) => {
			const from = performance.now();
			JSON.parse(datumbook.book("find", JSON.stringify(q))).hits.length;
			return performance.now() - from;
		};
		return [time({query: "a", most: 1}), time(questions[0])];
	})()`)
	sums, n := make([]float64, len(questions)), 0.0
	for b.Loop() {
		for i, ms := range browsertest.Eval[[]float64](phone, `questions.map(time)`) {
			sums[i] += ms
		}
		n++
	}
	mean, worst := 0.0, 0
	for i, sum := range sums {
		mean += sum / n / float64(len(sums))
		if sum > sums[worst] {
			worst = i
		}
	}
	b.ReportMetric(took[0], "ms-order")
	b.ReportMetric(took[1], "ms-first")
	b.ReportMetric(mean, "ms-mean")
	b.ReportMetric(sums[worst]/n, "ms-slowest")
	b.Logf("slowest: %v", questions[worst])
}
