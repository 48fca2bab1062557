package server_test

import (
	"bufio"
	"fmt"
	"io"
	"net/http"
	"os"
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

func rough(t *testing.T) *servertest.Office {
	return servertest.Start(t, func(s *server.Server) { s.Sync = protocol() })
}

func TestOversizedBodies(t *testing.T) {
	o := rough(t)
	const most = 1 << 20
	for _, c := range []struct {
		name, body string
		header     map[string]string
		want       int
		says       string
	}{
		{"exactly the limit", strings.Repeat("x", most), nil, 200, fmt.Sprintf(`{"got":%d}`, most)},
		{"one byte more", strings.Repeat("x", most+1), nil, 413, "too_large"},
		{"packed, exactly the limit", servertest.Zip(t, strings.Repeat("x", most)), map[string]string{"Content-Encoding": "gzip"}, 200, fmt.Sprintf(`{"got":%d}`, most)},
		{"packed, one byte more", servertest.Zip(t, strings.Repeat("x", most+1)), map[string]string{"Content-Encoding": "gzip"}, 413, ""},
		{"a bomb: half a gigabyte in half a megabyte", servertest.Bomb(t, 1<<29), map[string]string{"Content-Encoding": "gzip"}, 413, ""},
		{"a bomb in a bomb's clothes", servertest.Zip(t, servertest.Bomb(t, 1<<26)), map[string]string{"Content-Encoding": "gzip, gzip"}, 415, "unsupported_media_type"},
		{"another packing", "x", map[string]string{"Content-Encoding": "br"}, 415, "unsupported_media_type"},
		{"identity", "x", map[string]string{"Content-Encoding": "identity"}, 200, `{"got":1}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := o.Do(t, servertest.Request{Method: "POST", Path: "/sync/_stand-in/_bulk_docs", Body: c.body, Header: c.header})
			assert.Equal(t, c.want, got.Status, shortened(got.Body))
			assert.Contains(t, got.Body, c.says)
		})
	}
	t.Run("chunked, without a length", func(t *testing.T) {
		r, err := http.NewRequest("POST", o.Local()+"/sync/_stand-in/_bulk_docs", io.LimitReader(endless{}, most+1))
		require.NoError(t, err)
		got, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		_ = got.Body.Close()
		assert.Equal(t, 413, got.StatusCode)
	})
	t.Run("a body where none is taken", func(t *testing.T) {
		got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/calc", Body: "x"})
		assert.Equal(t, 413, got.Status)
		assert.Contains(t, got.Body, "takes no body")
	})
	t.Run("worksheet inputs", func(t *testing.T) {
		got := o.Do(t, servertest.Request{Method: "POST", Path: "/api/calc/echo", Body: `{"a":"` + strings.Repeat("x", 1<<20) + `"}`})
		assert.Equal(t, 413, got.Status)
		assert.Contains(t, got.Body, "1 MiB")
		bomb := servertest.Zip(t, `{"a":"`+strings.Repeat("x", 1<<20)+`"}`)
		got = o.Do(t, servertest.Request{Method: "POST", Path: "/api/calc/echo", Body: bomb, Header: map[string]string{"Content-Encoding": "gzip"}})
		assert.Equal(t, 413, got.Status)
		assert.Contains(t, got.Body, "1 MiB")
	})
}

func shortened(s string) string { return s[:min(len(s), 200)] }

type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }

func TestBrokenPacking(t *testing.T) {
	o := rough(t)
	whole := servertest.Zip(t, `{"depth":"3/4"}`)
	flipped := []byte(whole)
	flipped[len(flipped)-6] ^= 1 // in the checksum
	for name, body := range map[string]string{
		"not gzip":       "plain text",
		"cut short":      whole[:len(whole)-5],
		"only the start": whole[:6],
		"wrong checksum": string(flipped),
		"junk behind it": whole + "junk",
	} {
		got := o.Do(t, servertest.Request{Method: "POST", Path: "/api/calc/echo", Body: body, Header: map[string]string{"Content-Encoding": "gzip"}})
		assert.Equal(t, 400, got.Status, name)
		assert.Contains(t, got.Body, "whole", name)
	}
	got := o.Do(t, servertest.Request{Method: "POST", Path: "/api/calc/echo", Body: whole, Header: map[string]string{"Content-Encoding": "gzip"}})
	assert.Equal(t, 200, got.Status)
	assert.Contains(t, got.Body, "3/4")
}

// A slow client is cut off when the route's time is over; others are answered meanwhile.
func TestSlowBody(t *testing.T) {
	o := rough(t)
	c := o.Dial(t)
	require.NoError(t, c.SetDeadline(time.Now().Add(20*time.Second)))
	_, err := fmt.Fprintf(c, "POST /sync/_stand-in/_bulk_docs HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000\r\n\r\n")
	require.NoError(t, err)
	start := time.Now()
	stop := make(chan bool)
	go func() {
		for {
			select {
			case <-stop:
				return
			case <-time.After(100 * time.Millisecond):
				_, _ = c.Write([]byte("x"))
			}
		}
	}()
	assert.Equal(t, 200, o.Do(t, servertest.Request{Method: "GET", Path: "/healthz"}).Status)
	_, err = http.ReadResponse(bufio.NewReader(c), nil)
	close(stop)
	took := time.Since(start)
	_ = err // an answer or a closed line, either is an end
	assert.Greater(t, took, time.Second)
	assert.Less(t, took, 5*time.Second, "the route's two seconds")
	require.Eventually(t, func() bool { return strings.Contains(o.Lines.String(), "_bulk_docs") }, 5*time.Second, 10*time.Millisecond)
}

// A stalled client is cut off long before the route's time is over.
func TestStalledBody(t *testing.T) {
	ended := make(chan error, 1)
	o := servertest.Start(t, func(s *server.Server) {
		s.Patience = 100 * time.Millisecond
		s.Sync = []web.Route{{Method: "POST", Path: "/sync/take", Role: store.Operator, Body: 1 << 20,
			Time: time.Minute,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				_, err := io.Copy(io.Discard, r.Body)
				ended <- err
			})}}
	})
	c := o.Dial(t)
	start := time.Now()
	_, err := fmt.Fprintf(c, "POST /sync/take HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 1000\r\n\r\nx")
	require.NoError(t, err)
	assert.ErrorIs(t, <-ended, os.ErrDeadlineExceeded)
	assert.Less(t, time.Since(start), 5*time.Second)
}

// A client that stops reading is cut off too, and does not hold a goroutine for ever.
func TestStalledReader(t *testing.T) {
	ended := make(chan error, 1)
	o := servertest.Start(t, func(s *server.Server) {
		s.Patience = 100 * time.Millisecond
		s.Sync = []web.Route{{Method: "GET", Path: "/sync/flood", Role: store.Reader,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				for {
					if _, err := w.Write(make([]byte, 1<<20)); err != nil {
						ended <- err
						return
					}
				}
			})}}
	})
	c := o.Dial(t)
	_, err := fmt.Fprintf(c, "GET /sync/flood HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
	require.NoError(t, err)
	select {
	case err := <-ended:
		assert.ErrorIs(t, err, os.ErrDeadlineExceeded)
	case <-time.After(10 * time.Second):
		t.Fatal("still writing to someone who does not read")
	}
}

// A handler's context ends with the route's time.
func TestSlowHandler(t *testing.T) {
	ended := make(chan error, 1)
	o := servertest.Start(t, func(s *server.Server) {
		s.Sync = []web.Route{{Method: "GET", Path: "/sync/slow", Role: store.Reader, Time: 50 * time.Millisecond,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				<-r.Context().Done()
				ended <- r.Context().Err()
			})}}
	})
	_, _ = http.Get(o.Local() + "/sync/slow")
	assert.ErrorContains(t, <-ended, "deadline")
}

// A stream has no end time: it may be quiet for longer than a stalled client is
// waited for, and what it sends arrives at once.
func TestStreamOutlivesDeadlines(t *testing.T) {
	gone := make(chan bool)
	o := servertest.Start(t, func(s *server.Server) {
		s.Patience = 100 * time.Millisecond
		s.Sync = []web.Route{{Method: "POST", Path: "/sync/feed", Role: store.Reader, Body: 100,
			Handler: does(func(w http.ResponseWriter, r *http.Request) {
				_, _ = io.Copy(io.Discard, r.Body)
				for {
					_, _ = io.WriteString(w, "\n")
					_ = http.NewResponseController(w).Flush()
					select {
					case <-r.Context().Done():
						close(gone)
						return
					case <-time.After(300 * time.Millisecond):
					}
				}
			})}}
	})
	got, err := http.Post(o.Local()+"/sync/feed?feed=continuous", "application/json", strings.NewReader("{}"))
	require.NoError(t, err)
	start := time.Now()
	in := bufio.NewReader(got.Body)
	for range 4 {
		_, err := in.ReadString('\n')
		require.NoError(t, err)
	}
	assert.Greater(t, time.Since(start), 800*time.Millisecond)
	assert.Empty(t, got.Header.Get("Content-Encoding"))
	require.NoError(t, got.Body.Close())
	select {
	case <-gone:
	case <-time.After(5 * time.Second):
		t.Fatal("a client that left is not noticed")
	}
}

// A partial answer is never presented as complete.
func TestPanicHalfWayCutsTheLine(t *testing.T) {
	o := servertest.Start(t, func(s *server.Server) {
		s.Sync = []web.Route{
			{Method: "GET", Path: "/sync/half", Role: store.Reader, Time: time.Second,
				Handler: does(func(w http.ResponseWriter, r *http.Request) {
					w.Header().Set("Content-Type", "application/json")
					_, _ = io.WriteString(w, `{"a":"`+strings.Repeat("x", 1<<16))
					panic("half way")
				})},
			{Method: "GET", Path: "/sync/little", Role: store.Reader, Time: time.Second,
				Handler: does(func(w http.ResponseWriter, r *http.Request) {
					w.Header().Set("Content-Type", "application/json")
					_, _ = io.WriteString(w, `{"a":`)
					panic("soon")
				})},
		}
	})
	for _, path := range []string{"/sync/half", "/sync/little"} {
		for _, packed := range []string{"gzip", "identity"} {
			r, err := http.NewRequest("GET", o.Local()+path, nil)
			require.NoError(t, err)
			r.Header.Set("Accept-Encoding", packed)
			got, err := http.DefaultTransport.RoundTrip(r)
			if err != nil {
				continue // cut before the headers: fine
			}
			_, err = io.ReadAll(got.Body)
			_ = got.Body.Close()
			assert.True(t, err != nil || got.StatusCode == 500, "%s %s: status %d looks whole", path, packed, got.StatusCode)
		}
	}
	assert.Equal(t, 4, strings.Count(o.Lines.String(), "handler broke"))
}

