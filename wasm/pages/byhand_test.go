package pages_test

import (
	"net/url"
	"strings"
	"testing"

	"fourchette/core/journal/journaltest"
	"fourchette/wasm/pages"
)

// Addresses and forms as nobody's finger makes them: kept from yesterday, sent
// from another phone, typed, or posted again by the Back button.

const label1 = "&strength=1&adrenaline=no"

// figureShown says whether the screen names an amount to give.
func figureShown(s pages.Screen) bool {
	return strings.Contains(plain(s.HTML()), "May be given now") || strings.Contains(plain(s.HTML()), "At most ")
}

func TestNoAmountWhileAnAnswerIsMissingOrNoAnswer(t *testing.T) {
	p := newPhone(t, true)
	for path, says := range map[string]string{
		"/dose/limit?before=nothing" + label1:                                                                 "Her weight",
		"/dose/limit?weight_kg=abc&before=nothing" + label1:                                                   "no number that can be used",
		"/dose/limit?weight_kg=250&before=nothing" + label1:                                                   "Only 30 to 200 kg",
		"/dose/limit?weight_kg=35&before=nothing" + label1:                                                    "This weight is rare",
		"/dose/limit?weight_kg=60&height_cm=1&before=nothing" + label1:                                        "Only 120 to 220 cm",
		"/dose/limit?weight_kg=60" + label1:                                                                   "Given before",
		"/dose/limit?weight_kg=60&before=maybe" + label1:                                                      "Given before",
		"/dose/limit?weight_kg=60&before=listed" + label1:                                                     "What was given before",
		"/dose/limit?weight_kg=60&before=listed&given=" + label1:                                              "What was given before",
		"/dose/limit?weight_kg=60&before=listed&given=lidocaine:0:1:no" + label1:                              "What was counted before cannot be read",
		"/dose/limit?weight_kg=60&before=listed&given=lidocaine:0.00:1:no" + label1:                           "What was counted before cannot be read",
		"/dose/given?weight_kg=60&before=nothing&strength=99&adrenaline=no":                                   "This strength does not exist",
		"/dose/limit?weight_kg=60&before=listed&given=rubbish" + label1:                                       "What was counted before cannot be read",
		"/dose/limit?weight_kg=60&before=listed&given=lidocaine:5:1" + label1:                                 "What was counted before cannot be read",
		"/dose/limit?weight_kg=60&before=listed&given=lidocaine:5:1:maybe" + label1:                           "What was counted before cannot be read",
		"/dose/limit?weight_kg=60&before=listed&given=lidocaine:-5:1:no" + label1:                             "What was counted before cannot be read",
		"/dose/limit?weight_kg=60&before=listed&given=water:5:1:no" + label1:                                  "What was counted before cannot be read",
		"/dose/limit?weight_kg=60&before=nobody_knows" + label1:                                               "Nobody knows what was given before",
		"/dose/limit?weight_kg=60&before=nobody_knows&given=lidocaine:19:1:no" + label1:                       "More was given than the limit",
		"/dose/limit?weight_kg=60&before=nothing&strength=1":                                                  "With adrenaline?",
		"/dose/limit?weight_kg=60&before=nothing&strength=1&adrenaline=maybe":                                 "With adrenaline?",
		"/dose/limit?weight_kg=60&before=nothing&strength=0.75&adrenaline=no":                                 "This strength does not exist",
		"/dose/limit?weight_kg=60&before=nothing&strength=strong&adrenaline=no":                               "This strength does not exist",
		"/dose/limit?weight_kg=60&before=nothing&agent=bupivacaine&strength=0.5&adrenaline=no":                "This anaesthetic is not known here",
		"/dose/limit?weight_kg=60&before=nothing&agent=water" + label1:                                        "This anaesthetic is not known here",
		"/dose/draw?ml=500&syringe=20&ampoule=50":                                                             "Her weight",
		"/dose/draw?ml=500&syringe=20&ampoule=50&weight_kg=60&before=nobody_knows" + label1:                   "Nobody knows what was given before",
		"/dose/draw?ml=500&syringe=20&ampoule=50&weight_kg=60&before=listed&given=lidocaine:18:1:no" + label1: "Nothing is left",
		"/dose/draw?syringe=20&ampoule=50&weight_kg=60&before=listed&given=lidocaine:18.1:1:no" + label1:      "More was given than the limit",
	} {
		s := p.get(path)
		p.says(s, says)
		if figureShown(s) {
			t.Errorf("%s shows an amount:\n%s", path, plain(s.HTML()))
		}
	}
	p.says(p.get("/dose/draw?ml=500&syringe=20&ampoule=50&weight_kg=60&before=nothing"+label1), "At most 18 mL")
	p.says(p.get("/dose/limit?not_weighed=yes&weight_kg=100&before=nothing"+label1), "9 mL", "Not weighed")
}

