package pages

import (
	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// doubt stands on every page of a birth of whose record lines may be lost, and
// leads to where it is looked through. A line that was cut while being written
// is said too: then the figures stand. Nothing stands before a rescue.
func (v *visit) doubt(p page) h.Node {
	b := p.birth
	if b == nil || p.place == "place.emergency" || v.step(2) == "looked" {
		return nil
	}
	looked := more(v.link("/b/"+b.Birth+"/looked", "looked.title"))
	switch {
	case b.Damaged && b.Closed:
		return note("caution warnings", h.P(h.Strong(v.t("warning.record_damaged"))), v.p("looked.closed"))
	case b.Damaged:
		return note("caution warnings", h.P(h.Strong(v.t("warning.record_damaged"))), v.p("looked.do"), looked)
	case b.LastCut:
		return note("caution", v.p("storage.torn_tail"), looked)
	}
	return nil
}

// lookedItems are what a record holds that could harm when a line of it is
// lost, and the ask where each is answered.
var lookedItems = []struct{ ask, key string }{
	{"prior", "before.title"}, {"weight", "weight.title"}, {"rectal_exam", "examine.title"},
	{"count_in", "count.title"}, {"tampon", "ask.tampon"}, {"allergy", "ask.allergy"}, {"loss_ml", "ask.loss_ml"},
}

// lookedPage leads through what may be missing: ask her, whoever was there and
// the paper; write down again what is not here; then say so.
func lookedPage(x *way) page {
	v, b := x.v, x.b
	p := page{title: "looked.title", place: "place.record", birth: b, clinical: true}
	if v.posted() {
		_, fault := v.save("birth.looked_through", &companion.BirthRequest{Birth: b.Birth})
		if fault == nil {
			return page{to: x.path("")}
		}
		p.add(v.problem(v.faultKey(fault)))
	}
	if !b.Damaged && !b.LastCut {
		p.add(v.p("looked.whole"), more(v.link(x.path(""), "record.title")))
		return p
	}
	var items h.Group
	for _, it := range lookedItems {
		items.Add(h.Li(h.A(h.Href("#"+x.lookedPath(it.ask)), v.t(it.key))))
	}
	how := "looked.how"
	if !b.Damaged {
		how = "storage.torn_tail"
	}
	p.add(v.p(how), x.written(), v.p("looked.add"),
		h.Ul(h.Class("findings"), h.Li(h.A(h.Href("#"+x.path("dose/earlier")), v.t("looked.dose"))), items), v.p("looked.not_known"),
		v.log(b), v.postForm(x.path("looked"), v.submit("looked.done")), more(v.link(x.path(""), "record.title")))
	return p
}

func (x *way) lookedPath(ask string) string {
	switch ask {
	case "rectal_exam":
		return x.path("examine")
	case "count_in":
		return x.path("count")
	}
	return x.askPath(ask)
}

// written is what can be read, to be held beside the paper: the facts of a
// note, without their figures being taken for all there were.
func (x *way) written() h.Node {
	return h.Section(h.H2(x.v.t("looked.written")), x.noteBody())
}

// doubtFact stands first on a note.
func (x *way) doubtFact() []fact {
	if !x.b.Damaged {
		return nil
	}
	return []fact{{"note.doubt", []string{x.v.s("warning.record_damaged")}}}
}

// nothingStitched says why no layer is listed.
func nothingStitched(b *companion.BirthReply) string {
	if b.Damaged {
		return "note.no_layer_damaged"
	}
	return "note.nothing_stitched"
}
