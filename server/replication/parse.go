package replication

import (
	"compress/gzip"
	"crypto/md5"
	"encoding/base64"
	"errors"
	"fmt"
	"hash"
	"io"
	"net/http"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"datumbook/server/web"
	"datumbook/store"
	"datumbook/store/revtree"
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
	size    int   // of the body, at its longest
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
	Packed  *int64 `json:"encoded_length"`
	blob    *store.Blob
	packed  *packed // as it was sent, where that was packed
}

// packed names content as it came packed with gzip: a CouchDB keeps texts packed, and its digest is
// of those bytes.
type packed struct {
	length int64
	md5    [16]byte
}

// checkAttName refuses the names of new attachments that the protocol does not allow, and those that
// no address can name. Stubs may go on naming what an earlier version took.
func checkAttName(name string, fresh bool) error {
	if name == "" || name[0] == '_' {
		return bad(fmt.Sprintf("Attachment name '%s' starts with prohibited character '_'", name))
	}
	if fresh && !utf8.ValidString(name) {
		return bad(fmt.Sprintf("an attachment's name must be UTF-8: %q is not", name))
	}
	if fresh && strings.ContainsFunc(name, unicode.IsControl) {
		return bad(fmt.Sprintf("attachment name %q has a control character, which no header can carry: "+
			"choose another", name))
	}
	for part := range strings.SplitSeq(name, "/") {
		if fresh && (part == "." || part == "..") {
			return bad(fmt.Sprintf("attachment name %q: no part of it may be %q, which no address can name: "+
				"choose another",
				name, part))
		}
	}
	return nil
}

// check compares received content with what its sender says of it.
func (a *incomingAtt) check() error {
	lengths, sums := []int64{a.blob.Length}, [][16]byte{a.blob.MD5}
	if a.packed != nil {
		sums = append(sums, a.packed.md5)
		if a.Packed == nil { // then both lengths are used for it
			lengths = append(lengths, a.packed.length)
		} else if *a.Packed != a.packed.length {
			return bad(fmt.Sprintf("attachment %q: its encoded_length says %d bytes and %d were sent: send it again",
				a.name, *a.Packed, a.packed.length))
		}
	}
	if a.Length != nil && !slices.Contains(lengths, *a.Length) {
		return bad(fmt.Sprintf("attachment %q: its length says %d bytes and %d were sent: send it again",
			a.name, *a.Length, a.blob.Length))
	}
	// Another kind of digest cannot be compared.
	if sum, isMD5, ok := readDigest(a.Digest); isMD5 && (!ok || !slices.Contains(sums, sum)) {
		return bad(fmt.Sprintf("attachment %q: its digest says %s and the bytes sent have %s: send it again, or "+
			"leave the digest out", a.name, a.Digest, store.Att{MD5: a.blob.MD5}.Digest()))
	}
	return nil
}

// readDigest reads md5- and the base64 of an MD5.
func readDigest(text string) (sum [16]byte, isMD5, ok bool) {
	code, isMD5 := strings.CutPrefix(text, "md5-")
	raw, err := base64.StdEncoding.DecodeString(code)
	return sum, isMD5, isMD5 && err == nil && len(raw) == copy(sum[:], raw) && len(raw) == len(sum)
}

// intake reads the documents of one request and tracks received contents, to discard the unused.
type intake struct {
	s     *store.Store
	peer  bool       // an owner's device or this machine
	share *web.Share // may be nil
	blobs []*store.Blob
	kept  int64 // of contents, in memory
	spool int64 // of the content that is being received, likewise
	value int64 // of the value that is being read, likewise
	body  int   // of documents
	zip   int64 // of contents that came packed
	base  int64 // memory that the request's length lets expect
}

// intake begins to read a request. What its length lets expect is made sure of before any of it is
// read, so that requests that have begun seldom wait for each other.
func (h *Handler) intake(r *http.Request) (*intake, error) {
	in := &intake{s: h.Store, peer: isPeer(r), share: web.ShareOf(r.Context())}
	in.base = min(2*max(r.ContentLength, 0), expectMemory)
	return in, in.hold()
}

