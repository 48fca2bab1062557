package server

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"datumbook/server/web"
	"datumbook/store"
)

// Trail is the store's audit trail; *store.Store is one.
type Trail interface {
	// EachEvent gives the entries before a number, or all for 0, newest first, until fn says no.
	EachEvent(before uint64, fn func(store.Event) bool) error
}

// TrailKinds are the kinds of entry that can be asked for.
var TrailKinds = []string{"pairing", "revocation", "restore", "deletion", "rewrite", "repair", "review"}

// trailKinds sorts what the store and pairing note; anything else is "other".
var trailKinds = map[string]string{
	"code shown": "pairing", "paired": "pairing", "pair": "pairing", "wrong code": "pairing",
	"pairing locked": "pairing", "renamed": "pairing", "revoked": "revocation", "restore": "restore",
	"deleted": "deletion", "restored": "deletion", "removed": "deletion", "rewritten": "rewrite",
	"heal": "repair", "repair": "repair", "damage": "repair", "looked at": "review",
}

// TrailLine is an entry of the trail as people read it.
type TrailLine struct {
	Number string    `json:"number"` // for asking for those before it
	At     time.Time `json:"at"`
	Kind   string    `json:"kind"`
	Says   string    `json:"says"`
	Device string    `json:"device,omitempty"`
	Record string    `json:"record,omitempty"`
}

// TrailQuery asks for entries.
type TrailQuery struct {
	Kind, Device string // empty: all
	Before       uint64
	Limit        int
}

// ReadTrail gives the entries that a query asks for, newest first, and whether there are more.
func ReadTrail(from Trail, q TrailQuery) (lines []TrailLine, more bool, err error) {
	lines = []TrailLine{}
	err = from.EachEvent(q.Before, func(e store.Event) bool {
		line := lineOf(e)
		if q.Kind != "" && line.Kind != q.Kind || q.Device != "" && line.Device != q.Device {
			return true
		}
		if more = len(lines) == q.Limit; !more {
			lines = append(lines, line)
		}
		return !more
	})
	return lines, more, err
}

func lineOf(e store.Event) TrailLine {
	if rest, ok := strings.CutPrefix(e.Detail, "device "); ok && e.Device == "" {
		e.Device, e.Detail, _ = strings.Cut(rest, " ") // as it was noted before devices had a place of their own
	}
	l := TrailLine{Number: strconv.FormatUint(e.Number, 10), At: e.At, Kind: trailKinds[e.What],
		Device: e.Device, Record: e.Record}
	if l.Kind == "" {
		l.Kind = "other"
	}
	who, what := e.Who, e.Detail
	switch who {
	case "":
		who = "somebody unnamed"
	case "office":
		who = "the office machine"
	}
	if what == "" {
		what = e.Record + e.Device
	}
	if what == "" {
		what = "nothing more is noted"
	}
	switch e.What {
	case "code shown":
		l.Says = "A code " + what + " was shown by " + who
	case "paired", "pair":
		name, role := what, ""
		if at := strings.LastIndex(what, " as "); at >= 0 {
			name, role = what[:at], " as "+what[at+4:]
		}
		l.Says = "“" + name + "” was let in" + role + ", from " + who
	case "wrong code":
		l.Says = "A wrong code was tried from " + who
	case "pairing locked":
		l.Says = "Pairing was locked: " + what + "; the last one came from " + who
	case "renamed":
		l.Says = "A device was renamed: " + what + ", by " + who
	case "revoked":
		l.Says = "“" + what + "” was shut out by " + who
	case "restore":
		l.Says = "The records were put back " + what + ", by the " + strings.TrimPrefix(who, "the ")
	case "deleted":
		l.Says = what + " was marked as deleted by " + who
	case "restored":
		l.Says = what + " was brought back by " + who
	case "removed":
		l.Says = what + " was removed for good by " + who
	case "rewritten":
		l.Says = what
	case "looked at":
		l.Says = who + " looked at the list: " + what
	case "repair":
		l.Says = what
		if e.Device != "" {
			l.Says += ", by " + who
		}
	case "heal", "damage":
		l.Says = what
	default:
		l.Says = e.What + ": " + what + ", by " + who
	}
	if c := l.Says[0]; 'a' <= c && c <= 'z' {
		l.Says = string(c-'a'+'A') + l.Says[1:]
	}
	if !strings.HasSuffix(l.Says, ".") {
		l.Says += "."
	}
	return l
}

// trailMost is the most entries in one answer.
const trailMost = 500

// audit answers with the trail, newest first.
func (s *Server) audit(w http.ResponseWriter, r *http.Request) error {
	values := r.URL.Query()
	q := TrailQuery{Kind: values.Get("kind"), Device: values.Get("device"), Limit: 50}
	if q.Kind != "" && !slices.Contains(TrailKinds, q.Kind) {
		return web.BadRequest("kind", "there is no such kind: use "+strings.Join(TrailKinds, ", "))
	}
	var err error
	if text := values.Get("limit"); text != "" {
		if q.Limit, err = strconv.Atoi(text); err != nil || q.Limit < 1 || q.Limit > trailMost {
			return web.BadRequest("limit", "the limit is a whole number from 1 to "+strconv.Itoa(trailMost))
		}
	}
	if text := values.Get("before"); text != "" {
		if q.Before, err = strconv.ParseUint(text, 10, 64); err != nil || q.Before == 0 {
			return web.BadRequest("before", "give the number of an entry, as the list does")
		}
	}
	lines, more, err := ReadTrail(s.Trail, q)
	if err != nil {
		return err
	}
	return web.JSON(w, http.StatusOK, struct {
		Events []TrailLine `json:"events"`
		More   bool        `json:"more"`
	}{lines, more})
}
