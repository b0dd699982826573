// Package shelltest tries the shell in a real browser, with the program that
// the build makes. It holds tests only; start with shell_test.go. What the
// screens say is tried elsewhere: here a screen is an address and a heading.
package shelltest

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"fourchette/wasm/browser"
)

// Once the app is installed the connection may go before the first tap.
func TestOfflineBeforeTheFirstTap(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	b.OfflineReady()
	s.Cut()

	b.turn("/about")
	b.At("/about")
	b.Do(chromedp.Reload())
	b.At("/about")
	b.turn("/emergency")
	b.At("/emergency")
}

// A language is fetched when it is first chosen, with the connection gone too.
func TestLanguageOfflineKeepsTheScreenAndTheChoice(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/about")
	b.OfflineReady()
	s.Cut()

	b.Tap(`button[name="lang"][value="fr"]`)
	b.Until(`document.documentElement.lang === 'fr'`)
	b.At("/about")
	b.Do(chromedp.Reload())
	b.Until(`document.documentElement.lang === 'fr' && document.getElementById('screen').dataset.path === '/about'`)
}

func TestBackReturnsToTheScreenAndThePlaceOnIt(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Phone(320, 300)
	b.Load(s, "/")
	b.turn("/emergency")
	b.At("/emergency")
	browser.Ask[bool](b.Tab, "scrollTo(0, 120), true")
	b.Until("history.state?.y === 120")
	b.turn("/about")
	b.At("/about")
	b.Until("scrollY === 0")
	b.Back()
	b.At("/emergency")
	b.Until("scrollY === 120")
	b.Do(chromedp.Reload())
	b.At("/emergency")
	b.Until("scrollY === 120")
}

func TestFocusGoesToTheHeadingOfANewScreen(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	b.turn("/about")
	b.At("/about")
	b.Until("document.activeElement.tagName === 'H1'")
}

// A finger that bounces sends one message, whether the second tap comes before
// the answer or lands on the screen that the answer brought.
func TestABouncingFingerIsOneTap(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	browser.Ask[bool](b.Tab, `(() => {
		const f = document.createElement('form');
		f.method = 'post';
		f.setAttribute('action', '#/settings');
		f.innerHTML = '<button id="bounce" name="lang" value="fr">';
		document.getElementById('screen').prepend(f);
		window.sent = [];
		document.getElementById('bounce').click();
		document.getElementById('bounce').click();
		return true;
	})()`)
	b.Until("document.documentElement.lang === 'fr'")
	if n := browser.Ask[int](b.Tab, "window.sent.filter((m) => m.method === 'post').length"); n != 1 {
		t.Errorf("two taps on one button sent %d posts, wanted 1", n)
	}
}

// Taps on different things while an answer is awaited are all carried out, in
// order.
func TestTapsWaitTheirTurn(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	browser.Ask[bool](b.Tab, `(() => {
		window.sent = [];
		location.hash = '/about';
		const next = () => { location.hash = '/emergency'; };
		setTimeout(next, 0);
		return true;
	})()`)
	b.At("/emergency")
	got := browser.Ask[[]string](b.Tab, "window.sent.map((m) => m.path)")
	if len(got) != 2 || got[0] != "/about" || got[1] != "/emergency" {
		t.Errorf("sent %v, wanted /about, then /emergency", got)
	}
	if n := browser.Ask[int](b.Tab, "history.length"); n < 3 {
		t.Errorf("the history holds %d steps: Back cannot return to each screen", n)
	}
}

// A tap changes the address at once, and the event that tells of it may come
// after the answer to the tap before. That answer must not put its own address
// in the place of the new one: the second tap would be lost.
func TestAnswerDoesNotUndoTheNextTap(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Inject(`
		const handler = Object.getOwnPropertyDescriptor(Worker.prototype, 'onmessage');
		let tapped = false;
		Object.defineProperty(Worker.prototype, 'onmessage', {set(f) {
			handler.set.call(this, (e) => {
				if (e.data.path === '/about' && !tapped) tapped = true, location.hash = '/emergency';
				f(e);
			});
		}});`)
	b.Load(s, "/")
	b.turn("/about")
	b.At("/emergency")
	if hash := browser.Ask[string](b.Tab, "location.hash"); hash != "#/emergency" {
		t.Errorf("the address is %s", hash)
	}
	b.Back()
	b.At("/about")
}

