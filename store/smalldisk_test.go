//go:build unix

package store_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/store"
	"datumbook/store/revtree"
	"datumbook/store/storetest"
)

// quotaEnv asks the child to fill a disk of its own: a limit on the length of files, which the
// system enforces on every write without any privilege.
const quotaEnv = "DATUMBOOK_TEST_QUOTA"

func init() { children[quotaEnv] = quotaChild }

// filler takes a kilobyte of room however it is packed.
func filler(n int) store.Doc {
	pad := make([]byte, 500)
	_, _ = rand.NewChaCha8([32]byte{byte(n), byte(n >> 8)}).Read(pad)
	return storetest.Doc(fmt.Sprintf("doc-%d", n), "1-a", nil, fmt.Sprintf(`"n":%d,"pad":"%x"`, n, pad))
}

func quotaChild(path string) error {
	signal.Ignore(syscall.SIGXFSZ)
	s, err := store.Open(store.Options{Path: path})
	if err != nil {
		return err
	}
	b, err := s.CreateBook("jobs")
	if err != nil {
		return err
	}
	var old syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &old); err != nil {
		return err
	}
	quota := syscall.Rlimit{Cur: 6 << 20, Max: old.Max}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &quota); err != nil {
		return err
	}
	kept := 0
	for ; ; kept++ {
		if _, err = b.Push([]store.Doc{filler(kept)}); err != nil {
			break
		}
		if kept > 50000 {
			return fmt.Errorf("the disk never filled up")
		}
	}
	if store.KindOf(err) != store.Full {
		return fmt.Errorf("the full disk was called %q: %w", store.KindOf(err), err)
	}
	if store.KindOf(s.Trouble()) != store.Full || store.KindOf(s.Probe()) != store.Full {
		return fmt.Errorf("the store does not say that it cannot write: %w, %w", s.Trouble(), s.Probe())
	}
	for range 3 { // it stays refused, and reading goes on
		if _, err := b.Push([]store.Doc{filler(kept)}); store.KindOf(err) != store.Full {
			return fmt.Errorf("the full disk was then called %q: %w", store.KindOf(err), err)
		}
		if _, err := b.Get("doc-0", revtree.Rev{}); err != nil {
			return err
		}
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &old); err != nil {
		return err
	}
	if err := errors.Join(s.Probe(), s.Trouble()); err != nil { // room again: it finds out by itself
		return err
	}
	if _, err := b.Push([]store.Doc{filler(kept)}); err != nil { // and goes on without a restart
		return err
	}
	if err := s.Close(); err != nil {
		return err
	}
	fmt.Println(kept + 1)
	return nil
}

func TestDiskFillsUp(t *testing.T) { assert.Greater(t, fillDisk(t, quotaEnv).kept, 100) }

// BenchmarkFullDisk prints what a disk that fills up leaves of what was acknowledged: all of it, or
// it fails.
func BenchmarkFullDisk(b *testing.B) {
	var got filled
	for b.Loop() {
		got = fillDisk(b, quotaEnv)
	}
	b.ReportMetric(float64(got.kept), "acknowledged")
	b.ReportMetric(0, "lost")
}

// filled is what a child left on a disk that filled up.
type filled struct {
	kept int   // records acknowledged, all of them found in the file
	size int64 // of the file
}

// fillDisk lets a child fill its disk and compares what it was answered with what is in the file.
func fillDisk(t testing.TB, env string) filled {
	path := filepath.Join(t.TempDir(), "small.db")
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), storetest.ChildEnv+"="+path, env+"=1")
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	require.NoError(t, err)
	var kept int
	_, err = fmt.Sscan(string(out), &kept)
	require.NoError(t, err)
	report := storetest.MustVerifyFile(t, path)
	require.Equal(t, kept, report.Docs, "what was answered is there, and nothing else")
	info, err := os.Stat(path)
	require.NoError(t, err)
	return filled{kept, info.Size()}
}

// roomEnv asks the child to fill its disk and to make room when asked.
const roomEnv = "DATUMBOOK_TEST_ROOM"

func init() { children[roomEnv] = roomChild }

func roomChild(path string) error {
	signal.Ignore(syscall.SIGXFSZ)
	var old syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &old); err != nil {
		return err
	}
	asked := 0
	s, err := store.Open(store.Options{Path: path, Room: func() bool {
		asked++
		limit := syscall.Rlimit{Cur: (6 + 3*uint64(asked)) << 20, Max: old.Max}
		return asked <= 2 && syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit) == nil
	}})
	if err != nil {
		return err
	}
	b, err := s.CreateBook("jobs")
	if err != nil {
		return err
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 6 << 20, Max: old.Max}); err != nil {
		return err
	}
	kept := 0
	for ; err == nil && kept < 50000; kept++ {
		_, err = b.Push([]store.Doc{filler(kept)})
	}
	kept-- // the last was refused
	if store.KindOf(err) != store.Full || asked != 3 {
		return fmt.Errorf("room was asked for %d times and the end was %w", asked, err)
	}
	if err := s.Close(); err != nil {
		return err
	}
	fmt.Println(kept)
	return nil
}

// A full disk makes the store ask for room before anything is refused.
func TestRoomIsMadeBeforeRefusing(t *testing.T) {
	assert.Greater(t, fillDisk(t, roomEnv).size, int64(6<<20), "it went on into the room that was made")
}

func TestMaxSize(t *testing.T) {
	s := storetest.MustOpen(t, func(o *store.Options) { o.MaxSize = 2 << 20 })
	b := storetest.MustBook(t, s, "jobs")
	n := 0
	var err error
	for ; err == nil && n < 5000; n++ {
		_, err = b.Push([]store.Doc{filler(n)})
	}
	require.Equal(t, store.Full, store.KindOf(err), "%v", err)
	assert.Contains(t, store.Sentence(err), "disk is full")
	live, _, err := storetest.Book{Book: b}.Counts()
	require.NoError(t, err)
	assert.EqualValues(t, n-1, live, "what was answered is there, what was refused is not")
	// A photo that does not fit leaves nothing behind either.
	u := s.NewUpload(1)
	_, err = u.Write(make([]byte, 3<<20))
	require.NoError(t, err, "it is still on its way")
	blob, err := u.Finish()
	require.NoError(t, err)
	_, err = b.Edit([]store.Doc{{ID: "photo", Atts: []store.Att{{Name: "p", Blob: blob}}}})
	assert.Equal(t, store.Full, store.KindOf(err), "told before the document is answered: %v", err)
	blob.Discard()
	_, err = b.Get("photo", revtree.Rev{})
	assert.Equal(t, store.NotFound, store.KindOf(err))
}

func TestFolderThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	if os.Geteuid() == 0 { // who may do everything is refused only by the kernel's own folders
		dir = "/sys/kernel"
	} else {
		require.NoError(t, os.Chmod(dir, 0o500))
	}
	_, err := store.Open(store.Options{Path: filepath.Join(dir, "office.db")})
	require.Equal(t, store.ReadOnly, store.KindOf(err), "%v", err)
	assert.Contains(t, store.Sentence(err), "cannot be written")
}
