package main

import (
	"encoding/json"

	"github.com/evanw/esbuild/pkg/api"

	"datumbook/pwa/floor"
)

// engines are what the floor's names are to the bundler.
var engines = map[string]api.EngineName{
	"chrome": api.EngineChrome, "firefox": api.EngineFirefox, "safari": api.EngineSafari, "ios_saf": api.EngineIOS,
}

// targets are the browsers whose language the bundler may write.
func targets() []api.Engine {
	var out []api.Engine
	for _, b := range floor.Oldest() {
		out = append(out, api.Engine{Name: engines[b.Name], Version: b.Version})
	}
	return out
}

// floorScript is what runs before the app in any browser, however old: it gives one below the floor a
// sentence that names the floor, in place of an empty page, and asks for what the first screen imports.
func (b builder) floorScript(files map[string][]byte, a assets) (string, error) {
	said, err := json.Marshal(floor.Said())
	if err != nil {
		return "", err
	}
	opts := b.options("dist/assets", api.EntryPoint{InputPath: "src/app/floor.js", OutputPath: "floor"})
	opts.Engines, opts.Target = nil, api.ES5
	opts.EntryNames = "[name]-[hash]"
	opts.Format = api.FormatIIFE
	opts.Define["FLOOR"] = string(said)
	for name, list := range map[string][]string{"SHEET": a.sheet, "BOOK": a.book} {
		text, err := json.Marshal(list)
		if err != nil {
			return "", err
		}
		opts.Define[name] = string(text)
	}
	return b.single(files, opts)
}
