package pages_test

import (
	"net/url"
	"strings"
	"testing"

	"fourchette/wasm/pages"
)

// The ways of a birth, from tap to tap, without a browser: wasm/journeys walks
// the same in Chromium.

// answers taps the answer to each question in turn and wants each to lead to
// the next.
func (p *phone) answers(b string, pairs ...string) pages.Screen {
	p.t.Helper()
	var s pages.Screen
	for i := 0; i < len(pairs); i += 2 {
		s = p.post(b+"/examine/"+pairs[i], "value="+pairs[i+1])
		if i+2 < len(pairs) && s.Path != b+"/examine/"+pairs[i+2] {
			p.t.Fatalf("after %s: %s, want %s", pairs[i], s.Path, pairs[i+2])
		}
	}
	return s
}

func (p *phone) says(s pages.Screen, wants ...string) {
	p.t.Helper()
	text := plain(s.HTML())
	for _, want := range wants {
		if !strings.Contains(text, want) {
			p.t.Errorf("%s does not say %q:\n%s", s.Path, want, text)
		}
	}
}

func (p *phone) saysNot(s pages.Screen, wants ...string) {
	p.t.Helper()
	text := plain(s.HTML())
	for _, want := range wants {
		if strings.Contains(text, want) {
			p.t.Errorf("%s says %q:\n%s", s.Path, want, text)
		}
	}
}

// plain is the text of a page, one space between words.
func plain(html string) string {
	var b strings.Builder
	inside := false
	for _, r := range html {
		switch {
		case r == '<':
			inside = true
			b.WriteByte(' ')
		case r == '>':
			inside = false
		case !inside:
			b.WriteRune(r)
		}
	}
	return strings.Join(strings.Fields(strings.NewReplacer("\u00a0", " ", "\u2068", "", "\u2069", "").Replace(b.String())), " ")
}

func TestFirstDegree(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	s := p.answers(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "intact", "perineal_muscle", "intact",
		"rectal_exam", "done", "external_sphincter", "intact", "internal_sphincter", "intact", "anorectal_mucosa", "intact")
	if s.Path != b+"/grade" {
		t.Fatalf("after the last question: %s", s.Path)
	}
	p.says(s, "Grade 1 settled", "Plan for: Grade 1", "O70.0")
	s = p.post(b+"/grade", "")
	p.says(s, "Grade 1")
	p.saysNot(s, "not settled")
}

func TestThirdDegreeMustBeReferred(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	s := p.answers(b, "episiotomy", "yes", "rectal_exam", "done", "external_sphincter", "half_or_more", "internal_sphincter", "intact", "anorectal_mucosa", "intact")
	p.says(s, "Grade 3b settled", "Refer.", "O70.2", "US modification only: O70.22")
}

func TestRectalExaminationDeclined(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	s := p.answers(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "torn",
		"rectal_exam", "declined", "external_sphincter", "intact", "internal_sphincter", "unsure", "anorectal_mucosa", "unsure")
	p.says(s, "Grade not known yet", "not settled", "Plan for: Grade 4", "She said no to the rectal examination")
	p.says(p.post(b+"/grade", ""), "not settled")
}

func TestButtonholeAfterTheSecondLook(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	s := p.answers(b, "episiotomy", "no", "perineal_skin", "torn", "vaginal_mucosa", "torn", "perineal_muscle", "intact",
		"rectal_exam", "done", "external_sphincter", "intact", "internal_sphincter", "intact", "anorectal_mucosa", "torn")
	p.says(s, "Grade 1 and a buttonhole into the bowel not settled", "Look once more", "Plan for: Grade 4")
	s = p.post(b+"/grade", "do=second_look")
	p.says(s, "Grade 1 and a buttonhole into the bowel settled", "Plan for: Grade 4")
	p.saysNot(s, "Look once more")
}

func TestNotWeighed(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	if s := p.get(b + "/dose"); s.Path != b+"/dose/weight" {
		t.Fatalf("the first question is %s", s.Path)
	}
	if s := p.post(b+"/dose/weight", "not_weighed=yes"); s.Path != b+"/dose/before" {
		t.Fatalf("then %s", s.Path)
	}
	if s := p.post(b+"/dose/before", "before=nothing"); s.Path != b+"/dose/strength" {
		t.Fatalf("then %s", s.Path)
	}
	s := p.post(b+"/dose/adrenaline", "strength=0.5&adrenaline=no")
	p.says(s, "18 mL", "This is 90 mg", "Not weighed : 30 kg", "Weigh her if you can")
	p.says(p.get(b), "Limit for lidocaine 0.5 %: 18 mL ( 90 mg )", "Not weighed")
}

