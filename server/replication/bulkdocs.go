package replication

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"datumbook/server/web"
	"datumbook/store"
	"datumbook/store/revtree"
)

// bulkDocs answers POST /{db}/_bulk_docs. Pushed revisions (new_edits:false) are answered with the
// refused ones only, edits with a row each, after they are on disk.
func (h *Handler) bulkDocs(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	in, err := h.intake(r)
	if err != nil {
		return err
	}
	defer in.discard()
	docs, edits, err := in.batch(r.Body)
	if err != nil {
		return err
	}
	rows, err := h.save(r, b, docs, !edits)
	if err != nil {
		return err
	}
	s := newStream(w)
	s.code = http.StatusCreated
	s.text("[")
	first := true
	for _, row := range rows {
		if !edits && row.Err == nil {
			continue
		}
		if !first {
			s.text(",")
		}
		first = false
		s.buf = appendResult(s.buf, row, !edits)
		if err := s.spill(64 << 10); err != nil {
			return s.broke(err)
		}
	}
	s.text("]\n")
	return s.end()
}

// batch reads {"docs": [...], "new_edits": bool}; the two may come in either order.
func (in *intake) batch(r io.Reader) (docs []incoming, edits bool, err error) {
	s := in.source(r)
	edits = true
	if s.lacks('{') {
		return nil, edits, badRequest("Request body must be a JSON object")
	}
	found := false
	var arena []byte
	err = s.members(func(name []byte) error {
		switch string(name) {
		case `"docs"`:
			if s.lacks('[') {
				return badRequest("`docs` parameter must be an array.")
			}
			found = true
			return s.items(func() error {
				if s.lacks('{') {
					return badRequest("Document must be a JSON object")
				}
				// Documents share arenas to save allocations; a full arena is left to its
				// documents.
				if cap(arena)-len(arena) < 2<<10 {
					arena = make([]byte, 0, 64<<10)
				}
				var d incoming
				var err error
				d, arena, err = in.doc(s, arena)
				docs = append(docs, d)
				return err
			})
		case `"new_edits"`:
			edits = s.kind() != 'f'
		}
		return s.skip()
	})
	if err == nil {
		err = s.eof()
	}
	if err == nil && !found {
		err = badRequest("POST body must include `docs` parameter.")
	}
	return docs, edits, err
}

// fewOfEach refuses a batch with more revisions of one document than may lie side by side: each
// costs as much as the document has.
func fewOfEach(docs []incoming) error {
	if len(docs) <= store.MaxLeaves {
		return nil
	}
	of := make(map[string]int, len(docs))
	for i := range docs {
		if of[docs[i].id]++; docs[i].id != "" && of[docs[i].id] > store.MaxLeaves {
			return status(http.StatusRequestEntityTooLarge, "too_large", fmt.Sprintf(
				"the request has more than %d revisions of one document: send fewer at a time", store.MaxLeaves))
		}
	}
	return nil
}

// ofBatch reports whether one such document refuses all of a pushed batch, as it does at a CouchDB: a
// replicator that sends this is at fault itself, and a row of its own would count as settled.
func ofBatch(err error) bool {
	return errors.Is(err, errNoRev) || store.KindOf(err) == store.Invalid
}

