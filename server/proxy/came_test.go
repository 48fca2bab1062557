package proxy

import (
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// header is a request's lines, each "Name: value"; a name may come twice.
func header(lines ...string) http.Header {
	h := http.Header{}
	for _, l := range lines {
		name, value, _ := strings.Cut(l, ": ")
		h.Add(name, value)
	}
	return h
}

func request(from string, lines ...string) *http.Request {
	r := httptest.NewRequest(http.MethodGet, "http://office.example/", nil)
	r.RemoteAddr = from
	r.Header = header(lines...)
	return r
}

// Whose address a request counts as: the addresses are those set apart for examples.
func TestClient(t *testing.T) {
	n := named(t, "127.0.0.1", "10.0.5.0/24", "fd00::5")
	const near, far = "127.0.0.1:41000", "203.0.113.9:41000"
	for _, c := range []struct {
		name   string
		conn   string
		lines  []string
		from   string
		via    bool
		silent bool
	}{
		{"nobody between", far, nil, "203.0.113.9", false, false},
		{"by a proxy", near, []string{"X-Forwarded-For: 198.51.100.7"}, "198.51.100.7", true, false},
		{"by a proxy, with a port", near, []string{"X-Forwarded-For: 198.51.100.7:5555"}, "198.51.100.7", true, false},
		{"IPv6", near, []string{"X-Forwarded-For: 2001:db8::7"}, "2001:db8::7", true, false},
		{"IPv6 in brackets with a port", near, []string{"X-Forwarded-For: [2001:db8::7]:5555"}, "2001:db8::7", true, false},
		{"IPv4 in IPv6", near, []string{"X-Forwarded-For: ::ffff:198.51.100.7"}, "198.51.100.7", true, false},
		{"with a zone", near, []string{"X-Forwarded-For: fe80::7%eth0"}, "fe80::7", true, false},
		{"a proxy of IPv6", "[fd00::5]:41000", []string{"X-Forwarded-For: 198.51.100.7"}, "198.51.100.7", true, false},
		{"a proxy as IPv4 in IPv6", "[::ffff:127.0.0.1]:41000", []string{"X-Forwarded-For: 198.51.100.7"}, "198.51.100.7", true, false},

		{"spoofed by nobody's proxy", far, []string{"X-Forwarded-For: 127.0.0.1"}, "203.0.113.9", false, false},
		{"spoofed in the new form", far, []string{`Forwarded: for=127.0.0.1;host=office.example;proto=https`}, "203.0.113.9", false, false},
		{"spoofed before the proxy", near, []string{"X-Forwarded-For: 127.0.0.1, 198.51.100.7"}, "198.51.100.7", true, false},
		{"spoofed in a line of its own", near,
			[]string{"X-Forwarded-For: 192.0.2.1", "X-Forwarded-For: 198.51.100.7"}, "198.51.100.7", true, false},
		{"spoofed as a named proxy's", near, []string{"X-Forwarded-For: 192.0.2.1, 10.0.5.3, 198.51.100.7"}, "198.51.100.7", true, false},
		{"says this machine", near, []string{"X-Forwarded-For: 127.0.0.1"}, "127.0.0.1", true, false},

		{"two proxies", near, []string{"X-Forwarded-For: 198.51.100.7, 10.0.5.3"}, "198.51.100.7", true, false},
		{"three, the middle one not named", near, []string{"X-Forwarded-For: 198.51.100.7, 192.0.2.5, 10.0.5.3"}, "192.0.2.5", true, false},
		{"nobody but proxies", near, []string{"X-Forwarded-For: 10.0.5.4, 10.0.5.3"}, "10.0.5.4", true, false},

		{"missing", near, nil, "127.0.0.1", true, true},
		{"empty", near, []string{"X-Forwarded-For: "}, "127.0.0.1", true, true},
		{"empty in a list", near, []string{"X-Forwarded-For: 198.51.100.7, ,"}, "198.51.100.7", true, false},
		{"unknown", near, []string{"X-Forwarded-For: unknown"}, "127.0.0.1", true, true},
		{"unknown behind a second proxy", near, []string{"X-Forwarded-For: 198.51.100.7, unknown, 10.0.5.3"}, "10.0.5.3", true, true},
		{"no address", near, []string{"X-Forwarded-For: 198.51.100.7, <script>"}, "127.0.0.1", true, true},
		{"no one's", near, []string{"X-Forwarded-For: 0.0.0.0"}, "127.0.0.1", true, true},

		// RFC 7239, section 4, gives these forms
		{"new form", near, []string{"Forwarded: for=198.51.100.7"}, "198.51.100.7", true, false},
		{"new form in capitals", near, []string{`FORWARDED: For="[2001:db8:cafe::17]:4711"`}, "2001:db8:cafe::17", true, false},
		{"new form in full", near, []string{"Forwarded: for=198.51.100.7;proto=https;by=203.0.113.43"}, "198.51.100.7", true, false},
		{"new form, two", near, []string{"Forwarded: for=198.51.100.7, for=10.0.5.3"}, "198.51.100.7", true, false},
		{"new form, two lines", near, []string{"Forwarded: for=192.0.2.1", `Forwarded: for="198.51.100.7:80"`}, "198.51.100.7", true, false},
		{"new form, a hidden port", near, []string{`Forwarded: for="198.51.100.7:_gazonk"`}, "198.51.100.7", true, false},
		{"new form, hidden", near, []string{"Forwarded: for=198.51.100.7, for=_hidden"}, "127.0.0.1", true, true},
		{"new form, unknown", near, []string{"Forwarded: for=unknown"}, "127.0.0.1", true, true},
		{"new form, without for", near, []string{"Forwarded: for=198.51.100.7, proto=https"}, "127.0.0.1", true, true},
		{"new form, a comma in quotes", near, []string{`Forwarded: host="a, for=192.0.2.1";for=198.51.100.7`}, "198.51.100.7", true, false},
		{"new form, an open quote", near, []string{`Forwarded: host="a`, "Forwarded: for=198.51.100.7"}, "127.0.0.1", true, true},
		{"new form, twice", near, []string{"Forwarded: for=192.0.2.1;for=198.51.100.7"}, "127.0.0.1", true, true},

		{"both forms, the same", near,
			[]string{"X-Forwarded-For: 198.51.100.7", "Forwarded: for=198.51.100.7;proto=https"}, "198.51.100.7", true, false},
		{"both forms, the new one the client's", near,
			[]string{"X-Forwarded-For: 198.51.100.7", "Forwarded: for=192.0.2.1"}, "127.0.0.1", true, true},
		{"both forms, the old one the client's", near,
			[]string{"X-Forwarded-For: 192.0.2.1", "Forwarded: for=198.51.100.7"}, "127.0.0.1", true, true},
		{"both forms, the new one no form", near, []string{"X-Forwarded-For: 198.51.100.7", `Forwarded: "`}, "127.0.0.1", true, true},
		{"both forms, the new one without for", near,
			[]string{"X-Forwarded-For: 198.51.100.7", "Forwarded: proto=https"}, "198.51.100.7", true, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := n.Came(request(c.conn, c.lines...))
			assert.Equal(t, netip.MustParseAddr(c.from), got.From)
			assert.Equal(t, c.via, got.Via)
			assert.Equal(t, c.silent, got.Silent)
			assert.Equal(t, len(c.lines) > 0, got.Told, "it carries such a header")
		})
	}
}

