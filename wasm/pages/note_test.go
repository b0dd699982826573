package pages_test

import (
	"html"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"fourchette/wasm/pages"
)

// scan reads the code that a page shows, as a camera would.
func (p *phone) scan(s pages.Screen) string {
	p.t.Helper()
	_, drawing, found := strings.Cut(s.HTML(), `<figure class="code">`)
	_, path, found2 := strings.Cut(drawing, `<path d="`)
	path, _, _ = strings.Cut(path, `"`)
	if !found || !found2 {
		p.t.Fatalf("%s shows no code:\n%s", s.Path, plain(s.HTML()))
	}
	text, err := pages.Scan(p.t, path)
	if err != nil {
		p.t.Fatalf("the code of %s is not read: %v", s.Path, err)
	}
	return text
}

// full is a birth of which all is told that a note tells.
func (p *phone) full() string {
	p.t.Helper()
	b := p.opened()
	p.safe(b)
	p.say(b, "loss_ml", "number=650", "diastolic", "number=60", "tranexamic_given", "value=now", "placenta_complete", "value=unsure",
		"instrumental", "value=vacuum", "genital_cutting", "value=yes", "antibiotic_given", "value=now", "allergy", "value=penicillin", "allergy_second", "value=other",
		"allergy_which", "text=a+sulfa+tablet", "allergy_third", "value=none")
	p.found(b, "half_or_more", "torn", "unsure")
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=listed")
	p.post(b+"/dose/earlier", "ml=5&given_strength=2&given_adrenaline=yes")
	for _, ml := range []string{"5", "2.5", "1.5", "0.5"} {
		p.post(b+"/dose/given", "strength=1&adrenaline=no&ml="+ml)
	}
	p.post(b+"/count/in", "swab=5&needle=2&tampon=0")
	for _, layer := range []string{"vaginal_mucosa", "perineal_muscle"} { // though not all is told that should be
		s := p.post(b+"/repair/"+layer, "done=yes")
		_, open, _ := strings.Cut(s.HTML(), `name="despite" value="`)
		open, _, _ = strings.Cut(open, `"`)
		p.post(b+"/repair/"+layer, url.Values{"done": {"yes"}, "despite": {open}}.Encode())
	}
	p.say(b, "trained_operator_here", "value=no", "decision", "value=refer", "transport", "value=found", "told_receiver", "value=yes", "consent_repair", "value=declined",
		"tampon", "value=left", "tampon_number", "number=2", "tampon_at", "value=now", "tampon_why", "value=for_the_way", "tampon_receiver", "text=the+night+shift+of+the+district+hospital",
		"rectal_after", "value=done", "stitch_felt", "value=yes", "stitch_removed", "value=refer", "final_firm", "value=no", "final_bleeding", "value=heavy")
	return b
}

// What was tapped and typed comes out of the code again, whole.
func TestTheCodeOfAFullNote(t *testing.T) {
	p := newPhone(t, true)
	const want = `FN3 note for practice
number IZX-1 bed 3
tampon LEFT INSIDE 2 since 2026-03-14T12:00Z told the night shift of the district hospital
count OPEN
grade 4 unsettled plan 4
decided refer told yes
consent exam yes repair declined
born 12:00
tranexamic acid 12:00 antibiotic 12:00
other drugs unknown
doses 5 before listed OVER LIMIT given 195 mg limit 180 mg
lidocaine 2% adrenaline: 5 mL 100 mg before
lidocaine 1% plain: 5 mL 50 mg 12:00, 2.5 mL 25 mg 12:00, 1.5 mL 15 mg 12:00, 0.5 mL 5 mg 12:00
allergy penicillin other none which a sulfa tablet
cut no skin torn vagina torn muscle torn
rectal done EAS half_or_more IAS torn bowel unsure
sewn vagina muscle
lost 650 mL 12:00
pulse 88 12:00 BP 118/60 12:00 temp unknown
uterus firm no 12:00
bleeding heavy 12:00
placenta complete unsure
instrument vacuum
FGM yes
rectal after done stitch yes refer
end`
	b := p.full()
	for _, lang := range []string{"en", "fr", "ar-XB"} { // the same words in every language
		p.lang = lang
		if got := p.scan(p.get(b + "/refer")); got != want {
			t.Errorf("%s:\n%s\nwanted\n%s", lang, got, want)
		}
	}
}

