package peer

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"sync"
)

// photos carries documents with attachments, some at a time, each streamed from one end to the other.
func (l *leg) photos(ctx context.Context, ids []string, lacks map[string]lacking) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	work := make(chan string)
	var going sync.WaitGroup
	var one sync.Mutex // orders what the leg notes
	many := photosAtOnce
	if l.careful {
		many = 1 // the line may be too thin for more
	}
	for range min(many, len(ids)) {
		going.Go(func() {
			for id := range work {
				if err := l.photo(ctx, &one, id, lacks[id]); err != nil {
					stop(err)
				}
			}
		})
	}
	for _, id := range ids {
		select {
		case work <- id:
			continue
		case <-ctx.Done():
		}
		break
	}
	close(work)
	going.Wait()
	return context.Cause(ctx)
}

// photo carries one document. Contents that the target has already are left out, unless it turns out
// that it has not.
func (l *leg) photo(ctx context.Context, one *sync.Mutex, id string, lack lacking) error {
	err := l.stream(ctx, one, id, lack.Missing, lack.Ancestors)
	if isStatus(err, http.StatusPreconditionFailed) && len(lack.Ancestors) > 0 {
		err = l.stream(ctx, one, id, lack.Missing, nil)
	}
	var from *readError
	if err == nil || ctx.Err() != nil || !isFault(err) && !errors.As(err, &from) {
		return err
	}
	one.Lock()
	defer one.Unlock()
	where := l.to
	if errors.As(err, &from) {
		where = l.from
	}
	// An end may let this office in and refuse the record all the same, by rules of its own; then it
	// takes a note.
	ruled := where == l.to && (isStatus(err, http.StatusForbidden) || isStatus(err, http.StatusUnauthorized))
	switch {
	case !ruled && !blames(err) && !(l.careful && doubtful(err)):
		return at(where, "a record with attachments cannot be carried over", err)
	case where == l.from:
		return l.unread(ctx, id, err)
	}
	return l.suspect(ctx, id, "", err)
}

// readError is a fault of the source's while the target is written to.
type readError struct{ error }

func (e *readError) Unwrap() error { return e.error }

// stream asks the source for revisions with their attachments and hands each to the target as it
// comes: a part of the answer is the body of the request.
func (l *leg) stream(ctx context.Context, one *sync.Mutex, id string, revs, have []string) error {
	q := url.Values{"revs": {"true"}, "latest": {"true"}, "open_revs": {listOf(revs)}}
	if len(have) > 0 {
		q.Set("atts_since", listOf(have))
	}
	resp, err := l.from.do(ctx, http.MethodGet, docPath(id)+"?"+q.Encode(), nil,
		http.Header{"Accept": {"multipart/mixed"}})
	if err != nil {
		return readFault(ctx, err)
	}
	defer resp.Body.Close()
	kind, params, err := mime.ParseMediaType(resp.Header.Get("Content-Type"))
	if err != nil || kind != "multipart/mixed" || params["boundary"] == "" {
		return &readError{garbage()}
	}
	parts := multipart.NewReader(resp.Body, params["boundary"])
	var refused error
	for {
		part, err := parts.NextRawPart()
		if err == io.EOF { //nolint:errorlint // wrapped, it is an answer that broke off
			return refused
		}
		if err != nil {
			return readFault(ctx, brokeOff(ctx, err))
		}
		err = l.part(ctx, one, id, part)
		if blames(err) && refused == nil {
			refused = err // the other revisions may be taken
		} else if err != nil && !blames(err) {
			return err
		}
	}
}

// part hands one revision over.
func (l *leg) part(ctx context.Context, one *sync.Mutex, id string, part *multipart.Part) error {
	kind, params, err := mime.ParseMediaType(part.Header.Get("Content-Type"))
	switch {
	case err != nil:
		return &readError{garbage()}
	case kind == "application/json" && params["error"] == "true":
		return l.noPart(ctx, one, id, part)
	case kind == "application/json":
		text, err := io.ReadAll(io.LimitReader(part, maxAnswer))
		if err != nil {
			return readFault(ctx, brokeOff(ctx, err))
		}
		var h head
		if json.Unmarshal(text, &h) != nil || h.Rev == "" {
			return &readError{garbage()}
		}
		one.Lock()
		defer one.Unlock()
		return l.send(ctx, []doc{{id, h.Rev, text}})
	case kind != "multipart/related":
		return &readError{garbage()}
	}
	body := &tracked{r: part, done: make(chan struct{})}
	resp, err := l.to.do(ctx, http.MethodPut, docPath(id)+"?new_edits=false", body,
		http.Header{"Content-Type": {part.Header.Get("Content-Type")}})
	<-body.done // an early answer leaves the sending to end by itself
	if e := body.failed(); e != nil {
		if err == nil {
			_ = resp.Body.Close()
		}
		return readFault(ctx, brokeOff(ctx, e))
	}
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	var done struct {
		ID  string `json:"id"`
		Rev string `json:"rev"`
	}
	if err := decode(ctx, resp.Body, &done); err != nil {
		return err
	}
	if done.ID != id || done.Rev == "" {
		return garbage()
	}
	one.Lock()
	defer one.Unlock()
	l.arrived(1)
	return nil
}

// noPart sets a revision aside that its end says it cannot give. Where it says nothing but that it is
// missing, it may have been replaced: what became of it is asked at the end.
func (l *leg) noPart(ctx context.Context, one *sync.Mutex, id string, part io.Reader) error {
	text, err := io.ReadAll(io.LimitReader(part, faultBytes))
	if err != nil {
		return readFault(ctx, brokeOff(ctx, err))
	}
	var said struct{ Missing, Error, Reason string }
	if json.Unmarshal(text, &said) != nil {
		return &readError{garbage()}
	}
	if said.Error == "" || said.Error == "not_found" {
		return nil
	}
	one.Lock()
	defer one.Unlock()
	return l.setAside(id, said.Missing, "it cannot be read where it is: "+said.Error+": "+said.Reason)
}

func readFault(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	return &readError{err}
}

// tracked remembers why a part could not be read to its end, and tells when nobody reads it any more.
type tracked struct {
	r    io.Reader
	mu   sync.Mutex
	e    error
	done chan struct{}
	once sync.Once
}

// Close is called by the client when it has done with the body, however that ended.
func (t *tracked) Close() error {
	t.once.Do(func() { close(t.done) })
	return nil
}

func (t *tracked) Read(p []byte) (int, error) {
	n, err := t.r.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		t.mu.Lock()
		t.e = err
		t.mu.Unlock()
	}
	return n, err
}

func (t *tracked) failed() error {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.e
}

// listOf gives revisions as the JSON list that a query holds.
func listOf(revs []string) string {
	text, err := json.Marshal(revs)
	if err != nil {
		return "[]"
	}
	return strings.TrimSpace(string(text))
}
