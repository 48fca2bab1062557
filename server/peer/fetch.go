package peer

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
)

// wanted is what _bulk_get is asked for.
type wanted struct {
	ID  string `json:"id"`
	Rev string `json:"rev"`
}

// got is one revision of an answer to _bulk_get.
type got struct {
	OK    json.RawMessage `json:"ok"`
	Error *struct {
		Rev    string `json:"rev"`
		Error  string `json:"error"`
		Reason string `json:"reason"`
	} `json:"error"`
}

// head is what a leg itself looks at in a revision.
type head struct {
	ID      string                     `json:"_id"`
	Rev     string                     `json:"_rev"`
	Deleted bool                       `json:"_deleted"`
	Atts    map[string]json.RawMessage `json:"_attachments"`
}

// fetch reads documents at the source and puts them into the outbox. Those with attachments it
// gives back: they are carried one by one, without holding them.
func (l *leg) fetch(ctx context.Context, ids []string, lacks map[string]lacking, out *outbox) ([]string, error) {
	var ask []wanted
	for _, id := range ids {
		for _, rev := range lacks[id].Missing {
			ask = append(ask, wanted{id, rev})
		}
	}
	var photos []string
	err := l.from.bulkGet(ctx, ask, func(id string, g got) error {
		if g.Error != nil {
			if g.Error.Error == "not_found" {
				return nil // what became of it is asked at the end
			}
			return l.setAside(id, g.Error.Rev, "it cannot be read where it is: "+g.Error.Error+": "+g.Error.Reason)
		}
		var h head
		if err := json.Unmarshal(g.OK, &h); err != nil || h.ID == "" || h.Rev == "" {
			return garbage()
		}
		if len(h.Atts) > 0 {
			if len(photos) == 0 || photos[len(photos)-1] != h.ID {
				photos = append(photos, h.ID)
			}
			return nil
		}
		return out.add(ctx, doc{h.ID, h.Rev, bytes.Clone(g.OK)})
	})
	var own *sendError
	switch {
	case err == nil:
		return photos, nil
	case errors.As(err, &own):
		return photos, own.error
	case !blames(err) && !(l.careful && doubtful(err)):
		return photos, at(l.from, "records cannot be read", err)
	case len(ids) > 1:
		first, err := l.fetch(ctx, ids[:len(ids)/2], lacks, out)
		if err != nil {
			return first, err
		}
		second, err := l.fetch(ctx, ids[len(ids)/2:], lacks, out)
		return append(first, second...), err
	}
	return nil, l.unread(ctx, ids[0], err)
}

// sendError is an error of the other end while an answer is read.
type sendError struct{ error }

// bulkGet reads revisions, one after the other as they come.
func (e *end) bulkGet(ctx context.Context, ask []wanted, each func(id string, g got) error) error {
	if len(ask) == 0 {
		return nil
	}
	text, err := json.Marshal(map[string]any{"docs": ask})
	if err != nil {
		return err
	}
	resp, err := e.do(ctx, http.MethodPost, "/_bulk_get?revs=true&latest=true", bytes.NewReader(text),
		http.Header{"Content-Type": {"application/json"}})
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	body := &bounded{r: resp.Body, left: maxAnswer}
	d := json.NewDecoder(body)
	if err := into(d, "results"); err != nil {
		return brokeOff(ctx, err)
	}
	for d.More() {
		var row struct {
			ID   string `json:"id"`
			Docs []got  `json:"docs"`
		}
		body.left = maxAnswer // of each row
		if err := d.Decode(&row); err != nil {
			return brokeOff(ctx, err)
		}
		for _, g := range row.Docs {
			if err := each(row.ID, g); err != nil {
				return &sendError{err}
			}
		}
	}
	for range 2 { // the ends of list and object: without them the answer is not whole
		if _, err := d.Token(); err != nil {
			return brokeOff(ctx, err)
		}
	}
	return nil
}

// bounded ends a read that does not end by itself.
type bounded struct {
	r    io.Reader
	left int64
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.left <= 0 {
		return 0, &Fault{Reason: "its answer does not end"}
	}
	n, err := b.r.Read(p)
	b.left -= int64(n)
	return n, err
}

// into reads up to the first item of an object's only list.
func into(d *json.Decoder, name string) error {
	for _, want := range []json.Token{json.Delim('{'), name, json.Delim('[')} {
		t, err := d.Token()
		if err != nil {
			return err
		}
		if t != want {
			return garbage()
		}
	}
	return nil
}

// brokeOff makes a fault of an answer that cannot be read on.
func brokeOff(ctx context.Context, err error) error {
	var syntax *json.SyntaxError
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case isFault(err):
		return err
	case errors.As(err, &syntax):
		return garbage()
	}
	return &Fault{Reason: "its answer broke off: " + plainly(err)}
}
