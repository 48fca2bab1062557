package server_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/servertest"
	"datumbook/store"
)

const public = "https://office.example"

// behind puts a proxy before a server; connections of the tests come from 127.0.0.1, as those of a
// proxy on the same machine do, and the system says of each that it is the same user's.
func behind(proxies ...string) func(*server.Server) {
	return func(s *server.Server) {
		s.Public, s.Proxies = public, proxies
		s.Backup = noBackup
		s.Prove = func(string) string { return "proof" }
	}
}

// spoken are the ways in which a proxy, or somebody who calls through it, may speak of the client.
var spoken = map[string]map[string]string{
	"nothing":                    {},
	"the public name alone":      {"Host": "office.example"},
	"this machine":               {"X-Forwarded-For": "127.0.0.1"},
	"this machine, new form":     {"Forwarded": `for="[::1]";host=office.example;proto=https`},
	"empty":                      {"X-Forwarded-For": "", "Host": "office.example"},
	"a client":                   {"X-Forwarded-For": "198.51.100.7", "X-Forwarded-Host": "office.example", "X-Forwarded-Proto": "https"},
	"a client that says nothing": {"X-Forwarded-For": "127.0.0.1, 198.51.100.7", "X-Forwarded-Host": "office.example"},
	"the office's own page":      {"X-Forwarded-Host": "office.example", "Origin": public, "Sec-Fetch-Site": "same-origin"},
	"typed into a browser":       {"Sec-Fetch-Site": "none"},
	"localhost":                  {"Host": "localhost"},
}

// askAs sends a request with a header, of which Host is one.
func askAs(t *testing.T, o *servertest.Office, q servertest.Request, header map[string]string) servertest.Answer {
	t.Helper()
	q.Header = map[string]string{}
	for k, v := range header {
		if k == "Host" {
			q.Host = v
		} else {
			q.Header[k] = v
		}
	}
	return o.Do(t, q)
}

// Where a proxy may run on this machine nobody is this machine: neither who comes through it, whatever
// it says or leaves out, nor who connects directly, which looks the same.
func TestNobodyIsThisMachineBehindAProxyOnIt(t *testing.T) {
	for _, proxies := range [][]string{{"127.0.0.1"}, {"127.0.0.0/8"}, {"127.0.0.2"}, {"::1"}, {"203.0.113.9", "127.0.0.1"}} {
		o := servertest.Start(t, func(s *server.Server) {
			behind(proxies...)(s)
			s.Sync = append(protocol(), realProtocol(t)...)
			s.Reviews, s.Trail = emptyStore(t), emptyStore(t)
		})
		assert.True(t, o.Proxied())
		token, _ := o.Token(t, store.Owner)
		for how, header := range spoken {
			for _, rt := range o.Routes() {
				if rt.Role == store.Anyone {
					continue
				}
				name := fmt.Sprintf("%v, %s: %s %s", proxies, how, rt.Method, rt.Path)
				got := askAs(t, o, servertest.Request{Method: rt.Method, Path: fill.Replace(rt.Path)}, header)
				switch {
				case got.Status == http.StatusMisdirectedRequest:
					assert.NotEqual(t, "127.0.0.1", proxies[0], name)
				case rt.Free:
					assert.NotEqual(t, 401, got.Status, name)
				case got.Status == http.StatusForbidden: // a proxy that is not named passes on our own page
					assert.Equal(t, "the office's own page", how, name)
					assert.NotEqual(t, "127.0.0.1", proxies[0], name)
				default:
					assert.Equal(t, 401, got.Status, name)
				}
			}
		}
		for _, path := range []string{"/metrics", "/api/devices", "/api/calc"} {
			for _, host := range []string{"", "localhost:8470"} { // as the commands of this machine call
				got := o.Do(t, servertest.Request{Method: "GET", Path: path, Token: token, Host: host})
				assert.Equal(t, 200, got.Status, "%v %s with a token", proxies, path)
			}
		}
	}
}

// A proxy on another machine takes nothing from this one, and what it says makes nobody this machine.
func TestProxyOnAnotherMachine(t *testing.T) {
	o := servertest.Start(t, behind("203.0.113.9"))
	assert.False(t, o.Proxied())
	get := func(header map[string]string) int {
		return askAs(t, o, servertest.Request{Method: "GET", Path: "/api/devices"}, header).Status
	}
	assert.Equal(t, 200, get(nil), "this machine's own user")
	assert.Equal(t, 200, get(map[string]string{"Host": "localhost:8470"}))
	for _, h := range []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-Ip", "Via"} {
		assert.Equal(t, 401, get(map[string]string{h: "for=127.0.0.1"}), "from a proxy that nobody named: %s", h)
		assert.Equal(t, 401, get(map[string]string{h: ""}), "empty: %s", h)
	}
	assert.Equal(t, 421, get(map[string]string{"Host": "office.example"}), "the public name is the proxy's alone")
	link, err := o.OpenLink()
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(link, o.Local()+"/#open="), "%s is for this machine itself", link)
}

