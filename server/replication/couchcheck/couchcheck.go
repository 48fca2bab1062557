// Package couchcheck reads answers of the replication protocol as strictly as CouchDB 3.5.0 reads
// them, for tests. What it refuses would stop a CouchDB's replicator, or keep it waiting. The facts are
// from couch_httpd.erl, couch_httpd_multipart.erl, couch_doc.erl, couch_att.erl and
// couch_replicator_api_wrap.erl of that version.
package couchcheck

import (
	"bytes"
	"crypto/md5"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"mime"
	"strconv"
	"strings"
	"unicode/utf8"

	"datumbook/store"
)

// Doc is a document as a CouchDB takes it from an answer, or a revision that it is told is missing.
type Doc struct {
	ID, Rev string
	Deleted bool
	Members map[string]json.RawMessage
	Files   map[string][]byte // contents that were sent with it
	Stubs   []string          // names of attachments without their content
	Missing string
}

// Part is one part of a multipart body.
type Part struct {
	Kind    string
	Params  map[string]string
	Content []byte
}

// parts splits a multipart body. What follows the last boundary comes as rest, with its two dashes.
func parts(boundary string, body []byte) (out []Part, rest []byte, err error) {
	if boundary == "" {
		return nil, nil, fmt.Errorf("there is no boundary")
	}
	_, rest, ok := bytes.Cut(body, []byte("--"+boundary))
	if !ok {
		return nil, nil, fmt.Errorf("the boundary does not come at all")
	}
	for {
		head, after, ok := bytes.Cut(rest, []byte("\r\n\r\n"))
		if !ok {
			return nil, nil, fmt.Errorf("part %d: its headers do not end", len(out))
		}
		p, err := readHead(head)
		if err != nil {
			return nil, nil, fmt.Errorf("part %d: %w", len(out), err)
		}
		if p.Content, rest, ok = bytes.Cut(after, []byte("\r\n--"+boundary)); !ok {
			return nil, nil, fmt.Errorf("part %d: no boundary ends it", len(out))
		}
		out = append(out, p)
		if bytes.HasPrefix(rest, []byte("--")) {
			return out, rest, nil
		}
	}
}

func readHead(head []byte) (p Part, err error) {
	for line := range strings.SplitSeq(string(head), "\r\n") {
		if line == "" {
			continue
		}
		name, value, ok := strings.Cut(line, ":")
		if !ok {
			return p, fmt.Errorf("the header %q has no colon", line)
		}
		if strings.EqualFold(strings.TrimSpace(name), "content-type") {
			if p.Kind, p.Params, err = mime.ParseMediaType(value); err != nil {
				return p, fmt.Errorf("content type %q: %w", value, err)
			}
		}
	}
	return p, nil
}

// Mixed reads the answer to open_revs as multipart/mixed.
func Mixed(contentType string, body []byte) ([]Doc, error) {
	kind, params, err := mime.ParseMediaType(contentType)
	if err != nil || kind != "multipart/mixed" {
		return nil, fmt.Errorf("the answer is %q and not multipart/mixed", contentType)
	}
	all, rest, err := parts(params["boundary"], body)
	if err != nil {
		return nil, err
	}
	if string(rest) != "--" {
		return nil, fmt.Errorf("%q follows the last boundary, where nothing may", rest[2:])
	}
	var out []Doc
	for i, p := range all {
		d, err := mixedPart(p)
		if err != nil {
			return nil, fmt.Errorf("part %d: %w", i, err)
		}
		out = append(out, d)
	}
	return out, nil
}

func mixedPart(p Part) (Doc, error) {
	switch {
	case p.Kind == "multipart/related":
		return related(p.Params["boundary"], p.Content)
	case p.Kind == "application/json" && len(p.Params) == 0:
		return Read(p.Content)
	case p.Kind == "application/json" && len(p.Params) == 1 && p.Params["error"] == "true":
		var row struct{ Missing string }
		if err := decode(p.Content, &row); err != nil {
			return Doc{}, err
		}
		return Doc{Missing: row.Missing}, checkRev(row.Missing)
	}
	return Doc{}, fmt.Errorf("content type %q with %v is not known", p.Kind, p.Params)
}

// Related reads a document that came as multipart/related.
func Related(contentType string, body []byte) (Doc, error) {
	kind, params, err := mime.ParseMediaType(contentType)
	if err != nil || kind != "multipart/related" {
		return Doc{}, fmt.Errorf("the answer is %q and not multipart/related", contentType)
	}
	return related(params["boundary"], body)
}

func related(boundary string, body []byte) (Doc, error) {
	all, rest, err := parts(boundary, body)
	if err != nil {
		return Doc{}, err
	}
	if string(rest) != "--" {
		return Doc{}, fmt.Errorf("%q follows the last boundary, where nothing may", rest[2:])
	}
	if all[0].Kind != "application/json" {
		return Doc{}, fmt.Errorf("the document's part is %q", all[0].Kind)
	}
	return read(all[0].Content, all[1:])
}

// Read reads a document that came without parts.
func Read(text []byte) (Doc, error) { return read(text, nil) }

