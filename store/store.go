package store

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// Options say how a store is opened.
type Options struct {
	Path     string        // the file; it and its folder are created if missing, unless Must
	ReadOnly bool          // never write; several readers may share a file, none with a writer
	Must     bool          // the file must exist already
	LockWait time.Duration // how long to wait for another process's lock; 0 means one second
	MaxSize  int64         // largest file in bytes; 0 means no limit
	Now      func() time.Time
	Log      *slog.Logger // nil: silent

	// Rules returns what is wrong with a record, in plain sentences. It is called once for each
	// document that becomes a leaf, with its members as a JSON object without the protocol's own.
	// It must be fast and pure and must not keep those bytes. nil: no rules.
	Rules func(book, id string, doc []byte) []string

	// Room is called when the disk is full, and reports whether it made some: the write is then tried
	// again. nil: none can be made.
	Room func() bool

	// Free gives the bytes free on the disk of a folder; nil: it is not looked at before the store
	// compacts itself.
	Free func(dir string) (uint64, error)

	// Compare tells what a revision that someone sends did to the record it was made from: both with
	// their members as a JSON object; after is nil for a deletion. by is the sender's id, name how it
	// is called. The same holds for it as for Rules. nil: nothing is compared.
	Compare func(book, id, by, name string, before, after []byte) Compared

	// Upgrade says where a verified copy goes before a file of an earlier format is changed, and where
	// to look for one when the file is of a later format. nil: none is made.
	Upgrade *UpgradePlan

	// TestOnlyFlushDelay is slept twice after each commit, as a slow disk's two flushes would.
	TestOnlyFlushDelay time.Duration
}

// Store is an open file. Its methods may be called from any number of goroutines.
type Store struct {
	opt Options

	mu     sync.RWMutex // read-locked while a transaction begins or writes; write-locked while db changes
	db     *bolt.DB     // nil once closed
	mapped int64        // bytes of address space over the file

	replaced sync.WaitGroup              // files that were replaced and whose readers go on
	onSwap   func(copied *bolt.DB) error // for tests: before a compaction's copy takes its place

	jobs    chan *job
	closing chan struct{}
	stopped chan struct{}
	once    sync.Once
	ending  sync.Mutex // one Close at a time
	stats   counters
	trouble atomic.Pointer[Error] // why the last commit was not written; nil once one was

	seenMu  sync.Mutex
	seen    map[string]time.Time
	seenNew bool

	booksMu sync.Mutex
	books   map[string]*Book

	runs     atomic.Uint64 // the last number given to an attachment's chunks
	spooling chan struct{} // holds an item for each part of an upload being written

	upkeep     sync.Mutex // one of compact, verify, backup at a time
	compacting atomic.Bool

	notCompacted atomic.Pointer[Error] // why the compaction that was started last failed

	healed    bool
	upgraded  bool
	marks     marks
	oldBodies atomic.Int64 // made since they were last dropped
	tending   tending
	locals    locals
	refused   refusedRevs
}

// The map over the file is address space, not memory. When the file outgrows it, writers wait until
// no reader is left, so it is made large; the small one is for systems that do not give so much.
const (
	mapLarge = 64 << 30
	mapSmall = 1 << 30
)

// Open opens or makes a store. Kinds of refusal: Busy, ReadOnly, Missing, Foreign, Newer, Damaged,
// Full, Failed.
func Open(opt Options) (*Store, error) {
	if opt.Now == nil {
		opt.Now = time.Now
	}
	if opt.Log == nil {
		opt.Log = slog.New(slog.DiscardHandler)
	}
	if opt.LockWait == 0 {
		opt.LockWait = time.Second
	}
	if _, err := os.Stat(opt.Path); errors.Is(err, fs.ErrNotExist) {
		if opt.Must || opt.ReadOnly {
			return nil, wrapError(Missing, err, "there is no store at %s", opt.Path)
		}
		if err := create(opt); err != nil {
			return nil, err
		}
	}
	head, err := readHeader(opt.Path)
	if err != nil {
		return nil, err
	}
	if head.fresh {
		return nil, newError(Damaged,
			"%s is empty, and a store never is; restore a backup, or remove the file to begin anew", opt.Path)
	}
	db, mapped, err := openMapped(opt.Path, opt)
	if err != nil {
		return nil, err
	}
	s := &Store{opt: opt, db: db, mapped: mapped, seen: map[string]time.Time{}, books: map[string]*Book{},
		spooling: make(chan struct{}, 6), jobs: make(chan *job), closing: make(chan struct{}), stopped: make(chan struct{}),
		locals: locals{of: map[localKey]*waiting{}, due: make(chan struct{}, 1)}}
	if opt.ReadOnly {
		close(s.stopped)
		if err := s.loadBooks(); err != nil {
			return nil, errors.Join(err, s.Close())
		}
		return s, nil
	}
	if err := s.inspect(); err != nil {
		_ = db.Close()
		return nil, err
	}
	if err := s.prepare(head.torn); err != nil {
		_ = db.Close()
		return nil, err
	}
	s.tidy()
	go s.run()
	return s, nil
}

