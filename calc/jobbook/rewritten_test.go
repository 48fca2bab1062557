package jobbook_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"datumbook/calc/jobbook"
)

// plate is a fixture with entries by two devices; more are put behind them, as members.
func plate(name, thick, more string) []byte {
	return []byte(`{"type":"fixture","v":1,"by":"phone2","f":{` +
		`"name":[` + name + `],"thick":[` + thick + `]` + more + `}}`)
}

const (
	named   = `{"id":"mill-1-4","at":"2026-03-03T08:00:00Z","by":"Joan","v":"big angle plate"}`
	renamed = `{"id":"mill-1-4","at":"2026-03-03T08:00:00Z","by":"Joan","v":"small angle plate"}`
	thick   = `{"id":"phone2-1","unit":"in","v":"1-3/4"}`
	thinner = `{"id":"phone2-1","unit":"in","v":"1-1/2"}`
	hole    = `,"holes#0001-mill":[{"id":"mill-1-5","v":{"name":"A1","x":"2","y":"3"}}]`
)

func TestChangeOf(t *testing.T) {
	const whose = "Mill phone"
	before := plate(named, thick, hole)
	for _, c := range []struct {
		name  string
		after []byte
		want  []string
	}{
		{"nothing", before, nil},
		{"more entries", plate(named+`,{"id":"phone9-1","v":"plate","over":["mill-1-4"]}`, thick, hole+
			`,"notes":[{"id":"phone9-2","v":"x"}]`), nil},
		{"in another order of members", plate(
			`{"v":"big angle plate","by":"Joan","id":"mill-1-4","at":"2026-03-03T08:00:00Z"}`, thick, hole), nil},
		{"another time of the same", plate(strings.Replace(named, "T08", "T09", 1), thick, hole), nil},
		{"changed", plate(renamed, thick, hole),
			[]string{"The entry by Joan of 3 March 2026 in Fixture was changed by Mill phone."}},
		{"taken out", plate("", thick, hole),
			[]string{"The entry by Joan of 3 March 2026 in Fixture was taken out by Mill phone."}},
		{"without a name or day", plate(named, thinner, hole),
			[]string{"The entry by phone2 in Plate thickness was changed by Mill phone."}},
		{"a row", plate(named, thick, ""), []string{"The entry by mill-1 in Holes was taken out by Mill phone."}},
		{"covered and changed", plate(renamed+`,{"id":"phone9-1","v":"x","over":["mill-1-4"]}`, thick, hole),
			[]string{"The entry by Joan of 3 March 2026 in Fixture was changed by Mill phone."}},
		{"all of it", []byte(`{"type":"fixture","v":1}`), []string{
			"The entry by mill-1 in Holes was taken out by Mill phone.",
			"The entry by Joan of 3 March 2026 in Fixture was taken out by Mill phone.",
			"The entry by phone2 in Plate thickness was taken out by Mill phone."}},
		{"no record any more", []byte(`{"type":"fixture"`),
			[]string{"Mill phone sent a copy of this record that cannot be read, over what was written before."}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := jobbook.ChangeOf("fixture:1", "d17", whose, before, c.after)
			assert.Equal(t, c.want, got.Rewritten)
			assert.Equal(t, "Fixture 'big angle plate'", got.Title)
			assert.Empty(t, got.What)
		})
	}
	own := jobbook.ChangeOf("fixture:1", "phone2", whose, before, plate(named, thinner, hole))
	assert.Empty(t, own.Rewritten, "its own entry")
	said := jobbook.ChangeOf("fixture:1", "d17", "phone2", before, plate(named, thinner, hole))
	assert.NotEmpty(t, said.Rewritten, "a name proves nothing: any device can take it")
}

