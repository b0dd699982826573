package journeys

import (
	"testing"

	"fourchette/wasm/browser"
)

// asks is another page that asks for the records, and keeps them for itself.
const asks = `navigator.locks.request('fourchette-records', () => new Promise((end) => window.letGo = end));
	(async () => {
		while (!(await navigator.locks.query()).pending.length);
		new BroadcastChannel('fourchette-records').postMessage('give');
	})(); true`

// The screens that stand in the place of records that are not here are for
// everybody, too.
func TestScreensWithoutRecordsAreForEverybody(t *testing.T) {
	for _, lang := range []string{"en", "fr", "ar-XB"} {
		t.Run(lang, func(t *testing.T) {
			w := begin(t)
			b := w.newBirth("7")
			w.Tap(`.languages button[value="` + lang + `"]`)
			w.Until(`document.documentElement.lang === '` + lang + `'`)
			w.bringAxe()
			browser.Ask[bool](w.Tab, asks)
			w.Until("document.getElementById('take')")
			w.audit("taken")
			w.Turn("/")
			w.audit("taken, the list")
			w.Turn(b)
			w.Tap("#take")
			w.Until(`document.querySelector('.caution[role="status"]')`)
			w.audit("asked for")
			w.Until("document.querySelector('.caution ol') && document.getElementById('take')")
			w.audit("no answer")
			browser.Ask[bool](w.Tab, "window.letGo(), localStorage.setItem('mark', 'zzzzzzzz 12 2026-03-01'), true")
			w.Reload()
			w.Until(`document.querySelector('form[action="#/missing"]')`)
			w.bringAxe()
			w.audit("missing")
		})
	}
}
