package server

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"net/url"

	"github.com/gorilla/mux"
)

// Sheets answers worksheets. The same code answers on the phone, so the JSON is
// passed on byte for byte.
type Sheets interface {
	// Run computes one worksheet from inputs as typed. unit is "in", "mm" or
	// empty. ok is false when answer is an error's JSON; found is false when
	// there is no worksheet of that name.
	Run(name, unit string, inputs map[string]string) (answer []byte, ok bool, found bool)
	// Describe gives every worksheet's description as JSON.
	Describe() []byte
}

// unitKey is the input that sets the unit of bare numbers. No worksheet's own
// key begins with an underscore.
const unitKey = "_unit"

func (s *Server) calcList(w http.ResponseWriter, r *http.Request) {
	if s.Sheets == nil {
		writeRaw(w, http.StatusOK, []byte("[]"))
		return
	}
	writeRaw(w, http.StatusOK, s.Sheets.Describe())
}

func (s *Server) calcRun(w http.ResponseWriter, r *http.Request) {
	name, err := url.PathUnescape(mux.Vars(r)["name"])
	if err != nil {
		fail(w, r, fault(http.StatusBadRequest, "bad_request", "worksheet", "the worksheet's name is not written as an address should be"))
		return
	}
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		fail(w, r, fault(http.StatusUnsupportedMediaType, "unsupported_media_type", "Content-Type", "send the inputs with Content-Type: application/json"))
		return
	}
	inputs, err := readInputs(r.Body)
	if err != nil {
		s.failLogged(w, r, err)
		return
	}
	unit, err := unitOf(r.URL.Query(), inputs)
	if err != nil {
		fail(w, r, err)
		return
	}
	if s.Sheets == nil {
		fail(w, r, noSheet(name))
		return
	}
	answer, ok, found := s.Sheets.Run(name, unit, inputs)
	switch {
	case !found:
		fail(w, r, noSheet(name))
	case !ok:
		writeRaw(w, http.StatusUnprocessableEntity, answer)
	default:
		writeRaw(w, http.StatusOK, answer)
	}
}

func noSheet(name string) *Fault {
	return fault(http.StatusNotFound, "not_found", "worksheet",
		"there is no worksheet called "+shorten(name, 40)+": GET /api/calc lists them")
}

// unitOf takes the unit from the inputs or the query; both may say it, but the
// same.
func unitOf(query url.Values, inputs map[string]string) (string, error) {
	unit, said := inputs[unitKey]
	delete(inputs, unitKey)
	for _, q := range query["unit"] {
		if said && q != unit {
			return "", fault(http.StatusBadRequest, "bad_request", "unit", "the unit is given twice and differs: leave one out")
		}
		unit, said = q, true
	}
	if unit != "" && unit != "in" && unit != "mm" {
		return "", fault(http.StatusBadRequest, "bad_request", "unit", "the unit is in or mm")
	}
	return unit, nil
}

// readInputs reads a flat JSON object of texts. A number stands for its own
// digits, as written: 0.750 and 3e-1 reach the worksheet untouched.
func readInputs(in io.Reader) (map[string]string, error) {
	all, err := io.ReadAll(in)
	if err != nil {
		return nil, err
	}
	bad := func(field, says string) error { return fault(http.StatusBadRequest, "bad_request", field, says) }
	dec := json.NewDecoder(bytes.NewReader(all))
	dec.UseNumber()
	if t, err := dec.Token(); err != nil || t != json.Delim('{') {
		return nil, bad("body", `send one JSON object of texts, for instance {"thread": "3/8-16"}`)
	}
	inputs := make(map[string]string)
	for dec.More() {
		t, err := dec.Token()
		if err != nil {
			return nil, bad("body", "the JSON is broken: "+jsonTrouble(err))
		}
		key := t.(string) // the decoder lets nothing else stand here
		if _, twice := inputs[key]; twice {
			return nil, bad(shorten(key, 40), "this input is given twice: leave one out")
		}
		t, err = dec.Token()
		if err != nil {
			return nil, bad("body", "the JSON is broken: "+jsonTrouble(err))
		}
		switch v := t.(type) {
		case string:
			inputs[key] = v
		case json.Number:
			inputs[key] = v.String()
		default:
			return nil, bad(shorten(key, 40), `this input must be a text in quotes or a number, for instance "3/4"`)
		}
	}
	if _, err := dec.Token(); err != nil {
		return nil, bad("body", "the JSON is broken: "+jsonTrouble(err))
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, bad("body", "there is something after the JSON object: send one object alone")
	}
	return inputs, nil
}

func jsonTrouble(err error) string {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return "it ends too soon"
	}
	return err.Error()
}
