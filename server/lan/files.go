package lan

import (
	"fmt"
	"os"
	"path/filepath"
)

// writeWhole puts a file in place whole or not at all: written beside it,
// synced, renamed, and the folder synced too. Its mode is 0600 from the first
// byte on, which is how os.CreateTemp opens.
func writeWhole(dir, name string, data []byte) (err error) {
	defer func() {
		if err != nil {
			err = fmt.Errorf("write %s: %w", filepath.Join(dir, name), err)
		}
	}()
	f, err := os.CreateTemp(dir, name+".new-*")
	if err != nil {
		return err
	}
	defer func() { _ = os.Remove(f.Name()) }() // gone already when all went well
	if _, err = f.Write(data); err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		return err
	}
	if err = os.Rename(f.Name(), filepath.Join(dir, name)); err != nil {
		return err
	}
	return syncFolder(dir)
}