// TestSecondDoseAfterTheCut: what was injected for the episiotomy counts in
// full against what may be given for the repair.
func TestSecondDoseAfterTheCut(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	s := p.post(b+"/dose/before", "before=listed")
	if s.Path != b+"/dose/earlier" {
		t.Fatalf("what was given before is asked at %s", s.Path)
	}
	p.says(p.post(b+"/dose/earlier", "ml=10&given_strength=1"), "Choose whether the label says adrenaline")
	p.says(p.post(b+"/dose/earlier", "ml=10&given_adrenaline=no"), "Choose the strength on the label")
	p.says(p.post(b+"/dose/earlier", "ml=10&given_strength=1&given_adrenaline=no"), "10 mL · 100 mg · before")
	s = p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no")
	p.says(s, "8 mL", "This is 80 mg", "Given so far 100 mg", "Limit for this birth 180 mg = 18 mL")
	s = p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=8")
	p.says(s, "Nothing is left. Give no more.")
	s = p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=0.1")
	if !strings.HasPrefix(s.Path, "/emergency/toxicity?over=yes") {
		t.Fatalf("more than the limit leads to %s", s.Path)
	}
	p.says(s, "More anaesthetic was given than the limit", "Stop injecting")
	p.says(p.get(b), "0.1 mL · 1 mg")
}

func TestNobodyKnowsShowsNoRemainder(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nobody_knows")
	s := p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no")
	p.says(s, "Nobody knows what was given before", "Limit for this birth 180 mg")
	if strings.Contains(s.HTML(), `class="dose"`) {
		t.Error("a large number of millilitres stands where none is known")
	}
}

func TestADoseIsPutRight(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=10")
	record := p.get(b).HTML()
	_, event, found := strings.Cut(record, `name="of" value="`)
	event, _, _ = strings.Cut(event, `"`)
	if !found {
		t.Fatal("the record does not offer to put the dose right")
	}
	s := p.post(b+"/dose/correct", "ml=4&given_strength=1&given_adrenaline=no&of="+url.QueryEscape(event))
	p.says(s, "4 mL · 40 mg", "Dose corrected", "10 mL · 100 mg")
	p.says(p.post(b, "of="+url.QueryEscape(event)), "taken back")
	p.says(p.post(b+"/dose/adrenaline", "strength=1&adrenaline=no"), "18 mL")
}

func TestCloseAndOpenAgain(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	if s := p.closed(b); s.Path != "/" || s.Open != 0 {
		t.Fatalf("closing leads to %s with %d open", s.Path, s.Open)
	}
	p.says(p.get(b), "This record is closed")
	p.says(p.post(b+"/examine/perineal_skin", "value=torn"), "This record is closed. Open it again")
	if s := p.post(b, "do=reopen"); s.Open != 1 {
		t.Error("opening again does not open it")
	}
}

func TestLanguageSwitchKeepsThePlace(t *testing.T) {
	p := newPhone(t, true)
	path := "/dose/before?weight_kg=60"
	s := p.app.Handle(pages.Message{Method: "post", Path: "/settings", Form: "lang=fr", At: path})
	if s.Path != path || s.Lang != "fr" {
		t.Fatalf("the switch leads to %s in %s", s.Path, s.Lang)
	}
	if s := p.post("/settings", "theme=dark"); s.Theme != "dark" {
		t.Errorf("theme %q", s.Theme)
	}
	if s := p.post("/settings", "lang=xx"); s.Lang != "en" {
		t.Errorf("a language that is not offered gives %s", s.Lang)
	}
}

func TestQuickToolsNeedNoDisk(t *testing.T) {
	p := newPhone(t, false)
	p.says(p.get("/"), "no place to keep records", "quick tools")
	p.saysNot(p.get("/"), "New birth")
	p.says(p.get("/grade?rectal_exam=done"), "Grade not known yet")
	p.says(p.get("/dose/ask?weight_kg=62,5&before=nothing&strength=1&adrenaline=no"), "18.7 mL")
	p.says(p.get("/b/aaaaaaaa-1"), "No records here", "Nothing is written down")
	p.says(p.post("/new", "born=now"), "No records here", "Nothing is written down")
}

func TestQuickDose(t *testing.T) {
	p := newPhone(t, false)
	if s := p.get("/dose/ask?asked=weight&weight_kg=35"); !strings.Contains(s.Path, "/dose/weight") {
		t.Fatalf("a rare weight leads to %s", s.Path)
	} else {
		p.says(s, "This weight is rare. Is it right?")
	}
	p.says(p.get("/dose/ask?asked=weight&weight_kg=35&confirmed=yes&before=nothing&strength=1&adrenaline=no"), "10.5 mL")
	s := p.get("/dose/given?weight_kg=60&before=nothing&strength=1&adrenaline=no&ml=10")
	if !strings.HasPrefix(s.Path, "/dose/limit") {
		t.Fatalf("a counted dose leads to %s", s.Path)
	}
	p.says(s, "8 mL", "Given so far 100 mg")
	p.says(p.get("/dose/ask?weight_kg=60&before=listed"), "What was given before")
}