// TestAnAnnouncedDoseIsNotNothing: "something was given: write it down", and
// then she is called away.
func TestAnAnnouncedDoseIsNotNothing(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=listed")
	for _, path := range []string{b + "/dose", b + "/dose/limit?strength=1&adrenaline=no", b + "/dose/draw?strength=1&adrenaline=no&syringe=10&ampoule=10"} {
		s := p.get(path)
		if s.Path != b+"/dose/earlier" && !strings.HasPrefix(s.Path, b+"/dose/earlier?") || figureShown(s) {
			t.Errorf("%s leads to %s:\n%s", path, s.Path, plain(s.HTML()))
		}
		p.saysNot(s, "That is all")
	}
	p.says(p.get(b), "Something was given before, but it is not written down yet")
	p.post(b+"/dose/earlier", "ml=10&given_strength=1&given_adrenaline=no")
	p.says(p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no"), "8 mL")
}

// TestADrawnAmountIsNotKeptPastAnInjection: Back leads to the address of
// before the injection; what is left is worked out anew.
func TestADrawnAmountIsNotKeptPastAnInjection(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no")
	draw := b + "/dose/draw?strength=1&adrenaline=no&syringe=20&ampoule=20"
	p.says(p.get(draw), "At most 18 mL")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=10")
	p.says(p.get(draw), "At most 8 mL")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=8")
	if s := p.get(draw); figureShown(s) {
		t.Errorf("all was given, and the old address says:\n%s", plain(s.HTML()))
	}
}

// TestAQuickDoseStaysCounted: saying again what was given before does not make
// what was counted vanish.
func TestAQuickDoseStaysCounted(t *testing.T) {
	p := newPhone(t, false)
	s := p.get("/dose/given?weight_kg=60&before=nothing" + label1 + "&ml=10")
	before := p.get(strings.Replace(s.Path, "/dose/limit", "/dose/before", 1))
	if !strings.Contains(before.HTML(), `name="given" value="lidocaine:10:1:no"`) {
		t.Fatalf("the form drops what was counted:\n%s", before.HTML())
	}
	for _, answer := range []string{"nothing", "listed"} {
		p.says(p.get("/dose/limit?weight_kg=60&given=lidocaine:10:1:no&before="+answer+label1), "8 mL", "Given so far 100 mg")
	}
	one := "/dose/ask?asked=before&weight_kg=60&given=lidocaine:10:1:no&before=listed" + label1
	if s := p.get(one); !strings.HasPrefix(s.Path, "/dose/earlier") {
		t.Errorf("one more dose of before leads to %s", s.Path)
	}
	for ml, says := range map[string]string{"0": "how many millilitres went in", "5:2": "no number that can be used", "-1": "no number that can be used", "": "no number that can be used"} {
		p.says(p.get("/dose/given?weight_kg=60&before=nothing"+label1+"&ml="+url.QueryEscape(ml)), says)
	}
	// the strength of the label in hand is not that of an earlier dose
	p.says(p.get("/dose/earlier?weight_kg=60&before=listed"+label1+"&ml=5"), "Choose the strength on the label")
}

func TestWhatWasInjectedNeedsItsLabel(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	for path, title := range map[string]string{
		"/dose/given":                         "What strength?",
		"/dose/given?strength=1":              "With adrenaline?",
		"/dose/given?strength=1&adrenaline=x": "With adrenaline?",
		b + "/dose/given":                     "What strength?",
		b + "/dose/given?agent=bupivacaine":   "This anaesthetic is not known here",
		"/dose/correct":                       "Her weight",
		b + "/dose/correct":                   "Her weight",
		b + "/dose/correct?of=nothing":        "Her weight",
	} {
		p.says(p.get(path), title)
	}
	p.says(p.post(b+"/dose/adrenaline", "strength=1&adrenaline=maybe"), "Choose whether the label says adrenaline")
	p.says(p.post(b+"/dose/adrenaline", "adrenaline=no"), "Choose the strength on the label")
	p.says(p.post(b+"/dose/given", "strength=1&adrenaline=maybe&ml=5"), "Choose whether the label says adrenaline")
	p.says(p.post(b+"/dose/correct", "of=nothing&ml=4&given_strength=1&given_adrenaline=no"), "This line is not there any more")
	if html := p.get(b).HTML(); strings.Contains(html, "Limit for lidocaine") || strings.Contains(html, `class="doses"`) {
		t.Error("something refused was written down")
	}
}

// TestAClosedRecordTakesNoForm: an old screen of a birth that is closed now.
func TestAClosedRecordTakesNoForm(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=5")
	_, event, _ := strings.Cut(p.get(b).HTML(), `name="of" value="`)
	event, _, _ = strings.Cut(event, `"`)
	p.closed(b)
	for path, form := range map[string]string{
		"":                       "of=" + url.QueryEscape(event),
		"/close":                 "",
		"/grade":                 "",
		"/examine/perineal_skin": "value=torn",
		"/dose/weight":           "weight_kg=45",
		"/dose/before":           "before=nobody_knows",
		"/dose/adrenaline":       "strength=1&adrenaline=no",
		"/dose/given":            "strength=1&adrenaline=no&ml=5",
		"/dose/earlier":          "ml=5&given_strength=1&given_adrenaline=no",
		"/dose/correct":          "ml=5&given_strength=1&given_adrenaline=no&of=" + url.QueryEscape(event),
		"/grade?do=second_look":  "do=second_look",
	} {
		p.says(p.post(b+path, form), "This record is closed. Open it again")
	}
	p.saysNot(p.get(b), "taken back", "torn", "45")
}

// TestTheLimitInTheRecordSaysWhenItNoLongerHolds: she was weighed again.
func TestTheLimitInTheRecordSaysWhenItNoLongerHolds(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=90")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no")
	p.says(p.get(b), "20 mL", "all doses of this birth together")
	p.saysNot(p.get(b), "no longer holds")
	p.post(b+"/dose/weight", "weight_kg=45")
	p.says(p.get(b), "This limit no longer holds")
}

