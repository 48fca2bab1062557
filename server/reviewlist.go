package server

import (
	"encoding/json"
	"net/http"
	"strconv"
	"time"

	"datumbook/server/pairing"
	"datumbook/server/web"
	"datumbook/store"
)

// ReviewList is the store's review list; *store.Store is one.
type ReviewList interface {
	Flags() ([]store.Flag, error)
	Refused() ([]store.Refusal, error)
	DropFlag(book, id, rev string) error
	DropRefused(number uint64) error
	Audit(store.Event) error
}

// refusalView is a refused document as the API shows it. Its number is text:
// JavaScript would round one of 64 bits.
type refusalView struct {
	Number string          `json:"number"`
	Book   string          `json:"book"`
	ID     string          `json:"id"`
	Rev    string          `json:"rev,omitempty"`
	Reason string          `json:"reason"`
	At     time.Time       `json:"at"`
	Body   json.RawMessage `json:"body,omitempty"`
	Text   string          `json:"text,omitempty"`
}

// reviewList returns flagged records, which are stored and shared like any other, and refused
// documents, which are quarantined whole.
func (s *Server) reviewList(w http.ResponseWriter, r *http.Request) error {
	flags, err := s.Reviews.Flags()
	if err != nil {
		return err
	}
	refused, err := s.Reviews.Refused()
	if err != nil {
		return err
	}
	out := struct {
		Flags   []store.Flag  `json:"flags"`
		Refused []refusalView `json:"refused"`
	}{append([]store.Flag{}, flags...), make([]refusalView, 0, len(refused))}
	for _, f := range refused {
		out.Refused = append(out.Refused, refusalView{strconv.FormatUint(f.Number, 10), f.Book, f.ID, f.Rev, f.Reason, f.At, f.Body, f.Text})
	}
	return web.JSON(w, http.StatusOK, out)
}

// reviewSettle removes one reviewed entry: a flag by book, id and rev, whose record stays as it is,
// or a refused document by its number, which is then gone. Settling twice is no error.
func (s *Server) reviewSettle(w http.ResponseWriter, r *http.Request) error {
	var in struct {
		Book   string `json:"book"`
		ID     string `json:"id"`
		Rev    string `json:"rev"`
		Number string `json:"number"`
	}
	if err := web.ReadJSON(r, &in); err != nil {
		return err
	}
	var err error
	detail := "record " + in.ID + " " + in.Rev + " left as it is"
	switch number, bad := strconv.ParseUint(in.Number, 10, 64); {
	case in.Number != "" && bad == nil:
		detail = "refused document " + in.Number + " dropped"
		err = s.Reviews.DropRefused(number)
	case in.Number == "" && in.Book != "" && in.ID != "" && in.Rev != "":
		err = s.Reviews.DropFlag(in.Book, in.ID, in.Rev)
	default:
		return web.BadRequest("body",
			"say which: book, id and rev of a record, or the number of a refused one, as the list gives them")
	}
	if store.KindOf(err) == store.Bad {
		return web.BadRequest("rev", err.Error())
	}
	if err == nil {
		err = s.Reviews.Audit(store.Event{At: s.Now(), What: "looked at", Who: pairing.From(r.Context()).Name,
			Detail: detail})
	}
	if err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}