// TestBadInputIsSaidInPlace: every field, refused in place, with what was
// typed still there.
func TestBadInputIsSaidInPlace(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	for _, x := range []struct{ method, path, form, says, kept string }{
		{"post", "/new", "born=at&born_at=soon&bed=3", "Choose the day and the hour", `value="3"`},
		{"post", "/new", "born=at&born_at=2026-03-14T13:00", "This hour has not come yet", ""},
		{"post", "/new", "born=at&born_at=2025-03-14T13:00", "more than six weeks ago", ""},
		{"post", "/new", "born=now&bed=a+long+name+here", "at most 12 letters", `value="a long name here"`},
		{"post", "/new", "", "not one of those offered", ""},
		{"post", b + "/dose/weight", "weight_kg=", "Write this first", ""},
		{"post", b + "/dose/weight", "weight_kg=6o", "no number that can be used", `value="6o"`},
		{"post", b + "/dose/weight", "weight_kg=1.2.3", "no number that can be used", `value="1.2.3"`},
		{"post", b + "/dose/weight", "weight_kg=20", "Only 30 to 200 kg", `value="20"`},
		{"post", b + "/dose/weight", "weight_kg=60&height_cm=90", "Only 120 to 220 cm", `value="90"`},
		{"post", b + "/dose/weight", "weight_kg=60&height_cm=tall", "no number that can be used", `value="tall"`},
		{"post", b + "/dose/before", "before=maybe", "not one of those offered", ""},
		{"post", b + "/dose/given", "strength=1&adrenaline=no&ml=", "no number that can be used", ""},
		{"post", b + "/dose/given", "strength=1&adrenaline=no&ml=0", "how many millilitres went in", ""},
		{"post", b + "/dose/given", "strength=1&adrenaline=no&ml=1,000", "no number that can be used", `value="1,000"`},
		{"post", b + "/dose/given", "strength=0.75&adrenaline=no&ml=5", "This strength does not exist", `value="5"`},
		{"post", b + "/examine/perineal_skin", "value=gone", "not one of those offered", ""},
		{"get", "/dose/ask?asked=weight&weight_kg=abc", "", "no number that can be used", `value="abc"`},
		{"get", "/dose/ask?asked=weight&weight_kg=", "", "Write this first", ""},
		{"get", "/dose/dilute?stock=0.5&wanted=1&make=10", "", "A weaker solution cannot be made stronger", `value="0.5"`},
		{"get", "/dose/dilute?stock=x&wanted=1&make=10", "", "no number that can be used", `value="x"`},
		{"get", "/emergency/bleeding?pulse=fast", "", "no number that can be used", `value="fast"`},
		{"get", "/emergency/bleeding?pulse=900", "", "This cannot be. Measure again.", `value="900"`},
		{"get", "/emergency/bleeding?wet_g=100&dry_g=200", "", "Wet weighs less than dry", `value="200"`},
		{"get", "/emergency/bleeding?systolic=90&diastolic=110", "", "The lower pressure is not under the upper one", `value="110"`},
		{"get", "/emergency/bleeding?wet_g=100&pulse=150", "", "Two weights are needed", `value="100"`},
		{"get", "/emergency/bleeding?wet_g=100&pulse=150", "", "Pulse above 100", `value="100"`},
		{"get", "/emergency/bleeding?pulse=88.5", "", "Write whole figures only", `value="88.5"`},
		{"get", "/emergency/bleeding?lost_ml=1.500", "", "Write 1500, or 1.5", `value="1.500"`},
		{"post", b + "/dose/given", "strength=1&adrenaline=no&ml=1.500", "Write 1500, or 1.5", `value="1.500"`},
		{"get", "/grade?perineal_skin=gone", "", "not one of those offered", ""},
	} {
		s := p.send(x.method, x.path, x.form)
		if text := plain(s.HTML()); !strings.Contains(text, x.says) || !strings.Contains(s.HTML(), x.kept) {
			t.Errorf("%s %s: does not say %q or does not keep %q:\n%s", x.path, x.form, x.says, x.kept, text)
		}
		if !strings.Contains(s.HTML(), `role="alert"`) {
			t.Errorf("%s %s: a screen reader is not told", x.path, x.form)
		}
	}
}

func TestWhatIsTypedIsEscaped(t *testing.T) {
	p := newPhone(t, true)
	s := p.post("/new", "born=now&bed="+url.QueryEscape(`<b>"&'`))
	if strings.Contains(s.HTML(), "<b>\"") || !strings.Contains(s.HTML(), "&lt;b&gt;") {
		t.Errorf("a bed mark reaches the page as markup:\n%s", s.HTML())
	}
	s = p.get("/dose/weight?weight_kg=" + url.QueryEscape(`"><img src=x>`))
	if strings.Contains(s.HTML(), "<img") {
		t.Error("an address reaches the page as markup")
	}
}

// FuzzHandle: whatever stands in an address or a form, there is a screen, and
// it is not the one that says the program failed.
func FuzzHandle(f *testing.F) {
	for _, s := range screens {
		f.Add(true, s.path, "value=torn&ml=5&strength=1&adrenaline=no")
		f.Add(false, s.path, "")
	}
	f.Fuzz(func(t *testing.T, post bool, path, form string) {
		p := newPhone(t, true)
		b := p.opened()
		method := "get"
		if post {
			method = "post"
		}
		s := p.app.Handle(pages.Message{Method: method, Path: strings.Replace(path, "B", b, 1), Form: form})
		if strings.Contains(s.HTML(), "The program failed on this screen") {
			t.Errorf("%s %s %q: %s", method, path, form, plain(s.HTML()))
		}
	})
}