// TestAButtonholeIsOnTheListOfBirths: "Grade 1" alone would send her home.
func TestAButtonholeIsOnTheListOfBirths(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.answers(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "intact",
		"rectal_exam", "done", "external_sphincter", "intact", "internal_sphincter", "intact", "anorectal_mucosa", "torn")
	p.says(p.get("/"), "Grade 1 · Plan for: Grade 4")
}

// TestAGradeToPlanByIsNotAFinding: what grade 4 means is not said of a woman
// whose ring is whole, nor of one whom nobody has examined.
func TestAGradeToPlanByIsNotAFinding(t *testing.T) {
	p := newPhone(t, false)
	buttonhole := p.get("/grade?" + torn + "&external_sphincter=intact&internal_sphincter=intact&anorectal_mucosa=torn")
	p.says(buttonhole, "Plan for: Grade 4", "the ring whole", "Muscle torn", "Refer.")
	for _, s := range []pages.Screen{buttonhole, p.get("/grade")} {
		p.says(s, "Plan for: Grade 4")
		p.saysNot(s, "The ring and the bowel’s lining torn")
	}
	p.says(p.get("/grade?"+torn+"&external_sphincter=through&internal_sphincter=torn&anorectal_mucosa=torn"), "The ring and the bowel’s lining torn")
}

