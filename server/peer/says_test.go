package peer

import (
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTrouble: someone is bothered with what was set aside and with a copy that lags for long, not
// with a line that is down for a moment.
func TestTrouble(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 5, 0)
	b.gate.set(func(w http.ResponseWriter, r *http.Request) bool { answers["503"](w, r); return true })
	id := a.follows(t, b, Out)
	waitFor(t, func() bool { return a.state(id).Out.State == Failing }, func() string { return "it does not fail" })
	assert.NoError(t, a.keeper.Trouble())
	a.clock.pass(patienceOfPeople + time.Second)
	assert.ErrorContains(t, a.keeper.Trouble(), "is not kept up: ")
	assert.ErrorContains(t, a.keeper.Trouble(), "503 unavailable: restoring")
	b.gate.set(nil)
	equal(t, a, b)
	waitFor(t, func() bool { return a.keeper.Trouble() == nil }, func() string { return a.keeper.Trouble().Error() })

	require.NoError(t, os.WriteFile(filepath.Join(a.dir, peersFile), []byte("["), 0o600))
	require.Error(t, a.keeper.Reread())
	assert.ErrorContains(t, a.keeper.Trouble(), "is not a list of peers")
	a.seed(t, "more", 1, 0)
	equal(t, a, b) // those that were known go on
}

// TestSays: what people read of a leg.
func TestSays(t *testing.T) {
	now := time.Date(2030, 3, 4, 12, 0, 0, 0, time.Local)
	then := now.Add(-time.Hour)
	for says, l := range map[string]Leg{
		"equal at 11:00":                           {State: UpToDate, Success: then},
		"equal at 3 Mar 2030 11:00":                {State: UpToDate, Success: then.Add(-24 * time.Hour)},
		"carrying over, 12 changes waiting":        {State: Carrying, Waiting: 12},
		"carrying over":                            {State: Carrying, Waiting: -1},
		"starting":                                 {State: Starting, Waiting: -1},
		"one change waiting, last equal 11:00; no": {State: Failing, Waiting: 1, Fault: "no", Success: then},
		"one record is set aside; why?":            {State: Failing, Waiting: -1, Fault: "why?", Aside: make([]Aside, 1)},
		"no":                                       {State: Failing, Waiting: -1, Fault: "no"},
		"equal at 11:00; one record is set aside":  {State: UpToDate, Success: then, Aside: make([]Aside, 1)},
		"equal at 11:00; 3 records are set aside":  {State: UpToDate, Success: then, Aside: make([]Aside, 3)},
	} {
		assert.Equal(t, says, l.Says(now))
	}
}