// Note, handover and register tell one story.
func TestPapersAgree(t *testing.T) {
	p := newPhone(t, true)
	b := p.full()
	facts := []string{"Grade 4, not settled", "Left inside on purpose", "Tampons inside 2", "Inside since 12:00", "To be taken out by the night shift of the district hospital",
		"lidocaine 2 % with adrenaline · 5 mL · 100 mg · before", "lidocaine 1 % · 0.5 mL · 5 mg · 12:00", "Blood lost 650 mL · 12:00", "The count The count is open."}
	for _, tail := range []string{"/refer", "/handover"} {
		p.says(p.get(b+tail), append(facts, "Skin of the perineum: torn", "Lining of the bowel: looked, cannot tell", "Uterus firm at the end No · 12:00",
			"Bleeding at the end Heavily · 12:00", "Stitch felt in the rectum Yes", "Pulse 88 a minute · 12:00", "Decided Refer", "Receiver told Yes", "Consent to stitching She says no",
			"Baby pulled out With a cup", "Stitched Lining of the vagina, Muscle of the perineum", "Allergy to a medicine Penicillin, ampicillin, amoxicillin; a sulfa tablet")...)
		p.saysNot(p.get(b+tail), "Not said yet", "Uterus firm Yes")
	}
	p.says(p.get(b+"/register"), "IZX-1 | Born 2026-03-14 12:00 | Grade 4, not settled | Decided: Refer |", "| More was given than the limit: 195 mg in all, the limit is 180 mg |",
		"| Stitched: Lining of the vagina, Muscle of the perineum |", "| Local anaesthetic: lidocaine 2 % with adrenaline · 5 mL · 100 mg · before, lidocaine 1 % · 5 mL · 50 mg · 12:00, ",
		"| Blood lost: 650 mL |", "| Tampon: Left inside on purpose, Tampons inside: 2, Inside since: 12:00, Why the tampon stays: For the way to hospital, To be taken out by: the night shift of the district hospital |", "| The count is open.")
}

// What nobody said is said to be so, on paper and in the code.
func TestSilenceOnPaper(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	for _, tail := range []string{"/refer", "/handover"} {
		p.says(p.get(b+tail), "Tampon not said yet", "Blood lost not said yet", "Nobody has said yet what was given.", "Skin of the perineum: not examined",
			"Rectal examination: not examined", "Not said yet Tranexamic acid Antibiotic Pulse", "Uterus firm")
	}
	p.says(p.get(b+"/register"), "Grade not known yet, Plan for: Grade 4", "| Stitched: nothing | Local anaesthetic: Nobody has said yet what was given. | Blood lost: not said yet")
	text := p.scan(p.get(b + "/refer"))
	for _, line := range []string{"tampon unknown", "lost unknown", "doses 0 before unknown", "rectal unknown EAS unknown IAS unknown bowel unknown"} {
		if !strings.Contains(text, "\n"+line+"\n") {
			t.Errorf("the code does not say %q:\n%s", line, text)
		}
	}
	p.post(b+"/dose/before", "before=nobody_knows")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=5")
	p.says(p.get(b+"/refer"), "Nobody knows what was given before. lidocaine 1 % · 5 mL · 50 mg · 12:00")
	p.says(p.get(b+"/register"), "| Local anaesthetic: Nobody knows what was given before. lidocaine 1 % · 5 mL · 50 mg · 12:00")
}

// More doses than a code holds: the sheet has them all, and no code has some.
func TestANoteTooLongForACode(t *testing.T) {
	p := newPhone(t, true)
	b := p.full()
	for range 20 {
		p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=0.1")
	}
	s := p.get(b + "/refer")
	p.says(s, "Too long for a code. This sheet alone says it all.")
	if n := strings.Count(plain(s.HTML()), "0.1 mL · 1 mg"); n != 20 || strings.Contains(s.HTML(), `class="code"`) {
		t.Errorf("%d of 20 doses on the sheet", n)
	}
}

