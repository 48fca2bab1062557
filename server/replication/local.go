package replication

import (
	"net/http"
	"strconv"
	"strings"

	"datumbook/server/web"
	"datumbook/store"
)

// getLocal answers GET /{db}/_local/{id}.
func (h *Handler) getLocal(w http.ResponseWriter, r *http.Request, t target) error {
	l, err := t.Local(t.id)
	if err != nil {
		return err
	}
	return web.Raw(w, http.StatusOK, append(appendLocal(nil, l), '\n'))
}

func appendLocal(b []byte, l store.Local) []byte {
	b = appendString(append(b, `{"_id":`...), "_local/"+l.ID)
	b = strconv.AppendUint(append(b, `,"_rev":"0-`...), l.N, 10)
	b = append(b, '"')
	if len(l.Body) > 0 {
		b = append(append(b, ','), store.WellFormed(l.Body)...)
	}
	return append(b, '}')
}

// putLocal answers PUT /{db}/_local/{id}.
func (h *Handler) putLocal(w http.ResponseWriter, r *http.Request, t target) error {
	in, err := h.intake(r)
	if err != nil {
		return err
	}
	defer in.discard()
	d, err := in.alone(r.Body)
	if err == nil {
		err = d.wrong
	}
	if err != nil {
		return err
	}
	n, err := localRev(d.rev)
	if err == nil {
		err = resting(r, func() (err error) {
			if d.deleted {
				err, n = t.DeleteLocal(t.id, n), 0
				return err
			}
			n, err = t.PutLocal(store.Local{ID: t.id, N: n, Body: d.body})
			return err
		})
	}
	if err != nil {
		return err
	}
	return web.JSON(w, http.StatusCreated,
		map[string]any{"ok": true, "id": "_local/" + t.id, "rev": "0-" + strconv.FormatUint(n, 10)})
}

// deleteLocal answers DELETE /{db}/_local/{id}.
func (h *Handler) deleteLocal(w http.ResponseWriter, r *http.Request, t target) error {
	n, err := localRev(t.q.Get("rev"))
	if err == nil {
		err = t.DeleteLocal(t.id, n)
	}
	if err != nil {
		return err
	}
	return web.JSON(w, http.StatusOK, map[string]any{"ok": true, "id": "_local/" + t.id, "rev": "0-0"})
}

// localRev reads 0-N; empty is 0.
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

// noLocalAtt answers GET /{db}/_local/{id}/{attachment}: checkpoints have none.
func (h *Handler) noLocalAtt(w http.ResponseWriter, r *http.Request) error {
	return badRequest("_local documents do not accept attachments.")
}
