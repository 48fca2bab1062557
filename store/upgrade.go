package store

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"
)

// A copy made before an upgrade is named by the format that it has and its time in UTC. It is none of
// the daily snapshots: their number does not push it out.
const upgradePrefix = "before-upgrade-"

// upgradeKept is for how long such a copy is kept: long enough for what a new version does wrong to
// come to light, and for the way back to be of use.
const upgradeKept = 8 * 7 * 24 * time.Hour

// upgradeRoom is what must stay free beside the copy: an upgrade writes little.
const upgradeRoom = 16 << 20

// UpgradePlan says where the copy goes that is made before a newer program changes a store.
type UpgradePlan struct {
	Dir     string
	Free    func(dir string) (uint64, error) // the bytes free on the folder's disk; nil: not looked at
	Without bool                             // go on where there is no room for the copy
}

// UpgradeCopy is a copy that was made before an upgrade.
type UpgradeCopy struct {
	SnapshotFile
	Format int // of the file: a program opens those up to its own
}

// UpgradeCopies lists the copies made before upgrades in a folder, newest first.
func UpgradeCopies(dir string) ([]UpgradeCopy, error) {
	var out []UpgradeCopy
	names, err := filepath.Glob(filepath.Join(dir, upgradePrefix+"*"+snapshotSuffix))
	if err != nil {
		return nil, wrapError(Failed, err, "the copies in %s cannot be listed", dir)
	}
	seen := map[int]bool{}
	for _, name := range names {
		text, _, _ := strings.Cut(strings.TrimPrefix(filepath.Base(name), upgradePrefix), "-")
		format, err := strconv.Atoi(text)
		if err != nil || seen[format] {
			continue
		}
		seen[format] = true
		files, err := stamped(dir, upgradePrefix+text+"-")
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			out = append(out, UpgradeCopy{f, format})
		}
	}
	slices.SortFunc(out, func(a, b UpgradeCopy) int { return cmp.Or(b.Time.Compare(a.Time), b.Format-a.Format) })
	return out, nil
}

// newer explains a file of a later format, and names the copy that leads back, where there is one.
func newer(have int, plan *UpgradePlan) *Error {
	refusal := newError(Newer, "the store has format %d and this program knows formats up to %d: use a newer Datumbook",
		have, len(migrations))
	if plan == nil {
		return refusal
	}
	copies, err := UpgradeCopies(plan.Dir)
	if err != nil {
		return refusal
	}
	for _, c := range copies {
		if c.Format <= len(migrations) {
			refusal.Says += fmt.Sprintf(", or go back to the records as they were before the upgrade with "+
				"'datumbook restore %s': what came since is kept beside them, and every phone sends what it has", c.Path)
			break
		}
	}
	return refusal
}

// Upgraded reports whether opening the store brought it to this program's format from an earlier one.
func (s *Store) Upgraded() bool { return s.upgraded }

// copyBeforeUpgrade makes the copy before a file of an earlier format is brought to the present one.
func (s *Store) copyBeforeUpgrade() error {
	if s.opt.Upgrade == nil {
		return nil
	}
	path, err := s.CopyBefore(context.Background(), *s.opt.Upgrade)
	switch {
	case err == nil:
		s.opt.Log.Info("a copy was made before the upgrade", "file", path)
		return nil
	case s.opt.Upgrade.Without && KindOf(err) == Full:
		s.opt.Log.Warn("the store is upgraded without a copy", "err", err)
		return nil
	case KindOf(err) == Full:
		return wrapError(Full, err, "before this newer program changes the records it makes a copy of them, and there is no room for it: "+
			"make room on the disk, or start it once with 'datumbook serve --upgrade-without-copy'")
	}
	return err
}