// create makes an empty store under a temporary name and then renames it, so that a file at the
// path is always complete.
func create(opt Options) error {
	dir := filepath.Dir(opt.Path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return openError(opt.Path, err)
	}
	f, err := os.CreateTemp(dir, ".datumbook-*.new")
	if err != nil {
		return openError(opt.Path, err)
	}
	temp := f.Name()
	defer os.Remove(temp)
	if err := f.Close(); err != nil {
		return openError(opt.Path, err)
	}
	small := opt
	small.Path = temp
	db, err := openBolt(temp, small)
	if err != nil {
		return err
	}
	db.NoGrowSync = true // an empty store does not grow
	s := &Store{opt: opt}
	err = s.safely(func() error { return db.Update(s.migrate) })
	if err = errors.Join(err, db.Close()); err != nil {
		return err
	}
	// A link, not a rename: if another process was faster, its store stays.
	if err := os.Link(temp, opt.Path); err != nil && !errors.Is(err, fs.ErrExist) {
		if err := os.Rename(temp, opt.Path); err != nil { // a file system without links
			return openError(opt.Path, err)
		}
	}
	return syncDir(dir)
}

// inspectSize is the largest file whose pages are all checked when it is opened; larger ones would
// make a start slow and are checked by Verify, which each snapshot runs.
const inspectSize = 128 << 20

// inspect checks the structure of a file that was just opened and locked, before anything is
// written to it: writing to a store whose list of free pages is wrong would destroy what is sound.
func (s *Store) inspect() error {
	f, err := os.Open(s.opt.Path)
	if err != nil {
		return openError(s.opt.Path, err)
	}
	defer f.Close()
	head, err := fileHeader(f, s.opt.Path)
	if err != nil || int64(head.pages)*head.pageSize > inspectSize {
		return err
	}
	if problems := checkPages(f, head, true); len(problems) > 0 {
		return newError(Damaged, "the store %s is damaged (%s); restore a backup", s.opt.Path, problems[0])
	}
	return nil
}

// prepare migrates a freshly opened file to the current format, deletes pending uploads and, after
// a damaged header, sets a new identity. A file that needs none of this is not written to; neither is
// one of a later format.
func (s *Store) prepare(torn bool) error {
	due, older := torn, false
	err := s.safely(func() error {
		return s.db.View(func(tx *bolt.Tx) error {
			have, err := readFormat(tx)
			if err != nil {
				return err
			}
			if have > len(migrations) {
				return newer(have, s.opt.Upgrade)
			}
			older = have > 0 && have < len(migrations)
			due = due || have != len(migrations)
			if pending := tx.Bucket(bucketPending); !due && pending != nil {
				k, _ := pending.Cursor().First()
				due = k != nil
			}
			return nil
		})
	})
	if err == nil && older {
		err = s.copyBeforeUpgrade()
	}
	if err == nil && due {
		err = s.safely(func() error { return s.db.Update(func(tx *bolt.Tx) error { return s.repair(tx, torn) }) })
	}
	if err != nil {
		return err
	}
	s.upgraded = older
	return s.loadBooks()
}

func (s *Store) repair(tx *bolt.Tx, torn bool) error {
	if err := s.migrate(tx); err != nil {
		return err
	}
	if torn {
		s.healed = true
		s.opt.Log.Warn("one of the store's two header pages was damaged; the state before it is used and every phone will compare everything again")
		if err := renew(tx, nil); err != nil {
			return err
		}
		if err := addEvent(tx, Event{At: s.opt.Now(), What: "heal", Who: "office", Detail: "a damaged header page was replaced by the one before it"}); err != nil {
			return err
		}
	}
	return dropPending(tx)
}

