package jobbook_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/calc/jobbook"
	"datumbook/calc/jobbook/demo"
)

// recordSet is a store of records as on a phone or at an office: the newest of each, by id.
type recordSet map[string]obj

func (s recordSet) whole(ids []any) []any {
	out := []any{}
	for _, id := range ids {
		if d, ok := s[id.(string)]; ok {
			out = append(out, d)
		}
	}
	return out
}

func (s recordSet) all() []any {
	out := []any{}
	for _, d := range s {
		out = append(out, d)
	}
	return out
}

// read imports a file as the phone does, in pieces of so many letters, and returns the last answer.
func (s recordSet) read(t require.TestingT, text string, piece int) obj {
	d := &jobbook.Session{}
	callOn(t, d, "open", obj{"bytes": len(text)})
	for some := range slices.Chunk([]rune(text), piece) { // whole letters, as the phone passes them
		require.Empty(t, callOn(t, d, "feed", obj{"text": string(some)}))
	}
	out := callOn(t, d, "take", obj{})
	for ids, ok := out["ids"].([]any); ok && len(ids) > 0; ids, ok = out["ids"].([]any) {
		out = callOn(t, d, "take", obj{"mine": s.whole(ids)})
		require.NotContains(t, out, "error")
		for _, doc := range out["put"].([]any) {
			s[doc.(obj)["_id"].(string)] = doc.(obj)
		}
	}
	return out
}

// write makes a file as the phone does.
func (s recordSet) write(t require.TestingT, job string) (text, name string) {
	d := &jobbook.Session{}
	out := callOn(t, d, "export", obj{"docs": s.all(), "book": "shop", "made": "2026-03-10T14:05:06.789Z", "job": job})
	name = out["name"].(string)
	for first := true; first || len(out["ids"].([]any)) > 0; first = false {
		out = callOn(t, d, "write", obj{"docs": s.whole(out["ids"].([]any))})
		text += out["text"].(string)
	}
	assert.Equal(t, out["all"], out["done"])
	return text, name
}

func setOf(docs ...obj) recordSet {
	out := recordSet{}
	for _, d := range docs {
		out[d["_id"].(string)] = d
	}
	return out
}

func counts(out obj) []any { return []any{out["added"], out["changed"], out["same"]} }

func TestExportImport(t *testing.T) {
	shop := setOf(world(t)...)
	for i := range 120 { // more than one slice
		note := made(t, "note", fmt.Sprintf("%03d", i), obj{"text": "a note"})
		shop[note["_id"].(string)] = note
	}
	n := float64(len(shop))
	text, name := shop.write(t, "")
	assert.Equal(t, "datumbook-shop-2026-03-101405.json", name)
	var file struct {
		Datumbook        int
		Form, Book, Made string
		Docs             []obj
	}
	require.NoError(t, json.Unmarshal([]byte(text), &file))
	assert.Equal(t, 1, file.Datumbook)
	assert.Equal(t, "records", file.Form)
	assert.Equal(t, "shop", file.Book)
	assert.Len(t, file.Docs, len(shop))

	other := recordSet{}
	assert.Equal(t, []any{n, 0.0, 0.0}, counts(other.read(t, text, 7)))
	assert.Equal(t, []any{0.0, 0.0, n}, counts(other.read(t, text, len(text))), "a second time changes nothing")
	again, _ := other.write(t, "")
	lines := func(file string) []string { return strings.Split(strings.ReplaceAll(file, ",\n", "\n"), "\n") }
	assert.ElementsMatch(t, lines(text), lines(again))

	text, name = shop.write(t, "job:j")
	assert.Equal(t, "datumbook-job-2026-03-101405.json", name, "named for the job")
	one := recordSet{}
	assert.Equal(t, []any{12.0, 0.0, 0.0}, counts(one.read(t, text, 100)))
	assert.NotContains(t, one, "note:001")
	text, _ = recordSet{}.write(t, "")
	assert.Equal(t, []any{0.0, 0.0, 0.0}, counts(one.read(t, text, 100)), "an empty book is a whole file")

	mine := edited(t, shop["fixture:f"], "a", "2026-03-10T08:00:00Z", obj{"thick": "1.7"})
	mine["_rev"] = "2-abc"
	theirs := edited(t, shop["fixture:f"], "b", "2026-03-11T08:00:00Z", obj{"thick": "1.8", "tag": "AP"})
	theirs["_rev"] = "9-zzz"
	here := setOf(mine)
	bare := obj{"_id": "photo:1", "type": "photo", "_attachments": obj{"image": obj{"stub": true}}}
	out := here.read(t, fileOf(t, theirs, obj{"no": "record"}, bare, obj{"_id": "x:1"}), 100)
	assert.Equal(t, "2-abc", here["fixture:f"]["_rev"], "written over the revision that is here")
	assert.Equal(t, []any{obj{"id": "fixture:f", "fields": []any{"thick"}}}, out["clashes"], "nothing is overwritten")
	assert.Equal(t, "AP", view(t, here["fixture:f"])["values"].(obj)["tag"])
	require.Len(t, out["refused"], 3)
	assert.Equal(t, obj{"field": "", "message": "This is not a record; it was left out."}, out["refused"].([]any)[0])
	assert.Contains(t, out["refused"].([]any)[1].(obj)["message"], "'image' of this record is not in the export")
	assert.Equal(t, "x:1", out["refused"].([]any)[2].(obj)["field"])
}

