package journeys

import (
	"testing"

	"fourchette/wasm/browser"
)

func TestNotWeighed(t *testing.T) {
	w := begin(t)
	b := w.newBirth("")
	w.numb(b, "", "nothing", "0.5 %", "Plain, no adrenaline")
	w.Reads("May be given now, at most 18 mL This is 90 mg", "lidocaine 0.5 % · plain", "Not weighed: 30 kg", "Weigh her if you can.")
	w.wantFigure("18 mL")
	biggest := browser.Ask[string](w.Tab, `[...document.querySelectorAll('#screen *')].filter((e) => e.innerText?.trim() && !e.children.length)
		.map((e) => [parseFloat(getComputedStyle(e).fontSize), e.innerText]).sort((a, b) => b[0] - a[0])[0][1]`)
	if biggest != "18" {
		t.Errorf("the biggest thing on the screen is %q, wanted the millilitres", biggest)
	}
	w.TapWords("Write what was injected")
	w.Type("#f-ml", "10")
	w.TapWords("Write it down")
	w.Reads("Given so far 50 mg")
	w.wantFigure("8 mL")
	w.written(b, "Not weighed", "Given before: nothing", "Limit for local anaesthetic", "Injected: lidocaine 0.5 % · 10 mL · 50 mg")
	w.Reads("Limit for lidocaine 0.5 %: 18 mL (90 mg)")
}

// What was injected for the cut counts in full against the limit for the
// repair.
func TestSecondDoseAfterTheCut(t *testing.T) {
	w := begin(t)
	b := w.newBirth("2")
	w.numb(b, "60", "listed", "", "")
	w.At(b + "/dose/earlier")
	w.Reads("What was given before", "Strength of the lidocaine")
	w.TapWords("1 % · 10 mg/mL")
	w.TapWords("Plain, no adrenaline")
	w.Type("#f-ml", "10")
	w.TapWords("Write it down")
	w.Reads("Counted already lidocaine 1 % · 10 mL · 100 mg · before")
	w.TapWords("That is all")
	w.label(b, "1 %", "Plain, no adrenaline")
	w.Reads("Given so far 100 mg", "Limit for this birth 180 mg = 18 mL", "This is 80 mg")
	w.wantFigure("8 mL")
	w.written(b, "Weight: 60 kg", "Given before: something", "lidocaine 1 % · 10 mL · 100 mg · before")
}

// More than the limit is written down like any dose; the page of poisoning
// opens, and leads back.
func TestOverTheLimit(t *testing.T) {
	w := begin(t)
	b := w.newBirth("2")
	w.numb(b, "60", "nothing", "1 %", "Plain, no adrenaline")
	w.wantFigure("18 mL")
	w.TapWords("Write what was injected")
	w.Type("#f-ml", "20")
	w.TapWords("Write it down")
	w.Until(`document.getElementById('screen').dataset.path.startsWith('/emergency/toxicity?over=yes')`)
	w.Reads("Poisoned by anaesthetic", "More anaesthetic was given than the limit. Give no more", "Stop injecting", "Lipid emulsion 20 %")
	w.TapWords("Record")
	w.written(b, "Injected: lidocaine 1 % · 20 mL · 200 mg")
	w.TapWords("Numb: how much")
	w.label(b, "1 %", "Plain, no adrenaline")
	w.Reads("More was given than the limit", "Give no more. Stay with her", "Given so far 200 mg")
	w.wantFigure("")
}

// Nobody knows is not nothing: no remainder is shown, and what is given now
// can be written down all the same.
func TestNobodyKnowsWhatWasGiven(t *testing.T) {
	w := begin(t)
	b := w.newBirth("")
	w.numb(b, "60", "nobody_knows", "1 %", "With adrenaline")
	w.Reads("Nobody knows what was given before", "So nobody can say how much is left.", "Limit for this birth 180 mg = 18 mL")
	w.wantFigure("")
	w.written(b, "Given before: nobody knows")
}

// A dose written wrong is put right, and what stood there can still be read.
func TestADoseIsPutRight(t *testing.T) {
	w := begin(t)
	b := w.newBirth("")
	w.numb(b, "60", "nothing", "2 %", "Plain, no adrenaline")
	w.TapWords("Write what was injected")
	w.Type("#f-ml", "8")
	w.TapWords("Write it down")
	w.Reads("Given so far 160 mg")
	w.record(b)
	w.TapWords("Written wrong?")
	w.TapWords("Correct the amount")
	w.TapWords("2 % · 20 mg/mL")
	w.TapWords("Plain, no adrenaline")
	w.Type("#f-ml", "3")
	w.TapWords("Write it down")
	w.At(b)
	w.Reads("lidocaine 2 % · 3 mL · 60 mg")
	w.written(b, "Injected: lidocaine 2 % · 8 mL · 160 mg", "Dose corrected: lidocaine 2 % · 3 mL · 60 mg")
	w.TapWords("Written wrong?")
	w.TapWords("This dose was not given")
	w.Reads("taken back")
	w.written(b, "A dose was taken back: it was not given")
}

// The sizes at hand are tapped; the drawing and the steps follow.
func TestDrawUpAndDilute(t *testing.T) {
	w := begin(t)
	w.TapWords("How much anaesthetic")
	w.Until(`document.querySelector('#f-weight_kg')`)
	w.TapWords("Not weighed")
	w.TapWords("No, nothing")
	w.TapWords("Make it weaker")
	w.Type("#f-stock", "2")
	w.Type("#f-wanted", "0,5")
	w.Type("#f-make", "20")
	w.TapWords("Work it out")
	w.Reads("Take 5 mL of 2 %", "Add 15 mL of saline or sterile water")
	w.TapWords("Back to the question")
	w.TapWords("0.5 %")
	w.TapWords("Plain, no adrenaline")
	w.wantFigureSoon("18 mL")
	w.TapWords("Draw it up")
	w.Reads("At most 18 mL", "Syringe at hand")
	w.ReadsNot("How to draw it up")
	w.Tap(".sizes a[href*='syringe=10']")
	w.Until(`document.querySelector(".sizes a.is-chosen[href*='syringe=10']")`)
	w.Tap(".sizes a[href*='ampoule=5&']")
	w.Reads("How to draw it up", "Open 4 ampoules of 5 mL", "Fill the syringe 1 time to 10 mL", "Fill it once to 8 mL", "Together 18 mL")
	if n := browser.Ask[int](w.Tab, `document.querySelectorAll('svg.syringe').length`); n != 1 {
		t.Errorf("%d syringes are drawn, wanted 1", n)
	}
}
