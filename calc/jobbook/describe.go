package jobbook

// Describe gives all kinds with their fields as JSON: what forms, tables and
// the reference page are made from.
//
//	{"version":1,"kinds":[{"key","label","plural","help","title":[...],"detail":[...],
//	 "pages":[...],"onpaper","tables":[{"key","label"}],"fields":[
//	 {"key","label","type","help","example","required","min","max","bare":{"in","mm"},"options":[{"key","label"}],
//	  "columns":[field],"of":[kind],"most","section"}]}]}
func Describe() []byte {
	return appendNode(nil, describe())
}

func describe() *node {
	kinds := newArray()
	for i := range Kinds {
		k := &Kinds[i]
		one := newObject()
		one.putStr("key", k.Key)
		one.putStr("label", k.Label)
		one.putStr("plural", k.Plural)
		one.putStr("help", k.Help)
		one.put("title", strs(k.Title))
		one.put("detail", strs(k.Detail))
		one.put("pages", strs(k.Pages())).putYes("onpaper", k.OnPaper())
		tables := newArray()
		for _, key := range k.Tables() {
			label := k.Plural
			if key != "" {
				label = k.Field(key).Label
			}
			tables.add(newObject().putStr("key", key).putStr("label", label))
		}
		one.put("tables", tables)
		fields := describeFields(k.Fields)
		fields.add(describeField(&goneField))
		one.put("fields", fields)
		kinds.add(one)
	}
	out := newObject()
	out.put("version", whole(version))
	out.put("kinds", kinds)
	return out
}

func describeFields(fields []Field) *node {
	out := newArray()
	for i := range fields {
		out.add(describeField(&fields[i]))
	}
	return out
}

func describeField(f *Field) *node {
	one := newObject()
	one.putStr("key", f.Key)
	one.putStr("label", f.Label)
	one.putStr("type", string(f.Type))
	one.putText("help", f.Help)
	one.putText("example", f.Example)
	one.putYes("required", f.Required)
	one.putText("min", f.Min)
	one.putText("max", f.Max)
	if dim, ok := f.Type.dim(); ok && dim != 0 {
		bare := newObject()
		bare.putStr("in", f.bare(system("in")).Name)
		bare.putStr("mm", f.bare(system("mm")).Name)
		one.put("bare", bare)
	}
	if len(f.Options) > 0 {
		list := newArray()
		for _, o := range f.Options {
			opt := newObject()
			opt.putStr("key", o.Key)
			opt.putStr("label", o.Label)
			list.add(opt)
		}
		one.put("options", list)
	}
	if len(f.Columns) > 0 {
		one.put("columns", describeFields(f.Columns))
	}
	if len(f.Of) > 0 {
		one.put("of", strs(f.Of))
	}
	one.put("most", whole(f.most()))
	one.putText("section", f.Section)
	return one
}
