package main

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/pwa"
	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/replication"
	"datumbook/store"
)

// officeWithoutPeers serves as on a system that cannot tell whose a connection is.
func officeWithoutPeers(t *testing.T) (*server.Server, *store.Store) {
	t.Helper()
	st, err := store.Open(store.Options{Path: filepath.Join(t.TempDir(), storeFile)})
	require.NoError(t, err)
	require.NoError(t, haveBook(st, "shop"))
	app, err := pwa.Files()
	require.NoError(t, err)
	s := &server.Server{Addr: "127.0.0.1:0", Assets: app, Sheets: worksheets{}, Reviews: st,
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
	assert.EqualValues(t, 1, info.Docs)

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