// hold makes sure of the memory for what is received. Peers are trusted with it.
func (in *intake) hold() error {
	if in.peer {
		return nil
	}
	return in.share.Hold(max(in.base, in.kept+in.spool+2*in.value+int64(in.body)))
}

// source reads the request's JSON.
func (in *intake) source(r io.Reader) *source {
	s := newSource(r)
	s.grow = func(n int64) error {
		if n <= in.value {
			return nil
		}
		in.value = n
		return in.hold()
	}
	return s
}

// receiving is a content being received. A small one needs no more memory than the request has.
type receiving struct {
	*store.Upload
	in *intake
	n  int
}

const (
	spoolPart   = 4 << 20
	spoolMemory = 6 << 20 // of one content being received, while a part of it is written
)

func (u *receiving) Write(p []byte) (int, error) {
	u.n += len(p)
	if n := min(2*int64(u.n), spoolMemory); n > FreeMemory && n > u.in.spool {
		u.in.spool = min(2*n, spoolMemory) // seldom
		if err := u.in.hold(); err != nil {
			return 0, err
		}
	}
	if u.n/spoolPart != (u.n-len(p))/spoolPart { // a part goes to the disk, which may be slow
		u.in.share.Rest()
		defer u.in.share.Again()
	}
	return u.Upload.Write(p)
}

// discard removes received contents that no document names.
func (in *intake) discard() {
	for _, b := range in.blobs {
		b.Discard()
	}
}

// upload starts receiving a content; small ones stay in memory, up to a limit in all.
func (in *intake) upload() *receiving {
	if in.kept >= keepMemory {
		return &receiving{in.s.NewUpload(1), in, 0}
	}
	return &receiving{in.s.NewUpload(0), in, 0}
}

func (in *intake) finish(u *receiving) (*store.Blob, error) {
	b, err := u.Finish()
	if err != nil {
		return nil, err
	}
	in.blobs = append(in.blobs, b)
	in.kept += b.Kept()
	return b, in.hold()
}

// copy receives a content from a reader, decompressing it if needed; then sent says what came.
func (in *intake) copy(r io.Reader, coding string) (b *store.Blob, sent *packed, err error) {
	u := in.upload()
	var sum hash.Hash
	if strings.EqualFold(coding, "gzip") {
		sent, sum = &packed{}, md5.New()
		zip, err := gzip.NewReader(io.TeeReader(r, io.MultiWriter(sum, sent)))
		if err != nil {
			return nil, nil, notJSON("an attachment said to be gzip is not")
		}
		r = &unpacking{zip, in, sent, 0}
	}
	if n, err := io.Copy(u, io.LimitReader(r, maxRequest+1)); err != nil || n > maxRequest {
		u.Abort()
		if err == nil {
			return nil, nil, errTooLarge(maxRequest)
		}
		return nil, nil, err
	}
	if sent != nil {
		sum.Sum(sent.md5[:0])
	}
	b, err = in.finish(u)
	return b, sent, err
}

// unpacking bounds what contents that came packed unpack to, each and all of a request.
type unpacking struct {
	io.Reader
	in   *intake
	sent *packed
	n    int64
}

func (u *unpacking) Read(p []byte) (int, error) {
	n, err := u.Reader.Read(p)
	u.n += int64(n)
	u.in.zip += int64(n)
	most := int64(maxPacked)
	if u.in.peer {
		most = maxRequest
	}
	if web.Unpacks(u.n, u.sent.length) || u.in.zip > most {
		return 0, status(http.StatusRequestEntityTooLarge, "too_large",
			fmt.Sprintf("a packed attachment unpacks to more "+
				"than %d times its length, or all to more than %d MiB: send it without packing it", web.UnpackedTimes,
				most/mib))
	}
	return n, err
}

// Write counts bytes.
func (p *packed) Write(b []byte) (int, error) {
	p.length += int64(len(b))
	return len(b), nil
}

