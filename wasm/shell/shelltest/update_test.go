package shelltest

import (
	"net/url"
	"strings"
	"testing"

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
	ask[bool](b, "navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => true)")
	b.until("navigator.serviceWorker.getRegistration().then((r) => window.waits = Boolean(r.waiting)) && window.waits")
}

// shellFile names the scripts of the page that is shown: which version it is of.
const shellFile = `[...document.scripts].map((s) => s.src).join()`

// A new version takes over by itself while nothing is open, and the page is
// loaded once more, on the same screen.
func TestNewVersionTakesOver(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/about")
	b.offlineReady()
	before := ask[string](b, "sessionStorage.loads")
	if !strings.Contains(ask[string](b, shellFile), first.site.Names["shell.js"]) {
		t.Fatal("the page does not show the first version")
	}
	s.give(static.Handler(second.public))
	ask[bool](b, "navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => true)")
	b.until(shellFile + `.includes("` + second.site.Names["shell.js"] + `")`)
	b.at("/about")
	if after := ask[string](b, "sessionStorage.loads"); before != "1" || after != "2" {
		t.Errorf("loaded %s times before and %s after, wanted 1 and 2", before, after)
	}
	b.until("caches.keys().then((k) => window.caches_ = k.join()) && window.caches_ === 'fourchette-" + second.site.Version + "'")
}

// What is half typed is never lost to a new version.
func TestNewVersionWaitsForWhatIsTyped(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/about")
	b.offlineReady()
	ask[bool](b, `(() => {
		const i = document.createElement('input');
		document.getElementById('screen').prepend(i);
		i.value = '5';
		i.dispatchEvent(new Event('input', {bubbles: true}));
		return true;
	})()`)
	s.give(static.Handler(second.public))
	b.waitForUpdate()
	if !strings.Contains(ask[string](b, shellFile), first.site.Names["shell.js"]) {
		t.Fatal("the page was loaded again over a half typed form")
	}
	b.turn("/emergency")
	b.until(shellFile + `.includes("` + second.site.Names["shell.js"] + `")`)
	b.at("/emergency")
}
