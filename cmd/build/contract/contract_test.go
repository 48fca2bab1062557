package contract

import (
	"bytes"
	"encoding/json"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook"
	"datumbook/calc/registry"
)

// read takes JSON back through a type of the contract and back into JSON: a member that is not in
// the contract is refused, and one that the contract promises but nobody sends shows as a
// difference.
func read[T any](t *testing.T, text []byte) T {
	var out T
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&out), "%.200s", text)
	again, err := json.Marshal(out)
	require.NoError(t, err)
	require.JSONEq(t, string(text), string(again))
	return out
}

func TestDescriptions(t *testing.T) {
	d := read[Describe](t, registry.Describe())
	assert.Len(t, d.Worksheets, len(registry.All()))
	choices := 0
	for _, s := range d.Worksheets {
		for _, in := range s.Inputs {
			for _, c := range in.Columns {
				if c.Kind == "choice" {
					choices++
					assert.NotEmpty(t, c.Options, "%s, %s, %s", s.Name, in.Key, c.Key)
				}
			}
		}
	}
	assert.Greater(t, choices, 10, "columns that are a choice")
	kinds := read[RecordKinds](t, jobbook.Describe())
	assert.Len(t, kinds.Kinds, len(jobbook.Kinds))
	read[[]Check](t, registry.ChecksJSON())
}

// TestAnswers reads the answer to each worksheet's example, in both unit systems, and to nothing at
// all.
func TestAnswers(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range registry.All() {
		for _, unit := range []string{"in", "mm"} {
			text, failed, _ := registry.Run(s.Name, unit, s.Example)
			if failed {
				read[Refused](t, text)
				continue
			}
			a := read[Answer](t, text)
			assert.NotEmpty(t, a.Results, s.Name)
			for _, c := range a.Cautions {
				seen[string(c.Level)] = true
			}
		}
		if text, failed, _ := registry.Run(s.Name, "in", nil); failed {
			read[Refused](t, text)
		} else {
			read[Answer](t, text)
		}
	}
	assert.True(t, seen["caution"] && seen["note"])
}

// TestTagged: every field of the contract names its member, so that none is guessed.
func TestTagged(t *testing.T) {
	for _, v := range []any{Describe{}, Group{}, Stage{}, Page{}, Way{}, Source{}, Option{}, Units{}, Field{}, Result{}, Sheet{}, Given{},
		Found{}, Line{}, Caution{}, Answer{}, FieldFault{}, Refused{}, Check{}, RecordKinds{}, RecordKind{}} {
		for _, f := range reflect.VisibleFields(reflect.TypeOf(v)) {
			assert.NotEmpty(t, f.Tag.Get("json"), "%T.%s", v, f.Name)
		}
	}
}

func TestTypeScript(t *testing.T) {
	_, err := TypeScript(nil)
	require.ErrorContains(t, err, "UnitSystem")
	out, err := TypeScript(map[string][]string{"UnitSystem": {"in", "mm"}, "Kind": {"length"}, "Level": {"note"},
		"Mark": {"good"}})
	require.NoError(t, err)
	for _, want := range []string{
		"export type UnitSystem =\n  | \"in\"\n  | \"mm\";", "  inputs: Record<string, Given>;\n", "  options?: Option[];\n",
		"  /** The cell of a table may be left empty. */\n  optional?: boolean;\n",
		"  value: Value;\n", "  most?: number;\n", "  sample: string[][];\n",
	} {
		assert.Contains(t, string(out), want)
	}
}
