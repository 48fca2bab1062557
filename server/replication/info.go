package replication

import (
	"encoding/json"
	"net/http"
	"strconv"
)

// info answers GET and HEAD /{db}: the counts that replicators and people look at.
func (h *Handler) info(w http.ResponseWriter, r *http.Request) {
	b, err := h.book(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	in, err := b.Info()
	if err != nil {
		h.fail(w, r, err)
		return
	}
	size, err := h.Store.Size()
	if err != nil {
		h.fail(w, r, err)
		return
	}
	answer(w, http.StatusOK, map[string]any{
		"db_name": in.Name, "doc_count": in.Docs, "doc_del_count": in.Deleted, "update_seq": in.Seq, "committed_update_seq": in.Seq,
		"purge_seq": 0, "compact_running": in.Compacting, "instance_start_time": "0", "disk_format_version": 8,
		"sizes": map[string]int64{"file": size, "external": size, "active": size}, "cluster": map[string]int{"q": 1, "n": 1, "w": 1, "r": 1},
		"props": struct{}{},
	})
}

// createBook answers PUT /{db}.
func (h *Handler) createBook(w http.ResponseWriter, r *http.Request) {
	name, err := param(r, "db")
	if err == nil {
		_, err = h.Store.CreateBook(name)
	}
	if err != nil {
		if e := refusalOf(err); e.name == "bad_request" {
			err = status(http.StatusBadRequest, "illegal_database_name", e.reason)
		}
		h.fail(w, r, err)
		return
	}
	w.Header().Set("Location", "/"+name)
	answer(w, http.StatusCreated, map[string]bool{"ok": true})
}

// deleteBook answers DELETE /{db}. A rev in the query means that a document's id was forgotten.
func (h *Handler) deleteBook(w http.ResponseWriter, r *http.Request) {
	b, err := h.book(r)
	if err == nil && r.URL.Query().Has("rev") {
		err = badRequest("You tried to DELETE a database with a ?rev= parameter. Did you mean to DELETE a document instead?")
	}
	if err == nil {
		err = h.Store.DeleteBook(b.Name())
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	answer(w, http.StatusOK, map[string]bool{"ok": true})
}

// ensureFullCommit answers POST /{db}/_ensure_full_commit: what was answered before is on disk already.
func (h *Handler) ensureFullCommit(w http.ResponseWriter, r *http.Request) {
	if _, err := h.book(r); err != nil {
		h.fail(w, r, err)
		return
	}
	answer(w, http.StatusCreated, map[string]any{"ok": true, "instance_start_time": "0"})
}

// compact answers POST /{db}/_compact: it begins, and the book's info tells when it has ended.
func (h *Handler) compact(w http.ResponseWriter, r *http.Request) {
	if _, err := h.book(r); err != nil {
		h.fail(w, r, err)
		return
	}
	if err := h.Store.StartCompact(); err != nil {
		h.fail(w, r, err)
		return
	}
	answer(w, http.StatusAccepted, map[string]bool{"ok": true})
}

// revsLimit answers GET /{db}/_revs_limit.
func (h *Handler) revsLimit(w http.ResponseWriter, r *http.Request) {
	b, err := h.book(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	in, err := b.Info()
	if err != nil {
		h.fail(w, r, err)
		return
	}
	answerRaw(w, http.StatusOK, []byte(strconv.Itoa(in.RevsLimit)+"\n"))
}

// setRevsLimit answers PUT /{db}/_revs_limit.
func (h *Handler) setRevsLimit(w http.ResponseWriter, r *http.Request) {
	b, err := h.book(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	var n json.Number
	if err := readJSON(r.Body, 4*kib, &n); err != nil {
		h.fail(w, r, err)
		return
	}
	limit, err := strconv.Atoi(n.String())
	if err != nil || limit < 1 || limit > 1e9 {
		h.fail(w, r, badRequest("`_revs_limit` must be a whole number of at least 1"))
		return
	}
	if err := b.SetRevsLimit(limit); err != nil {
		h.fail(w, r, err)
		return
	}
	answer(w, http.StatusOK, map[string]bool{"ok": true})
}

// security answers GET /{db}/_security. Who may do what is decided by device and role, not here.
func (h *Handler) security(w http.ResponseWriter, r *http.Request) {
	if _, err := h.book(r); err != nil {
		h.fail(w, r, err)
		return
	}
	none := map[string][]string{"names": {}, "roles": {}}
	answer(w, http.StatusOK, map[string]any{"admins": none, "members": none})
}

// setSecurity answers PUT /{db}/_security.
func (h *Handler) setSecurity(w http.ResponseWriter, r *http.Request) {
	h.fail(w, r, status(http.StatusForbidden, "forbidden", "who gets in is decided by pairing devices, not by this object"))
}
