package pages_test

import (
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"fourchette/wasm/pages"
)

// The whole way of a birth from tap to tap, by the rules of core/course.

// say answers questions of the way in turn, each as it is posted.
func (p *phone) say(b string, pairs ...string) pages.Screen {
	p.t.Helper()
	var s pages.Screen
	for i := 0; i < len(pairs); i += 2 {
		s = p.post(b+"/ask/"+pairs[i], pairs[i+1])
		if strings.Contains(s.HTML(), `role="alert"`) {
			p.t.Fatalf("%s %s is refused:\n%s", pairs[i], pairs[i+1], plain(s.HTML()))
		}
	}
	return s
}

// safe answers all that is asked before anything else.
func (p *phone) safe(b string) pages.Screen {
	p.t.Helper()
	return p.say(b, "arrived_from", "value=here", "uterus_firm", "value=yes", "placenta_out", "value=yes", "placenta_complete", "value=yes",
		"bleeding_looked", "value=settled", "loss_ml", "value=not_measured", "pulse", "number=88", "systolic", "number=118", "instrumental", "value=none",
		"genital_cutting", "value=no", "consent_exam", "value=yes", "position", "value=yes", "light", "value=yes", "pain_relief", "value=local")
}

// found enters what the examination showed and writes the grade down.
func (p *phone) found(b, external, internal, mucosa string) pages.Screen {
	p.t.Helper()
	p.answers(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "torn",
		"rectal_exam", "done", "external_sphincter", external, "internal_sphincter", internal, "anorectal_mucosa", mucosa)
	return p.post(b+"/grade", "")
}

// numbed works the limit out, injects and tests.
func (p *phone) numbed(b string) {
	p.t.Helper()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=10")
	until := `data-until="` + strconv.FormatInt(noon.Add(2*time.Minute).UnixMilli(), 10)
	if !strings.Contains(p.get(b+"/numb").HTML(), until) || strings.Contains(p.get(b+"/handover").HTML(), until) {
		p.t.Error("the wait before the test is counted down on the screen, and only there")
	}
	p.says(p.post(b+"/ask/numb_felt", "value=no"), "Too early", "All the same, she feels nothing")
	p.say(b, "numb_felt", "value=no&confirmed=no", "looked_again", "value=same")
}

// closed closes the record, knowing what its page says is open.
func (p *phone) closed(b string) pages.Screen {
	p.t.Helper()
	form := ""
	if _, after, found := strings.Cut(p.get(b+"/close").HTML(), `name="despite" value="`); found {
		known, _, _ := strings.Cut(after, `"`)
		form = url.Values{"despite": {known}}.Encode()
	}
	return p.post(b+"/close", form)
}

// next is what the record says comes next.
func (p *phone) next(b string) string {
	p.t.Helper()
	html := p.get(b).HTML()
	_, after, found := strings.Cut(html, `id="next" href="#`)
	if !found {
		return ""
	}
	path, _, _ := strings.Cut(after, `"`)
	return strings.TrimPrefix(path, b)
}

func (p *phone) wantNext(b, want string) {
	p.t.Helper()
	if got := p.next(b); got != want {
		p.t.Fatalf("next is %q, want %q:\n%s", got, want, plain(p.get(b).HTML()))
	}
}

func (p *phone) stitched(b string, layers ...string) {
	p.t.Helper()
	for _, l := range layers {
		p.post(b+"/repair/"+l, "done=yes")
	}
}

// closing takes the birth from the last stitch to the visits.
func (p *phone) closing(b string) {
	p.t.Helper()
	p.post(b+"/count/out", "swab=5&needle=2&tampon=0")
	p.say(b, "tampon", "value=none", "rectal_after", "value=done", "stitch_felt", "value=no", "final_firm", "value=yes", "final_bleeding", "value=settled")
}

