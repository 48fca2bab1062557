package server

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"

	"datumbook/server/web"
)

// files serves the built app from a list made at start: a request can only name what is in it, so
// path traversal is impossible. The contents stay in the program's own file until asked for, which
// saves ten megabytes of memory.
type files struct {
	list map[string]*file // by address without the leading slash
}

// file is one file of the app and its precompressed forms.
type file struct {
	from    fs.FS
	kind    string // Content-Type
	forever bool   // its name holds its checksum
	forms   []form // best first; the uncompressed one last
}

// form is one encoding of a file.
type form struct {
	encoding string // "br", "gzip" or "" for plain
	name     string // in the build
	tag      string // ETag; each form has its own
	size     int64
}

// appPolicy is the app's content security policy: its own scripts, styles, pictures and
// connections, and WebAssembly compilation; nothing inline and nothing from elsewhere.
const appPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; " +
	"img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// kinds gives the media type of every file kind a build may hold. The system's table is not used:
// it differs between machines, and a wrong type for WebAssembly or the manifest breaks the app.
var kinds = map[string]string{
	".css":         "text/css; charset=utf-8",
	".html":        "text/html; charset=utf-8",
	".ico":         "image/x-icon",
	".js":          "text/javascript; charset=utf-8",
	".json":        "application/json",
	".map":         "application/json",
	".mjs":         "text/javascript; charset=utf-8",
	".png":         "image/png",
	".svg":         "image/svg+xml",
	".txt":         "text/plain; charset=utf-8",
	".wasm":        "application/wasm",
	".webmanifest": "application/manifest+json",
	".webp":        "image/webp",
	".woff2":       "font/woff2",
}

// assets lists the build. A file that cannot be read is left out and logged:
// the rest still serves.
func (s *Server) assets() *files {
	f := &files{list: make(map[string]*file)}
	if s.Assets == nil {
		return f
	}
	err := fs.WalkDir(s.Assets, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		one, err := readFile(s.Assets, name)
		if err != nil {
			return err
		}
		if one != nil {
			f.list[name] = one
		}
		return nil
	})
	if err != nil {
		s.Log.Error("the app's files cannot all be read", "error", err)
	}
	return f
}

// readFile lists a file with its compressed forms; nil for a compressed form itself.
func readFile(fsys fs.FS, name string) (*file, error) {
	ext := path.Ext(name)
	if ext == ".br" || ext == ".gz" {
		if _, err := fs.Stat(fsys, strings.TrimSuffix(name, ext)); err == nil {
			return nil, nil
		}
	}
	one := &file{from: fsys, kind: kinds[ext], forever: strings.HasPrefix(name, "assets/")}
	if one.kind == "" {
		one.kind = "application/octet-stream"
	}
	plain, err := fs.Stat(fsys, name)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name, err)
	}
	tag := path.Base(name) // a name with a checksum needs no reading
	if !one.forever {
		text, err := fs.ReadFile(fsys, name)
		if err != nil {
			return nil, fmt.Errorf("read %s: %w", name, err)
		}
		sum := sha256.Sum256(text)
		tag = hex.EncodeToString(sum[:12])
	}
	for _, packed := range []struct{ encoding, suffix string }{{"br", ".br"}, {"gzip", ".gz"}} {
		info, err := fs.Stat(fsys, name+packed.suffix)
		if err != nil || info.Size() >= plain.Size() {
			continue // not compressed, or compression did not pay
		}
		one.forms = append(one.forms, form{packed.encoding, name + packed.suffix, `"` + tag + "-" + packed.encoding + `"`, info.Size()})
	}
	one.forms = append(one.forms, form{"", name, `"` + tag + `"`, plain.Size()})
	return one, nil
}

// serve answers with a file, with the entry page for an app screen, or with 404.
func (f *files) serve(w http.ResponseWriter, r *http.Request) error {
	name := strings.TrimPrefix(r.URL.Path, "/")
	if name == "" {
		name = "index.html"
	}
	one := f.list[name]
	if one == nil && isScreen(r) {
		one = f.list["index.html"]
	}
	switch {
	case one != nil:
		return one.serve(w, r)
	case len(f.list) == 0 || name == "index.html":
		return web.NewError(http.StatusServiceUnavailable, "unavailable", "app",
			"the app is not built into this program: build it as the README says")
	default:
		return errNothingHere
	}
}

