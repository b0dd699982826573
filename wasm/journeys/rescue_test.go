package journeys

import (
	"regexp"
	"strings"
	"testing"

	"fourchette/wasm/browser"
)

// everyScreen are the addresses of every kind of screen. B stands for the path
// of a birth that prepared has made, C for a closed one.
var everyScreen = []string{
	"/", "/new", "/settings", "/about", "/nowhere", "/b/zzzzzzzz-9",
	"B", "B/close", "C",
	"B/examine", "B/examine/episiotomy", "B/examine/perineal_skin", "B/examine/vaginal_mucosa", "B/examine/perineal_muscle",
	"B/examine/rectal_exam", "B/examine/external_sphincter", "B/examine/internal_sphincter", "B/examine/anorectal_mucosa",
	"B/grade",
	"/grade/examine", "/grade/examine/external_sphincter",
	"/grade", // nothing known
	"/grade?" + torn + "&external_sphincter=half_or_more&internal_sphincter=intact&anorectal_mucosa=unsure",
	"/grade?" + torn + "&external_sphincter=intact&internal_sphincter=intact&anorectal_mucosa=torn", // a buttonhole, to be looked at again
	"/grade?" + torn + "&external_sphincter=through&internal_sphincter=torn&anorectal_mucosa=torn",
	"B/dose/weight", "B/dose/before", "B/dose/strength", "B/dose/adrenaline?strength=1", "B/dose/limit?adrenaline=no&strength=1",
	"B/dose/given?adrenaline=no&strength=1", "B/dose/earlier", "B/dose/draw?adrenaline=no&strength=1&syringe=10&ampoule=5", "B/dose/dilute?stock=2&wanted=0.5&make=20",
	"/dose/weight", "/dose/weight?asked=weight&weight_kg=6o", "/dose/weight?asked=weight&weight_kg=125",
	"/dose/limit?adrenaline=yes&before=nothing&not_weighed=yes&strength=0.5",
	"/dose/limit?adrenaline=no&before=nobody_knows&strength=1&weight_kg=60",
	"/dose/limit?adrenaline=no&before=listed&given=lidocaine%3A20%3A1%3Ano&strength=1&weight_kg=60", // over
	"/emergency", "/emergency/bleeding", "/emergency/bleeding?lost_ml=600&pulse=115&systolic=90", "/emergency/bleeding?pulse=fast&wet_g=100&dry_g=200",
	"/emergency/bleeding?lost_ml=100&pulse=80&systolic=120&diastolic=70",
	"/emergency/toxicity?over=yes", "/emergency/fits", "/emergency/fever",
	"/differ", "/reminder", "/reminder?deg=60", "B/dose/inject",
	"B/stage/safe", "B/stage/decide", "B/stage/check", "B/ask/uterus_firm", "B/ask/pulse", "B/ask/decision", "B/ask/tampon", "B/ask/urine_passed", "B/ask/tampon_receiver",
	"B/needs", "B/layout", "B/count", "B/count/in", "B/count/out", "B/numb", "B/repair", "B/repair/vaginal_mucosa", "B/repair/external_sphincter",
	"B/after", "B/advice", "B/visits", "B/handover", "B/refer", "B/register",
}

const torn = "episiotomy=no&perineal_muscle=torn&perineal_skin=torn&rectal_exam=done&vaginal_mucosa=torn"

// prepared makes a birth in progress with something in every part of its
// record, and a closed one, and fills them into everyScreen.
func (w *way) prepared() []string {
	w.Helper()
	closed := w.newBirth("")
	w.TapWords("Close this record")
	w.At(closed + "/close")
	w.TapWords("I know. Close it all the same")
	w.At("/")
	b := w.examined("12")
	w.answer(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "intact", "perineal_muscle", "unsure", "rectal_exam", "done", "external_sphincter", "half_or_more")
	w.TapWords("Whole drawing")
	w.At(b + "/examine")
	w.Turn(b + "/grade")
	w.TapWords("Write this grade in the record")
	w.At(b)
	w.numb(b, "72", "nothing", "1 %", "Plain, no adrenaline")
	w.TapWords("Write what was injected")
	w.Type("#f-ml", "4")
	w.TapWords("Write it down")
	w.wantFigureSoon("16 mL") // the source's 200 mg bind at 70 kg, and 40 mg are given
	var all []string
	for _, path := range everyScreen {
		path = strings.Replace(path, "B", b, 1)
		all = append(all, strings.Replace(path, "C", closed, 1))
	}
	return all
}

// From every screen the emergency pages are one tap away. They ask for
// nothing, and Back returns to the same screen.
func TestRescueFromEveryScreen(t *testing.T) {
	w := begin(t)
	for _, path := range w.prepared() {
		w.goTo(path)
		text := w.standing()
		if path == "/emergency" {
			continue // there already
		}
		w.Tap("#rescue")
		w.Until(`/^\/emergency(\?birth=[^&]*)?$/.test(document.getElementById('screen').dataset.path)`)
		w.Reads("Heavy bleeding", "Poisoned by anaesthetic", "Fits or collapse", "Fever or sepsis")
		if n := browser.Ask[int](w.Tab, `document.querySelectorAll('main input, main form, main button').length`); n != 0 {
			t.Errorf("from %s: the emergency page asks for something", path)
		}
		if strings.HasPrefix(path, "/b/") && !strings.Contains(path, "zzzz") && !strings.Contains(w.Text(), strings.ToUpper(path[3:6])) {
			t.Errorf("from %s: the emergency page has forgotten whose it is", path)
		}
		w.Back()
		w.At(path)
		if got := w.standing(); got != text {
			t.Errorf("Back to %s shows another screen:\n%s\nwas\n%s", path, got, text)
		}
	}
}

// standing is what can be read, but for the clocks, which run on.
func (w *way) standing() string {
	w.Helper()
	return clocks.ReplaceAllString(w.Text(), "0:00")
}

var clocks = regexp.MustCompile(`\d+:\d\d`)

// goTo shows the screen of a path, which it must not lead away from: then the
// list of screens would hold one that is none.
func (w *way) goTo(path string) {
	w.Helper()
	browser.Ask[string](w.Tab, `location.hash = `+"`"+path+"`")
	w.At(path)
}

// Each emergency page is two taps from a birth, and leads back to it.
func TestEmergencyPages(t *testing.T) {
	w := begin(t)
	b := w.newBirth("3")
	for _, e := range []struct{ words, says string }{
		{"Heavy bleeding", "How bad is it?"}, {"Poisoned by anaesthetic", "Stop injecting"}, {"Fits or collapse", ""}, {"Fever or sepsis", ""},
	} {
		w.Tap("#rescue")
		w.Until(`document.getElementById('screen').dataset.path.startsWith('/emergency?')`)
		w.TapWords(e.words)
		w.Until(`document.querySelector('h1').innerText === '` + e.words + `'`)
		w.Reads("bed 3", e.says)
		w.TapWords("Record")
		w.At(b)
	}
}

// The alarm is worked out from what was measured, and never says that all is
// well without enough.
func TestBleedingAlarm(t *testing.T) {
	w := begin(t)
	w.TapWords("Emergency")
	w.TapWords("Heavy bleeding")
	w.Type("#f-lost_ml", "350")
	w.TapWords("Show the alarm")
	w.Reads("Watch closely", "Lost 300 mL or more.", "Still to be taken:")
	w.Type("#f-pulse", "120")
	w.Type("#f-systolic", "80")
	w.TapWords("Show the alarm")
	w.Reads("Pulse divided by upper pressure: 1.50", "Danger to life")
	w.Back()
	w.Reads("Watch closely")
}