func TestChangeOfTellsDeletion(t *testing.T) {
	gone := `,"gone":[{"id":"phone2-7","v":true}]`
	back := `,"gone":[{"id":"phone2-7","v":true},{"id":"mill-1-9","v":null,"over":["phone2-7"]}]`
	for _, c := range []struct {
		before, after []byte
		want          string
	}{
		{plate(named, thick, ""), plate(named, thick, gone), "deleted"},
		{plate(named, thick, gone), plate(named, thick, gone), ""},
		{plate(named, thick, gone), plate(named, thick, back), "restored"},
		{plate(named, thick, ""), nil, "removed"},
		{plate(named, thick, gone), nil, "removed"},
	} {
		got := jobbook.ChangeOf("fixture:1", "d17", "x", c.before, c.after)
		assert.Equal(t, c.want, got.What)
		assert.Empty(t, got.Rewritten)
		assert.Equal(t, "Fixture 'big angle plate'", got.Title)
	}
	none := jobbook.ChangeOf("x", "d", "x", []byte(`{`), nil)
	assert.Equal(t, jobbook.Change{}, none, "what cannot be read has no history")
}

func TestManyRewrittenEntriesAreCounted(t *testing.T) {
	var b strings.Builder
	for i := range 50 {
		fmt.Fprintf(&b, `,"holes#%04d-mill":[{"id":"mill-%d","v":{"name":"A"}}]`, i, 1+i)
	}
	got := jobbook.ChangeOf("fixture:1", "d", "Phone", plate(named, thick, b.String()), plate(named, thick, ""))
	assert.Len(t, got.Rewritten, 21)
	assert.Equal(t, "And 30 more entries of this record were changed or taken out by Phone.", got.Rewritten[20])
}

// An honest merge is the union of the entries of all its copies: none of them is rewritten in it,
// whichever of them it is made from, and however odd they are.
func TestMergesRewriteNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		copies := rapid.SliceOfN(rapid.Custom(copyOf), 1, 4).Draw(t, "copies")
		out := []byte(merge(t, copies...))
		for _, one := range copies {
			if got := jobbook.ChangeOf("fixture:1", "d", "x", one, out); len(got.Rewritten) > 0 {
				t.Fatalf("%s\n%s\n%s", one, out, got.Rewritten)
			}
		}
	})
}

// Whichever one entry is changed or taken out, that one is told and no other.
func TestEachRewrittenEntryIsTold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "entries")
		at := rapid.IntRange(0, n-1).Draw(t, "which")
		change := rapid.Bool().Draw(t, "change")
		text := func(rewrite bool) []byte {
			var list []string
			for i := range n {
				v := "1"
				switch {
				case i != at || !rewrite:
				case change:
					v = "2"
				default:
					continue
				}
				list = append(list, fmt.Sprintf(`{"id":"mill-%d","by":"e%d","v":%q}`, i, i, v))
			}
			return plate(strings.Join(list, ","), thick, "")
		}
		got := jobbook.ChangeOf("fixture:1", "d", "x", text(false), text(true)).Rewritten
		word := map[bool]string{true: "changed", false: "taken out"}[change]
		want := []string{fmt.Sprintf("The entry by e%d in Fixture was %s by x.", at, word)}
		if !slices.Equal(got, want) {
			t.Fatalf("%q", got)
		}
	})
}

func FuzzChangeOf(f *testing.F) {
	f.Add(plate(named, thick, hole), plate(renamed, "", ""))
	f.Add([]byte(`{"f":3}`), []byte(`{"f":{"a":[1]}}`))
	f.Add([]byte(`{"f":{"":[{"id":"-1","v":1,"at":"2026-99-99"}]}}`), []byte(`{}`))
	f.Fuzz(func(t *testing.T, before, after []byte) {
		jobbook.ChangeOf("fixture:1", "d", "x", before, after)
		if got := jobbook.ChangeOf("fixture:1", "d", "x", before, before); len(before) > 0 && len(got.Rewritten) > 0 {
			t.Fatalf("%s rewrites itself: %s", before, got.Rewritten)
		}
	})
}

// BenchmarkChangeOf: a reading-sized record that gets one entry more.
func BenchmarkChangeOf(b *testing.B) {
	before, after := plate(named, thick, hole), plate(named, thick, hole+`,"notes":[{"id":"phone9-2","v":"x"}]`)
	for b.Loop() {
		jobbook.ChangeOf("fixture:1", "d", "x", before, after)
	}
}
