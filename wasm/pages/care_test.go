package pages_test

import (
	"strings"
	"testing"
)

// TestNobodyExaminedHer: a declined examination brings no antibiotic and no
// laxative as a routine, on the screen or on her paper (WHO 2015 names grades 3
// and 4 alone), and both say why.
func TestNobodyExaminedHer(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.say(b, "consent_exam", "value=declined", "allergy", "value=none", "breastfeeding", "value=yes")
	s := p.get(b + "/after")
	p.says(s, "Not examined, or not fully: the grade is not known. No antibiotic as a routine.", "Settle the grade first.")
	p.saysNot(s, "cephalosporin", "ampicillin")
	s = p.get(b + "/advice")
	p.says(s, "You were not fully examined")
	p.saysNot(s, "Take the stool softener", "Tell of this tear")
}

// TestSecondDegreeBringsNoAntibiotic: WHO 2015.
func TestSecondDegreeBringsNoAntibiotic(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.say(b, "allergy", "value=none", "breastfeeding", "value=yes")
	p.saysNot(p.get(b+"/after"), "Antibiotic", "Laxative", "Not examined", "Another allergy")
	p.saysNot(p.get(b+"/advice"), "You were not fully examined")
}

// TestAButtonholeHasItsOwnWay: its own needs and words, no ring to stitch, and
// the vagina is never closed over the open hole.
func TestAButtonholeHasItsOwnWay(t *testing.T) {
	const never = "Never close the vagina over an open hole"
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "torn")
	p.post(b+"/grade", "do=second_look")
	p.post(b+"/grade", "")
	s := p.get(b + "/needs")
	p.says(s, "What a buttonhole into the bowel needs", "A doctor who mends grade 4", "Leave the hole to trained hands")
	p.saysNot(s, "For the ring 3-0")
	s = p.get(b + "/repair")
	p.says(s, "A hole into the bowel needs an operator trained for it.", never, "Lining of the bowel")
	p.saysNot(s, "A torn ring muscle needs", "Inner ring", "Outer ring")
	p.says(p.get(b+"/repair/anorectal_mucosa"), never, "lower end of the hole", "End at the lower end of the hole.")
	p.saysNot(p.get(b+"/repair/anorectal_mucosa"), "End where the lining meets the skin of the anus")
	p.says(p.get(b+"/repair/vaginal_mucosa"), never)
	p.says(p.get(b+"/layout"), "For a buttonhole into the bowel")
}

// TestNoAntibioticBeforeTheAllergyIsKnown: on the way elsewhere she is asked
// first, on every screen that speaks of one (common practice, no source).
func TestNoAntibioticBeforeTheAllergyIsKnown(t *testing.T) {
	const first, give = "Ask for allergies first. No antibiotic before.", "give the antibiotic"
	for _, way := range []string{"refer", "cannot_travel"} {
		p := newPhone(t, true)
		b := p.opened()
		p.safe(b)
		p.found(b, "half_or_more", "intact", "intact")
		p.say(b, "trained_operator_here", "value=no")
		s := p.say(b, "decision", "value="+way)
		p.says(s, first)
		p.saysNot(s, give, "cephalosporin")
		p.wantNext(b, "/ask/allergy")
		for _, page := range []string{"/needs", "/repair"} {
			p.says(p.get(b+page), first)
			p.saysNot(p.get(b+page), give, "Have the antibiotic ready", "cephalosporin")
		}
		if s = p.say(b, "allergy", "value=penicillin"); s.Path != b+"/ask/allergy_second" {
			t.Errorf("after the first allergy comes %s", s.Path)
		}
		p.says(p.get(b+"/needs"), first)
		p.say(b, "allergy_second", "value=none")
		s = p.get(b + "/ask/decision")
		p.says(s, give, "She does not bear: Penicillin", "clindamycin 900 mg")
		p.saysNot(s, first, "ampicillin 500 mg", "cephalosporin 1000 mg")
	}
}

