// Package pwa holds the app that the server sends to phones and to the office machine's browser, as
// built by cmd/build into the folder dist beside this file.
package pwa

import (
	"embed"
	"errors"
	"io/fs"
)

//go:embed all:dist
var dist embed.FS

// ErrNotBuilt says that this program was compiled from a tree in which the app had not been built.
var ErrNotBuilt = errors.New("the app is not in this program: build it with 'go run ./cmd/build', then compile the program again")

// Files gives the built app: index.html, sw.js and icons at the root, files
// with a digest in their names under assets/, and .br and .gz copies beside what compresses. It
// returns ErrNotBuilt where there is none.
func Files() (fs.FS, error) {
	files, err := fs.Sub(dist, "dist")
	if err != nil {
		return nil, err
	}
	return built(files)
}

func built(files fs.FS) (fs.FS, error) {
	for _, name := range []string{"index.html", "sw.js"} {
		if _, err := fs.Stat(files, name); err != nil {
			return nil, ErrNotBuilt
		}
	}
	return files, nil
}
