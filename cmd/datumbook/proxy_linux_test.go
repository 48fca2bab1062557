package main

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/base64"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
)

// proxies are those that README has a configuration for. before stands where a machine's own
// configuration would, with time limits that are far too short, so that README's have to be there.
var proxies = []struct {
	name, program string
	before        string // %[1]s: a folder
	after         string
	args          []string
	limits        *regexp.Regexp // README's lines that lengthen the limits
}{
	{name: "nginx", program: "/usr/sbin/nginx", args: []string{"-p", "%[1]s", "-e", "stderr", "-c", "%[1]s/conf"},
		limits: regexp.MustCompile(`(?m)^ *proxy_read_timeout .*$`), after: "}\n", before: `
daemon off; master_process off; pid %[1]s/pid; error_log stderr;
events {}
http {
access_log off;
client_body_temp_path %[1]s/body; proxy_temp_path %[1]s/proxy; fastcgi_temp_path %[1]s/fastcgi;
uwsgi_temp_path %[1]s/uwsgi; scgi_temp_path %[1]s/scgi;
proxy_read_timeout 1s;
`},
	{name: "haproxy", program: "/usr/sbin/haproxy", args: []string{"-db", "-f", "%[1]s/conf"},
		limits: regexp.MustCompile(`(?m)^ *timeout .*$`), before: `
defaults
    timeout connect 5s
    timeout client 1s
    timeout server 1s
`},
}

// readmeBlock gives the text of README's block in a language, as it stands there.
func readmeBlock(t *testing.T, language string) string {
	t.Helper()
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, after, found := strings.Cut(string(text), "\n```"+language+"\n")
	require.True(t, found, "README has a configuration for %s", language)
	block, _, found := strings.Cut(after, "\n```\n")
	require.True(t, found)
	return block + "\n"
}

// proxied is an office with a proxy before it.
type proxied struct {
	t      *testing.T
	data   string
	port   int // of the proxy, with TLS
	plain  int // and without; 0 for none
	public string
	roots  *x509.CertPool
	begin  func() // starts the proxy's program
	end    func() // and ends it
}

// startProxied starts an office and a proxy with README's configuration, in which ports and files are
// put in the place of the usual ones; change may change it further.
func startProxied(t *testing.T, at int, change func(string) string) *proxied {
	t.Helper()
	p := &proxied{t: t, data: t.TempDir(), port: freePort(t), plain: freePort(t)}
	p.public = fmt.Sprintf("https://office.example:%d", p.port)
	office := browsertest.StartOffice(t, p.data, "--public", p.public, "--proxy", "127.0.0.1")

	dir, kind := t.TempDir(), proxies[at]
	p.roots = selfMade(t, dir)
	conf := readmeBlock(t, kind.name)
	if change != nil {
		conf = change(conf)
	}
	for _, put := range [][2]string{
		{"listen 443 ", fmt.Sprintf("listen "+browsertest.NamedAt+":%d ", p.port)},
		{"listen 80;", fmt.Sprintf("listen "+browsertest.NamedAt+":%d;", p.plain)},
		{"bind :443 ", fmt.Sprintf("bind "+browsertest.NamedAt+":%d ", p.port)}, {"127.0.0.1:8470", office.Addr},
		{"/etc/nginx/office.", dir + "/office."}, {"/etc/haproxy/office.", dir + "/office."},
	} {
		conf = strings.ReplaceAll(conf, put[0], put[1])
	}
	require.NotRegexp(t, `(listen |:)(443|80|8470)\b|/etc/`, conf)
	conf = strings.ReplaceAll(kind.before, "%[1]s", dir) + conf + kind.after
	require.NoError(t, os.WriteFile(filepath.Join(dir, "conf"), []byte(conf), 0o600))

	_, err := os.Stat(kind.program)
	require.NoError(t, err, "%s is not there to be tested with: 'task browser' installs it", kind.name)
	var args []string
	for _, a := range kind.args {
		args = append(args, strings.ReplaceAll(a, "%[1]s", dir))
	}
	p.begin = func() { p.end = p.start(kind.name, exec.Command(kind.program, args...)) }
	p.begin()
	return p
}