// TestEveryAllergyTheCoreKnows is offered, several one after the other, and
// another one is named in a few words.
func TestEveryAllergyTheCoreKnows(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "half_or_more", "intact", "intact")
	p.says(p.get(b+"/ask/allergy"), "Penicillin", "Cephalosporins", "Clindamycin", "Metronidazole", "Paracetamol", "Ibuprofen", "Another one", "Nobody knows")
	p.say(b, "allergy", "value=clindamycin", "allergy_second", "value=other", "allergy_third", "value=penicillin")
	p.says(p.get(b+"/ask/allergy_which"), "Which medicine is it?", "no name of a person")
	p.say(b, "allergy_which", "text=a+sulfa+tablet")
	s := p.get(b + "/after")
	p.says(s, "a sulfa tablet", "Clindamycin", "Find out which medicine she does not bear.", "Not for her: clindamycin")
	p.saysNot(s, "900 mg")
}

// TestIbuprofenReadsTheRecord: withheld by loss, alarm and pressure, with the
// reason; what nobody measured is asked for (WHO 2017; CMAJ 2017;189:E913).
func TestIbuprofenReadsTheRecord(t *testing.T) {
	const give = "Give ibuprofen with food"
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.say(b, "allergy", "value=none", "breastfeeding", "value=yes")
	p.says(p.get(b+"/after"), "Blood lost is not known: measure or weigh it first.", "Her pressure is not known: take both numbers first.")
	p.say(b, "diastolic", "number=76", "loss_ml", "number=300")
	s := p.get(b + "/after")
	p.says(s, give)
	p.saysNot(s, "is not known")
	p.say(b, "loss_ml", "number=1800")
	s = p.get(b + "/after")
	p.says(s, "She lost 500 mL or more.", "Her signs or her loss ring.")
	p.saysNot(s, give)
	p.say(b, "loss_ml", "number=100", "second_systolic", "number=190", "second_diastolic", "number=120")
	p.says(p.get(b+"/after"), "Her pressure was high.")
	p.say(b, "second_systolic", "number=120", "second_diastolic", "number=80", "systolic", "number=160")
	p.says(p.get(b+"/after"), "Her pressure was high.") // once is enough
}

// TestAntibioticAfterForceps: agent, dose and 6 hours (WHO 2021), its timer,
// and what then where she does not bear it.
func TestAntibioticAfterForceps(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.say(b, "instrumental", "value=forceps")
	p.found(b, "intact", "intact", "intact")
	p.saysNot(p.get(b+"/after"), "amoxicillin")
	p.say(b, "allergy", "value=none", "breastfeeding", "value=yes")
	p.says(p.get(b+"/after"), "amoxicillin 1000 mg into the vein + clavulanic acid 200 mg into the vein", "Within 6 h of the birth, the sooner the better.",
		"Antibiotic after vacuum or forceps, within 6 h of the birth until 2026-03-14 18:00")
	p.say(b, "allergy", "value=penicillin", "allergy_second", "value=none")
	s := p.get(b + "/after")
	p.says(s, "Not for her: amoxicillin with clavulanic acid, because of the allergy to penicillin", "Ask the local protocol or a doctor for one with a like spectrum.")
	p.saysNot(s, "amoxicillin 1000 mg")
	p.say(b, "antibiotic_given", "value=now")
	p.saysNot(p.get(b), "Antibiotic after vacuum or forceps")
}

// TestEveryNeedleIsNamed: the packet's own needle stands beside the thread, and
// where needles are counted.
func TestEveryNeedleIsNamed(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.says(p.get(b+"/layout"), "1 needle to inject with", "brings 1 needle: count it in when it is opened")
	for _, phase := range []string{"in", "added", "out"} {
		p.says(p.get(b+"/count/"+phase), "Each opened packet of thread brings one. Count it too.")
	}
}

// TestTheBuriedThreadIsAbsorbed: what is buried cannot be taken out, and the
// mother is told that it dissolves.
func TestTheBuriedThreadIsAbsorbed(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	s := p.get(b + "/repair/perineal_skin")
	p.says(s, "Never one that stays")
	p.saysNot(s, "taken out later")
	p.says(p.get("/differ"), "a day to take them out, so it is not offered here")
}

