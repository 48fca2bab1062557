package server_test

import (
	"context"
	"encoding/base64"
	"fmt"
	"io"
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

// fill fills in a route's template.
var fill = strings.NewReplacer("{name}", "echo", "{op}", "echo", "{id}", "nobody", "{file:.*}", "sw.js",
	"{db}", "book", "{ddoc}", "d", "{att:.+}", "a.txt")

// caller is one kind of caller of the table test.
type caller struct {
	name string
	role store.Role // role that the middleware should find
	prep func(*servertest.Request)
	want int  // status that every route must answer with, whatever its role; 0: by role
	near bool // shows no token: routes without records let this machine in
}

// Every route, every kind of caller, on a server that the shop's network
// reaches. The table is the server's own, so a new route is tested as it comes.
func TestEveryRouteByEveryCaller(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) {
		servertest.Everywhere(s)
		s.Hosts = []string{"datumbook.local"}
		s.Origins = []string{"https://office.example"}
		s.Backup = func(_ context.Context, to io.Writer) error { _, err := io.WriteString(to, "all of it"); return err }
		s.Sync = append(protocol(), realProtocol(t)...)
		s.Reviews = emptyStore(t)
		s.Trail = emptyStore(t)
	})
	tokens := map[store.Role]string{}
	for _, r := range []store.Role{store.Reader, store.Operator, store.Owner} {
		tokens[r], _ = o.Token(t, r)
	}
	gone, goneID := o.Token(t, store.Owner)
	require.NoError(t, o.Pairing.Revoke(goneID, "test"))

	header := func(k, v string) func(*servertest.Request) {
		return func(q *servertest.Request) { q.Header[k] = v }
	}
	with := func(do ...func(*servertest.Request)) func(*servertest.Request) {
		return func(q *servertest.Request) {
			for _, d := range do {
				d(q)
			}
		}
	}
	token := func(s string) func(*servertest.Request) { return func(q *servertest.Request) { q.Token = s } }
	host := func(s string) func(*servertest.Request) { return func(q *servertest.Request) { q.Host = s } }
	owner := token(tokens[store.Owner])
	basic := "Basic " + base64.StdEncoding.EncodeToString([]byte("device:"+tokens[store.Operator]))
	none := func(*servertest.Request) {}
	const elsewhere = "said to come from this machine" // and so not

	const unauthorized, forbidden, misdirected = http.StatusUnauthorized, http.StatusForbidden, http.StatusMisdirectedRequest
	callers := []caller{
		{"no token", store.Anyone, none, 0, true},
		{"reader", store.Reader, token(tokens[store.Reader]), 0, false},
		{"hand", store.Operator, token(tokens[store.Operator]), 0, false},
		{"owner", store.Owner, owner, 0, false},
		{"hand by Basic password", store.Operator, header("Authorization", basic), 0, false},
		{"owner by the office's name", store.Owner, with(owner, host("datumbook.local:8470")), 0, false},
		{"owner by its name with a dot", store.Owner, with(owner, host("DATUMBOOK.local.")), 0, false},
		{"owner from a named origin", store.Owner, with(owner, header("Origin", "https://office.example")), 0, false},
		{"owner from our own page", store.Owner,
			with(owner, header("Origin", o.Local()), header("Sec-Fetch-Site", "same-origin")), 0, false},

		{"wrong token", store.Anyone, token("dtb_" + strings.Repeat("A", 43)), 0, false},
		{"no token at all", store.Anyone, token("hunter2"), 0, false},
		{"revoked token", store.Anyone, token(gone), 0, false},
		{"token in lower case", store.Anyone, token(strings.ToLower(tokens[store.Owner]) + "-"), 0, false},
		{"unknown scheme", store.Anyone, header("Authorization", "Token "+tokens[store.Owner]), 0, false},
		{"token in the query", store.Anyone,
			func(q *servertest.Request) { q.Path += "?token=" + tokens[store.Owner] }, 0, true},
		{"token in a cookie", store.Anyone, header("Cookie", "token="+tokens[store.Owner]), 0, true},
		{elsewhere, store.Anyone, header("X-Forwarded-For", "127.0.0.1"), 0, false},

		{"owner from another origin", store.Owner,
			with(owner, header("Origin", "https://evil.example")), forbidden, false},
		{"owner from a like-named origin", store.Owner, with(owner, header("Origin",
			"https://office.example.evil.example")), forbidden, false},
		{"owner from the origin on another scheme", store.Owner,
			with(owner, header("Origin", "http://office.example")), forbidden, false},
		{"owner from a sandboxed page", store.Owner, with(owner, header("Origin", "null")), forbidden, false},
		{"another origin, no token", store.Anyone, header("Origin", "https://evil.example"), forbidden, false},
		{"owner by another name", store.Owner, with(owner, host("evil.example")), misdirected, false},
		{"owner by another address", store.Owner, with(owner, host("192.0.2.200")), misdirected, false},
		{"owner by a name that begins like ours", store.Owner,
			with(owner, host("datumbook.local.evil.example")), misdirected, false},
		{"rebound page", store.Anyone,
			with(host("evil.example:8470"), header("Origin", "http://evil.example:8470")), misdirected, false},
	}
	count := 0
	for _, rt := range o.Routes() {
		for _, c := range callers {
			name := fmt.Sprintf("%s %s, %s", rt.Method, rt.Path, c.name)
			q := servertest.Request{Method: rt.Method, Path: fill.Replace(rt.Path), Header: map[string]string{}}
			c.prep(&q)
			got := o.Do(t, q)
			count++
			switch {
			case c.want != 0:
				assert.Equal(t, c.want, got.Status, name)
			case c.role.Allows(rt.Role), c.near && (rt.Near || rt.Free), c.name == elsewhere && rt.Free:
				assert.NotContains(t, []int{unauthorized, misdirected}, got.Status, name)
				if rt.Method == "PUT" && strings.HasSuffix(rt.Path, "/_security") {
					// past the middleware, the protocol's own answer: who gets in is settled here,
					// not there
					assert.NotContains(t, got.Body, "role", name)
				} else {
					assert.NotEqual(t, forbidden, got.Status, name)
				}
			case c.role == store.Anyone:
				assert.Equal(t, unauthorized, got.Status, name)
				assert.NotEmpty(t, got.Header.Get("WWW-Authenticate"), name)
			default:
				assert.Equal(t, forbidden, got.Status, name)
			}
			checkHeaders(t, name, rt, got)
			if got.Status >= 400 && got.Status < 500 && (c.want != 0 || !c.role.Allows(rt.Role)) {
				checkErrorShape(t, name, q, got)
			}
		}
	}
	t.Logf("%d requests", count)
	assert.Greater(t, count, 500)

	log := o.Lines.String()
	for _, secret := range append([]string{gone, basic},
		tokens[store.Reader], tokens[store.Operator], tokens[store.Owner]) {
		assert.NotContains(t, log, secret, "no secrets in the log")
	}
	assert.Equal(t, strings.Count(log, `"msg":"request"`), count, "one request, one line")
}

