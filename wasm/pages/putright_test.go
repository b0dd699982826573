package pages_test

import (
	"strings"
	"testing"
)

// TestTheHourOfBirthCanBePutRight: the page is a tap from the record, keeps
// the bed, and the record says that something was put right.
func TestTheHourOfBirthCanBePutRight(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.says(p.get(b), "Put bed or hour of birth right")
	s := p.get(b + "/born")
	p.says(s, "What was said before stays")
	if !strings.Contains(s.HTML(), `value="3"`) {
		t.Error("the bed has to be typed again")
	}
	p.says(p.post(b+"/born", "born=at&born_at=2036-01-01T12%3A00&bed=3"), "This hour has not come yet")
	p.says(p.post(b+"/born", "born=not_known&bed=3"), "Bed or hour of birth put right")
}

// TestWhatIsHereIsAskedBesideWhatIsNeeded: what is not here warns.
func TestWhatIsHereIsAskedBesideWhatIsNeeded(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.says(p.get(b+"/needs"), "Here now", "Not here")
	p.post(b+"/needs", "question=material_here&value=no")
	p.saysNot(p.get(b), "Something that this repair needs is not here")
	p.say(b, "decision", "value=repair_here", "consent_repair", "value=yes")
	p.says(p.get(b), "Something that this repair needs is not here")
	p.post(b+"/needs", "question=material_here&value=yes")
	p.saysNot(p.get(b), "Something that this repair needs is not here")
}

// TestATemperatureHasOneDecimal.
func TestATemperatureHasOneDecimal(t *testing.T) {
	for typed, want := range map[string]string{"38": "38.0", "37%2C5": "37.5", "40.1": "40.1"} {
		p := newPhone(t, true)
		b := p.opened()
		p.say(b, "temperature", "number="+typed)
		p.says(p.get(b+"/stage/after"), want)
		if want >= "38" {
			p.says(p.get(b), "Fever, 38")
		} else {
			p.saysNot(p.get(b), "Fever, 38")
		}
	}
	for _, typed := range []string{"38.25", "98", "3x", "", ".5", "38."} {
		p := newPhone(t, true)
		b := p.opened()
		if s := p.post(b+"/ask/temperature", "number="+typed); !strings.Contains(s.HTML(), `role="alert"`) {
			t.Errorf("%q is taken:\n%s", typed, plain(s.HTML()))
		}
		p.saysNot(p.get(b), "Fever, 38")
	}
}
