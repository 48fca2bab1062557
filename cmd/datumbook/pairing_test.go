package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/server/pairing"
)

// planHole works out a hole by the keypad and keeps it under a job.
func planHole(b *browsertest.Browser, page, job, note string) {
	b.Go(page + "/#/settings")
	b.WaitText("Settings")
	browsertest.Eval[bool](b, `localStorage.removeItem("datumbook.draft.hole"), true`) // begin with an empty form
	b.Go(page + "/#/sheet/hole")
	b.Tap(`#hole-thread`)
	tapKeys(b, "5", "/", "8", "-", "1", "1", "next")
	tapKeys(b, ".", "9", "5", "next")
	keepUnder(b, job, note)
}

// ownerCall asks an office on the shop's network as its own machine would.
func ownerCall(t *testing.T, data, near, method, path, body string, into any) {
	t.Helper()
	root, err := os.ReadFile(filepath.Join(data, "authority.pem"))
	require.NoError(t, err)
	roots := x509.NewCertPool()
	require.True(t, roots.AppendCertsFromPEM(root))
	token, err := pairing.ReadLocalToken(data)
	require.NoError(t, err)
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots, ServerName: "datumbook.local"}}}
	req, err := http.NewRequestWithContext(t.Context(), method, "https://"+near+path, bytes.NewReader([]byte(body)))
	require.NoError(t, err)
	req.Header.Set("Authorization", "Bearer "+token)
	req.Header.Set("Content-Type", "application/json")
	got, err := client.Do(req)
	require.NoError(t, err)
	defer got.Body.Close()
	text, err := io.ReadAll(got.Body)
	require.NoError(t, err)
	require.Less(t, got.StatusCode, 300, "%s %s: %s", method, path, text)
	require.NoError(t, json.Unmarshal(text, into))
}

// TestPairing takes a phone through the shop's network: records kept before it was paired, paired
// by the code, revoked while it has unsent work, exported by file, paired again. Every record is at
// the office once, whatever came first.
func TestPairing(t *testing.T) {
	t.Parallel()
	data := t.TempDir()
	office := browsertest.StartOffice(t, data, "--lan", "--addr", "0.0.0.0:0", "--start-addr", "127.0.0.1:0")
	gate := browsertest.NewGate(t)
	gate.To(office.Near())
	page, trust := "https://"+gate.Addr, office.Keys(t)
	code := func(role string) string {
		var shown struct{ Code string }
		ownerCall(t, data, office.Near(), "POST", "/api/pair/code", `{"role":"`+role+`"}`, &shown)
		return shown.Code
	}
	records := func() int {
		var all struct {
			Rows []struct{ ID string } `json:"rows"`
		}
		ownerCall(t, data, office.Near(), "GET", "/sync/shop/_all_docs", "", &all)
		return len(all.Rows)
	}

	// A phone that was never paired stores records and shows that they are on it alone.
	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone, trust...)
	phone.Go(page + "/")
	phone.WaitText("not paired with the office yet")
	planHole(phone, page, "Pump cover", "before it was paired")
	assert.Zero(t, records())

	// The code is removed from the address at once, and pairs the phone.
	digits := code("hand")
	phone.Go(page + "/#pair=" + digits[:4] + digits[5:])
	phone.Wait("the code stands in its field", `document.querySelector("#pair-code")?.value.length === 8`)
	assert.Equal(t, "#/pair", browsertest.Eval[string](phone, `location.hash`))
	look(t, phone, "pair-phone")
	setText(phone, "#pair-name", "Pit phone")
	phone.Tap(`form button[type=submit]`)
	phone.WaitText("This device is now “Pit phone”")
	phone.AtOffice()
	assert.Equal(t, 2, records(), "the answer and its job")

	// The owner sees it in the list and revokes it.
	desk := browsertest.Open(t, t.TempDir(), browsertest.Desk, trust...)
	desk.Go(page + "/#/pair")
	desk.Type("#pair-code", code("owner"))
	setText(desk, "#pair-name", "Office desk")
	desk.Tap(`form button[type=submit]`)
	desk.WaitText("This device is now “Office desk”")
	desk.Go(page + "/#/office")
	desk.WaitText("Pit phone")
	desk.WaitText("Nothing needs a look.")
	gate.Shut()
	planHole(phone, page, "Gear case", "after it was shut out")
	phone.Wait("the answers and their jobs are kept", stored+`.then((ids) => ids.length === 4)`)
	phone.Go("about:blank") // it sends nothing before it is shut out
	gate.Open()
	const its = `[...document.querySelectorAll("#devices li")].find((li) => li.innerText.includes("Pit phone"))`
	key := func(says string) {
		t.Helper()
		desk.Wait("its key "+says, `!!(window.key = [...`+its+`.querySelectorAll("button")].find((b) => b.textContent === "`+says+`"))`)
		browsertest.Eval[bool](desk, `(window.key.click(), true)`)
	}
	key("Rename")
	desk.Type(`.rename input`, " 2")
	key("Keep the name")
	desk.WaitText("It is now called “Pit phone 2”.")
	key("Shut out")
	desk.Wait("it asks once more", its+`.querySelector(".danger") !== null`)
	browsertest.Eval[bool](desk, its+`.querySelector(".danger").click(), true`)
	desk.WaitText("is shut out. What it holds stays on it.")
	look(t, desk, "office-desk")
	desk.Tap(`#let-in .form-foot button`)
	desk.Wait("the code to scan is drawn", `document.querySelector(".pair-code img")?.naturalWidth > 0`)
	look(t, desk, "office-code")

	// What waits is still there, is reported, and can be exported.
	phone.Go(page + "/#/where")
	phone.WaitText("shut this device out")
	phone.WaitText("2 records and changes wait here.")
	look(t, phone, "where-phone")
	browsertest.Eval[bool](phone, `navigator.canShare = ({ files }) => files[0].type === "text/plain",
		navigator.share = async ({ files }) => { window.handed = await files[0].text(); }, true`)
	phone.Tap(`#one-file .button`)
	phone.WaitText("Everything in one file")
	phone.Tap(`section:nth-of-type(1) .button.go`)
	phone.WaitText("was handed over")
	file := browsertest.Eval[string](phone, `window.handed`)
	assert.Contains(t, file, "after it was shut out")
	bring := `(() => { const box = new DataTransfer();
		box.items.add(new File([window.brought], "carried.txt", { type: "text/plain" }));
		const input = document.querySelector("input[type=file]");
		input.files = box.files; input.dispatchEvent(new Event("change", { bubbles: true })); return true; })()`
	desk.Go(page + "/#/jobs")
	desk.WaitText("Pump cover") // so the file brings it a second time
	desk.Go(page + "/#/files")
	desk.Wait("the page is there", `!!document.querySelector("input[type=file]")`)
	text, err := json.Marshal(file)
	require.NoError(t, err)
	browsertest.Eval[bool](desk, `window.brought = `+string(text)+`, true`)
	browsertest.Eval[bool](desk, bring)
	desk.WaitText("2 new, 0 changed, 2 here already.")
	require.Eventually(t, func() bool { return records() == 4 }, time.Minute, 50*time.Millisecond, "the desk sends it on")
	desk.Go(page + "/#/where")
	desk.WaitText("Nothing waits.")

	// A wrong code makes it wait; the right one pairs it again with all it has.
	phone.Go(page + "/#/pair")
	phone.Type("#pair-code", "00000000")
	phone.Tap(`form button[type=submit]`)
	phone.WaitText("That code is not known")
	phone.Wait("the wait is over", `document.querySelector("form button[type=submit]").disabled === false`)
	setText(phone, "#pair-code", code("hand"))
	phone.Tap(`form button[type=submit]`)
	phone.WaitText("This device is now “Pit phone”")
	phone.AtOffice()
	phone.Go(page + "/#/jobs")
	phone.WaitText("Pump cover")
	phone.WaitText("Gear case")
	assert.Equal(t, 4, records(), "by file and by network, each once")
}