// checkHeaders: what every answer carries.
func checkHeaders(t *testing.T, name string, rt web.Route, got servertest.Answer) {
	t.Helper()
	h := got.Header
	assert.Equal(t, "nosniff", h.Get("X-Content-Type-Options"), name)
	assert.Equal(t, "DENY", h.Get("X-Frame-Options"), name)
	assert.Equal(t, "no-referrer", h.Get("Referrer-Policy"), name)
	assert.Len(t, h.Get("X-Request-Id"), 16, name)
	assert.NotEmpty(t, h.Get("Cache-Control"), name)
	csp := h.Get("Content-Security-Policy")
	assert.Contains(t, csp, "default-src 'none'", name)
	assert.NotContains(t, csp, "unsafe-inline", name)
	assert.NotContains(t, csp, "'unsafe-eval'", name)
	assert.NotContains(t, csp, "*", name)
	if strings.HasPrefix(rt.Path, "/sync") || strings.HasPrefix(rt.Path, "/api") {
		assert.Contains(t, csp, "sandbox", name)
		assert.Equal(t, "no-store", h.Get("Cache-Control"), name)
	}
	if o := h.Get("Access-Control-Allow-Origin"); o != "" {
		assert.Equal(t, "https://office.example", o, name)
		assert.Equal(t, "true", h.Get("Access-Control-Allow-Credentials"), name)
		assert.Contains(t, h.Values("Vary"), "Origin", name)
	}
}

