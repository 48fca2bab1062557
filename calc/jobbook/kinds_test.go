package jobbook_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/field"
	"datumbook/calc/jobbook"
	"datumbook/calc/units"
)

// TestKinds: the description is one that forms and checks can be made from.
func TestKinds(t *testing.T) {
	known := map[string]bool{}
	for _, k := range jobbook.Kinds {
		assert.False(t, known[k.Key], k.Key)
		known[k.Key] = true
	}
	var walk func(t *testing.T, f jobbook.Field, inTable bool)
	walk = func(t *testing.T, f jobbook.Field, inTable bool) {
		assert.NotEmpty(t, f.Label, f.Key)
		assert.Equal(t, strings.ToLower(f.Key), f.Key)
		assert.NotContains(t, f.Key, "#", "# stands before a row")
		assert.Contains(t, field.Kinds(), f.Kind, f.Key)
		dim, _ := f.Kind.Dim()
		for _, unit := range []string{f.Units.Inch, f.Units.Metric} {
			if unit != "" {
				_, ok := dim.Find(unit)
				assert.True(t, ok, "%s: unit %s", f.Key, unit)
			}
		}
		for _, of := range f.Of {
			assert.True(t, known[of], "%s links to %s", f.Key, of)
		}
		assert.Equal(t, f.Kind == jobbook.Choice, len(f.Options) > 0, "%s: options", f.Key)
		assert.Equal(t, f.Kind == jobbook.List || f.Kind == jobbook.Table, len(f.Columns) > 0, "%s: columns", f.Key)
		if f.Kind == jobbook.List || f.Kind == jobbook.Table {
			assert.False(t, inTable)
		}
		keys := map[string]bool{"row": true, "unit": true} // what the view adds to a row
		for _, c := range f.Columns {
			assert.False(t, keys[c.Key], "%s: column %s", f.Key, c.Key)
			keys[c.Key] = true
			walk(t, c, true)
		}
	}
	for _, k := range jobbook.Kinds {
		t.Run(k.Key, func(t *testing.T) {
			assert.NotEmpty(t, k.Help)
			assert.NotEmpty(t, k.Plural)
			keys := map[string]bool{"gone": true}
			required := false
			for _, f := range k.Fields {
				assert.False(t, keys[f.Key], f.Key)
				keys[f.Key] = true
				required = required || f.Required
				walk(t, f, false)
			}
			assert.True(t, required, "something has to be filled in")
			for _, key := range slices.Concat(k.Title, k.Detail) {
				assert.True(t, keys[key], "named by %s", key)
			}
			require.NotNil(t, k.Field("gone"))
		})
	}
}

// TestDescribe: the JSON says what the Go values say.
func TestDescribe(t *testing.T) {
	kinds := call(t, "describe", obj{})["kinds"].([]any)
	require.Len(t, kinds, len(jobbook.Kinds))
	for i, k := range jobbook.Kinds {
		shown := kinds[i].(obj)
		assert.Equal(t, k.Key, shown["key"])
		fields := shown["fields"].([]any)
		require.Len(t, fields, len(k.Fields)+1, "and gone")
		for j, f := range k.Fields {
			one := fields[j].(obj)
			assert.Equal(t, f.Key, one["key"])
			assert.Equal(t, f.Required, one["required"] == true)
			if unit, _ := f.Unit(units.InchSystem); unit.Name != "" {
				assert.Equal(t, unit.Name, one["units"].(obj)["in"], f.Key)
			}
		}
	}
}

