package pairing_test

import (
	"errors"
	"fmt"
	"net/netip"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"datumbook/server/pairing"
	"datumbook/server/servertest"
	"datumbook/store"
)

func addr(s string) netip.Addr { return netip.MustParseAddr(s) }

type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

func newService() (*pairing.Service, *servertest.Memory, *clock) {
	c := &clock{now: time.Date(2030, 1, 2, 3, 4, 5, 0, time.UTC)}
	m := &servertest.Memory{}
	return &pairing.Service{Keeper: m, Now: c.Now}, m, c
}

type tester interface {
	require.TestingT
	Helper()
}

func refusal(t tester, err error) *pairing.Refusal {
	t.Helper()
	var r *pairing.Refusal
	require.ErrorAs(t, err, &r)
	return r
}

func TestTrade(t *testing.T) {
	service, kept, clk := newService()
	code, err := service.Show(store.Operator, "office")
	require.NoError(t, err)
	assert.Regexp(t, `^\d{4}-\d{4}$`, code.Text)

	typed := " " + code.Digits()[:4] + " " + code.Digits()[4:] + " "
	token, dev, err := service.Trade(typed, "  Mill phone ", addr("192.0.2.9"))
	require.NoError(t, err)
	assert.Equal(t, "Mill phone", dev.Name)
	assert.Equal(t, store.Operator, dev.Role)

	who, err := service.Who(token)
	require.NoError(t, err)
	assert.Equal(t, pairing.Identity{Device: dev.ID, Name: "Mill phone", Role: store.Operator}, who)
	assert.NotContains(t, fmt.Sprintf("%#v", kept), token, "the token itself is kept nowhere")

	_, _, err = service.Trade(code.Text, "Another", addr("192.0.2.10"))
	assert.Equal(t, "code", refusal(t, err).Field, "a code is good once")

	require.NoError(t, service.Revoke(dev.ID, "office"))
	_, err = service.Who(token)
	assert.ErrorIs(t, err, pairing.ErrRevoked)
	assert.ErrorIs(t, service.Revoke("nobody", "office"), pairing.ErrNoDevice)

	late, err := service.Show(store.Reader, "office")
	require.NoError(t, err)
	clk.pass(10 * time.Minute)
	_, _, err = service.Trade(late.Text, "Late", addr("192.0.2.11"))
	assert.Equal(t, "code", refusal(t, err).Field, "ten minutes are over")
}

func TestWrongTokens(t *testing.T) {
	service, _, _ := newService()
	code, err := service.Show(store.Owner, "office")
	require.NoError(t, err)
	token, _, err := service.Trade(code.Text, "x", addr("192.0.2.9"))
	require.NoError(t, err)
	for _, bad := range []string{"", "dtb_", token[:len(token)-1], token + "A", strings.ToUpper(token), "x" + token[1:], token[:20] + "A" + token[21:], strings.Repeat("a", 1<<20)} {
		if bad == token {
			continue // the changed letter was that letter already
		}
		_, err := service.Who(bad)
		assert.ErrorIs(t, err, pairing.ErrUnknown, "%.60q", bad)
	}
}

func TestNames(t *testing.T) {
	for _, bad := range []string{"", "   ", "two\nlines", "bell\a", strings.Repeat("n", 61), "\xff\xfe", "\u202etxt"} {
		service, _, _ := newService()
		code, err := service.Show(store.Operator, "office")
		require.NoError(t, err)
		_, _, err = service.Trade(code.Text, bad, addr("192.0.2.9"))
		assert.Equal(t, "name", refusal(t, err).Field, "%q", bad)
		_, _, err = service.Trade(code.Text, "Fräse 2", addr("192.0.2.9"))
		assert.NoError(t, err, "a bad name does not cost the code")
	}
}

func TestRename(t *testing.T) {
	service, _, clk := newService()
	code, err := service.Show(store.Operator, "office")
	require.NoError(t, err)
	token, dev, err := service.Trade(code.Text, "Desk machine", addr("192.0.2.9"))
	require.NoError(t, err)
	name, err := service.Rename(dev.ID, "  Bench tablet ", "office")
	require.NoError(t, err)
	assert.Equal(t, "Bench tablet", name)
	who, err := service.Who(token)
	require.NoError(t, err)
	assert.Equal(t, "Bench tablet", who.Name)
	for _, bad := range []string{"", "two\nlines", strings.Repeat("n", 61), "this machine"} {
		_, err = service.Rename(dev.ID, bad, "office")
		assert.Equal(t, "name", refusal(t, err).Field, "%q", bad)
	}
	_, err = service.Rename("nobody", "x", "office")
	assert.ErrorIs(t, err, pairing.ErrNoDevice)

	// The office machine's own token is found by its name. Devices of one instant come in the order
	// of their ids, which are drawn.
	clk.pass(time.Second)
	_, err = service.LocalToken(t.TempDir())
	require.NoError(t, err)
	all, err := service.List()
	require.NoError(t, err)
	_, err = service.Rename(all[len(all)-1].ID, "Desk", "office")
	assert.Equal(t, "name", refusal(t, err).Field)
}

