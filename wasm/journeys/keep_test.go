package journeys

import (
	"testing"

	"github.com/chromedp/chromedp"

	"fourchette/wasm/browser"
)

// halfway examines a birth as far as the fourth question and stays there.
func (w *way) halfway() string {
	w.Helper()
	b := w.examined("7")
	w.answer(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "unsure")
	w.At(b + "/examine/perineal_muscle")
	w.Reads("Muscle of the perineum")
	return b
}

var halfwayLines = []string{"Cut made at the birth: no", "Skin of the perineum: torn", "Lining of the vagina: looked, cannot tell"}

func TestReloadInTheMiddle(t *testing.T) {
	w := begin(t)
	b := w.halfway()
	w.Reload()
	w.Reads("Muscle of the perineum", "bed 7")
	w.answer(b, "perineal_muscle", "intact")
	w.At(b + "/examine/rectal_exam")
	w.Back()
	w.At(b + "/examine/perineal_muscle")
	w.Until(`document.querySelector('button[value="intact"].is-chosen')`)
	w.written(b, append(halfwayLines, "Muscle of the perineum: whole")...)
}

// The phone kills the tab to have its memory back. The browser shows the tab
// again on the same screen; opened anew from the home screen, the app has the
// birth in its list.
func TestKilledInTheMiddle(t *testing.T) {
	w := begin(t)
	b := w.halfway()
	w.Crash()
	again := &way{chromium.Open(t), w.server}
	again.Load(w.server, b+"/examine/perineal_muscle")
	again.Reads("Muscle of the perineum", "bed 7")
	again.answer(b, "perineal_muscle", "torn")
	again.Close()
	third := &way{chromium.Open(t), w.server}
	third.Load(w.server, "/")
	third.Reads("1 birth in progress", "bed 7", "being examined")
	third.Tap("a.birth")
	third.written(b, append(halfwayLines, "Muscle of the perineum: torn")...)
}

// The connection goes before the first tap after the app was installed, and
// does not come back.
func TestOffline(t *testing.T) {
	w := begin(t)
	w.server.Cut()
	b := w.halfway()
	w.Reload()
	w.answer(b, "perineal_muscle", "torn", "rectal_exam", "done", "external_sphincter", "intact", "internal_sphincter", "intact", "anorectal_mucosa", "intact")
	w.At(b + "/grade")
	w.Reads("Grade 2")
	w.TapWords("français")
	w.Reads("Degré 2", "Urgence")
	w.TapWords("English")
	w.Reads("Write this grade in the record")
	w.TapWords("Write this grade in the record")
	w.At(b)
	w.numb(b, "48.5", "nothing", "1 %", "Plain, no adrenaline")
	w.wantFigure("14.5 mL") // 3 mg/kg
	w.TapWords("Write what was injected")
	w.Type("#f-ml", "6")
	w.TapWords("Write it down")
	w.wantFigureSoon("8.5 mL")
	w.written(b, append(halfwayLines, "Grade written: Grade 2", "Weight: 48.5 kg", "Injected: lidocaine 1 % · 6 mL · 60 mg")...)
}

// The phone is full in the middle of a dose. It says so where she is, keeps
// what she typed, and loses nothing of what was written before.
func TestFullPhone(t *testing.T) {
	w := begin(t)
	b := w.newBirth("7")
	w.numb(b, "60", "nothing", "1 %", "Plain, no adrenaline")
	w.TapWords("Write what was injected")
	w.Reads("Millilitres injected")
	w.Room(1)
	w.Reload() // a file that is open has room in hand
	w.Type("#f-ml", "5")
	w.TapWords("Write it down")
	w.Reads("It was not saved: the phone is full. Free some space")
	if got := w.Value("#f-ml"); got != "5" {
		t.Errorf("the field holds %q, wanted what was typed", got)
	}
	w.Reload() // the label is not asked for again
	w.Reads("Millilitres injected")
	w.Tap("#rescue") // never behind a full disk
	w.Reads("Heavy bleeding", "Poisoned by anaesthetic")
	w.Room(0)
	w.record(b)
	w.Reload()
	w.TapWords("Numb: how much")
	w.label(b, "1 %", "Plain, no adrenaline")
	w.wantFigureSoon("18 mL")
	w.TapWords("Write what was injected")
	w.Type("#f-ml", "5")
	w.TapWords("Write it down")
	w.wantFigureSoon("13 mL")
	w.written(b, "Weight: 60 kg", "Limit for local anaesthetic", "Injected: lidocaine 1 % · 5 mL · 50 mg")
	if n := browser.Ask[int](w.Tab, `[...document.querySelectorAll('.log li')].filter((l) => l.innerText.includes('Injected')).length`); n != 1 {
		t.Errorf("the dose is written %d times, wanted once", n)
	}
}

