package browser

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/inspector"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// Phone makes the tab a phone with a touch screen of this many CSS pixels.
func (b *Tab) Phone(width, height int) {
	b.Helper()
	b.Do(chromedp.EmulateViewport(int64(width), int64(height), chromedp.EmulateMobile, chromedp.EmulateTouch))
	// Tabs work side by side, and each believes that it is in front.
	Call(b, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
}

// Slow makes the page's thread as many times slower. It leaves workers alone:
// the browser cannot slow them.
func (b *Tab) Slow(times float64) {
	b.Helper()
	Call(b, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: times})
}

// TextSize sets the reader's own text size, in CSS pixels; 16 is the usual one.
func (b *Tab) TextSize(px int64) {
	b.Helper()
	Call(b, page.SetFontSizes, page.SetFontSizesParams{FontSizes: &page.FontSizes{Standard: px}})
}

// Night says what light the phone's own settings prefer.
func (b *Tab) Night(dark bool) {
	b.Helper()
	value := "light"
	if dark {
		value = "dark"
	}
	Call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: value}}})
}

// Room limits the storage of the site that is shown to some bytes; 0 lifts the
// limit.
func (b *Tab) Room(bytes float64) {
	b.Helper()
	p := storage.OverrideQuotaForOriginParams{Origin: Ask[string](b, "location.origin")}
	if bytes > 0 {
		p.QuotaSize = &bytes
	}
	Call(b, storage.OverrideQuotaForOrigin, p)
}

// Crash ends the tab's process, as a phone short of memory does.
func (b *Tab) Crash() {
	b.Helper()
	gone := make(chan struct{}, 1)
	err := chromedp.Listen(b.ctx, func(event any) {
		if _, crashed := event.(*inspector.EventTargetCrashed); crashed {
			gone <- struct{}{}
		}
	})
	if err != nil {
		b.Fatalf("%v", err)
	}
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	go chromedp.Call(ctx, page.Crash, cdp.Empty{}) // it never answers
	select {
	case <-gone:
	case <-ctx.Done():
		b.Fatalf("the tab does not crash")
	}
}