func TestSecondDegreeRepaired(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.wantNext(b, "/ask/arrived_from")
	p.safe(b)
	p.wantNext(b, "/examine/episiotomy") // from the outside in
	p.says(p.found(b, "intact", "intact", "intact"), "Grade 2")
	p.wantNext(b, "/needs")
	p.says(p.get(b+"/needs"), "What Grade 2 needs")
	p.say(b, "decision", "value=repair_here", "consent_repair", "value=yes")
	p.wantNext(b, "/layout")
	p.says(p.get(b+"/layout"), "5 swabs")
	p.post(b+"/layout", "")
	p.wantNext(b, "/count/in")
	p.saysNot(p.post(b+"/count/in", "swab=5&needle=2&tampon=0"), "The count is open")
	p.wantNext(b, "/dose/weight")
	p.numbed(b)
	p.wantNext(b, "/repair")
	plan := p.get(b + "/repair")
	p.says(plan, "May be stitched here", "Muscle of the perineum")
	layer := p.get(b + "/repair/vaginal_mucosa")
	p.says(layer, "2-0", "10 mm", "continuous, not locked")
	if !strings.Contains(layer.HTML(), "data-awake") || strings.Count(layer.HTML(), `class="drawing frame"`) != 4 {
		t.Error("the layer does not hold still with all its frames")
	}
	p.stitched(b, "vaginal_mucosa", "perineal_muscle", "perineal_skin")
	p.wantNext(b, "/count/out")
	out := p.get(b + "/count/out")
	if strings.Contains(plain(out.HTML()), " 5 ") || strings.Contains(out.HTML(), `value="5"`) {
		t.Errorf("the number that went in is shown before the number out:\n%s", plain(out.HTML()))
	}
	p.closing(b)
	p.says(p.get(b+"/count"), "It is all there")
	p.wantNext(b, "/ask/allergy")
	p.says(p.say(b, "allergy", "value=none", "breastfeeding", "value=yes"), "Paracetamol", "Never more than 4000 mg a day", "Gone through with her")
	p.wantNext(b, "/after")
	p.says(p.say(b, "medicines_seen", "value=yes"), "For the mother", "She was told")
	p.says(p.say(b, "advice_told", "value=yes"), "When did she first pass urine?")
	p.saysNot(p.get(b+"/after"), "Gone through with her")
	p.say(b, "urine_passed", "value=now")
	p.wantNext(b, "/visits")
	p.says(p.get(b+"/visits"), "This phone says that today is 2026-03-14")
	p.saysNot(p.get(b+"/visits"), "Agree on this day")
	p.post(b+"/visits", "today=yes")
	p.says(p.post(b+"/visits", "key=day_3&date=2020-01-01&agreed=yes"), "This day is before the birth")
	s := p.post(b+"/visits", "key=day_3&date=2026-03-25&agreed=yes")
	p.says(s, "not in the days of this visit", "It is meant so")
	p.says(p.post(b+"/visits", "key=day_3&date=2026-03-26&odd=2026-03-25&agreed=yes"), "not in the days of this visit")
	p.says(p.post(b+"/visits", "key=day_3&date=2026-03-26&odd=2026-03-26&agreed=yes"), "Agreed: 2026-03-26")
	p.post(b+"/visits", "key=day_3&date=2026-03-26&agreed=no")
	p.says(p.post(b+"/visits", "key=day_3&date=2026-03-17&agreed=yes"), "Agreed: 2026-03-17")
	p.saysNot(p.post(b+"/visits", "key=day_3&date=2026-03-17&agreed=no"), "Agreed:")
	p.wantNext(b, "/visits")
	p.saysNot(p.get(b+"/advice"), "Day 3: ")
	p.post(b+"/visits", "key=day_3&date=2026-03-17&agreed=yes")
	p.says(p.get(b+"/advice"), "Day 3: 2026-03-17", "Come at once, day or night")
	if next := p.next(b); next != "" {
		t.Errorf("all is done, and next is %s", next)
	}
}

// TestNumbersThatRing: a pulse that rings leads to rescue and holds nothing
// back; 0 is asked about in words; a lower pressure over the upper is refused.
func TestNumbersThatRing(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	rescue := "/emergency/bleeding?birth=" + strings.TrimPrefix(b, "/b/")
	p.safe(b)
	s := p.post(b+"/ask/pulse", "number=150")
	p.says(s, "Go to heavy bleeding", "Danger: loss, pulse or pressure")
	p.wantNext(b, rescue)
	for _, tail := range []string{"", "/handover", "/stage/repair", "/repair/perineal_skin"} {
		p.says(p.get(b+tail), "Danger: loss, pulse or pressure")
	}
	p.says(p.get(b+"/stage/safe"), "Go to heavy bleeding")
	p.says(p.get(rescue), "How is she now?")
	p.found(b, "intact", "intact", "intact") // writing goes on
	p.says(p.get(b+"/grade"), "Grade 2")
	p.say(b, "alarm_seen", "value=steady")
	p.wantNext(b, "/needs")
	p.says(p.post(b+"/ask/pulse", "number=0"), "0 can mean two things", "Cannot be felt", "Not measured")
	p.says(p.post(b+"/ask/diastolic", "number=118"), "not under the upper one")
	p.says(p.post(b+"/ask/pulse", "value=none"), "Go to heavy bleeding")
	p.wantNext(b, rescue)
	p.says(p.post(b+"/ask/systolic", "number=190"), "dangerously high")
}