// TestDeepMuscleIsClosedInTwoRows: WHO's surgical text for district hospitals,
// "a second layer if deep". Nobody waits for the answer.
func TestDeepMuscleIsClosedInTwoRows(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	s := p.get(b + "/repair/perineal_muscle")
	p.says(s, "Is the muscle torn deep?", "Then two rows, the deep one first")
	p.saysNot(s, "Rows")
	if s = p.say(b, "muscle_deep", "value=yes"); s.Path != b+"/repair/perineal_muscle" {
		t.Errorf("the answer leads to %s", s.Path)
	}
	p.says(s, "Rows 2")
	p.says(p.get(b+"/repair"), "Deep muscle is closed in two rows.")
	p.saysNot(p.say(b, "muscle_deep", "value=no"), "Rows")
}

// TestThePapersNameEveryAllergy, and say where nobody asked on.
func TestThePapersNameEveryAllergy(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	for _, paper := range []string{"/refer", "/handover"} {
		p.says(p.get(b+paper), "Allergy to a medicine not asked")
	}
	p.say(b, "allergy", "value=clindamycin", "allergy_second", "value=other", "allergy_which", "text=a+sulfa+tablet")
	p.says(p.get(b+"/refer"), "Allergy to a medicine Clindamycin; a sulfa tablet; not asked for more")
	p.say(b, "allergy_third", "value=none")
	p.says(p.get(b+"/refer"), "Clindamycin; a sulfa tablet")
	p.saysNot(p.get(b+"/refer"), "not asked")
	p.say(b, "allergy", "value=none", "antibiotic_given", "value=now")
	p.says(p.get(b+"/refer"), "Allergy to a medicine No allergy", "Antibiotic 12:00")
}

// TestAMotherKnowsWhatIsInsideHer: her sheet says it first, and nothing on it
// says otherwise.
func TestAMotherKnowsWhatIsInsideHer(t *testing.T) {
	const nothing, sign, notKnown = "Put nothing into the vagina", "Something that comes out of the vagina", "ask before you leave"
	p := newPhone(t, true)
	b := p.opened()
	p.says(p.get(b+"/advice"), nothing, sign)
	p.saysNot(p.get(b+"/advice"), "tampon", notKnown)
	p.say(b, "tampon", "value=left")
	p.says(p.get(b+"/advice"), "A gauze tampon, or more than one, is in your vagina. Ask how many before you leave.", "To be taken out by: "+notKnown, "Inside since: "+notKnown)
	p.say(b, "tampon_number", "number=2", "tampon_at", "value=now", "tampon_why", "value=for_the_way", "tampon_receiver", "text=the+night+shift")
	s := p.get(b + "/advice")
	p.says(s, "Go there, even if you feel well.", "Put nothing else into the vagina", "A tampon that comes out by itself, or another cloth. Bring it with you.")
	p.saysNot(s, nothing, sign, notKnown)
	before, _, _ := strings.Cut(plain(p.article(b+"/advice")), "For you")
	if want := "2 gauze tampons are in your vagina, left there on purpose. To be taken out by: the night shift Inside since: 2026-03-14 12:00 Go there"; !strings.Contains(before, want) {
		t.Errorf("first she reads %q, wanted %q", before, want)
	}
	if first, _, _ := strings.Cut(p.article(b+"/advice"), "<h2"); !strings.Contains(first, "<svg") {
		t.Error("no picture says it")
	}
	p.say(b, "tampon_number", "number=1")
	p.says(p.get(b+"/advice"), "1 gauze tampon is in your vagina")
	p.say(b, "tampon", "value=out")
	p.says(p.get(b+"/advice"), nothing, sign)
	p.saysNot(p.get(b+"/advice"), "gauze tampon")
}

// TestAVisitOfOneDay has a day, and no time between it and itself.
func TestAVisitOfOneDay(t *testing.T) {
	p := newPhone(t, true)
	s := p.get(p.opened() + "/visits")
	p.says(s, "Week 6 On 2026-04-25", "Between 2026-03-16 – 2026-03-17")
	p.saysNot(s, "Between 2026-04-25 – 2026-04-25")
}

// TestLipidForTheLightest: whoever may be dosed for is in the table (AAGBI 2010:
// 1.5 mL/kg, 15 mL/kg an hour, 12 mL/kg in all).
func TestLipidForTheLightest(t *testing.T) {
	p := newPhone(t, true)
	p.says(p.get("/emergency/toxicity"), "30 kg 45 mL 450 mL 360 mL 40 kg")
}
