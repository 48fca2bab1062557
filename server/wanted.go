package server

import (
	"net/http"

	"datumbook/server/web"
	"datumbook/store"
)

// wanted lists the attachments whose content is damaged here: a phone that has one sends its
// revision again, which makes the content whole.
func (s *Server) wanted(w http.ResponseWriter, r *http.Request) error {
	list, err := s.Wanted(r.Context())
	if err != nil {
		return err
	}
	return web.JSON(w, http.StatusOK, struct {
		Wanted []store.Wanted `json:"wanted"`
	}{list})
}
