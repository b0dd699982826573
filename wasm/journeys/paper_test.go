package journeys

import (
	"bytes"
	"flag"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/chromedp/cdproto/page"
	"github.com/ledongthuc/pdf"
	"golang.org/x/text/unicode/norm"

	"fourchette/wasm/browser"
)

var papers = flag.String("papers", "", "a folder for every page that is printed, to look at")

// receiver is as long as who takes a tampon out may be.
const receiver = "the sister on nights at the theatre of the district hospital"

// medicines are as long as those may be that were given beside.
const medicines = "oxytocin 10 units at 14:05, misoprostol 400 µg under tongue"

// A fourth degree, and the trained operator is here: more is laid out, the
// bowel is closed first, and she takes more home. A swab is missing and a
// tampon stays inside, so she goes on to where it can be looked for: all that
// can stand on paper, as long as it can be.
func TestFourthDegreeWithATrainedOperatorAndItsPapers(t *testing.T) {
	w := begin(t)
	b := w.newBirth("Delivery B12")
	w.say(b, "arrived_from", "elsewhere", "uterus_firm", "yes", "placenta_out", "yes", "placenta_complete", "unsure",
		"bleeding_looked", "settled", "loss_ml", "450", "pulse", "not_measured", "systolic", "not_measured", "instrumental", "none",
		"genital_cutting", "unsure", "consent_exam", "yes", "position", "yes", "light", "yes", "pain_relief", "local")
	w.ask(b, "safe", "diastolic", "not_measured", "other_medicines", medicines)
	w.record(b)
	w.Tap(`a.timer-name[href$="/ask/tranexamic_given"]`) // what runs leads to what stops it
	w.At(b + "/ask/tranexamic_given")
	w.reply("now")
	w.doses(b)
	w.found(b, "through", "torn", "torn")
	w.mended(b)
	w.atTheEnd(b)
	day := w.agreed(b, "sphincter_review")
	w.advised(b, day)
	w.ask(b, "after", "temperature", "38.5")
	w.ask(b, "decide", "decision", "refer", "transport", "found", "told_receiver", "yes")
	w.printed(b)
	w.speaks("en")
	w.written(b, "Grade written: Grade 4", "Is a trained operator here today?: No", "Is a trained operator here today?: Yes",
		"Layer closed: Lining of the bowel: yes", "Layer closed: Inner ring muscle: yes", "Layer closed: Outer ring muscle: yes",
		"The search: what came of it?: Not found", "Tampon: Left inside on purpose", "Day to come back: Review of the ring muscle, weeks 6 to 12")
	w.wroteOnce("Layer closed: ", 6)
	w.wroteOnce("Injected: ", 4)
	w.closed(b, day)
}

// closed prints once more when the record is closed. What the program says of
// itself on the screen stands on no paper: see prints.
func (w *way) closed(b, day string) {
	w.Helper()
	w.record(b)
	w.TapWords("Close this record")
	w.At(b + "/close")
	w.TapWords("I know. Close it all the same")
	w.left(b + "/close")
	w.Turn(b + "/advice")
	w.Reads("This record is closed.")
	w.speaks("fr")
	w.prints("fr-advice-closed", 3, "Pour vous", day)
	w.Turn(b + "/refer")
	w.prints("fr-note-closed", 1, "Degré 4")
}

// mended is repaired here, once the operator has come.
func (w *way) mended(b string) {
	w.Helper()
	w.say(b, "trained_operator_here", "no", "decision", "repair_here")
	w.At(b)
	w.Reads("This needs a trained operator, and none is here.", "Decide now")
	w.ask(b, "decide", "trained_operator_here", "yes")
	w.record(b)
	w.ReadsNot("none is here")
	w.say(b, "consent_repair", "yes")
	w.next(b, "/layout")
	w.Reads("For Grade 4", "4 tissue clamps", "1 retractor")
	w.TapWords("All is laid out")
	w.At(b + "/count/in")
	w.count("swab", "20", "needle", "4", "clamp", "4", "tampon", "1")
	w.say(b, "numb_felt", "no", "looked_again", "same")
	w.next(b, "/repair")
	w.Reads("Stitched here by the trained operator", "A trained operator is here today.")
	w.stitched(b, "anorectal_mucosa", "internal_sphincter", "external_sphincter", "vaginal_mucosa", "perineal_muscle", "perineal_skin")
}