func TestShowRefusals(t *testing.T) {
	service, _, clk := newService()
	_, err := service.Show(store.Anyone, "office")
	assert.Equal(t, "role", refusal(t, err).Field)
	_, err = service.Show(store.Owner+"1", "office")
	assert.Equal(t, "role", refusal(t, err).Field)
	for range 8 {
		_, err = service.Show(store.Operator, "office")
		require.NoError(t, err)
	}
	_, err = service.Show(store.Operator, "office")
	assert.Equal(t, 10*time.Minute, refusal(t, err).Wait)
	clk.pass(10 * time.Minute)
	_, err = service.Show(store.Operator, "office")
	assert.NoError(t, err)
}

// One guesser: each wrong code makes its address wait longer, guesses made
// while waiting are not even looked at, and another address is not held up.
func TestGuessingSlowsDown(t *testing.T) {
	service, _, clk := newService()
	code, err := service.Show(store.Operator, "office")
	require.NoError(t, err)
	wrong := other(code.Text)
	want := time.Second
	for range 6 {
		_, _, err := service.Trade(wrong, "x", addr("192.0.2.66"))
		assert.Equal(t, want, refusal(t, err).Wait)
		_, _, err = service.Trade(code.Text, "x", addr("192.0.2.66"))
		assert.Equal(t, want, refusal(t, err).Wait, "the right code does not help while waiting")
		clk.pass(want)
		want *= 2
	}
	_, _, err = service.Trade(code.Text, "honest", addr("192.0.2.7"))
	assert.NoError(t, err)
}

// Strangers at many addresses, of which none tries what begins like the code, do not withdraw it; an
// honest phone, which has not tried yet, need not even wait.
func TestStrangersCannotDenyPairing(t *testing.T) {
	service, kept, clk := newService()
	code, err := service.Show(store.Owner, "office")
	require.NoError(t, err)
	elsewhere := string('0'+(code.Text[0]-'0'+1)%10) + code.Text[1:]
	for i := range 3_000 {
		from := netip.AddrFrom4([4]byte{10, 0, byte(i / 250), byte(1 + i%250)})
		_, _, err := service.Trade(elsewhere, "x", from)
		require.True(t, refusal(t, err).Wrong)
		clk.pass(100 * time.Millisecond)
	}
	_, _, err = service.Trade("not a code", "x", addr("192.0.2.1"))
	assert.Equal(t, 30*time.Second, refusal(t, err).Wait, "among so many each waits longer")
	_, _, err = service.Trade(code.Text, "honest", addr("192.0.2.200"))
	assert.NoError(t, err)
	assert.NotContains(t, fmt.Sprint(kept.Events()), "pairing locked")
}

// Ten tries that begin like a code withdraw that code alone, and the trail says so. The refusals are
// all the same: they do not tell who came near.
func TestTriesNearACodeWithdrawIt(t *testing.T) {
	service, kept, _ := newService()
	code, err := service.Show(store.Owner, "office")
	require.NoError(t, err)
	second, err := service.Show(store.Operator, "office")
	for err == nil && second.Text[:3] == code.Text[:3] {
		second, err = service.Show(store.Operator, "office")
	}
	require.NoError(t, err)
	_, _, err = service.Trade("00000000", "x", addr("192.0.2.9"))
	far := refusal(t, err).Says
	for i := range 10 {
		_, _, err := service.Trade(other(code.Text), "x", addr(fmt.Sprintf("192.0.2.%d", 10+i)))
		assert.Equal(t, far, refusal(t, err).Says)
	}
	_, _, err = service.Trade(code.Text, "honest", addr("192.0.2.200"))
	assert.Equal(t, "code", refusal(t, err).Field)
	_, _, err = service.Trade(second.Text, "honest", addr("192.0.2.201"))
	assert.NoError(t, err)
	events := kept.Events()
	assert.Contains(t, fmt.Sprint(events), "pairing locked")
	for _, e := range events {
		assert.NotContains(t, e.Detail, code.Digits())
	}
}

// However a guesser spreads over addresses and time, a code is held against at most ten guesses that
// begin like it, and one address has at most ten guesses in the code's time.
func TestGuessesPerCode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		service, _, clk := newService()
		code, err := service.Show(store.Operator, "office")
		require.NoError(t, err)
		deadline := clk.Now().Add(10 * time.Minute)
		near, fromOne := 0, map[byte]int{}
		for range rapid.IntRange(1, 200).Draw(t, "guesses") {
			place := rapid.Byte().Draw(t, "from")
			_, _, err := service.Trade(other(code.Text), "x", netip.AddrFrom4([4]byte{10, 0, 0, place}))
			r := refusal(t, err)
			if clk.Now().Before(deadline) && !r.Early {
				near++
				fromOne[place]++
			}
			clk.pass(time.Duration(rapid.IntRange(0, 3000).Draw(t, "ms")) * time.Millisecond)
		}
		_, _, err = service.Trade(code.Text, "x", addr("192.0.2.1"))
		if open := clk.Now().Before(deadline) && near < 10; open != (err == nil) {
			t.Fatalf("after %d near guesses: %v", near, err)
		}
		for place, n := range fromOne {
			if n > 10 {
				t.Fatalf("%d guesses from %d", n, place)
			}
		}
	})
}

