package server

import (
	"errors"
	"sync"

	"datumbook/server/pairing"
)

// running knows the requests being answered, by the device that sent them, so that a device that is
// revoked is out at once and not when its last feed ends.
type running struct {
	mu   sync.Mutex
	by   map[string]map[*request]func()
	gone map[string]bool // revoked while this server runs; ids are never used again
}

// errRevoked is the cause that the context of a revoked device's request has.
var errRevoked = errors.New("the device was revoked")

// begin notes a request; cut ends it. It is refused if the device was revoked since its token was
// looked up. The request's end must call end.
func (r *running) begin(q *request, cut func()) error {
	if q.who.Device == "" {
		return nil
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.gone[q.who.Device] {
		return unauthorized("revoked", pairing.ErrRevoked.Error())
	}
	if r.by == nil {
		r.by = make(map[string]map[*request]func())
	}
	if r.by[q.who.Device] == nil {
		r.by[q.who.Device] = make(map[*request]func())
	}
	r.by[q.who.Device][q] = cut
	return nil
}

func (r *running) end(q *request) {
	r.mu.Lock()
	defer r.mu.Unlock()
	delete(r.by[q.who.Device], q)
	if len(r.by[q.who.Device]) == 0 {
		delete(r.by, q.who.Device)
	}
}

// revoke ends all requests of a device but the one that revokes, and lets no other begin.
func (r *running) revoke(device string, but *request) {
	r.mu.Lock()
	if r.gone == nil {
		r.gone = make(map[string]bool)
	}
	r.gone[device] = true
	var cuts []func()
	for q, cut := range r.by[device] {
		if q != but {
			cuts = append(cuts, cut)
		}
	}
	r.mu.Unlock()
	for _, cut := range cuts {
		cut()
	}
}
