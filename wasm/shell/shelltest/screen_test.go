package shelltest

import (
	"testing"
	"time"

	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// plant puts HTML of the test's own before the screen's, and before that of
// every answer that follows: what the shell does with a screen is tried here,
// whatever screens there are.
func (b *tab) plant(html string) {
	b.Helper()
	ask[bool](b, `((html) => {
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
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/emergency")
	b.plant(`
		<form method="post" action="#/settings">
			<input type="hidden" name="back" value="/emergency"><input id="sent" name="x">
			<button name="theme" value="light">a</button><button name="theme" value="dark">b</button>
		</form>
		<form method="post" action="#/settings"><input id="typed" name="y"></form>
		<details><summary>s</summary>t</details>`)
	b.do(
		chromedp.SendKeys(chromedp.ID("sent"), "5"),
		chromedp.SendKeys(chromedp.ID("typed"), "7"),
		chromedp.Click(chromedp.CSS("details summary")),
	)
	ask[bool](b, `scrollTo(0, 30), ((e) => (e.focus({preventScroll: true}), e.click()))(document.querySelector('button[value="dark"]')), true`)
	b.until(`document.documentElement.dataset.theme === 'dark' && !document.querySelector('[data-sent]')`)
	for expression, wanted := range map[string]string{
		"document.activeElement.value":                   "dark",
		"document.getElementById('sent').value":          "",
		"document.getElementById('typed').value":         "7",
		"String(document.querySelector('details').open)": "true",
		"String(scrollY)":                                "30",
	} {
		if got := ask[string](b, expression); got != wanted {
			t.Errorf("%s is %q, wanted %q", expression, got, wanted)
		}
	}
}

// A field that was refused gets the focus.
func TestRefusedFieldGetsTheFocus(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/emergency")
	b.plant(`<form method="post" action="#/settings"><input type="hidden" name="back" value="/emergency">
		<button id="send" name="theme" value="dark">a</button><input id="refused" aria-invalid="true"></form>`)
	b.tap("#send")
	b.until("document.activeElement.id === 'refused'")
}

// A form that asks changes the address, so that Back and reload keep the
// question.
func TestAskingFormChangesTheAddress(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/about")
	b.plant(`<form method="get" action="#/emergency"><input id="q" name="q" value="a b"><button id="send" name="w" value="ä">a</button></form>`)
	b.tap("#send")
	b.at("/emergency?q=a+b&w=%C3%A4")
	b.do(chromedp.NavigateBack())
	b.at("/about")
}

// The hours since a birth run on while a screen stands. A clock that is behind
// the birth says nothing rather than something wrong.
func TestTimesRunOn(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.inject(`const every = setInterval; setInterval = (f, ms) => every(f, ms / 100);`)
	b.goTo(s, "/about")
	ask[bool](b, `[0, 7559_000, -3600_000].forEach((ago) => {
		document.getElementById('screen').insertAdjacentHTML('beforeend', '<time data-since="' + (Date.now() - ago) + '">?</time>');
	}), true`)
	b.until(`[...document.querySelectorAll('time[data-since]')].map((t) => t.textContent).join() === '0:00,2:05,?'`)
}

// When the browser gives no more room the person is told in place, nothing
// that was kept is lost, and it works again once there is room.
func TestFullStorage(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	path := b.newBirth()
	b.room(1)
	b.do(chromedp.Reload()) // a file that is open has room in hand
	b.at(path)
	b.turn("/new")
	b.at("/new")
	b.tap(`button[name="born"][value="now"]`)
	b.until(`document.querySelector('#screen [role="alert"]')`)
	b.at("/new")
	b.room(0)
	b.do(chromedp.Reload())
	b.at("/new")
	if second := b.newBirth(); second == path {
		t.Errorf("two births have one path: %s", path)
	}
	b.turn(path)
	b.at(path)
	b.until(isRecord)
}

// room limits the storage of the app to some bytes; 0 lifts the limit.
func (b *tab) room(bytes float64) {
	b.Helper()
	p := storage.OverrideQuotaForOriginParams{Origin: ask[string](b, "location.origin")}
	if bytes > 0 {
		p.QuotaSize = &bytes
	}
	if _, err := chromedp.Call(b.ctx, storage.OverrideQuotaForOrigin, p); err != nil {
		b.Fatal(err)
	}
}

// The second tap of a finger that bounces lands on the screen that the first
// one brought, on whatever stands in that spot. It must not count; a tap that
// comes when a person can have read the screen must.
func TestABounceDoesNotReachTheNextScreen(t *testing.T) {
	s := serve(t, first)
	b := open(t)
	b.goTo(s, "/")
	b.plant(`<p><a id="spot" href="#/about">spot</a></p>`)
	spot := ask[[]float64](b, `((r) => [r.x + r.width / 2, r.y + r.height / 2])(document.getElementById('spot').getBoundingClientRect())`)
	ask[bool](b, "window.sent = [], true")
	b.do(chromedp.MouseClickXY(spot[0], spot[1]))
	b.at("/about")
	b.do(chromedp.MouseClickXY(spot[0], spot[1]), chromedp.Sleep(400*time.Millisecond))
	if got := ask[int](b, "window.sent.length"); got != 1 {
		t.Errorf("a tap and its bounce sent %d messages, wanted 1", got)
	}
	b.do(chromedp.MouseClickXY(spot[0], spot[1]))
	b.until("window.sent.length === 2")
}
