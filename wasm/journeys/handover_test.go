package journeys

import (
	"strings"
	"testing"

	"fourchette/wasm/browser"
)

// Handed over in the middle of the repair: the next shift reads where she
// stands and goes on there, on another morning of the same phone. Then a swab
// is missing, and nothing makes the count come out even but the swab.
func TestHandedOverAndACountThatDoesNotReconcile(t *testing.T) {
	w := begin(t)
	b := w.repairable("7")
	w.stitched(b, "vaginal_mucosa")
	w.At(b + "/repair/perineal_muscle")
	w.Reload()
	w.Reads("Muscle of the perineum", "2-0 absorbed fast")
	w.handover(b)
	w.Reads("Next: Stitch, layer by layer", "Tear Grade 2", "Stitched Lining of the vagina", "lidocaine 1 % · 10 mL · 100 mg", "The count The count is open.")
	w.Close()

	second := &way{chromium.Open(t), w.server}
	second.Load(w.server, "/")
	second.Reads("1 birth in progress", "bed 7", "Repair")
	second.Tap("a.birth")
	second.At(b)
	second.next(b, "/repair")
	if got := browser.Ask[[]string](second.Tab, `[...document.querySelectorAll('.layers li')].map((l) => l.innerText.replace(/\s+/g, ' ').trim())`); len(got) != 3 ||
		!strings.HasPrefix(got[0], "Lining of the vagina done") || !strings.HasPrefix(got[1], "Muscle of the perineum still to come") {
		t.Errorf("the second person finds the layers %q", got)
	}
	second.TapWords("Opened since")
	second.At(b + "/count/added")
	second.count("swab", "5")
	second.stitched(b, "perineal_muscle", "perineal_skin")
	second.missing(b)
}

// missing counts out one swab too few and searches for it.
func (w *way) missing(b string) {
	w.Helper()
	w.next(b, "/count/out")
	w.count("swab", "17", "needle", "2", "tampon", "0")
	w.At(b + "/count")
	w.Reads("It does not come out even", "Missing: 1 swab", "Swabs 18 17", "It does not agree, stop. Nobody throws anything away.",
		"Ask her, then look and feel in the whole vagina, up behind the cervix.", "Still missing, have the pelvis X-rayed, or refer for it.")
	w.ReadsNot("It is all there")
	w.TapWords("The search: what came of it?")
	w.At(b + "/ask/final_count_search")
	w.reply("found") // in her drapes: now all of it is counted again
	w.Reads("Found, count all of it again.")
	w.TapWords("Go on")
	w.At(b + "/count/out")
	w.count("swab", "17")
	w.Reads("Missing: 1 swab")
	w.record(b)
	w.Reads("The count is open.", "Check at the end now")
	w.TapWords("Close this record")
	w.Reads("Close this record?", "The count is open.")
	w.TapWords("Back to the record")
	w.ask(b, "check", "final_count_search", "not_found")
	w.record(b)
	w.Reads("A piece was not found.")
	w.say(b, "tampon", "none", "rectal_after", "declined", "final_firm", "yes", "final_bleeding", "settled")
	w.record(b)
	w.Reads("A piece was not found.", "Check at the end done")
	w.refer(b)
	w.Reads("The count A piece was not found. Missing: 1 swab", "Search Not found", "Rectal examination after the repair She says no")
	w.written(b, "Counted: Opened since · Swabs 5", "Counted: Counted out · Swabs 17 · Needles 2 · Tampons 0", "Counted: Counted out · Swabs 17",
		"The search: what came of it?: Found", "The search: what came of it?: Not found", "Rectal examination after the repair: She says no",
		"Layer closed: Lining of the vagina: yes", "Layer closed: Skin of the perineum: yes")
}
