package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

var (
	phonesSeconds = flag.Int("phones-seconds", 300, "how long the phones of BenchmarkPhones work")
	phonesMany    = flag.Int("phones", 20, "how many phones BenchmarkPhones has")
	phonesSeed    = flag.Uint64("phones-seed", 20260309, "seed of what they do and of the office's kills")
)

// BenchmarkPhones lets 20 phones, each with the app's own exchange, work for five minutes against
// the program while requests are cut and it is killed and started again, and prints what was done
// and how long it then took until all held the same. That they do is a condition.
func BenchmarkPhones(b *testing.B) {
	rng := rand.New(rand.NewPCG(*phonesSeed, 1))
	for b.Loop() {
		data := b.TempDir()
		gate := browsertest.NewGate(b)
		office := browsertest.StartOffice(b, data)
		gate.To(office.Addr)
		ctx, stop := context.WithTimeout(b.Context(), time.Duration(*phonesSeconds)*time.Second+10*time.Minute)
		defer stop()
		cmd := exec.CommandContext(ctx, "go", "run", "datumbook/cmd/build", "bench", "phones")
		cmd.Env = append(os.Environ(), "OFFICE="+gate.URL(), "BOOK="+benchBook, fmt.Sprint("PHONES=", *phonesMany),
			fmt.Sprint("SECONDS=", *phonesSeconds), fmt.Sprint("SEED=", *phonesSeed))
		var errs bytes.Buffer
		cmd.Stderr = &errs
		out, err := cmd.StdoutPipe()
		require.NoError(b, err)
		require.NoError(b, cmd.Start())
		lines := make(chan string)
		go func() {
			defer close(lines)
			for s := bufio.NewScanner(out); s.Scan(); {
				lines <- s.Text()
			}
		}()
		kills, quiet, last := 0, false, ""
		for done := false; !done; {
			var next <-chan time.Time
			if !quiet {
				next = time.After(4*time.Second + time.Duration(rng.Int64N(int64(8*time.Second))))
			}
			select {
			case line, more := <-lines:
				done = !more
				if line == "quiet" {
					quiet = true
				} else if line != "" {
					last = line
				}
			case <-next:
				office.Kill()
				office = browsertest.StartOffice(b, data)
				gate.To(office.Addr)
				kills++
			}
		}
		require.NoError(b, cmd.Wait(), "%s %s", last, &errs)
		var f map[string]float64
		require.NoError(b, json.Unmarshal([]byte(last), &f), "%s", last)
		fmt.Printf("\n%d phones, %d s, %d kills of the office: %s\n", *phonesMany, *phonesSeconds, kills, last)
		b.ReportMetric(f["equal"], "s-to-equal")
		b.ReportMetric(f["requests"], "requests")
		b.ReportMetric(float64(kills), "kills")
	}
}