// slowly lets the page wait for each answer, as on a slow phone.
const slowly = `
	const send = Worker.prototype.postMessage;
	Worker.prototype.postMessage = function (m) { setTimeout(() => send.call(this, m), 400); };`

// What she wrote was refused: she sees it, though she has tapped on meanwhile.
func TestARefusalIsSeen(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Inject(slowly)
	b.Load(s, "/new")
	browser.Ask[bool](b.Tab, `document.querySelector('[name="born"][value="at"]').click(), location.hash = '/about', true`)
	b.Until(`document.querySelector('[aria-invalid="true"]')`)
	b.At("/new")
	time.Sleep(time.Second)
	b.At("/new")
	b.Back()
	b.At("/about")
}

// However fast she goes back and forth, in the end the screen is that of the
// address: never one woman under another's.
func TestTheScreenIsThatOfTheAddress(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Inject(slowly)
	b.Load(s, "/about")
	browser.Ask[bool](b.Tab, `location.hash = '/settings', setTimeout(() => history.back(), 100), setTimeout(() => history.forward(), 200), true`)
	time.Sleep(1500 * time.Millisecond)
	if hash := browser.Ask[string](b.Tab, "location.hash"); hash != "#/settings" {
		t.Fatalf("the address is %s", hash)
	}
	b.At("/settings")
	browser.Ask[bool](b.Tab, `['/about', '/emergency', '/about'].forEach((path, i) => setTimeout(() => location.hash = path, 100 * i)), true`)
	time.Sleep(1500 * time.Millisecond)
	b.At("/about")
}

// A second tap on the same spot says nothing to a question that came there
// only just now, also on the same screen.
func TestABounceAnswersNothing(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/emergency")
	b.plant(`<form method="post" action="#/settings"><button id="send" name="theme" value="dark">a</button></form>`)
	browser.Ask[bool](b.Tab, `window.taps = [], addEventListener('click', (e) => taps.push(e.timeStamp), true), true`)
	at := browser.Ask[struct{ X, Y float64 }](b.Tab, `((r) => ({X: r.x + r.width / 2, Y: r.y + r.height / 2}))(document.getElementById('send').getBoundingClientRect())`)
	for range 10 {
		browser.Ask[bool](b.Tab, `document.documentElement.dataset.theme = 'light', window.sent = [], window.taps = [], true`)
		b.Do(chromedp.TapXY(at.X, at.Y))
		b.Until(`document.documentElement.dataset.theme === 'dark'`)
		b.Do(chromedp.TapXY(at.X, at.Y))
		b.Until("taps.length === 2")
		posts := browser.Ask[int](b.Tab, "window.sent.filter((m) => m.method === 'post').length")
		if apart := browser.Ask[float64](b.Tab, "taps[1] - taps[0]"); apart < 300 {
			if posts != 1 {
				t.Errorf("two taps %v ms apart sent %d posts, wanted 1", apart, posts)
			}
			return
		}
		time.Sleep(time.Second)
	}
	t.Error("no two taps came fast enough to be a bounce")
}

// A phone that is slow invites a second tap: it is not heard until a person can
// have read what came. Another spot is heard at once.
func TestATapOnWhatNobodyHasReadAnswersNothing(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/emergency")
	b.plant(`<form method="post" action="#/settings"><button id="send" name="theme" value="dark">a</button></form>`)
	at := browser.Ask[struct{ X, Y float64 }](b.Tab, `((r) => ({X: r.x + r.width / 2, Y: r.y + r.height / 2}))(document.getElementById('send').getBoundingClientRect())`)
	for _, c := range []struct {
		wait time.Duration
		want int
	}{{0, 1}, {200 * time.Millisecond, 1}, {350 * time.Millisecond, 1}, {900 * time.Millisecond, 2}} {
		browser.Ask[bool](b.Tab, `document.documentElement.dataset.theme = 'light', window.sent = [], true`)
		b.Do(chromedp.TapXY(at.X, at.Y))
		b.Until(`document.documentElement.dataset.theme === 'dark'`)
		time.Sleep(c.wait)
		b.Do(chromedp.TapXY(at.X, at.Y))
		time.Sleep(300 * time.Millisecond)
		if posts := browser.Ask[int](b.Tab, "window.sent.filter((m) => m.method === 'post').length"); posts != c.want {
			t.Errorf("a second tap %v after the screen came: %d posts, wanted %d", c.wait, posts, c.want)
		}
		time.Sleep(time.Second)
	}
}

