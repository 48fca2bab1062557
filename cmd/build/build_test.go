package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/build/cache"
	"datumbook/cmd/build/wasmbuild"
)

func TestSqueezedCopiesOpenToTheOriginal(t *testing.T) {
	b := builder{cache: cache.Dir(t.TempDir())}
	text := []byte(strings.Repeat("full thread, shoulder, point; ", 200))
	files := map[string][]byte{
		"assets/a.js": text, "index.html": text, "assets/c.wasm": text,
		"icon.png": text,        // a kind that is compressed already
		"tiny.css": []byte("a"), // would only become larger
	}
	require.NoError(t, b.squeeze(files))
	for _, name := range []string{"assets/a.js", "index.html", "assets/c.wasm"} {
		br, err := io.ReadAll(brotli.NewReader(bytes.NewReader(files[name+".br"])))
		require.NoError(t, err, name)
		assert.Equal(t, text, br, name)
		gz, err := gzip.NewReader(bytes.NewReader(files[name+".gz"]))
		require.NoError(t, err, name)
		plain, err := io.ReadAll(gz)
		require.NoError(t, err, name)
		assert.Equal(t, text, plain, name)
	}
	for _, name := range []string{"icon.png.br", "icon.png.gz", "tiny.css.br", "tiny.css.gz", "assets/a.js.br.gz"} {
		assert.NotContains(t, files, name)
	}
}

func TestWriteLeavesExactlyTheFiles(t *testing.T) {
	dist := t.TempDir()
	old := filepath.Join(dist, "assets", "main-old.js")
	same := filepath.Join(dist, "index.html")
	require.NoError(t, os.MkdirAll(filepath.Dir(old), 0o755))
	for _, file := range []string{old, filepath.Join(dist, "placeholder.txt")} {
		require.NoError(t, os.WriteFile(file, []byte("old"), 0o644))
	}
	require.NoError(t, os.WriteFile(same, []byte("page"), 0o444))
	before, err := os.Stat(same)
	require.NoError(t, err)

	require.NoError(t, write(dist, map[string][]byte{"index.html": []byte("page"), "assets/main-new.js": []byte("new")}))

	assert.NoFileExists(t, old)
	assert.FileExists(t, filepath.Join(dist, "placeholder.txt"))
	assert.FileExists(t, filepath.Join(dist, "assets", "main-new.js"))
	after, err := os.Stat(same)
	require.NoError(t, err)
	assert.Equal(t, before.ModTime(), after.ModTime(), "what is right is not written again")
}

func TestStoredInTwoSteps(t *testing.T) {
	files := map[string][]byte{
		"index.html": []byte("1"), "assets/main-abc.js": []byte("12"), "assets/icon-ghi.svg": nil,
		"icon-512.png": nil, "licences.txt": nil, "assets/late-def.js": nil, "screens/hole.png": nil,
	}
	lists := storedIn(files, map[string]bool{"/assets/late-def.js": true})
	assert.Equal(t, []precached{{URL: "/assets/late-def.js"}}, lists.later)
	assert.Equal(t, 3, lists.bytes(), "unpacked")
	list := lists.first
	var urls []string
	for _, entry := range list {
		urls = append(urls, entry.URL)
		assert.Equal(t, strings.HasPrefix(entry.URL, "/assets/"), entry.Revision == nil,
			"%s: a revision stands exactly where the name carries none", entry.URL)
	}
	assert.Equal(t, []string{"/assets/icon-ghi.svg", "/assets/main-abc.js", "/index.html"}, urls)

	was := *list[2].Revision
	files["index.html"] = []byte("2")
	assert.NotEqual(t, was, *storedIn(files, nil).first[3].Revision, "another page is another revision")
}

