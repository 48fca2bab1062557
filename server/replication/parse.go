package replication

import (
	"compress/gzip"
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
	keepMemory = 8 << 20   // attachment contents of one request held in memory
)

// incoming is a document as sent: the protocol's members decoded, the others raw.
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

// intake reads the documents of one request and tracks received contents, to discard the unused.
type intake struct {
	s     *store.Store
	blobs []*store.Blob
	kept  int64
	body  int
}

// discard removes received contents that no document names.
func (in *intake) discard() {
	for _, b := range in.blobs {
		b.Discard()
	}
}

// upload starts receiving a content; small ones stay in memory, up to a limit in all.
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

// copy receives a content from a reader, decompressing it if needed.
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

// doc reads one document. The body is appended to arena, if not nil, which is returned.
func (in *intake) doc(s *source, arena []byte) (incoming, []byte, error) {
	var d incoming
	begin := len(arena)
	err := s.members(func(name []byte) error {
		if name[1] == '_' || name[1] == '\\' {
			meaning, err := unquote(name)
			if err != nil {
				return err
			}
			if strings.HasPrefix(meaning, "_") {
				return in.reserved(s, &d, meaning)
			}
		}
		// One of the document's own members: copied as sent.
		if len(arena) > begin {
			arena = append(arena, ',')
		}
		arena = append(append(arena, name...), ':')
		before := len(arena)
		var err error
		if arena, err = s.value(arena); err != nil {
			return err
		}
		if in.body += len(arena) - before + len(name); in.body > maxBatch {
			return errTooLarge(maxBatch)
		}
		if len(arena)-begin > maxDoc {
			return errTooLarge(maxDoc)
		}
		return nil
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

// alone reads a document that is the whole body.
func (in *intake) alone(r io.Reader) (incoming, error) {
	s := newSource(r)
	if s.lacks('{') {
		return incoming{}, badRequest("Document must be a JSON object")
	}
	d, _, err := in.doc(s, nil)
	if err == nil {
		err = s.eof()
	}
	return d, err
}

// reserved decodes one of the protocol's members.
func (in *intake) reserved(s *source, d *incoming, name string) (err error) {
	kind := s.kind()
	switch name {
	case "_id":
		d.hasID = true
		if kind == '"' {
			d.id, err = s.text()
			return err
		}
		if err := s.skip(); err != nil {
			return err
		}
		return notJSON("_id field must contain a string")
	case "_rev":
		switch kind {
		case '"':
			d.rev, err = s.text()
			return err
		case 'n':
		default:
			d.wrong = errBadRev
		}
	case "_deleted":
		if d.deleted = kind == 't'; !d.deleted && kind != 'f' {
			d.wrong = bad("_deleted must be true or false")
		}
	case "_revisions":
		return in.revisions(s, d)
	case "_attachments":
		if kind == 'n' {
			return s.skip()
		}
		return s.members(func(name []byte) error {
			att, err := unquote(name)
			if err != nil {
				return err
			}
			return in.att(s, d, att)
		})
	case "_conflicts", "_deleted_conflicts", "_revs_info", "_local_seq":
		// part of answers; ignored when sent back
	default:
		if d.wrong == nil {
			d.wrong = &store.Error{Kind: store.Invalid, Says: "Bad special document member: " + name}
		}
	}
	return s.skip()
}

// revisions reads {"start": N, "ids": [...]}.
func (in *intake) revisions(s *source, d *incoming) error {
	wrong := bad("Invalid _revisions")
	if s.lacks('{') {
		d.wrong = wrong
		return s.skip()
	}
	var raw []byte
	return s.members(func(name []byte) (err error) {
		switch {
		case string(name) == `"start"`:
			raw, err = s.value(raw[:0])
			d.start = 0
			for _, c := range raw {
				if c < '0' || c > '9' || d.start > revtree.MaxPos {
					d.wrong = wrong
					break
				}
				d.start = d.start*10 + uint64(c-'0')
			}
			return err
		case string(name) == `"ids"` && s.kind() == '[':
			d.ids = make([]string, 0, 4)
			return s.items(func() error {
				if s.lacks('"') {
					d.wrong = wrong
					return s.skip()
				}
				id, err := s.text()
				d.ids = append(d.ids, id)
				return err
			})
		}
		return s.skip()
	})
}

// att reads one attachment; inline data goes straight to the store.
func (in *intake) att(s *source, d *incoming, name string) error {
	a := incomingAtt{name: name}
	if s.lacks('{') {
		d.wrong = bad("an attachment must be an object")
		return s.skip()
	}
	meta := []byte{'{'}
	err := s.members(func(name []byte) (err error) {
		if string(name) == `"data"` && s.kind() == '"' {
			u := in.upload()
			if err := s.base64(u); err != nil {
				u.Abort()
				return err
			}
			a.blob, err = in.finish(u)
			return err
		}
		if len(meta) > 1 {
			meta = append(meta, ',')
		}
		meta, err = s.value(append(append(meta, name...), ':'))
		if err == nil && len(meta) > 64<<10 {
			err = errTooLarge(64 << 10)
		}
		return err
	})
	if err != nil {
		return err
	}
	if err := decodeJSON(append(meta, '}'), &a); err != nil {
		d.wrong = bad("attachment " + name + ": " + err.Error())
		return nil
	}
	if a.blob == nil && !a.Stub && !a.Follows && (a.Length == nil || *a.Length == 0) {
		a.blob = in.s.NewBlob(nil) // some clients leave out the data of an empty one
	}
	if name == "" || name[0] == '_' {
		d.wrong = bad("Attachment name '" + name + "' starts with prohibited character '_'")
	}
	if a.blob != nil && strings.EqualFold(a.Coding, "gzip") {
		if a.blob, err = in.unpack(a.blob); err != nil {
			return err
		}
	}
	d.atts = append(d.atts, a)
	return nil
}

// unpack replaces compressed content by the decompressed one.
func (in *intake) unpack(b *store.Blob) (*store.Blob, error) {
	r, err := b.Open()
	if err != nil {
		return nil, err
	}
	return in.copy(r, "gzip")
}

// store returns the document as the store takes it. push: as a revision made elsewhere.
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
			return out, bad("attachment " + a.name + " has neither data nor stub")
		}
		out.Atts = append(out.Atts, store.Att{Name: a.name, ContentType: a.Type, RevPos: a.RevPos, Stub: a.blob == nil, Blob: a.blob})
	}
	return out, nil
}

func bad(says string) error { return &store.Error{Kind: store.Bad, Says: says} }

var errBadRev = bad("Invalid rev format")