// checkErrorShape: the protocol's words under /sync, field and message under
// /api, a sentence elsewhere.
func checkErrorShape(t *testing.T, name string, q servertest.Request, got servertest.Answer) {
	t.Helper()
	if q.Method == "HEAD" {
		return
	}
	switch {
	case strings.HasPrefix(q.Path, "/sync"):
		assert.Regexp(t, `^\{"error":"[a-z_]+","reason":".+"\}\n$`, got.Body, name)
	case strings.HasPrefix(q.Path, "/api"):
		assert.Regexp(t, `^\{"error":\{"field":".*","message":".+"\}\}\n$`, got.Body, name)
	default:
		assert.Equal(t, "text/plain; charset=utf-8", got.Header.Get("Content-Type"), name)
	}
}

// On loopback alone, requests from this machine have the owner role; web pages opened there do not.
func TestLoopbackOwner(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) { s.Origins = []string{"https://office.example"} })
	for _, c := range []struct {
		name   string
		host   string
		header map[string]string
		want   int
	}{
		{"plain", "", nil, 200},
		{"by name", "localhost:9", nil, 200},
		{"our page", "", map[string]string{"Origin": o.URL(), "Sec-Fetch-Site": "same-origin"}, 200},
		{"typed into the browser", "", map[string]string{"Sec-Fetch-Site": "none"}, 200},
		{"a page's picture", "", map[string]string{"Sec-Fetch-Site": "cross-site"}, 401},
		{"a page on another port", "", map[string]string{"Sec-Fetch-Site": "same-site"}, 401},
		{"a named origin still needs a token", "", map[string]string{"Origin": "https://office.example"}, 401},
		{"through a proxy", "", map[string]string{"X-Forwarded-For": "203.0.113.9"}, 401},
		{"through a proxy, new header", "", map[string]string{"Forwarded": "for=203.0.113.9"}, 401},
		{"through a proxy that says Via", "", map[string]string{"Via": "1.1 proxy"}, 401},
		{"a rebound name", "evil.example", nil, 421},
		{"wrong token", "", map[string]string{"Authorization": "Bearer x"}, 401},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/devices", Host: c.host, Header: c.header})
			assert.Equal(t, c.want, got.Status, got.Body)
		})
	}
}

func TestMetricsOnTheNetwork(t *testing.T) {
	o := servertest.Start(t, servertest.Everywhere)
	get := func(h map[string]string) int {
		return o.Do(t, servertest.Request{Method: "GET", Path: "/metrics", Header: h}).Status
	}
	assert.Equal(t, 200, get(nil), "this machine itself")
	assert.Equal(t, 401, get(map[string]string{"X-Forwarded-For": "203.0.113.9"}))
	assert.Equal(t, 401, get(map[string]string{"Sec-Fetch-Site": "cross-site"}))
}

func TestPreflight(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) { s.Origins = []string{"https://office.example"} })
	ask := func(origin string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "OPTIONS", Path: "/api/calc", Header: map[string]string{
			"Origin": origin, "Access-Control-Request-Method": "GET", "Access-Control-Request-Headers": "authorization,content-type"}})
	}
	got := ask("https://office.example")
	assert.Equal(t, 204, got.Status)
	assert.Equal(t, "https://office.example", got.Header.Get("Access-Control-Allow-Origin"))
	assert.Equal(t, "true", got.Header.Get("Access-Control-Allow-Credentials"))
	got = ask("https://evil.example")
	assert.Equal(t, 403, got.Status)
	assert.Empty(t, got.Header.Get("Access-Control-Allow-Origin"))

	// With no origin named, none is allowed: an empty list must not mean all.
	alone := servertest.Start(t, nil)
	got = alone.Do(t, servertest.Request{Method: "OPTIONS", Path: "/api/calc", Header: map[string]string{
		"Origin": "https://office.example", "Access-Control-Request-Method": "GET"}})
	assert.Equal(t, 403, got.Status)
	assert.Empty(t, got.Header.Get("Access-Control-Allow-Origin"))
}

