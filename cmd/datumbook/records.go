package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/url"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"datumbook/calc/jobbook"
	"datumbook/store"
	"datumbook/store/revtree"
)

// records are the shop's records as commands see them: in the store, opened for the length of the
// command, or at the office that has it open.
type records interface {
	// all gives every record, of its files only the names. Copies that clash are merged, as phones
	// do it.
	all(ctx context.Context) ([]*jobbook.Record, error)
	// whole gives those of some ids that there are, with their files inside.
	whole(ctx context.Context, ids []string) ([]*jobbook.Record, error)
	// put stores documents and gives those that were refused, each with the reason.
	put(ctx context.Context, docs [][]byte) ([]jobbook.RecordError, error)
}

// recordFlags are the flags of the commands that work on records.
func recordFlags(c *console, name, usage string, data, book *string) *pflag.FlagSet {
	flags := keepFlags(c, name, usage, data)
	flags.StringVar(book, "book", envOr("DATUMBOOK_BOOK", "shop"), "the shop's book of records")
	return flags
}

// withRecords runs a command's work on the records of a data folder; begin makes the store where
// there is none yet.
func withRecords(ctx context.Context, data, book string, begin bool, work func(records) error) (err error) {
	if o, serving := findOffice(ctx, data); serving {
		return work(byOffice{o, book})
	}
	path := filepath.Join(data, storeFile)
	if begin || data == "" {
		if path, err = openData(data); err != nil {
			return err
		}
	}
	var st *store.Store
	if begin {
		opt := officeStore(path)
		opt.Compare = changes
		st, err = store.Open(opt)
	} else {
		st, err = openToRead(path)
	}
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	s, err := openRecords(st, book)
	if err != nil {
		return err
	}
	return work(s)
}

// inStore are the records of an open store.
type inStore struct {
	st   *store.Store
	book *store.Book
}

func openRecords(st *store.Store, name string) (inStore, error) {
	if err := haveBook(st, name); err != nil {
		return inStore{}, err
	}
	b, err := st.Book(name)
	return inStore{st, b}, err
}

func (s inStore) all(context.Context) ([]*jobbook.Record, error) {
	return s.read(nil, store.AllQuery{Limit: -1}, false)
}

