package journeys

import "testing"

// A torn ring muscle, and nobody here who is trained for it. She has to go and
// the road is closed: what to do meanwhile, and how long may pass. Then it
// opens, and a note goes with her that says all.
func TestThirdDegreeThatCannotTravelAndThenIsReferred(t *testing.T) {
	w := begin(t)
	b := w.newBirth("B")
	w.safe(b, "local")
	w.ask(b, "safe", "loss_ml", "450")
	w.found(b, "half_or_more", "intact", "intact")
	w.Reads("Grade 3b ·", "Decide now")
	w.say(b, "trained_operator_here", "no")
	w.At(b + "/needs")
	w.Reads("What Grade 3b needs", "A doctor trained for it.", "Here now", "Not here")
	w.decides(b)
	w.reply("refer")
	w.Reads("Telephone ahead. Say grade, bleeding, pulse, pressure, and what she was given.", "Do not close the skin over a torn ring for the road.")
	w.goOn(b + "/ask/decision")
	w.say(b, "allergy", "none")
	w.At(b + "/ask/transport")
	w.reply("none")
	w.Reads("No transport now", "No way to travel tonight, answer cannot travel.")
	w.cannotTravel(b)
	w.ask(b, "decide", "decision", "refer", "transport", "found", "told_receiver", "yes")
	w.referred(b)
	w.written(b, "Blood lost: 450", "Outer ring muscle: half or more torn", "Grade written: Grade 3b", "Is a trained operator here today?: No",
		"Is there transport?: No transport now", "What is decided?: She must go, and cannot travel now", "Injected: lidocaine 1 % · 8 mL · 80 mg",
		"What is decided?: Refer", "Is there transport?: Found", "Was the receiver told?: Yes")
	w.wroteOnce("What is decided?", 3)
	w.wroteOnce("Layer closed", 0)
}

// cannotTravel stays the night, with a torn ring muscle that is not touched.
func (w *way) cannotTravel(b string) {
	w.Helper()
	w.ask(b, "decide", "decision", "cannot_travel")
	w.say(b, "travel_barrier", "road")
	w.stage(b, "decide")
	w.Reads("She must go, and cannot travel now")
	w.TapWords("What this grade needs")
	w.At(b + "/needs")
	w.Reads("What Grade 3b needs", "A doctor trained for it.")
	w.TapWords("She must go, and cannot travel now")
	w.Reads("Write why she cannot travel", "Leave the ring to trained hands.", "8 to 12 h", "Older than 12 h")
	w.record(b)
	w.ReadsNot("Prepare and count", "Repair") // nothing is stitched here
	w.numb(b, "55", "nothing", "1 %", "Plain, no adrenaline")
	w.wantFigure("16.5 mL") // 3 mg/kg
	w.TapWords("Write what was injected")
	w.Type("#f-ml", "8")
	w.TapWords("Write it down")
	w.wantFigureSoon("8.5 mL")
	w.record(b)
	w.say(b, "tampon", "none", "final_firm", "yes", "final_bleeding", "settled", "breastfeeding", "yes")
	w.Reads("Antibiotic, once")
	w.toldAll(b)
	w.handover(b)
	w.Reads("Tear Grade 3b", "Decided She must go, and cannot travel now", "What keeps her here Road closed or unsafe", "Next: When did she first pass urine?")
}

// referred reads what goes with her.
func (w *way) referred(b string) {
	w.Helper()
	w.refer(b)
	w.Reads("Referral note", w.number()+" · bed B", "Tear Grade 3b", "Tampon None was put in", "lidocaine 1 % · 8 mL · 80 mg", "Blood lost 450 mL",
		"Skin of the perineum: torn", "Outer ring muscle: half or more torn", "Inner ring muscle: whole", "Lining of the bowel: whole",
		"Stitched nothing", "Pulse 88 a minute", "Upper pressure 118 mmHg", "Decided Refer", "Receiver told Yes")
	w.Until(`document.querySelector('.paper .code svg path')`)
	w.prints("en-note-short", 1, "Why she comes: Grade 3b, no trained operator here", "Told there, post and hour", "Tear Grade 3b", "Blood lost 450 mL")
	w.register(b)
	w.Reads(w.number()+" | ", "| Grade 3b | Decided: Refer | Stitched: nothing | Local anaesthetic: lidocaine 1 % · 8 mL · 80 mg", "| Blood lost: 450 mL")
}
