package lan

import (
	"fmt"
	"os"
	"path/filepath"
)

// writeWhole writes a file atomically: to a temporary file, synced, renamed, and the folder synced
// too. Its mode is 0600 from the start, as os.CreateTemp opens.
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
	defer func() { _ = os.Remove(f.Name()) }() // gone after the rename
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
