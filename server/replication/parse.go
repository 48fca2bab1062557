package replication

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"strings"
	"unicode/utf8"

	"datumbook/store"
	"datumbook/store/revtree"
)

const (
	maxDoc     = 8 << 20   // one document without attachment contents, as in CouchDB
	maxBatch   = 64 << 20  // all documents of one request, likewise
	maxRequest = 256 << 20 // one request with everything
	keepMemory = 8 << 20   // attachment contents of one request that wait in memory for their documents
)

// incoming is a document as it was sent: the protocol's members taken apart, the others raw.
type incoming struct {
	id      string
	hasID   bool
	rev     string
	deleted bool
	start   uint64
	ids     []string
	atts    []incomingAtt
	body    []byte
	wrong   error // a refusal of this document alone
}

type incomingAtt struct {
	name    string
	Type    string `json:"content_type"`
	RevPos  uint64 `json:"revpos"`
	Digest  string `json:"digest"`
	Length  *int64 `json:"length"`
	Stub    bool   `json:"stub"`
	Follows bool   `json:"follows"`
	Coding  string `json:"encoding"`
	blob    *store.Blob
}

// intake reads documents of one request and remembers the contents it received, to be discarded if unused.
type intake struct {
	s     *store.Store
	blobs []*store.Blob
	kept  int64
	body  int
}

// discard removes received contents that no document took.
func (in *intake) discard() {
	for _, b := range in.blobs {
		b.Discard()
	}
}

// upload starts taking in a content; little contents wait in memory, as long as there are not too many of them.
func (in *intake) upload() *store.Upload {
	if in.kept >= keepMemory {
		return in.s.NewUpload(1)
	}
	return in.s.NewUpload(0)
}

func (in *intake) finish(u *store.Upload) (*store.Blob, error) {
	b, err := u.Finish()
	if err != nil {
		return nil, err
	}
	in.blobs = append(in.blobs, b)
	in.kept += b.Kept()
	return b, nil
}

// copy takes in a content from a reader, unpacking it where it comes packed.
func (in *intake) copy(r io.Reader, coding string) (*store.Blob, error) {
	u := in.upload()
	if strings.EqualFold(coding, "gzip") {
		zip, err := gzip.NewReader(r)
		if err != nil {
			return nil, notJSON("an attachment said to be gzip is not")
		}
		r = io.LimitReader(zip, maxRequest+1)
	}
	if n, err := io.Copy(u, r); err != nil || n > maxRequest {
		u.Abort()
		if err == nil {
			return nil, errTooLarge(maxRequest)
		}
		return nil, err
	}
	return in.finish(u)
}

// doc reads one document. arena, if not nil, is where the body goes; the grown arena is returned.
func (in *intake) doc(s *scan, arena []byte) (incoming, []byte, error) {
	var d incoming
	begin := len(arena)
	s.max = begin + maxDoc
	err := s.members(func(key []byte) error {
		if len(key) < 2 || (key[1] != '_' && key[1] != '\\') {
			return in.member(s, &arena, begin, key)
		}
		name, err := unquote(key)
		if err != nil {
			return err
		}
		if !strings.HasPrefix(name, "_") {
			return in.member(s, &arena, begin, key)
		}
		return in.reserved(s, &d, name)
	})
	if err != nil {
		return d, arena, err
	}
	d.body = arena[begin:len(arena):len(arena)]
	if !utf8.Valid(d.body) {
		return d, arena, errUTF8
	}
	return d, arena, nil
}

// member copies one of the document's own members.
func (in *intake) member(s *scan, arena *[]byte, begin int, key []byte) error {
	if len(*arena) > begin {
		*arena = append(*arena, ',')
	}
	*arena = append(append(*arena, key...), ':')
	before := len(*arena)
	var err error
	if *arena, err = s.value(*arena, 1); err != nil {
		return err
	}
	in.body += len(*arena) - before + len(key)
	if len(*arena)-begin > maxDoc {
		return errTooLarge(maxDoc)
	}
	if in.body > maxBatch {
		return errTooLarge(maxBatch)
	}
	return nil
}

// reserved takes apart one of the protocol's members.
func (in *intake) reserved(s *scan, d *incoming, name string) error {
	switch name {
	case "_id":
		d.hasID = true
		if s.byte() != '"' {
			if err := in.skip(s); err != nil {
				return err
			}
			return notJSON("_id field must contain a string")
		}
		var err error
		d.id, err = s.text()
		return err
	case "_rev":
		if s.byte() == 'n' {
			_, err := s.word(nil, "null")
			return err
		}
		if s.byte() != '"' {
			d.wrong = errBadRev
			return in.skip(s)
		}
		var err error
		d.rev, err = s.text()
		return err
	case "_deleted":
		raw, err := s.value(nil, 1)
		d.deleted = string(raw) == "true"
		if err == nil && !d.deleted && string(raw) != "false" {
			d.wrong = &store.Error{Kind: store.Bad, Says: "_deleted must be true or false"}
		}
		return err
	case "_revisions":
		return in.revisions(s, d)
	case "_attachments":
		if s.byte() == 'n' {
			_, err := s.word(nil, "null")
			return err
		}
		return s.members(func(key []byte) error {
			att, err := unquote(key)
			if err != nil {
				return err
			}
			return in.att(s, d, att)
		})
	case "_conflicts", "_deleted_conflicts", "_revs_info", "_local_seq":
		return in.skip(s) // answers carry them; they mean nothing when sent back
	}
	if d.wrong == nil {
		d.wrong = &store.Error{Kind: store.Invalid, Says: "Bad special document member: " + name}
	}
	return in.skip(s)
}

