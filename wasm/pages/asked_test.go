package pages_test

import (
	"html"
	"regexp"
	"strings"
	"testing"

	"fourchette/core/course"
)

// TestEveryQuestionIsReached: what nobody can tap is never told. In some state
// of a birth a link leads to each question of the table, or to the page on
// which it is answered.
func TestEveryQuestionIsReached(t *testing.T) {
	elsewhere := map[string]string{"laid_out": "/layout", "repair_finished": "/repair", "today_right": "/visits", "decision": "/needs", "medicines_seen": "/after", "advice_told": "/advice",
		"came_within_24_hours": "/visits", "came_day_3": "/visits", "came_days_7_to_14": "/visits", "came_week_6": "/visits", "came_sphincter_review": "/visits",
		"place_here": "/needs", "anaesthesia_here": "/needs", "instruments_here": "/needs", "material_here": "/needs"}
	reached := map[string]bool{}
	for _, state := range []func(p *phone, b string){
		func(*phone, string) {},
		func(p *phone, b string) { p.safe(b); p.say(b, "pulse", "number=150") },
		func(p *phone, b string) { // referred, a tampon left
			p.safe(b)
			p.found(b, "half_or_more", "intact", "intact")
			p.say(b, "trained_operator_here", "value=no", "decision", "value=refer", "tampon", "value=left")
		},
		func(p *phone, b string) { // she stays
			p.safe(b)
			p.found(b, "half_or_more", "intact", "intact")
			p.say(b, "trained_operator_here", "value=no", "decision", "value=cannot_travel")
		},
		func(p *phone, b string) { // a piece missing, a stitch felt
			p.safe(b)
			p.say(b, "instrumental", "value=vacuum", "allergy", "value=other")
			p.found(b, "intact", "intact", "intact")
			p.say(b, "decision", "value=repair_here", "consent_repair", "value=yes")
			p.post(b+"/count/in", "swab=5&needle=2&tampon=0")
			p.post(b+"/layout", "")
			p.numbed(b)
			p.stitched(b, "vaginal_mucosa", "perineal_muscle", "perineal_skin")
			p.post(b+"/count/out", "swab=4&needle=2&tampon=0")
			p.say(b, "rectal_after", "value=done", "stitch_felt", "value=yes")
		},
		func(p *phone, b string) { // numb, and more than one allergy
			p.safe(b)
			p.found(b, "intact", "intact", "intact")
			p.say(b, "decision", "value=repair_here", "consent_repair", "value=yes")
			p.post(b+"/count/in", "swab=5&needle=2&tampon=0")
			p.post(b+"/layout", "")
			p.numbed(b)
			p.say(b, "allergy", "value=penicillin", "allergy_second", "value=cephalosporin")
		},
	} {
		p := newPhone(t, true)
		b := p.opened()
		state(p, b)
		p.follow(b, reached)
	}
	for _, q := range course.Questions() {
		want := "/ask/" + q.Key
		if page := elsewhere[q.Key]; page != "" {
			want = page
		}
		if !reached[want] {
			t.Errorf("no link leads to %s", want)
		}
	}
	if len(reached) < 50 {
		t.Errorf("only %d pages were reached", len(reached))
	}
}

var href = regexp.MustCompile(`href="#([^"?]+)([^"]*)"`)

// follow goes wherever links lead from a birth's record, and keeps the paths.
func (p *phone) follow(b string, reached map[string]bool) {
	p.t.Helper()
	seen := map[string]bool{}
	for next := []string{b}; len(next) > 0 && len(seen) < 500; next = next[1:] {
		path := html.UnescapeString(next[0])
		if seen[path] {
			continue
		}
		seen[path] = true
		for _, l := range href.FindAllStringSubmatch(p.get(path).HTML(), -1) {
			if tail, mine := strings.CutPrefix(l[1], b); mine {
				reached[tail] = true
			}
			if strings.HasPrefix(l[1], b) || strings.HasPrefix(l[1], "/emergency") {
				next = append(next, l[1]+l[2])
			}
		}
	}
}

// TestTheBleedingFormKeepsItsNumbers: one tap after the rescue text, and only
// for the birth it was opened for; a loss never shrinks.
func TestTheBleedingFormKeepsItsNumbers(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	id := strings.TrimPrefix(b, "/b/")
	const numbers = "lost_ml=600.5&pulse=120&systolic=0&diastolic="
	p.saysNot(p.get("/emergency/bleeding?"+numbers), "Write these numbers")
	p.saysNot(p.get("/emergency/bleeding?birth="+id), "Write these numbers")
	path := "/emergency/bleeding?birth=" + id + "&" + numbers
	s := p.get(path)
	p.says(s, "Write these numbers into the record of IZX-1 · bed 3")
	if text := plain(s.HTML()); strings.Index(text, "Write these numbers") < strings.Index(text, "Rub the uterus") {
		t.Error("the offer stands before the rescue")
	}
	s = p.post(path, "lost_ml=600.5&pulse=120&systolic=0&diastolic=")
	p.says(s, "Written into the record", "Rub the uterus")
	p.saysNot(s, "Write these numbers")
	p.says(p.get(b), "Blood lost: 601", "Pulse: 120", "Upper pressure: Cannot be felt or heard")
	p.post("/emergency/bleeding?birth="+id+"&lost_ml=100", "lost_ml=100")
	p.saysNot(p.get(b), "Blood lost: 100")
	p.says(p.post("/emergency/bleeding?birth="+id+"&systolic=90", "systolic=90&diastolic=95"), "not under the upper one", "Rub the uterus")
	p.closed(b)
	p.saysNot(p.get(path), "Write these numbers")
}
