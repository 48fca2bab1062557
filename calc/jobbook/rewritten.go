package jobbook

import (
	"strconv"
	"strings"
)

// Change is what a sent revision did to the record it was made from, beyond adding to it.
type Change struct {
	// Rewritten names, in plain sentences, the entries of others that it lacks or has otherwise.
	// Entries are history and never change, and a merge is their union: no app of ours does this.
	Rewritten []string
	What      string // "deleted", "restored", "removed" for good, or nothing
	Title     string // what kind of record, and which
}

// mostRewritten bounds the sentences about one revision.
const mostRewritten = 20

// ChangeOf compares a stored record with the revision that someone made from it; after is empty for
// a removal. by is the sender's id and name at the office. Entries whose device is that id are the
// sender's own. A device also has a name that it gave itself, which stands in its entries; it is
// not relied on, since any device can say it is called so.
func ChangeOf(id, by, name string, before, after []byte) Change {
	was, problem := readDocument(before)
	if problem != "" {
		return Change{}
	}
	if was.id == "" {
		was.id = id
	}
	c := Change{Title: was.called()}
	if len(after) == 0 {
		c.What = "removed"
		return c
	}
	is, problem := readDocument(after)
	if problem != "" {
		c.Rewritten = []string{name + " sent a copy of this record that cannot be read, over what was written before."}
		return c
	}
	switch {
	case is.gone() && !was.gone():
		c.What = "deleted"
	case was.gone() && !is.gone():
		c.What = "restored"
	}
	if !was.old { // the first format had no history: an app of its day wrote over it
		c.Rewritten = was.rewrittenIn(is, by, name)
	}
	return c
}

// called gives kind and title of a record.
func (d *document) called() string {
	k := KindOf(d.kind)
	if k == nil || d.title() == k.Label {
		return d.title()
	}
	return k.Label + " '" + short(d.title()) + "'"
}

func (d *document) rewrittenIn(is *document, by, name string) (out []string) {
	k := KindOf(d.kind)
	more := 0
	for _, f := range d.fields {
		now := is.find(f.key)
		for _, e := range f.edits {
			if e.device() == by || now.has(e) {
				continue
			}
			if len(out) == mostRewritten {
				more++
				continue
			}
			did := "was taken out by "
			if now.hasID(e.id) {
				did = "was changed by "
			}
			out = append(out, e.named()+" in "+nameOf(k.Field(f.key), f.key)+" "+did+name+".")
		}
	}
	if more > 0 {
		out = append(out, "And "+strconv.Itoa(more)+" more entries of this record were changed or taken out by "+name+".")
	}
	return out
}

// has reports whether a field holds an edit that says the same.
func (f *history) has(e *edit) bool {
	if f == nil {
		return false
	}
	for _, other := range f.edits {
		if other.odd == e.odd && other.id == e.id && other.says() == e.says() {
			return true
		}
	}
	return false
}

func (f *history) hasID(id string) bool {
	if f == nil || id == "" {
		return false
	}
	for _, e := range f.edits {
		if e.id == id {
			return true
		}
	}
	return false
}

// device gives the device in an edit's id: all before the last dash.
func (e *edit) device() string {
	at := strings.LastIndexByte(e.id, '-')
	if at < 1 {
		return ""
	}
	return e.id[:at]
}

// named names an edit by who made it and when, as far as it tells.
func (e *edit) named() string {
	out := "The entry"
	who := e.by
	if who == "" {
		who = e.device()
	}
	if who != "" {
		out += " by " + short(who)
	}
	if _, ok := readDate(e.at); ok {
		month, _ := strconv.Atoi(e.at[5:7])
		day, _ := strconv.Atoi(e.at[8:10])
		out += " of " + strconv.Itoa(day) + " " + months[month-1] + " " + e.at[:4]
	}
	return out
}

var months = [...]string{"January", "February", "March", "April", "May", "June", "July", "August", "September",
	"October", "November", "December"}
