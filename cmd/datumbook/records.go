package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strings"

	"datumbook/calc/jobbook"
	"datumbook/server"
	"datumbook/server/replication"
	"datumbook/store"
)

// slice is how many records go over at a time.
const slice = 50

// records are what commands see of the shop: through the office that
// serves them, or through one opened for the length of the command.
type records struct {
	*office
	book   string
	served bool // another program serves it
}

// withRecords runs a command's work on the records of a data folder.
func withRecords(ctx context.Context, data, book string, work func(*records) error) (err error) {
	if o, ok := findOffice(ctx, data); ok {
		return work(&records{o, book, true})
	}
	if data == "" {
		_, err := openData(data)
		return err
	}
	st, err := store.Open(store.Options{Path: filepath.Join(data, storeFile), Must: true})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	return withServed(ctx, st, book, nil, work)
}

// haveStore makes the store of a data folder where there is none yet.
func haveStore(ctx context.Context, data string) error {
	if _, serving := findOffice(ctx, data); serving {
		return nil
	}
	path, err := openData(data)
	if err != nil {
		return err
	}
	st, err := store.Open(store.Options{Path: path})
	if err != nil {
		return err
	}
	return st.Close()
}

// withServed serves a store to this machine alone while work runs.
func withServed(ctx context.Context, st *store.Store, book string, app fs.FS, work func(*records) error) (err error) {
	log := slog.New(slog.DiscardHandler)
	if err := haveBook(st, book); err != nil {
		return err
	}
	routes := server.SyncRoutes(&replication.Handler{Store: st, Version: versionText()})
	s := &server.Server{Addr: "127.0.0.1:0", Assets: app, Sheets: worksheets{}, Sync: routes, Version: versionText(), Log: log}
	if err := s.Open(); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close(context.WithoutCancel(ctx))) }()
	return work(&records{&office{url: s.URL(), client: &http.Client{}}, book, false})
}

func (s *records) path(rest string) string { return "/sync/" + url.PathEscape(s.book) + "/" + rest }

// askRules asks the job book's rules.
func askRules(op string, in, into any) error {
	text, err := json.Marshal(in)
	if err != nil {
		return err
	}
	out := new(jobbook.Session).Call(op, text)
	var fault struct{ Error *jobbook.RecordError }
	if err := json.Unmarshal(out, &fault); err != nil {
		return err
	}
	if fault.Error != nil {
		return errors.New(fault.Error.Message)
	}
	return json.Unmarshal(out, into)
}

// doc is a record's text and what commands look for in it.
type doc struct {
	raw  json.RawMessage
	id   string
	kind string
	demo string
	rev  string
	gone bool
	name string
	// values are its fields that are texts.
	values map[string]string
	files  bool
}

// docs lists every record. Copies that clash are merged, as phones do it.
func (s *records) docs(ctx context.Context) ([]doc, error) {
	var all struct {
		Rows []struct{ Doc json.RawMessage }
	}
	if err := s.get(ctx, s.path("_all_docs?include_docs=true&conflicts=true"), &all); err != nil {
		return nil, err
	}
	var out []doc
	for _, row := range all.Rows {
		var head struct {
			ID        string          `json:"_id"`
			Type      string          `json:"type"`
			Conflicts []string        `json:"_conflicts"`
			Files     json.RawMessage `json:"_attachments"`
			Rev       string          `json:"_rev"`
			Demo      string          `json:"demo"`
		}
		if err := json.Unmarshal(row.Doc, &head); err != nil || head.Type == "" {
			continue // a design document, or none of ours
		}
		raw, err := s.joined(ctx, head.ID, row.Doc, head.Conflicts)
		if err != nil {
			return nil, err
		}
		d := doc{raw: raw, id: head.ID, kind: head.Type, demo: head.Demo, rev: head.Rev, files: head.Files != nil, values: map[string]string{}}
		var v struct {
			Title  string
			Gone   bool
			Values map[string]any
		}
		if text, err := jobbook.View(raw); err == nil && json.Unmarshal(text, &v) == nil {
			d.name, d.gone = v.Title, v.Gone
			for key, value := range v.Values {
				if text, ok := value.(string); ok {
					d.values[key] = text
				}
			}
		}
		out = append(out, d)
	}
	return out, nil
}