func TestSkinTornSaysNothingOfMuscleUnseen(t *testing.T) {
	p := newPhone(t, false)
	p.saysNot(p.get("/grade?perineal_skin=torn"), "no muscle", "Muscle whole")
	p.says(p.get("/grade/examine?episiotomy=perhaps"), "Cut at the birth not said yet")
}

// TestEveryReasonOfAnAlarmHasWords: send refuses a screen with a missing text.
func TestEveryReasonOfAnAlarmHasWords(t *testing.T) {
	p := newPhone(t, false)
	for _, lang := range []string{"en", "fr"} {
		p.lang = lang
		for _, signs := range []string{
			"lost_ml=100&pulse=80&systolic=120&diastolic=80", "lost_ml=100&estimated=yes&pulse=80&systolic=120",
			"pulse=80", "lost_ml=300", "lost_ml=500", "lost_ml=1000", "pulse=90&systolic=100&diastolic=60",
			"pulse=100&systolic=100", "pulse=140&systolic=100", "pulse=0", "systolic=0", "pulse=101", "systolic=99", "diastolic=59",
		} {
			if s := p.get("/emergency/bleeding?" + signs); !strings.Contains(s.HTML(), "alarm-level") {
				t.Errorf("%s: no alarm is shown", signs)
			}
		}
	}
}

// TestAFailingDiskLeavesTheWayToARescue: a write fails and the records cannot
// be read again. Home says so without failing itself, the quick tools and the
// emergency pages work, no new version takes over, and when the disk mends all
// is there.
func TestAFailingDiskLeavesTheWayToARescue(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.disk.Fault = &journaltest.Fault{Op: journaltest.Write, At: p.disk.Count(journaltest.Write) + 1}
	p.disk.out = true
	p.says(p.post(b+"/examine/perineal_skin", "value=torn"), "It was not saved")
	for path, says := range map[string]string{
		"/": "It was not saved", b: "It was not saved", "/emergency/bleeding": "Rub the uterus", "/emergency/toxicity?birth=" + strings.TrimPrefix(b, "/b/"): "Stop injecting",
		"/grade?perineal_skin=torn": "Grade not known yet", "/dose/limit?weight_kg=60&before=nothing" + label1: "18 mL", "/settings": "Records", "/about": "Version",
	} {
		s := p.get(path)
		p.says(s, says)
		if s.Open != 1 {
			t.Errorf("%s: %d births open, and nobody can know", path, s.Open)
		}
	}
	p.disk.out = false
	p.says(p.get("/"), "1 birth in progress")
	p.says(p.post(b+"/examine/perineal_skin", "value=torn"), "Lining of the vagina")
}

// TestADoseIsWrittenOnce: Back leads to the form of before, and its button is
// tapped again.
func TestADoseIsWrittenOnce(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no")
	path := b + "/dose/given?strength=1&adrenaline=no"
	_, lines, found := strings.Cut(p.get(path).HTML(), `name="lines" value="`)
	if !found {
		t.Fatal("the form does not say what it has seen")
	}
	lines, _, _ = strings.Cut(lines, `"`)
	form := "strength=1&adrenaline=no&ml=5&lines=" + lines
	p.post(b+"/dose/given", form)
	s := p.post(b+"/dose/given", form)
	p.says(s, "perhaps this dose", "5 mL · 50 mg")
	if strings.Count(plain(p.get(b).HTML()), "Injected") != 1 {
		t.Error("one dose stands in the record twice")
	}
}

// TestWhatWasGivenIsNeverRefused: somebody gave what is not offered here.
func TestWhatWasGivenIsNeverRefused(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=listed")
	p.says(p.post(b+"/dose/earlier", "other_agent=bupivacaine&mg=20"), "Choose whether the label says adrenaline")
	p.says(p.post(b+"/dose/earlier", "other_agent=bupivacaine&mg=lots&given_adrenaline=no"), "no number that can be used")
	p.says(p.post(b+"/dose/earlier", "other_agent=bupivacaine&mg=20&given_adrenaline=no"), "bupivacaine · 20 mg · before")
	// every milligram counts against the smaller limit: 2 mg/kg of bupivacaine
	// at 60 kg, UK summary of product characteristics 2024
	p.says(p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no"), "10 mL", "Two local anaesthetics add up")
}
