package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// BenchmarkJoining lets a phone that is new to a book of 10,000 records take it in, with 5 ms more a
// request on the way and 5 ms more a flush at the office, and prints the seconds until all is there
// and the line says so, those of its first edit, and the requests. The goal for all of it is 5 s. The
// phone's storage is one in memory: a browser's own takes its time too.
func BenchmarkJoining(b *testing.B) {
	for b.Loop() {
		slow := exec.Command(os.Args[0])
		slow.Env = append(os.Environ(), slowEnv+"="+filepath.Join(b.TempDir(), storeFile))
		s := begin(b, "", slow)
		for i := 0; i < benchMany; i += 1000 {
			_, docs := pushBodies(1, i, 1000)
			demand(b, "POST", s.url+"/"+benchBook+"/_bulk_docs", docs, http.StatusCreated)
		}
		way := standBetween(b, strings.TrimSuffix(strings.TrimPrefix(s.url, "http://"), "/sync"))
		way.with(func(http.ResponseWriter, *http.Request) bool { time.Sleep(5 * time.Millisecond); return false })
		ctx, stop := context.WithTimeout(b.Context(), 5*time.Minute)
		defer stop()
		cmd := exec.CommandContext(ctx, "go", "run", "datumbook/cmd/build", "bench", "joining")
		cmd.Env = append(os.Environ(), "OFFICE="+way.URL, "BOOK="+benchBook, fmt.Sprint("RECORDS=", benchMany))
		var errs bytes.Buffer
		cmd.Stderr = &errs
		out, err := cmd.Output()
		require.NoError(b, err, "%s %s", out, &errs)
		var f map[string]float64
		require.NoError(b, json.Unmarshal(out, &f), "%s", out)
		b.ReportMetric(f["here"], "s-here")
		b.ReportMetric(f["quiet"], "s-quiet")
		b.ReportMetric(f["edit"], "s-first-edit")
		b.ReportMetric(float64(way.asked.Load()), "requests")
	}
}