func (in *intake) skip(s *scan) error {
	_, err := s.value(nil, 1)
	return err
}

// revisions reads {"start": N, "ids": [...]}.
func (in *intake) revisions(s *scan, d *incoming) error {
	bad := &store.Error{Kind: store.Bad, Says: "Invalid _revisions"}
	if s.byte() != '{' {
		d.wrong = bad
		return in.skip(s)
	}
	var raw []byte
	return s.members(func(key []byte) error {
		var err error
		switch {
		case string(key) == `"start"`:
			if raw, err = s.value(raw[:0], 2); err != nil {
				return err
			}
			d.start = 0
			for _, c := range raw {
				if c < '0' || c > '9' || d.start > revtree.MaxPos {
					d.wrong = bad
					return nil
				}
				d.start = d.start*10 + uint64(c-'0')
			}
			return nil
		case string(key) == `"ids"` && s.byte() == '[':
			d.ids = make([]string, 0, 4)
			return s.items(func() error {
				if s.byte() != '"' {
					d.wrong = bad
					return in.skip(s)
				}
				if raw, err = s.string(raw[:0]); err != nil {
					return err
				}
				id, err := unquote(raw)
				d.ids = append(d.ids, id)
				return err
			})
		}
		return in.skip(s)
	})
}

// att reads one attachment; its data, if it comes inside, goes straight to the store.
func (in *intake) att(s *scan, d *incoming, name string) error {
	a := incomingAtt{name: name}
	if s.byte() != '{' {
		d.wrong = &store.Error{Kind: store.Bad, Says: "an attachment must be an object"}
		return in.skip(s)
	}
	meta := []byte{'{'}
	err := s.members(func(key []byte) error {
		if string(key) == `"data"` && s.byte() == '"' {
			u := in.upload()
			if err := s.base64(u); err != nil {
				u.Abort()
				return err
			}
			var err error
			a.blob, err = in.finish(u)
			return err
		}
		if len(meta) > 1 {
			meta = append(meta, ',')
		}
		meta = append(append(meta, key...), ':')
		var err error
		meta, err = s.value(meta, 3)
		if err == nil && len(meta) > 64<<10 {
			err = errTooLarge(64 << 10)
		}
		return err
	})
	if err != nil {
		return err
	}
	if err := decodeJSON(append(meta, '}'), &a); err != nil {
		d.wrong = &store.Error{Kind: store.Bad, Says: "attachment " + name + ": " + err.Error()}
		return nil
	}
	if a.blob == nil && !a.Stub && !a.Follows && (a.Length == nil || *a.Length == 0) {
		a.blob = in.s.NewBlob(nil) // some clients leave out the data of an empty one
	}
	if name == "" || name[0] == '_' {
		d.wrong = &store.Error{Kind: store.Bad, Says: "Attachment name '" + name + "' starts with prohibited character '_'"}
	}
	if a.blob != nil && strings.EqualFold(a.Coding, "gzip") {
		if a.blob, err = in.unpack(a.blob); err != nil {
			return err
		}
	}
	d.atts = append(d.atts, a)
	return nil
}

// unpack replaces a content that was sent packed by what is in it.
func (in *intake) unpack(b *store.Blob) (*store.Blob, error) {
	r, err := b.Open()
	if err != nil {
		return nil, err
	}
	return in.copy(r, "gzip")
}

// store gives the document as the store takes it. push: as a revision made elsewhere.
func (d *incoming) store(push bool) (store.Doc, error) {
	out := store.Doc{ID: d.id, Deleted: d.deleted, Body: d.body}
	if d.wrong != nil {
		return out, d.wrong
	}
	if d.rev != "" {
		rev, err := revtree.ParseRev(d.rev)
		if err != nil {
			return out, errBadRev
		}
		out.Rev = rev
	}
	if push {
		switch {
		case len(d.ids) > 0:
			first := revtree.Rev{Pos: d.start, Hash: d.ids[0]}
			if !out.Rev.IsZero() && out.Rev != first {
				return out, errBadRev
			}
			out.Rev, out.Hashes = first, d.ids
		case out.Rev.IsZero():
			return out, errBadRev
		default:
			out.Hashes = []string{out.Rev.Hash}
		}
	}
	for _, a := range d.atts {
		if d.deleted {
			break
		}
		if a.blob == nil && !a.Stub {
			return out, &store.Error{Kind: store.Bad, Says: "attachment " + a.name + " has neither data nor stub"}
		}
		out.Atts = append(out.Atts, store.Att{Name: a.name, ContentType: a.Type, RevPos: a.RevPos, Stub: a.blob == nil, Blob: a.blob})
	}
	return out, nil
}

var errBadRev = &store.Error{Kind: store.Bad, Says: "Invalid rev format"}

// decodeJSON is for small bodies: it refuses what does not fit and anything that follows.
func decodeJSON(text []byte, v any) error {
	if err := json.Unmarshal(text, v); err != nil {
		return errJSON{"invalid JSON: " + strings.TrimPrefix(err.Error(), "json: ")}
	}
	return nil
}

// readJSON reads a small body.
func readJSON(r io.Reader, limit int64, v any) error {
	text, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err != nil {
		return err
	}
	if int64(len(text)) > limit {
		return errTooLarge(limit)
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return errJSON{"the body is empty; JSON was expected"}
	}
	return decodeJSON(text, v)
}
