package shelltest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"fourchette/wasm/browser"
	"fourchette/wasm/serve/static"
)

// newBirth opens a birth's record and gives its path.
func (b *tab) newBirth() string {
	b.Helper()
	b.turn("/new")
	b.At("/new")
	// A bed of its own: else the page asks whether it is the woman of before.
	browser.Ask[bool](b.Tab, `document.getElementById('f-bed').value = String(Date.now() % 1e9), true`)
	b.Tap(`button[name="born"][value="now"]`)
	b.Until(`document.getElementById('screen').dataset.path.startsWith('/b/')`)
	return browser.Ask[string](b.Tab, `document.getElementById('screen').dataset.path`)
}

// closeBirth closes a record, as its page does.
func (b *tab) closeBirth(path string) {
	b.Helper()
	b.turn(path + "/close")
	b.At(path + "/close")
	b.Tap(`#screen form[action$="/close"] button[type="submit"]`)
	b.Until(`document.getElementById('screen').dataset.path !== ` + fmt.Sprintf("%q", path+"/close"))
}

// isRecord says whether the screen is a record's and not the one that tells
// that there is none.
const isRecord = `document.querySelector('#screen a[href$="/examine"]')`

// A record outlives a reload, each time the page before still held the files
// a moment ago.
func TestRecordOutlivesReloads(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	path := b.newBirth()
	for range 5 {
		b.Do(chromedp.Reload())
		b.At(path)
		b.Until(isRecord)
	}
}

// A record outlives a panic of the Go program, connection or not.
func TestRecordOutlivesAPanic(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	b.OfflineReady()
	path := b.newBirth()
	s.Cut()
	b.turn("/fault/panic")
	b.Until(`document.getElementById('screen').dataset.failed === 'crashed'`)
	b.Back()
	b.At(path)
	b.Until(isRecord)
}

// Back from a record that was just opened leads to the question before it.
func TestBackFromWhatAPostLedTo(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	path := b.newBirth()
	b.Back()
	b.At("/new")
	b.Do(chromedp.NavigateForward())
	b.At(path)
}

// Two tabs never write one journal. The second says why it keeps no records,
// and has them once the first is closed.
func TestSecondTab(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	path := b.newBirth()
	other := open(t)
	other.Load(s, "/")
	if text := browser.Ask[string](other.Tab, "document.getElementById('screen').innerText"); !strings.Contains(text, "Another window") {
		t.Errorf("the second tab does not say that the first has the records:\n%s", text)
	}
	b.Close()
	other.turn(path)
	other.At(path)
	other.Do(chromedp.Reload())
	other.At(path)
	other.Until(isRecord)
}

// While a birth is open the version that began it stays, whatever is tapped,
// and a second tab cannot bring in the new one either.
func TestNewVersionWaitsForOpenBirths(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	b.OfflineReady()
	path := b.newBirth()
	s.Swap(static.Handler(second.Public))
	b.waitForUpdate()
	other := open(t)
	other.Load(s, "/about")
	for _, to := range []string{"/emergency", "/about", path} {
		b.turn(to)
		b.At(to)
	}
	b.Do(chromedp.Reload())
	b.At(path)
	for _, tab := range []*tab{b, other} {
		if shell := browser.Ask[string](tab.Tab, shellFile); !strings.Contains(shell, first.Names["shell.js"]) {
			t.Fatalf("the new version took over while a birth was open: %s", shell)
		}
	}
	other.Close()
	b.closeBirth(path)
	b.Until(shellFile + `.includes("` + second.Names["shell.js"] + `")`)
}

// Locked, nobody knows whether a birth is open: the new version waits for a tap
// that says so, and then comes.
func TestNewVersionWaitsForATapWhileLocked(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	b.OfflineReady()
	b.newBirth()
	b.turn("/lock/pin")
	b.At("/lock/pin")
	b.Type("#f-pin", "739104")
	b.Type("#f-again", "739104")
	b.TapWords("Seal with this PIN")
	b.At("/lock/paper")
	b.turn("/")
	b.At("/")
	b.Do(chromedp.Reload())
	b.Until(`document.querySelector('#f-pin') && document.querySelector('[data-update]').hidden`)
	s.Swap(static.Handler(second.Public))
	b.waitForUpdate()
	b.turn("/about")
	b.At("/about")
	b.turn("/")
	b.Until(`document.querySelector('[data-update]')?.hidden === false`)
	if shell := browser.Ask[string](b.Tab, shellFile); !strings.Contains(shell, first.Names["shell.js"]) {
		t.Fatalf("the new version took over while nobody could know whether a birth was open: %s", shell)
	}
	b.TapWords("Bring it in")
	b.Until(shellFile + `.includes("` + second.Names["shell.js"] + `")`)
}
