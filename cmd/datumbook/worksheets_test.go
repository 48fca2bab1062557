package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook"
)

// TestRuledAlone: what is answered without a session is what a session answers, and no operation that keeps
// anything is among it.
func TestRuledAlone(t *testing.T) {
	made, found := ruled("new", []byte(`{"type":"job","ms":1,"chance":"00000000000000000000","set":{"name":"Housing"},`+
		`"device":"a","by":"a","at":"2026-01-02T03:04:05Z"}`))
	require.True(t, found)
	assert.Contains(t, string(made), `"doc"`)
	for _, op := range alone {
		in := []byte(`{"doc":{},"docs":[]}`)
		got, found := ruled(op, in)
		require.True(t, found, op)
		s := new(jobbook.Session)
		assert.Equal(t, string(s.Call(op, in)), string(got), op)
		assert.Equal(t, new(jobbook.Session), s, "%s keeps something", op)
	}
	for _, name := range []string{"find", "index", "open", "feed", "take", "export", "write", "nothing"} {
		_, found := ruled(name, []byte(`{}`))
		assert.False(t, found, name)
	}
}
