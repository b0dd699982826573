package pages

import (
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// guarded are the pages of a birth that ask already before they are shown, when
// the last tap was in another one: dose, count and grade. Whatever writes into
// a birth asks, from every page.
var guarded = map[string]bool{"dose": true, "count": true, "grade": true}

// rightWoman asks, with two births open, when the last tap was in the other
// one or nobody knows in which. Number and bed are large.
func (v *visit) rightWoman(b *companion.BirthReply) (page, bool) {
	a := v.app
	if v.posted() && v.form.Get("right_woman") != "" {
		a.last = b.Birth
		return page{to: orElse(v.within(b, v.form.Get("back")), v.path)}, true
	}
	if !guarded[v.step(2)] && !v.posted() || v.open() < 2 || a.last == b.Birth {
		return page{}, false
	}
	p := page{title: "guard.title", place: "place.record", birth: b, clinical: true}
	p.add(h.P(h.Class("dose"), h.B(number(b.Number))))
	if b.Bed != "" {
		p.add(h.P(h.Class("grade-line"), h.Strong(v.t("bar.bed", "bed", b.Bed))))
	}
	p.add(h.P(v.bornAt(b, v.since)), v.p("guard.what"),
		v.postForm(v.path, hidden("right_woman", "yes"), h.If(v.posted(), hidden("back", v.within(b, v.shown))), v.submit("guard.yes")), more(v.link("/", "guard.no")))
	return p, true
}

// within is a path if it is one of this birth: the screen of the tap that was
// held up, where it is to be tapped again.
func (v *visit) within(b *companion.BirthReply, path string) string {
	if own := "/b/" + b.Birth; path == own || strings.HasPrefix(path, own+"/") {
		return path
	}
	return ""
}
