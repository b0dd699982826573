package shelltest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"fourchette/wasm/serve/static"
)

// newBirth opens a birth's record and gives its path.
func (b *tab) newBirth() string {
	b.Helper()
	b.turn("/new")
	b.at("/new")
	b.tap(`button[name="born"][value="now"]`)
	b.until(`document.getElementById('screen').dataset.path.startsWith('/b/')`)
	return ask[string](b, `document.getElementById('screen').dataset.path`)
}

// closeBirth closes a record, as its page does.
func (b *tab) closeBirth(path string) {
	b.Helper()
	b.turn(path + "/close")
	b.at(path + "/close")
	b.tap(`#screen form[action$="/close"] button[type="submit"]`)
	b.until(`document.getElementById('screen').dataset.path !== ` + fmt.Sprintf("%q", path+"/close"))
}

// isRecord says whether the screen is a record's and not the one that tells
// that there is none.
const isRecord = `document.querySelector('#screen a[href$="/examine"]')`

// A record outlives a reload, each time the page before still held the files
// a moment ago.
func TestRecordOutlivesReloads(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	path := b.newBirth()
	for range 5 {
		b.do(chromedp.Reload())
		b.at(path)
		b.until(isRecord)
	}
}

// A record outlives a panic of the Go program, connection or not.
func TestRecordOutlivesAPanic(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	b.offlineReady()
	path := b.newBirth()
	s.cut()
	b.turn("/fault/panic")
	b.until(`document.getElementById('screen').dataset.failed === 'crashed'`)
	b.do(chromedp.NavigateBack())
	b.at(path)
	b.until(isRecord)
}

// Back from a record that was just opened leads to the question before it.
func TestBackFromWhatAPostLedTo(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	path := b.newBirth()
	b.do(chromedp.NavigateBack())
	b.at("/new")
	b.do(chromedp.NavigateForward())
	b.at(path)
}

// Two tabs never write one journal. The second says why it keeps no records,
// and has them once the first is closed.
func TestSecondTab(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	path := b.newBirth()
	other := b.another()
	other.goTo(s, "/")
	if text := ask[string](other, "document.getElementById('screen').innerText"); !strings.Contains(text, "another window") {
		t.Errorf("the second tab does not say that the first has the records:\n%s", text)
	}
	b.do(chromedp.Navigate("about:blank"))
	other.turn(path)
	other.at(path)
	other.do(chromedp.Reload())
	other.at(path)
	other.until(isRecord)
}

// While a birth is open the version that began it stays, whatever is tapped,
// and a second tab cannot bring in the new one either.
func TestNewVersionWaitsForOpenBirths(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	b.offlineReady()
	path := b.newBirth()
	s.give(static.Handler(second.public))
	b.waitForUpdate()
	other := b.another()
	other.goTo(s, "/about")
	for _, to := range []string{"/emergency", "/about", path} {
		b.turn(to)
		b.at(to)
	}
	b.do(chromedp.Reload())
	b.at(path)
	for _, tab := range []*tab{b, other} {
		if shell := ask[string](tab, shellFile); !strings.Contains(shell, first.site.Names["shell.js"]) {
			t.Fatalf("the new version took over while a birth was open: %s", shell)
		}
	}
	other.do(chromedp.Navigate("about:blank"))
	b.closeBirth(path)
	b.until(shellFile + `.includes("` + second.site.Names["shell.js"] + `")`)
}
