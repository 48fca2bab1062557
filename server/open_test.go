package server_test

import (
	"fmt"
	"net"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/servertest"
	"datumbook/store"
)

// A machine has other users. By the address alone they get the app, the worksheets and the figures,
// and nothing of the records.
func TestOtherUsersOfThisMachine(t *testing.T) {
	var asked atomic.Int32
	stranger := func(s *server.Server) {
		s.Peer = func(net.Conn) bool { asked.Add(1); return false }
	}
	nobodyKnows := func(s *server.Server) { s.Peer = nil }
	for name, change := range map[string]func(*server.Server){"another user": stranger, "no system to ask": nobodyKnows} {
		t.Run(name, func(t *testing.T) {
			o := servertest.Start(t, func(s *server.Server) {
				change(s)
				s.Backup = noBackup
				s.Sync = append(protocol(), realProtocol(t)...)
				s.Reviews = emptyStore(t)
				s.Trail = emptyStore(t)
				s.Prove = func(nonce string) string { return "proof" }
			})
			for _, rt := range o.Routes() {
				got := o.Do(t, servertest.Request{Method: rt.Method, Path: fill.Replace(rt.Path)})
				free := rt.Role == store.Anyone || rt.Near || rt.Free
				assert.Equal(t, !free, got.Status == http.StatusUnauthorized, "%s %s: %d", rt.Method, rt.Path, got.Status)
			}
			got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/me"})
			assert.Contains(t, got.Body, "datumbook open")
			for _, free := range []servertest.Request{
				{Method: "GET", Path: "/"}, {Method: "GET", Path: "/api/calc"}, {Method: "GET", Path: "/metrics"},
				{Method: "POST", Path: "/api/calc/echo", Body: `{"a":"1"}`},
			} {
				assert.Equal(t, 200, o.Do(t, free).Status, free.Path)
			}
			token, _ := o.Token(t, store.Operator)
			got = o.Do(t, servertest.Request{Method: "GET", Path: "/api/me", Token: token})
			assert.Equal(t, 200, got.Status, "paired like a phone")
		})
	}
	assert.NotZero(t, asked.Load())
}

// Whose a connection is, is asked once for it, and not at all where nothing depends on it.
func TestPeerIsAskedOnceForAConnection(t *testing.T) {
	var asked atomic.Int32
	o := servertest.Start(t, func(s *server.Server) {
		s.Peer = func(net.Conn) bool { asked.Add(1); return true }
	})
	transport := &http.Transport{MaxConnsPerHost: 1}
	defer transport.CloseIdleConnections()
	client := &http.Client{Transport: transport}
	get := func(path string, want int) {
		got, err := client.Get(o.Local() + path)
		require.NoError(t, err)
		assert.Equal(t, want, got.StatusCode)
		body := make([]byte, 1<<16)
		for err == nil { // to its end, so that the connection is used again
			_, err = got.Body.Read(body)
		}
		require.NoError(t, got.Body.Close())
	}
	get("/healthz", 200)
	get("/", 200)
	assert.Zero(t, asked.Load())
	for range 3 {
		get("/api/devices", 200)
	}
	assert.Equal(t, int32(1), asked.Load())
}

// On the shop's network the same user needs a token too: a local proxy may run as that user.
func TestPeerGivesNothingOnTheNetwork(t *testing.T) {
	o := servertest.Start(t, servertest.Everywhere)
	assert.Equal(t, 401, o.Do(t, servertest.Request{Method: "GET", Path: "/api/devices"}).Status)
	sheets := o.Do(t, servertest.Request{Method: "GET", Path: "/api/calc"})
	assert.Equal(t, 200, sheets.Status, "worksheets hold no records")
}

