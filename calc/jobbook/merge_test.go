package jobbook_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/jobbook"
)

// copyOf draws a document as some phone, perhaps newer or faulty, may have written it.
func copyOf(t *rapid.T) []byte {
	value := rapid.OneOf(
		rapid.Map(rapid.SampledFrom([]string{"1", "1.0", "1.50", "1.5", "-0", "0", "12345678901234567890", "1e400"}), func(s string) any { return json.RawMessage(s) }),
		rapid.Map(rapid.StringN(0, 3, 12), func(s string) any { return s }),
		rapid.Just(any(nil)), rapid.Map(rapid.Bool(), func(b bool) any { return b }),
		rapid.Map(rapid.SliceOfN(rapid.IntRange(0, 2), 0, 3), func(l []int) any { return l }),
		rapid.Map(rapid.MapOfN(rapid.SampledFrom([]string{"b", "a"}), rapid.IntRange(0, 2), 0, 2), func(m map[string]int) any { return m }),
	)
	oneEdit := rapid.Custom(func(t *rapid.T) any {
		if rapid.IntRange(0, 9).Draw(t, "odd") == 0 {
			return value.Draw(t, "odd edit")
		}
		n := rapid.IntRange(1, 6).Draw(t, "n")
		e := map[string]any{"id": fmt.Sprintf("p%d", n), "v": value.Draw(t, "v"), "at": rapid.SampledFrom([]string{"2026-03-09", "2020", ""}).Draw(t, "at"), "by": "x"}
		if over := rapid.SliceOfN(rapid.Map(rapid.IntRange(1, 6), func(n int) string { return fmt.Sprintf("p%d", n) }), 0, 2).Draw(t, "over"); len(over) > 0 {
			e["over"] = over
		}
		if rapid.Bool().Draw(t, "saw") {
			e["saw"] = map[string]any{"name": value.Draw(t, "saw name"), "notes": e["id"]}
		}
		if rapid.Bool().Draw(t, "more") {
			e["colour"] = value.Draw(t, "colour")
		}
		return e
	})
	keys := rapid.SampledFrom([]string{"name", "notes", "gone", "holes#0001-a", "future"})
	fields := rapid.MapOfN(keys, rapid.SliceOfN(oneEdit, 0, 4), 0, 4).Draw(t, "f")
	doc := map[string]any{"_id": "fixture:1", "_rev": fmt.Sprintf("1-%d", rapid.IntRange(0, 9).Draw(t, "rev")), "type": "fixture",
		"v": rapid.IntRange(1, 11).Draw(t, "form"), "f": fields, "by": rapid.StringN(0, 2, 4).Draw(t, "by")}
	for _, key := range []string{"future", "also", "odd"} {
		if rapid.Bool().Draw(t, key) {
			doc[key] = value.Draw(t, key+" value")
		}
	}
	if rapid.Bool().Draw(t, "has also") {
		doc["also"] = map[string]any{"future": []any{value.Draw(t, "also value")}, "f": value.Draw(t, "also f")}
	}
	b, err := json.Marshal(doc)
	require.NoError(t, err)
	return b
}

// oldCopy draws a kept result in the first, flat form.
func oldCopy(t *rapid.T) []byte {
	word := rapid.SampledFrom([]string{"", "a", "b"})
	b, err := json.Marshal(map[string]any{"_id": "fixture:1", "type": "kept", "worksheet": "hole", "job": word.Draw(t, "job"), "note": word.Draw(t, "note"),
		"inputs": map[string]string{"thread": word.Draw(t, "thread")}, "answer": map[string]any{"x": 1.5}, "measured": word.Draw(t, "m"), "unit": "in",
		"device": "d1", "created": "2026-01-01T00:00:00Z", "by": word.Draw(t, "by"), "changed": word.Draw(t, "changed"), "more": word.Draw(t, "more")})
	require.NoError(t, err)
	return b
}

func merge(t require.TestingT, docs ...[]byte) string {
	in := `{"docs":[` + string(bytes.Join(docs, []byte(","))) + `]}`
	var out struct{ Doc json.RawMessage }
	require.NoError(t, json.Unmarshal(new(jobbook.Session).Call("merge", []byte(in)), &out))
	require.NotEmpty(t, out.Doc)
	return string(out.Doc)
}

func TestMergeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := copyOf
		if rapid.IntRange(0, 4).Draw(t, "old") == 0 {
			draw = oldCopy
		}
		a, b, c := draw(t), draw(t), draw(t)
		ab := merge(t, a, b)
		require.Equal(t, ab, merge(t, b, a), "commutative")
		require.Equal(t, merge(t, []byte(ab), c), merge(t, a, []byte(merge(t, b, c))), "associative")
		require.Equal(t, ab, merge(t, []byte(ab), a), "what is in it already changes nothing")
		require.Equal(t, merge(t, a), merge(t, a, a), "idempotent")
		require.Equal(t, ab, merge(t, []byte(ab)), "canonical")
		require.Equal(t, merge(t, a, b, c), merge(t, []byte(merge(t, c, a)), b))
	})
}

// values lists every value a document holds anywhere, as plain JSON texts with
// numbers in one form; done with encoding/json, not with the code under test.
func values(t require.TestingT, doc []byte) []string {
	var d map[string]any
	require.NoError(t, json.Unmarshal(lossless(doc), &d))
	var out []string
	say := func(key string, v any) {
		b, err := json.Marshal(v)
		require.NoError(t, err)
		out = append(out, key+"="+string(b))
	}
	for key, v := range d {
		switch key {
		case "_id", "_rev", "by", "v":
		case "f":
			for field, list := range v.(map[string]any) {
				for _, e := range list.([]any) {
					if m, ok := e.(map[string]any); ok {
						delete(m, "at")
						delete(m, "by")
					}
					say("f."+field, e)
				}
			}
		case "also":
			m, ok := v.(map[string]any)
			if !ok {
				say("odd", v)
				continue
			}
			for k, list := range m {
				if l, ok := list.([]any); ok && k != "f" {
					for _, each := range l {
						say(k, each)
					}
					continue
				}
				say("odd", map[string]any{k: list})
			}
		default:
			say(key, v)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// lossless lets encoding/json read numbers beyond float64.
func lossless(b []byte) []byte {
	return []byte(replaceAll(replaceAll(string(b), "1e400", "1e300"), "-0", "0")) // no signed zero
}

func replaceAll(s, from, to string) string {
	out := ""
	for i := 0; i < len(s); {
		if len(s)-i >= len(from) && s[i:i+len(from)] == from {
			out += to
			i += len(from)
			continue
		}
		out += s[i : i+1]
		i++
	}
	return out
}

func TestMergeLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := copyOf(t), copyOf(t)
		want := append(values(t, a), values(t, b)...)
		slices.Sort(want)
		assert.Equal(t, slices.Compact(want), values(t, []byte(merge(t, a, b))))
	})
}
