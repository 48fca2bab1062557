package jobbook

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// stored are records as the store keeps them, without what is the protocol's: the whole demo, and
// some that are out of the ordinary.
func stored(t require.TestingT) (ids []string, docs [][]byte) {
	text, err := os.ReadFile("demo/pillow-block.json")
	require.NoError(t, err)
	var file struct{ Docs []map[string]json.RawMessage }
	require.NoError(t, json.Unmarshal(text, &file))
	for _, d := range file.Docs {
		var id string
		require.NoError(t, json.Unmarshal(d["_id"], &id))
		delete(d, "_id")
		delete(d, "_rev")
		delete(d, "_attachments")
		doc, err := json.Marshal(d)
		require.NoError(t, err)
		ids, docs = append(ids, id), append(docs, doc)
	}
	for _, odd := range []string{
		`{"type":"reading","v":1,"f":{"value":[{"id":"a-1","v":"2","unit":"in"},{"id":"a-2","over":["a-1"],"v":"2.5","unit":"in"}]}}`,
		`{"type":"reading","v":1,"f":{"value":[{"id":"a-1","v":"tall","unit":"in"},{"id":"a-2","over":["a-1"],"v":"2.5","unit":"in"}]}}`,
		`{"type":"reading","v":1,"f":{"value":[{"id":"a-1","v":"2","unit":"in"}],"value":[{"id":"a-1","v":"tall"}]}}`,
		`{"type":"reading","v":2,"f":{"value":[{"id":"a-1","v":"2","unit":"in"}],"later":[{"id":"a-1","v":{"x":[1,{"y":null}]}}]}}`,
		`{"type":"reading","v":1,"also":{"v":[2]},"f":{"value":[{"id":"a-1","v":"2","unit":"in"}],"gone":[{"id":"a-3","v":true}]}}`,
		`{"type":"job","v":1,"f":{"name":[{"id":"a-1","v":"x"},7],"":[{"id":"a-1","v":"x"}],"notes":{}}}`,
		`{"type":"job","v":1,"f":{"name":[{"id":"a-1","v":null}],"due":[{"id":"a-1","v":"2026-02-30"}]}}`,
		`{"type":"kept","v":1,"worksheet":"hole","unit":"in","inputs":{"thread":"5/8-11"},"created":"2026-03-09"}`,
		"{\"type\":\"note\",\"v\":1,\"f\":{\"text\":[{\"id\":\"a-1\",\"v\":\"bad \xff bytes \\ud800 \\u00e9\"}]}}",
		`{}`, `[]`, `{`, ``, `null`,
	} {
		ids, docs = append(ids, "reading:1", "job:1", "kept:1", "note:1"), append(docs, []byte(odd), []byte(odd), []byte(odd), []byte(odd))
	}
	return ids, docs
}

// TestSound: what sound accepts, the check finds no fault in, however the text was altered; and it
// accepts the records of a whole job, or it would save no time.
func TestSound(t *testing.T) {
	ids, docs := stored(t)
	known := 0
	for i := range docs {
		faults := sentences(ids[i], docs[i])
		if sound(ids[i], docs[i]) {
			known++
			assert.Empty(t, faults, "%s %s", ids[i], docs[i])
		} else if i < len(docs)-14*4 {
			assert.NotEmpty(t, faults, "the demo's %s is sound: %s", ids[i], docs[i])
		}
	}
	require.Greater(t, known, 40)
	pieces := []string{`{`, `}`, `[`, `]`, `,`, `:`, `"`, `"id"`, `"v"`, `"f"`, `"over"`, `"unit"`, `"type"`, `"gone"`, `"also"`, `"worksheet"`, `null`, `true`,
		`"v":2`, `"v":"1",`, `{"id":"z-1","v":null}`, `,{"id":"z-1","v":"-900 in"}`, `{"id":"","v":1}`, `7`, `"x":1,`, "\\", "\xc3", "\n", "1e9", ""}
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(0, len(docs)-1).Draw(t, "record")
		doc := bytes.Clone(docs[i])
		for range rapid.IntRange(1, 3).Draw(t, "changes") {
			from := rapid.IntRange(0, len(doc)).Draw(t, "from")
			to := min(len(doc), from+rapid.IntRange(0, 12).Draw(t, "taken out"))
			put := []byte(rapid.SampledFrom(pieces).Draw(t, "put in"))
			if other := rapid.IntRange(0, 3).Draw(t, "other"); other == 0 && len(doc) > 0 { // a piece of itself
				at := rapid.IntRange(0, len(doc)-1).Draw(t, "at")
				put = doc[at:min(len(doc), at+rapid.IntRange(1, 60).Draw(t, "length"))]
			}
			doc = append(append(bytes.Clone(doc[:from]), put...), doc[to:]...)
		}
		if sound(ids[i], doc) {
			require.Empty(t, sentences(ids[i], doc), "%s %s", ids[i], doc)
		}
	})
}

// FuzzSound looks for a text with a fault that sound accepts.
func FuzzSound(f *testing.F) {
	ids, docs := stored(f)
	for i := range docs {
		f.Add(ids[i], docs[i])
	}
	f.Fuzz(func(t *testing.T, id string, doc []byte) {
		if sound(id, doc) {
			require.Empty(t, sentences(id, doc))
		}
	})
}

// BenchmarkSentences checks a sound reading of some 330 bytes.
func BenchmarkSentences(b *testing.B) {
	doc := []byte(`{"by":"p1","f":{"job":[{"at":"2026-03-09T08:00:00Z","by":"p1","id":"p1-1","v":"job:01KJ8Q3V7M4T9Z2XBN5C6D8F0G"}],"note":[{"at":"2026-03-09T08:00:00Z","by":"p1","id":"p1-1","v":"face of the flange"}],"value":[{"at":"2026-03-09T08:00:00Z","by":"p1","id":"p1-1","unit":"in","v":"2.0417"}]},"type":"reading","v":1}`)
	const id = "reading:01KJ8Q3V7M4T9Z2XBN5C6D8F0G"
	for name, check := range map[string]func(string, []byte) []string{"quick": Sentences, "whole": sentences} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				require.Empty(b, check(id, doc))
			}
		})
	}
}
