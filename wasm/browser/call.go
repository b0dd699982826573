package browser

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
)

// Call sends one command of the browser's protocol for this tab.
func Call[P, R any](b *Tab, command cdp.Command[P, R], params P) R {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	r, err := chromedp.Call(ctx, command, params)
	if err != nil {
		b.Fatalf("%v", err)
	}
	return r
}