// atTheEnd counts out, leaves a tampon, searches for a swab and finds out what
// she takes home.
func (w *way) atTheEnd(b string) {
	w.Helper()
	w.ask(b, "check", "tampon", "left")
	w.say(b, "tampon_number", "1", "tampon_at", "now", "tampon_why", "for_the_way", "tampon_receiver", receiver)
	w.next(b, "/count/out")
	w.count("swab", "19", "needle", "4", "clamp", "4", "tampon", "0")
	w.At(b + "/count")
	w.Reads("Missing: 1 swab", "Tissue clamps 4 4")
	w.TapWords("The search: what came of it?")
	w.At(b + "/ask/final_count_search")
	w.reply("not_found")
	w.record(b)
	w.say(b, "rectal_after", "done", "stitch_felt", "yes", "stitch_removed", "refer", "final_firm", "yes", "final_bleeding", "settled",
		"allergy", "penicillin", "allergy_second", "none", "breastfeeding", "yes")
	w.At(b + "/after")
	w.Reads("Antibiotic, once", "Not for her: penicillins, because of the allergy to penicillin", "Laxative")
	w.toldAll(b)
	w.say(b, "urine_passed", "now")
}

// advised prints what the mother takes home.
func (w *way) advised(b, day string) {
	w.Helper()
	w.stage(b, "after")
	w.Tap(`.more a[href$="/advice"]`)
	w.At(b + "/advice")
	w.prints("en-advice", 3, "1 gauze tampon is in your vagina", "To be taken out by: "+receiver, "For you", "Come at once, day or night", "Bleeding that soaks a pad in an hour or less, or grows.", "weeks 6 to 12: "+day, "for practice")
	w.headed("Come at once, day or night", "Bleeding that soaks")
	w.headed("Days to come back", day)
	w.speaks("fr")
	w.prints("fr-advice", 3, "Pour vous", day)
	w.speaks("ar-XB")
	w.prints("ar-advice", 3, "6 h", "24 h", day) // not "h 6"
	w.speaks("en")
}

// headed wants a heading on one page with what stands under it, wherever on the
// page it comes to stand.
func (w *way) headed(heading, first string) {
	w.Helper()
	const push = `document.querySelector('.paper').style.paddingBlockStart = `
	joined := func(s string) string { return strings.Join(strings.Fields(s), "") }
	for down := 0; down < 190; down += 6 {
		browser.Ask[string](w.Tab, push+`'`+strconv.Itoa(down)+`mm'`)
		paper := w.paper("pushed")
		for i := range paper.NumPage() {
			text, err := paper.Page(i + 1).GetPlainText(nil)
			if err != nil {
				w.Fatalf("page %d cannot be read: %v", i+1, err)
			}
			if text = joined(text); strings.Contains(text, joined(heading)) && !strings.Contains(text, joined(first)) {
				w.Errorf("%d mm down, %q stands at the end of a page", down, heading)
			}
		}
	}
	browser.Ask[string](w.Tab, push+`''`)
}

// printed prints the papers in both languages. The referral note is one A5 page
// whatever it holds.
func (w *way) printed(b string) {
	w.Helper()
	drugs := []string{"3 mL · 30 mg", "2 mL · 20 mg", "5 mL · 50 mg", "4 mL · 40 mg"}
	line := append([]string{w.number(), "450 mL"}, drugs...)
	note := append([]string{"Delivery B12", receiver, medicines}, line...)
	w.refer(b)
	w.prints("en-note", 1, append(note, "Grade 4", "Tampon Left inside on purpose", "The count A piece was not found. Missing: 1 swab",
		"Lining of the bowel: torn", "Decided Refer", "Receiver told Yes", "Why she comes: Grade 4, a piece may be inside, a stitch in the rectum", "Told there, post and hour",
		"A tampon is inside.", "A stitch was felt in the rectum.", "Fever, 38 °C or more. Look for the cause.", "Tampons inside 1", "To be taken out by "+receiver, "temperature 38.5", "for practice")...)
	w.handover(b)
	w.prints("en-handover", 1, append(note, "Grade 4", "A tampon is inside.", "A stitch was felt in the rectum.", "The count A piece was not found.",
		"Stitched Lining of the bowel, Inner ring muscle, Outer ring muscle, Lining of the vagina, Muscle of the perineum, Skin of the perineum", "for practice")...)
	w.register(b)
	w.prints("en-register", 1, append(line, "Grade 4", "Decided: Refer", "Stitched: Lining of the bowel, Inner ring muscle", "Blood lost: 450 mL",
		"Tampon: Left inside on purpose, Tampons inside: 1, Inside since: ", "To be taken out by: "+receiver, "A piece was not found. Missing: 1 swab", "for practice")...)
	w.speaks("fr")
	w.prints("fr-register", 1, append(line, "Degré 4", "pour s’exercer · brouillon")...)
	w.handover(b)
	w.prints("fr-handover", 2, append(note, "Degré 4", "Un tampon est à l’intérieur.")...)
	w.refer(b)
	w.prints("fr-note", 1, append(note, "Degré 4", "Laissé exprès", "Centre d’accueil prévenu Oui")...)
	w.fromTheRight(append(strings.Split(strings.Join(drugs, " · "), " · "), "1 %", w.number()))
}

