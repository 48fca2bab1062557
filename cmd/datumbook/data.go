package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"datumbook/store"
)

// storeFile is the name of the shop's records inside the data folder.
const storeFile = "datumbook.db"

// defaultData is where the records are kept unless --data or DATUMBOOK_DATA
// says otherwise: the user's own folder for program data.
func defaultData() string {
	if dir := os.Getenv("DATUMBOOK_DATA"); dir != "" {
		return dir
	}
	base, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(base, "datumbook")
}

// openData makes the data folder where it does not exist and gives the path of
// the store in it.
func openData(dir string) (string, error) {
	if dir == "" {
		return "", fmt.Errorf("there is no folder for the records: name one with --data DIR or set DATUMBOOK_DATA")
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("the folder for the records cannot be made: %w; name another with --data DIR", err)
	}
	return filepath.Join(dir, storeFile), nil
}

// officeStore says how the store of a data folder is opened: before this program changes one of an
// earlier format, a copy goes to its snapshots.
func officeStore(path string) store.Options {
	return store.Options{Path: path,
		Upgrade: &store.UpgradePlan{Dir: filepath.Join(filepath.Dir(path), snapshotDir), Free: freeSpace}}
}

// openToChange opens the store of a data folder, which must be there.
func openToChange(path string) (*store.Store, error) {
	opt := officeStore(path)
	opt.Must = true
	return store.Open(opt)
}

// openToRead opens a store for a command that only reads it. One that this user or this disk lets
// nobody write to is read as it is: nothing is written, neither in it nor beside it. One that can be
// written to is opened as ever, which heals it and brings it to the present format.
func openToRead(path string) (*store.Store, error) {
	st, err := openToChange(path)
	if store.KindOf(err) == store.ReadOnly {
		st, err = store.Open(store.Options{Path: path, Must: true, ReadOnly: true})
	}
	return st, err
}

// replaceFile writes a file, whole or not at all: what was there before stays until it is.
func replaceFile(name string, fill func(to io.Writer) error) error {
	temp, err := os.CreateTemp(filepath.Dir(name), filepath.Base(name)+".new-*")
	if err == nil {
		defer os.Remove(temp.Name())
		err = errors.Join(fill(temp), temp.Sync(), temp.Close())
	}
	if err == nil {
		err = os.Rename(temp.Name(), name)
	}
	if err != nil {
		return fmt.Errorf("the file was not written: %w", err)
	}
	return nil
}

// envList gives what an environment variable lists, with commas between.
func envList(name string) []string {
	var out []string
	for one := range strings.SplitSeq(os.Getenv(name), ",") {
		if one = strings.TrimSpace(one); one != "" {
			out = append(out, one)
		}
	}
	return out
}

// envOr gives an environment variable, or what is used without it.
func envOr(name, without string) string {
	if v := os.Getenv(name); v != "" {
		return v
	}
	return without
}
