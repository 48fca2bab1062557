//go:build before

// Compares this version with the build of an earlier one: `task before` makes that build and names
// it in DATUMBOOK_BEFORE.
package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry"
	"datumbook/calc/worksheet"
	"datumbook/cmd/datumbook/browsertest"
)

// before gives the program of the earlier version.
func before(t *testing.T) string {
	path := os.Getenv("DATUMBOOK_BEFORE")
	require.FileExists(t, path, "run this by task before")
	return path
}

// reply gives the answer of an office to one worksheet.
func reply(t *testing.T, office *browsertest.Office, sheet, unit string, inputs map[string]string) (int, string) {
	text, err := json.Marshal(inputs)
	require.NoError(t, err)
	resp, err := http.Post("http://"+office.Addr+"/api/calc/"+sheet+"?unit="+unit, "application/json", bytes.NewReader(text))
	require.NoError(t, err)
	defer resp.Body.Close()
	answer, err := io.ReadAll(resp.Body)
	require.NoError(t, err)
	return resp.StatusCode, string(answer)
}

// answered is what scripts and kept records rest on: inputs as read, and the units of results.
type answered struct {
	Inputs map[string]struct {
		Value any
		Unit  string
	}
	Results map[string]struct{ Unit string }
}

// known gives the inputs of each worksheet of the earlier version.
func known(t *testing.T) map[string]map[string]bool {
	out, err := exec.Command(before(t), "calc", "--list", "--json").Output()
	require.NoError(t, err)
	var described struct {
		Worksheets []struct {
			Name   string
			Inputs []struct{ Key string }
		}
	}
	require.NoError(t, json.Unmarshal(out, &described))
	keys := map[string]map[string]bool{}
	for _, s := range described.Worksheets {
		keys[s.Name] = map[string]bool{}
		for _, in := range s.Inputs {
			keys[s.Name][in.Key] = true
		}
	}
	return keys
}

// TestAnswersAsBefore asks every worksheet of both versions for its example, for the example
// without each of its inputs, and with each input's and each choice's own example put in. What was
// answered is still answered, what is typed is read as before, and results keep their units; what
// is said of them, what is taken for what is not typed, and what is withheld from a refused answer
// may have been bettered. Inputs that the earlier version does not know are left out.
func TestAnswersAsBefore(t *testing.T) {
	old := browsertest.StartProgram(t, before(t), t.TempDir())
	now := browsertest.StartOffice(t, t.TempDir())
	answers, refusals, fractions := 0, 0, 0
	keys := known(t)
	for _, s := range registry.All() {
		example := map[string]string{}
		for _, p := range s.Example {
			if keys[s.Name][p.Key] {
				example[p.Key] = p.Text
			}
		}
		if s.Name == "hole" {
			example["breakout"] = "1/16 in" // by default it was 1/16 mm where bare numbers are metric
		}
		cases := []map[string]string{example}
		with := func(key, text string) {
			one := map[string]string{}
			for k, v := range example {
				one[k] = v
			}
			if one[key] = text; text == "" {
				delete(one, key)
			}
			cases = append(cases, one)
		}
		for _, in := range s.Inputs {
			if !keys[s.Name][in.Key] {
				continue
			}
			if in.Key != "breakout" {
				with(in.Key, "")
			}
			for _, o := range slices.Concat(in.Options, in.Words) {
				with(in.Key, o.Key)
			}
			if in.Example != "" {
				with(in.Key, in.Example)
			}
			if in.Kind == worksheet.Flag {
				with(in.Key, "yes")
			}
		}
		for _, unit := range []string{"in", "mm"} {
			for _, inputs := range cases {
				status, want := reply(t, old, s.Name, unit, inputs)
				got, text := reply(t, now, s.Name, unit, inputs)
				if unit == "mm" && strings.Contains(text, "is a fraction without a unit") {
					fractions++ // it was taken as millimetres
					continue
				}
				if status != http.StatusOK {
					refusals++ // what was refused may be answered by now, as a lean without its length
					continue
				}
				assert.Equal(t, status, got, "%s %s %v", s.Name, unit, inputs)
				answers++
				var was, is answered
				require.NoError(t, json.Unmarshal([]byte(want), &was))
				require.NoError(t, json.Unmarshal([]byte(text), &is))
				for key := range inputs {
					read := was.Inputs[key]
					assert.Equal(t, read, is.Inputs[key], "%s %s %v: %s", s.Name, unit, inputs, key)
				}
				for key, r := range is.Results {
					if old, ok := was.Results[key]; ok {
						assert.Equal(t, old, r, "%s %s %v: %s", s.Name, unit, inputs, key)
					}
				}
			}
		}
	}
	t.Logf("%d answers, %d refusals, %d fractions asked about where bare numbers are metric", answers, refusals, fractions)
	assert.Greater(t, answers, 1000)
}

