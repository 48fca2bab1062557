// Package browsertest drives a real Chromium and the real program for the end-to-end tests: a
// browser with a profile that outlives it, a gate that stands for the shop's network and can be
// shut, and the server as a process that can be killed.
package browsertest

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// Screen is the size of a browser's window.
type Screen struct {
	Width, Height int64
	Scale         float64
	Touch         bool
}

// The screens that tests use.
var (
	Phone = Screen{360, 740, 2, true}
	Desk  = Screen{1280, 800, 1, false}
)

func (s Screen) emulate() chromedp.Action[chromedp.Void] {
	look := []chromedp.EmulateViewportOption{chromedp.EmulateScale(s.Scale), chromedp.EmulatePortrait}
	if s.Touch {
		look = append(look, chromedp.EmulateTouch)
	}
	return chromedp.EmulateViewport(s.Width, s.Height, look...)
}

// Browser is one Chromium with one page.
type Browser struct {
	t      testing.TB
	ctx    context.Context
	touch  bool
	cancel []context.CancelFunc
}

// Chromium names the Chromium to start: DATUMBOOK_BROWSER, else the one without windows where it is
// installed, which draws and runs the same in half the processor's time, else any.
func Chromium() []chromedp.ExecAllocatorOption {
	for _, name := range []string{os.Getenv("DATUMBOOK_BROWSER"), "chromium-headless-shell"} {
		if path, err := exec.LookPath(name); err == nil {
			return []chromedp.ExecAllocatorOption{chromedp.ExecPath(path)}
		}
	}
	return nil
}

// NamedAt is where the names under .example lead in this browser: nobody else listens there.
const NamedAt = "127.0.77.1"

// Open starts Chromium on a profile folder. It fails, never skips, where there is no Chromium:
// `task browser` installs one. trust are keys of certificates, as [Office.Keys] gives them, that it
// accepts without asking, as a phone does that has the shop's certificate installed.
func Open(t testing.TB, profile string, screen Screen, trust ...string) *Browser {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.UserDataDir(profile), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.WindowSize(int(screen.Width), int(screen.Height)),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("host-resolver-rules", "MAP *.example "+NamedAt))
	if len(trust) > 0 {
		options = append(options, chromedp.Flag("ignore-certificate-errors-spki-list", strings.Join(trust, ",")))
	}
	options = append(options, Chromium()...)
	b := &Browser{t: t, touch: screen.Touch}
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(alloc)
	b.ctx, b.cancel = ctx, []context.CancelFunc{stop, stopAlloc}
	require.NoError(t, chromedp.Do(ctx, screen.emulate()), "start Chromium")
	t.Cleanup(b.Close)
	return b
}

// Close ends the browser as a user would, so that its profile is whole.
func (b *Browser) Close() {
	if b.ctx == nil {
		return
	}
	_ = chromedp.Cancel(b.ctx)
	for _, stop := range b.cancel {
		stop()
	}
	b.ctx = nil
}

// Do runs steps within a time limit and fails the test with the page's text where one fails.
func (b *Browser) Do(what string, steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	run(b, what, chromedp.Steps(steps...))
}

// run is Do for a step that returns a value.
func run[T any](b *Browser, what string, step chromedp.Action[T]) T {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, 100*time.Second)
	defer stop()
	out, err := chromedp.Run(ctx, step)
	if err != nil {
		b.fail(what + ": " + err.Error())
	}
	return out
}

// fail ends the test with what went wrong and what the page shows.
func (b *Browser) fail(what string) {
	b.t.Helper()
	look, done := context.WithTimeout(b.ctx, 5*time.Second)
	defer done()
	text, _ := chromedp.Run(look, chromedp.Evaluate[string](`location.href + "\n" + document.body.innerText`))
	if dir := os.Getenv("DATUMBOOK_LOOK"); dir != "" {
		if picture, err := chromedp.Run(look, chromedp.CaptureScreenshot()); err == nil {
			_ = os.WriteFile(filepath.Join(dir, "failed.png"), picture, 0o644)
		}
	}
	require.FailNow(b.t, what, "the page shows:\n%s", text)
}

// Go opens an address.
func (b *Browser) Go(url string) {
	b.t.Helper()
	b.Do("open "+url, chromedp.Navigate(url))
}

// Reload loads the page again.
func (b *Browser) Reload() {
	b.t.Helper()
	b.Do("reload", chromedp.Reload())
}

// Eval evaluates an expression, awaiting it where it is a promise.
func Eval[T any](b *Browser, expression string) T {
	b.t.Helper()
	return run(b, "evaluate "+expression, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// Wait waits until an expression is true, also of a page that is being loaded.
func (b *Browser) Wait(what, expression string) {
	b.t.Helper()
	poll := chromedp.Poll[bool](expression,
		chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(90*time.Second))
	run(b, "wait until "+what, func(ctx context.Context, to *chromedp.Target) (bool, error) {
		for {
			ok, err := poll(ctx, to)
			// The page that was asked gave way to the next.
			if err == nil || ctx.Err() != nil || !strings.Contains(err.Error(), "Cannot find context") {
				return ok, err
			}
		}
	})
}

// WaitText waits until the page shows a text.
func (b *Browser) WaitText(text string) {
	b.t.Helper()
	b.Wait("the page shows "+text, `document.body.innerText.includes(`+strconv.Quote(text)+`)`)
}

// AtOffice waits until the head says that the office has everything.
func (b *Browser) AtOffice() {
	b.t.Helper()
	b.Wait("the office has everything", `document.querySelector(".sync-words")?.textContent.startsWith("at the office")`)
}

// Type types into a field with the keyboard.
func (b *Browser) Type(selector, text string) {
	b.t.Helper()
	b.Do("type into "+selector, chromedp.WaitVisible(chromedp.CSS(selector)), chromedp.SendKeys(chromedp.CSS(selector), text))
}

// Slow makes the page's processor as many times slower.
func (b *Browser) Slow(times float64) {
	b.t.Helper()
	b.Do("slow down", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: times})
		return err
	}))
}

// Picture takes a picture of the screen.
func (b *Browser) Picture() []byte {
	b.t.Helper()
	return run(b, "take a picture", chromedp.CaptureScreenshot())
}

// Watch notes, on every page opened from now on, the milliseconds from its
// start until an expression is first true, as window.datumbookSeen[name].
func (b *Browser) Watch(name, expression string) {
	b.t.Helper()
	script := `(() => { const seen = window.datumbookSeen ??= {};
		const look = () => { try { if (` + expression + `) { seen[` + strconv.Quote(name) + `] = performance.now(); return; } } catch {}
			requestAnimationFrame(look); };
		look(); })()`
	b.Always(script)
}

// Always runs a script on every page opened from now on, before the page's own.
func (b *Browser) Always(script string) {
	b.t.Helper()
	b.Do("run a script on every page", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	}))
}
