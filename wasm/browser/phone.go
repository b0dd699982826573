package browser

import (
	"context"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/debugger"
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

// MayKeep answers for the browser whether the site that is shown may keep what
// it writes for good.
func (b *Tab) MayKeep(may bool) {
	b.Helper()
	setting := cdpbrowser.PermissionSettingDenied
	if may {
		setting = cdpbrowser.PermissionSettingGranted
	}
	Call(b, cdpbrowser.SetPermission, cdpbrowser.SetPermissionParams{
		Permission: &cdpbrowser.PermissionDescriptor{Name: "persistent-storage"}, Setting: setting, Origin: Ask[string](b, "location.origin")})
}

// Evict throws away what the site that is shown keeps, as a browser does that
// needs room: its files and its caches, not what is kept beside them in
// localStorage. The tab shows nothing then.
func (b *Tab) Evict() {
	b.Helper()
	origin := Ask[string](b, "location.origin")
	b.Do(chromedp.Navigate("about:blank"), chromedp.Sleep(time.Second)) // until the browser has let go of the files
	Call(b, storage.ClearDataForOrigin, storage.ClearDataForOriginParams{
		Origin: origin, StorageTypes: "file_systems,indexeddb,cache_storage,service_workers"})
}

// Pause stops the page's thread, as a phone does that has no time for it. The
// page is not told, and answers nothing until it is resumed.
func (b *Tab) Pause() (resume func()) {
	b.Helper()
	Call(b, debugger.Enable, debugger.EnableParams{})
	Call(b, debugger.Pause, cdp.Empty{})
	return func() {
		b.Helper()
		Call(b, debugger.Disable, cdp.Empty{})
	}
}

// Sleep puts the page to sleep behind another tab, as a phone does with what is
// long out of sight. The browser tells it before. Wake it up to ask it anything.
func (b *Tab) Sleep(front *Tab) (wake func()) {
	b.Helper()
	const freezes = `window.frozen = false; document.addEventListener('freeze', () => window.frozen = true); true`
	Ask[bool](b, freezes)
	pretend := func(inFront bool) {
		b.Helper()
		Call(b, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: inFront})
	}
	pretend(false)
	Call(front, page.BringToFront, cdp.Empty{})
	Call(b, page.SetWebLifecycleState, page.SetWebLifecycleStateParams{State: page.SetWebLifecycleStateStateFrozen})
	return func() {
		b.Helper()
		Call(b, page.SetWebLifecycleState, page.SetWebLifecycleStateParams{State: page.SetWebLifecycleStateStateActive})
		pretend(true)
		if !Ask[bool](b, "window.frozen") {
			b.Errorf("the browser did not put the page to sleep")
		}
	}
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