// doc reads one document. The body is appended to arena, if not nil, which is returned.
func (in *intake) doc(s *source, arena []byte) (incoming, []byte, error) {
	var d incoming
	begin := len(arena)
	err := s.members(func(name []byte) error {
		if name[1] == '_' || name[1] == '\\' {
			meaning, err := unquote(name)
			if errors.Is(err, errUTF8) {
				d.wrong = errNotUTF8
			}
			switch {
			case !strings.HasPrefix(meaning, "_") || isReplications(meaning):
			case isReserved(meaning):
				return in.reserved(s, &d, meaning)
			case meaning == "_access":
				d.wrong = bad("the member _access says who may read the document, which is decided by pairing here: " +
					"leave it out")
			case d.wrong == nil: // it is set aside with the others
				d.wrong = &store.Error{Kind: store.Invalid, Says: "Bad special document member: " + meaning}
			}
		}
		// One of the document's own members: copied as sent.
		if len(arena) > begin {
			arena = append(arena, ',')
		}
		arena = append(append(arena, name...), ':')
		before := len(arena)
		var err error
		if arena, err = s.value(arena); errors.Is(err, errDeep) {
			d.wrong, err = bad(err.Error()), nil
			arena = append(arena, "null"...)
		}
		if err != nil {
			return err
		}
		batch := maxBatch
		if !in.peer {
			batch = phoneBatch
		}
		if in.body += len(arena) - before + len(name); in.body > batch {
			return errTooLarge(int64(batch))
		}
		if d.wrong == nil {
			err := check(arena[before:])
			if err == nil {
				err = check(name)
			}
			if err != nil {
				d.wrong = bad("member " + web.Shorten(string(name), 60) + ": " + err.Error())
			}
		}
		if d.size = max(d.size, len(arena)-begin); in.tooLarge(arena[begin:], d.size) {
			d.wrong = &store.Error{Kind: store.TooLarge,
				Says: fmt.Sprintf("the record has more than the %d bytes that are "+
					"taken beside its attachments: split it, or put what is long into an attachment", in.most())}
		}
		if d.size > maxSent {
			arena = arena[:begin] // what is refused is not kept whole either
		}
		return in.hold()
	})
	if err != nil {
		return d, arena, err
	}
	d.body = arena[begin:len(arena):len(arena)]
	if d.wrong == nil && !utf8.Valid(d.body) {
		d.wrong = errNotUTF8
	}
	return d, arena, nil
}

// tooLarge reports whether a record is larger than is taken. A peer's is measured as CouchDB does,
// which refuses it otherwise where this office takes it, or the other way round.
func (in *intake) tooLarge(members []byte, size int) bool {
	if !in.peer || size+2 <= maxDoc || size > maxSent {
		return size > in.most()
	}
	return countJSON(members) > maxDoc
}

// most is how large a record may be.
func (in *intake) most() int {
	if in.peer {
		return maxDoc
	}
	return maxRecord
}

// alone reads a document that is the whole body.
func (in *intake) alone(r io.Reader) (incoming, error) {
	s := in.source(r)
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
			switch {
			case errors.Is(err, errUTF8):
				d.wrong = bad(fmt.Sprintf("a document id must be UTF-8: %q is not", d.id))
				d.id, err = strings.ToValidUTF8(d.id, "\ufffd"), nil
			case errors.Is(err, errHalf):
				d.wrong, err = bad("_id: "+errHalf.says), nil
			}
			return err
		}
		if err := s.skip(); err != nil {
			return err
		}
		return notJSON("_id field must contain a string")
	case "_rev":
		switch kind {
		case '"':
			if d.rev, err = s.text(); errors.Is(err, errUTF8) || errors.Is(err, errHalf) {
				d.rev, d.wrong, err = strings.ToValidUTF8(d.rev, "\ufffd"), errBadRev, nil
			}
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
			switch {
			case errors.Is(err, errHalf):
				d.wrong = bad(fmt.Sprintf("the name of attachment %s: %s", name, errHalf.says))
			case err != nil: // refused by its name
				att = string(name[1 : len(name)-1])
			}
			return in.att(s, d, att)
		})
	default:
		// part of answers; ignored when sent back
	}
	return s.skip()
}

// isReserved reports whether a member is one of the protocol's own.
func isReserved(name string) bool {
	switch name {
	case "_id", "_rev", "_deleted", "_revisions", "_attachments",
		"_conflicts", "_deleted_conflicts", "_revs_info", "_local_seq":
		return true
	}
	return false
}