// joined merges the other copies of a record into the one that stands.
func (s *records) joined(ctx context.Context, id string, top json.RawMessage, revs []string) (json.RawMessage, error) {
	if len(revs) == 0 {
		return top, nil
	}
	copies := []json.RawMessage{top}
	for _, rev := range revs {
		var one json.RawMessage
		if err := s.get(ctx, s.path(url.PathEscape(id)+"?rev="+url.QueryEscape(rev)), &one); err != nil {
			return nil, err
		}
		copies = append(copies, one)
	}
	var got struct{ Doc json.RawMessage }
	if err := askRules("merge", map[string]any{"docs": copies}, &got); err != nil {
		return top, nil //nolint:nilerr // what cannot be merged stays as it stands, and the rules list it at the office
	}
	return got.Doc, nil
}

// whole gives a record with its pictures inside.
func (s *records) whole(ctx context.Context, d doc) (json.RawMessage, error) {
	if !d.files {
		return d.raw, nil
	}
	var full json.RawMessage
	if err := s.get(ctx, s.path(url.PathEscape(d.id)+"?attachments=true"), &full); err != nil {
		return nil, err
	}
	return plainFiles(d.raw, full)
}

// plainFiles gives a record the pictures of another copy, each as its kind and
// its content alone: what stores add to them says nothing of the record.
func plainFiles(raw, from json.RawMessage) (json.RawMessage, error) {
	var members map[string]json.RawMessage
	if err := json.Unmarshal(raw, &members); err != nil {
		return nil, err
	}
	var full struct {
		Files map[string]map[string]json.RawMessage `json:"_attachments"`
	}
	if err := json.Unmarshal(from, &full); err != nil {
		return nil, err
	}
	if full.Files == nil {
		return raw, nil
	}
	for _, file := range full.Files {
		for key := range file {
			if key != "content_type" && key != "data" {
				delete(file, key)
			}
		}
	}
	files, err := json.Marshal(full.Files)
	if err != nil {
		return nil, err
	}
	members["_attachments"] = files
	return json.Marshal(members)
}

// put stores records and gives those that were refused, each with the reason.
func (s *records) put(ctx context.Context, docs []json.RawMessage) ([]jobbook.RecordError, error) {
	if len(docs) == 0 {
		return nil, nil
	}
	var rows []struct{ ID, Error, Reason string }
	if err := s.post(ctx, s.path("_bulk_docs"), map[string]any{"docs": docs}, &rows); err != nil {
		return nil, err
	}
	var out []jobbook.RecordError
	for _, row := range rows {
		if row.Error != "" {
			out = append(out, jobbook.RecordError{Field: row.ID, Message: "It was not stored: " + row.Reason})
		}
	}
	return out, nil
}

// pick finds one record by its id or its name; of several kinds of one name,
// the kind that stands first.
func pick(docs []doc, kinds []string, word string) (doc, error) {
	for _, kind := range kinds {
		var found []doc
		for _, d := range docs {
			if d.gone || d.kind != kind {
				continue
			}
			if d.id == word {
				return d, nil
			}
			if d.called(word) {
				found = append(found, d)
			}
		}
		if len(found) == 1 {
			return found[0], nil
		}
		if len(found) > 1 {
			ids := make([]string, len(found))
			for i, d := range found {
				ids[i] = d.id
			}
			return doc{}, fmt.Errorf("more than one %s is called '%s'; give its id: %s", kind, word, strings.Join(ids, ", "))
		}
	}
	return doc{}, fmt.Errorf("there is no %s called '%s'; 'datumbook export --csv DIR' lists what there is", strings.Join(kinds, " or "), word)
}

// called tells whether a record goes by a name, its shop number or its drawing
// number.
func (d doc) called(word string) bool {
	return slices.ContainsFunc([]string{d.name, d.values["name"], d.values["tag"], d.values["drawing"]}, func(name string) bool {
		return name != "" && strings.EqualFold(name, word)
	})
}

func raws(docs []doc) []json.RawMessage {
	out := make([]json.RawMessage, len(docs))
	for i, d := range docs {
		out[i] = d.raw
	}
	return out
}
