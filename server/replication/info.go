package replication

import (
	"encoding/json"
	"net/http"
	"strconv"

	"datumbook/server/web"
	"datumbook/store"
)

// info answers GET and HEAD /{db}: the book's counts.
func (h *Handler) info(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	in, err := b.Info()
	if err != nil {
		return err
	}
	size, err := h.Store.Size()
	if err != nil {
		return err
	}
	out := map[string]any{
		"db_name": in.Name, "doc_count": in.Docs, "doc_del_count": in.Deleted, "update_seq": in.Seq, "committed_update_seq": in.Seq,
		"purge_seq": 0, "compact_running": in.Compacting, "instance_start_time": "0", "disk_format_version": 8,
		"sizes": map[string]int64{"file": size, "external": size, "active": size}, "cluster": map[string]int{"q": 1, "n": 1, "w": 1, "r": 1},
		"props": struct{}{},
	}
	if err := h.Store.NotCompacted(); err != nil {
		out["compact_error"] = store.Sentence(err)
	}
	return web.JSON(w, http.StatusOK, out)
}

// createBook answers PUT /{db}.
func (h *Handler) createBook(w http.ResponseWriter, r *http.Request) error {
	name, err := param(r, "db")
	if err == nil {
		_, err = h.Store.CreateBook(name)
	}
	if err != nil {
		if e := errorOf(err); e.Name == "bad_request" {
			err = status(http.StatusBadRequest, "illegal_database_name", e.Message)
		}
		return err
	}
	w.Header().Set("Location", "/"+name)
	return web.JSON(w, http.StatusCreated, map[string]bool{"ok": true})
}

// deleteBook answers DELETE /{db}. A rev in the query means that a document's id is missing.
func (h *Handler) deleteBook(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	if q.Has("rev") {
		return badRequest("You tried to DELETE a database with a ?rev= parameter. " +
			"Did you mean to DELETE a document instead?")
	}
	if err := h.Store.DeleteBook(b.Name()); err != nil {
		return err
	}
	return web.JSON(w, http.StatusOK, map[string]bool{"ok": true})
}

// ensureFullCommit answers POST /{db}/_ensure_full_commit: all earlier answers are on disk already.
func (h *Handler) ensureFullCommit(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	return web.JSON(w, http.StatusCreated, map[string]any{"ok": true, "instance_start_time": "0"})
}

// compact answers POST /{db}/_compact: it starts, and the book's info shows when it has ended.
func (h *Handler) compact(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	if err := h.Store.StartCompact(); err != nil {
		return err
	}
	return web.JSON(w, http.StatusAccepted, map[string]bool{"ok": true})
}

// revsLimit answers GET /{db}/_revs_limit.
func (h *Handler) revsLimit(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	in, err := b.Info()
	if err != nil {
		return err
	}
	return web.Raw(w, http.StatusOK, []byte(strconv.Itoa(in.RevsLimit)+"\n"))
}

// setRevsLimit answers PUT /{db}/_revs_limit.
func (h *Handler) setRevsLimit(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	limit, err := readLimit(r, "_revs_limit")
	if err == nil {
		err = b.SetRevsLimit(limit)
	}
	if err != nil {
		return err
	}
	return web.JSON(w, http.StatusOK, map[string]bool{"ok": true})
}

// purgedLimit answers GET /{db}/_purged_infos_limit.
func (h *Handler) purgedLimit(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	n, err := b.PurgedLimit()
	if err != nil {
		return err
	}
	return web.Raw(w, http.StatusOK, []byte(strconv.Itoa(n)+"\n"))
}

// setPurgedLimit answers PUT /{db}/_purged_infos_limit.
func (h *Handler) setPurgedLimit(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	limit, err := readLimit(r, "_purged_infos_limit")
	if err == nil {
		err = b.SetPurgedLimit(limit)
	}
	if err != nil {
		return err
	}
	return web.JSON(w, http.StatusOK, map[string]bool{"ok": true})
}

// readLimit reads a body that is a number.
func readLimit(r *http.Request, name string) (int, error) {
	var n json.Number
	if err := readJSON(r.Body, 4*kib, &n); err != nil {
		return 0, err
	}
	limit, err := strconv.Atoi(n.String())
	if err != nil || limit < 1 || limit > 1e9 {
		return 0, badRequest("`" + name + "` must be a whole number of at least 1")
	}
	return limit, nil
}

// security answers GET /{db}/_security. Access is decided by device and role, not here.
func (h *Handler) security(w http.ResponseWriter, r *http.Request, b *store.Book, q query) error {
	none := map[string][]string{"names": {}, "roles": {}}
	return web.JSON(w, http.StatusOK, map[string]any{"admins": none, "members": none})
}

// setSecurity answers PUT /{db}/_security.
func (h *Handler) setSecurity(w http.ResponseWriter, r *http.Request) error {
	return status(http.StatusForbidden, "forbidden", "who gets in is decided by pairing devices, not by this object")
}
