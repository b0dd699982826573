// Package shelltest tries the shell in a real browser, with the program that
// the build makes. It holds tests only; start with shell_test.go. What the
// screens say is tried elsewhere: here a screen is an address and a heading.
package shelltest

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Once the app is installed the connection may go before the first tap.
func TestOfflineBeforeTheFirstTap(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	b.offlineReady()
	s.cut()

	b.turn("/about")
	b.at("/about")
	b.do(chromedp.Reload())
	b.at("/about")
	b.turn("/emergency")
	b.at("/emergency")
	if got := ask[[]string](b, "window.stopped"); len(got) > 0 {
		t.Errorf("the page's policy stopped %v", got)
	}
}

// A language is fetched when it is first chosen, with the connection gone too.
func TestLanguageOfflineKeepsTheScreenAndTheChoice(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/about")
	b.offlineReady()
	s.cut()

	b.tap(`button[name="lang"][value="fr"]`)
	b.until(`document.documentElement.lang === 'fr'`)
	b.at("/about")
	b.do(chromedp.Reload())
	b.until(`document.documentElement.lang === 'fr' && document.getElementById('screen').dataset.path === '/about'`)
}

func TestBackReturnsToTheScreenAndThePlaceOnIt(t *testing.T) {
	s := serve(t, first)
	b := open(t, chromedp.WindowSize(320, 300))
	b.goTo(s, "/")
	b.turn("/emergency")
	b.at("/emergency")
	ask[bool](b, "scrollTo(0, 120), true")
	b.until("history.state?.y === 120")
	b.turn("/about")
	b.at("/about")
	b.until("scrollY === 0")
	b.do(chromedp.NavigateBack())
	b.at("/emergency")
	b.until("scrollY === 120")
	b.do(chromedp.Reload())
	b.at("/emergency")
	b.until("scrollY === 120")
}

func TestFocusGoesToTheHeadingOfANewScreen(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	b.turn("/about")
	b.at("/about")
	b.until("document.activeElement.tagName === 'H1'")
}

// A finger that bounces sends one message, whether the second tap comes before
// the answer or lands on the screen that the answer brought.
func TestABouncingFingerIsOneTap(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	ask[bool](b, `(() => {
		const f = document.createElement('form');
		f.method = 'post';
		f.setAttribute('action', '#/settings');
		f.innerHTML = '<input type="hidden" name="back" value="/about"><button id="bounce" name="lang" value="fr">';
		document.getElementById('screen').prepend(f);
		window.sent = [];
		document.getElementById('bounce').click();
		document.getElementById('bounce').click();
		return true;
	})()`)
	b.at("/about")
	if n := ask[int](b, "window.sent.filter((m) => m.method === 'post').length"); n != 1 {
		t.Errorf("two taps on one button sent %d posts, wanted 1", n)
	}
}

// Taps on different things while an answer is awaited are all carried out, in
// order.
func TestTapsWaitTheirTurn(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	ask[bool](b, `(() => {
		window.sent = [];
		location.hash = '/about';
		const next = () => { location.hash = '/emergency'; };
		setTimeout(next, 0);
		return true;
	})()`)
	b.at("/emergency")
	got := ask[[]string](b, "window.sent.map((m) => m.path)")
	if len(got) != 2 || got[0] != "/about" || got[1] != "/emergency" {
		t.Errorf("sent %v, wanted /about, then /emergency", got)
	}
	if n := ask[int](b, "history.length"); n < 3 {
		t.Errorf("the history holds %d steps: Back cannot return to each screen", n)
	}
}

// A panic that nothing catches ends the Go program. The person is told, and
// one tap leads back; what follows works.
func TestPanicIsAScreenWithAWayBack(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/about")
	b.turn("/fault/panic")
	b.until(`document.getElementById('screen').dataset.failed === 'crashed'`)
	if detail := ask[string](b, "document.querySelector('#screen pre').textContent"); !strings.Contains(detail, "provoked by a test") {
		t.Errorf("the panic's own words are not there: %q", detail)
	}
	b.tap(`#screen a[href="#/"]`)
	b.at("/")
	b.turn("/about")
	b.at("/about")
}

// The page and the Go program each refuse to work with another version.
func TestVersionsDoNotMix(t *testing.T) {
	version := strconv.Quote(first.site.Version)
	for _, file := range []string{"shell.", "worker."} {
		t.Run(file, func(t *testing.T) {
			s := serve(t, first)
			s.give(changed(first, file, version, `"0123456789ab"`))
			b := open(t)
			b.do(chromedp.Navigate(s.URL))
			b.until(`document.getElementById('screen').dataset.failed === 'mismatch'`)
			if ask[bool](b, "navigator.serviceWorker.controller !== null") {
				t.Error("a mixed version was installed for use offline")
			}
			s.give(changed(first, "none", "", ""))
			b.tap("#again")
			b.at("/")
		})
	}
}

func TestWithoutWebAssembly(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.inject("delete self.WebAssembly")
	b.do(chromedp.Navigate(s.URL))
	b.until(`document.getElementById('screen').dataset.failed === 'no_wasm'`)
}

// At a plain address on a local network a browser keeps no private files and
// installs nothing. The quick tools work all the same.
func TestPlainAddressHasQuickToolsOnly(t *testing.T) {
	s := serve(t, first)
	b := open(t, chromedp.Flag("host-resolver-rules", "MAP clinic.test 127.0.0.1"))
	s.URL = "http://clinic.test:" + port(s.URL)
	b.goTo(s, "/")
	b.turn("/emergency")
	b.at("/emergency")
	b.turn("/settings")
	b.at("/settings")
	if text := ask[string](b, "document.getElementById('screen').innerText"); strings.Contains(text, "Mark of this phone") {
		t.Errorf("records are offered where none can be kept:\n%s", text)
	}
}

// The program's disk passes the suite that every host's disk must pass.
func TestPrivateFilesAreASoundDisk(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/fault/disk")
	if got := ask[string](b, "document.getElementById('suite').textContent"); got != "passed" {
		t.Error(got)
	}
}

// The browser finds nothing that keeps the app from being installed.
func TestInstallable(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	b.offlineReady()
	manifest, err := chromedp.Call(b.ctx, page.GetAppManifest, page.GetAppManifestParams{})
	if err != nil {
		t.Fatal(err)
	}
	if len(manifest.Errors) > 0 || !strings.Contains(manifest.URL, first.site.Names["manifest.webmanifest"]) {
		t.Errorf("manifest %s: %v", manifest.URL, manifest.Errors)
	}
	found, err := chromedp.Call(b.ctx, page.GetInstallabilityErrors, cdp.Empty{})
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range found.InstallabilityErrors {
		t.Errorf("not installable: %s %v", e.ErrorID, e.ErrorArguments)
	}
}
