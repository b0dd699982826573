package journeys

import (
	"testing"

	"github.com/chromedp/chromedp/kb"

	"fourchette/wasm/browser"
)

// walkTo presses Tab until what the selector finds has the focus, and says
// what a person with a keyboard would see: a ring round it, and nothing over
// it.
func (w *way) walkTo(selector string) {
	w.Helper()
	for range 60 {
		w.Press(kb.Tab)
		if browser.Ask[bool](w.Tab, `document.activeElement.matches(`+"`"+selector+"`"+`)`) {
			w.focusShows(selector)
			return
		}
	}
	w.Fatalf("Tab does not lead to %s\n%s", selector, w.Looks())
}

func (w *way) focusShows(selector string) {
	w.Helper()
	const hidden = `(() => {
		const e = document.activeElement, r = e.getBoundingClientRect(), style = getComputedStyle(e);
		if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2) return 'it has no ring';
		if (r.top < 0 || r.bottom > innerHeight) return 'it is out of sight';
		for (let i = 1; i < 16; i++) for (let k = 1; k < 16; k++) {
			if (e.contains(document.elementFromPoint(r.left + r.width * i / 16, r.top + r.height * k / 16))) return '';
		}
		return 'it is covered';
	})()`
	if why := browser.Ask[string](w.Tab, hidden); why != "" {
		w.Errorf("%s has the focus, but %s", selector, why)
	}
}

// key walks to something and presses Enter there.
func (w *way) key(selector string) {
	w.Helper()
	w.walkTo(selector)
	w.Press(kb.Enter)
}

// arrived waits for a screen whose heading has the focus: a screen reader
// reads it, and the next Tab leads into the screen.
func (w *way) arrived(path string) {
	w.Helper()
	w.At(path)
	w.Until(`document.activeElement === document.querySelector('h1')`)
}

// A whole journey without a finger.
func TestKeyboardOnly(t *testing.T) {
	w := begin(t)
	w.arrived("/")
	w.key("#new")
	w.arrived("/new")
	w.walkTo("#f-bed")
	w.Press("9")
	w.key(`button[value="now"]`)
	w.Until(`document.getElementById('screen').dataset.path.startsWith('/b/')`)
	b := w.Path()
	w.arrived(b)
	w.key(`a.tool[href$="/examine"]`)
	w.arrived(b + "/examine")
	w.key(`.perineum a.external_sphincter`) // the parts of the drawing, too
	for _, pair := range [][2]string{{"external_sphincter", "intact"}, {"internal_sphincter", "intact"}, {"anorectal_mucosa", "intact"}} {
		w.arrived(b + "/examine/" + pair[0])
		w.key(`button[value="` + pair[1] + `"]`)
	}
	w.arrived(b + "/grade")
	w.key(`.ask a[href$="rectal_exam"]`)
	w.arrived(b + "/examine/rectal_exam")
	w.key(`button[value="done"]`)
	w.arrived(b + "/grade")
	w.Press(kb.Shift) // a key alone does nothing
	w.key(`a.rescue`)
	w.arrived("/emergency?birth=" + b[len("/b/"):])
	w.Back()
	w.arrived(b + "/grade")
	w.key(`a.bar-birth`)
	w.arrived(b)
	w.key(`.tool[href$="/dose"]`)
	w.arrived(b + "/dose/weight")
	w.walkTo("#f-weight_kg")
	w.Press("6o")
	w.Press(kb.Enter) // in a field: sends the form
	w.Until(`document.activeElement.id === 'f-weight_kg' && document.activeElement.ariaInvalid === 'true'`)
	w.Reads("This is no number that can be used.")
	w.Press(kb.Backspace + "0" + kb.Enter)
	w.arrived(b + "/dose/before")
	w.key(`button[value="listed"]`)
	w.arrived(b + "/dose/earlier")
	w.walkTo(`input[name="given_strength"]`)
	w.Press(kb.ArrowDown) // the second of its group
	w.walkTo(`input[name="given_adrenaline"]`)
	w.Press(" ")
	w.walkTo("#f-ml")
	w.Press("3" + kb.Enter)
	w.Reads("Counted already lidocaine 0.5 % · 3 mL · 15 mg · before")
	w.written(b, "Outer ring muscle: whole", "Rectal examination: done", "Weight: 60 kg", "lidocaine 0.5 % · 3 mL · 15 mg · before")
}