// CopyBefore makes a verified copy of the store as it is, kept for eight weeks whatever becomes of the
// daily snapshots, and gives its path. Where a copy or snapshot holds the very same it costs nothing.
// Older snapshots make way for it; with too little room even then it refuses with Full.
func (s *Store) CopyBefore(ctx context.Context, plan UpgradePlan) (string, error) {
	if err := os.MkdirAll(plan.Dir, 0o700); err != nil {
		return "", openError(plan.Dir, err)
	}
	var format int
	var size int64
	err := s.view(func(tx *bolt.Tx) (err error) {
		size = tx.Size()
		format, err = readFormat(tx)
		return err
	})
	if err != nil {
		return "", err
	}
	now := s.opt.Now().UTC()
	path := func() string {
		return filepath.Join(plan.Dir, upgradePrefix+strconv.Itoa(format)+"-"+now.Format(snapshotTime)+snapshotSuffix)
	}
	for exists(path()) {
		now = now.Add(time.Second)
	}
	switch have, err := s.sameCopy(plan.Dir); {
	case err != nil:
		return "", err
	case strings.HasPrefix(filepath.Base(have), upgradePrefix):
		return have, nil
	case have != "" && os.Link(have, path()) == nil: // another name for the same bytes
		return path(), syncDir(plan.Dir)
	}
	room := SnapshotPlan{Dir: plan.Dir, Free: plan.Free}
	if err := room.makeRoom(uint64(size)+upgradeRoom, s.opt.Now()); err != nil {
		return "", err
	}
	temp := filepath.Join(plan.Dir, unverifiedPrefix+now.Format(snapshotTime)+snapshotSuffix)
	defer os.Remove(temp)
	if err := s.Backup(temp); err != nil {
		return "", err
	}
	if err := s.sound(ctx, temp); err != nil {
		return "", err
	}
	if err := os.Rename(temp, path()); err != nil {
		return "", writeError(err)
	}
	return path(), syncDir(plan.Dir)
}

// sound verifies a copy. Records that are damaged already stop no upgrade: they are as damaged in the
// copy, which then has to be the store byte for byte.
func (s *Store) sound(ctx context.Context, copied string) error {
	report, err := VerifyFile(ctx, copied)
	if err != nil || len(report.Problems) == 0 {
		return err
	}
	same, err := s.sameAs(copied)
	if err != nil {
		return err
	}
	if !same {
		return newError(Damaged, "the copy made before the upgrade is damaged (%s), though the records are not: "+
			"check the disk, then start again", report.Problems[0])
	}
	s.opt.Log.Warn("the records are damaged, and so is the copy made before the upgrade", "problem", report.Problems[0])
	return nil
}

// sameCopy gives the copy or the snapshot that holds what the store holds now; "" where none does.
// The counter of changes in the header tells at once which may be one.
func (s *Store) sameCopy(dir string) (string, error) {
	copies, err := UpgradeCopies(dir)
	if err != nil {
		return "", err
	}
	list, err := Snapshots(dir)
	if err != nil {
		return "", err
	}
	var files []string
	if len(copies) > 0 {
		files = append(files, copies[0].Path)
	}
	if len(list) > 0 {
		files = append(files, list[0].Path)
	}
	var at uint64
	if err := s.view(func(tx *bolt.Tx) error { at = uint64(tx.ID()); return nil }); err != nil {
		return "", err
	}
	for _, file := range files {
		head, err := readHeader(file)
		if err != nil || head.tx != at {
			continue
		}
		if same, err := s.sameAs(file); err != nil || same {
			return file, err
		}
	}
	return "", nil
}

// sameAs reports whether a file is what a backup would be now.
func (s *Store) sameAs(file string) (bool, error) {
	f, err := os.Open(file)
	if err != nil {
		return false, openError(file, err)
	}
	defer f.Close()
	s.upkeep.Lock()
	defer s.upkeep.Unlock()
	c := comparer{from: f}
	err = s.view(func(tx *bolt.Tx) error {
		_, err := tx.WriteTo(&c)
		return err
	})
	if c.differs {
		return false, nil
	}
	n, _ := f.Read(make([]byte, 1))
	return n == 0, err
}

var errDiffers = errors.New("the bytes differ")

// comparer is written to with what a file is expected to hold.
type comparer struct {
	from    io.Reader
	have    []byte
	differs bool
}

func (c *comparer) Write(p []byte) (int, error) {
	c.have = slices.Grow(c.have[:0], len(p))[:len(p)]
	if _, err := io.ReadFull(c.from, c.have); err != nil || !bytes.Equal(c.have, p) {
		c.differs = true
		return 0, errDiffers
	}
	return len(p), nil
}

// dropUpgradeCopies removes those that have had their time. Those stamped with a time still to come
// stay until it comes.
func dropUpgradeCopies(dir string, now time.Time) error {
	copies, err := UpgradeCopies(dir)
	if err != nil {
		return err
	}
	for _, c := range copies {
		if now.Sub(c.Time) > upgradeKept {
			if err := os.Remove(c.Path); err != nil {
				return wrapError(Failed, err, "an old copy could not be removed")
			}
		}
	}
	return nil
}
