package shelltest

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"fourchette/wasm/browser"
)

// plant puts HTML of the test's own before the screen's, and before that of
// every answer that follows: what the shell does with a screen is tried here,
// whatever screens there are.
func (b *tab) plant(html string) {
	b.Helper()
	browser.Ask[bool](b.Tab, `((html) => {
		const put = () => document.getElementById('screen').insertAdjacentHTML('afterbegin', html);
		const inner = Object.getOwnPropertyDescriptor(Element.prototype, 'innerHTML');
		Object.defineProperty(document.getElementById('screen'), 'innerHTML', {
			set(answer) { inner.set.call(this, html + answer); },
		});
		put();
		return true;
	})(`+"`"+html+"`"+`)`)
}

// An answer on the same screen moves nothing: not the focus, not the scroll,
// not what was typed elsewhere, not a source that was opened. What was sent
// does not come back into its field.
func TestSameScreenMovesNothing(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/emergency")
	b.plant(`
		<form method="post" action="#/settings">
			<input id="sent" name="x">
			<button name="theme" value="light">a</button><button name="theme" value="dark">b</button>
		</form>
		<form method="post" action="#/settings"><input id="typed" name="y"></form>
		<details><summary>s</summary>t</details>`)
	b.Do(
		chromedp.SendKeys(chromedp.ID("sent"), "5"),
		chromedp.SendKeys(chromedp.ID("typed"), "7"),
		chromedp.Click(chromedp.CSS("details summary")),
	)
	browser.Ask[bool](b.Tab, `scrollTo(0, 30), ((e) => (e.focus({preventScroll: true}), e.click()))(document.querySelector('button[value="dark"]')), true`)
	b.Until(`document.documentElement.dataset.theme === 'dark' && !document.querySelector('[data-sent]')`)
	for expression, wanted := range map[string]string{
		"document.activeElement.value":                   "dark",
		"document.getElementById('sent').value":          "",
		"document.getElementById('typed').value":         "7",
		"String(document.querySelector('details').open)": "true",
		"String(scrollY)":                                "30",
	} {
		if got := browser.Ask[string](b.Tab, expression); got != wanted {
			t.Errorf("%s is %q, wanted %q", expression, got, wanted)
		}
	}
}

// A field that was refused gets the focus.
func TestRefusedFieldGetsTheFocus(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/emergency")
	b.plant(`<form method="post" action="#/settings">
		<button id="send" name="theme" value="dark">a</button><input id="refused" aria-invalid="true"></form>`)
	b.Tap("#send")
	b.Until("document.activeElement.id === 'refused'")
}

// A form that asks changes the address, so that Back and reload keep the
// question.
func TestAskingFormChangesTheAddress(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/about")
	b.plant(`<form method="get" action="#/emergency"><input id="q" name="q" value="a b"><button id="send" name="w" value="ä">a</button></form>`)
	b.Tap("#send")
	b.At("/emergency?q=a+b&w=%C3%A4")
	b.Back()
	b.At("/about")
}

// The hours since a birth run on while a screen stands. A clock that is behind
// the birth says nothing rather than something wrong.
func TestTimesRunOn(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Inject(`const once = setTimeout; setTimeout = (f, ms) => once(f, ms / 100);`)
	b.Load(s, "/about")
	browser.Ask[bool](b.Tab, `[0, 7559_000, -3600_000].forEach((ago) => {
		document.getElementById('screen').insertAdjacentHTML('beforeend', '<time data-since="' + (Date.now() - ago) + '">?</time>');
	}), true`)
	b.Until(`[...document.querySelectorAll('time[data-since]')].map((t) => t.textContent).join() === '0:00,2:05,?'`)
}

// A wait is counted down by the second, and when it is over the screen is asked
// for anew, because Go says what may be done now.
func TestAWaitIsCountedDown(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/about")
	end := browser.Ask[int64](b.Tab, "Date.now() + 4000")
	b.plant(fmt.Sprintf(`<time data-until="%d">?</time>`, end))
	b.turn("/emergency")
	b.Until(`document.querySelector('time[data-until]').textContent === '0:03'`)
	sent := browser.Ask[int](b.Tab, "window.sent.length")
	b.Until(`document.querySelector('time[data-until]').textContent === '0:01'`)
	if now := browser.Ask[int](b.Tab, "window.sent.length"); now != sent {
		t.Errorf("%d messages while she waits", now-sent)
	}
	b.Until(`document.querySelector('time[data-until]').textContent === '0:00'`)
	b.Until(fmt.Sprintf(`window.sent.slice(%d).some((m) => m.method === 'get' && m.path === '/emergency')`, sent))
}

// When the browser gives no more room the person is told in place, nothing
// that was kept is lost, and it works again once there is room.
func TestFullStorage(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	path := b.newBirth()
	b.Room(1)
	b.Do(chromedp.Reload()) // a file that is open has room in hand
	b.At(path)
	b.turn("/new")
	b.At("/new")
	browser.Ask[bool](b.Tab, `document.getElementById('f-bed').value = 'other', true`)
	b.Tap(`button[name="born"][value="now"]`)
	b.Until(`document.querySelector('#screen [role="alert"]')`)
	b.At("/new")
	b.Room(0)
	b.Do(chromedp.Reload())
	b.At("/new")
	if second := b.newBirth(); second == path {
		t.Errorf("two births have one path: %s", path)
	}
	b.turn(path)
	b.At(path)
	b.Until(isRecord)
}

// The second tap of a finger that bounces lands on the screen that the first
// one brought, on whatever stands in that spot. It must not count; a tap that
// comes when a person can have read the screen must.
func TestABounceDoesNotReachTheNextScreen(t *testing.T) {
	s := browser.Serve(t, first)
	b := open(t)
	b.Load(s, "/")
	b.plant(`<p><a id="spot" href="#/about">spot</a></p>`)
	spot := browser.Ask[[]float64](b.Tab, `((r) => [r.x + r.width / 2, r.y + r.height / 2])(document.getElementById('spot').getBoundingClientRect())`)
	browser.Ask[bool](b.Tab, "window.sent = [], true")
	b.Do(chromedp.MouseClickXY(spot[0], spot[1]))
	b.At("/about")
	b.Do(chromedp.MouseClickXY(spot[0], spot[1]), chromedp.Sleep(800*time.Millisecond))
	if got := browser.Ask[int](b.Tab, "window.sent.length"); got != 1 {
		t.Errorf("a tap and its bounce sent %d messages, wanted 1", got)
	}
	b.Do(chromedp.MouseClickXY(spot[0], spot[1]))
	b.Until("window.sent.length === 2")
}
