package journeys

import (
	"testing"

	"fourchette/wasm/browser"
)

func TestFirstDegree(t *testing.T) {
	w := begin(t)
	w.Reads("0 births in progress")
	b := w.examined("3")
	w.answer(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "intact", "perineal_muscle", "intact",
		"rectal_exam", "done", "external_sphincter", "intact", "internal_sphincter", "intact", "anorectal_mucosa", "intact")
	w.At(b + "/grade")
	w.Reads("Grade 1 settled", "Plan for: Grade 1", "Skin or vagina is torn", "bed 3")
	w.ReadsNot("Look at this next", "Look once more", "Refer.")
	w.TapWords("Write this grade in the record")
	w.At(b)
	w.Reads("Grade 1 ·")
	w.ReadsNot("not settled")
	w.written(b, "Record opened", "Cut made at the birth: no", "Skin of the perineum: torn", "Muscle of the perineum: whole",
		"Rectal examination: done", "Lining of the bowel: whole", "Grade written: Grade 1")
	w.Tap("#home")
	w.At("/")
	w.Reads("1 birth in progress", "bed 3", "grade written: Grade 1")
}

// The parts are tapped where they are drawn. What was tapped as torn is drawn
// torn when the drawing comes back.
func TestThirdDegreeIsReferred(t *testing.T) {
	w := begin(t)
	b := w.newBirth("B")
	w.Tap(`a.tool[href$="/examine"]`)
	for _, part := range []struct{ name, word, class string }{
		{"external_sphincter", "half_or_more", "torn half_or_more"},
		{"perineal_skin", "torn", "torn"},
		{"vaginal_mucosa", "torn", "torn"},
		{"perineal_muscle", "torn", "torn"},
		{"internal_sphincter", "intact", "intact"},
		{"anorectal_mucosa", "intact", "intact"},
	} {
		w.At(b + "/examine")
		if got := browser.Ask[string](w.Tab, `document.querySelector('.perineum a.`+part.name+`').getAttribute('class')`); got != "region "+part.name+" open" {
			t.Errorf("before it is examined %s is drawn as %q", part.name, got)
		}
		w.Tap(".perineum a." + part.name)
		w.answer(b, part.name, part.word)
		if w.Path() == b+"/grade" { // nothing is left to ask behind this part
			w.TapWords("Change what was found")
		} else {
			w.TapWords("Whole drawing")
		}
		w.At(b + "/examine")
		if got := browser.Ask[string](w.Tab, `document.querySelector('.perineum a.`+part.name+`').getAttribute('class')`); got != "region "+part.name+" "+part.class {
			t.Errorf("%s, found %s, is drawn as %q", part.name, part.word, got)
		}
	}
	w.Reads("Outer ring muscle half or more torn", "Rectal examination not examined")
	w.Tap("#next")
	w.answer(b, "episiotomy", "no", "rectal_exam", "done")
	w.At(b + "/grade")
	w.Reads("Grade 3b settled", "Plan for: Grade 3b", "Refer.", "Half of the outer ring muscle or more is torn.")
	if n := browser.Ask[int](w.Tab, `document.querySelectorAll('.perineum .torn').length`); n != 4 {
		t.Errorf("%d parts are drawn torn on the grade, wanted 4", n)
	}
	w.TapWords("Codes for the register")
	w.Reads("ICD-10 (WHO): O70.2", "US modification only: O70.22")
	w.TapWords("Write this grade in the record")
	w.At(b)
	w.Reads("Grade 3b ·")
	w.written(b, "Outer ring muscle: half or more torn", "Grade written: Grade 3b")
}

// Whoever says no is not asked again, and what only the finger can tell stays
// unknown.
func TestRectalExaminationDeclined(t *testing.T) {
	w := begin(t)
	b := w.examined("")
	w.answer(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "torn",
		"rectal_exam", "declined", "external_sphincter", "intact", "internal_sphincter", "unsure", "anorectal_mucosa", "unsure")
	w.At(b + "/grade")
	w.Reads("Grade not known yet not settled", "Plan for: Grade 4", "She said no to the rectal examination.")
	if asked := browser.Ask[[]string](w.Tab, `[...document.querySelectorAll('.ask a')].map((a) => a.innerText)`); anyContains(asked, "Rectal") {
		t.Errorf("she said no and the screen asks again: %q", asked)
	}
	w.TapWords("Write this grade in the record")
	w.At(b)
	w.Reads("Grade not known yet", "not settled, plan for Grade 4")
	w.written(b, "Rectal examination: she said no", "Grade written: Grade not known yet")
}

func TestButtonholeAfterTheSecondLook(t *testing.T) {
	w := begin(t)
	b := w.examined("")
	w.answer(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "intact",
		"rectal_exam", "done", "external_sphincter", "intact", "internal_sphincter", "intact", "anorectal_mucosa", "torn")
	w.At(b + "/grade")
	w.Reads("Grade 1 and a buttonhole into the bowel not settled", "Look once more", "Plan for: Grade 4")
	w.TapWords("Look again now")
	w.At(b + "/examine")
	w.Back()
	w.At(b + "/grade")
	w.TapWords("I have looked again: it stays so")
	w.Reads("Grade 1 and a buttonhole into the bowel settled", "Plan for: Grade 4")
	w.ReadsNot("Look once more")
	w.TapWords("Write this grade in the record")
	w.At(b)
	w.Reads("Grade 1 · and a buttonhole into the bowel")
	w.written(b, "Looked a second time", "Lining of the bowel: torn", "Grade written: Grade 1")
}

// Without a record the answers live in the address: nothing is written down.
func TestQuickGrade(t *testing.T) {
	w := begin(t)
	w.TapWords("Grade a tear")
	w.Until(`document.getElementById('screen').dataset.path.startsWith('/grade/examine')`)
	w.Tap("#next")
	for _, pair := range [][2]string{{"episiotomy", "yes"}, {"rectal_exam", "done"}, {"external_sphincter", "under_half"},
		{"internal_sphincter", "intact"}, {"anorectal_mucosa", "intact"}} {
		w.Tap(`button[name="` + pair[0] + `"][value="` + pair[1] + `"]`)
	}
	w.Reads("Grade 3a settled", "Refer.", "No record")
	w.Reload()
	w.Reads("Grade 3a settled")
	w.Tap("#home")
	w.Reads("0 births in progress")
}