// TestLatecomers: what the page or the book imports statically belongs to the first step, and so
// does what those import.
func TestLatecomers(t *testing.T) {
	var meta metafile
	require.NoError(t, json.Unmarshal([]byte(`{"outputs": {
		"dist/assets/main.js": {"entryPoint": "src/app/main.tsx", "imports": [{"path": "dist/assets/shared.js", "kind": "import-statement"}, {"path": "dist/assets/open.js", "kind": "dynamic-import"}, {"path": "dist/assets/print.js", "kind": "dynamic-import"}]},
		"dist/assets/open.js": {"entryPoint": "src/records/open.ts", "imports": [{"path": "dist/assets/deep.js", "kind": "import-statement"}]},
		"dist/assets/shared.js": {}, "dist/assets/deep.js": {}, "dist/assets/main.css": {},
		"dist/assets/print.js": {"entryPoint": "src/print/index.ts", "imports": [{"path": "dist/assets/shared.js", "kind": "import-statement"}, {"path": "dist/assets/lines.js", "kind": "import-statement"}]},
		"dist/assets/lines.js": {}
	}}`), &meta))
	assert.Equal(t, map[string]bool{"/assets/print.js": true, "/assets/lines.js": true},
		lazyScripts(meta, "src/app/main.tsx", "src/records/open.ts"))
}

func TestSizesCheck(t *testing.T) {
	good := sizes{js: 75_000, later: 60_000, wasm: 600_000, total: 760_000}
	require.NoError(t, good.check())
	for name, change := range map[string]func(*sizes){
		"scripts over":      func(s *sizes) { s.js = budgetJS + 1 },
		"scripts empty":     func(s *sizes) { s.js = 100 },
		"late scripts over": func(s *sizes) { s.later = budgetLater + 1 },
		"late scripts gone": func(s *sizes) { s.later = 0 },
		"calc.wasm over":    func(s *sizes) { s.wasm = budgetWASM + 1 },
		"calc.wasm empty":   func(s *sizes) { s.wasm = 0 },
		"first visit over":  func(s *sizes) { s.total = budgetTotal + 1 },
		"first visit empty": func(s *sizes) { s.total = 10 },
	} {
		s := good
		change(&s)
		assert.Error(t, s.check(), name)
	}
}

func TestMeasureCountsWhatIsSent(t *testing.T) {
	files := map[string][]byte{
		"assets/main.js": make([]byte, 100),
		"assets/c.wasm":  make([]byte, 500), "index.html": make([]byte, 10), "sw.js": make([]byte, 20),
		"icon-512.png": make([]byte, 1000), "assets/late.js": make([]byte, 7),
	}
	list := storedIn(files, map[string]bool{"/assets/late.js": true})
	files["assets/main.js.br"], files["assets/main.js.gz"] = make([]byte, 30), make([]byte, 40)
	s := measure(files, list)
	assert.Equal(t, 30+20, s.js)
	assert.Equal(t, 500, s.wasm)
	assert.Equal(t, 7, s.later)
	assert.Equal(t, 30+500+10+20+10+7, s.total, "the page is fetched twice, the large icon not at all")
}

func TestIndexHTMLHoldsNothingInline(t *testing.T) {
	page, err := indexHTML(assets{main: "/assets/m.js", css: "/assets/m.css", chunks: []string{"/assets/c.js"},
		wasm: "/assets/c.wasm", sheets: "/assets/s.json", floor: "/assets/f.js"}, 12)
	require.NoError(t, err)
	text := string(page)
	assert.NotContains(t, text, "<style", "the server's policy allows no inline style")
	assert.NotContains(t, text, "style=")
	assert.Equal(t, 2, strings.Count(text, "<script"), "by address")
	assert.Less(t, strings.Index(text, "/assets/f.js"), strings.Index(text, "stylesheet"), "no style sheet holds up the first")
	assert.Contains(t, text, `<script type="module" src="/assets/m.js"></script>`)
	assert.Contains(t, text, `<link rel="stylesheet" href="/assets/m.css">`)
	assert.Contains(t, text, `<link rel="modulepreload" href="/assets/c.js">`)
	assert.Contains(t, text, `<div id="app"></div>`)
}