func (s inStore) whole(_ context.Context, ids []string) (out []*jobbook.Record, err error) {
	for _, id := range ids {
		q := store.AllQuery{Start: id, End: id, HasStart: true, HasEnd: true, Limit: -1}
		if out, err = s.read(out, q, true); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// read adds the records that a question finds to a list.
func (s inStore) read(out []*jobbook.Record, q store.AllQuery, files bool) ([]*jobbook.Record, error) {
	for more := true; more; {
		var found [][]store.Doc // revisions of each, the winner first
		err := s.book.View(func(l *store.View) error {
			page, err := l.All(q)
			q, more = page.Next, page.More
			for _, row := range page.Rows {
				var copies []store.Doc
				for _, leaf := range row.Found.Tree.Leaves() {
					d, ok, e := l.Doc(row.Found, leaf)
					if err = errors.Join(err, e); ok && !d.Deleted {
						copies = append(copies, d)
					}
				}
				found = append(found, copies)
			}
			return err
		})
		for _, copies := range found {
			texts := make([][]byte, len(copies))
			for i, d := range copies {
				var e error
				texts[i], e = s.text(d, files)
				err = errors.Join(err, e)
			}
			if err == nil {
				out, err = joined(out, texts)
			}
		}
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// joined adds a record to a list, merged from its revisions; a design document is left out. One that
// says nothing that can be read is listed with the rest, so that it goes into a file as well.
func joined(out []*jobbook.Record, copies [][]byte) ([]*jobbook.Record, error) {
	d, err := jobbook.Join(copies...)
	if err == nil && !strings.HasPrefix(d.ID(), "_") {
		out = append(out, d)
	}
	return out, err
}

// storedFile is a file of a record in its JSON.
type storedFile struct {
	Type   string `json:"content_type"`
	Digest string `json:"digest,omitempty"`
	Stub   bool   `json:"stub,omitempty"`
	Data   []byte `json:"data,omitempty"`
}

// text is a stored document as JSON.
func (s inStore) text(d store.Doc, files bool) ([]byte, error) {
	atts := map[string]storedFile{}
	for _, a := range d.Atts {
		file := storedFile{Type: a.ContentType, Digest: a.Digest(), Stub: !files}
		if files {
			c, err := s.st.OpenAtt(a)
			if store.KindOf(err) == store.Damaged {
				return nil, fmt.Errorf("%s in %s: %w; open that record on the phone that took it while the office serves, "+
					"which sends it again", a.Name, d.ID, err)
			}
			if err != nil {
				return nil, err
			}
			if file.Data, err = io.ReadAll(c); err != nil {
				return nil, err
			}
		}
		atts[a.Name] = file
	}
	head, err := json.Marshal(map[string]any{"_id": d.ID, "_rev": d.Rev.String(), "_attachments": atts})
	if err != nil || len(d.Body) == 0 {
		return head, err
	}
	return slices.Concat(head[:len(head)-1], []byte(","), d.Body, []byte("}")), nil
}

func (s inStore) put(_ context.Context, docs [][]byte) ([]jobbook.RecordError, error) {
	list := make([]store.Doc, len(docs))
	for i, text := range docs {
		var err error
		if list[i], err = s.doc(text); err != nil {
			return nil, err
		}
	}
	rows, err := s.book.EditBy("office", list)
	var out []jobbook.RecordError
	for _, row := range rows {
		if row.Err != nil {
			out = append(out, notStored(row.ID, store.Sentence(row.Err)))
		}
	}
	return out, err
}

func notStored(id, why string) jobbook.RecordError {
	return jobbook.RecordError{Field: id, Message: "It was not stored: " + why}
}

// doc is a document's JSON as the store takes it.
func (s inStore) doc(text []byte) (out store.Doc, err error) {
	var members map[string]json.RawMessage
	if err := json.Unmarshal(text, &members); err != nil {
		return out, err
	}
	var rev string
	var files map[string]storedFile
	own := map[string]any{"_id": &out.ID, "_rev": &rev, "_deleted": &out.Deleted, "_attachments": &files}
	for key, into := range own {
		if raw, ok := members[key]; ok {
			err = errors.Join(err, json.Unmarshal(raw, into))
			delete(members, key)
		}
	}
	if rev != "" {
		var bad error
		out.Rev, bad = revtree.ParseRev(rev)
		err = errors.Join(err, bad)
	}
	for name, file := range files {
		att := store.Att{Name: name, ContentType: file.Type, Stub: file.Stub}
		if !file.Stub {
			att.Blob = s.st.NewBlob(file.Data)
		}
		out.Atts = append(out.Atts, att)
	}
	var body bytes.Buffer
	enc := json.NewEncoder(&body)
	enc.SetEscapeHTML(false) // as it was sent
	err = errors.Join(err, enc.Encode(members))
	out.Body = bytes.TrimPrefix(bytes.TrimSuffix(body.Bytes(), []byte("}\n")), []byte("{"))
	return out, err
}

// byOffice are the records of the office that has the store open.
type byOffice struct {
	*office
	book string
}

func (s byOffice) path(rest string) string { return "/sync/" + url.PathEscape(s.book) + "/" + rest }

func (s byOffice) all(ctx context.Context) ([]*jobbook.Record, error) {
	return s.read(ctx, map[string]any{}, "")
}

func (s byOffice) whole(ctx context.Context, ids []string) ([]*jobbook.Record, error) {
	return s.read(ctx, map[string]any{"keys": ids}, "&attachments=true")
}

func (s byOffice) read(ctx context.Context, asked map[string]any, files string) ([]*jobbook.Record, error) {
	var got struct {
		Rows []struct{ Doc json.RawMessage }
	}
	if err := s.post(ctx, s.path("_all_docs?include_docs=true&conflicts=true"+files), asked, &got); err != nil {
		return nil, err
	}
	var out []*jobbook.Record
	for _, row := range got.Rows {
		var head struct {
			ID        string   `json:"_id"`
			Conflicts []string `json:"_conflicts"`
		}
		if err := json.Unmarshal(row.Doc, &head); err != nil || head.ID == "" {
			continue // none, or deleted
		}
		copies := [][]byte{row.Doc}
		for _, rev := range head.Conflicts {
			var one json.RawMessage
			if err := s.get(ctx, s.path(url.PathEscape(head.ID)+"?rev="+url.QueryEscape(rev)+files), &one); err != nil {
				return nil, err
			}
			copies = append(copies, one)
		}
		var err error
		if out, err = joined(out, copies); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (s byOffice) put(ctx context.Context, docs [][]byte) ([]jobbook.RecordError, error) {
	list := make([]json.RawMessage, len(docs))
	for i, d := range docs {
		list[i] = d
	}
	var rows []struct{ ID, Error, Reason string }
	if err := s.post(ctx, s.path("_bulk_docs"), map[string]any{"docs": list}, &rows); err != nil {
		return nil, err
	}
	var out []jobbook.RecordError
	for _, row := range rows {
		if row.Error != "" {
			out = append(out, notStored(row.ID, row.Reason))
		}
	}
	return out, nil
}

// pick finds one record by its id or its name; where several kinds have the name, the first kind.
func pick(docs []*jobbook.Record, kinds []string, word string) (*jobbook.Record, error) {
	for _, kind := range kinds {
		var found *jobbook.Record
		var ids []string
		for _, d := range docs {
			switch {
			case d.Gone() || d.Kind() != kind:
			case d.ID() == word:
				return d, nil
			case called(d, word):
				found, ids = d, append(ids, d.ID())
			}
		}
		if len(ids) == 1 {
			return found, nil
		}
		if len(ids) > 1 {
			return nil, fmt.Errorf("more than one %s is called '%s'; give its id: %s",
				kind, word, strings.Join(ids, ", "))
		}
	}
	return nil, fmt.Errorf("there is no %s called '%s'; 'datumbook export --csv DIR' lists what there is",
		strings.Join(kinds, " or "), word)
}

// called tells whether a record goes by a name, its shop number or its drawing
// number.
func called(d *jobbook.Record, word string) bool {
	names := []string{d.Title(), d.Text("name"), d.Text("tag"), d.Text("drawing")}
	return word != "" && slices.ContainsFunc(names, func(name string) bool { return strings.EqualFold(name, word) })
}
