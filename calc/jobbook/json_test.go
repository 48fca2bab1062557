package jobbook

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// FuzzJSON: what encoding/json takes, the reader takes and gives back equal;
// what it refuses, the reader refuses, but for members that stand twice and
// nesting beyond the limit.
func FuzzJSON(f *testing.F) {
	for _, s := range []string{`{"a":[1,-0.5e+3,"\u00e9\ud83d\ude00\n",null,true,{}]}`, `"\ud800x"`, `[1,]`, `01`, `{"a":1,"a":2}`, "\"\x00\"", `"` + "\xff" + `"`,
		strings.Repeat("[", 120), `{"f":{"x":[{"id":"a-1","v":1.50,"over":["b-1"]}]}}`, ` 1 `, `1e400`, `"\ud83d\u0041"`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		n, problem := parse(b)
		if problem != "" {
			if json.Valid(b) && !strings.Contains(problem, "twice") && !strings.Contains(problem, "too deep") {
				t.Fatalf("refused %q: %s", b, problem)
			}
			return
		}
		if !json.Valid(b) {
			t.Fatalf("took %q", b)
		}
		again := appendNode(nil, n)
		require.Equal(t, decoded(t, b), decoded(t, again))
		back, problem := parse(again)
		require.Empty(t, problem)
		require.Equal(t, string(again), string(appendNode(nil, back)), "one form")
		once := appendNode(nil, sorted(n))
		require.Equal(t, string(once), string(appendNode(nil, sorted(sorted(n)))))
		if d, problem := toDocument(n); problem == "" { // whatever it is, reading and merging it ends and is stable
			m1, f1 := merged([]*document{d, d})
			if f1 == nil {
				one := m1.node(false).json()
				d2, problem := readDocument([]byte(one))
				if problem != "" {
					require.Contains(t, problem, "too deep")
					return
				}
				require.Equal(t, one, d2.node(false).json())
				d2.check()
				d2.view()
				d2.history()
				NewIndex().add(d2)
			}
		}
	})
}

// decoded reads and writes with encoding/json: members sorted, numbers by their
// digits.
func decoded(t *testing.T, b []byte) string {
	d := json.NewDecoder(strings.NewReader(string(b)))
	d.UseNumber()
	var v any
	require.NoError(t, d.Decode(&v))
	out, err := json.Marshal(v)
	require.NoError(t, err)
	return string(out)
}

// TestNumbersAsSent: a document passes through reading and writing with every
// number and every unknown member as it was sent.
func TestNumbersAsSent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		digits := rapid.StringMatching(`-?(0|[1-9][0-9]{0,30})(\.[0-9]{1,30})?([eE][+-]?[0-9]{1,3})?`).Draw(t, "number")
		key := rapid.StringMatching(`[g-z][a-z#]{0,8}`).Draw(t, "member")
		if key == "type" || key == "v" || key == "odd" {
			key = "x"
		}
		in := `{"_id":"note:1","` + key + `":{"deep":[` + digits + `]},"f":{"text":[{"id":"a-1","mood":` + digits + `,"v":` + digits + `}]},"type":"note","v":1}`
		d, problem := readDocument([]byte(in))
		require.Empty(t, problem)
		out := d.node(true).json()
		assert.Contains(t, out, `"`+key+`":{"deep":[`+digits+`]}`)
		assert.Contains(t, out, `"mood":`+digits+`,"v":`+digits+`}`)
		back, problem := readDocument([]byte(out))
		require.Empty(t, problem)
		require.Equal(t, out, back.node(true).json())
	})
}

// TestDates holds the calendar against the standard library's.
func TestDates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y, m, d := rapid.Int64Range(1, 9999).Draw(t, "y"), rapid.Int64Range(1, 12).Draw(t, "m"), rapid.Int64Range(1, 31).Draw(t, "d")
		s := pad(int(y), 4) + "-" + pad(int(m), 2) + "-" + pad(int(d), 2)
		at, err := time.Parse("2006-01-02", s)
		sec, ok := readDate(s)
		require.Equal(t, err == nil, ok, s)
		if ok {
			require.Equal(t, at.Unix(), sec, s)
		}
		clock := s + rapid.SampledFrom([]string{"T14:05:09Z", "T00:00:00+05:30", "T23:59:59.123-08:00"}).Draw(t, "clock")
		at, err = time.Parse("2006-01-02T15:04:05Z07:00", clock)
		sec, ok = readDate(clock)
		require.Equal(t, err == nil, ok, clock)
		if ok {
			require.Equal(t, at.Unix(), sec, clock)
		}
	})
	for _, bad := range []string{"", "2026", "2026-13-01", "2026-1-1", "2026-03-09T", "2026-03-09T24:00Z", "2026-03-09T10:00+1:00", "9 March 2026", "2026-03-09T10:61"} {
		_, ok := readDate(bad)
		assert.False(t, ok, bad)
	}
}

// TestOrder holds the one sort against the law of sorting: it is stable, in
// order and loses nothing.
func TestOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOf(rapid.IntRange(0, 5)).Draw(t, "list")
		order := arrange(len(list), func(a, b int) int { return list[a] - list[b] })
		seen := make([]bool, len(list))
		for i, at := range order {
			require.False(t, seen[at])
			seen[at] = true
			if i > 0 {
				before := order[i-1]
				require.True(t, list[before] < list[at] || list[before] == list[at] && before < at)
			}
		}
		require.Len(t, order, len(list))
	})
}

// TestPure: the package is part of calc.wasm, so its imports are limited.
func TestPure(t *testing.T) {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, line := range strings.Split(string(b), "\n") {
			line = strings.TrimPrefix(strings.TrimSpace(line), "import ")
			if !strings.HasPrefix(line, `"`) || strings.Contains(line, ":") || strings.HasSuffix(line, ",") {
				continue
			}
			name, err := strconv.Unquote(line)
			if err != nil {
				continue
			}
			switch name {
			case "math", "math/bits", "slices", "strconv", "strings", "unicode/utf8", "datumbook/calc/field", "datumbook/calc/units",
				"datumbook/calc/shoptext", "datumbook/calc/shape", "datumbook/calc/thread":
			default:
				t.Errorf("%s: this package is pure and light on the phone", name)
			}
		}
	}
}