func TestBrokenRequests(t *testing.T) {
	o := rough(t)
	head := "Host: 127.0.0.1\r\nConnection: close\r\n\r\n"
	for _, c := range []struct {
		name, raw string
		want      []int // acceptable; 0 is a closed connection
	}{
		{"words", "hello\r\n\r\n", []int{400}},
		{"no host", "GET /api/calc HTTP/1.1\r\nConnection: close\r\n\r\n", []int{400}},
		{"no host, old protocol", "GET /api/calc HTTP/1.0\r\n\r\n", []int{421}},
		{"two hosts", "GET /api/calc HTTP/1.1\r\nHost: 127.0.0.1\r\nHost: evil.example\r\n\r\n", []int{400}},
		{"host with a blank", "GET /api/calc HTTP/1.1\r\nHost: 127.0.0.1 evil\r\n\r\n", []int{400}},
		{"host with a path", "GET /api/calc HTTP/1.1\r\nHost: 127.0.0.1/x\r\nConnection: close\r\n\r\n", []int{400, 421}},
		{"host with a user", "GET /api/calc HTTP/1.1\r\nHost: x@127.0.0.1\r\nConnection: close\r\n\r\n", []int{400, 421}},
		{"address of elsewhere", "GET http://evil.example/api/calc HTTP/1.1\r\n" + head, []int{421}},
		{"two lengths", "POST /api/calc/echo HTTP/1.1\r\nContent-Length: 2\r\nContent-Length: 3\r\n" + head + "{}", []int{400}},
		{"length and chunks", "POST /api/calc/echo HTTP/1.1\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\nContent-Length: 2\r\n" + head + "2\r\n{}\r\n0\r\n\r\n", []int{200, 400}},
		{"negative length", "POST /api/calc/echo HTTP/1.1\r\nContent-Length: -1\r\n" + head, []int{400}},
		{"unknown transfer", "POST /api/calc/echo HTTP/1.1\r\nTransfer-Encoding: rot13\r\n" + head, []int{501}},
		{"header with a line break", "GET /api/calc HTTP/1.1\r\nX-A: a\r\n b: c\r\n" + head, []int{400, 200}},
		{"header without a name", "GET /api/calc HTTP/1.1\r\n: x\r\n" + head, []int{400}},
		{"header with a zero byte", "GET /api/calc HTTP/1.1\r\nX-A: a\x00b\r\n" + head, []int{400}},
		{"header too large", "GET /api/calc HTTP/1.1\r\nX-A: " + strings.Repeat("x", 200<<10) + "\r\n" + head, []int{431, 0}},
		{"two tokens", "GET /api/calc HTTP/1.1\r\nAuthorization: Bearer a\r\nAuthorization: Bearer b\r\n" + head, []int{401}},
		{"two origins", "GET /api/calc HTTP/1.1\r\nOrigin: http://127.0.0.1\r\nOrigin: https://evil.example\r\n" + head, []int{403}},
		{"unknown method", "BREW /api/calc HTTP/1.1\r\n" + head, []int{405}},
		{"TRACE", "TRACE / HTTP/1.1\r\n" + head, []int{405}},
		{"CONNECT", "CONNECT 127.0.0.1:22 HTTP/1.1\r\n" + head, []int{400, 404, 405, 421}},
		{"star", "OPTIONS * HTTP/1.1\r\n" + head, []int{200, 400, 404, 405}},
		{"bad percent", "GET /api/%zz HTTP/1.1\r\n" + head, []int{400}},
		{"future protocol", "GET / HTTP/9.9\r\n" + head, []int{505}},
		{"TLS hello", "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n", []int{400, 0}},
		{"HTTP/2 preface", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", []int{400, 404, 405, 421, 505}},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, _ := o.Raw(t, 15*time.Second, c.raw)
			assert.Contains(t, c.want, status)
		})
	}
	assert.Equal(t, 200, o.Do(t, servertest.Request{Method: "GET", Path: "/healthz"}).Status, "still well")
}