// isReplications reports whether a member is one that a replicator writes into the document which
// describes its task. It is kept like any other: CouchDB 3.5, couch_doc.erl.
func isReplications(name string) bool {
	switch name {
	case "_replication_id", "_replication_state", "_replication_state_time", "_replication_state_reason",
		"_replication_stats":
		return true
	}
	return false
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
				if errors.Is(err, errUTF8) || errors.Is(err, errHalf) {
					err = nil // no hash is one: refused below
				}
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
	meta = append(meta, '}')
	if err := errors.Join(check(meta), decodeJSON(meta, &a)); err != nil {
		d.wrong = bad("attachment " + name + ": " + err.Error())
		return nil
	}
	if a.blob == nil && !a.Stub && !a.Follows && (a.Length == nil || *a.Length == 0) {
		a.blob = in.s.NewBlob(nil) // some clients leave out the data of an empty one
	}
	if err := checkAttName(name, a.blob != nil || a.Follows); err != nil {
		d.wrong = err
	}
	if a.blob != nil && strings.EqualFold(a.Coding, "gzip") {
		r, err := a.blob.Open()
		if err == nil {
			a.blob, a.packed, err = in.copy(r, "gzip")
		}
		if err != nil {
			return err
		}
	}
	if a.blob != nil && d.wrong == nil {
		d.wrong = a.check()
	}
	if slices.ContainsFunc(d.atts, func(o incomingAtt) bool { return o.name == name }) {
		d.wrong = bad(fmt.Sprintf("attachment %q is given twice: give each name once", name))
	}
	d.atts = append(d.atts, a)
	return nil
}

// readRev reads a revision that is written or compared with.
func readRev(text string) (revtree.Rev, error) {
	rev, err := revtree.ParseRev(text)
	if err != nil {
		return rev, err
	}
	var ok bool
	if rev.Hash, ok = readHash(rev.Hash); !ok {
		return rev, revtree.ErrRev
	}
	return rev, nil
}

// hexHash is the length of a hash that a CouchDB reads as hexadecimal digits, and writes in lower case:
// one of other letters would stop it for ever, one in upper case would come back as another revision.
const hexHash = 32

func readHash(hash string) (string, bool) {
	if len(hash) != hexHash {
		return hash, true
	}
	low := strings.ToLower(hash)
	return low, strings.Trim(low, "0123456789abcdef") == ""
}

// store returns the document as the store takes it. push: as a revision made elsewhere.
func (d *incoming) store(push bool) (store.Doc, error) {
	out := store.Doc{ID: d.id, Deleted: d.deleted, Body: d.body}
	if d.wrong != nil {
		return out, d.wrong
	}
	if d.rev != "" {
		rev, err := readRev(d.rev)
		if err != nil {
			return out, errBadRev
		}
		out.Rev = rev
	}
	if push {
		switch {
		case len(d.ids) > 0: // whatever _rev says
			for i, hash := range d.ids {
				var ok bool
				if d.ids[i], ok = readHash(hash); !ok {
					return out, errBadRev
				}
			}
			out.Rev, out.Hashes = revtree.Rev{Pos: d.start, Hash: d.ids[0]}, d.ids
		case out.Rev.IsZero():
			return out, errNoRev
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
		att := store.Att{Name: a.name, ContentType: a.Type, RevPos: a.RevPos, Stub: a.blob == nil, Blob: a.blob}
		if att.Stub && a.Digest != "" {
			sum, _, ok := readDigest(a.Digest)
			if !ok {
				return out, &store.Error{Kind: store.MissingStub,
					Says: fmt.Sprintf("Invalid attachment stub in %s for %s: its digest names nothing known here",
						d.id, a.name)}
			}
			att.MD5 = sum
		}
		out.Atts = append(out.Atts, att)
	}
	return out, nil
}

func bad(says string) error { return &store.Error{Kind: store.Bad, Says: says} }

var (
	errBadRev  = bad("Invalid rev format")
	errNoRev   = bad("When `new_edits: false`, the document needs `_rev` or `_revisions` specified")
	errNotUTF8 = bad("the document has text that is not UTF-8: write it as UTF-8")
)