// TestAnOldTear: older than 12 h, or nobody knows, it is not offered for
// stitching, and nobody is told to mend it soon.
func TestAnOldTear(t *testing.T) {
	for _, form := range []string{"born=at&born_at=2026-03-13T09:00", "born=not_known"} {
		p := newPhone(t, true)
		b := p.post("/new", form).Path
		p.safe(b)
		p.found(b, "intact", "intact", "intact")
		s := p.get(b + "/repair")
		p.says(s, "Leave it open, or refer.", "Closed in, dirt makes an abscess")
		p.saysNot(s, "May be stitched here")
		p.says(p.get(b), "The tear is older than 12 h, or nobody knows its hour")
		p.saysNot(p.get(b+"/needs"), "Mend it soon")
		p.saysNot(p.say(b, "decision", "value=repair_here"), "Mend it soon")
	}
}

// TestNoStitchBeforeTheGates: no tap that closes a layer, but the ways to what
// comes first; what was done already is written down, and says so on paper.
func TestNoStitchBeforeTheGates(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	for _, tail := range []string{"/repair?finished=ask", "/repair/perineal_skin"} {
		s := p.get(b + tail)
		p.says(s, "Do this first", "Her yes, to the examination", "The rectal examination, offered", "The limit for the injection", "The count in", "A trained operator", "It was done already: write it down")
		p.saysNot(s, "This layer is closed")
		for _, way := range []string{"/ask/consent_exam", "/examine/episiotomy", "/dose/weight", "/count/in", "/ask/trained_operator_here"} {
			if !strings.Contains(s.HTML(), `href="#`+b+way+`"`) {
				t.Errorf("%s: no way to %s", tail, way)
			}
		}
	}
	p.says(p.post(b+"/repair/perineal_skin", "done=yes"), "Something stands open that comes first")
	p.says(p.get(b+"/repair/perineal_skin"), "Do this first")
	p.post(b+"/repair/perineal_skin", "done=yes&despite=consent+rectal_before+ceiling+counted_in+operator")
	p.says(p.get(b), "The count was never begun", "Done although something was open: Layer closed: Skin of the perineum: Her yes")
	p.says(p.get(b+"/refer"), "Done although open Skin of the perineum: Her yes")
	p.says(p.get(b+"/handover"), "Done although open Skin of the perineum: Her yes")
	p.says(p.get(b+"/repair/perineal_skin"), "It is not closed after all")
}

// TestNothingIsClosedSilently: what is open is said first, and goes on being
// said on the closed record and on the first screen.
func TestNothingIsClosedSilently(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/count/in", "swab=10&needle=1&tampon=1")
	p.post(b+"/count/out", "swab=9&needle=1&tampon=0")
	p.say(b, "tampon", "value=in")
	s := p.get(b + "/close")
	p.says(s, "Still open", "A tampon is inside", "The count is open", "No grade is written", "No day to come back is agreed")
	p.saysNot(s, "Close the record")
	p.says(p.post(b+"/close", ""), "Something is still open")
	p.says(p.post(b+"/close", "despite=tampon_inside+count_open+grade_not_written+urine_open+medicines_open+advice_open+visits_open"), "Not finished A tampon is inside")
	p.says(p.get(b), "Not finished", "A tampon is inside", "The count is open", "This record is closed")
}

func TestThirdDegreeReferred(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "half_or_more", "intact", "intact")
	p.wantNext(b, "/ask/trained_operator_here")
	p.say(b, "trained_operator_here", "value=no")
	p.says(p.say(b, "decision", "value=refer"), "Refer")
	p.say(b, "transport", "value=found", "told_receiver", "value=yes")
	p.says(p.get(b+"/repair"), "Not here without a trained operator", "Prepare, assist, refer")
	note := p.get(b + "/refer")
	p.says(note, "Grade 3b", "Pulse", "88", "half or more torn")
	if !strings.Contains(note.HTML(), `class="code"`) {
		t.Error("the note has no code")
	}
}