func TestPairingOverHTTP(t *testing.T) {
	o := servertest.Start(t, servertest.Everywhere)
	owner, _ := o.Token(t, store.Owner)
	shown := o.Do(t, servertest.Request{Method: "POST", Path: "/api/pair/code", Token: owner, Body: `{"role":"hand"}`})
	require.Equal(t, 201, shown.Status, shown.Body)
	var code struct{ Code, Role, Link, QR string }
	read(t, shown.Body, &code)
	assert.Equal(t, "hand", code.Role)
	assert.True(t, strings.HasPrefix(code.QR, "<svg "), code.QR)
	assert.Contains(t, code.Link, "/#pair="+strings.ReplaceAll(code.Code, "-", ""))

	traded := o.Do(t, servertest.Request{Method: "POST", Path: "/api/pair", Body: fmt.Sprintf(`{"code":%q,"name":"Mill phone"}`, code.Code)})
	require.Equal(t, 201, traded.Status, traded.Body)
	var in struct {
		Token  string
		Device struct{ ID, Name, Role string }
	}
	read(t, traded.Body, &in)
	assert.Equal(t, "Mill phone", in.Device.Name)

	me := o.Do(t, servertest.Request{Method: "GET", Path: "/api/me", Token: in.Token})
	assert.JSONEq(t, fmt.Sprintf(`{"device":%q,"name":"Mill phone","role":"hand","version":"test"}`, in.Device.ID), me.Body)

	list := o.Do(t, servertest.Request{Method: "GET", Path: "/api/devices", Token: owner})
	assert.Contains(t, list.Body, "Mill phone")
	assert.NotContains(t, list.Body, "oken")

	// What it was called may have been guessed: it says so itself, or an owner does; nobody else.
	reader, _ := o.Token(t, store.Reader)
	rename := func(token, id, name string) servertest.Answer {
		return o.Do(t, servertest.Request{Method: "POST", Path: "/api/devices/" + id, Token: token, Body: fmt.Sprintf(`{"name":%q}`, name)})
	}
	assert.JSONEq(t, `{"name":"Bench tablet"}`, rename(in.Token, in.Device.ID, " Bench tablet ").Body)
	assert.Equal(t, 403, rename(reader, in.Device.ID, "Mine").Status)
	assert.Contains(t, rename(in.Token, in.Device.ID, " ").Body, `"field":"name"`)
	assert.Equal(t, 401, rename("", in.Device.ID, "Nobody's").Status)
	assert.Equal(t, 404, rename(owner, "nobody", "x").Status)
	assert.Equal(t, 200, rename(owner, in.Device.ID, "Bench phone").Status)
	assert.Contains(t, o.Do(t, servertest.Request{Method: "GET", Path: "/api/me", Token: in.Token}).Body, `"name":"Bench phone"`)

	assert.Equal(t, 204, o.Do(t, servertest.Request{Method: "DELETE", Path: "/api/devices/" + in.Device.ID, Token: owner}).Status)
	after := o.Do(t, servertest.Request{Method: "GET", Path: "/api/me", Token: in.Token})
	assert.Equal(t, 401, after.Status)
	assert.Contains(t, after.Body, `"field":"revoked"`)
	assert.Contains(t, after.Body, "unsent work stays")
	assert.Equal(t, 404, o.Do(t, servertest.Request{Method: "DELETE", Path: "/api/devices/nobody", Token: owner}).Status)

	for _, c := range []struct{ name, path, body, want string }{
		{"no role", "/api/pair/code", `{}`, `"field":"role"`},
		{"unknown role", "/api/pair/code", `{"role":"boss"}`, `"field":"role"`},
		{"unknown key", "/api/pair/code", `{"role":"hand","admin":true}`, `"field":"body"`},
		{"two objects", "/api/pair/code", `{"role":"hand"}{}`, `"field":"body"`},
		{"no name", "/api/pair", `{"code":"1"}`, `"field":"name"`},
	} {
		got := o.Do(t, servertest.Request{Method: "POST", Path: c.path, Token: owner, Body: c.body})
		assert.Equal(t, 400, got.Status, c.name)
		assert.Contains(t, got.Body, c.want, c.name)
	}

	log := o.Lines.String()
	assert.NotContains(t, log, in.Token)
	assert.NotContains(t, log, code.Code)
}

