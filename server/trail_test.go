package server_test

import (
	"encoding/json"
	"fmt"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/calc/jobbook"
	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/replication"
	"datumbook/server/servertest"
	"datumbook/store"
)

// openTrail serves a store whose records are compared as the program does it.
func openTrail(t *testing.T) (*servertest.Office, *store.Store) {
	t.Helper()
	st, err := store.Open(store.Options{Path: t.TempDir() + "/office.db",
		Compare: func(_, id, by, name string, before, after []byte) store.Compared {
			c := jobbook.ChangeOf(id, by, name, before, after)
			return store.Compared{Flags: c.Rewritten, What: c.What, Detail: c.Title}
		}})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, st.Close()) })
	_, err = st.CreateBook("shop")
	require.NoError(t, err)
	return servertest.Start(t, func(s *server.Server) {
		s.Pairing = &pairing.Service{Keeper: st}
		s.Sync = server.SyncRoutes(&replication.Handler{Store: st})
		s.Reviews, s.Trail = st, st
	}), st
}

type said struct {
	Events []struct{ Number, Kind, Says, Device, Record string }
	More   bool
}

func (s said) all() (out []string) {
	for _, e := range s.Events {
		out = append(out, e.Kind+": "+e.Says)
	}
	return out
}

// Two phones: one writes a record, the other changes what the first wrote and deletes it. The
// office's list and the trail name who did it, by the token and not by what the record says.
func TestTrailNamesWhoDidIt(t *testing.T) {
	o, _ := openTrail(t)
	pair := func(name string) (token, id string) {
		code, err := o.Pairing.Show(store.Operator, "office")
		require.NoError(t, err)
		token, dev, err := o.Pairing.Trade(code.Text, name, netip.MustParseAddr("192.0.2.7"))
		require.NoError(t, err)
		return token, dev.ID
	}
	mill, _ := pair("Mill phone")
	pit, pitID := pair("Pit phone")
	push := func(token, rev, revisions, fields, more string) {
		t.Helper()
		got := o.Do(t, servertest.Request{Method: "POST", Path: "/sync/shop/_bulk_docs", Token: token, Body: fmt.Sprintf(
			`{"new_edits":false,"docs":[{"_id":"fixture:1","_rev":%q,"_revisions":%s,"type":"fixture","v":1,"by":"mill-1","f":{%s}%s}]}`,
			rev, revisions, fields, more)})
		require.Equal(t, "[]\n", got.Body)
	}
	const was = `"name":[{"id":"mill-1-1","at":"2026-03-03T08:00:00Z","by":"mill-1","v":"big plate"}]`
	const is = `"name":[{"id":"mill-1-1","at":"2026-03-03T08:00:00Z","by":"mill-1","v":"small plate"}]`
	push(mill, "1-a", `{"start":1,"ids":["a"]}`, was, "")
	push(pit, "2-b", `{"start":2,"ids":["b","a"]}`, is, "")
	push(pit, "3-c", `{"start":3,"ids":["c","b","a"]}`, is+`,"gone":[{"id":"pit-1","v":true}]`, "")
	push(pit, "4-d", `{"start":4,"ids":["d","c","b","a"]}`, "", `,"_deleted":true`)
	require.NoError(t, o.Pairing.Revoke(pitID, "office"))

	ask := func(query string) (out said) {
		t.Helper()
		got := o.Do(t, servertest.Request{Method: "GET", Path: "/api/audit" + query})
		require.Equal(t, 200, got.Status, got.Body)
		require.NoError(t, json.Unmarshal([]byte(got.Body), &out))
		return out
	}
	all := ask("")
	assert.False(t, all.More)
	assert.Equal(t, []string{
		"revocation: “Pit phone” was shut out by the office machine.",
		"deletion: Fixture 'small plate' was removed for good by Pit phone.",
		"deletion: Fixture 'small plate' was marked as deleted by Pit phone.",
		"rewrite: Fixture 'big plate': The entry by mill-1 of 3 March 2026 in Fixture was changed by Pit phone.",
		"pairing: “Pit phone” was let in as hand, from 192.0.2.7.",
		"pairing: A code for a new hand was shown by the office machine.",
		"pairing: “Mill phone” was let in as hand, from 192.0.2.7.",
		"pairing: A code for a new hand was shown by the office machine.",
	}, all.all())
	assert.Equal(t, "fixture:1", all.Events[1].Record)

	assert.Len(t, ask("?kind=deletion").Events, 2)
	assert.Len(t, ask("?device="+pitID).Events, 5)
	assert.Len(t, ask("?device="+pitID+"&kind=pairing").Events, 1)
	two := ask("?limit=2")
	assert.True(t, two.More)
	assert.Equal(t, all.Events[2:4], ask("?limit=2&before="+two.Events[1].Number).Events)
	for _, bad := range []string{"?kind=x", "?limit=0", "?limit=501", "?limit=x", "?before=x", "?before=0"} {
		assert.Equal(t, 400, o.Do(t, servertest.Request{Method: "GET", Path: "/api/audit" + bad}).Status, bad)
	}
	assert.Equal(t, 403, o.Do(t, servertest.Request{Method: "GET", Path: "/api/audit", Token: mill}).Status)
}

// Entries as earlier versions noted them, and what has no sentence of its own.
func TestTrailReadsEarlierEntries(t *testing.T) {
	o, st := openTrail(t)
	for _, e := range []store.Event{
		{What: "paired", Who: "192.0.2.9", Detail: "device 1f2e Mill phone as hand"},
		{What: "revoked", Who: "office", Detail: "device 1f2e"},
		{What: "wrong code", Who: "192.0.2.9"},
		{What: "pairing locked", Who: "192.0.2.9", Detail: "ten wrong codes; every code that was out is withdrawn"},
		{What: "restore", Who: "restore command", Detail: "from old.backup"},
		{What: "heal", Who: "office", Detail: "a damaged header page was replaced by the one before it"},
		{What: "looked at", Who: "Desk", Detail: "record a 1-b left as it is"},
		{What: "anew"}, {What: "repair"},
		{What: "repair", Who: "Mill phone", Device: "1f2e", Detail: "revision 1-a of b was sent again and is whole"},
	} {
		e.At = time.Date(2030, 1, 2, 3, 4, 5, 0, time.UTC)
		require.NoError(t, st.Audit(e))
	}
	var out said
	require.NoError(t, json.Unmarshal([]byte(o.Do(t, servertest.Request{Method: "GET", Path: "/api/audit"}).Body), &out))
	assert.Equal(t, []string{
		"repair: Revision 1-a of b was sent again and is whole, by Mill phone.",
		"repair: Nothing more is noted.",
		"other: Anew: nothing more is noted, by somebody unnamed.",
		"review: Desk looked at the list: record a 1-b left as it is.",
		"repair: A damaged header page was replaced by the one before it.",
		"restore: The records were put back from old.backup, by the restore command.",
		"pairing: Pairing was locked: ten wrong codes; every code that was out is withdrawn; the last one came from 192.0.2.9.",
		"pairing: A wrong code was tried from 192.0.2.9.",
		"revocation: “1f2e” was shut out by the office machine.",
		"pairing: “Mill phone” was let in as hand, from 192.0.2.9.",
	}, out.all())
	assert.Equal(t, "1f2e", out.Events[9].Device)
}