var errNothingHere = web.NewError(http.StatusNotFound, "not_found", "path", "there is nothing at this address")

func (one *file) serve(w http.ResponseWriter, r *http.Request) error {
	h := w.Header()
	best := one.choose(r.Header.Values("Accept-Encoding"))
	h.Set("Content-Security-Policy", appPolicy)
	h.Set("ETag", best.tag)
	if len(one.forms) > 1 {
		h.Add("Vary", "Accept-Encoding")
	}
	if one.forever {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	} else {
		h.Set("Cache-Control", "no-cache") // cached, but revalidated each time
	}
	if matches(r.Header.Values("If-None-Match"), best.tag) {
		w.WriteHeader(http.StatusNotModified)
		return nil
	}
	from, err := one.from.Open(best.name)
	if err != nil {
		return fmt.Errorf("read %s: %w", best.name, err)
	}
	defer from.Close()
	h.Set("Content-Type", one.kind)
	h.Set("Content-Length", strconv.FormatInt(best.size, 10))
	if best.encoding != "" {
		h.Set("Content-Encoding", best.encoding)
	}
	w.WriteHeader(http.StatusOK)
	if r.Method != http.MethodHead {
		_, _ = io.Copy(w, from) // the client may have left
	}
	return nil
}

// isScreen reports whether a request is a browser's navigation to an app screen and not for a file,
// so that the entry page is the answer.
func isScreen(r *http.Request) bool {
	p := r.URL.Path
	if web.IsData(p) || p == "/assets" || strings.HasPrefix(p, "/assets/") {
		return false
	}
	if strings.Contains(path.Base(p), ".") || path.Clean(p) != strings.TrimSuffix(p, "/") && p != "/" {
		return false
	}
	if strings.ContainsAny(p, "\\\x00") {
		return false
	}
	if mode := r.Header.Get("Sec-Fetch-Mode"); mode != "" {
		return mode == "navigate"
	}
	return strings.Contains(r.Header.Get("Accept"), "text/html")
}

// sharedAway answers a photo that was shared to the app where its service worker does not run: nobody
// knows whose it is, so it is not kept, and the app says so. It is read to its end, so that the phone
// gets that far.
func sharedAway(w http.ResponseWriter, r *http.Request) error {
	if _, err := io.Copy(io.Discard, r.Body); err != nil {
		return err
	}
	w.Header().Set("Location", "/#/shared?as=away")
	w.WriteHeader(http.StatusSeeOther)
	return nil
}

// choose picks the best form that the client accepts (RFC 9110, 12.5.3).
func (one *file) choose(accept []string) form {
	quality := acceptEncodings(strings.Join(accept, ","))
	best, at := one.forms[len(one.forms)-1], 0.0
	for _, f := range one.forms {
		if f.encoding == "" {
			continue
		}
		q, named := quality[f.encoding]
		if !named {
			q = quality["*"]
		}
		if q > at {
			best, at = f, q
		}
	}
	if plain, named := quality["identity"]; named && plain > at {
		return one.forms[len(one.forms)-1]
	}
	return best
}

// acceptEncodings reads an Accept-Encoding header. What cannot be read counts
// as not accepted.
func acceptEncodings(header string) map[string]float64 {
	out := make(map[string]float64)
	for part := range strings.SplitSeq(header, ",") {
		name, params, _ := strings.Cut(part, ";")
		name = strings.ToLower(strings.TrimSpace(name))
		if name == "" {
			continue
		}
		q := 1.0
		if v, ok := strings.CutPrefix(strings.ReplaceAll(strings.ToLower(params), " ", ""), "q="); ok {
			n, err := strconv.ParseFloat(v, 64)
			if err != nil || !(n >= 0 && n <= 1) {
				n = 0
			}
			q = n
		}
		if name == "x-gzip" {
			name = "gzip"
		}
		out[name] = q
	}
	return out
}

// matches reports whether an If-None-Match header holds a tag. The comparison
// is the weak one, as for every conditional GET (RFC 9110, 13.1.2).
func matches(headers []string, tag string) bool {
	for _, h := range headers {
		for one := range strings.SplitSeq(h, ",") {
			one = strings.TrimSpace(one)
			if one == "*" || strings.TrimPrefix(one, "W/") == tag {
				return true
			}
		}
	}
	return false
}
