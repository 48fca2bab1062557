package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base32"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"datumbook/calc/jobbook/demo"
	"datumbook/calc/registry"
	"datumbook/cmd/build/wasmbuild"
)

// app makes everything that pwa/dist holds and says how large it is.
func (b builder) app(ctx context.Context) error {
	start := time.Now()
	files, stored, err := b.make(ctx)
	if err != nil {
		return err
	}
	if err := write(b.pwa("dist"), files); err != nil {
		return err
	}
	if b.quick {
		b.say("built in %.1f s", time.Since(start).Seconds())
		return nil
	}
	sizes := measure(files, stored)
	sizes.report(b)
	b.say("built in %.1f s", time.Since(start).Seconds())
	return sizes.check()
}

// make gives every file of the app under its name in pwa/dist, made in the order in which one needs
// the name of another, and the lists of those that the service worker stores.
func (b builder) make(ctx context.Context) (map[string][]byte, stored, error) {
	var none stored
	if err := b.npm(ctx); err != nil {
		return nil, none, err
	}
	files := map[string][]byte{}
	wasm, err := wasmbuild.Make(ctx, b.root)
	if err != nil {
		return nil, none, err
	}
	var a assets
	a.wasm = put(files, "assets/calc.wasm", wasm)
	a.sheets = put(files, "assets/sheets.json", registry.Describe())
	// The checks would make calc.wasm a twentieth larger: the phone shows their outcomes as worked
	// out here, and cmd/calcwasm's test shows that it answers as this machine does.
	a.checks = put(files, "assets/checks.json", registry.ChecksJSON())
	a.demo = put(files, "assets/demo.json", demo.File)
	if a.worker, err = b.worker(ctx, files); err != nil {
		return nil, none, err
	}
	if err := b.page(files, &a); err != nil {
		return nil, none, err
	}
	if a.floor, err = b.floorScript(files, a); err != nil {
		return nil, none, err
	}
	a.later[a.checks], a.later[a.demo] = true, true
	icons, err := icons()
	if err != nil {
		return nil, none, err
	}
	a.icon = put(files, "assets/icon.svg", icons["icon.svg"])
	delete(icons, "icon.svg")
	maps.Copy(files, icons)
	screens, err := b.pictures()
	if err != nil {
		return nil, none, err
	}
	maps.Copy(files, screens)
	about, err := manifest(screens, a.icon)
	if err != nil {
		return nil, none, err
	}
	a.manifest = put(files, "assets/manifest.webmanifest", about)
	if files["index.html"], err = indexHTML(a, storedIn(files, nil).bytes()); err != nil {
		return nil, none, err
	}
	lists, err := b.finish(files, a.later)
	if err != nil {
		return nil, none, err
	}
	if files["licences.txt"], err = b.licences(ctx); err != nil {
		return nil, none, err
	}
	return files, lists, b.squeeze(files)
}

// finish adds the service worker that stores the files made so far, and gives its lists.
func (b builder) finish(files map[string][]byte, later map[string]bool) (stored, error) {
	lists := storedIn(files, later)
	sw, err := b.serviceWorker(lists)
	files["sw.js"] = sw
	return lists, err
}

// assets are the addresses that one part of the app needs of another.
type assets struct {
	wasm, sheets, checks, demo, worker, floor string
	main, css, icon, manifest                 string
	chunks                                    []string        // what main imports at once
	sheet, book                               []string        // what the page of a worksheet, and the job book's, import
	later                                     map[string]bool // addresses in the second step's list
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

// write makes a folder hold exactly these files and the placeholder, and rewrites none that is
// unchanged.
func write(dist string, files map[string][]byte) error {
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
		return os.RemoveAll(at)
	})
}