func (s *Store) loadBooks() error {
	return s.safely(func() error {
		return s.db.View(func(tx *bolt.Tx) error {
			if err := checkFormat(tx); err != nil {
				return err
			}
			s.runs.Store(tx.Bucket(bucketChunk).Sequence())
			if err := s.loadMarks(tx); err != nil {
				return err
			}
			if err := s.loadRefused(tx); err != nil {
				return err
			}
			return tx.Bucket(bucketBooks).ForEachBucket(func(name []byte) error {
				b, err := s.loadBook(tx, string(name))
				if err != nil {
					return err
				}
				s.books[b.name] = b
				return nil
			})
		})
	})
}

// openMapped opens the file with as much address space as the system gives, and says how much.
func openMapped(path string, opt Options) (db *bolt.DB, mapped int64, err error) {
	if strconv.IntSize == 64 && !windows && !opt.ReadOnly {
		var size int64
		if info, err := os.Stat(path); err == nil {
			size = info.Size()
		}
		for _, mapped := range []int64{max(mapLarge, 4*size), mapSmall} {
			if db, err = openBoltIn(path, opt, int(mapped)); err == nil || !errors.Is(err, syscall.ENOMEM) {
				return db, mapped, err
			}
		}
	}
	db, err = openBoltIn(path, opt, 0)
	return db, 0, err
}

// openBolt opens the file with the store's settings and turns panics on damaged pages into errors.
func openBolt(path string, opt Options) (*bolt.DB, error) { return openBoltIn(path, opt, 0) }

func openBoltIn(path string, opt Options, mapped int) (db *bolt.DB, err error) {
	var file *os.File
	defer func() {
		if p := recover(); p != nil {
			if file != nil { // bbolt's map over it stays, and would keep the lock
				unlock(file)
				_ = file.Close()
			}
			db, err = nil, newError(Damaged, "the store %s is damaged (%v); restore a backup", path, p)
		}
	}()
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	// Each commit writes the whole list of free pages, in order: the array is in order, the map would
	// be sorted every time, which at 40,000 free pages took three quarters of a small commit.
	o := &bolt.Options{Timeout: opt.LockWait, ReadOnly: opt.ReadOnly, FreelistType: bolt.FreelistArrayType,
		MaxSize: int(opt.MaxSize),
		OpenFile: func(name string, flag int, mode fs.FileMode) (*os.File, error) {
			f, err := os.OpenFile(name, flag, mode)
			file = f
			return f, err
		}}
	o.InitialMmapSize = mapped
	db, err = bolt.Open(path, 0o600, o)
	if err != nil {
		return nil, openError(path, err)
	}
	db.AllocSize = allocLeast
	return db, nil
}

func openError(path string, err error) error {
	switch {
	case errors.Is(err, berrors.ErrTimeout):
		return wrapError(Busy, err, "another Datumbook is using %s; stop it first", path)
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return wrapError(ReadOnly, err,
			"%s cannot be written by this user; check the folder's and the file's permissions", path)
	case isFull(err):
		return wrapError(Full, err, "there is no room left on the disk for %s", path)
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrVersionMismatch), errors.Is(err, berrors.ErrChecksum):
		return wrapError(Foreign, err, "%s is not a Datumbook store", path)
	default:
		return wrapError(Failed, err, "%s could not be opened", path)
	}
}

// Close finishes acknowledged work and closes the file. Closing twice is harmless.
func (s *Store) Close() error {
	if s == nil {
		return nil
	}
	if !s.opt.ReadOnly {
		s.SeenFlush()
	}
	s.once.Do(func() { close(s.closing) })
	<-s.stopped
	s.ending.Lock()
	defer s.ending.Unlock()
	s.mu.Lock()
	db := s.db
	s.db = nil
	s.mu.Unlock()
	if db == nil {
		return nil
	}
	// This waits for readers. One that holds a snapshot while it begins another, as a compaction
	// does, finds the store closed meanwhile: it must not wait for the lock.
	err := db.Close()
	s.replaced.Wait()
	s.booksMu.Lock()
	defer s.booksMu.Unlock()
	for _, b := range s.books {
		b.wake(0)
	}
	return err
}