func TestHostAndScheme(t *testing.T) {
	n := named(t, "127.0.0.1", "10.0.5.0/24")
	const near, far = "127.0.0.1:41000", "203.0.113.9:41000"
	for _, c := range []struct {
		name  string
		conn  string
		lines []string
		hosts string
		plain bool
	}{
		{"nothing said", near, nil, "office.example", false},
		{"said", near, []string{"X-Forwarded-Host: a.example:8443", "X-Forwarded-Proto: https"}, "a.example:8443", false},
		{"said by anybody", far, []string{"X-Forwarded-Host: a.example", "X-Forwarded-Proto: http"}, "office.example", false},
		{"without TLS", near, []string{"X-Forwarded-Proto: http"}, "office.example", true},
		{"in capitals", near, []string{"X-Forwarded-Proto: HTTPS"}, "office.example", false},
		{"no scheme", near, []string{"X-Forwarded-Proto: wss"}, "office.example", true},
		{"the client's own before", near,
			[]string{"X-Forwarded-Host: a.example, b.example", "X-Forwarded-Proto: https, http"}, "b.example", true},
		{"the client's own in a line before", near,
			[]string{"X-Forwarded-Host: a.example", "X-Forwarded-Host: b.example"}, "b.example", false},
		{"new form", near, []string{`Forwarded: for=198.51.100.7;host="a.example:8443";proto=https`}, "a.example:8443", false},
		{"new form without TLS", near, []string{"Forwarded: for=198.51.100.7;proto=http"}, "office.example", true},
		{"new form, two proxies", near,
			[]string{"Forwarded: for=198.51.100.7;host=a.example;proto=https, for=10.0.5.3;host=b.example;proto=http"}, "a.example", false},
		{"new form, the client's own before", near,
			[]string{"Forwarded: for=192.0.2.1;host=a.example, for=198.51.100.7;host=b.example"}, "b.example", false},
		{"both forms", near, []string{"X-Forwarded-Host: a.example", "Forwarded: host=b.example"}, "a.example b.example", false},
		{"both forms, one without TLS", near, []string{"X-Forwarded-Proto: https", "Forwarded: proto=http"}, "office.example", true},
		{"empty", near, []string{"X-Forwarded-Host: ", `Forwarded: host=""`}, "office.example", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := n.Came(request(c.conn, c.lines...))
			assert.Equal(t, c.hosts, strings.Join(got.Hosts, " "))
			assert.Equal(t, c.plain, got.Plain)
		})
	}
}

