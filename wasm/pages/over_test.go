package pages_test

import (
	"strings"
	"testing"
)

// TestOverTheLimitIsSaidUntilItIsNot: whoever missed the toxicity page finds it
// on the record, beside the doses, on every paper, and a tap leads there.
func TestOverTheLimitIsSaidUntilItIsNot(t *testing.T) {
	const over = "More was given than the limit"
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	p.post(b+"/dose/adrenaline", "strength=2&adrenaline=no")
	p.post(b+"/dose/given", "strength=2&adrenaline=no&ml=7")
	for _, tail := range []string{"", "/handover", "/refer", "/register"} {
		p.saysNot(p.get(b+tail), over, "than the limit")
	}
	p.post(b+"/dose/weight", "weight_kg=45") // 140 mg, and the limit was 180: now it is 135
	link := `href="#/emergency/toxicity?over=yes&amp;birth=` + strings.TrimPrefix(b, "/b/") + `"`
	for _, tail := range []string{"", "/dose/limit?strength=2&adrenaline=no", "/dose/weight", "/dose/earlier"} {
		s := p.get(b + tail)
		p.says(s, over)
		if !strings.Contains(s.HTML(), link) {
			t.Errorf("%s: no way to the toxicity page", tail)
		}
	}
	p.says(p.get(b+"/repair"), "More local anaesthetic was given than the limit")
	for _, tail := range []string{"", "/handover", "/refer", "/register"} {
		p.says(p.get(b+tail), "140 mg", "the limit is", "135 mg")
	}
	for _, tail := range []string{"/handover", "/refer"} {
		p.says(p.get(b+tail), over)
	}
}

// TestWhatWasGivenBeforeStaysUnknown: a dose written down since does not
// answer what nobody knows.
func TestWhatWasGivenBeforeStaysUnknown(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/given", "strength=1&adrenaline=no&ml=5")
	for _, x := range [][2]string{{"", "Nobody has said yet what was given before"}, {"nobody_knows", "Nobody knows what was given before"},
		{"listed", "Something was given before, but it is not written down yet"}} {
		if x[0] != "" {
			p.post(b+"/dose/before", "before="+x[0])
		}
		for _, tail := range []string{"", "/handover", "/refer", "/register"} {
			p.says(p.get(b+tail), "5 mL", x[1])
		}
	}
	p.post(b+"/dose/before", "before=nothing")
	for _, tail := range []string{"", "/handover", "/refer", "/register"} {
		p.saysNot(p.get(b+tail), "given before,", "what was given before")
	}
}
