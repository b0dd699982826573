package pages_test

import (
	"net/url"
	"strings"
	"testing"
)

// TestBackAfterANewBirthOpensNoSecondRecord: the record that is open is
// offered first; another woman is one tap away.
func TestBackAfterANewBirthOpensNoSecondRecord(t *testing.T) {
	p := newPhone(t, true)
	b := p.post("/new", "born=now&bed=1").Path
	s := p.post("/new", "born=now&bed=1")
	p.says(s, "Is it this woman?", "bed 1")
	if !strings.Contains(s.HTML(), `id="next" href="#`+b+`"`) {
		t.Errorf("her record is not offered:\n%s", plain(s.HTML()))
	}
	p.says(p.get("/"), "1 birth in progress")
	if second := p.post("/new", "born=now&bed=1&another=yes").Path; second == b || !strings.HasPrefix(second, "/b/") {
		t.Errorf("another woman leads to %s", second)
	}
}

// TestLettersNotBytes: what is too long says how many letters fit.
func TestLettersNotBytes(t *testing.T) {
	p := newPhone(t, true)
	b := p.post("/new", "born=now&bed="+url.QueryEscape("سرير ثمانية")).Path
	p.says(p.get(b), "سرير ثمانية")
	p.say(b, "tampon", "value=left", "tampon_receiver", "text="+url.QueryEscape("Медсестра Центральной районной больницы"))
	p.says(p.post(b+"/ask/tampon_receiver", "text="+strings.Repeat("x", 61)), "at most 60 letters")
	p.says(p.post("/new", "born=now&bed=1234567890123"), "at most 12 letters")
}

// TestAnHourBeforeTheBirthIsAskedAgain: born at noon; only the very hour that
// was asked about is confirmed by being written again.
func TestAnHourBeforeTheBirthIsAskedAgain(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.says(p.post(b+"/ask/urine_passed", "at=2026-03-01T12:00"), "more than a day before the birth")
	s := p.post(b+"/ask/urine_passed", "at=2026-03-14T10:00")
	p.says(s, "This is before the birth. Look at both hours")
	if !strings.Contains(s.HTML(), `name="confirmed" value="2026-03-14T10:00"`) {
		t.Error("it cannot be confirmed")
	}
	p.says(p.post(b+"/ask/urine_passed", "at=2026-03-14T09:00&confirmed=2026-03-14T10:00"), "This is before the birth")
	p.saysNot(p.post(b+"/ask/urine_passed", "at=2026-03-14T10:00&confirmed=2026-03-14T10:00"), "This is before the birth")
}

func TestNoneAfterInsideIsAskedAbout(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.saysNot(p.get(b+"/ask/tampon"), "said by mistake")
	p.say(b, "tampon", "value=in")
	s := p.post(b+"/ask/tampon", "value=none")
	p.says(s, "It was said that one is inside", "Never put in")
	p.says(p.get(b), "A tampon is inside")
	p.say(b, "tampon", "value=never_in")
	p.saysNot(p.get(b), "A tampon is inside.")
	p.says(p.get(b+"/refer"), "was said by mistake")
}

func TestAnAddressWithoutABirthIsNoPage(t *testing.T) {
	p := newPhone(t, true)
	for _, path := range []string{"/b", "/b/"} {
		s := p.get(path)
		p.saysNot(s, "not one of those offered")
		p.says(s, plain(p.get("/nowhere").Main))
	}
}
