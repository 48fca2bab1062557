package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/registry"
	"datumbook/cmd/datumbook/browsertest"
	"datumbook/server"
)

// The app as built, served by the real server with its strict policy, in a real Chromium: it caches
// itself, starts and calculates with the server gone, and activates a newer version only when told.
func TestAppWorksOfflineAndUpdatesWhenTold(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 6*time.Minute)
	defer cancel()
	b := testBuilder(t)
	files, _, err := b.make(ctx)
	require.NoError(t, err)

	office := serveApp(t, "127.0.0.1:0", files)
	address := strings.TrimPrefix(office.URL(), "http://")
	page := newPage(ctx, t)

	page.do(chromedp.Navigate(office.URL()))
	page.until("the first screen", `document.querySelector("#app").children.length > 0`)
	page.until("the service worker serves the page", `navigator.serviceWorker.controller?.state === "activated"`)
	page.until("the second step is stored too", `document.documentElement.dataset.stored === "all"`)
	assert.Empty(t, page.complaints.list(), "errors, or something the server's policy forbids")

	require.NoError(t, office.Close(ctx))
	page.do(chromedp.Reload())
	page.until("the first screen with no server", `document.querySelector("#app").children.length > 0`)
	for _, path := range []string{"/", "/hole", "/index.html?from=home"} {
		page.do(chromedp.Navigate(office.URL() + path))
		page.until("the app at "+path, `document.title.includes("Datumbook") && document.querySelector("#app").children.length > 0`)
	}
	// The calculations from the device's cache alone: the worker and the module as the page starts
	// them.
	answer, err := chromedp.Run(page.ctx, chromedp.Evaluate[string](fmt.Sprintf(`(async () => {
		const worker = new Worker(%q);
		const said = (kind) => new Promise((done, fail) => {
			worker.onmessage = ({ data }) => {
				if (data.kind === kind) done(data);
				else if (data.kind !== "compiled") fail(new Error(JSON.stringify(data)));
			};
			worker.onerror = (event) => fail(new Error(event.message));
		});
		const ready = said("ready");
		worker.postMessage({ kind: "start", from: %q });
		await ready;
		const answer = said("answer");
		worker.postMessage({ kind: "run", id: 1, name: "hole", unit: "in", pairs: "thread\x1f5/8-11\x1edepth\x1f3/4\x1estock\x1f0.95" });
		return (await answer).json;
	})()`, named(files, "assets/calc-", ".js"), named(files, "assets/calc-", ".wasm")), chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	assert.Contains(t, answer, `"worksheet":"hole"`)
	assert.Contains(t, answer, `"drill"`)
	// And what it was checked against, worked out when the app was made.
	filed, err := chromedp.Run(page.ctx, chromedp.Evaluate[string](fmt.Sprintf(`fetch(%q).then((r) => r.text())`,
		named(files, "assets/checks-", ".json")), chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	assert.Equal(t, string(registry.ChecksJSON()), filed)

	// A newer version, at the same address.
	newer := map[string][]byte{}
	for name, body := range files {
		if !strings.HasSuffix(name, ".br") && !strings.HasSuffix(name, ".gz") {
			newer[name] = body
		}
	}
	// Not by the title: the app sets that itself.
	newer["index.html"] = bytes.Replace(newer["index.html"], []byte("<body>"), []byte(`<body data-version="2">`), 1)
	delete(newer, "sw.js")
	_, err = b.finish(newer, nil)
	require.NoError(t, err)
	for range 3 {
		if takesOver(t, page, address, newer) {
			return
		}
		// A browser short of time may leave its old worker busy for minutes: start another browser.
		page = newPage(ctx, t)
		office = serveApp(t, address, files)
		page.do(chromedp.Navigate(office.URL()))
		page.until("the service worker serves the page", `navigator.serviceWorker.controller?.state === "activated"`)
		page.until("the second step is stored too", `document.documentElement.dataset.stored === "all"`)
		require.NoError(t, office.Close(ctx))
	}
	require.Fail(t, "the newer version was told to take over in three browsers, and did in none")
}

// takesOver meets a newer version on a page that has the older one cached: nothing changes until
// the page activates it.
func takesOver(t *testing.T, page chromePage, address string, newer map[string][]byte) bool {
	t.Helper()
	office := serveApp(t, address, newer)
	defer func() { require.NoError(t, office.Close(context.Background())) }()
	page.do(chromedp.Navigate(office.URL()))
	page.until("the old version, still", `!document.body.dataset.version && document.querySelector("#app").children.length > 0`)
	// What a page does soon after its start is done by the time a person has read the offer.
	page.until("the second step, again", `document.documentElement.dataset.stored === "all"`)
	page.do(chromedp.Evaluate[chromedp.Void](`(async () => { window.mark = 1; await (await navigator.serviceWorker.ready).update(); return true })()`, chromedp.EvalAwaitPromise))
	page.until("the newer version waits", `navigator.serviceWorker.getRegistration().then((r) => r.waiting?.state === "installed")`)
	// Neither another page that it serves nor another check for updates activates it.
	page.do(chromedp.Evaluate[chromedp.Void](
		`(async () => { await fetch("/"); await (await navigator.serviceWorker.ready).update(); return true })()`,
		chromedp.EvalAwaitPromise))
	page.until("nothing was reloaded, and it waits still",
		`window.mark === 1 && navigator.serviceWorker.getRegistration().then((r) => r.waiting?.state === "installed")`)
	// Sent again until it takes over, as the app does.
	if err := page.within(30*time.Second, `navigator.serviceWorker.getRegistration().then((r) => r.waiting?.postMessage({ type: "SKIP_WAITING" }) || r.active?.state === "activated" && !r.waiting && !r.installing && navigator.serviceWorker.controller === r.active)`); err != nil {
		return false
	}
	page.do(chromedp.Navigate(office.URL()))
	page.until("the newer version", `document.body.dataset.version === "2"`)
	return true
}

func testBuilder(t testing.TB) builder {
	t.Helper()
	root, err := findRoot()
	require.NoError(t, err)
	return newBuilder(root, io.Discard)
}

// named gives the address of the one file with that beginning and end.
func named(files map[string][]byte, prefix, suffix string) string {
	for name := range maps.Keys(files) {
		if strings.HasPrefix(name, prefix) && strings.HasSuffix(name, suffix) {
			return "/" + name
		}
	}
	return "no " + prefix + suffix
}

func serveApp(t *testing.T, address string, files map[string][]byte) *server.Server {
	t.Helper()
	assets := fstest.MapFS{}
	for name, body := range files {
		assets[name] = &fstest.MapFile{Data: body, Mode: fs.FileMode(0o444)}
	}
	s := &server.Server{Addr: address, Assets: assets}
	require.NoError(t, s.Open())
	t.Cleanup(func() { _ = s.Close(context.Background()) }) // closed by the test, unless that failed before
	return s
}

// chromePage is one tab of a Chromium that lives for the test.
type chromePage struct {
	t          *testing.T
	ctx        context.Context
	complaints *complaints
}

func newPage(ctx context.Context, t *testing.T) chromePage {
	t.Helper()
	options := append(append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox), browsertest.Chromium()...)
	ctx, end := chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(end)
	ctx, end = chromedp.NewContext(ctx)
	t.Cleanup(end)
	page := chromePage{t, ctx, &complaints{}}
	require.NoError(t, chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, log.Enable, cdp.Empty{})
		return err
	})), "this test needs Chromium: apt-get install chromium")
	entries, thrown := chromedp.Events(ctx, log.EntryAdded), chromedp.Events(ctx, runtime.ExceptionThrown)
	go func() {
		for event, err := range entries {
			// There is no book at this office, so the phone's request for it fails: expected.
			if err == nil && event.Entry.Level == log.EntryLevelError && !strings.Contains(event.Entry.URL, "/sync/") {
				page.complaints.add(event.Entry.Text + " " + event.Entry.URL)
			}
		}
	}()
	go func() {
		for event, err := range thrown {
			if err == nil {
				page.complaints.add(fmt.Sprint(event.ExceptionDetails.Text, event.ExceptionDetails.Exception))
			}
		}
	}()
	return page
}

