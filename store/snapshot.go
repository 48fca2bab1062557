package store

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"
)

// The parts of snapshots' file names. A snapshot is named by its time in UTC; one that is not
// verified yet, or was found damaged, has another beginning and counts for nothing.
const (
	snapshotPrefix   = "snapshot-"
	unverifiedPrefix = "unverified-"
	damagedPrefix    = "damaged-"
	snapshotSuffix   = ".db"
	snapshotTime     = "20060102-150405"
)

// aheadMost is how far a snapshot's stamp may lie ahead of the clock and still be believed.
const aheadMost = time.Hour

// SnapshotFile is a backup made by Snapshot.
type SnapshotFile struct {
	Path string
	Time time.Time
	Size int64
}

// SnapshotPlan says where snapshots go, how often they are made, and what they may take.
type SnapshotPlan struct {
	Dir     string
	Every   time.Duration
	Keep    int                              // how many are kept; at least one
	Reserve uint64                           // bytes of the disk that are left to the store itself
	Free    func(dir string) (uint64, error) // the bytes free on the folder's disk; nil: not looked at
}

// Snapshots lists the verified snapshots in a folder, newest first. Other files are ignored; a
// folder that does not exist has none.
func Snapshots(dir string) ([]SnapshotFile, error) { return stamped(dir, snapshotPrefix) }

// stamped lists the files in a folder whose names are a prefix and a time, newest first.
func stamped(dir, prefix string) ([]SnapshotFile, error) {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, wrapError(Failed, err, "the snapshots in %s cannot be listed", dir)
	}
	var out []SnapshotFile
	for _, e := range entries {
		name, ok := strings.CutPrefix(e.Name(), prefix)
		stamp, ok2 := strings.CutSuffix(name, snapshotSuffix)
		at, err := time.Parse(snapshotTime, stamp)
		if !ok || !ok2 || err != nil || !e.Type().IsRegular() {
			continue
		}
		info, err := e.Info()
		if err != nil {
			continue // removed meanwhile
		}
		out = append(out, SnapshotFile{filepath.Join(dir, e.Name()), at, info.Size()})
	}
	slices.SortFunc(out, func(a, b SnapshotFile) int { return b.Time.Compare(a.Time) })
	return out, nil
}

// believed drops the snapshots that a clock gone wrong has stamped with a time still to come.
func believed(list []SnapshotFile, now time.Time) []SnapshotFile {
	return slices.DeleteFunc(slices.Clone(list), func(f SnapshotFile) bool { return f.Time.Sub(now) > aheadMost })
}

// Snapshot makes a backup if the newest one is older than the plan says, verifies it, and removes
// the oldest beyond those to keep. It returns the path of the new one, or "" where none was due.
//
// The store comes first: while less than the reserve is free, and before a new snapshot would eat
// into it, older snapshots go, but never the last; only where that does not help is the snapshot
// refused, with Full. Stamps from the future are ignored, so that a clock that once was wrong
// stops no snapshot and takes no other's place. A copy that does not verify is renamed, reported as
// Damaged, and counts for nothing.
func (s *Store) Snapshot(ctx context.Context, plan SnapshotPlan, now time.Time) (string, error) {
	if plan.Keep < 1 {
		return "", newError(Bad, "at least one snapshot must be kept")
	}
	if err := os.MkdirAll(plan.Dir, 0o700); err != nil {
		return "", openError(plan.Dir, err)
	}
	s.drop(filepath.Join(plan.Dir, ".datumbook-*.part"), time.Minute) // left by a killed process
	s.drop(filepath.Join(plan.Dir, unverifiedPrefix+"*"+snapshotSuffix), 0)
	list, err := Snapshots(plan.Dir)
	if err != nil {
		return "", err
	}
	list = believed(list, now)
	due := len(list) == 0 || now.Sub(list[0].Time) >= plan.Every
	need := plan.Reserve
	if due {
		size, err := s.copied()
		if err != nil {
			return "", err
		}
		need += uint64(size)
	}
	if err := plan.makeRoom(need, now); err != nil || !due {
		return "", err
	}
	path, err := s.verifiedCopy(ctx, plan.Dir, now)
	if err != nil {
		return "", err
	}
	return path, errors.Join(thin(plan.Dir, plan.Keep, now), dropUpgradeCopies(plan.Dir, now), syncDir(plan.Dir))
}

// copied gives the length of the part of the file that a backup copies.
func (s *Store) copied() (n int64, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		n = tx.Size()
		return nil
	})
	return n, err
}

