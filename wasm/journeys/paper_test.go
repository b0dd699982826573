package journeys

import (
	"bytes"
	"flag"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/ledongthuc/pdf"

	"fourchette/wasm/browser"
)

var papers = flag.String("papers", "", "a folder for every page that is printed, to look at")

// All that can stand on paper, as long as it can be: the referral note is one
// A5 page all the same, in both languages, and each paper holds what it is for.
func TestFullPapers(t *testing.T) {
	w := begin(t)
	b, day := w.fullRecord()
	number := w.number()
	w.stage(b, "after")
	w.Tap(`.more a[href$="/advice"]`)
	w.At(b + "/advice")
	w.prints("en-advice", 3, "For you", "Come at once, day or night", "Bleeding that soaks a pad in an hour or less, or grows.", "Day 3: "+day)
	w.speaks("fr")
	w.prints("fr-advice", 3, "Pour vous", day)
	w.speaks("en")
	w.ask(b, "decide", "decision", "refer", "transport", "found", "told_receiver", "yes")
	drugs := []string{"3 mL · 30 mg", "2 mL · 20 mg", "5 mL · 50 mg", "4 mL · 40 mg"}
	note := append([]string{number, "Delivery B12", "450 mL", receiver}, drugs...)
	w.refer(b)
	w.prints("en-note", 1, append(note, "Grade 4", "Tampon Left inside on purpose", "The count A piece was not found. Missing: 1 swab",
		"Lining of the bowel: torn", "What is decided? Refer", "Was the receiver told? Yes")...)
	w.handover(b)
	w.prints("en-handover", 2, append(note, "Grade 4", "A tampon is inside.", "A stitch was felt in the rectum.", "The count A piece was not found.")...)
	w.register(b)
	w.prints("en-register", 1, append(drugs, number, "Grade 4", "Refer", "Lining of the bowel", "450 mL")...)
	w.speaks("fr")
	w.prints("fr-register", 1, append(drugs, number, "Degré 4", "450 mL")...)
	w.handover(b)
	w.prints("fr-handover", 2, append(note, "Degré 4", "Un tampon est à l’intérieur.")...)
	w.refer(b)
	w.prints("fr-note", 1, append(note, "Degré 4", "Laissé exprès", "Le centre qui reçoit est-il prévenu ? Oui")...)
}

// receiver is as long as who takes a tampon out may be.
const receiver = "the sister on nights at the theatre of the district hospital"

// fullRecord is a record with the longest answers: a fourth degree stitched, a
// tampon left, a swab missing, four doses.
func (w *way) fullRecord() (b, day string) {
	w.Helper()
	b = w.newBirth("Delivery B12")
	w.say(b, "arrived_from", "elsewhere", "uterus_firm", "yes", "placenta_out", "yes", "placenta_complete", "unsure",
		"bleeding_looked", "settled", "pulse", "not_measured", "systolic", "not_measured", "instrumental", "none",
		"genital_cutting", "unsure", "consent_exam", "yes", "position", "yes", "light", "yes", "pain_relief", "local")
	w.ask(b, "safe", "loss_ml", "450", "diastolic", "not_measured")
	w.record(b)
	w.Tap(`a.timer-name[href$="/ask/tranexamic_given"]`) // what runs leads to what stops it
	w.At(b + "/ask/tranexamic_given")
	w.reply("now")
	w.doses(b)
	w.found(b, "through", "torn", "torn")
	w.say(b, "trained_operator_here", "yes", "decision", "repair_here", "consent_repair", "yes")
	w.next(b, "/count/in")
	w.count("swab", "13", "needle", "2", "tampon", "1")
	w.At(b + "/layout")
	w.TapWords("All is laid out")
	w.say(b, "numb_felt", "no", "looked_again", "same")
	w.stitched(b, "anorectal_mucosa", "internal_sphincter", "external_sphincter", "vaginal_mucosa", "perineal_muscle", "perineal_skin")
	w.ask(b, "check", "tampon", "left")
	w.say(b, "tampon_number", "1", "tampon_at", "now", "tampon_receiver", receiver)
	w.next(b, "/count/out")
	w.count("swab", "12", "needle", "2", "tampon", "0")
	w.At(b + "/count")
	w.TapWords("The search: what came of it?")
	w.At(b + "/ask/final_count_search")
	w.reply("not_found")
	w.record(b)
	w.say(b, "rectal_after", "done", "stitch_felt", "yes", "stitch_removed", "refer", "final_firm", "yes", "final_bleeding", "settled",
		"allergy", "penicillin", "allergy_second", "none", "breastfeeding", "yes")
	w.record(b)
	w.say(b, "urine_passed", "now")
	return b, w.agreed(b, "day_3")
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

// prints prints what is shown, on the paper that its style asks for. It wants
// at most so many pages and each text on them, and nothing of the screen round
// it.
func (w *way) prints(name string, most int, texts ...string) {
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
	if n := paper.NumPage(); n < 1 || n > most {
		w.Errorf("%s is printed on %d pages, wanted %d", name, n, most)
	}
	text := w.readPaper(name, paper)
	for _, around := range []string{"Emergency", "Urgence", "Print", "Imprimer", "français", "Settings"} {
		if strings.Contains(text, around) {
			w.Errorf("%s holds %q, which is of the screen:\n%s", name, around, text)
		}
	}
	for _, want := range texts {
		if !strings.Contains(text, strings.Join(strings.Fields(want), "")) {
			w.Errorf("%s does not hold %q:\n%s", name, want, text)
		}
	}
}

// readPaper gives the text of all pages without its spaces, which depend on
// where lines end. Each page is of A5, and no letter stands outside.
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
		all.WriteString(strings.Join(strings.Fields(text), ""))
	}
	return strings.NewReplacer("ﬁ", "fi", "ﬂ", "fl").Replace(all.String())
}
