package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// tap is where and when a finger was.
type tap struct {
	x, y float64
}

// A spot is a place to tap, or why there is none.
type spot struct {
	X, Y float64
	Why  string
}

// find gives a place on an element that nothing covers: its middle, else, once
// it is scrolled to, another place that belongs to it, as a shape that is no
// rectangle needs. Near its edge a browser may take the finger to mean what
// stands beside it.
const find = `((all, what) => {
	const shown = all.filter((e) => e.getClientRects().length && getComputedStyle(e).visibility === 'visible');
	if (!shown.length) return {Why: what + (all.length ? ' is there but not to be seen' : ' is not there')};
	const e = shown[0];
	const free = (...steps) => {
		for (const r of e.getClientRects().length > 1 ? e.getClientRects() : [e.getBoundingClientRect()]) {
			for (const i of steps) for (const k of steps) {
				const x = r.left + r.width * i / 16, y = r.top + r.height * k / 16;
				const hit = document.elementFromPoint(x, y);
				if (hit && e.contains(hit)) return {X: x, Y: y, Why: ''};
			}
		}
	};
	const scroll = () => e.scrollIntoView({block: 'center', behavior: 'instant'});
	return free(8) ?? (scroll(), free(8)) ?? free(8, 4, 12, 6, 10, 2, 14, 5, 7, 9, 11, 3, 13, 1, 15) ?? {Why: what + ' is covered'};
})`

// Tap taps on the first thing seen that a selector finds.
func (b *Tab) Tap(selector string) {
	b.Helper()
	b.touch(findOne(selector))
}

func findOne(selector string) string {
	return fmt.Sprintf(`%s([...document.querySelectorAll(%s)], %s)`, find, quote(selector), quote(selector))
}

// TapWords taps on the first thing seen that leads somewhere and reads as the
// words do, or begins with them.
func (b *Tab) TapWords(words string) {
	b.Helper()
	b.touch(fmt.Sprintf(`((words) => {
		const read = (e) => e.innerText.replace(/\s+/g, ' ').trim();
		const all = [...document.querySelectorAll('a, button, summary, label')];
		const exact = all.filter((e) => read(e) === words);
		return %s(exact.length ? exact : all.filter((e) => read(e).startsWith(words)), words);
	})(%s)`, find, quote(words)))
}

// touch waits for a place to tap and taps there, not sooner than a person
// would on a spot that she has just tapped: the shell takes that for a bounce.
func (b *Tab) touch(expression string) {
	b.Helper()
	s := b.spot(expression)
	if near := math.Hypot(s.X-b.last.x, s.Y-b.last.y) < 60; near {
		b.Until("!(performance.now() - window.changed < 700)")
		s = b.spot(expression)
	}
	Ask[bool](b, "window.tapped = false")
	b.Do(chromedp.TapXY(s.X, s.Y))
	b.Until("window.tapped !== false") // of a page that was loaded meanwhile it is not known
	b.last = tap{s.X, s.Y}
}

// noteTaps lets a page say when a finger's click has reached it, which is some
// time after the finger.
//
// It also notes when another screen was shown.
const noteTaps = `addEventListener('click', () => { window.tapped = true; }, true);
new MutationObserver((all) => {
	if (!all.some((m) => m.target.id === 'screen')) return;
	window.changed = Infinity; // until it is painted
	requestAnimationFrame(() => setTimeout(() => window.changed = performance.now()));
}).observe(document, {subtree: true, childList: true});`

// spot waits until there is a place and it stands still: a browser scrolls a
// field that is touched into view, and a finger waits for that.
func (b *Tab) spot(expression string) spot {
	b.Helper()
	expression = fmt.Sprintf(`(async (before) => {
		await new Promise((f) => requestAnimationFrame(() => requestAnimationFrame(f)));
		const now = %s;
		return before.X === now.X && before.Y === now.Y ? now : {Why: now.Why || 'it moves'};
	})(%s)`, expression, expression)
	for end := time.Now().Add(patience); ; time.Sleep(15 * time.Millisecond) {
		ctx, stop := context.WithTimeout(b.ctx, 5*time.Second)
		found, err := chromedp.Run(ctx, chromedp.Evaluate[spot](expression, chromedp.EvalAwaitPromise))
		stop()
		if err == nil && found.Why == "" {
			return found
		}
		if time.Now().After(end) {
			b.Fatalf("cannot tap: %s %v\n%s", found.Why, err, b.Looks())
		}
	}
}

// Type taps on a field, takes out what stands in it and types.
func (b *Tab) Type(selector, text string) {
	b.Helper()
	b.Tap(selector)
	Ask[bool](b, fmt.Sprintf(`((f) => (f.focus(), f.select(), true))(document.querySelector(%s))`, quote(selector)))
	b.Press(kb.Delete)
	if text != "" {
		b.Press(text)
	}
}

// Fill puts a value into a field that is not typed into, such as a date.
func (b *Tab) Fill(selector, value string) {
	b.Helper()
	Ask[bool](b, fmt.Sprintf(`((f) => (f.value = %s, f.dispatchEvent(new Event('input', {bubbles: true}))))(document.querySelector(%s))`, quote(value), quote(selector)))
}

// Press presses keys, one after the other: text, or those of the package kb.
func (b *Tab) Press(keys string) {
	b.Helper()
	b.Do(chromedp.KeyEvent(keys))
}

// Value is what stands in a field.
func (b *Tab) Value(selector string) string {
	b.Helper()
	return Ask[string](b, fmt.Sprintf("document.querySelector(%s)?.value ?? 'no such field'", quote(selector)))
}

// quote writes a text as JavaScript does.
func quote(s string) string {
	var text strings.Builder
	e := json.NewEncoder(&text)
	e.SetEscapeHTML(false)
	e.Encode(s) // a string always encodes
	return strings.TrimSpace(text.String())
}
