package pages

import (
	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// guarded are the pages of a birth that ask first when the last tap was in
// another one: dose, count and grade.
var guarded = map[string]bool{"dose": true, "count": true, "grade": true}

// rightWoman asks, with two births open, when the last tap was in the other
// one or nobody knows in which. Number and bed are large.
func (v *visit) rightWoman(b *companion.BirthReply) (page, bool) {
	a := v.app
	if v.posted() && v.form.Get("right_woman") != "" {
		a.last = b.Birth
		return page{to: v.path}, true
	}
	if !guarded[v.step(2)] || v.open() < 2 || a.last == b.Birth {
		return page{}, false
	}
	p := page{title: "guard.title", place: "place.record", birth: b, clinical: true}
	p.body = append(p.body, h.P(h.Class("dose"), h.B(number(b.Number))))
	if b.Bed != "" {
		p.body = append(p.body, h.P(h.Class("grade-line"), h.Strong(v.t("bar.bed", "bed", b.Bed))))
	}
	p.body = append(p.body, h.P(v.bornAt(b, v.since)), v.p("guard.what"),
		v.postForm(v.path, hidden("right_woman", "yes"), v.submit("guard.yes")), more(v.link("/", "guard.no")))
	return p, true
}
