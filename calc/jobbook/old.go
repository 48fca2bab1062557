package jobbook

import "strconv"

// The first kept results had their fields flat in the document, as the phone app wrote them before
// there was a job book:
//
//	{"_id":"kept:...","type":"kept","job","worksheet","unit","inputs","answer","note","measured","device","created","by","changed"}
//
// They are read as if each filled field were one edit. Its id is made from what it says, so two
// phones that read the same old document make the same edit, and two that read differing copies
// make two, which is a clash and is shown. Written again, the document has the new form; "device"
// and "created" stay beside it.

// oldFields maps a flat member to its field.
var oldFields = [...][2]string{
	{"job", "jobname"}, {"worksheet", "worksheet"}, {"unit", "unit"}, {"inputs", "inputs"},
	{"answer", "answer"}, {"note", "note"}, {"measured", "measured"},
}

func isOld(n *node) bool {
	return n.str("type") == "kept" && n.get("worksheet").kind == text
}

// fromOld converts one flat member to an edit and reports whether it did.
func (d *document) fromOld(n *node, key string, v *node) bool {
	for _, m := range oldFields {
		if m[0] != key {
			continue
		}
		if v.kind == null || v.kind == text && v.text == "" {
			return true // never filled in
		}
		at, by := n.str("changed"), n.str("by")
		if key == "worksheet" || key == "inputs" || key == "answer" || key == "unit" || at == "" {
			at, by = n.str("created"), n.str("device")
		}
		e := newObject()
		e.putText("at", at)
		e.putText("by", by)
		e.putStr("id", "old-"+hash(key+"\x00"+normal(v)))
		if unit := n.str("unit"); unit == "mm" || unit == "in" {
			e.putStr("unit", unit)
		}
		e.put("v", v)
		d.addEdit(m[1], toEdit(sorted(e)))
		return true
	}
	return false
}

// hash is FNV-1a, 64 bits, in hex: enough to tell apart the copies of one
// small document.
func hash(s string) string {
	h := uint64(14695981039346656037)
	for i := range len(s) {
		h = (h ^ uint64(s[i])) * 1099511628211
	}
	t := strconv.FormatUint(h, 16)
	for len(t) < 16 {
		t = "0" + t
	}
	return t
}