// article is what a page prints.
func (p *phone) article(path string) string {
	p.t.Helper()
	_, article, found := strings.Cut(p.get(path).HTML(), "<article")
	article, _, closed := strings.Cut(article, "</article>")
	if !found || !closed {
		p.t.Fatalf("%s prints nothing", path)
	}
	_, article, _ = strings.Cut(article, ">")
	return article
}

var named = regexp.MustCompile(`(?s)<dt>(.*?)</dt>|class="part">(.*?)</span>`)

// TestNoQuestionOnPaper: "What is decided?: Refer" is no line of a register. What
// a paper calls an answer stands alone, and so does each part of the register.
func TestNoQuestionOnPaper(t *testing.T) {
	p := newPhone(t, true)
	silent, full := p.opened(), p.full()
	for _, lang := range []string{"en", "fr"} {
		p.lang = lang
		for _, path := range []string{silent + "/refer", silent + "/register", full + "/refer", full + "/handover", full + "/register"} {
			names := named.FindAllStringSubmatch(p.article(path), -1)
			for _, name := range names {
				if text := plain(html.UnescapeString(name[1] + name[2])); text == "" || strings.Contains(text, "?") {
					t.Errorf("%s in %s: %q asks", path, lang, text)
				}
			}
			if len(names) < 6 {
				t.Errorf("%s in %s has %d parts", path, lang, len(names))
			}
		}
	}
	p.lang = "en"
	if text := plain(p.article(silent + "/refer")); strings.Contains(text, "?") {
		t.Errorf("a silent note asks: %s", text)
	}
}

// TestEveryPaperIsForPractice: each says so itself, for nothing else of the
// screen is printed, and that its language is a draft.
func TestEveryPaperIsForPractice(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	papers := 0
	for _, s := range screens {
		path := strings.Replace(s.path, "B", b, 1)
		p.lang = "en"
		if !strings.Contains(p.get(path).HTML(), `class="paper`) {
			continue
		}
		papers++
		if !strings.Contains(p.article(path), "for practice") {
			t.Errorf("%s does not say that it is for practice", s.name)
		}
		if p.lang = "fr"; !strings.Contains(html.UnescapeString(p.article(path)), "pour s’exercer · brouillon") {
			t.Errorf("%s does not say that its French is a draft: %s", s.name, plain(p.article(path)))
		}
	}
	if papers != 4 {
		t.Errorf("%d papers, wanted note, hand-over, register and advice", papers)
	}
}

// TestTheCountOnPaper is exact at every moment, whatever the pages warn of: as
// soon as something is counted in and not all is out it is open.
func TestTheCountOnPaper(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.say(b, "decision", "value=repair_here", "consent_repair", "value=yes")
	stands := func(code, words string) {
		t.Helper()
		if text := p.scan(p.get(b + "/refer")); !strings.Contains(text, "\ncount "+code+"\n") {
			t.Errorf("wanted %q in the code:\n%s", code, text)
		}
		for _, tail := range []string{"/refer", "/handover"} {
			if text := plain(p.article(b + tail)); !strings.Contains(text, "The count "+words) {
				t.Errorf("%s does not say %q: %s", tail, words, text)
			}
		}
	}
	stands("none", "Nothing is counted in yet.")
	p.post(b+"/count/in", "swab=5")
	stands("OPEN", "The count is open.")
	p.post(b+"/count/in", "needle=2&tampon=0")
	stands("OPEN", "The count is open.") // and nothing is stitched yet
	p.post(b+"/layout", "")
	p.numbed(b)
	p.stitched(b, "vaginal_mucosa", "perineal_muscle")
	stands("OPEN", "The count is open.")
	p.post(b+"/count/out", "swab=5&needle=2&tampon=0")
	stands("complete", "It is all there")
	p.post(b+"/count/added", "swab=5")
	stands("OPEN", "The count is open.")
	p.post(b+"/count/out", "swab=9&needle=2&tampon=0")
	stands("OPEN", "The count is open. Missing: 1 swab")
	p.say(b, "final_count_search", "value=not_found")
	stands("PIECE MISSING", "A piece was not found. Missing: 1 swab")
}