// start starts the proxy's program, which the end of the test ends if nobody else does.
func (p *proxied) start(name string, cmd *exec.Cmd) (end func()) {
	t := p.t
	var log bytes.Buffer // read only once the process has ended
	cmd.Stdout, cmd.Stderr = &log, &log
	require.NoError(t, cmd.Start())
	ended := make(chan struct{})
	go func() { _ = cmd.Wait(); close(ended) }()
	end = func() { _ = cmd.Process.Kill(); <-ended }
	t.Cleanup(func() {
		end()
		if t.Failed() {
			t.Logf("%s said:\n%s", name, log.String())
		}
	})
	require.Eventually(t, func() bool {
		select {
		case <-ended:
			return true
		default:
		}
		c, err := net.Dial("tcp", p.at())
		if err == nil {
			_ = c.Close()
		}
		return err == nil
	}, 30*time.Second, 20*time.Millisecond, "the proxy comes up")
	return end
}

// at gives where the proxy listens.
func (p *proxied) at() string { return net.JoinHostPort(browsertest.NamedAt, strconv.Itoa(p.port)) }

func freePort(t *testing.T) int {
	t.Helper()
	l, err := net.Listen("tcp", browsertest.NamedAt+":0")
	require.NoError(t, err)
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// selfMade makes a certificate for office.example: .crt and .key, and both in .pem.
func selfMade(t *testing.T, dir string) *x509.CertPool {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	require.NoError(t, err)
	form := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "office.example"},
		DNSNames: []string{"office.example"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour)}
	der, err := x509.CreateCertificate(rand.Reader, form, form, &key.PublicKey, key)
	require.NoError(t, err)
	crt := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})
	priv := pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret})
	for name, text := range map[string][]byte{"crt": crt, "key": priv, "pem": append(bytes.Clone(crt), priv...)} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "office."+name), text, 0o600))
	}
	roots := x509.NewCertPool()
	require.True(t, roots.AppendCertsFromPEM(crt))
	return roots
}

// caller is a device that calls from an address of its own.
type caller struct {
	*proxied
	client *http.Client
	token  string
}