func TestThirdDegreeThatCannotTravel(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "half_or_more", "intact", "intact")
	p.say(b, "trained_operator_here", "value=no")
	s := p.say(b, "decision", "value=cannot_travel")
	p.says(s, "cannot travel now")
	p.says(p.get(b+"/needs"), "She must go, and cannot travel now")
}

func TestRepairHereNeedsTheTrainedOperator(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "through", "torn", "torn")
	if s := p.say(b, "trained_operator_here", "value=no", "decision", "value=repair_here"); !strings.Contains(s.HTML(), `id="next" href="#`+b+`"`) {
		t.Error("a decision that cannot stand does not lead to the record, which says why")
	}
	p.says(p.get(b), "This needs a trained operator, and none is here")
	p.say(b, "trained_operator_here", "value=yes")
	p.says(p.get(b+"/repair"), "Stitched here by the trained operator", "Lining of the bowel")
	p.says(p.get(b+"/layout"), "4 tissue clamps")
}

func TestGradeChangesOnceNumb(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.say(b, "decision", "value=repair_here", "consent_repair", "value=yes")
	p.post(b+"/count/in", "swab=5&needle=2&tampon=0")
	p.post(b+"/layout", "")
	p.numbed(b)
	p.say(b, "looked_again", "value=changed")
	p.post(b+"/examine/external_sphincter", "value=under_half")
	s := p.get(b)
	p.says(s, "What changed", "Grade: was Grade 2, is Grade 3a", "Decide anew")
	p.post(b+"/grade", "")
	p.wantNext(b, "/ask/trained_operator_here")
	p.says(p.get(b+"/layout"), "4 tissue clamps")
}

func TestACountThatDoesNotReconcile(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.say(b, "decision", "value=repair_here", "consent_repair", "value=yes")
	p.post(b+"/count/in", "swab=5&needle=2&tampon=0")
	p.post(b+"/count/added", "swab=5")
	p.post(b+"/layout", "")
	p.numbed(b)
	p.stitched(b, "vaginal_mucosa", "perineal_muscle", "perineal_skin")
	s := p.post(b+"/count/out", "swab=9&needle=2&tampon=0")
	p.says(s, "It does not come out even", "Missing: 1 swab", "Search")
	p.says(p.get(b), "The count is open")
	p.say(b, "final_count_search", "value=not_found")
	p.says(p.get(b), "A piece was not found")
	p.says(p.post(b+"/count/out", "swab=x"), "no number that can be used")
	p.says(p.post(b+"/count/out", ""), "Write at least one number")
}

// TestFewerIsConfirmedByItsNumbers: a lower count stands only when these very
// numbers were confirmed.
func TestFewerIsConfirmedByItsNumbers(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/count/in", "swab=10&needle=3")
	asked := p.post(b+"/count/in", "swab=1&needle=3")
	_, after, _ := strings.Cut(asked.HTML(), `name="confirmed" value="`)
	confirmed, _, found := strings.Cut(after, `"`)
	if !found || !strings.Contains(confirmed, " 1 ") {
		t.Fatalf("the numbers to confirm are not named: %q", confirmed)
	}
	for _, form := range []string{"swab=1&needle=3&confirmed=yes", "swab=2&needle=3&confirmed=" + url.QueryEscape(confirmed)} {
		p.says(p.post(b+"/count/in", form), "Fewer than were counted before")
	}
	p.saysNot(p.post(b+"/count/in", "swab=1&needle=3&confirmed="+url.QueryEscape(confirmed)), "Fewer than")
}

func TestTamponLeftOnPurpose(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "half_or_more", "intact", "intact")
	p.say(b, "trained_operator_here", "value=no", "decision", "value=refer", "tampon", "value=left")
	p.say(b, "tampon_number", "number=1", "tampon_at", "value=now", "tampon_why", "value=still_oozes", "tampon_receiver", "text=night+shift")
	p.says(p.get(b), "A tampon is inside")
	p.says(p.get(b+"/refer"), "Left inside on purpose", "night shift")
	p.says(p.post(b+"/ask/tampon_receiver", "text="), "Write this first")
	p.says(p.post(b+"/ask/tampon_number", "number=many"), "no number that can be used")
	p.says(p.post(b+"/ask/tampon_number", "number=99"), "This cannot be")
}