// save stores a batch and gives a row for each document in its order. A malformed document among
// edits refuses the whole batch, as the protocol says; among pushed revisions it is quarantined and
// only its own row says so, but for some, see ofBatch.
func (h *Handler) save(r *http.Request, b *store.Book, docs []incoming, push bool) ([]store.Result, error) {
	rows := make([]store.Result, len(docs))
	good := make([]store.Doc, 0, len(docs))
	place := make([]int, 0, len(docs))
	type local struct {
		at int
		id string
	}
	var locals []local // written last, once the batch is valid
	if err := fewOfEach(docs); err != nil {
		return nil, err
	}
	var whole error // refuses all of them, once each that is at fault is set aside
	for i := range docs {
		d := &docs[i]
		if id, ok := strings.CutPrefix(d.id, "_local/"); ok {
			if d.wrong != nil && (ofBatch(d.wrong) || !push && store.KindOf(d.wrong) == store.Bad) {
				return nil, d.wrong
			}
			locals = append(locals, local{i, id})
			continue
		}
		if !push && !d.hasID {
			d.id, d.hasID = store.NewID(), true
		}
		if !push {
			// A deletion is checked in the store, which knows what an earlier version took.
			if err := store.CheckID(d.id); err != nil && !(d.deleted && store.CheckOldID(d.id) == nil) {
				return nil, err
			}
		}
		doc, err := d.store(push)
		if err != nil {
			if !push && (store.KindOf(err) == store.Bad || ofBatch(err)) {
				return nil, err
			}
			if whole == nil && ofBatch(err) {
				whole = err
			}
			rows[i] = store.Result{ID: d.id, Err: err}
			if rev, bad := revtree.ParseRev(d.rev); bad == nil {
				rows[i].Rev = rev
			}
			if push {
				if err := h.Store.RefuseBy(deviceOf(r), b.Name(), doc, d.rev, err); err != nil {
					return nil, err
				}
			}
			continue
		}
		good = append(good, doc)
		place = append(place, i)
	}
	if whole != nil {
		return nil, whole
	}
	save := b.EditBy
	if push {
		save = b.PushBy
	}
	var results []store.Result
	err := resting(r, func() (err error) {
		results, err = save(deviceOf(r), good)
		return err
	})
	if err != nil {
		return nil, err
	}
	for k, res := range results {
		rows[place[k]] = res
	}
	for _, l := range locals {
		if rows[l.at], err = saveLocal(b, l.id, &docs[l.at]); err != nil {
			return nil, err
		}
	}
	return rows, nil
}

// resting waits for the disk without a turn on the processors.
func resting(r *http.Request, write func() error) error {
	share := web.ShareOf(r.Context())
	share.Rest()
	defer share.Again()
	return write()
}

// saveLocal writes a checkpoint that came in a batch. A refusal is in the row; an error is the
// disk's.
func saveLocal(b *store.Book, id string, d *incoming) (store.Result, error) {
	row := store.Result{ID: d.id, Err: d.wrong}
	if row.Err != nil {
		return row, nil
	}
	n, err := localRev(d.rev)
	switch {
	case err != nil:
	case d.deleted:
		n, err = 0, b.DeleteLocal(id, n)
	default:
		n, err = b.PutLocal(store.Local{ID: id, N: n, Body: d.body})
	}
	switch store.KindOf(err) {
	case "":
		row.Rev = revtree.Rev{Hash: strconv.FormatUint(n, 10)} // written 0-N
	case store.NotFound, store.Conflict, store.Bad:
		row.Err = err
	default:
		return row, err
	}
	return row, nil
}

// appendResult writes a row of the answer. A pushed document is only refused for permanent reasons,
// so its row says forbidden, with the protocol's word in the reason: any other word makes
// replicators retry for ever.
func appendResult(b []byte, row store.Result, push bool) []byte {
	b = append(b, `{"id":`...)
	b = appendString(b, row.ID)
	if row.Err == nil {
		b = append(b, `,"ok":true,"rev":"`...)
		b = appendRev(b, row.Rev)
		return append(b, `"}`...)
	}
	e := errorOf(row.Err)
	name, reason := e.Name, e.Message
	if push {
		name, reason = "forbidden", e.Name+": "+e.Message
	}
	if push && !row.Rev.IsZero() {
		b = append(appendRev(append(b, `,"rev":"`...), row.Rev), '"')
	}
	b = append(b, `,"error":`...)
	b = appendString(b, name)
	b = append(b, `,"reason":`...)
	b = appendString(b, reason)
	return append(b, '}')
}

// postDoc answers POST /{db}: a new document, with a new id if it has none.
func (h *Handler) postDoc(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	return h.writeOne(w, r, target{b, "", q})
}