// fileOf is a file with these records, and with further members where newer programs put them.
func fileOf(t require.TestingT, docs ...obj) string {
	text, err := json.Marshal(obj{"datumbook": 1, "form": "records", "zeal": obj{"docs": []any{1}}, "docs": docs})
	require.NoError(t, err)
	return string(text)
}

// pixels is a picture as stores return it.
var pixels = obj{"image": obj{"content_type": "image/png", "revpos": 2, "digest": "md5-x", "data": "AAEC"}}

// TestPictures: a picture is exported with its record, without store metadata; one only named in
// the file is the stored one.
func TestPictures(t *testing.T) {
	photo := made(t, "photo", "1", obj{"name": "plate", "image": "image"})
	photo["_attachments"] = pixels
	shop := setOf(photo)
	text, _ := shop.write(t, "")
	assert.Contains(t, text, `"_attachments":{"image":{"content_type":"image/png","data":"AAEC"}}`)
	other := recordSet{}
	assert.Equal(t, []any{1.0, 0.0, 0.0}, counts(other.read(t, text, 50)))
	assert.Equal(t, []any{0.0, 0.0, 1.0}, counts(shop.read(t, text, 50)), "the same, whatever the store adds to it")
	bare := edited(t, photo, "b", "2026-03-11T08:00:00Z", obj{"name": "the plate"})
	bare["_attachments"] = obj{"image": obj{"content_type": "image/png", "stub": true}}
	assert.Equal(t, []any{0.0, 1.0, 0.0}, counts(other.read(t, fileOf(t, bare), 50)))
	assert.Equal(t, "AAEC", other["photo:1"]["_attachments"].(obj)["image"].(obj)["data"])
	bare["_attachments"] = obj{"image": obj{"content_type": "image/png", "data": "AAED"}}
	out := other.read(t, fileOf(t, bare), 50)
	assert.Contains(t, out["refused"].([]any)[0].(obj)["message"], "Two different files")
}