// A closed record can be read, takes nothing more, and opens again.
func TestCloseAndOpenAgain(t *testing.T) {
	w := begin(t)
	b := w.examined("4")
	w.answer(b, "episiotomy", "yes")
	w.record(b)
	w.TapWords("Close this record")
	w.Reads("Close this record?", "Still open", "No grade is written.", "it can be opened again")
	w.TapWords("Back to the record")
	w.At(b)
	w.TapWords("Close this record")
	w.At(b + "/close")
	w.TapWords("I know. Close it all the same")
	w.At("/")
	w.Reads("0 births in progress")
	w.TapWords("1 closed record")
	w.Tap("a.birth")
	w.At(b)
	w.Reads("This record is closed. It can be read.")
	w.ReadsNot("Numb: how much")
	w.TapWords("Open again")
	w.Reads("Numb: how much")
	w.written(b, "Cut made at the birth: yes", "Record closed", "Record opened again")
	w.Tap("#home")
	w.Reads("1 birth in progress", "bed 4")
}

// Two women give birth at once. Each screen says whose it is, and nothing of
// one gets into the record of the other.
func TestTwoBirths(t *testing.T) {
	w := begin(t)
	one := w.examined("1")
	w.answer(one, "episiotomy", "no", "perineal_skin", "torn")
	w.Tap("#home")
	w.At("/")
	two := w.examined("2")
	w.Reads("bed 2")
	w.ReadsNot("bed 1")
	w.answer(two, "episiotomy", "yes", "rectal_exam", "done")
	w.Tap("#home")
	w.At("/")
	w.Reads("2 births in progress", "bed 1", "bed 2")
	w.Tap(`a.birth[href="#` + one + `"]`)
	w.At(one)
	w.Reads("bed 1")
	w.Tap(`a.tool[href$="/dose"]`) // the last tap was in the other birth
	w.At(one + "/dose")
	w.Reads("Is this the right woman?", "bed 1")
	w.TapWords("Yes, this one")
	w.At(one + "/dose/weight")
	w.record(one)
	w.numb(one, "60", "nothing", "1 %", "Plain, no adrenaline")
	w.TapWords("Write what was injected")
	w.Reads("bed 1")
	w.Type("#f-ml", "18")
	w.TapWords("Write it down")
	w.Reads("Nothing is left. Give no more.")
	w.Tap("#home")
	w.At("/")
	w.Tap(`a.birth[href="#` + two + `"]`)
	w.At(two)
	w.Reads("bed 2", "Nobody has said yet what was given.")
	w.ReadsNot("180 mg")
	w.written(two, "Cut made at the birth: yes")
	w.ReadsNot("Skin of the perineum", "Injected", "Weight")
	w.Turn("/")
	w.Tap(`a.birth[href="#` + one + `"]`)
	w.written(one, "Skin of the perineum: torn", "Injected: lidocaine 1 % · 18 mL · 180 mg")
	w.ReadsNot("Cut made at the birth: yes")
}

// Back leads through the screens as she came, and none asks anew.
func TestBackAllTheWay(t *testing.T) {
	w := begin(t)
	b := w.halfway()
	for _, path := range []string{b + "/examine/vaginal_mucosa", b + "/examine/perineal_skin", b + "/examine/episiotomy", b + "/examine", b, "/new", "/"} {
		w.Do(chromedp.NavigateBack())
		w.At(path)
	}
	w.Reads("1 birth in progress")
}
