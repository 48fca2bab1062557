// Package floor names the oldest browsers that the app runs in. The linter and the bundler hold the
// app to them; README, the start page of a new phone and the sentence in an older browser tell them.
package floor

import (
	_ "embed"
	"encoding/json"
	"strings"
)

//go:embed oldest.json
var oldest []byte

// Browser is one kind of browser and the oldest of it that the app runs in.
type Browser struct {
	Name    string // as browserslist names it
	Version string
	Said    string // its name in a sentence
}

// Oldest is one browser of each kind.
func Oldest() []Browser {
	var all []Browser
	if err := json.Unmarshal(oldest, &all); err != nil {
		panic("pwa/floor/oldest.json: " + err.Error())
	}
	return all
}

// Said is all of them in words, such as "Chrome 109, iOS 16.4".
func Said() string {
	var words []string
	for _, b := range Oldest() {
		words = append(words, b.Said+" "+b.Version)
	}
	return strings.Join(words, ", ")
}