// pair tries a code from behind the proxy and gives the status.
func pair(t *testing.T, o *servertest.Office, code string, header map[string]string) int {
	t.Helper()
	q := servertest.Request{Method: "POST", Path: "/api/pair", Body: fmt.Sprintf(`{"code":%q,"name":"Mill phone"}`, code)}
	return askAs(t, o, q, header).Status
}

func TestWrongCodesCountForTheirClient(t *testing.T) {
	from := func(who string) map[string]string { return map[string]string{"X-Forwarded-For": who} }
	o := servertest.Start(t, behind("127.0.0.1", "10.0.5.0/24"))
	assert.Equal(t, 403, pair(t, o, "1", from("198.51.100.7")))
	assert.Equal(t, 429, pair(t, o, "1", from("198.51.100.7")))
	assert.Equal(t, 429, pair(t, o, "1", from("192.0.2.1, 198.51.100.7")), "whoever it says it is")
	assert.Equal(t, 429, pair(t, o, "1", from("198.51.100.7, 10.0.5.3")), "by another way")
	assert.Equal(t, 429, pair(t, o, "1", map[string]string{"Forwarded": "for=198.51.100.7"}), "in another form")
	assert.Equal(t, 403, pair(t, o, "1", from("198.51.100.8")), "another one does not wait")
	assert.Equal(t, 403, pair(t, o, "1", from("2001:db8::7")))
	assert.Equal(t, 429, pair(t, o, "1", from("2001:db8::8")), "of one network")

	code, err := o.Pairing.Show(store.Operator, "test")
	require.NoError(t, err)
	assert.Equal(t, 201, pair(t, o, code.Text, from("192.0.2.1, 198.51.100.9")))
	paired := ""
	for _, e := range o.Kept.Events() {
		if e.What == "paired" {
			paired = e.Who
		}
	}
	assert.Equal(t, "198.51.100.9", paired, "the trail names the client")
}

func TestSpoofedClientsCountAsOne(t *testing.T) {
	o := servertest.Start(t, behind("203.0.113.9"))
	assert.Equal(t, 403, pair(t, o, "1", map[string]string{"X-Forwarded-For": "198.51.100.1"}))
	for i := range 5 {
		assert.Equal(t, 429, pair(t, o, "1", map[string]string{"X-Forwarded-For": fmt.Sprintf("198.51.100.%d", i)}))
		assert.Equal(t, 429, pair(t, o, "1", map[string]string{"Forwarded": fmt.Sprintf("for=198.51.100.%d", i)}))
	}
}

// A proxy that does not say who calls is told about, once.
func TestSilentProxy(t *testing.T) {
	o := servertest.Start(t, behind("127.0.0.1"))
	const told = "does not say who calls"
	assert.Equal(t, 403, pair(t, o, "1", nil))
	assert.NotContains(t, o.Lines.String(), told, "that may be a command of this machine")
	assert.Equal(t, 429, pair(t, o, "1", map[string]string{"Host": "office.example"}), "all count as one")
	assert.Equal(t, 429, pair(t, o, "1", map[string]string{"X-Forwarded-For": "198.51.100.7", "Forwarded": "for=192.0.2.1"}))
	assert.Equal(t, 1, strings.Count(o.Lines.String(), told))
}

func TestNamesBehindAProxy(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) {
		behind("127.0.0.1")(s)
		s.Hosts = []string{"datumbook.local"}
		s.Origins = []string{"https://other.example"}
	})
	token, _ := o.Token(t, store.Owner)
	for _, c := range []struct {
		name   string
		header map[string]string
		want   int
	}{
		{"passed on", map[string]string{"Host": "office.example"}, 200},
		{"with a port", map[string]string{"Host": "Office.example:8443"}, 200},
		{"told", map[string]string{"X-Forwarded-Host": "office.example"}, 200},
		{"told, new form", map[string]string{"Forwarded": "for=198.51.100.7;host=office.example"}, 200},
		{"a name of this machine", map[string]string{"Host": "datumbook.local"}, 200},
		{"another", map[string]string{"Host": "evil.example"}, 421},
		{"another told", map[string]string{"X-Forwarded-Host": "evil.example"}, 421},
		{"another told before ours", map[string]string{"X-Forwarded-Host": "evil.example, office.example"}, 200},
		{"ours told before another", map[string]string{"X-Forwarded-Host": "office.example, evil.example"}, 421},
		{"another in the other form", map[string]string{"X-Forwarded-Host": "office.example", "Forwarded": "host=evil.example"}, 421},
		{"told as localhost", map[string]string{"X-Forwarded-Host": "localhost"}, 421},

		{"our page", map[string]string{"Host": "office.example", "Origin": public, "Sec-Fetch-Site": "same-origin"}, 200},
		{"our page, name not passed on", map[string]string{"X-Forwarded-For": "198.51.100.7", "Origin": public}, 200},
		{"a named origin", map[string]string{"Host": "office.example", "Origin": "https://other.example"}, 200},
		{"another page", map[string]string{"Host": "office.example", "Origin": "https://evil.example"}, 403},
		{"a page of the name without TLS", map[string]string{"Host": "office.example", "Origin": "http://office.example"}, 403},
		{"a page at another port of the name", map[string]string{"Host": "office.example:8443", "Origin": "https://office.example:8443"}, 403},
		{"a page of the visitor's own machine", map[string]string{"X-Forwarded-For": "198.51.100.7", "Origin": o.Local()}, 403},
		{"this machine's own page, past the proxy", map[string]string{"Origin": o.Local(), "Sec-Fetch-Site": "same-origin"}, 200},

		{"over TLS", map[string]string{"Host": "office.example", "X-Forwarded-Proto": "https"}, 200},
		{"not over TLS", map[string]string{"Host": "office.example", "X-Forwarded-Proto": "http"}, 421},
		{"not over TLS, new form", map[string]string{"Forwarded": "for=198.51.100.7;host=office.example;proto=http"}, 421},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := askAs(t, o, servertest.Request{Method: "GET", Path: "/api/devices", Token: token}, c.header)
			assert.Equal(t, c.want, got.Status, got.Body)
			if c.want == 421 {
				assert.Contains(t, got.Body, public, "it says where to go")
			}
		})
	}
	first := askAs(t, o, servertest.Request{Method: "POST", Path: "/api/calc/echo", Body: `{"a":"1"}`},
		map[string]string{"Host": "office.example", "Origin": public, "X-Forwarded-For": "198.51.100.7", "Sec-Fetch-Site": "same-origin"})
	assert.Equal(t, 200, first.Status, "a phone's first visit: %s", first.Body)
}

