package main

import (
	"bytes"
	"encoding/json"
	"html/template"
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
// script and one style sheet, both requested at once. The list of worksheets and what runs
// calc.wasm load beside them.
var indexTemplate = template.Must(template.New("index").Parse(`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>Datumbook</title>
<meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover, interactive-widget=resizes-content">
<meta name="text-scale" content="scale">
<meta name="description" content="{{.About}}">
<meta name="theme-color" content="{{.Dye}}">
<meta name="color-scheme" content="light dark">
<link rel="manifest" href="/manifest.webmanifest">
<link rel="icon" href="/icon.svg" type="image/svg+xml">
<link rel="apple-touch-icon" href="/icon-180.png">
{{with .CSS}}<link rel="stylesheet" href="{{.}}">
{{end}}<script type="module" src="{{.Main}}"></script>
{{range .Chunks}}<link rel="modulepreload" href="{{.}}">
{{end}}<link rel="preload" as="fetch" crossorigin href="{{.Sheets}}">
</head>
<body>
<div id="app"></div>
<noscript>Datumbook works everything out on this device and needs JavaScript for that. Please allow it for this page.</noscript>
</body>
</html>
`))

func indexHTML(a assets) ([]byte, error) {
	var page bytes.Buffer
	err := indexTemplate.Execute(&page, struct {
		Dye, About, CSS, Main, Sheets string
		Chunks                        []string
	}{dye, about, a.css, a.main, a.sheets, a.chunks})
	return page.Bytes(), err
}

func manifest() ([]byte, error) {
	icon := func(name, sizes, kind, purpose string) map[string]string {
		return map[string]string{"src": name, "sizes": sizes, "type": "image/" + kind, "purpose": purpose}
	}
	return json.MarshalIndent(map[string]any{
		"id": "/", "name": "Datumbook", "short_name": "Datumbook", "description": about,
		"lang": "en", "start_url": "/", "scope": "/", "display": "standalone",
		"theme_color": dye, "background_color": ground,
		"icons": []map[string]string{
			icon("/icon.svg", "any", "svg+xml", "any"),
			icon("/icon-192.png", "192x192", "png", "any"),
			icon("/icon-512.png", "512x512", "png", "any"),
			icon("/icon-maskable-512.png", "512x512", "png", "maskable"),
		},
	}, "", " ")
}
