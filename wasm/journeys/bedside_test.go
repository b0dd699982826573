package journeys

import (
	"fmt"
	"strings"

	"fourchette/wasm/browser"
)

// How a birth is walked at the bedside, from the baby to the day on which the
// mother comes back. What the record calls next is tapped; a way that needs an
// address is a way that nobody would find.

// next taps what the record says comes next, and wants it to be that page.
func (w *way) next(b, tail string) {
	w.Helper()
	w.record(b)
	w.Tap("#next")
	w.At(b + tail)
}

// say answers questions, each a question and its answer in turn, and follows
// what comes by itself. An answer is a word of a button, or what is typed.
// Before anything is decided the record shows what this grade needs.
func (w *way) say(b string, pairs ...string) {
	w.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i] == "decision" && w.Path() != b+"/ask/decision" {
			w.decides(b)
		}
		if w.Path() != b+"/ask/"+pairs[i] {
			w.next(b, "/ask/"+pairs[i])
		}
		w.reply(pairs[i+1])
		w.goOn(b + "/ask/" + pairs[i])
	}
}

// decides goes to the decision by what this grade needs.
func (w *way) decides(b string) {
	w.Helper()
	if w.Path() != b+"/needs" {
		w.next(b, "/needs")
	}
	w.Tap("#next")
	w.At(b + "/ask/decision")
}

// ask answers questions that the list of their stage leads to.
func (w *way) ask(b, stage string, pairs ...string) {
	w.Helper()
	for i := 0; i < len(pairs); i += 2 {
		w.stage(b, stage)
		if pairs[i] == "decision" {
			w.Tap(`.findings a[href$="/needs"]`)
			w.At(b + "/needs")
			w.decides(b)
			w.reply(pairs[i+1])
			w.goOn(b + "/ask/decision")
			continue
		}
		w.Tap(fmt.Sprintf(`.findings a[href$="/ask/%s"], .more a[href$="/ask/%[1]s"]`, pairs[i]))
		w.At(b + "/ask/" + pairs[i])
		w.reply(pairs[i+1])
		w.goOn(b + "/ask/" + pairs[i])
	}
}

// stage goes to a stage of the way by the record's list of them.
func (w *way) stage(b, stage string) {
	w.Helper()
	w.record(b)
	w.Tap(fmt.Sprintf(`.way a[href$="/stage/%s"]`, stage))
	w.At(b + "/stage/" + stage)
}

// reply gives the answer to the question that is shown and waits for what the
// screen says to it.
func (w *way) reply(answer string) {
	w.Helper()
	button := fmt.Sprintf(`button[name="value"][value=%q]`, answer)
	w.mark()
	if browser.Ask[bool](w.Tab, fmt.Sprintf(`document.querySelector(%q) !== null`, button)) {
		w.Tap(button)
	} else {
		w.Type("#f-number, #f-text, #f-at", answer)
		w.TapWords("Write it down")
	}
	w.marked()
	if strings.HasSuffix(w.Path(), "/numb_felt") && answer == "no" { // nobody waits two minutes here
		w.Reads("Too early")
		w.mark()
		w.TapWords("All the same, she feels nothing")
		w.marked()
	}
}

// goOn leaves a question that says something to its answer.
func (w *way) goOn(path string) {
	w.Helper()
	if w.Path() == path {
		w.TapWords("Go on")
		w.left(path)
	}
}

// mark and marked tell that the screen has been put up anew, the same or
// another.
func (w *way) mark() {
	w.Helper()
	browser.Ask[string](w.Tab, `document.querySelector('h1').id = 'before'`)
}

func (w *way) marked() {
	w.Helper()
	w.Until(`document.querySelector('h1') && !document.getElementById('before')`)
}

// safe answers what is asked before anything else: all is well with her.
func (w *way) safe(b, painRelief string) {
	w.Helper()
	w.say(b, "arrived_from", "here", "uterus_firm", "yes", "placenta_out", "yes", "placenta_complete", "yes",
		"bleeding_looked", "settled", "loss_ml", "not_measured", "pulse", "88", "systolic", "118", "instrumental", "none",
		"genital_cutting", "no", "consent_exam", "yes", "position", "yes", "light", "yes", "pain_relief", painRelief)
	w.At(b)
}

