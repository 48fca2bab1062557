package peer

import (
	"log/slog"
	"testing"

	"github.com/stretchr/testify/require"
)

var quiet = slog.New(slog.DiscardHandler)

// TestBothWays: two books with records, conflicts, deletions, odd names and photos become one, and
// what is changed afterwards on either side comes over too.
func TestBothWays(t *testing.T) {
	a, b := mustOffice(t), mustOffice(t)
	a.seed(t, "a", 1200, 20)
	b.seed(t, "b", 700, 13)
	want := len(a.content(t)) + len(b.content(t))
	a.follows(t, b, Both)
	equal(t, a, b)
	require.Len(t, a.content(t), want)

	a.seed(t, "later-a", 3, 1)
	equal(t, a, b)
	b.seed(t, "later-b", 3, 1)
	equal(t, a, b)
}