// TestACountThatComesOutEvenButForATampon is never read as nothing inside: not
// where it is compared, on no paper, in no code.
func TestACountThatComesOutEvenButForATampon(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.say(b, "decision", "value=repair_here", "consent_repair", "value=yes")
	p.post(b+"/count/in", "swab=5&needle=2&tampon=2")
	p.stitched(b, "vaginal_mucosa", "perineal_muscle")
	p.say(b, "tampon", "value=left", "tampon_number", "number=1", "tampon_at", "value=now", "tampon_why", "value=for_the_way", "tampon_receiver", "text=night+shift")
	p.post(b+"/count/out", "swab=5&needle=2&tampon=1")
	told := func(words, code string) {
		t.Helper()
		for _, tail := range []string{"/refer", "/handover", "/count"} {
			p.says(p.get(b+tail), words)
			p.saysNot(p.get(b+tail), "It is all there")
		}
		if text := p.scan(p.get(b + "/refer")); !strings.Contains(text, "\ncount "+code+"\n") {
			t.Errorf("wanted %q in the code:\n%s", code, text)
		}
	}
	told("All there but 1 tampon, left inside", "complete but 1 left inside")
	p.say(b, "tampon_number", "number=2")
	p.post(b+"/count/out", "tampon=0")
	told("All there but 2 tampons, left inside", "complete but 2 left inside")
	if html := p.get(b + "/count").HTML(); strings.Contains(html, "alarm-none") {
		t.Error("the count looks as if nothing were inside")
	}
	p.lang = "fr"
	p.says(p.get(b+"/refer"), "Tout y est, sauf 2 tampons, laissés à l’intérieur")
}

// TestTheReferralNoteWarns of all that the screen warns of: it is what goes
// with her.
func TestTheReferralNoteWarns(t *testing.T) {
	p := newPhone(t, true)
	b := p.full()
	p.say(b, "pulse", "number=130", "systolic", "number=85")
	for _, tail := range []string{"/refer", "/handover"} {
		for _, warning := range []string{"Her life is in danger: loss, pulse or pressure.", "More local anaesthetic was given than the limit.", "The uterus is not firm.",
			"The placenta may not be complete.", "A tampon is inside.", "A stitch was felt in the rectum."} {
			if text := plain(p.article(b + tail)); strings.Count(text, warning) != 1 {
				t.Errorf("%s does not warn on paper, once: %q", tail, warning)
			}
			if text := plain(p.get(b + tail).HTML()); strings.Count(text, warning) != 1 {
				t.Errorf("%s does not warn on its screen, once: %q", tail, warning)
			}
		}
	}
}

// TestWhySheIsSentOn stands at the head of the note: what she has and what is
// missing here for it. What is decided otherwise is no referral.
func TestWhySheIsSentOn(t *testing.T) {
	const noReferral, byHand = "This is no referral.", "Told there, post and hour"
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.says(p.get(b+"/refer"), "Written 2026-03-14 12:00", "Nothing is decided yet.")
	p.say(b, "place_here", "value=no") // of another grade
	p.later(time.Minute)
	p.found(b, "half_or_more", "intact", "intact")
	p.say(b, "trained_operator_here", "value=no", "anaesthesia_here", "value=no", "instruments_here", "value=yes", "decision", "value=refer")
	s := p.get(b + "/refer")
	p.says(s, "Why she comes: Grade 3b, no trained operator here, no pain relief for it here", byHand)
	p.saysNot(s, noReferral, "no place for it here", "instruments missing here", "Why she comes, in a word")
	p.say(b, "decision", "value=cannot_travel")
	p.says(p.get(b+"/refer"), "Decided: She must go, and cannot travel now Why she comes: Grade 3b", byHand)
	p.say(b, "trained_operator_here", "value=yes", "decision", "value=repair_here")
	s = p.get(b + "/refer")
	p.says(s, noReferral+" Decided: Repair here")
	p.saysNot(s, "Why she comes", byHand)
	p.lang = "fr"
	p.says(p.get(b+"/refer"), "Ceci n’est pas une référence. Décidé : Suturer ici")

	p = newPhone(t, true)
	b = p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.say(b, "decision", "value=refer")
	p.says(p.get(b+"/refer"), "Why she comes: Grade 2 Why she comes, in a word") // the rest by hand

	b = p.opened() // nobody looked
	p.say(b, "decision", "value=refer")
	p.says(p.get(b+"/refer"), "Why she comes: Grade not known yet, Plan for: Grade 4 Why she comes, in a word")
}