// The link: good once, then another is there; what it gives is a device like any other.
func TestLinkForThisMachine(t *testing.T) {
	opened := 0
	o := servertest.Start(t, func(s *server.Server) {
		s.Peer = nil
		s.Pairing.Opened = func() { opened++ }
	})
	link, err := o.OpenLink()
	require.NoError(t, err)
	again, err := o.OpenLink()
	require.NoError(t, err)
	assert.Equal(t, link, again, "until it is used")
	start, key, ok := strings.Cut(link, "/#open=")
	require.True(t, ok)
	assert.Equal(t, o.Local(), start)
	assert.Len(t, key, 43, "256 bits")

	trade := func(key string, header map[string]string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "POST", Path: "/api/open",
			Body: fmt.Sprintf(`{"key":%q}`, key), Header: header})
	}
	wrong := trade(strings.Repeat("A", 43), nil)
	assert.Equal(t, 403, wrong.Status)
	assert.Contains(t, wrong.Body, "datumbook open")
	assert.Equal(t, 403, trade("", nil).Status)
	assert.Equal(t, 403, trade(key, map[string]string{"X-Forwarded-For": "203.0.113.9"}).Status, "not from this machine")
	assert.Equal(t, 403, trade(key, map[string]string{"Origin": "https://evil.example"}).Status)
	assert.Zero(t, opened)

	got := trade(key, nil)
	require.Equal(t, 201, got.Status, got.Body)
	var in struct {
		Token  string
		Device struct{ ID, Name, Role string }
	}
	read(t, got.Body, &in)
	assert.Equal(t, "this machine", in.Device.Name)
	assert.Equal(t, "owner", in.Device.Role)
	assert.Equal(t, 1, opened)
	assert.Equal(t, 403, trade(key, nil).Status, "once")

	list := o.Do(t, servertest.Request{Method: "GET", Path: "/api/devices", Token: in.Token})
	assert.Contains(t, list.Body, in.Device.ID)
	fresh := o.Do(t, servertest.Request{Method: "POST", Path: "/api/open/link", Token: in.Token, Body: `{}`})
	require.Equal(t, 201, fresh.Status, fresh.Body)
	var made struct{ Link string }
	read(t, fresh.Body, &made)
	second := o.Do(t, servertest.Request{Method: "POST", Path: "/api/open/link", Token: in.Token, Body: `{}`})
	assert.NotEqual(t, fresh.Body, second.Body)
	assert.Equal(t, 403, trade(strings.TrimPrefix(made.Link, start+"/#open="), nil).Status, "a newer one was made")

	out := o.Do(t, servertest.Request{Method: "DELETE", Path: "/api/devices/" + in.Device.ID, Token: in.Token})
	assert.Equal(t, 204, out.Status)
	assert.Equal(t, 401, o.Do(t, servertest.Request{Method: "GET", Path: "/api/devices", Token: in.Token}).Status)
	log := o.Lines.String()
	assert.NotContains(t, log, key)
	assert.NotContains(t, log, in.Token)
}

func TestProof(t *testing.T) {
	var o *servertest.Office
	o = servertest.Start(t, func(s *server.Server) {
		s.Prove = func(nonce string) string { return pairing.Prove("dtb_token", nonce, o.Port()) }
	})
	nonce := pairing.NewNonce()
	got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/prove?nonce=" + nonce})
	require.Equal(t, 200, got.Status, got.Body)
	var said struct{ Proof string }
	read(t, got.Body, &said)
	assert.True(t, pairing.Proven("dtb_token", nonce, o.Port(), said.Proof))
	assert.False(t, pairing.Proven("dtb_token", nonce, o.Port()+1, said.Proof), "not for another port")
	assert.False(t, pairing.Proven("dtb_token", pairing.NewNonce(), o.Port(), said.Proof), "not for another nonce")
	assert.False(t, pairing.Proven("dtb_other", nonce, o.Port(), said.Proof), "not with another token")
	assert.False(t, pairing.Proven("", nonce, o.Port(), pairing.Prove("", nonce, o.Port())), "not without one")
	for _, bad := range []string{"", "?nonce=", "?nonce=zz", "?nonce=" + nonce[2:], "?nonce=" + nonce + "00"} {
		assert.Equal(t, 400, o.Do(t, servertest.Request{Method: "GET", Path: "/api/prove" + bad}).Status, bad)
	}
}
