package journeys

import (
	"fmt"
	"strings"
	"testing"

	"fourchette/wasm/browser"
)

// A way is one person's way through the app, on a phone on which it has just
// been installed. Ways are walked side by side.
type way struct {
	*browser.Tab
	server *browser.Server
}

func begin(t *testing.T) *way {
	t.Helper()
	t.Parallel()
	s := browser.Serve(t, app)
	w := &way{chromium.Open(t), s}
	w.Load(s, "/")
	w.OfflineReady()
	return w
}

// newBirth opens the record of a birth from the list of births, and gives its
// path.
func (w *way) newBirth(bed string) string {
	w.Helper()
	w.Tap("#new")
	w.At("/new")
	if bed != "" {
		w.Type("#f-bed", bed)
	}
	w.TapWords("Just now")
	w.Until(`document.getElementById('screen').dataset.path.startsWith('/b/')`)
	return w.Path()
}

// examined begins a birth and goes to its first question.
func (w *way) examined(bed string) string {
	w.Helper()
	b := w.newBirth(bed)
	w.Tap(`a.tool[href$="/examine"]`)
	w.At(b + "/examine")
	w.Tap("#next")
	return b
}

// answer taps the answers to questions, each a question and a word in turn.
// Each question must come by itself. It returns when the screen has changed
// after the last.
func (w *way) answer(b string, pairs ...string) {
	w.Helper()
	for i := 0; i < len(pairs); i += 2 {
		w.At(b + "/examine/" + pairs[i])
		w.Tap(fmt.Sprintf(`button[name="value"][value=%q]`, pairs[i+1]))
		w.left(b + "/examine/" + pairs[i])
	}
}

// left waits until another screen than that of the path is shown.
func (w *way) left(path string) {
	w.Helper()
	w.Until(fmt.Sprintf(`document.getElementById('screen').dataset.path !== %q`, path))
}

// send taps on words and waits for the answer, the same screen or another.
func (w *way) send(words string) {
	w.Helper()
	browser.Ask[string](w.Tab, `document.querySelector('h1').id = 'before'`)
	w.TapWords(words)
	w.Until(`document.querySelector('h1') && !document.getElementById('before')`)
}

// numb goes from a birth's record to its limit: what was given before, the
// strength and whether there is adrenaline are read from the label. weight is
// kilograms, "" for not weighed.
func (w *way) numb(b, weight, before, strength, adrenaline string) {
	w.Helper()
	w.TapWords("Numb: how much")
	w.At(b + "/dose/weight")
	if weight == "" {
		w.TapWords("Not weighed")
	} else {
		w.Type("#f-weight_kg", weight)
		w.TapWords("Use this weight")
	}
	w.At(b + "/dose/before")
	w.Tap(fmt.Sprintf(`button[name="before"][value=%q]`, before))
	if before == "listed" {
		return // the page of earlier doses comes first
	}
	w.label(b, strength, adrenaline)
}

// label answers what stands on the bottle.
func (w *way) label(b, strength, adrenaline string) {
	w.Helper()
	w.At(b + "/dose/strength")
	w.TapWords(strength)
	w.Until(`document.getElementById('screen').dataset.path.includes('/dose/adrenaline')`)
	w.TapWords(adrenaline)
	w.Until(`document.getElementById('screen').dataset.path.includes('/dose/limit')`)
}

// figure is the one large number of the screen, "" when there is none.
func (w *way) figure() string {
	w.Helper()
	return browser.Ask[string](w.Tab, `document.querySelector('.dose')?.innerText.replace(/\s+/g, ' ') ?? ''`)
}

// wantFigureSoon waits for a screen with a large number.
func (w *way) wantFigureSoon(want string) {
	w.Helper()
	w.Until(`document.querySelector(".dose")`)
	w.wantFigure(want)
}

func (w *way) wantFigure(want string) {
	w.Helper()
	if got := w.figure(); got != want {
		w.Errorf("the large number is %q, wanted %q\n%s", got, want, w.Looks())
	}
}

// record goes to a birth's record by the number in the bar.
func (w *way) record(b string) {
	w.Helper()
	if w.Path() != b {
		w.Tap("a.bar-birth")
	}
	w.At(b)
}

// written wants lines in the birth's record, after the phone was switched off
// and on: what is read was kept.
func (w *way) written(b string, lines ...string) {
	w.Helper()
	w.record(b)
	w.Reload()
	w.Tap("details.log > summary")
	w.Until(`document.querySelector('details.log').open`)
	all := browser.Ask[[]string](w.Tab, `[...document.querySelectorAll('.log li')].map((l) => l.innerText.replace(/\s+/g, ' '))`)
	if len(all) == 0 {
		w.Fatalf("the record has no lines\n%s", w.Looks())
	}
	for _, line := range lines {
		if !anyContains(all, line) {
			w.Errorf("the record has no line %q:\n%s", line, strings.Join(all, "\n"))
		}
	}
}

func anyContains(all []string, part string) bool {
	for _, s := range all {
		if strings.Contains(s, part) {
			return true
		}
	}
	return false
}