// read reads a document and the contents that follow it, which a CouchDB takes in the order of the
// document's attachments, whatever their headers say.
func read(text []byte, follow []Part) (Doc, error) {
	d := Doc{Files: map[string][]byte{}}
	var atts json.RawMessage
	if err := decode(text, &d.Members); err != nil {
		return d, err
	}
	for name, raw := range d.Members {
		var err error
		switch name {
		case "_id":
			err = decode(raw, &d.ID)
		case "_rev":
			if err = decode(raw, &d.Rev); err == nil {
				err = checkRev(d.Rev)
			}
		case "_deleted":
			err = decode(raw, &d.Deleted)
		case "_revisions":
			err = checkRevisions(raw)
		case "_attachments":
			atts = raw
		case "_revs_info", "_local_seq", "_conflicts", "_deleted_conflicts", "_access", "_replication_id",
			"_replication_state", "_replication_state_time", "_replication_state_reason", "_replication_stats":
		default:
			if strings.HasPrefix(name, "_") {
				err = fmt.Errorf("no document has such a member")
			}
		}
		if err != nil {
			return d, fmt.Errorf("member %s: %w", name, err)
		}
	}
	if d.ID == "" || d.Rev == "" {
		return d, fmt.Errorf("a document without id or revision: %s", text)
	}
	left, err := d.attachments(atts, follow)
	if err == nil && left > 0 {
		err = fmt.Errorf("%d parts follow that no attachment names", left)
	}
	return d, err
}

type att struct {
	Stub, Follows bool
	Data          *string
	Digest        string
	Length        *int64
	RevPos        *uint64
	Type          *string `json:"content_type"`
	Encoding      string
	Packed        *int64 `json:"encoded_length"`
}

func (d *Doc) attachments(raw json.RawMessage, follow []Part) (left int, err error) {
	if raw == nil {
		return len(follow), nil
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	if t, err := dec.Token(); err != nil || t != json.Delim('{') {
		return 0, fmt.Errorf("_attachments is no object: %s", raw)
	}
	for dec.More() {
		name, err := dec.Token()
		var a att
		if err == nil {
			err = dec.Decode(&a)
		}
		if err != nil {
			return 0, fmt.Errorf("_attachments: %w", err)
		}
		if follow, err = d.attachment(name.(string), a, follow); err != nil {
			return 0, fmt.Errorf("attachment %q: %w", name, err)
		}
	}
	return len(follow), nil
}

func (d *Doc) attachment(name string, a att, follow []Part) ([]Part, error) {
	switch {
	case a.Stub:
		d.Stubs = append(d.Stubs, name)
	case a.Follows:
		length := a.Length
		if a.Encoding != "" && a.Packed != nil {
			length = a.Packed
		}
		switch {
		case length == nil:
			return nil, fmt.Errorf("nothing says how long it is")
		case *length == 0:
			return nil, fmt.Errorf("it is empty and in a part of its own: its reader waits five minutes for bytes")
		case len(follow) == 0:
			return nil, fmt.Errorf("no part follows for it")
		case int64(len(follow[0].Content)) != *length:
			return nil, fmt.Errorf("%d bytes are told and %d follow", *length, len(follow[0].Content))
		}
		if err := checkDigest(a.Digest, follow[0].Content); err != nil {
			return nil, err
		}
		d.Files[name] = follow[0].Content
		follow = follow[1:]
	default:
		if a.Data == nil {
			return nil, fmt.Errorf("it has neither data nor stub")
		}
		content, err := base64.StdEncoding.Strict().DecodeString(*a.Data)
		if err != nil {
			return nil, fmt.Errorf("its data is not base64: %w", err)
		}
		d.Files[name] = content
	}
	if a.RevPos == nil || a.Type == nil {
		return nil, fmt.Errorf("revpos or content_type is lacking")
	}
	return follow, nil
}

func checkDigest(text string, content []byte) error {
	code, ok := strings.CutPrefix(text, "md5-")
	if !ok {
		return nil // nothing to compare
	}
	sum := md5.Sum(content)
	if code != base64.StdEncoding.EncodeToString(sum[:]) {
		return fmt.Errorf("its bytes do not have the digest %s", text)
	}
	return nil
}

func checkRev(text string) error {
	num, hash, ok := strings.Cut(text, "-")
	if _, err := strconv.ParseUint(num, 10, 64); !ok || err != nil {
		return fmt.Errorf("%q is no revision", text)
	}
	return checkHash(hash)
}

// checkHash: 32 letters are read as a number of 16 bytes.
func checkHash(hash string) error {
	if _, err := hex.DecodeString(hash); len(hash) == 32 && err != nil {
		return fmt.Errorf("the revision %q has 32 letters and is not hexadecimal", hash)
	}
	return nil
}

func checkRevisions(raw json.RawMessage) error {
	var v struct {
		Start *uint64
		IDs   []string `json:"ids"`
	}
	if err := decode(raw, &v); err != nil {
		return err
	}
	if v.Start == nil || len(v.IDs) == 0 || uint64(len(v.IDs)) > *v.Start {
		return fmt.Errorf("%s is no path of revisions", raw)
	}
	for _, id := range v.IDs {
		if err := checkHash(id); err != nil {
			return err
		}
	}
	return nil
}

// decode reads JSON that a CouchDB's reader takes: UTF-8, whole letters, numbers that a double holds.
func decode(text []byte, v any) error {
	if !utf8.Valid(text) {
		return fmt.Errorf("the text is not UTF-8: %q", text)
	}
	if half := store.HalfPair(text); half != "" {
		return fmt.Errorf("the text has the half letter %s", half)
	}
	var err error
	store.EachNumber(text, func(_ int, number []byte) bool {
		if store.BeyondDouble(number) {
			err = fmt.Errorf("the number %s is beyond a double", number)
		}
		return err == nil
	})
	if err == nil {
		err = json.Unmarshal(text, v)
	}
	return err
}
