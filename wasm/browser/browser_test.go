package browser

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// faulty is a small site in which something goes wrong in each way.
var faulty = map[string]string{
	"/calm":       `<h1>calm</h1>`,
	"/console":    `<script src="/console.js"></script>`,
	"/thrown":     `<script src="/thrown.js"></script>`,
	"/inline":     `<script>document.title = 'inline'</script>`,
	"/style":      `<p style="color: red">red</p>`,
	"/missing":    `<img src="/nothing.png" alt="">`,
	"/worker":     `<script src="/begin.js"></script>`,
	"/policy":     `<script src="/beginother.js"></script>`,
	"/console.js": `console.error('told', {}, 7)`,
	"/thrown.js":  `setTimeout(() => { throw new Error('thrown') })`,
	"/eval.js":    `try { eval('1') } catch {}`,

	"/begin.js":      `new Worker('/console.js')`,
	"/beginother.js": `new Worker('/eval.js')`,
}

// small serves pages under a strict policy.
func small(t *testing.T, pages map[string]string) string {
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		text, ok := pages[r.URL.Path]
		switch {
		case r.URL.Path == "/favicon.ico":
		case !ok:
			http.NotFound(w, r)
			return
		case strings.HasSuffix(r.URL.Path, ".js"):
			w.Header().Set("Content-Type", "text/javascript")
		default:
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			text = `<!doctype html><meta name="viewport" content="width=device-width">` + text
		}
		w.Header().Set("Content-Security-Policy", "default-src 'self'")
		fmt.Fprint(w, text)
	}))
	t.Cleanup(s.Close)
	return s.URL
}

// Each fault fails a test that did not expect it, and only such a test.
func TestFaultsAreHeard(t *testing.T) {
	address := small(t, faulty)
	br := Start(t)
	for path, want := range map[string]string{
		"/calm": "", "/console": "told Object 7", "/thrown": "Error: thrown", "/inline": "inline script", "/style": "inline style",
		"/missing": "404", "/worker": "worker: told", "/policy": "script-src",
	} {
		visit := func(expected ...string) error {
			return Try(func(t T) {
				tab := br.Open(t)
				tab.Expect(expected...)
				tab.Do(chromedp.Navigate(address+path), chromedp.Sleep(200*time.Millisecond))
			})
		}
		err := visit()
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%s: heard %v, wanted %q", path, err, want)
		}
		if err := visit(want); want != "" && err != nil {
			t.Errorf("%s: expected, and yet %v", path, err)
		}
	}
}

// A finger finds what can be seen, scrolls to what cannot, and finds neither
// what is hidden nor what is covered.
func TestTap(t *testing.T) {
	address := small(t, map[string]string{"/": `
		<script src="/s.js" defer></script>
		<header>covers</header><div><button id="top">top</button></div><button id="gone" hidden>gone</button>
		<svg width="200" height="200"><path id="ring" d="M10 190A90 180 0 0 1 190 190L170 190A70 150 0 0 0 30 190Z"/></svg>
		<p>far down</p><button id="low">Low  enough</button><p id="under">under<b></b></p>`,
		"/s.js": `addEventListener('click', (e) => document.title += ' ' + e.target.id)`,
	})
	br := Start(t)
	b := br.Open(t)
	b.Do(chromedp.Navigate(address + "/"))
	Ask[bool](b, `[['header', 'position: fixed; inset: 0 0 auto 0; height: 60px'], ['p', 'height: 2000px'],
		['#under', 'position: relative'], ['b', 'position: absolute; inset: 0']]
		.forEach(([s, css]) => document.querySelector(s).style.cssText = css), true`)
	b.Tap("#ring")
	b.Tap("#low")
	b.TapWords("Low enough")
	b.Tap("#ring")
	b.Until("document.title === 'ring low low ring'")
	for selector, why := range map[string]string{"#gone": "not to be seen", "#top": "covered", "#none": "not there"} {
		if s := Ask[spot](b, `scrollTo(0, 0), `+findOne(selector)); !strings.Contains(s.Why, why) {
			t.Errorf("%s: %+v, wanted %q", selector, s, why)
		}
	}
}

// A program that is no test gets reports as an error and its cleaning done.
func TestTry(t *testing.T) {
	cleaned := ""
	err := Try(func(t T) {
		t.Cleanup(func() { cleaned += "1" })
		t.Cleanup(func() { cleaned += "2" })
		t.Errorf("first %d", 1)
		t.Fatalf("second")
		t.Errorf("never")
	})
	if err == nil || err.Error() != "first 1\nsecond" || cleaned != "21" {
		t.Errorf("%v, cleaned %s", err, cleaned)
	}
	if err := Try(func(T) { panic("odd") }); err == nil || !strings.Contains(err.Error(), "odd") {
		t.Errorf("a panic comes back as %v", err)
	}
	if err := Try(func(T) {}); err != nil {
		t.Error(err)
	}
}
