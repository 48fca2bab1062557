package server_test

import (
	"errors"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/peer"
	"datumbook/server/replication"
	"datumbook/server/servertest"
	"datumbook/store"
)

// copies are two copies elsewhere, one of which lags.
type copies struct{ reread error }

func (copies) States() []peer.State {
	return []peer.State{
		{ID: "aaaaaa", Name: "copy.example/sync/shop", Out: &peer.Leg{State: peer.UpToDate, Success: time.Unix(1700000000, 0)}},
		{ID: "bbbbbb", Name: "hub.example/shop", In: &peer.Leg{State: peer.Failing, Waiting: 7, Faults: 2,
			Fault: "it answers 507", Aside: []peer.Aside{{ID: "reading:1", Reason: "no"}}}},
	}
}

func (c copies) Reread() error { return c.reread }

// TestCopiesAreToldToTheOffice: what is wrong with the copies elsewhere is told to the office machine,
// and never to a phone, for which nothing is wrong.
func TestCopiesAreToldToTheOffice(t *testing.T) {
	st, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), "office.db")})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, st.Close()) })
	h := &replication.Handler{Store: st, Copies: func() error { return errors.New("the copy at hub.example lags") }}
	o := servertest.Start(t, func(s *server.Server) {
		s.Sync = server.SyncRoutes(h)
		s.Peers = copies{}
	})
	assert.Contains(t, o.Do(t, servertest.Request{Method: "GET", Path: "/sync/"}).Body, "the copy at hub.example lags")
	for _, role := range []store.Role{store.Reader, store.Operator, store.Owner} {
		token, _ := o.Token(t, role)
		phone := o.Do(t, servertest.Request{Method: "GET", Path: "/sync/", Token: token})
		assert.Equal(t, 200, phone.Status)
		assert.NotContains(t, phone.Body, "trouble", role)
		list := o.Do(t, servertest.Request{Method: "GET", Path: "/api/peers", Token: token})
		again := o.Do(t, servertest.Request{Method: "POST", Path: "/api/peers/reread", Token: token, Body: "{}"})
		if role != store.Owner {
			assert.Equal(t, []int{403, 403}, []int{list.Status, again.Status}, role)
			continue
		}
		assert.Equal(t, []int{200, 200}, []int{list.Status, again.Status})
		assert.Contains(t, list.Body, `"fault":"it answers 507"`)
	}
	figures := o.Do(t, servertest.Request{Method: "GET", Path: "/metrics"}).Body
	for _, line := range []string{
		`datumbook_peer_waiting{name="hub.example/shop",peer="bbbbbb",way="in"} 7`,
		`datumbook_peer_set_aside{name="hub.example/shop",peer="bbbbbb",way="in"} 1`,
		`datumbook_peer_failures_total{name="hub.example/shop",peer="bbbbbb",way="in"} 2`,
		`datumbook_peer_last_success_seconds{name="copy.example/sync/shop",peer="aaaaaa",way="out"} 1.7e+09`,
		`datumbook_peer_last_success_seconds{name="hub.example/shop",peer="bbbbbb",way="in"} 0`,
	} {
		assert.Contains(t, figures, line)
	}
}

// TestBrokenListIsTold: a list of peers that cannot be read is an answer of its own.
func TestBrokenListIsTold(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) { s.Peers = copies{errors.New("peers.json is not a list of peers")} })
	got := o.Do(t, servertest.Request{Method: "POST", Path: "/api/peers/reread", Body: "{}"})
	assert.Equal(t, 500, got.Status)
	assert.Contains(t, got.Body, "peers.json is not a list of peers")
}
