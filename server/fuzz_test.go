package server

import (
	"bufio"
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"datumbook/server/pairing"
	"datumbook/server/web"
	"datumbook/store"
)

// fuzzed opens a server and gives its middleware, to be called without a network.
func fuzzed(f *testing.F, addr string) http.Handler {
	st, err := store.Open(store.Options{Path: filepath.Join(f.TempDir(), "office.db")})
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { _ = st.Close() })
	s := &Server{Addr: addr, Pairing: &pairing.Service{Keeper: st}, Hosts: []string{"datumbook.local"},
		Sheets: quiet{}, Sync: []web.Route{
			{Method: "PUT", Path: "/sync/{db}/{id}", Role: store.Operator, Body: 1 << 10, Time: time.Second,
				Handler: func(w http.ResponseWriter, r *http.Request) error {
					w.WriteHeader(http.StatusCreated)
					return nil
				}}}}
	if err := s.Open(); err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { _ = s.Close(f.Context()) })
	return s.handler()
}

type quiet struct{}

func (quiet) Run(name, unit string, in map[string]string) ([]byte, bool, bool) {
	return []byte(`{}`), true, name == "hole"
}
func (quiet) Describe() []byte { return []byte(`[]`) }

// Whatever bytes a stranger on the network sends: nothing breaks, nothing that
// needs a role is answered, and under /api and /sync the answer is JSON.
func FuzzStranger(f *testing.F) {
	h := fuzzed(f, "0.0.0.0:0")
	host := "\r\nHost: datumbook.local\r\n"
	for _, s := range []string{
		"GET / HTTP/1.1" + host + "\r\n",
		"GET /api/devices HTTP/1.1" + host + "Authorization: Bearer dtb_x\r\n\r\n",
		"POST /api/pair HTTP/1.1" + host + "Content-Type: application/json\r\nContent-Length: 31\r\n\r\n{\"code\":\"1234-5678\",\"name\":\"x\"}",
		"PUT /sync/book/a%2fb HTTP/1.1" + host + "Authorization: Basic eDp5\r\n\r\n",
		"POST /api/calc/hole HTTP/1.1" + host + "Transfer-Encoding: chunked\r\nContent-Encoding: gzip\r\n\r\n2\r\n\x1f\x8b\r\n0\r\n\r\n",
		"OPTIONS * HTTP/1.1" + host + "Origin: null\r\n\r\n",
		"GET //api/../metrics HTTP/1.1" + host + "Accept-Encoding: br;q=1,*;q=0\r\nIf-None-Match: *\r\n\r\n",
		"DELETE /api/devices/%00 HTTP/1.0" + host + "\r\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		r, err := http.ReadRequest(bufio.NewReader(bytes.NewReader(raw)))
		if err != nil {
			return
		}
		r.RemoteAddr = "192.0.2.9:5000"
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code == http.StatusInternalServerError {
			t.Fatalf("broke: %s", w.Body)
		}
		p := r.URL.Path
		needs := web.IsData(p) && p != "/api/pair" || p == "/metrics"
		if needs && w.Code < 300 {
			t.Fatalf("let in: %d %s", w.Code, w.Body)
		}
		if web.IsData(p) && r.Method != http.MethodHead && !json.Valid(w.Body.Bytes()) {
			t.Fatalf("%d is no JSON: %q", w.Code, w.Body)
		}
		if strings.Contains(strings.Join(w.Header().Values("Access-Control-Allow-Origin"), ""), "*") {
			t.Fatal("open to every origin")
		}
	})
}

// Inputs: what is read is exactly what encoding/json finds in an object of
// texts and numbers, and nothing else is taken.
func FuzzInputs(f *testing.F) {
	for _, s := range []string{`{}`, `{"a":"1"}`, `{"a":0.750,"b":-1e9}`, `{"a":"1","a":"2"}`, `{"a":{}}`, `[]`, `{"a":"\u0000\ud800"}`, `{"a":1}x`, "\ufeff{}", `{"a":01}`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, body string) {
		got, err := web.ReadTexts(strings.NewReader(body))
		var want map[string]any
		dec := json.NewDecoder(strings.NewReader(body))
		dec.UseNumber()
		other := dec.Decode(&want)
		if err != nil {
			return
		}
		if other != nil {
			t.Fatalf("took %q, which is no JSON: %v", body, other)
		}
		if len(got) != len(want) {
			t.Fatalf("%d inputs, want %d", len(got), len(want))
		}
		for k, v := range want {
			text, ok := v.(string)
			if n, is := v.(json.Number); is {
				text, ok = n.String(), true
			}
			if !ok || got[k] != text {
				t.Fatalf("%q is %q, want %v", k, got[k], v)
			}
		}
	})
}

// Accept-Encoding: no header makes a choice that was refused, and one that
// names nothing we have gives the plain form.
func FuzzAcceptEncoding(f *testing.F) {
	for _, s := range []string{"", "br", "gzip;q=0.5, br;q=0.4", "*;q=0", "identity;q=0, *", "br;q=1e-3", "br;;q=1", "br;q=NaN"} {
		f.Add(s)
	}
	one := &file{forms: []form{{encoding: "br"}, {encoding: "gzip"}, {}}}
	f.Fuzz(func(t *testing.T, header string) {
		got := one.choose([]string{header}).encoding
		low := strings.ToLower(header)
		if got != "" && !strings.Contains(low, got) && !strings.Contains(low, "*") {
			t.Fatalf("%q got %s", header, got)
		}
		for name, q := range acceptEncodings(header) {
			if q != q || q < 0 || q > 1 {
				t.Fatalf("%q has weight %v", name, q)
			}
			if got == name && q == 0 {
				t.Fatalf("%q got %s, which it refuses", header, got)
			}
		}
	})
}
