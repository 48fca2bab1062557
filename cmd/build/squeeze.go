package main

import (
	"bytes"
	"compress/gzip"
	"io"
	"maps"
	"path"
	"slices"

	"github.com/andybalholm/brotli"
)

// squeezed are the kinds of file worth a compressed copy; PNG is compressed already.
var squeezed = []string{".js", ".css", ".html", ".json", ".wasm", ".webmanifest", ".svg", ".txt"}

// packers are the two ways a copy is packed, each at its slowest and best setting; the last is quick.
var packers = []struct {
	ext, kind string
	to        func(io.Writer) (io.WriteCloser, error)
}{
	{".br", "brotli-11", func(w io.Writer) (io.WriteCloser, error) {
		return brotli.NewWriterOptions(w, brotli.WriterOptions{Quality: 11, LGWin: 22}), nil
	}},
	{".gz", "gzip-9", func(w io.Writer) (io.WriteCloser, error) { return gzip.NewWriterLevel(w, gzip.BestCompression) }},
	{".br", "brotli-4", func(w io.Writer) (io.WriteCloser, error) {
		return brotli.NewWriterOptions(w, brotli.WriterOptions{Quality: 4}), nil
	}},
}

// squeeze adds a .br and a .gz copy beside each file that becomes smaller by it. It is done once,
// here, so that the server only has to choose.
func (b builder) squeeze(files map[string][]byte) error {
	packers := packers
	if b.quick {
		packers = packers[2:]
	} else {
		packers = packers[:2]
	}
	for _, name := range names(files) {
		if !slices.Contains(squeezed, path.Ext(name)) {
			continue
		}
		body := files[name]
		for _, p := range packers {
			packed, err := b.cache.Do(p.kind, body, func() ([]byte, error) {
				var buf bytes.Buffer
				w, err := p.to(&buf)
				if err != nil {
					return nil, err
				}
				if _, err := w.Write(body); err != nil {
					return nil, err
				}
				err = w.Close()
				return buf.Bytes(), err
			})
			if err != nil {
				return err
			}
			if len(packed) < len(body) {
				files[name+p.ext] = packed
			}
		}
	}
	return nil
}

// names gives the keys in order, so that two builds do the same things in the same order.
func names(files map[string][]byte) []string { return slices.Sorted(maps.Keys(files)) }