// Whatever a path looks like, it names a file of the app, a route, or nothing.
func TestPathTricks(t *testing.T) {
	o := rough(t)
	for _, path := range []string{
		"/../go.mod", "/..%2fgo.mod", "/%2e%2e/go.mod", "/assets/../../go.mod", "/assets/..%2f..%2fgo.mod", "/assets//app-1a2b3c.js",
		"//assets/app-1a2b3c.js", "/./index.html", "/index.html/", "/index.html%00.js", "/assets%5c..%5cgo.mod", "/assets/app-1a2b3c.js.br",
		"/assets/app-1a2b3c.js.gz", "/assets/app-1a2b3c.js%20", "/assets", "/assets/", "/.git/config", "/etc/passwd", "/C:/windows/win.ini",
		"/assets/%252e%252e/index.html", "/ASSETS/app-1a2b3c.js", "/%61ssets/..", "/file:///etc/passwd", "///etc/passwd",
	} {
		for _, accept := range []string{"*/*", "text/html"} {
			got := o.Do(t, servertest.Request{Method: "GET", Path: path, Header: map[string]string{"Accept": accept}})
			if got.Status == 200 {
				// A screen's address: the entry page, asked for as a page, under a clean path
				// without a dot.
				assert.Equal(t, "text/html", accept, path)
				assert.Contains(t, got.Body, "<title>Datumbook</title>", path)
				assert.NotContains(t, path, "..", path)
				continue
			}
			assert.Equal(t, 404, got.Status, path)
			assert.Empty(t, got.Header.Get("Location"), path)
		}
	}
	for _, path := range []string{"/api", "/api/", "/api/nothing", "/api/../metrics", "/sync", "/sync/", "/sync/a/b/c/d", "/sync/../api/devices", "/api/calc/", "/api/calc/a/b", "/api//calc"} {
		got := o.Do(t, servertest.Request{Method: "GET", Path: path, Header: map[string]string{"Accept": "text/html"}})
		assert.Contains(t, []int{404, 405}, got.Status, path)
		assert.Equal(t, "application/json", got.Header.Get("Content-Type"), path)
		assert.True(t, strings.HasPrefix(got.Body, `{"error":`), "%s: %s", path, got.Body)
	}
}

