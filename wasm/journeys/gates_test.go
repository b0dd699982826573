package journeys

import (
	"strings"
	"testing"

	"fourchette/wasm/browser"
)

// Rescue from the middle of every gate, on one way through all of them: one
// tap, nothing asked, and Back to the same place with what was typed.
func TestRescueFromTheMiddleOfEveryGate(t *testing.T) {
	w := begin(t)
	b := w.newBirth("6")
	w.say(b, "arrived_from", "here", "uterus_firm", "yes", "placenta_out", "yes", "placenta_complete", "yes",
		"bleeding_looked", "settled", "loss_ml", "not_measured", "pulse", "88", "systolic", "118", "instrumental", "none", "genital_cutting", "no")
	w.rescued(b + "/ask/consent_exam")
	w.say(b, "consent_exam", "yes", "position", "yes", "light", "yes", "pain_relief", "local")
	w.next(b, "/examine/episiotomy")
	w.answer(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "torn")
	w.rescued(b + "/examine/rectal_exam")
	w.answer(b, "rectal_exam", "done", "external_sphincter", "intact", "internal_sphincter", "intact", "anorectal_mucosa", "intact")
	w.noteGrade(b)
	w.say(b, "decision", "repair_here")
	w.rescued(b + "/ask/consent_repair")
	w.say(b, "consent_repair", "yes")
	w.next(b, "/layout")
	w.TapWords("All is laid out")
	w.At(b + "/count/in")
	w.rescued(b+"/count/in", "#f-swab", "13", "#f-needle", "2", "#f-tampon", "1")
	w.send("Write the count")
	w.next(b, "/dose/weight")
	w.rescued(b+"/dose/weight", "#f-weight_kg", "60", "#f-height_cm", "16")
	w.Type("#f-height_cm", "")
	w.TapWords("Use this weight")
	w.At(b + "/dose/before")
	w.rescued(b + "/dose/before")
	w.Tap(`button[name="before"][value="nothing"]`)
	w.At(b + "/dose/strength")
	w.rescued(b + "/dose/strength")
	w.label(b, "1 %", "Plain, no adrenaline")
	w.TapWords("Write what was injected")
	w.left(b + "/dose/limit?adrenaline=no&strength=1")
	w.rescued(w.Path(), "#f-ml", "10")
	w.TapWords("Write it down")
	w.wantFigureSoon("8 mL")
	w.record(b)
	w.say(b, "numb_felt", "no", "looked_again", "same")
	w.stitched(b, "vaginal_mucosa", "perineal_muscle", "perineal_skin")
	w.next(b, "/count/out")
	w.rescued(b+"/count/out", "#f-swab", "13", "#f-needle", "2")
	w.Type("#f-tampon", "0")
	w.send("Write the count")
	w.Reads("It does not come out even", "Missing: 1 tampon")
	w.rescued(b + "/count")
	w.Tap(`.more a[href$="/ask/tampon"]`)
	w.rescued(b + "/ask/tampon")
	w.say(b, "tampon", "left")
	w.rescued(b+"/ask/tampon_number", "#f-number", "1")
	w.send("Write it down")
	w.say(b, "tampon_at", "now")
	w.rescued(b + "/ask/tampon_why")
	w.say(b, "tampon_why", "still_oozes")
	w.rescued(b+"/ask/tampon_receiver", "#f-text", "the night shi")
	w.send("Write it down")
	w.next(b, "/ask/rectal_after")
	w.rescued(b + "/ask/rectal_after")
	w.say(b, "rectal_after", "done")
	w.rescued(b + "/ask/stitch_felt")
	w.say(b, "stitch_felt", "no")
	w.rescued(b + "/ask/final_firm")
	w.say(b, "final_firm", "yes")
	w.rescued(b + "/ask/final_bleeding")
	w.say(b, "final_bleeding", "settled")
	w.written(b, "Counted: Counted in · Swabs 13 · Needles 2 · Tampons 1", "Weight: 60 kg", "Injected: lidocaine 1 % · 10 mL · 100 mg",
		"Counted: Counted out · Swabs 13 · Needles 2 · Tampons 0", "How many tampons were left?: 1", "Who takes it out?: the night shi",
		"At the end: how does she bleed?: Little, and less and less")
	w.wroteOnce("Layer closed: ", 3)
}

// rescued types into fields, a field and a text in turn, and leaves for the
// emergency pages and what is behind them. Nothing is asked there; Back leads
// to the same place, and what was typed and not sent still stands there.
func (w *way) rescued(path string, typed ...string) {
	w.Helper()
	w.At(path)
	for i := 0; i < len(typed); i += 2 {
		w.Type(typed[i], typed[i+1])
	}
	text := w.standing()
	w.Tap("#rescue")
	w.At("/emergency?birth=" + strings.Split(path, "/")[2])
	w.Reads("Heavy bleeding", "Poisoned by anaesthetic", "Fits or collapse", "Fever or sepsis")
	if n := browser.Ask[int](w.Tab, `document.querySelectorAll('main :is(input, form, button, select, textarea)').length`); n != 0 {
		w.Errorf("from %s: the emergency page asks for something", path)
	}
	w.Back()
	w.At(path)
	if got := w.standing(); got != text {
		w.Errorf("Back to %s shows\n%s\nwas\n%s", path, got, text)
	}
	for i := 0; i < len(typed); i += 2 {
		if got := w.Value(typed[i]); got != typed[i+1] {
			w.Errorf("after the rescue from %s the field %s holds %q, wanted %q as it was typed", path, typed[i], got, typed[i+1])
		}
	}
}
