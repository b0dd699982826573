package browser

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// A Tab is one tab of a browser, and the test it works for.
type Tab struct {
	T
	ctx  context.Context
	seen *watch
	last tap
}

// Open opens a tab that is a phone of 360 by 740. It is closed when the test
// ends, and the test fails when the tab saw a fault that it did not Expect.
func (b *Browser) Open(t T) *Tab {
	t.Helper()
	seen := &watch{}
	ctx, stop := chromedp.NewContext(b.ctx, chromedp.WithListener(seen.hear))
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("no tab opens: %v", err)
	}
	tab := &Tab{T: t, ctx: ctx, seen: seen}
	t.Cleanup(tab.calm) // before the tab is closed
	tab.Inject(noteTaps)
	tab.Phone(360, 740)
	return tab
}

// Close closes the tab, as a person does.
func (b *Tab) Close() {
	b.Helper()
	b.calm()
	if err := chromedp.Cancel(b.ctx); err != nil {
		b.Fatalf("closing the tab: %v", err)
	}
}

// Inject runs a script in every page that the tab will show, before its own.
func (b *Tab) Inject(script string) {
	b.Helper()
	Call(b, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
}

// Do carries out steps of the browser library.
func (b *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.Fatalf("%v\n%s", err, b.Looks())
	}
}

// Get carries out a step that gives something back.
func Get[V any](b *Tab, step chromedp.Action[V]) V {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	v, err := chromedp.Run(ctx, step)
	if err != nil {
		b.Fatalf("%v\n%s", err, b.Looks())
	}
	return v
}

// Ask evaluates an expression, or waits for the promise that it gives.
func Ask[V any](b *Tab, expression string) V {
	b.Helper()
	return Get(b, chromedp.Evaluate[V](expression, chromedp.EvalAwaitPromise))
}

// Until waits for an expression to hold. A page that is being replaced cannot
// answer; it is asked again.
func (b *Tab) Until(expression string) {
	b.Helper()
	if !b.wait(expression) {
		b.Fatalf("never came true: %s\n%s", expression, b.Looks())
	}
}

func (b *Tab) wait(expression string) bool {
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(15 * time.Millisecond) {
		ctx, stop := context.WithTimeout(b.ctx, 5*time.Second)
		holds, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("Boolean("+expression+")"))
		stop()
		if err == nil && holds {
			return true
		}
	}
	return false
}

// Looks tells what a failed test had before its eyes.
func (b *Tab) Looks() string {
	ctx, stop := context.WithTimeout(b.ctx, 5*time.Second)
	defer stop()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.href + '\n' + document.body.innerText.slice(0, 2500)`))
	if err != nil {
		return "and the page does not answer: " + err.Error()
	}
	return text
}

// Load loads the app at a path, as from a bookmark, and waits for its screen.
func (b *Tab) Load(s *Server, path string) {
	b.Helper()
	b.Do(chromedp.Navigate(s.URL + "/#" + path))
	b.At(path)
}

// At waits for the screen of a path.
func (b *Tab) At(path string) {
	b.Helper()
	b.Until(fmt.Sprintf("document.getElementById('screen').dataset.path === %q", path))
}

// Path is the path of the screen that is shown, once the address is the same;
// "" when the shell itself says something.
func (b *Tab) Path() string {
	b.Helper()
	b.Until(`((s) => s.dataset.path || s.dataset.failed)(document.getElementById('screen'))`)
	return Ask[string](b, `document.getElementById('screen').dataset.path ?? ''`)
}

// Turn goes to another path, as a link does, and waits for its screen.
func (b *Tab) Turn(path string) {
	b.Helper()
	Ask[string](b, fmt.Sprintf("location.hash = %q", path))
	b.At(path)
}

// Back presses the phone's back button.
func (b *Tab) Back() {
	b.Helper()
	b.Do(chromedp.NavigateBack())
}

// Reload loads the page anew and waits for the same screen.
func (b *Tab) Reload() {
	b.Helper()
	path := b.Path()
	b.Do(chromedp.Reload())
	b.At(path)
}

// OfflineReady waits until the service worker has everything and this page is
// in its care.
func (b *Tab) OfflineReady() {
	b.Helper()
	b.Until("navigator.serviceWorker.controller")
	Ask[bool](b, "navigator.serviceWorker.ready.then(() => true)")
}

// Reads waits until each text can be read on the screen, whatever space and
// line ends stand between its words. What is folded away cannot be read.
func (b *Tab) Reads(texts ...string) {
	b.Helper()
	for _, text := range texts {
		if !b.wait(fmt.Sprintf("(%s).includes(%q)", readable, plain(text))) {
			b.Fatalf("the screen does not say %q\n%s", text, b.Looks())
		}
	}
}

// ReadsNot fails when one of the texts can be read now.
func (b *Tab) ReadsNot(texts ...string) {
	b.Helper()
	all := b.Text()
	for _, text := range texts {
		if strings.Contains(all, plain(text)) {
			b.Errorf("the screen says %q\n%s", text, b.Looks())
		}
	}
}

// Text is all that can be read on the screen, one space between words.
func (b *Tab) Text() string {
	b.Helper()
	return Ask[string](b, readable)
}

// Direction marks stand between words and are not read.
const readable = `document.getElementById('screen').innerText.replace(/[\u2066-\u2069]/g, '').replace(/\s+/g, ' ')`

func plain(s string) string { return strings.Join(strings.Fields(s), " ") }