// found examines, enters a tear of skin, vagina and muscle with what lies
// behind them, and writes the grade down.
func (w *way) found(b, external, internal, mucosa string) {
	w.Helper()
	w.next(b, "/examine/episiotomy")
	w.answer(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "torn",
		"rectal_exam", "done", "external_sphincter", external, "internal_sphincter", internal, "anorectal_mucosa", mucosa)
	w.noteGrade(b)
}

// noteGrade writes down the grade that is shown.
func (w *way) noteGrade(b string) {
	w.Helper()
	w.At(b + "/grade")
	w.TapWords("Write this grade in the record")
	w.At(b)
}

// count enters one count: a thing and its number in turn.
func (w *way) count(things ...string) {
	w.Helper()
	for i := 0; i < len(things); i += 2 {
		w.Type("#f-"+things[i], things[i+1])
	}
	w.send("Write the count")
}

// laidOut lays out, and counts what lies there.
func (w *way) laidOut(b string) {
	w.Helper()
	w.next(b, "/layout")
	w.TapWords("All is laid out")
	w.At(b + "/count/in")
	w.count("swab", "13", "needle", "2", "tampon", "0")
	w.At(b)
}

// numbed works out the limit for 60 kg and writes down an injection of 10 mL of
// lidocaine 1 %.
func (w *way) numbed(b string) {
	w.Helper()
	w.next(b, "/dose/weight")
	w.Type("#f-weight_kg", "60")
	w.TapWords("Use this weight")
	w.At(b + "/dose/before")
	w.Tap(`button[name="before"][value="nothing"]`)
	w.label(b, "1 %", "Plain, no adrenaline")
	w.wantFigure("18 mL") // 3 mg/kg
	w.TapWords("Write what was injected")
	w.Type("#f-ml", "10")
	w.TapWords("Write it down")
	w.wantFigureSoon("8 mL")
}

// stitched closes layers, each coming by itself after the one before.
func (w *way) stitched(b string, layers ...string) {
	w.Helper()
	w.next(b, "/repair")
	w.Tap(fmt.Sprintf(`.layers a[href$="/repair/%s"]`, layers[0]))
	for _, layer := range layers {
		w.At(b + "/repair/" + layer)
		w.TapWords("This layer is closed")
		w.left(b + "/repair/" + layer)
	}
}

// repairable is a birth with a tear of the second degree, numb and looked at
// again: the next thing is the first stitch.
func (w *way) repairable(bed string) string {
	w.Helper()
	b := w.newBirth(bed)
	w.safe(b, "local")
	w.found(b, "intact", "intact", "intact")
	w.say(b, "decision", "repair_here", "consent_repair", "yes")
	w.laidOut(b)
	w.numbed(b)
	w.record(b)
	w.say(b, "numb_felt", "no", "looked_again", "same")
	w.At(b)
	return b
}

// toldAll goes through her medicines, which are shown, and her advice with her.
func (w *way) toldAll(b string) {
	w.Helper()
	w.At(b + "/after")
	w.TapWords("Gone through with her")
	w.At(b + "/advice")
	w.TapWords("She was told")
	w.left(b + "/advice")
}

// number is a birth's own number, as the bar shows it.
func (w *way) number() string {
	w.Helper()
	return browser.Ask[string](w.Tab, `document.querySelector('.bar-birth .num').innerText`)
}

// handover opens the hand-over page, from there the referral note and the line
// for the register are opened.
func (w *way) handover(b string) {
	w.Helper()
	w.record(b)
	w.Tap(`a.tool[href$="/handover"]`)
	w.At(b + "/handover")
}

func (w *way) refer(b string) {
	w.Helper()
	w.handover(b)
	w.Tap(`.more a[href$="/refer"]`)
	w.At(b + "/refer")
}

func (w *way) register(b string) {
	w.Helper()
	w.handover(b)
	w.Tap(`.more a[href$="/register"]`)
	w.At(b + "/register")
}

// wroteOnce wants so many lines of a kind in the log that is open: what was
// tapped once is written once.
func (w *way) wroteOnce(kind string, want int) {
	w.Helper()
	lines := browser.Ask[[]string](w.Tab, `[...document.querySelectorAll('.log li')].map((l) => l.innerText.replace(/\s+/g, ' ')).filter((l) => l.includes('`+kind+`'))`)
	if len(lines) != want {
		w.Errorf("the record has %d lines %q, wanted %d: %q", len(lines), kind, want, lines)
	}
}
