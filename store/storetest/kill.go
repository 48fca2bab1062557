package storetest

import (
	"bufio"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
)

// ChildEnv names the store that a test's child process writes to; ChildRound is the number of its
// run.
const (
	ChildEnv   = "DATUMBOOK_TEST_CHILD"
	ChildRound = "DATUMBOOK_TEST_ROUND"
)

const childWorkers = 6

// Child writes to the store at path as fast as it can and prints a line for each result, until it
// is killed: pushes, edits, deletions, small and spooled attachments, checkpoints, and sometimes a
// compaction.
func Child(path string) error {
	round := os.Getenv(ChildRound)
	s, err := store.Open(store.Options{Path: path})
	if err != nil {
		return err
	}
	b, err := s.Book("jobs")
	if store.KindOf(err) == store.NotFound {
		b, err = s.CreateBook("jobs")
	}
	if err != nil {
		return err
	}
	var out sync.Mutex
	say := func(id string, rev revtree.Rev, att string) {
		out.Lock()
		defer out.Unlock()
		fmt.Fprintf(os.Stdout, "%s %s %s\n", id, rev, att) // one write: no partial line
	}
	errs := make(chan error, childWorkers+1)
	for w := range childWorkers {
		go func() { errs <- work(s, b, round, w, say) }()
	}
	go func() {
		for {
			time.Sleep(30 * time.Millisecond)
			if err := s.Compact(); err != nil {
				errs <- err
			}
		}
	}()
	fmt.Fprintln(os.Stdout, "ready")
	return <-errs
}

func work(s *store.Store, b *store.Book, round string, w int, say func(string, revtree.Rev, string)) error {
	var local uint64
	last := map[string]revtree.Rev{}
	for n := 0; ; n++ {
		id := fmt.Sprintf("r%s-w%d-%d", round, w, n%7)
		d := store.Doc{ID: id, Body: fmt.Appendf(nil, `"n":%d`, n)}
		att := "-"
		if n%5 == 4 {
			content := Content(round, w, n)
			u := s.NewUpload(1)
			if _, err := u.Write(content); err != nil {
				return err
			}
			blob, err := u.Finish()
			if err != nil {
				return err
			}
			d.Atts = []store.Att{{Name: "photo", Blob: blob}}
			att = strconv.Itoa(n)
		}
		var res []store.Result
		var err error
		if rev := last[id]; rev.IsZero() || n%3 == 0 { // a branch pushed from elsewhere
			r := revtree.Rev{Pos: rev.Pos + 1, Hash: fmt.Sprintf("%02x%02x%02x", n, w, len(round))}
			d.Rev, d.Hashes = r, []string{r.Hash}
			if !rev.IsZero() {
				d.Hashes = append(d.Hashes, rev.Hash)
			}
			res, err = b.Push([]store.Doc{d})
		} else {
			d.Rev, d.Deleted = rev, n%11 == 10
			if d.Deleted {
				d.Atts, att = nil, "-"
			}
			res, err = b.Edit([]store.Doc{d})
		}
		if err != nil {
			return err
		}
		if res[0].Err != nil {
			return res[0].Err
		}
		last[id] = res[0].Rev
		say(id, res[0].Rev, att)
		if n%4 == 0 {
			if local, err = b.PutLocal(store.Local{ID: fmt.Sprintf("c-%s-%d", round, w), N: local, Body: []byte(`"last":1`)}); err != nil {
				return err
			}
		}
	}
}

// Content gives the bytes of an attachment, different for each, some small and some of several
// pieces.
func Content(round string, w, n int) []byte {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s/%d/%d", round, w, n))
	size := 100 + int(sum[0])
	if sum[1]%4 == 0 {
		size = 300<<10 + int(sum[2])<<10
	}
	rng := rand.New(rand.NewChaCha8(sum))
	data := make([]byte, size)
	for i := range data {
		data[i] = byte(rng.Uint32())
	}
	return data
}