// fromTheRight prints the papers in a language that runs from the right. What
// runs from the left in it stands there as ever, and each of its own words is
// on the note.
func (w *way) fromTheRight(latin []string) {
	w.Helper()
	w.speaks("ar-XB")
	values := browser.Ask[string](w.Tab, `[...document.querySelectorAll('.fact:not(.is-left) dd')].map((dd) => dd.innerText).join(' ')`)
	read := map[string]bool{}
	for _, word := range strings.Fields(w.prints("ar-note", 1, latin...)) {
		read[logical(word)] = true
	}
	arabic := 0
	for _, word := range strings.FieldsFunc(values, func(r rune) bool { return !unicode.In(r, unicode.Arabic) || unicode.IsPunct(r) }) {
		if arabic++; !read[word] {
			w.Errorf("the note from the right lacks %q", word)
		}
	}
	if arabic < 50 {
		w.Errorf("only %d words to read from the right: %s", arabic, values)
	}
	for _, name := range []string{"handover", "register"} {
		w.Tap(`.more a[href$="/` + name + `"]`)
		w.Until(`document.getElementById('screen').dataset.path.endsWith('/` + name + `')`)
		w.prints("ar-"+name, 1, latin...)
	}
}

// logical is a word as it is read, from what stands on paper from left to right:
// its letters in their shapes there, the last one first.
func logical(word string) string {
	shapes := []rune(strings.TrimFunc(word, unicode.IsPunct))
	slices.Reverse(shapes)
	return norm.NFKC.String(string(shapes))
}

// doses writes down four: two from before, and two of now.
func (w *way) doses(b string) {
	w.Helper()
	w.record(b)
	w.numb(b, "60", "listed", "", "")
	w.At(b + "/dose/earlier")
	for _, ml := range []string{"3", "2"} {
		w.TapWords("1 % · 10 mg/mL")
		w.TapWords("With adrenaline")
		w.Type("#f-ml", ml)
		w.send("Write it down")
	}
	w.TapWords("That is all")
	w.label(b, "1 %", "With adrenaline")
	for _, ml := range []string{"5", "4"} {
		w.TapWords("Write what was injected")
		w.Type("#f-ml", ml)
		w.send("Write it down")
		w.Until(`document.querySelector('.dose')`)
	}
}

func (w *way) speaks(lang string) {
	w.Helper()
	w.Tap(`.languages button[value="` + lang + `"]`)
	w.Until(`document.documentElement.lang === '` + lang + `'`)
}

// prints prints what is shown, on the paper that its style asks for, and gives
// its text. It wants at most so many pages and each text on them, and nothing
// of the screen round it.
func (w *way) prints(name string, most int, texts ...string) string {
	w.Helper()
	paper := w.paper(name)
	if n := paper.NumPage(); n < 1 || n > most {
		w.Errorf("%s is printed on %d pages, wanted %d", name, n, most)
	}
	whole := w.readPaper(name, paper)
	text := strings.Join(strings.Fields(whole), "") // spaces depend on where lines end
	for _, around := range []string{"Emergency", "Urgence", "Print", "Imprimer", "français", "Settings", "Thisrecordis", "fermé", "rouvrir"} {
		if strings.Contains(text, around) {
			w.Errorf("%s holds %q, which is of the screen:\n%s", name, around, text)
		}
	}
	for _, want := range texts {
		if !strings.Contains(text, strings.Join(strings.Fields(want), "")) {
			w.Errorf("%s does not hold %q:\n%s", name, want, text)
		}
	}
	return whole
}

// paper is what is shown, printed; a file too, where that is wanted.
func (w *way) paper(name string) *pdf.Reader {
	w.Helper()
	yes := true
	file := browser.Call(w.Tab, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: &yes}).Data
	if *papers != "" {
		keep(w, filepath.Join(*papers, name+".pdf"), file)
	}
	paper, err := pdf.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		w.Fatalf("%s: what was printed cannot be read: %v", name, err)
	}
	return paper
}

// readPaper gives the text of all pages. Each page is of A5, and no letter stands
// outside.
func (w *way) readPaper(name string, paper *pdf.Reader) string {
	w.Helper()
	var all strings.Builder
	for i := range paper.NumPage() {
		p := paper.Page(i + 1)
		box := p.V.Key("MediaBox")
		wide, high := box.Index(2).Float64(), box.Index(3).Float64()
		if math.Abs(wide-148*72/25.4) > 1 || math.Abs(high-210*72/25.4) > 1 {
			w.Errorf("%s: page %d is of %.0f by %.0f points, wanted A5", name, i+1, wide, high)
		}
		text, err := p.GetPlainText(nil)
		if err != nil {
			w.Fatalf("%s: page %d cannot be read: %v", name, i+1, err)
		}
		for _, letter := range p.Content().Text {
			if letter.X < 0 || letter.X+letter.W > wide || letter.Y < 0 || letter.Y+letter.FontSize > high {
				w.Errorf("%s: page %d is cut at %q, %.0f by %.0f", name, i+1, letter.S, letter.X, letter.Y)
			}
		}
		all.WriteString(text + " ")
	}
	return strings.NewReplacer("ﬁ", "fi", "ﬂ", "fl").Replace(all.String())
}
