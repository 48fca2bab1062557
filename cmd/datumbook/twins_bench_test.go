package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

const (
	twinPhotos     = 200
	twinPhotoBytes = 300_000
)

// BenchmarkTwins prints how long 10,000 records and 200 photos of 300 kB take from one office to
// another, next to each other and over a line on which an answer takes 50 ms longer; then how long one
// change takes. Beside it stands a phone that takes in the same 10,000 records, without the photos,
// over the same line, with its storage in memory.
func BenchmarkTwins(b *testing.B) {
	for _, delay := range []time.Duration{0, 50 * time.Millisecond} {
		b.Run(fmt.Sprintf("delay=%s", delay), func(b *testing.B) {
			for b.Loop() {
				twinsOnce(b, delay)
			}
		})
	}
}

func twinsOnce(b *testing.B, delay time.Duration) {
	from, to := mustTwin(b), mustTwin(b)
	for i := 0; i < benchMany; i += 1000 {
		_, docs := pushBodies(1, i, 1000)
		_, err := from.ask("POST", "/sync/shop/_bulk_docs", string(docs))
		require.NoError(b, err)
	}
	gate := browsertest.NewGate(b)
	gate.To(to.addr)
	back := browsertest.NewGate(b)
	back.To(from.addr)
	if delay > 0 {
		line := browsertest.Poor{Way: delay / 2, Down: 100 << 20}
		gate.Worsen(line)
		back.Worsen(line)
	}
	ctx, stop := context.WithTimeout(b.Context(), 5*time.Minute)
	defer stop()
	cmd := exec.CommandContext(ctx, "go", "run", "datumbook/cmd/build", "bench", "joining")
	cmd.Env = append(os.Environ(), "OFFICE="+back.URL(), "BOOK="+benchBook, fmt.Sprint("RECORDS=", benchMany))
	out, err := cmd.Output()
	require.NoError(b, err)
	var f map[string]float64
	require.NoError(b, json.Unmarshal(out, &f), "%s", out)
	b.ReportMetric(f["here"], "s-phone")

	for i := range twinPhotos {
		from.photo(i)
	}
	code := regexp.MustCompile(`\d{4}-\d{4}`).FindString(to.command("devices", "--pair", "owner"))
	began := time.Now()
	from.command("peer", "add", gate.URL(), "--code", code, "--way", "out")
	to.reaches(from.records())
	b.ReportMetric(time.Since(began).Seconds(), "s-all")

	began = time.Now()
	from.photo(twinPhotos)
	to.reaches(from.records())
	b.ReportMetric(time.Since(began).Seconds(), "s-one-more")
}

// photo keeps a record with a photo.
func (w *twin) photo(i int) {
	id := fmt.Sprintf("photo:%05d", i)
	data := strings.Repeat(fmt.Sprintf("%010d", i*7919), twinPhotoBytes/10)
	_, err := w.ask("PUT", "/sync/shop/"+id+"/p.jpg", data)
	require.NoError(w.t, err)
}

// records counts what the office has.
func (w *twin) records() int {
	text, err := w.ask("GET", "/sync/shop/", "")
	require.NoError(w.t, err)
	var in struct {
		Docs int `json:"doc_count"`
	}
	require.NoError(w.t, json.Unmarshal(text, &in))
	return in.Docs
}

// reaches waits until the office has so many records.
func (w *twin) reaches(n int) {
	for w.records() < n {
		time.Sleep(5 * time.Millisecond)
	}
}