func TestForwarded(t *testing.T) {
	for text, want := range map[string][]element{
		"":              nil,
		" , ,":          nil,
		"for=a":         {{node: "a"}},
		"for=a, for=b":  {{node: "a"}, {node: "b"}},
		"for=a,,for=b,": {{node: "a"}, {node: "b"}},
		`For="a\"b\\";by=c ; HOST=d;secret="x,y";proto=https`: {{node: `a"b\`, host: "d", proto: "https"}},
		"by=c":                         {{}},
		";for=a;":                      {{node: "a"}},
		"for=[2001:db8::7]:80;proto=a": {{node: "[2001:db8::7]:80", proto: "a"}}, // without its quotes
	} {
		got, ok := forwarded([]string{text})
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"for", "for=", "=a", `for="a`, `for="a\`, `for="a"b`, `for=a"b`, "for=a b", "fo r=a", "for=a;for=b",
		"for =a", "for= a", "\x00=a", `"`} {
		_, ok := forwarded([]string{text})
		assert.False(t, ok, text)
	}
}

// Whatever is said by nobody's proxy changes nothing, and whatever is said by a named one never makes
// a request this machine's own, nor that of an address which no proxy wrote.
func FuzzCame(f *testing.F) {
	f.Add("198.51.100.7, 10.0.5.3", `for="[2001:db8::7]:80";host=a;proto=https, for=10.0.5.3`, "office.example", "https")
	f.Add("unknown", `for="a\"b`, "", "http")
	f.Add("::1", "", "localhost", "")
	n := named(f, "127.0.0.1", "10.0.5.0/24")
	f.Fuzz(func(t *testing.T, older, newer, host, scheme string) {
		lines := http.Header{"X-Forwarded-For": {older}, "Forwarded": {newer}, "X-Forwarded-Host": {host}, "X-Forwarded-Proto": {scheme}}
		r := request("203.0.113.9:41000")
		r.Header = lines
		c := n.Came(r)
		assert.False(t, c.Via || c.Silent || c.Plain)
		assert.Equal(t, "203.0.113.9", c.From.String())
		assert.Equal(t, []string{"office.example"}, c.Hosts)

		r.RemoteAddr = "127.0.0.1:41000"
		c = n.Came(r)
		assert.True(t, c.Via && c.Told && c.From.IsValid() && c.From.Zone() == "" && !c.From.Is4In6())
		assert.NotEmpty(t, c.Hosts)

		// the proxy adds its client at the end of both: then it is that one, if what stands before can
		// be read at all
		r.Header["X-Forwarded-For"] = []string{older, "198.51.100.7"}
		r.Header["Forwarded"] = []string{newer, "for=198.51.100.7;host=b.example;proto=https"}
		delete(r.Header, "X-Forwarded-Proto")
		r.Header["X-Forwarded-Host"] = []string{host, "b.example"}
		c = n.Came(r)
		if _, ok := forwarded([]string{newer}); ok {
			assert.Equal(t, "198.51.100.7", c.From.String())
			assert.Equal(t, []string{"b.example"}, c.Hosts)
			assert.False(t, c.Plain)
			assert.False(t, c.Silent)
		} else {
			assert.Equal(t, "127.0.0.1", c.From.String())
		}
	})
}