func (p chromePage) do(actions ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	require.NoError(p.t, chromedp.Do(p.ctx, actions...))
}

// within evaluates an expression again and again; a reload in between costs only one try.
func (p chromePage) within(limit time.Duration, expression string) error {
	var holds bool
	var err error
	for end := time.Now().Add(limit); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		holds, err = chromedp.Run(p.ctx, chromedp.Evaluate[bool](`Promise.resolve(`+expression+`).then(Boolean)`, chromedp.EvalAwaitPromise))
		if err == nil && holds {
			return nil
		}
	}
	return fmt.Errorf("not within %v: %w", limit, cmp.Or(err, errors.New("it is false")))
}

// until is within a minute and a half, or the test fails.
func (p chromePage) until(what, expression string) {
	p.t.Helper()
	err := p.within(90*time.Second, expression)
	if err == nil {
		return
	}
	html, _ := chromedp.Run(p.ctx, chromedp.Evaluate[string](`document.documentElement.outerHTML.slice(0, 3000)`))
	workers, _ := chromedp.Run(p.ctx, chromedp.Evaluate[string](`(async () => {
		const r = await navigator.serviceWorker.getRegistration();
		return JSON.stringify({ at: location.href, age: performance.now(), mark: window.mark, active: r?.active?.state, waiting: r?.waiting?.state,
			installing: r?.installing?.state, same: navigator.serviceWorker.controller === r?.active });
	})()`, chromedp.EvalAwaitPromise))
	require.FailNow(p.t, "never happened: "+what, "last error: %v\nconsole: %q\nworkers: %s\npage: %s", err, p.complaints.list(), workers, html)
}

// complaints are the errors that the page would show on its console.
type complaints struct {
	mu    sync.Mutex
	lines []string
}

func (c *complaints) add(line string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.lines = append(c.lines, line)
}

func (c *complaints) list() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.lines
}