// SeenFlush writes the times that SeenDevice noted.
func (s *Store) SeenFlush() {
	s.seenMu.Lock()
	due := s.seenNew
	s.seenMu.Unlock()
	if due {
		_ = s.update(func(tx *bolt.Tx) error { return s.writeSeen(tx, true) })
	}
}

// Trouble gives why nothing can be written at present, nil while all is well. It ends with the next
// write that succeeds.
func (s *Store) Trouble() error {
	if e := s.trouble.Load(); e != nil {
		return e
	}
	return nil
}

// Probe writes as much as a few records take, and removes it again, where the last write failed:
// an office in trouble finds out by itself that it is over.
func (s *Store) Probe() error {
	if s.Trouble() == nil {
		return nil
	}
	key := []byte("probe")
	err := s.update(func(tx *bolt.Tx) error {
		return putSealed(tx.Bucket(bucketSetting), key, make([]byte, probeSize))
	})
	if err != nil {
		return err
	}
	return s.update(func(tx *bolt.Tx) error { return tx.Bucket(bucketSetting).Delete(key) })
}

const probeSize = 256 << 10

// Path gives the file's path.
func (s *Store) Path() string { return s.opt.Path }

// Healed reports whether opening found a damaged header page and fell back to the one before it.
func (s *Store) Healed() bool { return s.healed }

// UUID gives the identity of this history of the store; a restore changes it.
func (s *Store) UUID() (string, error) {
	var id string
	err := s.view(func(tx *bolt.Tx) error {
		v, err := getSealed(tx.Bucket(bucketMeta), keyUUID)
		id = string(v)
		return err
	})
	return id, err
}

// Size gives the file's length in bytes.
func (s *Store) Size() (int64, error) {
	info, err := os.Stat(s.opt.Path)
	if err != nil {
		return 0, wrapError(Failed, err, "the store's size could not be read")
	}
	return info.Size(), nil
}

// view runs fn in a read transaction. Never call it from within another one.
func (s *Store) view(fn func(*bolt.Tx) error) error {
	return s.safely(func() error {
		tx, err := s.begin()
		if err != nil {
			return err
		}
		defer func() { _ = tx.Rollback() }()
		return fn(tx)
	})
}

// begin starts a read transaction, which does not keep a compaction from replacing the file.
func (s *Store) begin() (*bolt.Tx, error) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	if s.db == nil {
		return nil, newError(Closed, "the store is closed")
	}
	return s.db.Begin(false)
}

// safely runs fn and gives its error a kind. A panic or memory fault on damaged pages becomes an
// error, too.
func (s *Store) safely(fn func() error) error {
	return writeError(catchDamage(s.opt.Log, fn))
}

// catchDamage turns a panic or memory fault over damaged pages into an error.
func catchDamage(log *slog.Logger, fn func() error) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if p := recover(); p != nil {
			log.Error("the store is damaged", "what", p, "stack", string(debug.Stack()))
			err = newError(Damaged, "the store is damaged (%v); stop, run verify and restore a backup", p)
		}
	}()
	return fn()
}

// writeError classifies an error from bbolt or the system.
func writeError(err error) error {
	var f *Error
	switch {
	case err == nil, errors.As(err, &f):
		return err
	case isFull(err):
		return wrapError(Full, err, "the disk is full: nothing of this was kept")
	case errors.Is(err, berrors.ErrDatabaseReadOnly):
		return wrapError(ReadOnly, err, "the store was opened for reading only")
	case errors.Is(err, berrors.ErrDatabaseNotOpen):
		return wrapError(Closed, err, "the store is closed")
	default:
		return wrapError(Failed, err, "the store could not do this")
	}
}

// isFull reports whether an error means a full disk. bbolt returns some system errors as text only.
func isFull(err error) bool {
	if errors.Is(err, berrors.ErrMaxSizeReached) || strings.Contains(err.Error(), berrors.ErrMaxSizeReached.Error()) {
		return true
	}
	for _, no := range []syscall.Errno{syscall.ENOSPC, syscall.EDQUOT, syscall.EFBIG, winDiskFull} {
		if errors.Is(err, no) || strings.HasSuffix(err.Error(), no.Error()) {
			return true
		}
	}
	return false
}

// NewID gives 128 random bits as 32 hexadecimal digits, for document ids.
func NewID() string {
	var b [16]byte
	rand.Read(b[:])
	return hex.EncodeToString(b[:])
}
