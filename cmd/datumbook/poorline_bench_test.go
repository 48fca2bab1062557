package main

import (
	"bytes"
	"crypto/sha256"
	"crypto/tls"
	"encoding/base64"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook/demo"
	"datumbook/cmd/datumbook/browsertest"
)

// poorLine is an old phone's line at the far end of a shop: 1.4 Mbit/s, 560 ms there and back.
var poorLine = browsertest.Poor{Way: 280 * time.Millisecond, Down: 1.4e6 / 8}

// typesAtOnce types into the first worksheet as soon as its boxes take it.
const typesAtOnce = `(() => {
	const put = (e, text) => {
		Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, "value").set.call(e, text);
		e.dispatchEvent(new Event("input", { bubbles: true }));
	};
	const look = () => {
		const [thread, depth] = ["thread", "depth-full"].map((name) => document.querySelector("#hole-" + name));
		if (!thread || !depth) return requestAnimationFrame(look);
		put(thread, "5/8-11");
		put(depth, "3/4");
	};
	look();
})()`

// BenchmarkPoorLine prints, of a phone's first visit with a processor six times slower on a poor
// line, the seconds until each page can be used, until the first answer (on Start: until the running
// setup's card) and until all is stored. A setup and its readings can be used once their records have
// come. Goals: usable 3, first answer 4.5. Seconds count from the first request on; the connection's
// opening before it, TCP's and TLS's, is connected. The line is between browser and office, so that
// what service worker and calculations fetch comes down it too, and it is HTTP/2 as a phone has it;
// the slower processor is the page's alone. On a machine that is busy otherwise all of it is slower.
func BenchmarkPoorLine(b *testing.B) {
	for _, one := range []struct{ name, at, usable, does, answer string }{
		{"start", "#/", `document.querySelectorAll(".tile").length === 9`, "", `document.querySelector(".mill .button")`},
		{"worksheet", "#/sheet/hole", `document.querySelector("#hole-thread")`, typesAtOnce,
			`document.querySelector(".headline")?.textContent.includes("17/32")`},
		{"setup", "#/setup/setup:" + demo.Prefix + "02", `document.querySelector("main .page-foot")`, "", ""},
		{"readings", "#/readings/setup:" + demo.Prefix + "02", `document.querySelector("main .page-foot [type=submit]")`, "", ""},
	} {
		b.Run(one.name, func(b *testing.B) {
			office := browsertest.StartOffice(b, b.TempDir())
			bringDemo(b, office.Addr)
			asks := countBetween(b, office.Addr)
			gate := browsertest.NewGate(b)
			gate.To(asks.Listener.Addr().String())
			gate.Worsen(poorLine)
			for b.Loop() {
				phone := browsertest.Open(b, b.TempDir(), browsertest.Phone, asks.key())
				phone.Watch("usable", one.usable)
				phone.Watch("stored", `document.documentElement.dataset.stored === "all"`)
				if one.does != "" {
					phone.Always(one.does)
				}
				if one.answer != "" {
					phone.Watch("answer", one.answer)
				}
				phone.Slow(6)
				phone.Go("https://" + gate.Addr + "/" + one.at)
				phone.Wait("all is stored", `window.datumbookSeen?.stored > 0 && window.datumbookSeen?.usable > 0`)
				open := browsertest.Eval[float64](phone, `performance.getEntriesByType("navigation")[0].requestStart`)
				seen := browsertest.Eval[map[string]float64](phone, "window.datumbookSeen")
				for what, ms := range seen {
					b.ReportMetric((ms-open)/1000, "s-"+what)
				}
				b.ReportMetric(open/1000, "s-connected")
				phone.Close()
			}
			if testing.Verbose() {
				fmt.Println(asks.list()) // a benchmark's log is cut after ten lines
			}
		})
	}
}

// bringDemo puts the invented job into an office.
func bringDemo(t testing.TB, office string) {
	t.Helper()
	require.NotEmpty(t, office)
	_, docs, found := bytes.Cut(demo.File, []byte(`"docs":`))
	require.True(t, found)
	body := `{"docs":` + string(docs)
	resp, err := http.Post("http://"+office+"/sync/shop/_bulk_docs", "application/json", strings.NewReader(body))
	require.NoError(t, err)
	said, _ := io.ReadAll(resp.Body)
	require.NoError(t, resp.Body.Close())
	require.Equal(t, http.StatusCreated, resp.StatusCode, string(said[:min(len(said), 300)]))
}

// asks are what was asked of the office, over HTTP/2 as phones ask.
type asks struct {
	*httptest.Server
	before func(r *http.Request) // may hold a request up
	mu     sync.Mutex
	from   time.Time
	all    []string
	times  map[string]int
}

func countBetween(t testing.TB, addr string) *asks {
	a := &asks{times: map[string]int{}}
	office := standBetween(t, addr)
	a.Server = httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		a.note(r)
		if a.before != nil {
			a.before(r)
		}
		office.Config.Handler.ServeHTTP(w, r)
	}))
	a.EnableHTTP2 = true
	a.Config.ConnState = func(c net.Conn, is http.ConnState) {
		if t, ok := c.(*tls.Conn); ok && is == http.StateNew {
			_ = t.NetConn().(*net.TCPConn).SetWriteBuffer(64 << 10)
		}
	}
	a.StartTLS()
	t.Cleanup(func() { a.CloseClientConnections(); a.Close() })
	return a
}

// key is that of its certificate, as [browsertest.Open] takes it.
func (a *asks) key() string {
	sum := sha256.Sum256(a.Certificate().RawSubjectPublicKeyInfo)
	return base64.StdEncoding.EncodeToString(sum[:])
}

func (a *asks) note(r *http.Request) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if len(a.all) == 0 {
		a.from = time.Now()
	}
	a.times[r.Method+" "+r.URL.Path]++
	a.all = append(a.all, fmt.Sprintf("%5.2f %s %s", time.Since(a.from).Seconds(), r.Method, r.URL.Path))
}

// list gives what was asked and when.
func (a *asks) list() string {
	a.mu.Lock()
	defer a.mu.Unlock()
	return strings.Join(a.all, "\n")
}

// twice gives the files that were asked for more than once.
func (a *asks) twice() []string {
	a.mu.Lock()
	defer a.mu.Unlock()
	var more []string
	for what, n := range a.times {
		if n > 1 && strings.HasPrefix(what, "GET ") && !strings.Contains(what, "/sync/") && !strings.Contains(what, "/api/") {
			more = append(more, fmt.Sprint(n, " times ", what))
		}
	}
	slices.Sort(more)
	return more
}
