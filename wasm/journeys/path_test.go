package journeys

import (
	"regexp"
	"testing"

	"fourchette/wasm/browser"
)

// A tear of the second degree: found, numbed, stitched, counted and followed
// up, by what the record calls next. The connection is gone before the first
// tap.
func TestSecondDegreeRepaired(t *testing.T) {
	w := begin(t)
	w.server.Cut()
	b := w.newBirth("3")
	w.Reads("Mother safe first now", "Where was the baby born?")
	w.safe(b, "local")
	w.Reads("Mother safe first done", "Examine now")
	w.found(b, "intact", "intact", "intact")
	w.Reads("Grade 2 ·", "Decide now")
	w.say(b, "decision", "repair_here", "consent_repair", "yes")
	w.laidOut(b)
	w.numbed(b)
	w.record(b)
	w.Reads("Wait before the test, 2 minutes still 1:5", "Pinch: does she feel it?")
	w.say(b, "numb_felt", "no", "looked_again", "same")
	w.stitched(b, "vaginal_mucosa", "perineal_muscle", "perineal_skin")
	w.At(b)
	w.Reads("The count is open.", "Check at the end now")
	w.countedOut(b)
	w.say(b, "tampon", "none", "rectal_after", "done", "stitch_felt", "no", "final_firm", "yes", "final_bleeding", "settled")
	w.At(b)
	w.Reads("Check at the end done", "Afterwards now")
	w.ReadsNot("The count is open.")
	w.goneHome(b)
	w.written(b, "Record opened", "Is the uterus firm?: Yes", "Rectal examination: done", "Grade written: Grade 2",
		"What is decided?: Repair here", "May she be stitched?: Yes", "Counted: Counted in · Swabs 13 · Needles 2 · Tampons 0",
		"Weight: 60 kg", "Limit for local anaesthetic: 180 mg", "Injected: lidocaine 1 % · 10 mL · 100 mg",
		"Pinch: does she feel it?: No", "Once numb: is it as before?: The same",
		"Layer closed: Lining of the vagina: yes", "Layer closed: Muscle of the perineum: yes", "Layer closed: Skin of the perineum: yes",
		"Counted: Counted out · Swabs 13 · Needles 2 · Tampons 0", "Tampon: None was put in", "Rectal examination after the repair: Done",
		"At the end: is the uterus firm?: Yes", "Allergy to a medicine?: No allergy", "When did she first pass urine?", "Day to come back: Day 3")
	w.wroteOnce("Layer closed: ", 3)
}

// countedOut counts what comes out before it is told how many went in.
func (w *way) countedOut(b string) {
	w.Helper()
	w.next(b, "/count/out")
	told := browser.Ask[string](w.Tab, `document.querySelector('main').innerText + [...document.querySelectorAll('main input')].map((i) => i.value + i.placeholder).join(' ')`)
	if regexp.MustCompile(`\d`).MatchString(told) {
		w.Errorf("a number stands on the screen before it is counted: %s", told)
	}
	w.TapWords("The count")
	w.At(b + "/count")
	w.Reads("Count what comes out first. Then it is compared.")
	w.ReadsNot("13")
	w.TapWords("Counted out")
	w.At(b + "/count/out")
	w.count("swab", "13", "needle", "2", "tampon", "0")
	w.At(b + "/count")
	w.Reads("It is all there", "Swabs 13 13", "Needles 2 2")
	w.TapWords("Go on")
	w.left(b + "/count")
}

// goneHome answers what is asked afterwards, and reads what she takes home.
func (w *way) goneHome(b string) {
	w.Helper()
	w.say(b, "allergy", "none", "breastfeeding", "yes")
	w.Reads("Medicines and watching", "Paracetamol", "500 mg to 1000 mg each time, every 4 to 6 hours", "At most 4 times in 24 hours. Never more than 4000 mg a day")
	w.toldAll(b)
	w.At(b + "/ask/urine_passed")
	w.record(b)
	w.Reads("First urine, within 6 h")
	w.say(b, "urine_passed", "now")
	w.record(b)
	w.ReadsNot("First urine, within 6 h")
	day := w.agreed(b, "day_3")
	w.TapWords("For the mother")
	w.At(b + "/advice")
	w.Reads("Pass urine within 6 h of the birth.", "Come at once, day or night", "Day 3: "+day)
	w.handover(b)
	w.Reads(w.number()+" · bed 3", "Tear Grade 2", "lidocaine 1 % · 10 mL · 100 mg", "Lining of the vagina: torn", "Pulse 88 a minute", "all done")
	w.refer(b)
	w.prints("en-note-no-referral", 1, "This is no referral. Decided: Repair here", "Tear Grade 2")
	w.handover(b)
	w.register(b)
	w.Reads("Copy this line into the paper register.", w.number()+" | ", "| Grade 2 | Decided: Repair here |", "| Local anaesthetic: lidocaine 1 % · 10 mL · 100 mg")
}

