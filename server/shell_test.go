package server_test

import (
	"context"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/servertest"
	"datumbook/server/web"
	"datumbook/store"
)

func TestCalc(t *testing.T) {
	o := servertest.Start(t, nil)
	post := func(path, body string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "POST", Path: path, Body: body})
	}
	for _, c := range []struct {
		name, path, body string
		status           int
		want             string
	}{
		{"texts", "/api/calc/echo", `{"depth":"3/4","thread":"5/8-11"}`, 200, `{"inputs":{"depth":"3/4","thread":"5/8-11"},"unit":""}`},
		{"numbers keep their digits", "/api/calc/echo", `{"a":0.750,"b":3e-1,"c":-2}`, 200, `{"inputs":{"a":"0.750","b":"3e-1","c":"-2"},"unit":""}`},
		{"unit in the body", "/api/calc/echo", `{"_unit":"mm","a":"1"}`, 200, `{"inputs":{"a":"1"},"unit":"mm"}`},
		{"unit in the query", "/api/calc/echo?unit=mm", `{"a":"1"}`, 200, `{"inputs":{"a":"1"},"unit":"mm"}`},
		{"unit twice, the same", "/api/calc/echo?unit=in", `{"_unit":"in"}`, 200, `{"inputs":{},"unit":"in"}`},
		{"unit twice, not the same", "/api/calc/echo?unit=in", `{"_unit":"mm"}`, 400, `"field":"unit"`},
		{"unit unknown", "/api/calc/echo?unit=ft", `{}`, 400, `"field":"unit"`},
		{"worksheet's own error", "/api/calc/no", `{}`, 422, `{"error":{"field":"depth","message":"too deep"}}`},
		{"no such worksheet", "/api/calc/nothing", `{}`, 404, `"field":"worksheet"`},
		{"coded dots in the name", "/api/calc/%2e%2e", `{}`, 404, `"field":"worksheet"`},
		{"an array", "/api/calc/echo", `["a"]`, 400, `"field":"body"`},
		{"a nested value", "/api/calc/echo", `{"a":{"b":"c"}}`, 400, `"field":"a"`},
		{"true", "/api/calc/echo", `{"a":true}`, 400, `"field":"a"`},
		{"null", "/api/calc/echo", `{"a":null}`, 400, `"field":"a"`},
		{"twice", "/api/calc/echo", `{"a":"1","a":"2"}`, 400, `"field":"a"`},
		{"cut short", "/api/calc/echo", `{"a":"1"`, 400, `"field":"body"`},
		{"more behind it", "/api/calc/echo", `{"a":"1"}{}`, 400, `"field":"body"`},
		{"bare words", "/api/calc/echo", `depth=3/4`, 400, `"field":"body"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := post(c.path, c.body)
			assert.Equal(t, c.status, got.Status, got.Body)
			assert.Contains(t, got.Body, c.want)
			assert.Equal(t, "application/json", got.Header.Get("Content-Type"))
			assert.Equal(t, "no-store", got.Header.Get("Cache-Control"))
		})
	}
	t.Run("list", func(t *testing.T) {
		got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/calc"})
		assert.Equal(t, `[{"name":"echo"},{"name":"no"}]`, got.Body)
	})
	t.Run("a form, as curl sends it", func(t *testing.T) {
		got := o.Do(t, servertest.Request{Method: "POST", Path: "/api/calc/echo", Body: "{}",
			Header: map[string]string{"Content-Type": "application/x-www-form-urlencoded"}})
		assert.Equal(t, 415, got.Status)
		assert.Contains(t, got.Body, "application/json")
	})
	t.Run("a worksheet that breaks is our fault and says where to look", func(t *testing.T) {
		got := post("/api/calc/broken", `{}`)
		assert.Equal(t, 500, got.Status)
		id := got.Header.Get("X-Request-Id")
		assert.Contains(t, got.Body, id)
		assert.Contains(t, o.Lines.String(), "a worksheet broke")
		assert.Contains(t, o.Lines.String(), `"id":"`+id+`"`)
		assert.NotContains(t, got.Body, "worksheet broke")
	})
}

func TestHealth(t *testing.T) {
	var trouble error
	o := servertest.Start(t, func(s *server.Server) { s.Ready = func() error { return trouble } })
	got := o.Do(t, servertest.Request{Method: "GET", Path: "/healthz"})
	assert.Equal(t, 200, got.Status)
	assert.JSONEq(t, `{"ok":true,"version":"test"}`, got.Body)
	trouble = net.ErrClosed
	got = o.Do(t, servertest.Request{Method: "GET", Path: "/healthz"})
	assert.Equal(t, 503, got.Status)
	assert.JSONEq(t, `{"ok":false}`, got.Body)
	assert.Contains(t, o.Lines.String(), net.ErrClosed.Error())
}

func TestMetrics(t *testing.T) {
	o := servertest.Start(t, nil)
	o.Do(t, servertest.Request{Method: "GET", Path: "/healthz"})
	got := o.Do(t, servertest.Request{Method: "GET", Path: "/metrics"})
	assert.Equal(t, 200, got.Status)
	assert.Contains(t, got.Body, `datumbook_requests_total{method="GET",route="/healthz",status="200"} 1`)
	assert.Contains(t, got.Body, "datumbook_requests_in_flight 1")
}

func TestOpenSaysWhatIsWrong(t *testing.T) {
	o := servertest.Start(t, nil)
	for _, c := range []struct {
		name string
		s    *server.Server
		want string
	}{
		{"taken", &server.Server{Addr: strings.TrimPrefix(o.URL(), "http://")}, "is in use"},
		{"start page's port taken", &server.Server{Addr: "127.0.0.1:0", StartAddr: strings.TrimPrefix(o.URL(), "http://")}, "is in use"},
		{"not ours", &server.Server{Addr: "192.0.2.1:0"}, "not an address of this machine"}, // RFC 5737: no machine has it
		{"no port", &server.Server{Addr: "127.0.0.1"}, "not host:port"},
		{"host with scheme", &server.Server{Addr: "127.0.0.1:0", Hosts: []string{"https://a.local"}}, "leave out scheme"},
		{"origin with path", &server.Server{Addr: "127.0.0.1:0", Origins: []string{"https://a.example/x"}}, "without a path"},
		{"any origin", &server.Server{Addr: "127.0.0.1:0", Origins: []string{"*"}}, "not a scheme and a host"},
		{"starred origin", &server.Server{Addr: "127.0.0.1:0", Origins: []string{"https://*.example"}}, "or a star"},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.ErrorContains(t, c.s.Open(), c.want)
		})
	}
}

// A request in flight is answered, a long poll is ended, and nothing new is
// taken.
func TestCloseFinishesWhatWasTaken(t *testing.T) {
	began, polled := make(chan bool), make(chan bool)
	finish := make(chan bool)
	s := &server.Server{Addr: "127.0.0.1:0", Peer: servertest.Ours, Sync: []web.Route{
		{Method: "PUT", Path: "/sync/slow", Role: store.Operator, Time: time.Minute,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				close(began)
				<-finish
				if r.Context().Err() == nil {
					w.WriteHeader(http.StatusCreated)
				}
			})},
		{Method: "GET", Path: "/sync/poll", Role: store.Reader,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				close(polled)
				<-r.Context().Done()
				_, _ = w.Write([]byte(`{"results":[]}`))
			})},
	}}
	require.NoError(t, s.Open())
	url := s.URL()
	status := make(chan int, 2)
	ask := func(method, path string) {
		r, _ := http.NewRequest(method, url+path, nil)
		got, err := http.DefaultClient.Do(r)
		if err != nil {
			status <- 0
			return
		}
		_ = got.Body.Close()
		status <- got.StatusCode
	}
	go ask("GET", "/sync/poll")
	<-polled
	go ask("PUT", "/sync/slow")
	<-began
	closed := make(chan error)
	go func() { closed <- s.Close(context.Background()) }()
	assert.Equal(t, 200, <-status, "the long poll ends at once")
	require.Eventually(t, func() bool {
		c, err := net.Dial("tcp", strings.TrimPrefix(url, "http://"))
		if err == nil {
			_ = c.Close()
		}
		return err != nil
	}, 5*time.Second, time.Millisecond, "nothing new is taken")
	close(finish)
	assert.Equal(t, 201, <-status, "the write is answered")
	assert.NoError(t, <-closed)
	assert.NoError(t, s.Close(context.Background()), "closing twice is no error")
}

func TestCloseCutsOffWhatWillNotEnd(t *testing.T) {
	began := make(chan bool)
	s := &server.Server{Addr: "127.0.0.1:0", Peer: servertest.Ours, Sync: []web.Route{
		{Method: "GET", Path: "/sync/stuck", Role: store.Reader, Time: time.Minute,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				close(began)
				<-r.Context().Done()
			})},
	}}
	require.NoError(t, s.Open())
	go func() { _, _ = http.Get(s.URL() + "/sync/stuck") }()
	<-began
	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	assert.ErrorContains(t, s.Close(ctx), "cut off")
}

// TestRules: a phone that has no arithmetic yet has its records ruled, with its token alone; a
// worksheet it may ask without.
func TestRules(t *testing.T) {
	o := servertest.Start(t, servertest.Everywhere)
	token, _ := o.Token(t, store.Reader)
	ask := func(path, token string, header map[string]string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "POST", Path: path, Body: `{"a":"1"}`, Token: token, Header: header})
	}
	got := ask("/api/rules/echo", token, nil)
	assert.Equal(t, 200, got.Status)
	assert.Equal(t, `{"a":"1"}`, got.Body)
	assert.Equal(t, 404, ask("/api/rules/find", token, nil).Status)
	page := map[string]string{"Sec-Fetch-Site": "same-origin", "X-Forwarded-For": "192.0.2.9"} // not this machine
	assert.Equal(t, 401, ask("/api/rules/echo", "", page).Status)
	assert.Equal(t, 200, ask("/api/calc/echo", "", page).Status)
	assert.Equal(t, 401, ask("/api/calc/echo", "dtb_wrong", page).Status)
	page["Sec-Fetch-Site"] = "cross-site"
	assert.Equal(t, 401, ask("/api/calc/echo", "", page).Status)
}