// TestFaults: each rule objects in words that name the field, the limit and
// what to do.
func TestFaults(t *testing.T) {
	for _, c := range []struct {
		name, kind, field string
		value             any
		says              []string
	}{
		{"too long", "job", "name", strings.Repeat("x", 201), []string{"Job is longer than 200 characters", "Shorten"}},
		{"two lines", "job", "name", "a\nb", []string{"one line"}},
		{"not a text", "job", "name", true, []string{"has to be a text"}},
		{"required cleared", "job", "name", "  ", []string{"Job is missing", "Fill it in"}},
		{"half a casting", "job", "quantity", "1.5", []string{"'1.5' is not a whole number", "Type a whole number"}},
		{"none", "job", "quantity", "0", []string{"less than 1", "from 1 to 100000"}},
		{"no such day", "job", "due", "2026-02-29", []string{"'2026-02-29' is not a date", "2026-03-09"}},
		{"no such state", "job", "state", "lost", []string{"'lost' is not one of its choices", "running"}},
		{"unknown field", "job", "colour", "red", []string{"no field 'colour'"}},
		{"unreadable length", "part", "long", "twelve", []string{"Length: 'twelve'"}},
		{"too long a part", "part", "long", "26 m", []string{"'26 m' is more than 1000 in, the most this takes"}},
		{"negative", "part", "wide", "-1", []string{"less than 0 in"}},
		{"mass in inches", "part", "weight", "12 in", []string{"Weight: "}},
		{"a link to the wrong kind", "part", "job", "machine:1", []string{"'machine:1' is not a job", "Choose a job"}},
		{"a link that is none", "part", "job", "7", []string{"names no record"}},
		{"a thread that is none", "feature", "thread", "5/8-", []string{"Thread: "}},
		{"not yes or no", "step", "done", "yes", []string{"yes or no"}},
		{"list that is none", "set", "sizes", ".001", []string{"has to be a list"}},
		{"bad size in a list", "set", "sizes", []any{".001", "thin"}, []string{"Sizes owned, number 2", "'thin'"}},
		{"row without name", "fixture", "holes", []any{obj{"x": "1"}}, []string{"Holes: Hole is missing"}},
		{"row with a bad size", "fixture", "holes", []any{obj{"name": "A", "dia": "101"}}, []string{"Holes: Diameter: '101' is more than 100 in"}},
		{"row that is none", "fixture", "holes", []any{"A"}, []string{"a row has to name its columns"}},
		{"row of no table", "job", "name#1", "x", []string{"has no row '1'"}},
		{"speed beyond reason", "machine", "speeds", []any{"200001"}, []string{"more than 100000"}},
		{"no reading", "reading", "value", "", []string{"Reading is missing"}},
		{"inputs that are no texts", "kept", "inputs", obj{"thread": 5}, []string{"'thread' is not a text"}},
		{"inputs that are none", "kept", "inputs", "5", []string{"texts by name"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			doc := obj{"_id": c.kind + ":1", "type": c.kind, "v": 1, "f": obj{}}
			out := call(t, "edit", obj{"doc": doc, "set": obj{c.field: c.value}, "device": "a", "unit": "in"})
			require.Contains(t, out, "faults")
			fault := out["faults"].([]any)[0].(obj)
			assert.Equal(t, c.field, strings.Split(fault["field"].(string), "#0")[0])
			for _, says := range c.says {
				assert.Contains(t, fault["message"], says)
			}
			assert.NotContains(t, out, "doc", "refused whole")
		})
	}
}

// TestGoodValues: what a machinist types is taken as typed.
func TestGoodValues(t *testing.T) {
	for _, c := range []struct {
		kind, field string
		value       any
	}{
		{"part", "long", "14-1/2"}, {"part", "long", "368.3mm"}, {"part", "long", "3/4+.015"}, {"part", "weight", "120"}, {"part", "weight", "55 kg"},
		{"feature", "thread", "5/8-11"}, {"feature", "thread", "M12x1.75-6H"}, {"feature", "minus", "-.001"}, {"job", "due", "2028-02-29"},
		{"job", "due", "2026-03-09T14:05:00+02:00"}, {"reading", "value", "+2"}, {"reading", "value", "-1.5 thou"}, {"reading", "value", 2},
		{"machine", "speeds", []any{"60", "95.5", "1200 rpm"}}, {"step", "order", "2.5"}, {"fixture", "square", "-.5"}, {"material", "expansion", "6 ppm/F"},
		{"kept", "answer", obj{"any": []any{1.0, nil, true}}}, {"note", "about", "crane:1"},
	} {
		doc := obj{"_id": c.kind + ":1", "type": c.kind, "v": 1, "f": obj{}}
		out := call(t, "edit", obj{"doc": doc, "set": obj{c.field: c.value}, "device": "a", "unit": "in"})
		require.Contains(t, out, "doc", "%s %v: %v", c.field, c.value, out)
		assert.EqualValues(t, c.value, view(t, out["doc"].(obj))["values"].(obj)[c.field], c.field)
		for _, f := range call(t, "check", obj{"doc": out["doc"]})["faults"].([]any) {
			assert.Contains(t, f.(obj)["message"], "missing", "only the fields not filled in here")
		}
	}
}

// TestSentences: the office gets sentences for a record with faults, none for a good one.
func TestSentences(t *testing.T) {
	bad := `{"type":"reading","v":1,"f":{"value":[{"id":"a-1","v":"two"}]}}`
	got := jobbook.Sentences("reading:1", []byte(bad))
	require.Len(t, got, 1)
	assert.Contains(t, got[0], "Reading: 'two'")
	assert.Empty(t, jobbook.Sentences("reading:1", []byte(`{"type":"reading","v":1,"f":{"value":[{"id":"a-1","v":"2","unit":"in"}]}}`)))
	assert.Equal(t, []string{"This record does not say what it is. Make it again."}, jobbook.Sentences("x", []byte(`{}`)))
	assert.Contains(t, jobbook.Sentences("x", []byte(`{`))[0], "This is not JSON")
	assert.Contains(t, jobbook.Sentences("a:1", []byte(`{"type":"job","f":{"name":[{"id":"a-1","v":"x"}]}}`))[0], "does not begin with job:")
	assert.Contains(t, jobbook.Sentences("job:1", []byte(`{"type":"job","f":{"name":[{"id":"a-1","v":"x"},7]}}`))[0], "cannot be read. It is kept")
	assert.Empty(t, jobbook.Sentences("job:1", []byte(`{"type":"job","v":1,"f":{"gone":[{"id":"a-1","v":true}]}}`)), "a deleted record may be empty")
}
