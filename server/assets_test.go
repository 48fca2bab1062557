package server_test

import (
	"compress/gzip"
	"io"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/servertest"
)

func TestAssets(t *testing.T) {
	o := servertest.Start(t, nil)
	get := func(path string, h map[string]string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "GET", Path: path, Header: h})
	}
	const script, forever, asked = "/assets/app-1a2b3c.js", "public, max-age=31536000, immutable", "no-cache"
	for _, c := range []struct{ path, kind, cache string }{
		{"/", "text/html; charset=utf-8", asked},
		{"/index.html", "text/html; charset=utf-8", asked},
		{"/sw.js", "text/javascript; charset=utf-8", asked},
		{"/manifest.webmanifest", "application/manifest+json", asked},
		{script, "text/javascript; charset=utf-8", forever},
		{"/assets/calc-4d5e6f.wasm", "application/wasm", forever},
		{"/assets/calc-4d5e6f.wasm2", "application/octet-stream", forever},
	} {
		got := get(c.path, nil)
		assert.Equal(t, 200, got.Status, c.path)
		assert.Equal(t, c.kind, got.Header.Get("Content-Type"), c.path)
		assert.Equal(t, c.cache, got.Header.Get("Cache-Control"), c.path)
		assert.Contains(t, got.Header.Get("Content-Security-Policy"), "script-src 'self' 'wasm-unsafe-eval';", c.path)
		assert.Contains(t, got.Header.Get("Content-Security-Policy"), "connect-src 'self';", c.path)

		again := get(c.path, map[string]string{"If-None-Match": `"other", W/` + got.Header.Get("ETag")})
		assert.Equal(t, 304, again.Status, c.path)
		assert.Empty(t, again.Body, c.path)
		assert.Equal(t, got.Header.Get("ETag"), again.Header.Get("ETag"), c.path)
		assert.Equal(t, c.cache, again.Header.Get("Cache-Control"), c.path)
		changed := get(c.path, map[string]string{"If-None-Match": `"other"`})
		assert.Equal(t, 200, changed.Status, c.path)

		head := o.Do(t, servertest.Request{Method: "HEAD", Path: c.path})
		assert.Equal(t, 200, head.Status, c.path)
		assert.Empty(t, head.Body, c.path)
		assert.Equal(t, got.Header.Get("Content-Length"), head.Header.Get("Content-Length"), c.path)
	}

	tags := map[string]string{}
	for _, c := range []struct{ accept, want string }{
		{"", ""}, {"br", "br"}, {"gzip", "gzip"}, {"gzip, deflate, br, zstd", "br"}, {"gzip;q=1.0, br;q=0.5", "gzip"},
		{"br;q=0, gzip", "gzip"}, {"br;q=0", ""}, {"*", "br"}, {"*;q=0", ""}, {"gzip;q=0, *", "br"}, {"identity", ""},
		{"identity;q=1, br;q=0.5", ""}, {"BR", "br"}, {"x-gzip", "gzip"}, {"br;q=nonsense", ""}, {"br;q=7", ""}, {"deflate", ""},
		{"br ; q=0.9 , gzip ; q=0.1", "br"}, {",,;;q=", ""},
	} {
		got := get(script, map[string]string{"Accept-Encoding": c.accept})
		assert.Equal(t, c.want, got.Header.Get("Content-Encoding"), c.accept)
		assert.Equal(t, "Accept-Encoding", got.Header.Get("Vary"), c.accept)
		switch c.want {
		case "br":
			assert.Equal(t, "brotli bytes", got.Body, c.accept)
		case "gzip":
			assert.Equal(t, "gzip bytes", got.Body, c.accept)
		default:
			assert.True(t, strings.HasPrefix(got.Body, "export"), c.accept)
		}
		tags[c.want] = got.Header.Get("ETag")
	}
	assert.Len(t, tags, 3)
	assert.NotEqual(t, tags["br"], tags["gzip"], "each form has its own tag")
	assert.NotEqual(t, tags["br"], tags[""])
	crossed := get(script, map[string]string{"Accept-Encoding": "gzip", "If-None-Match": tags["br"]})
	assert.Equal(t, 200, crossed.Status, "another form's tag is no match")
}

