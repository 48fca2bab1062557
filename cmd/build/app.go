package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base32"
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"
)

// app makes everything that pwa/dist holds, in the order in which one file needs the name of another.
func (b builder) app(ctx context.Context) error {
	start := time.Now()
	if err := b.npm(ctx); err != nil {
		return err
	}
	files := map[string][]byte{}
	wasm, err := b.wasm(ctx)
	if err != nil {
		return err
	}
	sheets, err := describe()
	if err != nil {
		return err
	}
	var a assets
	a.wasm = put(files, "assets/calc.wasm", wasm)
	a.sheets = put(files, "assets/sheets.json", sheets)
	if a.worker, err = b.worker(ctx, files); err != nil {
		return err
	}
	if err := b.page(files, &a); err != nil {
		return err
	}
	icons, err := icons()
	if err != nil {
		return err
	}
	for name, body := range icons {
		files[name] = body
	}
	if files["manifest.webmanifest"], err = manifest(); err != nil {
		return err
	}
	if files["index.html"], err = indexHTML(a); err != nil {
		return err
	}
	precache := precacheList(files)
	if files["sw.js"], err = b.serviceWorker(precache); err != nil {
		return err
	}
	if files["licences.txt"], err = b.licences(ctx); err != nil {
		return err
	}
	if err := b.squeeze(files); err != nil {
		return err
	}
	if err := b.write(files); err != nil {
		return err
	}
	sizes := measure(files, precache)
	sizes.report(b)
	b.say("built in %.1f s", time.Since(start).Seconds())
	return sizes.check()
}

// assets are the addresses that one part of the app needs of another.
type assets struct {
	wasm, sheets, worker string
	main, css            string
	chunks               []string // what main imports at once
}

// put files a body under its name with a digest of its content in it, and gives its address.
func put(files map[string][]byte, name string, body []byte) string {
	ext := path.Ext(name)
	name = strings.TrimSuffix(name, ext) + "-" + digest(body) + ext
	files[name] = body
	return "/" + name
}

// digest is short enough for a file name and long enough to never repeat among a few files.
func digest(body []byte) string {
	sum := sha256.Sum256(body)
	return strings.ToLower(base32.StdEncoding.EncodeToString(sum[:]))[:10]
}

// write brings pwa/dist to exactly these files, touching none that is right already.
func (b builder) write(files map[string][]byte) error {
	dist := b.pwa("dist")
	for _, name := range names(files) {
		to := filepath.Join(dist, filepath.FromSlash(name))
		if have, err := os.ReadFile(to); err == nil && bytes.Equal(have, files[name]) {
			continue
		}
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(to, files[name], 0o644); err != nil {
			return err
		}
	}
	return filepath.WalkDir(dist, func(at string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		name, err := filepath.Rel(dist, at)
		if err != nil {
			return err
		}
		if _, wanted := files[filepath.ToSlash(name)]; wanted || name == "placeholder.txt" {
			return nil
		}
		if err := os.Remove(at); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return nil
	})
}