// verifiedCopy makes a backup under a name of no weight and gives it its own once it is verified.
func (s *Store) verifiedCopy(ctx context.Context, dir string, now time.Time) (string, error) {
	at := now.UTC()
	path := func(prefix string) string {
		return filepath.Join(dir, prefix+at.Format(snapshotTime)+snapshotSuffix)
	}
	for exists(path(snapshotPrefix)) || exists(path(damagedPrefix)) { // a clock that was set back
		at = at.Add(time.Second)
	}
	temp := path(unverifiedPrefix)
	if err := s.Backup(temp); err != nil {
		return "", err
	}
	report, err := VerifyFile(ctx, temp)
	s.learn(&report)
	if err != nil {
		return "", errors.Join(err, os.Remove(temp))
	}
	if len(report.Problems) > 0 {
		kept := path(damagedPrefix)
		if err := os.Rename(temp, kept); err != nil {
			return "", writeError(err)
		}
		dropOlder(dir, kept)
		return "", newError(Damaged, "the new snapshot is damaged (%s), which may mean that the records are; "+
			"it is kept as %s, older ones stay; run 'datumbook verify'", report.Problems[0], kept)
	}
	if err := os.Rename(temp, path(snapshotPrefix)); err != nil {
		return "", writeError(err)
	}
	return path(snapshotPrefix), nil
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

// dropOlder removes the damaged copies but one: it is there to be looked at, not to fill the disk.
func dropOlder(dir, kept string) {
	list, _ := stamped(dir, damagedPrefix) // a folder that cannot be read stays as it is
	for _, f := range list {
		if f.Path != kept {
			_ = os.Remove(f.Path)
		}
	}
}

// thin removes the oldest snapshots beyond keep. Those from the future are not counted and stay.
func thin(dir string, keep int, now time.Time) error {
	list, err := Snapshots(dir)
	if err != nil {
		return err
	}
	list = believed(list, now)
	for len(list) > keep {
		if err := os.Remove(list[len(list)-1].Path); err != nil {
			return wrapError(Failed, err, "an old snapshot could not be removed")
		}
		list = list[:len(list)-1]
	}
	return nil
}

// makeRoom removes snapshots until the disk has as many bytes free as are needed, and refuses with
// Full where it cannot.
func (plan *SnapshotPlan) makeRoom(need uint64, now time.Time) error {
	if plan.Free == nil {
		return nil
	}
	for {
		free, err := plan.Free(plan.Dir)
		if err != nil {
			return wrapError(Failed, err, "the free space for snapshots cannot be told")
		}
		if free >= need {
			return nil
		}
		if gone, err := DropOldest(plan.Dir, now); err != nil {
			return err
		} else if !gone {
			return newError(Full, "the disk has %d MB free and %d MB are needed for a snapshot beside the records; "+
				"make room, or move the records to a larger disk", free>>20, need>>20)
		}
	}
}

// DropOldest removes the oldest snapshot, or a damaged copy first, to make room on the disk, and
// reports whether there was one to remove. The newest one always stays; those stamped with a time
// still to come go late, since nobody knows how old they are, and the copies made before an upgrade
// last.
func DropOldest(dir string, now time.Time) (gone bool, err error) {
	damaged, err := stamped(dir, damagedPrefix)
	if err != nil {
		return false, err
	}
	all, err := Snapshots(dir)
	if err != nil {
		return false, err
	}
	order := believed(all, now)
	slices.Reverse(order) // oldest first
	for _, f := range all {
		if f.Time.Sub(now) > aheadMost {
			order = append(order, f)
		}
	}
	// The last to go is the newest that is believed, else the newest of all.
	if sane := believed(all, now); len(sane) > 0 {
		order = append(slices.DeleteFunc(order, func(f SnapshotFile) bool { return f == sane[0] }), sane[0])
	}
	if len(order) > 0 {
		order = order[:len(order)-1]
	}
	order = append(damaged, order...)
	copies, err := UpgradeCopies(dir)
	if err != nil {
		return false, err
	}
	slices.Reverse(copies)
	if len(all) == 0 && len(copies) > 0 {
		copies = copies[:len(copies)-1] // the newest is the last there is
	}
	for _, c := range copies {
		order = append(order, c.SnapshotFile)
	}
	if len(order) == 0 {
		return false, nil
	}
	if err := os.Remove(order[0].Path); err != nil {
		return false, wrapError(Failed, err, "an old snapshot could not be removed to make room")
	}
	return true, nil
}
