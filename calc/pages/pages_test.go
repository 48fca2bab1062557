package pages_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"datumbook/calc/pages"
	"datumbook/calc/registry"
)

// Every worksheet stands on one page, every key a page names is there, and every page is found
// under a stage.
func TestPages(t *testing.T) {
	assert.Empty(t, pages.Check(registry.All()))
	stages := map[string]int{}
	for _, s := range pages.Stages {
		stages[s.Key] = 0
	}
	for _, p := range pages.All(registry.All()) {
		assert.NotEmpty(t, p.Title)
		assert.NotEmpty(t, p.Stages, p.Name)
		for _, s := range p.Stages {
			assert.Contains(t, stages, s, p.Name)
			stages[s]++
		}
	}
	for s, n := range stages {
		assert.Positive(t, n, s)
	}
	for _, s := range registry.All() {
		p, ok := pages.Find(registry.All(), s.Name)
		assert.True(t, ok)
		assert.NotEmpty(t, p.Name)
	}
}
