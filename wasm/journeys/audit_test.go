package journeys

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"fourchette/wasm/browser"
)

// faults are the ways in which a screen can shut somebody out that axe-core
// does not look at: it must be read without scrolling sideways, and a thumb
// must hit what stands alone.
const faults = `((width) => {
	const found = [], page = document.documentElement;
	if (page.scrollWidth > width) { // a phone shows less of it, smaller
		const wide = [...document.querySelectorAll('#screen *')].filter((e) => e.getBoundingClientRect().right > width + 1 || e.getBoundingClientRect().left < -1);
		found.push('scrolls sideways, ' + page.scrollWidth + ' px: ' + wide.slice(0, 3).map((e) => e.outerHTML.slice(0, 90)).join(' | '));
	}
	const inText = (e) => getComputedStyle(e).display === 'inline' && [...e.parentNode.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
	for (const e of document.querySelectorAll('a, button, summary, input:not([type=hidden]), label.pick, label.tick')) {
		if (e.closest('svg, .hidden') || e.matches('label input') || inText(e) || !e.checkVisibility()) continue;
		let r = e.getBoundingClientRect();
		if (r.width >= 47.5 && r.height >= 47.5) continue;
		// A target may reach beyond its box: how far, from its middle?
		e.scrollIntoView({block: 'center', behavior: 'instant'});
		r = e.getBoundingClientRect();
		const reach = (dx, dy) => {
			let n = 0;
			while (n < 48 && e.contains(document.elementFromPoint(r.left + r.width / 2 + n * dx, r.top + r.height / 2 + n * dy))) n++;
			return n;
		};
		const width = Math.max(r.width, reach(-1, 0) + reach(1, 0)), height = Math.max(r.height, reach(0, -1) + reach(0, 1));
		if (width < 47.5 || height < 47.5) found.push('a target of ' + width.toFixed() + ' by ' + height.toFixed() + ': ' + e.outerHTML.slice(0, 120));
	}
	return found;
})`

// axe runs axe-core over the whole page and gives what it finds. Contrast is
// asked for as the looks promise it, 7:1.
const axe = `axe.run(document, {resultTypes: ['violations'], rules: {'color-contrast-enhanced': {enabled: true}}}).then((r) =>
	r.violations.flatMap((v) => v.nodes.map((n) => v.id + ': ' + n.target.join(' ') + ' ' + n.failureSummary.replace(/\s+/g, ' '))))`

// A sight is how a screen is looked at.
type sight struct {
	width, height int
	text          int64 // the reader's own text size; 16 is the usual one
	light         string
}

// sights are the two lights, the narrowest screen, and text at 200 %, in
// pairs: nothing that could be wrong hangs on a size and a light together.
var sights = []sight{
	{320, 640, 16, "light"},
	{360, 740, 32, "dark"},
}

// TestEveryScreenIsForEverybody looks at every screen in a language that runs
// from the left, in one that is longer and in one that runs from the right, in
// light and dark, narrow and with large text.
func TestEveryScreenIsForEverybody(t *testing.T) {
	for _, lang := range []string{"en", "fr", "ar-XB"} {
		t.Run(lang, func(t *testing.T) {
			w := begin(t)
			paths := w.prepared()
			w.Tap(`.languages button[value="` + lang + `"]`)
			w.Until(`document.documentElement.lang === '` + lang + `'`)
			w.bringAxe()
			for _, path := range paths {
				w.goTo(path)
				w.audit(path)
			}
		})
	}
}

func (w *way) bringAxe() {
	w.Helper()
	root, err := browser.Root()
	if err != nil {
		w.Fatalf("%v", err)
	}
	script, err := os.ReadFile(filepath.Join(root, "wasm", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		w.Fatalf("%v: run .ci/tools", err)
	}
	browser.Ask[bool](w.Tab, string(script)+"; true")
}

// The audit is tried on a screen into which one fault of each kind is put.
func TestAuditFindsFaults(t *testing.T) {
	w := begin(t)
	w.bringAxe()
	w.goTo("/about")
	browser.Ask[bool](w.Tab, `document.querySelector('main').insertAdjacentHTML('beforeend',
		'<img src="data:,"><p id="pale">pale</p><p id="wide">wide</p><button id="small">x</button><details><summary>more</summary><input></details>'),
		document.getElementById('pale').style.color = '#666', document.getElementById('wide').style.cssText = 'width: 500px; max-width: none', true`)
	w.Expect("data:,") // no picture
	for _, want := range []string{"image-alt", "color-contrast-enhanced: #pale", "label: input", "scrolls sideways, 5", `a target of 2`} {
		if found := w.look(sights[0]); !anyContains(found, want) {
			t.Errorf("the audit does not find %q: %q", want, found)
		}
	}
}

// audit looks at the screen that is shown in each sight.
func (w *way) audit(name string) {
	w.Helper()
	for _, s := range sights {
		for _, f := range w.look(s) {
			w.Errorf("%s, %d px, text of %d px, %s: %s", name, s.width, s.text, s.light, f)
		}
	}
	w.keepLooks(name)
}

// look gives what is wrong in one sight, with all that is folded away
// unfolded.
func (w *way) look(s sight) []string {
	w.Helper()
	w.Phone(s.width, s.height)
	w.TextSize(s.text)
	browser.Ask[bool](w.Tab, `document.querySelectorAll('details').forEach((d) => d.open = true), document.documentElement.dataset.theme = '`+s.light+`', true`)
	if size := browser.Ask[string](w.Tab, `getComputedStyle(document.documentElement).fontSize`); size != fmt.Sprintf("%dpx", s.text) {
		w.Fatalf("the text is of %s, wanted %d px: this would be another sight", size, s.text)
	}
	return append(browser.Ask[[]string](w.Tab, axe), browser.Ask[[]string](w.Tab, fmt.Sprintf("%s(%d)", faults, s.width))...)
}
