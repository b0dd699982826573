package pages_test

import (
	"strings"
	"testing"
)

// before wants one text on a screen ahead of another.
func before(t *testing.T, html, first, then string) {
	t.Helper()
	text := plain(html)
	a, b := strings.Index(text, first), strings.Index(text, then)
	if a < 0 || b < 0 || a > b {
		t.Errorf("%q does not stand before %q:\n%s", first, then, text)
	}
}

// TestWhatMayHurtStandsFirst: the alarm before the clocks, a danger in a box of
// its own before what is only to be borne in mind, the clock that is over before
// those that run.
func TestWhatMayHurtStandsFirst(t *testing.T) {
	p := newPhone(t, true)
	b := p.post("/new", "born=at&born_at=2026-03-14T10:30&bed=3").Path
	p.say(b, "pulse", "number=150", "placenta_complete", "value=unsure")
	s := p.get(b)
	before(t, s.Main, "Go to heavy bleeding", "Against the clock")
	before(t, s.Main, "Early checks overdue", "Tranexamic acid")
	danger, rest, _ := strings.Cut(s.Main, `class="caution warnings"`)
	if !strings.Contains(danger, `class="problem warnings"`) || !strings.Contains(plain(rest), "placenta") {
		t.Errorf("danger and caution stand in one box:\n%s", s.Main)
	}
}

// TestAFeverLeadsToItsPage, as a pulse that rings leads to heavy bleeding.
func TestAFeverLeadsToItsPage(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	if s := p.post(b+"/ask/temperature", "number=38.6"); !strings.HasPrefix(s.Path, "/emergency/fever") {
		t.Errorf("a fever leads to %s", s.Path)
	}
	if s := p.post(b+"/ask/temperature", "number=37"); strings.HasPrefix(s.Path, "/emergency") {
		t.Errorf("no fever leads to %s", s.Path)
	}
}

// TestTheFieldsOfACountStandFirst: how to count is one tap away.
func TestTheFieldsOfACountStandFirst(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	main := p.get(b + "/count/in").Main
	if summary := strings.Index(main, "<summary>How to count"); summary < 0 || strings.Index(main, `id="f-swab"`) < summary || strings.Contains(main[:summary], "aloud") {
		t.Errorf("the fields come late:\n%s", main)
	}
}

// TestWhoWasIllFromAnInjectionIsAskedWhereNothingAnswers: beside the limit. Over
// the answers to another question a no would be taken for hers to this one.
func TestWhoWasIllFromAnInjectionIsAskedWhereNothingAnswers(t *testing.T) {
	p := newPhone(t, true)
	const asked = "Did a numbing injection ever make her ill?"
	p.saysNot(p.get("/dose/before?weight_kg=60"), asked)
	p.says(p.get("/dose/limit?weight_kg=60&before=nothing&strength=1&adrenaline=no"), asked)
}
