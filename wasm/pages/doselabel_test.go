package pages_test

import "testing"

// TestTheLimitIsOfTheBottleInHand: 0.5 % first, then 2 %, then Back, or an
// address typed by hand. No figure, no drawing up and no form for a dose stand
// there before the label was read again.
func TestTheLimitIsOfTheBottleInHand(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/dose/weight", "weight_kg=60")
	p.post(b+"/dose/before", "before=nothing")
	typed := p.get(b + "/dose/limit?strength=1&adrenaline=no")
	p.says(typed, "strength")
	if figureShown(typed) {
		t.Errorf("no label was written, and a figure stands:\n%s", plain(typed.HTML()))
	}
	p.post(b+"/dose/adrenaline", "strength=0.5&adrenaline=no")
	p.says(p.post(b+"/dose/adrenaline", "strength=2&adrenaline=no"), "May be given now", "9 mL")
	for _, back := range []string{"/dose/limit?strength=0.5&adrenaline=no", "/dose/limit?strength=2&adrenaline=yes",
		"/dose/draw?strength=0.5&adrenaline=no&syringe=10&ampoule=10", "/dose/given?strength=0.5&adrenaline=no"} {
		s := p.get(b + back)
		p.says(s, "Which bottle is in your hand?", "The label written down last", "lidocaine 2 %")
		p.saysNot(s, "Write it down")
		if figureShown(s) {
			t.Errorf("%s shows a figure:\n%s", back, plain(s.HTML()))
		}
	}
	p.says(p.get(b+"/dose/limit?strength=2&adrenaline=no"), "9 mL")
	p.says(p.post(b+"/dose/adrenaline", "strength=0.5&adrenaline=no"), "36 mL")
	p.says(p.get(b+"/dose/limit?strength=2&adrenaline=no"), "Which bottle is in your hand?")
	p.says(p.get("/dose/limit?weight_kg=60&before=nothing&strength=0.5&adrenaline=no"), "36 mL") // a quick tool has no record
}

// TestOnlyBottlesThatExistAreMadeWeaker: and the printed source stands under
// its own two recipes only.
func TestOnlyBottlesThatExistAreMadeWeaker(t *testing.T) {
	p := newPhone(t, true)
	for _, x := range []string{"stock=75&wanted=75&make=1000", "stock=2&wanted=0.3&make=10", "stock=3&wanted=1&make=10"} {
		s := p.get("/dose/dilute?" + x)
		p.says(s, "This strength does not exist")
		p.saysNot(s, "MCPC", "Take")
	}
	p.says(p.get("/dose/dilute?stock=2&wanted=0.5&make=20"), "5 mL", "15 mL", "MCPC")
	p.says(p.get("/dose/dilute?stock=1&wanted=0.5&make=20"), "10 mL", "MCPC")
	s := p.get("/dose/dilute?stock=2&wanted=1&make=10")
	p.says(s, "5 mL", "common practice, no source")
	p.saysNot(s, "MCPC")
}

// TestNoPageShowsABottleThatDoesNotExist: not even before the tap.
func TestNoPageShowsABottleThatDoesNotExist(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	for _, path := range []string{"/dose/given?strength=99&adrenaline=no", b + "/dose/given?strength=99&adrenaline=no"} {
		s := p.get(path)
		p.says(s, "This strength does not exist")
		p.saysNot(s, "99 %", "Write it down")
	}
}
