package registry_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/check"
	"datumbook/calc/registry"
	"datumbook/calc/registry/registrytest"
	"datumbook/calc/units"
	"datumbook/calc/worksheet"
)

func TestDescriptions(t *testing.T) {
	seen := map[string]bool{}
	groups := map[string]bool{}
	for _, g := range registry.Groups() {
		groups[g.Key] = true
	}
	for _, s := range registry.All() {
		assert.Empty(t, s.CheckFields())
		assert.False(t, seen[s.Name], "two worksheets are named %s", s.Name)
		seen[s.Name] = true
		assert.True(t, groups[s.Group], "%s stands in no group", s.Name)
	}
	assert.True(t, json.Valid(registry.Describe()))
	assert.True(t, json.Valid(registry.ChecksJSON()))
}

// TestExamples: the inputs shown as an example work in both systems of units, and every worksheet
// shows its working and its sources.
func TestExamples(t *testing.T) {
	for _, s := range registry.All() {
		for _, sys := range []units.System{units.InchSystem, units.MetricSystem} {
			a := worksheet.Run(s, sys, s.Example)
			if sys == units.InchSystem {
				require.Nil(t, a.Fault, "%s: %v", s.Name, a.Fault)
				assert.NotEmpty(t, a.Lines(), "%s shows no worked lines", s.Name)
			}
			assert.True(t, json.Valid(a.JSON()), s.Name)
		}
	}
}

// Every published value is met, and every worksheet has at least five that are
// printed in a source somebody has read.
func TestChecksPass(t *testing.T) {
	count := map[string]int{}
	for _, o := range registry.Checks() {
		if o.Provenance == check.Published {
			count[o.Sheet]++
		}
		assert.True(t, o.Pass, "%s: %s: got %v, want %v +/- %v (%s)", o.Sheet, o.What, o.Value, o.Want, o.Tol, o.Source)
		assert.NotEmpty(t, o.Source, o.What)
		assert.NotEmpty(t, o.Provenance, o.What)
	}
	for _, s := range registry.All() {
		assert.GreaterOrEqual(t, count[s.Name], 5, "%s is checked against fewer than five published values", s.Name)
	}
}

// TestTotal runs every worksheet on random inputs in both systems: it answers or refuses in a
// sentence, never panics, and never outputs NaN or infinity.
func TestTotal(t *testing.T) {
	for _, s := range registry.All() {
		t.Run(s.Name, func(t *testing.T) {
			answered := 0
			rapid.Check(t, func(t *rapid.T) {
				pairs := registrytest.Pairs(s).Draw(t, "inputs")
				sys := rapid.SampledFrom([]units.System{units.InchSystem, units.MetricSystem}).Draw(t, "system")
				a := worksheet.Run(s, sys, pairs)
				text := a.JSON()
				require.True(t, json.Valid(text), "%s", text)
				if a.Fault != nil {
					require.NotEmpty(t, a.Fault.Message)
					require.NotContains(t, a.Fault.Message, "could not be worked out", "%v", pairs)
					return
				}
				answered++
			})
			t.Logf("%s answered %d of the random inputs", s.Name, answered)
		})
	}
}

// FuzzRun passes any text to any input. Run: go test ./calc/registry -fuzz FuzzRun
func FuzzRun(f *testing.F) {
	f.Add("hole", "thread", "5/8-11", "depth", "3/4", "stock", ".95")
	f.Add("hole", "thread", "M12x1.75-6H", "depth", "24mm", "stock", "through")
	f.Fuzz(func(t *testing.T, name, k1, t1, k2, t2, k3, t3 string) {
		got, _, _ := registry.Run(name, "in", []worksheet.Pair{{Key: k1, Text: t1}, {Key: k2, Text: t2}, {Key: k3, Text: t3}})
		if !json.Valid(got) {
			t.Fatalf("not JSON: %s", got)
		}
	})
}

func TestPackRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var pairs []worksheet.Pair
		for range rapid.IntRange(0, 5).Draw(t, "n") {
			pairs = append(pairs, worksheet.Pair{Key: rapid.StringMatching(`[a-z0-9]{1,8}`).Draw(t, "k"), Text: rapid.StringMatching(`[ -~]{0,20}`).Draw(t, "t")})
		}
		require.Equal(t, pairs, registry.Unpack(registry.Pack(pairs)))
	})
}

// The phone joins pairs by the separator and puts none after the last.
func TestUnpackWithoutLastSeparator(t *testing.T) {
	want := []worksheet.Pair{{Key: "thread", Text: "5/8-11"}, {Key: "stock", Text: ".95"}}
	require.Equal(t, want, registry.Unpack("thread\x1f5/8-11\x1estock\x1f.95"))
	require.Equal(t, []worksheet.Pair{{Key: "stock"}}, registry.Unpack("stock\x1f"))
	require.Empty(t, registry.Unpack(""))
}