// Brute-force guessing from the network: ten attempts are checked, then none.
func TestPairingBruteForceOverHTTP(t *testing.T) {
	o := servertest.Start(t, servertest.Everywhere)
	code, err := o.Pairing.Show(store.Owner, "test")
	require.NoError(t, err)
	statuses := map[int]int{}
	for i := range 300 {
		guess := fmt.Sprintf("%08d", i)
		if guess == code.Digits() {
			continue
		}
		got := o.Do(t, servertest.Request{Method: "POST", Path: "/api/pair", Body: fmt.Sprintf(`{"code":%q,"name":"x"}`, guess)})
		statuses[got.Status]++
		assert.NotEmpty(t, got.Header.Get("Retry-After"))
	}
	assert.Equal(t, 1, statuses[403], "with the clock standing still, one guess is looked at")
	assert.Len(t, statuses, 2)
	assert.GreaterOrEqual(t, statuses[429], 298)
	wrong := 0
	for _, e := range o.Kept.Events() {
		if e.What == "wrong code" {
			wrong++
		}
	}
	assert.Equal(t, 1, wrong, "and the trail has it once")
	all, err := o.Kept.Devices()
	require.NoError(t, err)
	assert.Empty(t, all)
}

func TestBackupRoute(t *testing.T) {
	send := func(context.Context, io.Writer) error { return nil }
	o := servertest.Start(t, func(s *server.Server) {
		s.Backup = func(ctx context.Context, to io.Writer) error { return send(ctx, to) }
	})
	ask := func() (*http.Response, []byte, error) {
		got, err := http.Get(o.Local() + "/api/backup")
		require.NoError(t, err)
		body, err := io.ReadAll(got.Body)
		_ = got.Body.Close()
		return got, body, err
	}
	send = func(_ context.Context, to io.Writer) error { _, err := io.WriteString(to, "whole"); return err }
	got, body, err := ask()
	require.NoError(t, err)
	assert.Equal(t, "whole", string(body))
	assert.Contains(t, got.Header.Get("Content-Disposition"), "attachment")

	send = func(context.Context, io.Writer) error { return io.ErrClosedPipe }
	got, body, err = ask()
	require.NoError(t, err)
	assert.Equal(t, 500, got.StatusCode)
	assert.Contains(t, string(body), got.Header.Get("X-Request-Id"))
	assert.Empty(t, got.Header.Get("Content-Disposition"))

	send = func(_ context.Context, to io.Writer) error {
		_, _ = to.Write(make([]byte, 1<<16))
		return io.ErrClosedPipe
	}
	_, _, err = ask()
	assert.Error(t, err, "half a backup is not taken for a whole one")
}

func TestOfficeSaysHowItIsReached(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) { s.Fingerprint = "AB:CD" })
	got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/office"})
	assert.JSONEq(t, fmt.Sprintf(`{"app":%q,"start":"","fingerprint":"AB:CD","network":false,"version":"test"}`, o.URL()), got.Body)
}

func noBackup(context.Context, io.Writer) error { return nil }

// Open routes and routes without a time limit are listed here, so that a new one needs a change of
// this test.
func TestTableHasLimits(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) {
		s.Backup = noBackup
		s.Sync = realProtocol(t)
		s.Prove = func(string) string { return "" }
	})
	var open, endless []string
	for _, rt := range o.Routes() {
		name := rt.Method + " " + rt.Path
		if rt.Role == store.Anyone {
			open = append(open, name)
		}
		if rt.Time == 0 {
			endless = append(endless, name)
		}
		assert.LessOrEqual(t, rt.Time, 10*time.Minute, name)
		assert.LessOrEqual(t, rt.Body, int64(1)<<30, name)
		if rt.Method == "GET" || rt.Method == "HEAD" {
			assert.Zero(t, rt.Body, name)
		}
		if rt.Role == store.Reader && rt.Method == "DELETE" {
			t.Error("a reader deletes: " + name)
		}
	}
	assert.Equal(t, []string{"GET /healthz", "HEAD /healthz", "GET /_session", "POST /_session", "POST /api/pair",
		"POST /api/open", "GET /api/prove", "POST /share", "GET /{file:.*}", "HEAD /{file:.*}"}, open)
	assert.Equal(t, []string{"GET /api/backup", "GET /sync/{db}/_changes", "POST /sync/{db}/_changes"}, endless)
}