// TestOlderFile: the file of revisions that was written before is read, each record once, and
// nothing in it is lost.
func TestOlderFile(t *testing.T) {
	rev := func(doc obj, rev string, more obj) obj {
		out := obj{"_rev": rev, "_revisions": obj{"start": 2, "ids": []any{rev[2:], "a"}}, "by": "p1", "changed": "2026"}
		for _, from := range []obj{doc, more} {
			for key, v := range from {
				out[key] = v
			}
		}
		return out
	}
	first := made(t, "note", "1", obj{"text": "one"})
	a := edited(t, first, "a", "2026-03-10T08:00:00Z", obj{"text": "two"})
	b := edited(t, first, "b", "2026-03-11T08:00:00Z", obj{"text": "three"})
	dead := made(t, "note", "2", obj{"text": "typed, then removed with its text"})
	flat := obj{"_id": "kept:20260309T080000123Z-a1-x", "type": "kept", "job": "pump", "worksheet": "hole",
		"unit": "in", "inputs": obj{"thread": "5/8-11"}, "answer": obj{"worksheet": "hole"}, "note": "", "measured": "",
		"device": "a1", "created": "2026-03-09T08:00:00Z"}
	mark := func(id string) obj {
		return rev(obj{"_id": id, "_deleted": true, "type": "note"}, "3-d", nil)
	}
	picture := obj{"_attachments": pixels}
	docs := []any{rev(a, "2-a", nil), mark("note:1"), rev(flat, "1-f", nil), rev(dead, "2-x", obj{"_deleted": true}),
		mark("note:3"), rev(b, "2-b", picture), mark("_design/x"), nil}
	text, err := json.Marshal(obj{"datumbook": 1, "book": "shop", "made": "2026-03-12T08:00:00Z", "docs": docs})
	require.NoError(t, err)
	here := recordSet{}
	out := here.read(t, string(text), 64)
	assert.Equal(t, []any{3.0, 0.0, 0.0}, counts(out))
	assert.Equal(t, []any{obj{"id": "note:1", "fields": []any{"text"}}}, out["clashes"])
	assert.Len(t, out["refused"], 2, "what is no record is named")
	assert.NotContains(t, here, "note:3", "a removal holds nothing")
	assert.Equal(t, "typed, then removed with its text", view(t, here["note:2"])["values"].(obj)["text"])
	assert.Contains(t, here["note:1"]["_attachments"], "image")
	kept := here["kept:20260309T080000123Z-a1-x"]
	assert.NotContains(t, kept, "worksheet", "written in the form of today")
	assert.Equal(t, "pump", view(t, kept)["values"].(obj)["jobname"])
	for _, d := range here {
		for key := range d {
			assert.NotContains(t, []string{"_rev", "_revisions", "_deleted"}, key, "a new record here")
		}
	}
	assert.Equal(t, []any{0.0, 0.0, 3.0}, counts(here.read(t, string(text), 64)), "a second time changes nothing")
	newer, _ := here.write(t, "")
	assert.Equal(t, []any{0.0, 0.0, 3.0}, counts(here.read(t, newer, 64)), "the file of today says the same")

	// A flat one that is here is written in the form of today when it is met.
	old := setOf(flat)
	assert.Equal(t, []any{0.0, 0.0, 1.0}, counts(old.read(t, fileOf(t, flat), 64)))
	assert.Contains(t, old["kept:20260309T080000123Z-a1-x"], "f")
}

// TestNoFile: files of other formats are refused with a message.
func TestNoFile(t *testing.T) {
	whole := fileOf(t, made(t, "note", "1", obj{"text": "x"}))
	_, f := jobbook.OpenFile(whole)
	require.Nil(t, f)
	for name, c := range map[string][2]string{
		"cut short":           {whole[:len(whole)-20], "not whole"},
		"cut within a text":   {whole[:len(whole)/2], "not whole"},
		"something behind it": {whole + "}", "not whole"},
		"empty":               {"", "not whole"},
		"another program's":   {`{"records":[]}`, "not a Datumbook file"},
		"another form":        {`{"datumbook":1,"form":"prices","docs":[]}`, "not a Datumbook file"},
		"no records":          {`{"datumbook":1,"form":"records"}`, "not a Datumbook file"},
		"no list":             {`{"datumbook":1,"form":"records","docs":{}}`, "not a Datumbook file"},
		"no commas":           {`{"datumbook":1,"docs":[{} {}]}`, "not a Datumbook file"},
		"null":                {"null", "not a Datumbook file"},
		"newer":               {`{"datumbook":2,"docs":[]}`, "newer Datumbook"},
	} {
		_, f := jobbook.OpenFile(c[0])
		if assert.NotNil(t, f, name) {
			assert.Contains(t, f.Message, c[1], name)
		}
	}
	d := &jobbook.Session{}
	callOn(t, d, "open", obj{"bytes": 4})
	callOn(t, d, "feed", obj{"text": "null"})
	assert.Contains(t, callOn(t, d, "take", obj{})["error"].(obj)["message"], "not a Datumbook file")
	assert.Contains(t, callOn(t, d, "take", obj{})["error"].(obj)["message"], "no longer open")
}

