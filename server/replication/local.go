package replication

import (
	"net/http"
	"strconv"
	"strings"

	"datumbook/store"
)

// localID gives the checkpoint a request is about.
func (h *Handler) localID(r *http.Request) (*store.Book, string, error) {
	b, err := h.book(r)
	if err != nil {
		return nil, "", err
	}
	id, err := param(r, "id")
	return b, id, err
}

// getLocal answers GET /{db}/_local/{id}.
func (h *Handler) getLocal(w http.ResponseWriter, r *http.Request) {
	b, id, err := h.localID(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	l, err := b.Local(id)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	out := appendString([]byte(`{"_id":`), "_local/"+id)
	out = strconv.AppendUint(append(out, `,"_rev":"0-`...), l.N, 10)
	out = append(out, '"')
	if len(l.Body) > 0 {
		out = append(append(out, ','), l.Body...)
	}
	answerRaw(w, http.StatusOK, append(out, "}\n"...))
}

// putLocal answers PUT /{db}/_local/{id}.
func (h *Handler) putLocal(w http.ResponseWriter, r *http.Request) {
	b, id, err := h.localID(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	in := &intake{s: h.Store}
	defer in.discard()
	s := newScan(r.Body)
	d, _, err := in.doc(s, nil)
	if err == nil {
		err = s.eof()
	}
	if err == nil {
		err = d.wrong
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	n, err := localRev(d.rev)
	if err == nil && d.deleted {
		err = b.DeleteLocal(id, n)
	} else if err == nil {
		n, err = b.PutLocal(store.Local{ID: id, N: n, Body: d.body})
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	answer(w, http.StatusCreated, map[string]any{"ok": true, "id": "_local/" + id, "rev": "0-" + strconv.FormatUint(n, 10)})
}

// deleteLocal answers DELETE /{db}/_local/{id}.
func (h *Handler) deleteLocal(w http.ResponseWriter, r *http.Request) {
	b, id, err := h.localID(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	n, err := localRev(r.URL.Query().Get("rev"))
	if err == nil {
		err = b.DeleteLocal(id, n)
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	answer(w, http.StatusOK, map[string]any{"ok": true, "id": "_local/" + id, "rev": "0-0"})
}

// localRev reads 0-N; nothing is 0.
func localRev(rev string) (uint64, error) {
	if rev == "" {
		return 0, nil
	}
	n, err := strconv.ParseUint(strings.TrimPrefix(rev, "0-"), 10, 53)
	if err != nil || !strings.HasPrefix(rev, "0-") {
		return 0, errBadRev
	}
	return n, nil
}

// noLocalAtt answers GET /{db}/_local/{id}/{attachment}: checkpoints carry none.
func (h *Handler) noLocalAtt(w http.ResponseWriter, r *http.Request) {
	h.fail(w, r, badRequest("_local documents do not accept attachments."))
}
