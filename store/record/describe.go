package record

// Describe gives all kinds with their fields as JSON: what forms, tables and
// the reference page are made from.
//
//	{"version":1,"kinds":[{"key","label","plural","help","title":[...],"detail":[...],"fields":[
//	 {"key","label","type","help","example","required","min","max","bare":{"in","mm"},"options":[{"key","label"}],
//	  "columns":[field],"of":[kind],"most","section"}]}]}
func Describe() []byte {
	n := describe()
	return appendNode(nil, &n)
}

func describe() node {
	kinds := node{kind: array}
	for i := range Kinds {
		k := &Kinds[i]
		var one node
		one.put("key", str(k.Key))
		one.put("label", str(k.Label))
		one.put("plural", str(k.Plural))
		one.put("help", str(k.Help))
		one.put("title", strs(k.Title))
		one.put("detail", strs(k.Detail))
		fields := describeFields(k.Fields)
		fields.list = append(fields.list, describeField(&goneField))
		one.put("fields", fields)
		kinds.list = append(kinds.list, one)
	}
	var out node
	out.put("version", whole(version))
	out.put("kinds", kinds)
	return out
}

func describeFields(fields []Field) node {
	out := node{kind: array}
	for i := range fields {
		out.list = append(out.list, describeField(&fields[i]))
	}
	return out
}

func describeField(f *Field) node {
	var one node
	one.put("key", str(f.Key))
	one.put("label", str(f.Label))
	one.put("type", str(string(f.Type)))
	one.putText("help", f.Help)
	one.putText("example", f.Example)
	if f.Required {
		one.put("required", flag(true))
	}
	one.putText("min", f.Min)
	one.putText("max", f.Max)
	if dim, ok := f.Type.dim(); ok && dim != 0 {
		var bare node
		bare.put("in", str(f.bare(system("in")).Name))
		bare.put("mm", str(f.bare(system("mm")).Name))
		one.put("bare", bare)
	}
	if len(f.Options) > 0 {
		list := node{kind: array}
		for _, o := range f.Options {
			var opt node
			opt.put("key", str(o.Key))
			opt.put("label", str(o.Label))
			list.list = append(list.list, opt)
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
