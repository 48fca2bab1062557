package server

import (
	"io"
	"net/http"
	"net/url"

	"github.com/gorilla/mux"

	"datumbook/server/web"
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

// Rules answers one of the job book's operations that need nothing but their request, as a phone's
// own would. found is false where there is none of that name.
type Rules func(op string, request []byte) (answer []byte, found bool)

// ruling lets a phone whose own arithmetic is still on its way have its records written by the same
// rules. Nothing of them is kept here.
func (s *Server) ruling(w http.ResponseWriter, r *http.Request) error {
	request, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	answer, found := s.Rules(mux.Vars(r)["op"], request)
	if !found {
		return errNothingHere
	}
	return web.Raw(w, http.StatusOK, answer)
}

func (s *Server) calcList(w http.ResponseWriter, r *http.Request) error {
	list := []byte("[]")
	if s.Sheets != nil {
		list = s.Sheets.Describe()
	}
	return web.Raw(w, http.StatusOK, list)
}

func (s *Server) calcRun(w http.ResponseWriter, r *http.Request) error {
	name, err := url.PathUnescape(mux.Vars(r)["name"])
	if err != nil {
		return web.BadRequest("worksheet", "the worksheet's name is not written as an address should be")
	}
	if !web.IsJSON(r) {
		return web.NewError(http.StatusUnsupportedMediaType, "unsupported_media_type", "Content-Type",
			"send the inputs with Content-Type: application/json")
	}
	inputs, err := web.ReadTexts(r.Body)
	if err != nil {
		return err
	}
	unit, err := unitOf(r.URL.Query(), inputs)
	if err != nil {
		return err
	}
	if s.Sheets != nil {
		switch answer, ok, found := s.Sheets.Run(name, unit, inputs); {
		case found && ok:
			return web.Raw(w, http.StatusOK, answer)
		case found:
			return web.Raw(w, http.StatusUnprocessableEntity, answer)
		}
	}
	return web.NewError(http.StatusNotFound, "not_found", "worksheet",
		"there is no worksheet called "+web.Shorten(name, 40)+": GET /api/calc lists them")
}

// unitOf takes the unit from the inputs or the query; if both give it, they must agree.
func unitOf(query url.Values, inputs map[string]string) (string, error) {
	unit, said := inputs[unitKey]
	delete(inputs, unitKey)
	for _, q := range query["unit"] {
		if said && q != unit {
			return "", web.BadRequest("unit", "the unit is given twice and differs: leave one out")
		}
		unit, said = q, true
	}
	if unit != "" && unit != "in" && unit != "mm" {
		return "", web.BadRequest("unit", "the unit is in or mm")
	}
	return unit, nil
}