// An IPv6 caller owns a whole /64: moving about in it does not help.
func TestIPv6GuesserIsOnePlace(t *testing.T) {
	service, _, _ := newService()
	_, _, err := service.Trade("00000000", "x", addr("2001:db8::1"))
	assert.Equal(t, time.Second, refusal(t, err).Wait)
	_, _, err = service.Trade("00000000", "x", addr("2001:db8::2"))
	assert.Contains(t, refusal(t, err).Says, "wait")
	_, _, err = service.Trade("00000000", "x", addr("2001:db8:0:1::1"))
	assert.Equal(t, time.Second, refusal(t, err).Wait, "another network")
	_, _, err = service.Trade("00000000", "x", addr("::ffff:192.0.2.1"))
	assert.Equal(t, time.Second, refusal(t, err).Wait)
	_, _, err = service.Trade("00000000", "x", addr("192.0.2.1"))
	assert.Contains(t, refusal(t, err).Says, "too many", "mapped or not, one address")
}

// A code that is traded by many at once opens for exactly one.
func TestCodeIsGoodOnceAlsoAtOnce(t *testing.T) {
	service, kept, _ := newService()
	code, err := service.Show(store.Operator, "office")
	require.NoError(t, err)
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Go(func() { _, _, _ = service.Trade(code.Text, "x", addr(fmt.Sprintf("192.0.2.%d", i+1))) })
	}
	wg.Wait()
	all, err := kept.Devices()
	require.NoError(t, err)
	assert.Len(t, all, 1)
}

type full struct{ servertest.Memory }

func (*full) AddDevice(store.Device, [32]byte) (store.Device, error) {
	return store.Device{}, errors.New("no space left on device")
}

// A full disk does not use up the code.
func TestCodeOutlivesAFullDisk(t *testing.T) {
	service, kept, _ := newService()
	code, err := service.Show(store.Operator, "office")
	require.NoError(t, err)
	service.Keeper = &full{}
	_, _, err = service.Trade(code.Text, "x", addr("192.0.2.9"))
	assert.ErrorContains(t, err, "no space")
	service.Keeper = kept
	_, _, err = service.Trade(code.Text, "x", addr("192.0.2.9"))
	assert.NoError(t, err)
}

type counting struct {
	*servertest.Memory
	saw int
}

func (c *counting) SeenDevice(id string, at time.Time) { c.saw++; c.Memory.SeenDevice(id, at) }

func TestSeenIsWrittenOnceAMinute(t *testing.T) {
	service, kept, clk := newService()
	count := &counting{Memory: kept}
	service.Keeper = count
	code, err := service.Show(store.Operator, "office")
	require.NoError(t, err)
	token, _, err := service.Trade(code.Text, "x", addr("192.0.2.9"))
	require.NoError(t, err)
	for range 120 {
		_, err := service.Who(token)
		require.NoError(t, err)
		clk.pass(time.Second)
	}
	assert.Equal(t, 2, count.saw)
	all, err := service.List()
	require.NoError(t, err)
	assert.Equal(t, time.Date(2030, 1, 2, 3, 5, 5, 0, time.UTC), all[0].LastSeen)
}

// other gives a code that is certainly not this one.
func other(code string) string {
	last := code[len(code)-1]
	return code[:len(code)-1] + string('0'+(last-'0'+1)%10)
}

func TestRoles(t *testing.T) {
	order := []store.Role{store.Anyone, store.Reader, store.Operator, store.Owner}
	for i, have := range order {
		for j, need := range order {
			assert.Equal(t, i >= j, have.Allows(need), "%s where %s is needed", have, need)
		}
		got, err := store.ParseRole(have.String())
		if have == store.Anyone {
			assert.Error(t, err)
			continue
		}
		require.NoError(t, err)
		assert.Equal(t, have, got)
	}
	for _, bad := range []string{"", "Owner", "admin", "owner "} {
		_, err := store.ParseRole(bad)
		assert.ErrorContains(t, err, "owner, hand or reader")
	}
}

// Codes as typed: blanks and dashes do not matter, everything else does.
func FuzzTrade(f *testing.F) {
	for _, s := range []string{"4821-9037", "48219037", " 4821 9037 ", "4821‑9037", "", "482190377", "４８２１９０３７", "4821-903x", strings.Repeat("-", 100)} {
		f.Add(s, "phone")
	}
	f.Fuzz(func(t *testing.T, code, name string) {
		service, kept, _ := newService()
		shown, err := service.Show(store.Operator, "office")
		if err != nil {
			t.Fatal(err)
		}
		_, _, err = service.Trade(code, name, addr("192.0.2.9"))
		var digits []rune
		for _, r := range code {
			if r >= '0' && r <= '9' {
				digits = append(digits, r)
			}
		}
		if err == nil && string(digits) != shown.Digits() {
			t.Fatalf("%q opened %s", code, shown.Text)
		}
		all, _ := kept.Devices()
		if (err == nil) != (len(all) == 1) {
			t.Fatalf("error %v and %d devices", err, len(all))
		}
	})
}