// Kill starts the test binary as a child that writes, kills it at a random moment, and checks that
// each result it printed is in the store and that the store is sound; rounds times. The binary's
// TestMain must run Child where ChildEnv is set.
func Kill(t *testing.T, rounds int, seed uint64) {
	t.Logf("%d kills, seed %d", rounds, seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	var path string
	answers, total := map[string]answer{}, 0
	for round := range rounds {
		if round%20 == 0 { // a new store at times, so that kills also hit its creation
			path = filepath.Join(t.TempDir(), "kill.db")
			answers = map[string]answer{}
		}
		lines := life(t, path, round, time.Duration(rng.Int64N(int64(45*time.Millisecond))))
		total += len(lines)
		for _, l := range lines {
			answers[l.id+" "+l.rev.String()] = l
		}
		require.NoError(t, holds(path, answers), "round %d, seed %d", round, seed)
	}
	t.Logf("%d answers, all kept", total)
	assert.Greater(t, total, rounds, "the child hardly wrote anything: this proves nothing")
}

// answer is a revision that was acknowledged to the child.
type answer struct {
	id    string
	rev   revtree.Rev
	att   string
	round string
	w     int
}

// life runs one child and kills it.
func life(t *testing.T, path string, round int, after time.Duration) []answer {
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), ChildEnv+"="+path, fmt.Sprintf("%s=%d", ChildRound, round))
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	var errs strings.Builder
	cmd.Stderr = &errs
	require.NoError(t, cmd.Start())
	r := bufio.NewReader(out)
	// Half of the children are killed while the store is being opened or made, the others while it
	// is written to.
	if round%2 == 0 {
		first, err := r.ReadString('\n')
		for err == nil && first != "ready\n" {
			first, err = r.ReadString('\n')
		}
	}
	time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
	var lines []answer
	for {
		line, err := r.ReadString('\n')
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if line == "ready\n" {
			continue
		}
		var a answer
		var rev string
		_, err = fmt.Sscanf(line, "%s %s %s", &a.id, &rev, &a.att)
		require.NoError(t, err, "%q", line)
		_, err = fmt.Sscanf(a.id, "r%d-w%d-", new(int), &a.w)
		require.NoError(t, err, "%q", line)
		a.rev, a.round = Rev(rev), strconv.Itoa(round)
		lines = append(lines, a)
	}
	_ = cmd.Wait()
	require.Empty(t, errs.String())
	return lines
}

// holds reopens the killed store and looks for all answers.
func holds(path string, answers map[string]answer) error {
	if _, err := os.Stat(path); os.IsNotExist(err) && len(answers) == 0 {
		return nil // killed before there was a store
	}
	report, err := store.VerifyFile(context.Background(), path)
	if err != nil {
		return err
	}
	if len(report.Problems) > 0 {
		return fmt.Errorf("%v", report.Problems)
	}
	s, err := store.Open(store.Options{Path: path})
	if err != nil {
		return err
	}
	defer s.Close()
	b, err := s.Book("jobs")
	if err != nil {
		if len(answers) == 0 {
			return nil
		}
		return err
	}
	asked := map[string][]revtree.Rev{}
	for _, a := range answers {
		asked[a.id] = append(asked[a.id], a.rev)
	}
	missing, err := b.RevsDiff(asked)
	if err != nil {
		return err
	}
	if len(missing) > 0 {
		return fmt.Errorf("answered and lost: %v", missing)
	}
	for _, a := range answers {
		if a.att == "-" {
			continue
		}
		d, err := b.Get(a.id, a.rev)
		if store.KindOf(err) == store.NotFound {
			continue // replaced since, and compacted
		}
		if err != nil {
			return err
		}
		n, err := strconv.Atoi(a.att)
		if err != nil || len(d.Atts) != 1 {
			return fmt.Errorf("%s %s lost its attachment", a.id, a.rev)
		}
		if want := sha256.Sum256(Content(a.round, a.w, n)); d.Atts[0].SHA256 != want {
			return fmt.Errorf("%s %s has another attachment", a.id, a.rev)
		}
	}
	report, err = s.Verify(context.Background())
	if err == nil && len(report.Problems) > 0 {
		err = fmt.Errorf("%v", report.Problems)
	}
	return err
}