// agreed agrees on the first day that is proposed for a visit, once somebody
// has looked at today's date.
func (w *way) agreed(b, visit string) (day string) {
	w.Helper()
	w.next(b, "/visits")
	w.Reads("Look at today’s date on paper or another phone. Is it the same?")
	w.ReadsNot("agree on this day")
	w.TapWords("Today’s date is right")
	w.Until(`document.querySelector('#date-` + visit + `')`)
	section := `.visit:has(#date-` + visit + `)`
	day = browser.Ask[string](w.Tab, `document.querySelector('`+section+` time').innerText`)
	w.Fill("#date-"+visit, day)
	w.Tap(section + ` button[value="yes"]`)
	w.Reads("Agreed: " + day)
	return day
}

// The cut tore on into the ring muscle. What was injected for it counts, a
// tampon goes with her, and the note says so first.
func TestCutThatToreOnWithATamponLeft(t *testing.T) {
	w := begin(t)
	b := w.newBirth("5")
	w.safe(b, "local")
	w.numb(b, "60", "listed", "", "")
	w.At(b + "/dose/earlier")
	w.TapWords("1 % · 10 mg/mL")
	w.TapWords("Plain, no adrenaline")
	w.Type("#f-ml", "8")
	w.TapWords("Write it down")
	w.Reads("Counted already lidocaine 1 % · 8 mL · 80 mg · before")
	w.record(b)
	w.next(b, "/examine/episiotomy")
	w.answer(b, "episiotomy", "yes", "rectal_exam", "done", "external_sphincter", "half_or_more", "internal_sphincter", "intact", "anorectal_mucosa", "intact")
	w.At(b + "/grade")
	w.Reads("Grade 3b settled", "Plan for: Grade 3b", "Refer.")
	w.noteGrade(b)
	w.say(b, "trained_operator_here", "no", "decision", "refer", "allergy", "none", "transport", "found", "told_receiver", "yes")
	w.say(b, "tampon", "left")
	w.Reads("How many tampons were left?", "A tampon is inside.")
	w.say(b, "tampon_number", "2", "tampon_at", "now", "tampon_why", "still_oozes", "tampon_receiver", "theatre sister on nights", "final_firm", "yes", "final_bleeding", "settled")
	w.record(b)
	w.Reads("A tampon is inside.", "Tampon inside for 0:0", "Check at the end done")
	w.ReadsNot("Afterwards") // that is the receiver's
	for _, paper := range []func(string){w.refer, w.handover} {
		paper(b)
		w.Reads(w.number()+" · bed 5", "Tear Grade 3b", "Tampon Left inside on purpose", "Tampons inside 2", "To be taken out by theatre sister on nights",
			"lidocaine 1 % · 8 mL · 80 mg · before", "Cut at the birth: yes", "Outer ring muscle: half or more torn")
		if got := browser.Ask[string](w.Tab, `document.querySelector('.is-left').innerText.replace(/\s+/g, ' ')`); got != "Tampon Left inside on purpose" {
			t.Errorf("what stands out on the paper is %q", got)
		}
	}
	w.written(b, "Cut made at the birth: yes", "Injected: lidocaine 1 % · 8 mL · 80 mg · before", "Grade written: Grade 3b",
		"Tampon: Left inside on purpose", "How many tampons were left?: 2", "When did it go in?: 20", "Who takes it out?: theatre sister on nights")
}

// Once she is numb more is seen: the grade changes, and with it who may stitch,
// what is laid out and the note.
func TestGradeChangesOnceNumb(t *testing.T) {
	w := begin(t)
	b := w.newBirth("8")
	w.safe(b, "local")
	w.found(b, "intact", "intact", "intact")
	w.say(b, "decision", "repair_here", "consent_repair", "yes")
	w.laidOut(b)
	w.numbed(b)
	w.record(b)
	w.say(b, "numb_felt", "no", "looked_again", "changed")
	w.next(b, "/examine") // the old grade cannot be written again
	w.Tap(".perineum a.external_sphincter")
	w.answer(b, "external_sphincter", "under_half")
	w.At(b + "/grade")
	w.Reads("Grade 3a settled", "Refer.")
	w.record(b)
	w.Reads("What changed Outer ring muscle", "Grade: was Grade 2, is Grade 3a", "Decide anew, lay out anew, and tell whoever takes her over.",
		"What was found has changed since this grade was written.")
	w.next(b, "/grade")
	w.noteGrade(b)
	w.say(b, "trained_operator_here", "no")
	w.At(b + "/needs")
	w.stage(b, "prepare")
	w.TapWords("Lay out")
	w.Reads("For Grade 3a", "4 tissue clamps", "1 retractor")
	w.stage(b, "repair")
	w.TapWords("Repair")
	w.Reads("Not here without a trained operator. Prepare, assist, refer.", "Outer ring muscle")
	w.say(b, "decision", "refer", "allergy", "none", "transport", "found", "told_receiver", "yes")
	w.refer(b)
	w.Reads("Tear Grade 3a", "Outer ring muscle: less than half torn", "lidocaine 1 % · 10 mL · 100 mg", "The count is open.", "Decided Refer")
	w.written(b, "Grade written: Grade 2", "Once numb: is it as before?: It changed", "Outer ring muscle: whole", "Outer ring muscle: less than half torn",
		"Grade written: Grade 3a", "What is decided?: Repair here", "What is decided?: Refer")
}