func TestLinksBehindAProxy(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) {
		servertest.Everywhere(s)
		behind("127.0.0.1")(s)
		s.Public = "https://Office.example:443/"
		s.Fingerprint, s.Until = "AB:CD", time.Now()
		s.StartAddr = "127.0.0.1:0"
		s.Start = func(app string) (http.Handler, error) {
			return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, app) }), nil
		}
	})
	assert.Equal(t, public, o.PhoneURL())
	assert.Regexp(t, `^http://localhost:\d+$`, o.NearURL(), "for the commands of this machine")
	start, err := http.Get(o.StartURL())
	require.NoError(t, err)
	defer start.Body.Close()
	page := make([]byte, len(public))
	_, err = start.Body.Read(page)
	require.True(t, err == nil || err.Error() == "EOF")
	assert.Equal(t, public, string(page))

	token, _ := o.Token(t, store.Owner)
	got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/office", Token: token})
	assert.JSONEq(t, fmt.Sprintf(`{"app":%q,"public":%q,"start":%q,"fingerprint":"","network":true,"version":"test"}`,
		public, public, o.StartURL()), got.Body)
	shown := o.Do(t, servertest.Request{Method: "POST", Path: "/api/pair/code", Token: token, Body: `{"role":"hand"}`})
	var code struct{ Code, Link string }
	read(t, shown.Body, &code)
	assert.Equal(t, public+"/#pair="+strings.ReplaceAll(code.Code, "-", ""), code.Link)

	// A link that lets this machine in would let in whoever comes through the proxy.
	_, err = o.OpenLink()
	require.ErrorIs(t, err, server.ErrProxied)
	no := o.Do(t, servertest.Request{Method: "POST", Path: "/api/open/link", Token: token, Body: `{}`})
	assert.Equal(t, 409, no.Status)
	assert.Contains(t, no.Body, "devices --pair owner")
	key, err := o.Pairing.OpenKey()
	require.NoError(t, err)
	for how, header := range spoken {
		no = askAs(t, o, servertest.Request{Method: "POST", Path: "/api/open", Body: fmt.Sprintf(`{"key":%q}`, key)}, header)
		assert.Equal(t, 403, no.Status, how)
	}
}

func TestLogNamesTheClient(t *testing.T) {
	o := servertest.Start(t, behind("127.0.0.1"))
	askAs(t, o, servertest.Request{Method: "GET", Path: "/healthz"}, map[string]string{"X-Forwarded-For": "192.0.2.1, 198.51.100.7"})
	assert.Contains(t, o.Lines.String(), `"from":"198.51.100.7 by 127.0.0.1"`)
	plain := servertest.Start(t, nil)
	askAs(t, plain, servertest.Request{Method: "GET", Path: "/healthz"}, map[string]string{"X-Forwarded-For": "198.51.100.7"})
	assert.Regexp(t, `"from":"127\.0\.0\.1:\d+"`, plain.Lines.String())
}

func TestProxyMustBeWhole(t *testing.T) {
	for _, c := range []struct {
		public  string
		proxies []string
		want    string
	}{
		{public, nil, "--proxy"},
		{"", []string{"127.0.0.1"}, "--public"},
		{public, []string{"localhost"}, `--proxy "localhost"`},
		{public + "/datumbook/", []string{"127.0.0.1"}, "does not work below a path"},
		{"http://office.example", []string{"127.0.0.1"}, "write https://office.example"},
	} {
		s := &server.Server{Addr: "127.0.0.1:0", Public: c.public, Proxies: c.proxies, Pairing: &pairing.Service{}}
		err := s.Open()
		require.Error(t, err)
		assert.Contains(t, err.Error(), c.want)
	}
}
