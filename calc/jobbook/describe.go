package jobbook

import (
	"strconv"

	"datumbook/calc/field"
)

// Describe gives all kinds with their fields as JSON: what forms, tables and the reference page are
// made from.
//
//	{"version":1,"kinds":[{"key","label","plural","help","title":[key],"detail":[key],"pages":[...],"onpaper",
//	 "tables":[{"key","label"}],"fields":[field]}]}
func Describe() []byte {
	w := &field.Writer{}
	w.Open('{')
	w.Key("version")
	w.Put(strconv.AppendInt(w.B, version, 10))
	w.Key("kinds")
	w.Open('[')
	for i := range Kinds {
		k := &Kinds[i]
		w.Open('{')
		w.Text("key", k.Key)
		w.Text("label", k.Label)
		w.Text("plural", k.Plural)
		w.Text("help", k.Help)
		w.Strs("title", k.Title)
		w.Strs("detail", k.Detail)
		w.Strs("pages", k.Pages())
		w.Mark("onpaper", k.OnPaper())
		w.Key("tables")
		w.Open('[')
		for _, key := range k.Tables() {
			label := k.Plural
			if key != "" {
				label = k.Field(key).Label
			}
			w.Open('{')
			w.Text("key", key)
			w.Text("label", label)
			w.End('}')
		}
		w.End(']')
		field.WriteAll(w, "fields", append(k.Fields[:len(k.Fields):len(k.Fields)], goneField))
		w.End('}')
	}
	w.End(']')
	w.End('}')
	return w.B
}
