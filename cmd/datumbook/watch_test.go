package main

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server"
	"datumbook/server/pairing"
	"datumbook/server/replication"
	"datumbook/server/sameuser"
	"datumbook/store"
)

// watched is an office with a watch whose clock and disk the test sets.
type watched struct {
	*watch
	t    *testing.T
	time time.Time
	room uint64
	url  string
}

func watchOffice(t *testing.T) *watched {
	w := &watched{t: t, time: time.Date(2026, 5, 6, 12, 0, 0, 0, time.UTC), room: 100 << 30}
	w.watch = &watch{data: t.TempDir(), keep: 3, log: slog.New(slog.DiscardHandler),
		now:  func() time.Time { return w.time },
		free: func(string) (uint64, error) { return w.room, nil }}
	st, err := store.Open(store.Options{Path: filepath.Join(w.data, storeFile), Room: w.makeRoom})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, st.Close()) })
	w.st = st
	h := &replication.Handler{Store: st, Trouble: w.notice, Now: w.now}
	s := &server.Server{Addr: "127.0.0.1:0", Peer: sameuser.Check, Sync: server.SyncRoutes(h),
		Pairing: &pairing.Service{Keeper: st}, Ready: w.ready}
	require.NoError(t, s.Open())
	t.Cleanup(func() { assert.NoError(t, s.Close(context.Background())) })
	w.url = s.URL()
	return w
}

// says gives what a probe and a phone are told.
func (w *watched) says() (code int, trouble, clock string) {
	get := func(path string, into any) int {
		resp, err := http.Get(w.url + path)
		require.NoError(w.t, err)
		defer resp.Body.Close()
		require.NoError(w.t, json.NewDecoder(resp.Body).Decode(into))
		return resp.StatusCode
	}
	var health map[string]any
	var welcome struct {
		Datumbook struct{ Time, Trouble string }
	}
	code = get("/healthz", &health)
	assert.Equal(w.t, 200, get("/sync/", &welcome), "phones go on exchanging")
	return code, welcome.Datumbook.Trouble, welcome.Datumbook.Time
}

// An office that can make no snapshot says so to probes and phones, until it can.
func TestOfficeSaysThatItMakesNoSnapshots(t *testing.T) {
	w := watchOffice(t)
	w.look(t.Context())
	code, trouble, clock := w.says()
	assert.Equal(t, 200, code)
	assert.Empty(t, trouble)
	assert.Equal(t, "2026-05-06T12:00:00Z", clock)

	w.time = w.time.Add(25 * time.Hour)
	w.room = 1 << 20
	w.look(t.Context())
	code, trouble, _ = w.says()
	assert.Equal(t, http.StatusServiceUnavailable, code)
	assert.Contains(t, trouble, "the office machine makes no snapshots: the disk has 1 MB free")

	w.time = w.time.Add(11 * time.Minute)
	w.room = 100 << 30
	w.look(t.Context())
	code, trouble, _ = w.says()
	assert.Equal(t, 200, code)
	assert.Empty(t, trouble)
	list, err := store.Snapshots(filepath.Join(w.data, snapshotDir))
	require.NoError(t, err)
	assert.Len(t, list, 2)
}

func TestWrongClockIsTold(t *testing.T) {
	data := t.TempDir()
	now := time.Date(2026, 5, 6, 12, 0, 0, 0, time.UTC)
	require.NoError(t, checkTime(data, now))
	require.NoError(t, checkTime(data, now.Add(2*time.Hour)))
	require.NoError(t, checkTime(data, now.Add(2*time.Hour-4*time.Minute)), "a correction of minutes")
	require.NoError(t, checkTime(data, now.Add(2*time.Hour)))

	back := now.Add(-30 * 24 * time.Hour)
	assert.ErrorContains(t, checkTime(data, back), "it was set back to 6 Apr 2026 12:00, and the office ran at 6 May 2026 14:00 before")
	assert.Error(t, checkTime(data, back.Add(23*time.Hour)), "also after a new start")
	assert.Equal(t, true, checkClock(data, back.Add(23*time.Hour)).bad)
	require.NoError(t, checkTime(data, back.Add(25*time.Hour)), "a day later it is believed: the time before was the wrong one")
	require.NoError(t, checkTime(data, back.Add(26*time.Hour)))

	assert.ErrorContains(t, checkTime(data, time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)), "before this program was made")

	require.Error(t, checkTime(data, back.Add(-time.Hour)))
	require.NoError(t, checkTime(data, back.Add(27*time.Hour)), "set right again")
	require.NoError(t, os.WriteFile(filepath.Join(data, clockFile), []byte("{half"), 0o600))
	require.NoError(t, checkTime(data, now), "a file that a crash cut short is written anew")
}

// The doctor looks into the newest snapshot, and is not taken in by a stamp from the future.
func TestDoctorOnSnapshots(t *testing.T) {
	w := watchOffice(t)
	look := func() finding { return checkSnapshots(t.Context(), w.data, w.time) }
	assert.Contains(t, look().says, "none yet")
	w.look(t.Context())
	assert.Contains(t, look().says, "1, the newest of 6 May 2026")
	dir := filepath.Join(w.data, snapshotDir)
	future := filepath.Join(dir, "snapshot-20990101-000000.db")
	require.NoError(t, os.WriteFile(future, []byte("x"), 0o600))
	assert.Contains(t, look().says, "still to come")
	require.NoError(t, os.Remove(future))
	list, err := store.Snapshots(dir)
	require.NoError(t, err)
	require.NoError(t, os.Truncate(list[0].Path, 9000))
	got := look()
	assert.True(t, got.bad)
	assert.Contains(t, got.says, "is damaged")
}

// A clock that was set back is told to the phones, and stops nothing.
func TestClockIsToldToPhones(t *testing.T) {
	w := watchOffice(t)
	w.look(t.Context())
	w.time = w.time.Add(-40 * 24 * time.Hour)
	w.look(t.Context())
	code, trouble, _ := w.says()
	assert.Equal(t, 200, code)
	assert.Contains(t, trouble, "the office machine's clock: it was set back to")
	list, err := store.Snapshots(filepath.Join(w.data, snapshotDir))
	require.NoError(t, err)
	assert.Len(t, list, 2, "a stamp from the future stops no snapshot")
}

// A full disk takes the oldest snapshots before it takes a record.
func TestRoomComesFromSnapshots(t *testing.T) {
	w := watchOffice(t)
	for range 2 {
		w.look(t.Context())
		w.time = w.time.Add(25 * time.Hour)
	}
	assert.True(t, w.makeRoom())
	assert.False(t, w.makeRoom(), "the newest stays")
	w.data = filepath.Join(w.data, "gone")
	assert.False(t, w.makeRoom())
	assert.NoError(t, errors.Join(w.notice(), w.trouble()))
}