// setText replaces the text of a field.
func setText(b *browsertest.Browser, selector, text string) {
	browsertest.Eval[bool](b, `document.querySelector(`+strconv.Quote(selector)+`).select(), true`)
	b.Type(selector, text)
}

// look saves a picture of the screen where DATUMBOOK_LOOK names a folder.
func look(t *testing.T, b *browsertest.Browser, name string) {
	if dir := os.Getenv("DATUMBOOK_LOOK"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".png"), b.Picture(), 0o644))
	}
}

// TestRestoredOffice: the office loses its newest records with its disk and goes on from an older
// backup. The phone that had sent them compares everything anew, sends what the backup lacks, and
// says so.
func TestRestoredOffice(t *testing.T) {
	t.Parallel()
	data, copied := t.TempDir(), filepath.Join(t.TempDir(), "older.backup")
	office := browsertest.StartOffice(t, data)
	gate := browsertest.NewGate(t)
	gate.To(office.Addr)
	tool := func(args ...string) {
		out, err := exec.CommandContext(context.Background(), browsertest.Program(t), args...).CombinedOutput()
		require.NoError(t, err, "%s", out)
	}

	phone := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	planHole(phone, gate.URL(), "Pump cover", "in the backup")
	phone.AtOffice()
	tool("backup", copied, "--data", data)
	planHole(phone, gate.URL(), "Gear case", "only on the disk that was lost")
	phone.AtOffice()
	phone.Go(gate.URL() + "/#/where")
	phone.WaitText("Nothing waits.")

	office.Kill()
	tool("restore", copied, "--data", data)
	office = browsertest.StartOffice(t, data)
	gate.To(office.Addr)

	phone.WaitText("put back from a backup")
	phone.WaitText("had been compared with them")
	desk := browsertest.Open(t, t.TempDir(), browsertest.Desk)
	desk.Go(gate.URL() + "/#/jobs")
	desk.WaitText("Pump cover")
	desk.WaitText("Gear case")
}
