package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	bolt "go.etcd.io/bbolt"
)

// Backup writes the whole store, as of one instant, to a new file while serving. The file is
// flushed before it is renamed to path: after a crash there is a complete backup at path or none.
// Only then is an existing file replaced.
func (s *Store) Backup(path string) error {
	if same(path, s.opt.Path) {
		return newError(Bad, "the backup needs another name than the store itself")
	}
	s.upkeep.Lock()
	defer s.upkeep.Unlock()
	return replaceFile(path, func(w io.Writer) error {
		return s.view(func(tx *bolt.Tx) error {
			_, err := tx.WriteTo(w)
			return err
		})
	})
}

// same reports whether two paths are the same file.
func same(a, b string) bool {
	x, errA := os.Stat(a)
	y, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(x, y)
}

// replaceFile writes a file under a temporary name, flushes it, gives it its name and flushes the
// folder.
func replaceFile(path string, write func(io.Writer) error) (err error) {
	dir := filepath.Dir(path)
	f, err := os.CreateTemp(dir, ".datumbook-*.part")
	if err != nil {
		return openError(dir, err)
	}
	defer func() {
		if err != nil {
			_ = f.Close()
			os.Remove(f.Name())
			err = writeError(err)
		}
	}()
	if err := write(f); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return err
	}
	return syncDir(dir)
}

// Restored is the result of a restore.
type Restored struct {
	Report Report // of the backup that was put in place
	Kept   string // where the store that was there before is now; empty where there was none
}

// Restore replaces the store at path, which no server may have open. The backup is verified first
// and refused where it is damaged. The replaced store is kept beside it under another name. The
// restored store gets a new identity, no checkpoints and higher sequence numbers, so that every
// phone compares everything again and sends what the backup lacks. who goes into the audit trail.
func Restore(ctx context.Context, backup, path string, now time.Time, who string) (Restored, error) {
	var out Restored
	if same(backup, path) {
		return out, newError(Bad, "the backup and the store are the same file")
	}
	var err error
	if out.Report, err = VerifyFile(ctx, backup); err != nil {
		return out, err
	}
	if len(out.Report.Problems) > 0 {
		return out, newError(Damaged,
			"the backup %s is damaged and was not put in place: %s", backup, out.Report.Problems[0])
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return out, openError(path, err)
	}
	given, release, err := holdStore(path)
	if err != nil {
		return out, err
	}
	defer release()
	temp := path + restoringSuffix
	if err := copyFile(backup, temp); err != nil {
		return out, err
	}
	if err := renewFile(temp, given, now, who, filepath.Base(backup)); err != nil {
		os.Remove(temp)
		return out, err
	}
	if _, err := os.Stat(path); err == nil {
		out.Kept = freeName(path, now)
		if err := os.Rename(path, out.Kept); err != nil {
			os.Remove(temp)
			return out, writeError(err)
		}
	}
	if err := os.Rename(temp, path); err != nil {
		return out, writeError(err)
	}
	return out, syncDir(filepath.Dir(path))
}

// restoringSuffix ends the name of the copy that a restore prepares.
const restoringSuffix = ".restoring"

// holdStore locks the store that is to be replaced and returns the sequences it has assigned; a
// running server holds the lock, so it is refused. A damaged store that cannot be opened must not
// block the restore.
func holdStore(path string) (map[string]uint64, func(), error) {
	free := func() {}
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, free, nil
	}
	if err == nil && info.IsDir() {
		return nil, nil, newError(Foreign, "%s is a folder, not a store", path)
	}
	if _, err := readHeader(path); KindOf(err) == ReadOnly {
		return nil, nil, err
	} else if err != nil {
		return nil, free, nil
	}
	db, err := openBolt(path, Options{LockWait: time.Second, ReadOnly: true})
	switch KindOf(err) {
	case "":
	case Damaged, Foreign:
		return nil, free, nil
	default:
		return nil, nil, err
	}
	var given map[string]uint64
	_ = catchDamage(slog.New(slog.DiscardHandler), func() error {
		return db.View(func(tx *bolt.Tx) error {
			given = sequences(tx)
			return nil
		})
	})
	if windows { // an open file can be neither renamed nor replaced there
		return given, free, db.Close()
	}
	return given, func() { _ = db.Close() }, nil
}

func freeName(path string, now time.Time) string {
	base := path + ".before-" + now.UTC().Format("20060102-150405")
	name := base
	for i := 2; ; i++ {
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name
		}
		name = fmt.Sprintf("%s-%d", base, i)
	}
}

func copyFile(from, to string) error {
	src, err := os.Open(from)
	if err != nil {
		return openError(from, err)
	}
	defer src.Close()
	return replaceFile(to, func(w io.Writer) error {
		_, err := io.Copy(w, src)
		return err
	})
}

// renewFile gives a copied store its new identity.
func renewFile(path string, given map[string]uint64, now time.Time, who, from string) error {
	s, err := Open(Options{Path: path, Must: true, Now: func() time.Time { return now }})
	if err != nil {
		return err
	}
	err = s.update(func(tx *bolt.Tx) error {
		if err := renew(tx, given); err != nil {
			return err
		}
		return addEvent(tx, Event{At: now, What: "restore", Who: who, Detail: "from " + from})
	})
	return errors.Join(err, s.Close())
}