// newRecord is a record with a field and a member that the earlier version does not know.
const newRecord = `{"_id":"fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0G","type":"fixture","v":1,"later":{"kept":true},"f":{
	"name":[{"id":"bench-1","at":"2026-11-29T10:00:00Z","v":"Plate of a later version"}],
	"kind":[{"id":"bench-2","v":"angle"}],
	"wide":[{"id":"bench-3","unit":"mm","v":"100+5"}],
	"notyet":[{"id":"bench-4","v":["of a later version",1.5]}]}}`

// docsOf reads an export file: records by id, without what each store adds.
func docsOf(t *testing.T, file string) map[string]any {
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	var in struct{ Docs []map[string]any }
	require.NoError(t, json.Unmarshal(text, &in))
	docs := map[string]any{}
	for _, d := range in.Docs {
		delete(d, "_rev")
		docs[d["_id"].(string)] = d
	}
	return docs
}

// TestOfficeBefore exports records of this version to an office of the earlier one and back, and
// opens a store of the earlier version with this one. Nothing is lost.
func TestOfficeBefore(t *testing.T) {
	dir, old, now := t.TempDir(), before(t), browsertest.Program(t)
	at := func(name string) string { return filepath.Join(dir, name) }
	office := browsertest.StartOffice(t, at("a")) // makes the store
	office.Kill()
	runs(t, now, "demo", "--data", at("a"))
	require.NoError(t, os.WriteFile(at("new.json"), []byte(`{"datumbook":1,"form":"records","docs":[`+newRecord+`]}`), 0o600))
	runs(t, now, "import", at("new.json"), "--data", at("a"))
	runs(t, now, "export", at("a.json"), "--data", at("a"))

	office = browsertest.StartProgram(t, old, at("b"))
	office.Kill()
	runs(t, old, "import", at("a.json"), "--data", at("b"))
	runs(t, old, "export", at("b.json"), "--data", at("b"))
	want := docsOf(t, at("a.json"))
	require.Greater(t, len(want), 80)
	assert.Equal(t, want, docsOf(t, at("b.json")), "through an office of the version before")

	// The same folder, opened by this version and once more by the earlier one.
	runs(t, now, "export", at("c.json"), "--data", at("b"))
	assert.Equal(t, want, docsOf(t, at("c.json")), "a store of the version before, opened by this one")
	// A raised format is refused in words, and the file stays as it is.
	out, err := exec.Command(old, "export", at("d.json"), "--data", at("b")).CombinedOutput()
	if err != nil {
		assert.Contains(t, string(out), "use a newer Datumbook")
		runs(t, now, "export", at("d.json"), "--data", at("b"))
	}
	assert.Equal(t, want, docsOf(t, at("d.json")), "and opened again by the version before, or refused by it")
}

// TestPhoneBefore lets a phone with the app of the earlier version work with an office of this one.
func TestPhoneBefore(t *testing.T) {
	data, gate := t.TempDir(), browsertest.NewGate(t)
	office := browsertest.StartProgram(t, before(t), data)
	gate.To(office.Addr)
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	phone.Go(gate.URL() + "/")
	phone.Wait("the late parts are stored", `document.documentElement.dataset.stored === "all"`)
	phone.AtOffice()
	// The office is this version from here on; the phone keeps its app until the newer one is
	// activated.
	office.Kill()
	office = browsertest.StartOffice(t, data)
	gate.To(office.Addr)

	file := filepath.Join(t.TempDir(), "new.json")
	require.NoError(t, os.WriteFile(file, []byte(`{"datumbook":1,"form":"records","docs":[`+newRecord+`]}`), 0o600))
	runs(t, browsertest.Program(t), "import", file, "--data", data)
	const page = "#/record/fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0G"
	phone.Go(gate.URL() + "/#/edit/" + strings.TrimPrefix(page, "#/record/"))
	phone.Wait("the record is there", `[...document.querySelectorAll("form input")].some((x) => x.value === "Plate of a later version")`)
	browsertest.Eval[bool](phone, `(() => {
		const name = [...document.querySelectorAll("form input")].find((x) => x.value === "Plate of a later version");
		name.value = "Plate renamed on the phone";
		name.dispatchEvent(new Event("input", { bubbles: true }));
		return true;
	})()`)
	phone.Tap(`form button[type=submit]`)
	ask := func() map[string]any {
		resp, err := http.Get("http://" + office.Addr + "/sync/shop/fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0G")
		if err != nil {
			return nil
		}
		defer resp.Body.Close()
		var doc map[string]any
		if json.NewDecoder(resp.Body).Decode(&doc) != nil {
			return nil
		}
		return doc
	}
	require.Eventually(t, func() bool {
		f, _ := ask()["f"].(map[string]any)
		edits, _ := f["name"].([]any)
		return len(edits) == 2
	}, time.Minute, 100*time.Millisecond, "the phone's edit comes to the office")
	var was map[string]any
	require.NoError(t, json.Unmarshal([]byte(newRecord), &was))
	doc := ask()
	assert.Equal(t, was["later"], doc["later"], "a member that the phone does not know")
	for _, field := range []string{"kind", "wide", "notyet"} {
		assert.Equal(t, was["f"].(map[string]any)[field], doc["f"].(map[string]any)[field])
	}
}
