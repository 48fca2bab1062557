package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html/template"
	"image/png"
	"os"
	"path/filepath"
)

// Colours that the browser shows around the app and before it: dye and ground of the app's
// tokens.css.
const (
	dye    = "#1c3c94"
	ground = "#e9ecee"
)

const about = "Plan it, do it, write it down: a machinist's book that works with no signal."

// text-scale lets the root's size of text be the one set on the phone, where the browser knows it.
// The page holds nothing inline: the server's policy allows none, and the first paint waits for one
// script and one style sheet, both requested at once; the few lines before them tell a browser that is
// too old so, and ask for what the first screen imports. The list of worksheets comes beside them, what
// nobody looks at behind them. Every address but this page's own holds its content's digest, so that
// nothing is fetched twice.
var indexTemplate = template.Must(template.New("index").Parse(`<!doctype html>
<html lang="en" data-bytes="{{.Bytes}}">
<head>
<meta charset="utf-8">
<title>Datumbook</title>
<meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover, interactive-widget=resizes-content">
<meta name="text-scale" content="scale">
<meta name="description" content="{{.About}}">
<meta name="theme-color" content="{{.Dye}}">
<meta name="color-scheme" content="light dark">
<script src="{{.Floor}}"></script>
{{with .CSS}}<link rel="stylesheet" href="{{.}}">
{{end}}<script type="module" src="{{.Main}}"></script>
{{range .Chunks}}<link rel="modulepreload" href="{{.}}">
{{end}}<link rel="preload" as="fetch" crossorigin href="{{.Sheets}}">
<link rel="manifest" href="{{.Manifest}}">
<link rel="icon" href="{{.Icon}}" type="image/svg+xml">
<link rel="apple-touch-icon" href="/icon-180.png">
</head>
<body>
<div id="app"></div>
<noscript>Datumbook works everything out on this device and needs JavaScript for that. Please allow it for this page.</noscript>
</body>
</html>
`))

// indexHTML makes the page; size is that of all that is stored beside it, in bytes.
func indexHTML(a assets, size int) ([]byte, error) {
	var page bytes.Buffer
	err := indexTemplate.Execute(&page, struct {
		Dye, About, CSS, Floor, Main, Sheets, Manifest, Icon string
		Chunks                                               []string
		Bytes                                                int
	}{dye, about, a.css, a.floor, a.main, a.sheets, a.manifest, a.icon, a.chunks, size})
	return page.Bytes(), err
}

// Where the system sends a photo that is shared to the app: the service worker takes it there
// (pwa/src/app/sw), and the server says so where it could not.
const shareTo = "/share"

// pictured are the screens that an installer shows: pictures of this app with its invented job, as
// README has them. They are served, and no phone stores them.
var pictured = []struct{ file, label, form string }{
	{"start.png", "What runs at the mill, and nine stages of the work", "narrow"},
	{"readings.png", "Readings along an edge", "narrow"},
	{"hole.png", "A tapped hole, typed on its drawing", "narrow"},
	{"setup.png", "A setup and its next step", "narrow"},
	{"hole-landscape.png", "A tapped hole, typed on its drawing", "wide"},
}

// pictures gives those screens by their names in pwa/dist.
func (b builder) pictures() (map[string][]byte, error) {
	files := map[string][]byte{}
	for _, p := range pictured {
		body, err := os.ReadFile(filepath.Join(b.root, "cmd", "datumbook", "pictures", p.file))
		if err != nil {
			return nil, err
		}
		files["screens/"+p.file] = body
	}
	return files, nil
}

// manifest describes the app to the phone's home screen. A second start goes to the window that is
// open. Its address differs from any of the app's pages in what stands behind the # alone, so that
// nothing is loaded anew, and the page stays where it is (pwa/src/screen/route.ts). Only a window
// that is navigated gets what is shared: one that is brought to the front by itself gets its address
// alone (github.com/WICG/web-app-launch, issue 62). The drawn icon stands at an address of its own.
func manifest(screens map[string][]byte, drawn string) ([]byte, error) {
	type list = []map[string]any
	icon := func(name, sizes, kind, purpose string) map[string]any {
		return map[string]any{"src": name, "sizes": sizes, "type": "image/" + kind, "purpose": purpose}
	}
	shortcut := func(name, page, picture string) map[string]any {
		return map[string]any{"name": name, "url": "/#/" + page, "icons": list{icon("/"+picture+"-96.png", "96x96", "png", "any")}}
	}
	shots := list{}
	for _, p := range pictured {
		size, err := png.DecodeConfig(bytes.NewReader(screens["screens/"+p.file]))
		if err != nil {
			return nil, fmt.Errorf("read the picture %s: %w", p.file, err)
		}
		shots = append(shots, map[string]any{"src": "/screens/" + p.file, "type": "image/png",
			"sizes": fmt.Sprintf("%dx%d", size.Width, size.Height), "form_factor": p.form, "label": p.label})
	}
	return json.Marshal(map[string]any{
		"id": "/", "name": "Datumbook", "short_name": "Datumbook", "description": about,
		"lang": "en", "start_url": "/#/launch", "scope": "/", "display": "standalone",
		"theme_color": dye, "background_color": ground,
		"icons": list{
			icon(drawn, "any", "svg+xml", "any"),
			icon("/icon-192.png", "192x192", "png", "any"),
			icon("/icon-512.png", "512x512", "png", "any"),
			icon("/icon-maskable-512.png", "512x512", "png", "maskable"),
		},
		"shortcuts": list{
			shortcut("Take a reading", "readings", "read"),
			shortcut("Plan a hole", "sheet/hole", "hole"),
			shortcut("Find", "find", "find"),
		},
		"screenshots":    shots,
		"launch_handler": map[string]any{"client_mode": []string{"navigate-existing", "auto"}},
		"share_target": map[string]any{"action": shareTo, "method": "POST", "enctype": "multipart/form-data",
			"params": map[string]any{"files": list{{"name": "photo", "accept": []string{"image/*"}}}}},
	})
}