// TestManifest: all it names is made, in the size it says; and an installer takes its screens
// (W3C Web Application Manifest, and its Application Information note; from 320 to 3840 pixels, and
// in one form none longer than 2.3 times its width, as Chromium asks).
func TestManifest(t *testing.T) {
	screens, err := testBuilder(t).pictures()
	require.NoError(t, err)
	text, err := manifest(screens, "/assets/icon-1.svg")
	require.NoError(t, err)
	type picture struct {
		Src, Sizes, Type, Purpose, Label string
		Form                             string `json:"form_factor"`
	}
	var m struct {
		Display            string
		Start              string `json:"start_url"`
		Icons, Screenshots []picture
		Shortcuts          []struct {
			Name, URL string
			Icons     []picture
		}
		Share struct{ Action, Method, Enctype string } `json:"share_target"`
	}
	require.NoError(t, json.Unmarshal(text, &m))
	assert.Equal(t, "standalone", m.Display)
	assert.Equal(t, "/#/launch", m.Start)
	made, err := icons()
	require.NoError(t, err)
	maps.Copy(made, screens)
	made["assets/icon-1.svg"] = made["icon.svg"]
	open := func(p picture) image.Image {
		t.Helper()
		body, ok := made[strings.TrimPrefix(p.Src, "/")]
		require.True(t, ok, p.Src)
		if p.Type != "image/png" {
			return nil
		}
		img, err := png.Decode(bytes.NewReader(body))
		require.NoError(t, err)
		size := img.Bounds().Size()
		assert.Equal(t, p.Sizes, fmt.Sprintf("%dx%d", size.X, size.Y), p.Src)
		return img
	}
	for _, icon := range m.Icons {
		if img := open(icon); img != nil {
			_, _, _, corner := img.At(0, 0).RGBA()
			assert.Equal(t, icon.Purpose == "maskable", corner == 0xffff, "%s: a maskable icon reaches the corners, another does not", icon.Src)
		}
	}
	assert.Len(t, m.Shortcuts, 3)
	for _, s := range m.Shortcuts {
		assert.True(t, strings.HasPrefix(s.URL, "/#/"), "%s: no other page is loaded for it", s.URL)
		open(s.Icons[0])
	}
	forms := map[string]int{}
	for _, s := range m.Screenshots {
		size := open(s).Bounds().Size()
		least, most := min(size.X, size.Y), max(size.X, size.Y)
		assert.GreaterOrEqual(t, least, 320, s.Src)
		assert.LessOrEqual(t, float64(most), 2.3*float64(least), s.Src)
		assert.Equal(t, s.Form == "wide", size.X > size.Y, s.Src)
		assert.NotEmpty(t, s.Label)
		forms[s.Form]++
	}
	assert.Equal(t, map[string]int{"narrow": 4, "wide": 1}, forms)
	assert.Equal(t, "POST multipart/form-data /share", m.Share.Method+" "+m.Share.Enctype+" "+m.Share.Action)
}

// W3C Web Application Manifest, "Icon masks": the safe zone is a circle about the centre with a
// radius of 40 % of the size.
func TestMaskableIconKeepsInsideTheSafeZone(t *testing.T) {
	made, err := icons()
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(made["icon-maskable-512.png"]))
	require.NoError(t, err)
	ground := img.At(0, 0)
	for y := range 512 {
		for x := range 512 {
			if math.Hypot(float64(x)-255.5, float64(y)-255.5) > 0.4*512 {
				require.Equal(t, ground, img.At(x, y), "at %d, %d", x, y)
			}
		}
	}
}

func TestPackageName(t *testing.T) {
	for in, want := range map[string]string{
		"preact/dist/preact.mjs": "preact", "@scope/name/lib/index.js": "@scope/name", "one": "one",
	} {
		assert.Equal(t, want, packageName(in))
	}
}

func TestCommandsAreRefusedInWords(t *testing.T) {
	err := run(t.Context(), []string{"bulid"}, io.Discard)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "usage: build")
	var out bytes.Buffer
	require.NoError(t, run(t.Context(), []string{"--help"}, &out))
	assert.Equal(t, usage, out.String())
}

// The file that the page is compiled against must say what Go sends.
func TestTypesAreCurrent(t *testing.T) {
	require.NoError(t, testBuilder(t).types(true))
}

func TestWasmKey(t *testing.T) {
	root, err := findRoot()
	require.NoError(t, err)
	one, err := wasmbuild.Key(t.Context(), root)
	require.NoError(t, err)
	two, err := wasmbuild.Key(t.Context(), root)
	require.NoError(t, err)
	assert.Equal(t, one, two)
	assert.Len(t, one, 64)

	_, err = wasmbuild.Key(t.Context(), t.TempDir())
	assert.Error(t, err, "no program there to be named")
}