// from gives a device; with HTTP/2 or HTTP/1.1.
func (p *proxied) from(address string, two bool) *caller {
	dialer := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(address)}}
	to := &http.Transport{ForceAttemptHTTP2: two, TLSClientConfig: &tls.Config{RootCAs: p.roots},
		DialContext: func(ctx context.Context, network, called string) (net.Conn, error) {
			_, port, err := net.SplitHostPort(called) // office.example has no address
			if err != nil {
				return nil, err
			}
			return dialer.DialContext(ctx, network, net.JoinHostPort(browsertest.NamedAt, port))
		}}
	if !two {
		to.TLSNextProto = map[string]func(string, *tls.Conn) http.RoundTripper{}
	}
	p.t.Cleanup(to.CloseIdleConnections)
	return &caller{proxied: p, client: &http.Client{Transport: to, Timeout: 2 * time.Minute,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

// send sends a request; header is names and values in turn.
func (c *caller) send(method, path string, body io.Reader, header ...string) *http.Response {
	c.t.Helper()
	r, err := http.NewRequestWithContext(c.t.Context(), method, c.public+path, body)
	require.NoError(c.t, err)
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	if c.token != "" {
		r.Header.Set("Authorization", "Bearer "+c.token)
	}
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	r.Host = r.Header.Get("Host") // the address's own where there is none
	got, err := c.client.Do(r)
	require.NoError(c.t, err)
	c.t.Cleanup(func() { _ = got.Body.Close() })
	return got
}

// do sends a request and reads the answer to its end.
func (c *caller) do(method, path, body string, header ...string) (int, string) {
	c.t.Helper()
	var in io.Reader
	if body != "" {
		in = strings.NewReader(body)
	}
	got := c.send(method, path, in, header...)
	text, err := io.ReadAll(got.Body)
	require.NoError(c.t, err, "%s %s", method, path)
	return got.StatusCode, string(text)
}

// pair lets the device in with a code, as the app does.
func (c *caller) pair(code string) {
	c.t.Helper()
	status, text := c.do("POST", "/api/pair", fmt.Sprintf(`{"code":%q,"name":"Mill phone"}`, code),
		"Origin", c.public, "Sec-Fetch-Site", "same-origin")
	require.Equal(c.t, 201, status, text)
	var in struct{ Token string }
	require.NoError(c.t, json.Unmarshal([]byte(text), &in))
	c.token = in.Token
}

// command runs a command of the office machine.
func (p *proxied) command(args ...string) string {
	p.t.Helper()
	var out, fault bytes.Buffer
	_ = run(p.t.Context(), append(args, "--data", p.data), &out, &fault)
	return out.String() + fault.String()
}

// The configurations of README, with the real proxies: everything that phones and replicators do goes
// through, and nobody who comes through is taken for the office machine.
func TestBehindAProxy(t *testing.T) {
	for i, kind := range proxies {
		t.Run(kind.name, func(t *testing.T) {
			t.Parallel()
			p := startProxied(t, i, nil)
			owner, phone := p.from("127.0.0.2", true), p.from("127.0.0.3", false)
			p.opens(owner)

			shown := regexp.MustCompile(`Code (\d{4}-\d{4}) .*: (\S+)\n`).FindStringSubmatch(p.command("devices", "--pair", "owner"))
			require.NotNil(t, shown, "the commands of the office machine work as before")
			assert.Equal(t, p.public+"/#pair="+strings.ReplaceAll(shown[1], "-", ""), shown[2])
			owner.pair(shown[1])
			status, text := owner.do("POST", "/api/pair/code", `{"role":"hand"}`, "Origin", p.public)
			require.Equal(t, 201, status, text)
			var code struct{ Code, Link string }
			require.NoError(t, json.Unmarshal([]byte(text), &code))
			assert.Contains(t, code.Link, p.public+"/#pair=")
			phone.pair(code.Code)

			p.isNobodys(owner)
			p.records(owner, phone)
			p.waits(owner, phone)
			p.uploads(owner, phone)
		})
	}
}

// opens loads the app as a phone does on its first visit.
func (p *proxied) opens(c *caller) {
	status, page := c.do("GET", "/", "")
	assert.Equal(p.t, 200, status)
	script := regexp.MustCompile(`assets/[^"]+\.js`).FindString(page)
	require.NotEmpty(p.t, script)
	got := c.send("GET", "/"+script, nil, "Accept-Encoding", "br")
	assert.Equal(p.t, "br", got.Header.Get("Content-Encoding"), "packed, as it was built")
	assert.Equal(p.t, "text/javascript; charset=utf-8", got.Header.Get("Content-Type"))
	got = c.send("GET", "/sw.js", nil)
	assert.Equal(p.t, 200, got.StatusCode)
	assert.Equal(p.t, "text/javascript; charset=utf-8", got.Header.Get("Content-Type"))
	assert.Equal(p.t, 2, got.ProtoMajor)
	status, text := c.do("POST", "/api/calc/hole", `{"thread":"3/8-16"}`, "Origin", p.public, "Sec-Fetch-Site", "same-origin")
	assert.NotContains(p.t, []int{401, 403, 421}, status, text)
}

// isNobodys tries to pass for the office machine, and for other clients.
func (p *proxied) isNobodys(owner *caller) {
	stranger, other := p.from("127.0.0.4", true), p.from("127.0.0.5", false)
	for _, header := range [][]string{nil, {"X-Forwarded-For", "127.0.0.1"}, {"Forwarded", "for=127.0.0.1;proto=https"},
		{"X-Real-Ip", "127.0.0.1"}} {
		for _, path := range []string{"/api/devices", "/metrics", "/sync/shop", "/api/backup", "/api/calc"} {
			status, text := stranger.do("GET", path, "", header...)
			assert.Equal(p.t, 401, status, "%s %v: %s", path, header, text)
		}
	}
	status, _ := owner.do("GET", "/metrics", "")
	assert.Equal(p.t, 200, status, "with an owner's token")
	status, text := stranger.do("GET", "/", "", "Origin", "https://evil.example")
	assert.Equal(p.t, 403, status, text)
	status, text = stranger.do("GET", "/", "", "Host", "evil.example", "X-Forwarded-Host", "office.example")
	assert.Equal(p.t, 421, status, "a page that gave its own name the proxy's address: %s", text)
	assert.Contains(p.t, text, p.public)
	status, text = stranger.do("GET", "/", "", "X-Forwarded-Proto", "http", "X-Forwarded-Host", "evil.example")
	assert.Equal(p.t, 200, status, "the proxy knows better: %s", text)

	wrong := func(c *caller, header ...string) int {
		status, _ := c.do("POST", "/api/pair", `{"code":"1","name":"x"}`, header...)
		return status
	}
	assert.Equal(p.t, 403, wrong(stranger))
	assert.Equal(p.t, 429, wrong(stranger), "slowed")
	assert.Equal(p.t, 429, wrong(stranger, "X-Forwarded-For", "198.51.100.7"), "whoever it says it is")
	assert.Equal(p.t, 429, wrong(stranger, "Forwarded", "for=198.51.100.7"))
	assert.Equal(p.t, 403, wrong(other), "another client is not")

	_, trail := owner.do("GET", "/api/audit", "")
	for _, who := range []string{"127.0.0.2", "127.0.0.3", "127.0.0.4", "127.0.0.5"} {
		assert.Contains(p.t, trail, "from "+who+".", "the trail names the clients")
	}
	assert.NotContains(p.t, trail, "198.51.100.7")
	_, text = owner.do("GET", "/api/office", "")
	assert.Contains(p.t, text, fmt.Sprintf(`"app":%q`, p.public))
	assert.Contains(p.t, p.command("doctor"), p.public)
	assert.Contains(p.t, p.command("open"), "devices --pair owner", "there is no link for a browser of this machine")
}

// records pushes and pulls as replicators do: a photo of 5 MB, an id with a slash, a long address.
func (p *proxied) records(owner, phone *caller) {
	photo := make([]byte, 5<<20)
	_, err := rand.Read(photo)
	require.NoError(p.t, err)
	const rev = "1-0123456789abcdef0123456789abcdef"
	push, err := json.Marshal(map[string]any{"new_edits": false, "docs": []any{map[string]any{"_id": "photo:1", "_rev": rev,
		"_attachments": map[string]any{"p.jpg": map[string]any{"content_type": "image/jpeg",
			"data": base64.StdEncoding.EncodeToString(photo)}}}}})
	require.NoError(p.t, err)
	status, text := phone.do("POST", "/sync/shop/_bulk_docs", string(push))
	require.Equal(p.t, 201, status, text)
	status, text = owner.do("GET", "/sync/shop/photo:1/p.jpg", "")
	assert.Equal(p.t, 200, status)
	assert.True(p.t, text == string(photo), "the photo is as it was")
	status, text = phone.do("PUT", "/sync/shop/photo:2/p.jpg", string(photo), "Content-Type", "image/jpeg")
	assert.Equal(p.t, 201, status, text)

	for _, id := range []string{"a/b", "a%2Fb", "a b+c", "a//../b", "caf\u00e9/1"} {
		path := "/sync/shop/" + url.PathEscape(id)
		status, text = phone.do("PUT", path, `{}`)
		assert.Equal(p.t, 201, status, "%s: %s", id, text)
		_, text = owner.do("GET", path, "")
		var doc struct {
			ID string `json:"_id"`
		}
		require.NoError(p.t, json.Unmarshal([]byte(text), &doc), text)
		assert.Equal(p.t, id, doc.ID)
	}
	status, text = phone.do("PUT", "/sync/shop/"+url.PathEscape("a/b")+"/"+url.PathEscape("d/e.txt")+"?rev="+revOf(p.t, owner, "a/b"), "x")
	assert.Equal(p.t, 201, status, text)

	var revs []string
	for i := range 1000 {
		revs = append(revs, fmt.Sprintf("%d-%032x", i+1, i))
	}
	list, err := json.Marshal(revs)
	require.NoError(p.t, err)
	status, text = owner.do("GET", "/sync/shop/photo:1?open_revs="+url.QueryEscape(string(list)), "", "Accept", "application/json")
	assert.Equal(p.t, 200, status, text)
	assert.Equal(p.t, 1000, strings.Count(text, "missing"), "a replicator may name so many")
}

func revOf(t *testing.T, c *caller, id string) string {
	t.Helper()
	_, text := c.do("GET", "/sync/shop/"+url.PathEscape(id), "")
	var doc struct {
		Rev string `json:"_rev"`
	}
	require.NoError(t, json.Unmarshal([]byte(text), &doc), text)
	return doc.Rev
}

// silentWait is a wait for changes that is silent for longer than the proxy's own limits.
const silentWait = "/sync/shop/_changes?feed=longpoll&since=now&timeout=3000"

// waits opens the feeds: nothing of them is held back, and silence does not end them.
func (p *proxied) waits(owner, phone *caller) {
	for _, c := range []*caller{owner, phone} {
		began := time.Now()
		status, text := c.do("GET", silentWait, "")
		assert.Equal(p.t, 200, status)
		assert.Contains(p.t, text, "last_seq", "a poll that is silent for %s comes to its end", time.Since(began))

		// The answer's head is here before anything has changed, and what changes is, while it is open.
		poll := c.send("GET", "/sync/shop/_changes?feed=longpoll&since=now", nil)
		events := c.send("GET", "/sync/shop/_changes?feed=eventsource&since=now&heartbeat=100", nil)
		lines := c.send("GET", "/sync/shop/_changes?feed=continuous&since=now&heartbeat=100", nil)
		beat := make([]byte, 3)
		_, err := io.ReadFull(lines.Body, beat)
		require.NoError(p.t, err)
		assert.Equal(p.t, "\n\n\n", string(beat))
		id := "wake:" + c.token[len(c.token)-8:]
		status, text = phone.do("PUT", "/sync/shop/"+id, `{}`)
		require.Equal(p.t, 201, status, text)
		woken, err := io.ReadAll(poll.Body)
		require.NoError(p.t, err)
		assert.Contains(p.t, string(woken), id)
		readUntil(p.t, events.Body, id)
		assert.Equal(p.t, "text/event-stream", events.Header.Get("Content-Type"))
		readUntil(p.t, lines.Body, id)
		_, _ = events.Body.Close(), lines.Body.Close()
	}
}

// readUntil reads an answer that goes on, up to a text.
func readUntil(t *testing.T, from io.Reader, end string) {
	t.Helper()
	var got strings.Builder
	one := make([]byte, 1)
	for !strings.HasSuffix(got.String(), end) {
		_, err := io.ReadFull(from, one)
		require.NoError(t, err, got.String())
		got.Write(one)
	}
}

// uploads sends half a photo: the office is at work on it before the other half has come.
func (p *proxied) uploads(owner, phone *caller) {
	atWork := func(n int) {
		p.t.Helper()
		want := fmt.Sprintf("\ndatumbook_requests_in_flight %d\n", n+1) // with the one that asks
		require.Eventually(p.t, func() bool {
			_, figures := owner.do("GET", "/metrics", "")
			return strings.Contains(figures, want)
		}, 30*time.Second, 20*time.Millisecond, "%d at work", n)
	}
	photo := bytes.Repeat([]byte("half"), 1<<19)
	for _, two := range []bool{false, true} {
		c := p.from("127.0.0.6", two)
		id := fmt.Sprintf("upload:%v", two)
		atWork(0)
		body, more := io.Pipe()
		r, err := http.NewRequestWithContext(p.t.Context(), "PUT", p.public+"/sync/shop/"+id+"/p.jpg", body)
		require.NoError(p.t, err)
		r.ContentLength = int64(len(photo))
		r.Header.Set("Authorization", "Bearer "+phone.token)
		r.Header.Set("Content-Type", "image/jpeg")
		answer := make(chan int, 1)
		go func() {
			status := 0
			if got, err := c.client.Do(r); err == nil {
				status = got.StatusCode
				_ = got.Body.Close()
			}
			answer <- status
		}()
		_, err = more.Write(photo[:len(photo)/2])
		require.NoError(p.t, err)
		atWork(1)
		_, err = more.Write(photo[len(photo)/2:])
		require.NoError(p.t, err)
		require.NoError(p.t, more.Close())
		assert.Equal(p.t, 201, <-answer)
		_, text := owner.do("GET", "/sync/shop/"+id+"/p.jpg", "")
		assert.True(p.t, text == string(photo), "it is as it was")
	}
}

// Without README's limits the test's own cut a poll off: so the test would show it if they were missing.
func TestProxyLimitsMatter(t *testing.T) {
	for i, kind := range proxies {
		t.Run(kind.name, func(t *testing.T) {
			t.Parallel()
			p := startProxied(t, i, func(conf string) string {
				require.Regexp(t, kind.limits, conf)
				return kind.limits.ReplaceAllString(conf, "")
			})
			code := regexp.MustCompile(`Code (\d{4}-\d{4})`).FindStringSubmatch(p.command("devices", "--pair", "hand"))
			require.NotNil(t, code)
			phone := p.from("127.0.0.2", true)
			phone.pair(code[1])
			got := phone.send("GET", silentWait, nil)
			text, _ := io.ReadAll(got.Body) // HAProxy ends what it cuts off as if it were whole
			assert.NotContains(t, string(text), "last_seq")
		})
	}
}

// The plain address leads to the secure one.
func TestProxyLeadsToTLS(t *testing.T) {
	p := startProxied(t, 0, nil)
	c := p.from("127.0.0.2", false)
	r, err := http.NewRequestWithContext(t.Context(), "GET", fmt.Sprintf("http://office.example:%d/sync/shop/a%%2Fb?x=1", p.plain), nil)
	require.NoError(t, err)
	got, err := c.client.Do(r)
	require.NoError(t, err)
	defer got.Body.Close()
	assert.Equal(t, 308, got.StatusCode)
	assert.Equal(t, "https://office.example/sync/shop/a%2Fb?x=1", got.Header.Get("Location"))
}

// With the shop's network too: the commands find the office by its own certificate, and phones are led
// to the proxy.
func TestProxyBesideTheShopNetwork(t *testing.T) {
	p := &proxied{t: t, data: t.TempDir()}
	browsertest.StartOffice(t, p.data, "--addr", "0.0.0.0:0", "--lan", "--public", "https://Office.example/", "--proxy", "127.0.0.1")
	assert.Contains(t, p.command("devices", "--pair", "hand"), ": https://office.example/#pair=")
	assert.Contains(t, p.command("doctor"), "phones reach it at https://office.example, through a proxy")
}

// What is wrong is said before anything is served: the flag, what was given, what to write.
func TestServeRefusesWrongProxies(t *testing.T) {
	serve := func(flags ...string) string {
		var out, fault bytes.Buffer
		code := run(t.Context(), append([]string{"serve", "--addr", "127.0.0.1:0", "--data", t.TempDir()}, flags...), &out, &fault)
		assert.Equal(t, exitFailed, code, flags)
		assert.Empty(t, out.String())
		return fault.String()
	}
	assert.Contains(t, serve("--proxy", "127.0.0.1"), "say with --public by which address")
	assert.Contains(t, serve("--public", "https://office.example"), "say with --proxy where")
	assert.Contains(t, serve("--proxy", "127.0.0.1", "--public", "https://example/datumbook/"),
		`--public "https://example/datumbook/": the app needs a name of its own and does not work below a path: write https://example,`)
	t.Setenv("DATUMBOOK_PUBLIC", "https://office.example")
	t.Setenv("DATUMBOOK_PROXY", "127.0.0.1, proxy.example")
	assert.Contains(t, serve(), `--proxy "proxy.example": this is neither an address nor a network: write`)
}

// The app in a browser: it opens by the proxy's address, stores itself, pairs, shows another phone's
// record as it comes, and goes on by itself when the proxy was away.
func TestAppBehindAProxy(t *testing.T) {
	for i, kind := range proxies {
		t.Run(kind.name, func(t *testing.T) {
			t.Parallel()
			p := startProxied(t, i, nil)
			open := func(role, name string) *browsertest.Browser {
				shown := regexp.MustCompile(`: (\S+)\n`).FindStringSubmatch(p.command("devices", "--pair", role))
				require.NotNil(t, shown)
				b := browsertest.Open(t, t.TempDir(), browsertest.Phone, browsertest.KeysAt(t, p.at())...)
				b.Go(p.public + "/")
				b.Wait("all is stored", `document.documentElement.dataset.stored === "all"`)
				b.Go(shown[1])
				b.Wait("the code stands in its field", `document.querySelector("#pair-code")?.value.length === 8`)
				setText(b, "#pair-name", name)
				b.Tap(`form button[type=submit]`)
				b.WaitText("This device is now “" + name + "”")
				return b
			}
			phone, owner := open("hand", "Pit phone"), open("owner", "Office desk")
			phone.AtOffice()

			owner.Go(p.public + "/#/jobs")
			planHole(phone, p.public, "Pump cover", "by way of the proxy")
			phone.AtOffice()
			owner.WaitText("Pump cover")

			p.end()
			planHole(phone, p.public, "Gear case", "while the proxy is away")
			phone.Wait("it is kept", stored+`.then((ids) => ids.length === 4)`)
			p.begin()
			phone.AtOffice()
			owner.WaitText("Gear case")
		})
	}
}
