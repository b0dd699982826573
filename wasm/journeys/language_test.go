package journeys

import (
	"testing"

	"fourchette/wasm/browser"
)

// The language is changed in the middle of a question: the place stays, and so
// does what was typed and not sent yet.
func TestLanguageMidway(t *testing.T) {
	w := begin(t)
	b := w.newBirth("5")
	w.TapWords("Numb: how much")
	w.At(b + "/dose/weight")
	w.Type("#f-weight_kg", "62.5")
	w.Type("#f-height_cm", "158")
	for _, l := range []struct{ tag, dir, title string }{
		{"fr", "ltr", "Son poids"}, {"ar-XB", "rtl", ""}, {"en", "ltr", "Her weight"},
	} {
		w.Tap(`.languages button[value="` + l.tag + `"]`)
		w.Until(`document.documentElement.lang === '` + l.tag + `'`)
		w.At(b + "/dose/weight")
		if l.title != "" {
			w.Reads(l.title)
		}
		if dir := browser.Ask[string](w.Tab, `getComputedStyle(document.getElementById('screen')).direction`); dir != l.dir {
			t.Errorf("%s runs %s, wanted %s", l.tag, dir, l.dir)
		}
		if kg, cm := w.Value("#f-weight_kg"), w.Value("#f-height_cm"); kg != "62.5" || cm != "158" {
			t.Errorf("after the change to %s the fields hold %q and %q", l.tag, kg, cm)
		}
	}
	w.TapWords("Use this weight")
	w.At(b + "/dose/before")
	w.Tap(`.languages button[value="fr"]`)
	w.Reads("Donné avant")
	w.Reload()
	w.Reads("Donné avant")
	w.Tap(`button[value="nothing"]`)
	w.left(b + "/dose/before")
	w.Tap(`.languages button[value="en"]`)
	w.Reads("Read the label of the lidocaine")
	w.written(b, "Weight: 62.5 kg", "Given before: nothing")
}

// Light is chosen once and kept.
func TestLightIsKept(t *testing.T) {
	w := begin(t)
	w.Night(true)
	paper := func() string {
		return browser.Ask[string](w.Tab, `getComputedStyle(document.documentElement).backgroundColor`)
	}
	night := paper()
	w.TapWords("Settings")
	w.At("/settings")
	w.Tap(`button[value="light"]`)
	w.Until(`document.documentElement.dataset.theme === 'light'`)
	day := paper()
	if day == night {
		t.Errorf("light and dark have one paper: %s", day)
	}
	w.Reload()
	if got := paper(); got != day {
		t.Errorf("after a reload the paper is %s, wanted %s", got, day)
	}
	w.Tap(`button[value="auto"]`)
	w.Until(`document.documentElement.dataset.theme === ''`)
	if got := paper(); got != night {
		t.Errorf("as the phone is set, at night, the paper is %s, wanted %s", got, night)
	}
}
