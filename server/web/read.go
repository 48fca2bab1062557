package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
)

// IsJSON reports whether a request says that its body is JSON.
func IsJSON(r *http.Request) bool {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	return err == nil && kind == "application/json"
}

// ReadJSON reads a small JSON object into v and refuses keys that v lacks.
func ReadJSON(r *http.Request, v any) error {
	if !IsJSON(r) {
		return NewError(http.StatusUnsupportedMediaType, "unsupported_media_type", "Content-Type",
			"send Content-Type: application/json")
	}
	all, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	dec := json.NewDecoder(bytes.NewReader(all))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return BadRequest("body", "the JSON does not fit: "+trouble(err))
	}
	return nothingMore(dec)
}

// ReadTexts reads a flat JSON object of strings. A number keeps its digits as written: 0.750 and
// 3e-1 stay unchanged.
func ReadTexts(in io.Reader) (map[string]string, error) {
	all, err := io.ReadAll(in)
	if err != nil {
		return nil, err
	}
	dec := json.NewDecoder(bytes.NewReader(all))
	dec.UseNumber()
	if t, err := dec.Token(); err != nil || t != json.Delim('{') {
		return nil, BadRequest("body", `send one JSON object of texts, for instance {"thread": "3/8-16"}`)
	}
	texts := make(map[string]string)
	for dec.More() {
		t, err := dec.Token()
		if err != nil {
			return nil, broken(err)
		}
		key := t.(string) // the decoder allows nothing else here
		if _, twice := texts[key]; twice {
			return nil, BadRequest(Shorten(key, 40), "this input is given twice: leave one out")
		}
		if t, err = dec.Token(); err != nil {
			return nil, broken(err)
		}
		switch v := t.(type) {
		case string:
			texts[key] = v
		case json.Number:
			texts[key] = v.String()
		default:
			return nil, BadRequest(Shorten(key, 40),
				`this input must be a text in quotes or a number, for instance "3/4"`)
		}
	}
	if _, err := dec.Token(); err != nil {
		return nil, broken(err)
	}
	return texts, nothingMore(dec)
}

func nothingMore(dec *json.Decoder) error {
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return BadRequest("body", "there is something after the JSON object: send one object alone")
	}
	return nil
}

func broken(err error) error { return BadRequest("body", "the JSON is broken: "+trouble(err)) }

func trouble(err error) string {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return "it ends too soon"
	}
	return err.Error()
}

// Shorten cuts a text that a client chose to n bytes.
func Shorten(s string, n int) string {
	if len(s) <= n {
		return s
	}
	return s[:n] + "..."
}
