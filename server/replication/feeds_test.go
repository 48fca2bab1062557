package replication

import (
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/server/pairing"
	"datumbook/server/web"
)

// A feed that waits for an older one of its device to end has no turn meanwhile: the older one needs
// one to end, and so do the requests of others.
func TestFeedThatWaitsForAnotherHasNoTurn(t *testing.T) {
	sharing := &web.Sharing{Turns: 1}
	open := feeds{grace: time.Hour}
	begin := func() (ended func() error) {
		r := httptest.NewRequestWithContext(t.Context(), "GET", "/", nil)
		r = r.WithContext(pairing.With(r.Context(), pairing.Identity{Device: "greedy"}))
		share, err := sharing.Enter(r.Context(), "greedy", true)
		require.NoError(t, err)
		ctx, end := open.begin(httptest.NewRecorder(), r.WithContext(web.WithShare(r.Context(), share)))
		share.Rest() // as a feed that waits
		go func() {
			<-ctx.Done()
			share.Again()
			end()
			share.Leave()
		}()
		return ctx.Err
	}
	var first func() error
	for i := range deviceFeeds {
		ended := begin()
		if i == 0 {
			first = ended
		}
	}
	begin()
	assert.Error(t, first(), "the oldest gave way")
	other, err := sharing.Enter(t.Context(), "other", false)
	require.NoError(t, err)
	other.Leave()
}
