package browsertest

import (
	"bufio"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Engines are those that the app is tested in, with the programs that may be of them.
var Engines = map[string][]string{
	"chrome":  {"chromium-headless-shell", "chromium", "google-chrome"},
	"firefox": {"firefox-esr", "firefox"},
	"webkit":  {"gjs"}, // which runs pwa/test/webkit.js
}

// Engine is a browser of one engine, driven by pwa/test/engine.js: what all of them can be told.
type Engine struct {
	t    testing.TB
	Name string
	in   io.Writer
	out  *bufio.Reader
}

// OpenEngine starts a browser of an engine with a profile of its own; Firefox with "forced" in colours
// of the user's own.
func OpenEngine(t testing.TB, name string, colours ...string) *Engine {
	t.Helper()
	program := ""
	for _, p := range Engines[name] {
		if at, err := exec.LookPath(p); err == nil {
			program = at
			break
		}
	}
	require.NotEmpty(t, program, "no browser of %s: run task browser", name)
	run := append([]string{"node", "engine.js", name, program, t.TempDir()}, colours...)
	if name == "webkit" { // it has no way to be without windows
		run = append([]string{"xvfb-run", "-a"}, run...)
	}
	// It ends when nobody asks any more, after it has closed the browser: being killed with the test
	// would leave that behind.
	cmd := exec.CommandContext(context.WithoutCancel(t.Context()), run[0], run[1:]...)
	cmd.Dir = filepath.Join("..", "..", "pwa", "test")
	cmd.Stderr = t.Output()
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	e := &Engine{t, name, in, bufio.NewReader(out)}
	t.Cleanup(func() {
		_ = in.Close()
		_ = cmd.Wait()
	})
	_, err = e.out.ReadString('\n')
	require.NoError(t, err, "%s does not start", name)
	return e
}

// ask tells the browser to do something, and gives what it answers.
func (e *Engine) ask(what string, given map[string]any) (json.RawMessage, string) {
	e.t.Helper()
	line := map[string]any{"do": what}
	for key, v := range given {
		line[key] = v
	}
	text, err := json.Marshal(line)
	require.NoError(e.t, err)
	_, err = e.in.Write(append(text, '\n'))
	require.NoError(e.t, err)
	got, err := e.out.ReadBytes('\n')
	require.NoError(e.t, err, "%s ended at %s", e.Name, text)
	var answer struct {
		Value json.RawMessage
		Error string
	}
	require.NoError(e.t, json.Unmarshal(got, &answer), string(got))
	return answer.Value, answer.Error
}

func (e *Engine) must(what string, given map[string]any) json.RawMessage {
	e.t.Helper()
	value, fault := e.ask(what, given)
	require.Empty(e.t, fault, "%s: %s %v", e.Name, what, given)
	return value
}

// Go opens an address.
func (e *Engine) Go(url string) { e.t.Helper(); e.must("go", map[string]any{"url": url}) }

// Reload loads the page anew.
func (e *Engine) Reload() { e.t.Helper(); e.must("reload", nil) }

// Size makes the page as wide and high as a screen.
func (e *Engine) Size(width, height int) {
	e.t.Helper()
	e.must("size", map[string]any{"width": width, "height": height})
	e.Wait("the screen has its size", fmt.Sprintf(`innerWidth === %d && innerHeight === %d`, width, height))
}

// Equip puts axe-core, given as its source, and the questions of access.js into the page.
func (e *Engine) Equip(axe string) {
	e.t.Helper()
	var ok bool
	e.Eval("(() => {"+axe+"\n;"+accessJS+"\nreturn true; })()", &ok)
}

// Eval gives what an expression is in the page.
func (e *Engine) Eval(js string, into any) {
	e.t.Helper()
	require.NoError(e.t, json.Unmarshal(e.must("eval", map[string]any{"js": js}), into), js)
}

// Wait waits until an expression holds; a page that gives way to the next is asked again.
func (e *Engine) Wait(what, js string) {
	e.t.Helper()
	fault := ""
	for end := time.Now().Add(90 * time.Second); time.Now().Before(end); time.Sleep(40 * time.Millisecond) {
		var value json.RawMessage
		if value, fault = e.ask("eval", map[string]any{"js": "!!(" + js + ")"}); fault == "" && string(value) == "true" {
			return
		}
	}
	require.Fail(e.t, e.Name+" waits until "+what, "%s\n%s", fault, e.page())
}

// WaitText waits until the page shows a text.
func (e *Engine) WaitText(text string) {
	e.t.Helper()
	quoted, _ := json.Marshal(text)
	e.Wait("the page shows "+text, `document.body.innerText.includes(`+string(quoted)+`)`)
}

// Tap touches an element as a Browser's does, or where the driver has no touch, presses it.
func (e *Engine) Tap(selector string) {
	e.t.Helper()
	for miss := range 10 {
		var at *struct{ X, Y float64 }
		e.Eval(aimAt(first(selector), max(3, miss), miss > 0), &at)
		require.NotNil(e.t, at, "%s: there is no %s to tap\n%s", e.Name, selector, e.page())
		e.must("tap", map[string]any{"x": at.X, "y": at.Y})
		// A press that led to another page was a hit.
		if hit, fault := e.ask("eval", map[string]any{"js": aimed}); fault != "" || string(hit) == "true" {
			return
		}
	}
	require.Fail(e.t, e.Name+": ten taps missed "+selector, "%s", e.page())
}

// page is what the page shows, with its address.
func (e *Engine) page() string {
	text, _ := e.ask("eval", map[string]any{"js": "location.href + '\\n' + document.body.innerText"})
	return string(text)
}

// Type types into what has the focus.
func (e *Engine) Type(text string) { e.t.Helper(); e.must("type", map[string]any{"text": text}) }

// File gives a file to a field.
func (e *Engine) File(selector, path string) {
	e.t.Helper()
	e.must("file", map[string]any{"selector": selector, "path": path})
}

// Print gives the page as a PDF.
func (e *Engine) Print() []byte {
	e.t.Helper()
	var text string
	require.NoError(e.t, json.Unmarshal(e.must("print", nil), &text))
	body, err := base64.StdEncoding.DecodeString(text)
	require.NoError(e.t, err)
	return body
}
