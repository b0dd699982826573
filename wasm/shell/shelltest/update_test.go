package shelltest

import (
	"net/url"
	"strings"
	"testing"
	"time"

	"fourchette/wasm/browser"
	"fourchette/wasm/serve/static"
)

func port(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		panic(err)
	}
	return u.Port()
}

// waitForUpdate lets the browser look for a new version and waits until it is
// there, whole.
func (b *tab) waitForUpdate() {
	b.Helper()
	browser.Ask[bool](b.Tab, "navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => true)")
	b.Until("navigator.serviceWorker.getRegistration().then((r) => window.waits = Boolean(r.waiting)) && window.waits")
}

// shellFile names the scripts of the page that is shown: which version it is of.
const shellFile = `[...document.scripts].map((s) => s.src).join()`

// A new version takes over by itself while nothing is open, and the page is
// loaded once more, on the same screen.
func TestNewVersionTakesOver(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/about")
	b.OfflineReady()
	before := browser.Ask[string](b.Tab, "sessionStorage.loads")
	if !strings.Contains(browser.Ask[string](b.Tab, shellFile), first.Names["shell.js"]) {
		t.Fatal("the page does not show the first version")
	}
	s.Swap(static.Handler(second.Public))
	browser.Ask[bool](b.Tab, "navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => true)")
	b.Until(shellFile + `.includes("` + second.Names["shell.js"] + `")`)
	b.At("/about")
	if after := browser.Ask[string](b.Tab, "sessionStorage.loads"); before != "1" || after != "2" {
		t.Errorf("loaded %s times before and %s after, wanted 1 and 2", before, after)
	}
	b.Until("caches.keys().then((k) => window.caches_ = k.join()) && window.caches_ === 'fourchette-" + second.Version + "'")
}

// What is half typed is never lost to a new version.
func TestNewVersionWaitsForWhatIsTyped(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/about")
	b.OfflineReady()
	browser.Ask[bool](b.Tab, `(() => {
		const i = document.createElement('input');
		document.getElementById('screen').prepend(i);
		i.value = '5';
		i.dispatchEvent(new Event('input', {bubbles: true}));
		return true;
	})()`)
	s.Swap(static.Handler(second.Public))
	b.waitForUpdate()
	if !strings.Contains(browser.Ask[string](b.Tab, shellFile), first.Names["shell.js"]) {
		t.Fatal("the page was loaded again over a half typed form")
	}
	b.turn("/emergency")
	b.At("/emergency")
	time.Sleep(500 * time.Millisecond)
	if !strings.Contains(browser.Ask[string](b.Tab, shellFile), first.Names["shell.js"]) {
		t.Fatal("the page was loaded again over an emergency page")
	}
	b.turn("/settings")
	b.Until(shellFile + `.includes("` + second.Names["shell.js"] + `")`)
	b.At("/settings")
}
