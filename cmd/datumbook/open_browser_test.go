package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/pwa"
	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/replication"
	"datumbook/store"
	"datumbook/store/revtree"
)

// officeWithoutPeers serves as on a system that cannot tell whose a connection is.
func officeWithoutPeers(t *testing.T) (*server.Server, *store.Store) {
	t.Helper()
	st, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), storeFile), Compare: changes})
	require.NoError(t, err)
	require.NoError(t, haveBook(st, "shop"))
	app, err := pwa.Files()
	require.NoError(t, err)
	s := &server.Server{Addr: "127.0.0.1:0", Assets: app, Sheets: worksheets{}, Reviews: st, Trail: st,
		Pairing: &pairing.Service{Keeper: st}, Sync: server.SyncRoutes(&replication.Handler{Store: st})}
	require.NoError(t, s.Open())
	t.Cleanup(func() {
		require.NoError(t, s.Close(context.Background()))
		require.NoError(t, st.Close())
	})
	return s, st
}

// TestLinkLetsABrowserIn: without the system's word a browser of this machine works its sheets, and
// gets to the records by the link, once, as a device that can be shut out.
func TestLinkLetsABrowserIn(t *testing.T) {
	t.Parallel()
	s, st := officeWithoutPeers(t)
	link, err := s.OpenLink()
	require.NoError(t, err)
	own := browsertest.Open(t, t.TempDir(), browsertest.Phone)
	own.Go(s.URL() + "/")
	own.WaitText("not paired with the office yet")
	planHole(own, s.URL(), "Pump cover", "before it was let in")

	own.Go(link)
	own.WaitText("This device is now “this machine”, an owner")
	assert.Equal(t, "#/open", browsertest.Eval[string](own, `location.hash`), "the key is not left in the history")
	own.AtOffice()
	look(t, own, "open-phone")
	b, err := st.Book("shop")
	require.NoError(t, err)
	info, err := b.Info()
	require.NoError(t, err)
	assert.EqualValues(t, 2, info.Docs, "the answer and its job")

	own.Go(s.URL() + "/#/office")
	own.WaitText("this machine · owner · this device")

	other := browsertest.Open(t, t.TempDir(), browsertest.Desk)
	other.Go(link)
	other.WaitText("used already")
	other.WaitText("datumbook open")
	look(t, other, "open-desk")
	fresh, err := s.OpenLink()
	require.NoError(t, err)
	assert.NotEqual(t, strings.TrimPrefix(link, s.URL()), strings.TrimPrefix(fresh, s.URL()))
}

// TestOfficeTellsWhatHappened: the owner sees who changed what another wrote, on the list and in the
// trail, and finds it there by kind and by device.
func TestOfficeTellsWhatHappened(t *testing.T) {
	t.Parallel()
	s, st := officeWithoutPeers(t)
	pit := store.Device{ID: "d1", Name: "Pit phone", Role: store.Operator, Created: time.Now()}
	_, err := st.AddDevice(pit, [32]byte{1})
	require.NoError(t, err)
	b, err := st.Book("shop")
	require.NoError(t, err)
	const id = "fixture:01KJ8Q3V7M4T9Z2XBN5C6D8F0G"
	push := func(rev string, hashes []string, value string, deleted bool) {
		t.Helper()
		r, err := revtree.ParseRev(rev)
		require.NoError(t, err)
		rows, err := b.PushBy("d1", []store.Doc{{ID: id, Rev: r, Hashes: hashes, Deleted: deleted, Body: []byte(
			`"type":"fixture","v":1,"f":{` +
				`"name":[{"id":"mill-1-1","at":"2026-03-03T08:00:00Z","by":"mill-1","v":"` + value + `"}]}`)}})
		require.NoError(t, err)
		require.NoError(t, rows[0].Err)
	}
	push("1-a", []string{"a"}, "big angle plate", false)
	push("2-b", []string{"b", "a"}, "small angle plate", false)
	for i := range 30 { // more than one page
		require.NoError(t, st.Audit(store.Event{At: time.Now(), What: "wrong code", Who: fmt.Sprintf("192.0.2.%d", i)}))
	}
	for _, screen := range []browsertest.Screen{browsertest.Phone, browsertest.Desk} {
		link, err := s.OpenLink()
		require.NoError(t, err)
		own := browsertest.Open(t, t.TempDir(), screen)
		own.Go(link)
		own.WaitText("This device is now “this machine”")
		own.Go(s.URL() + "/#/office")
		const sentence = "The entry by mill-1 of 3 March 2026 in Fixture was changed by Pit phone."
		own.WaitText(sentence)
		own.WaitText("from Pit phone")
		own.WaitText("A wrong code was tried from 192.0.2.29.")
		own.WaitText("“this machine” was let in as owner")
		size := fmt.Sprint(screen.Width)
		const trail = `document.querySelector("#trail").innerText`
		own.Wait("the first page alone", trail+`.includes("192.0.2.29") && !`+trail+`.includes("192.0.2.3.")`)
		own.Tap(`#trail .form-foot button`)
		own.Wait("the older ones behind it", trail+`.includes("192.0.2.3.") && `+trail+`.includes("192.0.2.29")`)
		choose := func(field, value string) {
			browsertest.Eval[bool](own, `(() => { const s = document.querySelector("`+field+`"); s.value = "`+value+
				`"; s.dispatchEvent(new Event("change", { bubbles: true })); return true; })()`)
		}
		choose("#trail-kind", "rewrite")
		own.Wait("only the changed entry", trail+`.includes("Fixture 'big angle plate': The entry by mill-1") && !`+
			trail+`.includes("wrong code")`)
		browsertest.Eval[bool](own, `document.querySelector("#trail").scrollIntoView(), true`)
		look(t, own, "trail-"+size)
		browsertest.Eval[bool](own, `scrollTo(0, 0), true`)
		look(t, own, "office-"+size)
		choose("#trail-kind", "deletion")
		own.Wait("nothing of that kind", trail+`.includes("Nothing of that is noted.")`)
		choose("#trail-kind", "")
		choose("#trail-device", "d1")
		own.Wait("what that phone did", trail+`.includes("changed by Pit phone") && !`+trail+`.includes("wrong code")`)
		assert.LessOrEqual(t, browsertest.Eval[int](own, `document.documentElement.scrollWidth`), int(screen.Width))
		own.Close()
	}
}
