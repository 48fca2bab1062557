package browsertest

import (
	"context"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// Tab opens a second page in the browser, with the same profile.
func (b *Browser) Tab(screen Screen) *Browser {
	b.t.Helper()
	ctx, stop := chromedp.NewContext(b.ctx)
	tab := &Browser{t: b.t, ctx: ctx, touch: screen.Touch, cancel: []context.CancelFunc{stop}}
	require.NoError(b.t, chromedp.Do(ctx, screen.emulate()), "open a second page")
	b.t.Cleanup(tab.Close)
	return tab
}
