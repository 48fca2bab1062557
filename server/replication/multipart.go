package replication

import (
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/textproto"
	"slices"

	"datumbook/server/web"
	"datumbook/store"
)

// related reads multipart/related: the document as JSON, then the contents of its attachments
// marked follows, in order or by the part's file name.
func (in *intake) related(body io.Reader, boundary string) (incoming, error) {
	if boundary == "" {
		return incoming{}, badRequest("multipart/related without a boundary")
	}
	mr := multipart.NewReader(body, boundary)
	part, err := mr.NextRawPart()
	if err != nil {
		return incoming{}, badPart(err)
	}
	d, err := in.alone(part)
	if err != nil {
		return d, err
	}
	for {
		part, err := mr.NextRawPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return d, badPart(err)
		}
		a := d.follower(fileName(part.Header))
		if a == nil {
			return d, badRequest("there are more parts than attachments that follow")
		}
		if a.blob, a.packed, err = in.copy(part, a.Coding); err != nil {
			return d, badPart(err)
		}
		if err := a.check(); err != nil {
			return d, err
		}
	}
	for _, a := range d.atts {
		if a.Follows && a.blob == nil {
			return d, badRequest("attachment " + a.name + " should follow and did not")
		}
	}
	return d, nil
}

// follower finds the attachment that a part belongs to.
func (d *incoming) follower(name string) *incomingAtt {
	for i := range d.atts {
		a := &d.atts[i]
		if a.Follows && a.blob == nil && (name == "" || a.name == name) {
			return a
		}
	}
	return nil
}

func fileName(h textproto.MIMEHeader) string {
	_, params, err := mime.ParseMediaType(h.Get("Content-Disposition"))
	if err != nil {
		return ""
	}
	return params["filename"]
}

func badPart(err error) error {
	if errorOf(err).Status != http.StatusInternalServerError || store.KindOf(err) != store.Failed {
		return err
	}
	return badRequest("the multipart body is broken: " + err.Error())
}

// inParts answers with parts. On an error, an answer already begun is cut short.
func inParts(w http.ResponseWriter, kind string, write func(*multipart.Writer) error) error {
	mw := multipart.NewWriter(w)
	w.Header().Set("Content-Type", kind+`; boundary="`+mw.Boundary()+`"`)
	w.Header().Set("Cache-Control", "no-store")
	if err := write(mw); err != nil {
		return web.CutShort(err)
	}
	return endParts(w, mw)
}

// endParts ends a multipart body. Nothing follows the last boundary, not even the line end that the
// library writes: a CouchDB takes it for the beginning of the next answer on the connection.
func endParts(w io.Writer, mw *multipart.Writer) error {
	_, err := io.WriteString(w, "\r\n--"+mw.Boundary()+"--")
	return err
}

// related answers with multipart/related: the document, then the contents of its attachments.
func (h *Handler) related(w http.ResponseWriter, d *loaded) error {
	return inParts(w, "multipart/related", func(mw *multipart.Writer) error { return h.relatedParts(mw, d) })
}

// relatedParts writes a document and its following contents as parts.
func (h *Handler) relatedParts(mw *multipart.Writer, d *loaded) error {
	var follow []store.Att
	doc := *d
	doc.Atts = nil
	s := &stream{}
	if err := h.writeDoc(s, &doc); err != nil {
		return err
	}
	text := s.buf[:len(s.buf)-1]
	for i, a := range d.Atts {
		if i == 0 {
			text = append(text, `,"_attachments":{`...)
		} else {
			text = append(text, ',')
		}
		text = append(appendString(text, a.Name), `:{"content_type":`...)
		text = appendString(text, attType(a))
		text = fmt.Appendf(text, `,"revpos":%d,"digest":"%s"`, a.RevPos, a.Digest())
		switch {
		case d.follows(a):
			text = fmt.Appendf(text, `,"length":%d,"follows":true}`, a.Length)
			follow = append(follow, a)
		case d.wants(a):
			text = append(text, `,"data":""}`...)
		default:
			text = fmt.Appendf(text, `,"length":%d,"stub":true}`, a.Length)
		}
	}
	if len(d.Atts) > 0 {
		text = append(text, '}')
	}
	if err := addPart(mw, "application/json", append(text, '}')); err != nil {
		return err
	}
	for _, a := range follow {
		c, err := d.content(h.Store, a)
		if err != nil {
			return err
		}
		part, err := mw.CreatePart(textproto.MIMEHeader{
			"Content-Disposition": {mime.FormatMediaType("attachment", map[string]string{"filename": a.Name})},
			"Content-Type":        {attType(a)},
			"Content-Length":      {fmt.Sprint(a.Length)},
		})
		if err != nil {
			return err
		}
		if _, err := io.Copy(part, c); err != nil {
			return err
		}
	}
	return nil
}

// follows reports whether a content is a part of its own. An empty one is sent within the document: a
// CouchDB waits minutes for the first byte of its part.
func (d *loaded) follows(a store.Att) bool { return a.Length > 0 && d.wants(a) }

// mixed answers open_revs with multipart/mixed: a part for each revision, which is
// multipart/related itself where the revision has attachments.
func (rd *reading) mixed(w http.ResponseWriter, rows []found) error {
	return inParts(w, "multipart/mixed", func(mw *multipart.Writer) error {
		for i := range rows {
			row := &rows[i]
			if err := rd.now(row); err != nil {
				return err
			}
			if err := rd.h.mixedPart(mw, row); err != nil {
				return err
			}
			row.doc = nil
		}
		return nil
	})
}

func (h *Handler) mixedPart(mw *multipart.Writer, row *found) error {
	switch {
	case row.doc == nil:
		return addPart(mw, `application/json; error="true"`, row.appendMissing(nil))
	case !slices.ContainsFunc(row.doc.Atts, row.doc.follows):
		s := &stream{}
		row.doc.atts = true // what is left is empty
		if err := h.writeDoc(s, row.doc); err != nil {
			return err
		}
		return addPart(mw, "application/json", s.buf)
	}
	boundary := multipart.NewWriter(io.Discard).Boundary()
	part, err := mw.CreatePart(textproto.MIMEHeader{"Content-Type": {`multipart/related; boundary="` + boundary + `"`}})
	if err != nil {
		return err
	}
	sub := multipart.NewWriter(part)
	if err := sub.SetBoundary(boundary); err != nil {
		return err
	}
	if err := h.relatedParts(sub, row.doc); err != nil {
		return err
	}
	return endParts(part, sub)
}

func addPart(mw *multipart.Writer, kind string, text []byte) error {
	part, err := mw.CreatePart(textproto.MIMEHeader{"Content-Type": {kind}})
	if err == nil {
		_, err = part.Write(text)
	}
	return err
}