// A panic that nothing catches ends the Go program. The person is told, and
// one tap leads back; what follows works.
func TestPanicIsAScreenWithAWayBack(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/about")
	b.turn("/fault/panic")
	b.Until(`document.getElementById('screen').dataset.failed === 'crashed'`)
	if detail := browser.Ask[string](b.Tab, "document.querySelector('#screen pre').textContent"); !strings.Contains(detail, "provoked by a test") {
		t.Errorf("the panic's own words are not there: %q", detail)
	}
	b.Tap(`#screen a[href="#/"]`)
	b.At("/")
	b.turn("/about")
	b.At("/about")
}

// The page and the Go program each refuse to work with another version.
func TestVersionsDoNotMix(t *testing.T) {
	version := strconv.Quote(first.Version)
	for _, file := range []string{"shell.", "worker."} {
		t.Run(file, func(t *testing.T) {
			s := browser.Serve(t, first)
			s.Swap(changed(first, file, version, `"0123456789ab"`))
			b := open(t)
			b.Do(chromedp.Navigate(s.URL))
			b.Until(`document.getElementById('screen').dataset.failed === 'mismatch'`)
			if browser.Ask[bool](b.Tab, "navigator.serviceWorker.controller !== null") {
				t.Error("a mixed version was installed for use offline")
			}
			s.Swap(changed(first, "none", "", ""))
			b.Tap("#again")
			b.At("/")
		})
	}
}

func TestWithoutWebAssembly(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Inject("delete self.WebAssembly")
	b.Do(chromedp.Navigate(s.URL))
	b.Until(`document.getElementById('screen').dataset.failed === 'no_wasm'`)
}

// At a plain address on a local network a browser keeps no private files and
// installs nothing. The quick tools work all the same.
func TestPlainAddressHasQuickToolsOnly(t *testing.T) {
	s := browser.Serve(t, first)
	b := openIn(t, browser.Start(t, "host-resolver-rules", "MAP clinic.test 127.0.0.1"))
	b.Expect("Cross-Origin-Opener-Policy") // it is ignored at such an address
	s.URL = "http://clinic.test:" + port(s.URL)
	b.Load(s, "/")
	b.turn("/emergency")
	b.At("/emergency")
	b.turn("/settings")
	b.At("/settings")
	if text := browser.Ask[string](b.Tab, "document.getElementById('screen').innerText"); strings.Contains(text, "Mark of this phone") {
		t.Errorf("records are offered where none can be kept:\n%s", text)
	}
}

// The program's disk passes the suite that every host's disk must pass.
func TestPrivateFilesAreASoundDisk(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/fault/disk")
	if got := browser.Ask[string](b.Tab, "document.getElementById('suite').textContent"); got != "passed" {
		t.Error(got)
	}
}

// The browser finds nothing that keeps the app from being installed.
func TestInstallable(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	b.OfflineReady()
	manifest := browser.Call(b.Tab, page.GetAppManifest, page.GetAppManifestParams{})
	if len(manifest.Errors) > 0 || !strings.Contains(manifest.URL, first.Names["manifest.webmanifest"]) {
		t.Errorf("manifest %s: %v", manifest.URL, manifest.Errors)
	}
	found := browser.Call(b.Tab, page.GetInstallabilityErrors, cdp.Empty{})
	for _, e := range found.InstallabilityErrors {
		t.Errorf("not installable: %s %v", e.ErrorID, e.ErrorArguments)
	}
}
