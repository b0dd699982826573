// Package browser drives the app in a real browser, for tests and for the
// bench.
//
// Start with Build, Serve, Start and Open: a site, its server, a browser and a
// tab that is a small phone. One site and one browser serve many tests. Each
// test has a server of its own, and so an origin of its own: no test finds the
// records, the choices or the cache of another.
//
// A tab taps, types and reads as a person does: it scrolls only to what it
// cannot see, taps only what nothing covers, and takes its time between two
// taps on one spot. What the page's policy stopped, what was thrown and what
// the console calls an error are kept, and fail the test at its end unless it
// expected them.
package browser

import (
	"context"
	"time"

	"github.com/chromedp/chromedp"
)

// T is what the harness needs of a test: *testing.T is one. Try makes one for
// a program that is no test.
type T interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
	Cleanup(func())
}

// patience is how long one step may take before it has failed.
const patience = 45 * time.Second

// A Browser runs until its test ends.
type Browser struct {
	ctx context.Context
}

// Start starts a browser with a history of its own, which it forgets. Each
// flag is a command-line flag of Chromium's and its value, in turn.
func Start(t T, flags ...string) *Browser {
	t.Helper()
	options := []chromedp.ExecAllocatorOption{
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.WindowSize(360, 740),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("lang", "en-GB"),
	}
	for i := 0; i+1 < len(flags); i += 2 {
		options = append(options, chromedp.Flag(flags[i], flags[i+1]))
	}
	ctx, stop := chromedp.NewContext(context.Background(), chromedp.WithAllocatorOptions(options...))
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil { // starts it, outside any time limit
		t.Fatalf("the browser does not start: %v", err)
	}
	return &Browser{ctx}
}

// Private is a private window of the browser: what it keeps is kept apart from
// all else, and is gone when the test ends.
func (b *Browser) Private(t T) *Browser {
	t.Helper()
	ctx, stop := chromedp.NewContext(b.ctx, chromedp.WithNewBrowserContext())
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("no private window opens: %v", err)
	}
	return &Browser{ctx}
}