// TestAnHourOfAnotherDayHasItsDay: one that stands alone is of the day on which
// the note is written.
func TestAnHourOfAnotherDayHasItsDay(t *testing.T) {
	p := newPhone(t, true)
	b := p.full()
	p.says(p.get(b+"/refer"), "Inside since 12:00", "Blood lost 650 mL · 12:00")
	p.later(13 * time.Hour)
	p.say(b, "temperature", "number=38.5")
	for _, tail := range []string{"/refer", "/handover"} {
		p.says(p.get(b+tail), "Written 2026-03-15 01:00", "Inside since 2026-03-14 12:00", "Blood lost 650 mL · 2026-03-14 12:00", "°C · 2026-03-15 01:00")
	}
	p.says(p.get(b+"/register"), "Inside since: 2026-03-14 12:00")
}

// TestLargerTypeWhereThereIsRoom: a note that says little is set larger.
func TestLargerTypeWhereThereIsRoom(t *testing.T) {
	p := newPhone(t, true)
	for b, want := range map[string]string{p.opened(): "paper a5 is-large", p.full(): "paper a5 is-small"} {
		if html := p.get(b + "/refer").HTML(); !strings.Contains(html, `class="`+want+`"`) {
			t.Errorf("the note is not %q: %d letters", want, len(plain(p.article(b+"/refer"))))
		}
	}
}

// TestOnlyIfTorn is said of a layer that nobody saw torn, and of no other.
func TestOnlyIfTorn(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "half_or_more", "intact", "intact")
	p.saysNot(p.get(b+"/repair"), "only if torn")
	p = newPhone(t, true)
	b = p.opened()
	p.post(b+"/examine/perineal_skin", "value=unsure")
	p.says(p.get(b+"/repair"), "only if torn")
}

// TestPapersFromTheRight: what somebody typed keeps its own direction, on a paper
// that runs from the right and, in letters from the right, on any; the commas and
// colons are the language's own.
func TestPapersFromTheRight(t *testing.T) {
	p := newPhone(t, true)
	b := p.full()
	p.say(b, "temperature", "number=38.5")
	p.lang = "ar-XB"
	for _, sign := range []string{"\u206638.5\u00a0°C\u2069", "\u2066118\u00a0mmHg\u2069"} {
		if text := html.UnescapeString(p.article(b + "/refer")); !strings.Contains(text, sign) {
			t.Errorf("%q runs the wrong way: %s", sign, text)
		}
	}
	for _, tail := range []string{"/refer", "/handover", "/register"} {
		text := html.UnescapeString(p.article(b + tail))
		if !strings.Contains(text, "\u2068the night shift of the district hospital\u2069") {
			t.Errorf("%s: the receiver runs the wrong way: %s", tail, text)
		}
		if strings.Contains(text, ", ") || strings.Contains(text, "; ") {
			t.Errorf("%s has Latin commas: %s", tail, text)
		}
	}
	p.lang = "fr"
	p.says(p.get(b+"/register"), "| Sang perdu : 650 mL |")
	p.say(b, "tampon_receiver", "text="+url.QueryEscape("وردية الليل 2"))
	for _, tail := range []string{"/refer", "/register"} {
		if text := html.UnescapeString(p.article(b + tail)); !strings.Contains(text, "\u2068وردية الليل 2\u2069") {
			t.Errorf("%s: Arabic letters run the wrong way: %s", tail, text)
		}
	}
}