func TestScreensGetTheEntryPage(t *testing.T) {
	o := servertest.Start(t, nil)
	for _, c := range []struct {
		name, path string
		header     map[string]string
		want       int
	}{
		{"a screen", "/job/17", map[string]string{"Accept": "text/html,*/*"}, 200},
		{"a screen, as browsers say it", "/job/17", map[string]string{"Sec-Fetch-Mode": "navigate"}, 200},
		{"a script's request", "/job/17", map[string]string{"Sec-Fetch-Mode": "cors", "Accept": "text/html"}, 404},
		{"a file that is not there", "/logo.png", map[string]string{"Accept": "text/html"}, 404},
		{"an old hashed file", "/assets/app-000000.js", map[string]string{"Accept": "text/html"}, 404},
		{"a probe", "/job/17", map[string]string{"Accept": "application/json"}, 404},
	} {
		got := o.Do(t, servertest.Request{Method: "GET", Path: c.path, Header: c.header})
		assert.Equal(t, c.want, got.Status, c.name)
		if c.want == 200 {
			assert.Contains(t, got.Body, "<title>Datumbook</title>", c.name)
			assert.Equal(t, "no-cache", got.Header.Get("Cache-Control"), c.name)
		}
	}
}

func TestProgramWithoutTheApp(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) { s.Assets = fstest.MapFS{"placeholder.txt": {Data: []byte("x")}} })
	got := o.Do(t, servertest.Request{Method: "GET", Path: "/"})
	assert.Equal(t, 503, got.Status)
	assert.Contains(t, got.Body, "not built into this program")
	assert.Equal(t, 200, o.Do(t, servertest.Request{Method: "GET", Path: "/api/calc"}).Status)
}

// JSON of more than a kilobyte is packed for those who take it.
func TestAnswersArePacked(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) { s.Sync = protocol() })
	ask := func(path, accept string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "GET", Path: path, Header: map[string]string{"Accept-Encoding": accept}})
	}
	big := ask("/sync/_stand-in/_big", "gzip")
	assert.Equal(t, "gzip", big.Header.Get("Content-Encoding"))
	assert.Contains(t, big.Header.Get("Vary"), "Accept-Encoding")
	z, err := gzip.NewReader(strings.NewReader(big.Body))
	require.NoError(t, err)
	plain, err := io.ReadAll(z)
	require.NoError(t, err)
	assert.Equal(t, ask("/sync/_stand-in/_big", "identity").Body, string(plain))
	assert.Empty(t, ask("/sync/_stand-in", "gzip").Header.Get("Content-Encoding"), "a small one is not")
	assert.Empty(t, ask("/sync/_stand-in/_big", "").Header.Get("Content-Encoding"))
	assert.Empty(t, ask("/sync/_stand-in/_big?feed=longpoll", "gzip").Header.Get("Content-Encoding"), "nor a feed")
}

// TestSharedAway: a photo that reaches the server was not taken by the phone's own app, which is told.
func TestSharedAway(t *testing.T) {
	o := servertest.Start(t, nil)
	for _, n := range []int{0, 100, 5 << 20} {
		got := o.Do(t, servertest.Request{Method: "POST", Path: "/share", Body: strings.Repeat("x", n),
			Header: map[string]string{"Content-Type": "multipart/form-data; boundary=x", "Origin": o.Local()}})
		assert.Equal(t, 303, got.Status)
		assert.Equal(t, "/#/shared?as=away", got.Header.Get("Location"))
	}
	// The phone's share sheet is no page; a page may not share.
	for site, want := range map[string]int{"none": 303, "cross-site": 403, "": 403} {
		got := o.Do(t, servertest.Request{Method: "POST", Path: "/share", Header: map[string]string{"Origin": "null", "Sec-Fetch-Site": site}})
		assert.Equal(t, want, got.Status, site)
	}
}
