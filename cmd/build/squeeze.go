package main

import (
	"bytes"
	"compress/gzip"
	"path"
	"slices"

	"github.com/andybalholm/brotli"
)

// squeezed are the kinds of file worth a compressed copy; PNG is compressed already.
var squeezed = []string{".js", ".css", ".html", ".json", ".wasm", ".webmanifest", ".svg", ".txt"}

// squeeze adds a .br and a .gz copy beside each file that becomes smaller by it. It is done once, here, at the
// slowest and best setting, so that the server only picks.
func (b builder) squeeze(files map[string][]byte) error {
	for _, name := range names(files) {
		if !slices.Contains(squeezed, path.Ext(name)) {
			continue
		}
		body := files[name]
		br, err := b.cache.Do("brotli-11", body, func() ([]byte, error) {
			var buf bytes.Buffer
			w := brotli.NewWriterOptions(&buf, brotli.WriterOptions{Quality: 11, LGWin: 22})
			if _, err := w.Write(body); err != nil {
				return nil, err
			}
			err := w.Close()
			return buf.Bytes(), err
		})
		if err != nil {
			return err
		}
		gz, err := b.cache.Do("gzip-9", body, func() ([]byte, error) {
			var buf bytes.Buffer
			w, err := gzip.NewWriterLevel(&buf, gzip.BestCompression)
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
		if len(br) < len(body) {
			files[name+".br"] = br
		}
		if len(gz) < len(body) {
			files[name+".gz"] = gz
		}
	}
	return nil
}

// names gives the keys in order, so that two builds do the same things in the same order.
func names(files map[string][]byte) []string {
	var list []string
	for name := range files {
		list = append(list, name)
	}
	slices.Sort(list)
	return list
}
