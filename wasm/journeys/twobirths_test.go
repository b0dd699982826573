package journeys

import (
	"testing"

	"fourchette/wasm/browser"
)

// Two births at once, hands going from one to the other. Before grade, dose
// and count a switch is asked about, number and bed large, and so it is before
// anything is written; looking is free. What is said of one is never said of the other.
func TestTwoBirthsInterleaved(t *testing.T) {
	w := begin(t)
	one := w.newBirth("1")
	numberOne := w.number()
	w.say(one, "arrived_from", "here", "uterus_firm", "yes")
	w.home()
	two := w.newBirth("2")
	numberTwo := w.number()
	w.say(two, "arrived_from", "elsewhere", "uterus_firm", "no")

	w.to(one)
	w.next(one, "/ask/placenta_out") // looking is free, writing is not
	w.reply("yes")
	w.rightWoman(one+"/ask/placenta_out", numberOne, "bed 1")
	w.TapWords("Yes, this one")
	w.Until(`document.querySelector('button[name="value"][value="yes"]')`)
	w.say(one, "placenta_out", "yes")
	w.At(one + "/ask/placenta_complete")
	w.to(two)
	w.Tap(`a.tool[href$="/grade"]`)
	w.rightWoman(two+"/grade", numberTwo, "bed 2")
	w.TapWords("Yes, this one")
	w.Reads("Grade not known yet")
	w.ReadsNot("Is this the right woman?")

	w.to(one)
	w.Tap(`a.tool[href$="/dose"]`)
	w.rightWoman(one+"/dose", numberOne, "bed 1")
	w.TapWords("No, back to the births")
	w.At("/")
	w.Tap(`a.birth[href="#` + one + `"]`)
	w.At(one)
	w.Tap(`a.tool[href$="/dose"]`)
	w.rightWoman(one+"/dose", numberOne, "bed 1") // no is no yes to the next time
	w.TapWords("Yes, this one")
	w.At(one + "/dose/weight")
	w.Type("#f-weight_kg", "60")
	w.TapWords("Use this weight")
	w.At(one + "/dose/before")

	w.to(two)
	w.stage(two, "prepare")
	w.Tap(`.more a[href$="/count"]`)
	w.rightWoman(two+"/count", numberTwo, "bed 2")
	w.TapWords("Yes, this one")
	w.Reads("Nothing is counted in yet.")
	w.Tap("#next")
	w.At(two + "/count/in")
	w.count("swab", "9", "needle", "1")

	w.to(one)
	w.Tap(`a.tool[href$="/examine"]`)
	w.At(one + "/examine")
	w.ReadsNot("Is this the right woman?")
	w.record(one)
	w.Reload() // then nobody knows where the last tap was
	w.Tap(`a.tool[href$="/dose"]`)
	w.rightWoman(one+"/dose", numberOne, "bed 1")
	w.TapWords("Yes, this one")
	w.At(one + "/dose/before")

	w.written(one, "Where was the baby born?: Here", "Is the uterus firm?: Yes", "Is the placenta out?: Yes", "Weight: 60 kg")
	w.wroteOnce("Is the placenta out?", 1)
	w.ReadsNot("Elsewhere", "Counted", numberTwo)
	w.to(two)
	w.written(two, "Where was the baby born?: Elsewhere", "Is the uterus firm?: No", "Counted: Counted in")
	w.wroteOnce("Is the placenta out?", 0)
	w.ReadsNot("Weight", numberOne)
}

func (w *way) home() {
	w.Helper()
	w.Tap("#home")
	w.At("/")
}

// to goes to a birth by the list of births, and wants to read everywhere whose
// it is.
func (w *way) to(b string) {
	w.Helper()
	w.home()
	w.Reads("2 births in progress")
	w.Tap(`a.birth[href="#` + b + `"]`)
	w.At(b)
}

// rightWoman wants the question whose she is, her number larger than all else
// and her bed larger than the text, and nothing yet of what was asked for.
func (w *way) rightWoman(path, number, bed string) {
	w.Helper()
	w.At(path)
	w.Reads("Is this the right woman?", number, bed, "the last tap was not in this one")
	type size struct {
		Text string
		Px   float64
	}
	sizes := browser.Ask[[]size](w.Tab, `[...document.querySelectorAll('main *')].filter((e) => e.innerText?.trim() && !e.children.length)
		.map((e) => ({Text: e.innerText.trim(), Px: parseFloat(getComputedStyle(e).fontSize)})).sort((a, b) => b.Px - a.Px)`)
	if sizes[0].Text != number || sizes[0].Px < 36 {
		w.Errorf("the largest on the screen is %v, wanted the number %s", sizes[0], number)
	}
	for _, s := range sizes {
		if s.Text == bed && s.Px <= 18 {
			w.Errorf("the bed is as small as the text: %v", s)
		}
	}
	if n := browser.Ask[int](w.Tab, `document.querySelectorAll('main input:not([type=hidden]), main .grade-badge').length`); n != 0 {
		w.Errorf("%s shows something before it is asked whose it is\n%s", path, w.Looks())
	}
}