func TestWrongMethodsNameTheRightOnes(t *testing.T) {
	o := rough(t)
	for _, c := range []struct{ method, path, allow string }{
		{"GET", "/api/pair", "POST"},
		{"PUT", "/api/calc", "GET"},
		{"POST", "/index.html", "GET, HEAD"},
		{"PATCH", "/sync/_stand-in", "GET, PUT"},
	} {
		got := o.Do(t, servertest.Request{Method: c.method, Path: c.path})
		assert.Equal(t, 405, got.Status, c.path)
		assert.Equal(t, c.allow, got.Header.Get("Allow"), c.path)
	}
}

// No header that a client sends comes back in an answer or breaks a log line.
func TestNothingIsReflected(t *testing.T) {
	o := rough(t)
	got := o.Do(t, servertest.Request{Method: "GET", Path: "/<script>alert(1)</script>", Header: map[string]string{
		"Accept": "text/html", "X-Request-Id": "mine", "User-Agent": "<b>", "Origin": o.URL()}})
	assert.NotContains(t, got.Body, "<script>")
	assert.NotEqual(t, "mine", got.Header.Get("X-Request-Id"))
	for _, line := range strings.Split(strings.TrimSpace(o.Lines.String()), "\n") {
		assert.True(t, strings.HasPrefix(line, "{") && strings.HasSuffix(line, "}"), line)
	}
}