func TestHandedOverInTheMiddle(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.says(p.get(b+"/handover"), "Grade 2", "Next: What is decided?", "bed 3")
	p.says(p.get(b+"/register"), "IZX-1 | Born 2026-03-14 12:00 | Grade 2")
}

// TestTwoBirths: a switch is asked about before dose, count and grade are shown,
// and before anything is written from whatever page; looking is free.
func TestTwoBirths(t *testing.T) {
	p := newPhone(t, true)
	one := p.opened()
	two := p.opened()
	if one == two {
		t.Fatal("the same number twice")
	}
	tapInTwo := func() {
		p.post(two+"/ask/uterus_firm", "right_woman=yes")
		p.say(two, "uterus_firm", "value=yes")
	}
	for _, tail := range []string{"/dose", "/count/in", "/grade"} {
		tapInTwo()
		s := p.get(one + tail)
		p.says(s, "Is this the right woman?", "IZX-1", "bed 3")
		s = p.post(one+tail, "right_woman=yes")
		p.saysNot(s, "Is this the right woman?")
		p.saysNot(p.get(one+tail), "Is this the right woman?")
	}
	p.post(one+"/dose/given", "strength=1&adrenaline=no&ml=5")
	_, dose, _ := strings.Cut(p.get(one).HTML(), `name="of" value="`)
	dose, _, _ = strings.Cut(dose, `"`)
	before := len(p.get(one).HTML())
	for path, form := range map[string]string{"/dose/given": "strength=1&adrenaline=no&ml=5", "/repair/perineal_skin": "done=yes&despite=consent+rectal_before+ceiling+counted_in+operator",
		"/ask/tampon": "value=in", "/examine/perineal_skin": "value=torn", "": "of=" + url.QueryEscape(dose), "/count/in": "swab=5", "/layout": "", "/visits": "key=day_3&date=2026-03-17&sure=yes"} {
		tapInTwo()
		p.saysNot(p.get(one+"/examine"), "Is this the right woman?")
		p.saysNot(p.get(one+"/repair"), "Is this the right woman?")
		p.says(p.post(one+path, form), "Is this the right woman?")
		p.says(p.post(one+path, form), "Is this the right woman?") // the first one disarms nothing
		if after := len(p.get(one).HTML()); after != before {
			t.Errorf("%s %s was written before the question was answered", path, form)
		}
	}
	s := p.app.Handle(pages.Message{Method: "post", Path: one + "/ask/tampon", Form: "right_woman=yes&back=" + url.QueryEscape(one+"/ask/pulse")})
	if s.Path != one+"/ask/pulse" {
		t.Errorf("the tap that was held up is taken up again on %s", s.Path)
	}
	s = p.app.Handle(pages.Message{Method: "post", Path: one + "/ask/tampon", Form: "right_woman=yes&back=" + url.QueryEscape(two+"/ask/pulse")})
	if s.Path != one+"/ask/tampon" {
		t.Errorf("it leads to another woman: %s", s.Path)
	}
}

// TestRescueFromEveryGate: from each page of a gate the emergency pages are one
// tap away and lead back.
func TestRescueFromEveryGate(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	for _, tail := range []string{"/ask/consent_exam", "/examine/rectal_exam", "/dose/weight", "/dose/before", "/count/in", "/count/out", "/ask/tampon",
		"/ask/rectal_after", "/ask/stitch_felt", "/ask/final_firm", "/repair/perineal_skin", "/visits"} {
		s := p.get(b + tail)
		want := `href="#/emergency?birth=` + strings.TrimPrefix(b, "/b/") + `"`
		if !strings.Contains(s.HTML(), want) {
			t.Errorf("%s: no way to rescue", tail)
		}
	}
	p.says(p.get("/emergency?birth="+strings.TrimPrefix(b, "/b/")), "IZX-1")
}

func TestArrivalRefusalAndScars(t *testing.T) {
	p := newPhone(t, true)
	s := p.post("/new", "born=not_known")
	b := s.Path
	p.says(p.say(b, "arrived_from", "value=elsewhere"), "Elsewhere")
	p.says(p.say(b, "genital_cutting", "value=yes"), "Never")
	p.says(p.say(b, "consent_exam", "value=declined"), "She says no")
	p.says(p.get(b), "It may be too late: nobody knows since when")
	p.saysNot(p.get(b), "until") // no timer may say that it is not due
}