// TestFilesLoseNothing: after two phones import each other's file, both have the same records.
func TestFilesLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		doc := func() obj {
			var out obj
			require.NoError(t, json.Unmarshal(lossless(copyOf(t)), &out))
			return out
		}
		one, two := doc(), doc()
		a, b := setOf(one), setOf(two)
		fromA, _ := a.write(t, "")
		fromB, _ := b.write(t, "")
		a.read(t, fromB, 64)
		b.read(t, fromA, 64)
		together := func(s recordSet) any { return call(t, "merge", obj{"docs": s.all()})["doc"] }
		require.Equal(t, together(a), together(b))
		require.Equal(t, call(t, "merge", obj{"docs": []any{one, two}})["doc"], together(a))
	})
}

func FuzzOpenFile(f *testing.F) {
	f.Add(string(demo.File[:2000]))
	f.Add(`{"datumbook":1,"form":"records","docs":[{"_id":"a:1","type":"a"},null]}`)
	f.Add(`{"datumbook":1,"docs":[`)
	f.Fuzz(func(t *testing.T, text string) {
		im, fault := jobbook.OpenFile(text)
		if fault != nil {
			return
		}
		require.True(t, json.Valid([]byte(text)))
		for len(im.Next()) > 0 {
			im.Take(nil)
		}
	})
}

// TestInvention: demo records are told apart from what a person added.
func TestInvention(t *testing.T) {
	here := recordSet{}
	require.Equal(t, 89.0, here.read(t, string(demo.File), 1000)["added"])
	plate, mill := "fixture:"+demo.Prefix+"01", "machine:"+demo.Prefix+"01"
	here[plate] = edited(t, here[plate], "bench", "2026-04-01T08:00:00Z", obj{"tag": "F9"})
	here[mill] = edited(t, here[mill], "bench", "2026-04-01T08:00:00Z", obj{"gone": true})
	note := made(t, "note", "1", obj{"text": "mine", "about": plate})
	here[note["_id"].(string)] = note
	free := made(t, "note", "2", obj{"text": "of something else"})
	here[free["_id"].(string)] = free
	out := call(t, "invention", obj{"docs": here.all()})
	assert.Len(t, out["plain"], 88)
	assert.Equal(t, []any{plate}, out["changed"])
	assert.Equal(t, []any{mill}, out["gone"])
	assert.Contains(t, out["plain"], mill, "deleted and else as it came")
	assert.Equal(t, 1.0, out["own"])
	here[plate] = edited(t, here[plate], "bench", "2026-04-01T08:00:00Z", obj{"gone": true})
	out = call(t, "invention", obj{"docs": here.all()})
	assert.Empty(t, out["changed"], "deleted already")
	assert.ElementsMatch(t, []any{plate, mill}, out["gone"])
}

// TestJoin: copies of one record are merged over the winner; if that fails, the winner stays.
func TestJoin(t *testing.T) {
	text := func(d obj, rev string) []byte {
		d["_rev"] = rev
		b, err := json.Marshal(d)
		require.NoError(t, err)
		return b
	}
	first := made(t, "note", "1", obj{"text": "one"})
	a, b := edited(t, first, "a", "", obj{"text": "two"}), edited(t, first, "b", "", obj{"text": "three"})
	d, err := jobbook.Join(text(a, "2-a"), text(b, "2-b"))
	require.NoError(t, err)
	for _, says := range []string{"two", "three", `"_rev":"2-a"`} {
		assert.Contains(t, string(d.JSON()), says)
	}
	d, err = jobbook.Join(text(a, "2-a"), []byte(`{`))
	require.NoError(t, err)
	assert.Equal(t, "two", d.Text("text"))
	_, err = jobbook.Join([]byte(`7`))
	assert.Error(t, err)
}

// TestPages: every page is made for kinds that exist, and reads them.
func TestPages(t *testing.T) {
	for _, p := range jobbook.Pages {
		for _, kind := range p.Kinds {
			k := jobbook.KindOf(kind)
			require.NotNil(t, k, "%s of %s", p.Key, kind)
			assert.True(t, k.OnPaper(), kind)
			assert.Contains(t, k.Pages(), p.Key)
		}
	}
	n := 0
	for i := range jobbook.Kinds {
		if jobbook.Kinds[i].OnPaper() {
			n++
		}
	}
	assert.Equal(t, 14, n)
}
