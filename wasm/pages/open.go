package pages

import (
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// What is open, before a stitch or before a record is closed: said first, with
// the way to each, and behind it the way to write down what was done already.

// openItem names what is open: a gate, a warning or a timer that is over.
func (v *visit) openItem(key string) h.Node {
	if timer, over := strings.CutPrefix(key, "overdue_"); over {
		return h.All(v.t("timer."+timer), h.Text(": "), v.t("timer.overdue"))
	}
	for _, family := range []string{"gate.", "open.", "warning."} {
		if v.book.Has(family + key) {
			return v.t(family + key)
		}
	}
	return h.Text(key) // of a newer version
}

func (v *visit) openItems(keys []string) h.Node {
	return h.Ul(h.Map(keys, func(key string) h.Node { return h.Li(v.openItem(key)) }))
}

// settles is the ask whose answer closes what is open.
var settles = map[string]string{
	"tampon_inside": "tampon", "tampon_unknown": "tampon", "count_never": "count_in", "count_open": "count_out", "piece_missing": "count_out",
	"stitch_in_rectum": "stitch_felt", "grade_not_written": "note_grade", "grade_unsettled": "note_grade", "urine_open": "urine_passed",
	"medicines_open": "medicines_seen", "advice_open": "advice_told", "fever": "temperature", "visits_open": "visit", "record_damaged": "look_through", "alarm_act": "alarm_seen", "alarm_crisis": "alarm_seen", "pressure_severe": "second_systolic",
}

// openLinks are the ways to what is open.
func (x *way) openLinks(keys []string) h.Node {
	return h.Ul(h.Map(keys, func(key string) h.Node {
		ask := settles[key]
		if timer, over := strings.CutPrefix(key, "overdue_"); over {
			ask = stopsTimer[timer]
		}
		if ask == "" {
			return h.Li(x.v.openItem(key))
		}
		return h.Li(h.A(h.Href("#"+x.askPath(ask)), x.v.openItem(key)))
	}))
}

func (x *way) openGates() (keys []string) {
	for _, g := range x.w.BeforeLayer {
		keys = append(keys, g.Key)
	}
	return keys
}

// doFirst leads to the gates that stand open before a stitch; nil when none
// does.
func (x *way) doFirst() h.Node {
	v, gates := x.v, x.w.BeforeLayer
	if len(gates) == 0 {
		return nil
	}
	return h.All(note("caution", h.H2(v.t("hold.title")), h.Ul(h.Class("gates"), h.Map(gates, func(g companion.GateReply) h.Node {
		return h.Li(h.A(h.Href("#"+x.askPath(g.Ask[0])), v.openItem(g.Key)))
	}))), v.next(x.askPath(gates[0].Ask[0]), x.askKey(gates[0].Ask[0])))
}

// writeDown is the one tap that says that it is done, while no gate is open.
// Else it is the quiet way: what was done is never refused, and what stood
// open goes with it.
func (x *way) writeDown(path string, button h.Node, fields ...h.Node) h.Node {
	v, keys := x.v, x.openGates()
	if len(keys) == 0 {
		return v.postForm(path, append(fields, button)...)
	}
	fields = append(fields, hidden("despite", strings.Join(keys, " ")), h.Button(h.Class("answer"), h.Type("submit"), v.t("hold.write")))
	return h.Details(h.Class("source"), h.Summary(v.t("hold.done_already")), v.p("hold.known"), v.openItems(keys), v.postForm(path, fields...))
}

// despite is what the form says was known to be open.
func (v *visit) despite() []string { return strings.Fields(v.form.Get("despite")) }

// despiteFacts are, for a note, what was stitched although gates stood open.
func (x *way) despiteFacts() []fact {
	var said []string
	for _, d := range x.b.Despites {
		if d.Deed == "closed" {
			continue
		}
		name := "repair.finished"
		if d.Of != "" {
			name = "finding." + d.Of
		}
		said = append(said, x.v.line(x.v.s(name), x.openText(d.Open)))
	}
	if said == nil {
		return nil
	}
	return []fact{{"note.despite", said}}
}

func (x *way) openText(keys []string) string {
	var all []string
	for _, key := range keys {
		all = append(all, strings.TrimSuffix(x.v.plain(x.v.openItem(key)), "."))
	}
	return strings.Join(all, x.v.s("note.semicolon")+" ")
}

// closeRecord says first what is still open, and closes once that was read.
func closeRecord(v *visit, b *companion.BirthReply) page {
	p := page{title: "close.title", place: "place.record", birth: b}
	if v.posted() {
		_, fault := v.save("birth.close", &companion.CloseRequest{Birth: b.Birth, OpenKnown: v.despite()})
		if fault == nil {
			return page{to: "/"}
		}
		p.add(v.problem(v.faultKey(fault)))
	}
	if b.Closed || len(b.StillOpen) == 0 {
		p.add(v.p("close.what"), v.postForm("/b/"+b.Birth+"/close", v.submit("close.yes")))
	} else {
		p.add(note("caution", h.H2(v.t("close.open")), v.way(b).openLinks(b.StillOpen)), v.p("close.what"),
			v.postForm("/b/"+b.Birth+"/close", hidden("despite", strings.Join(b.StillOpen, " ")),
				h.Button(h.Class("answer"), h.Type("submit"), v.t("close.despite"))))
	}
	p.add(more(v.link("/b/"+b.Birth, "close.no")))
	return p
}

// leftOpen is what was open when a record was closed; it goes on being said.
func (v *visit) leftOpen(keys []string) h.Node {
	if len(keys) == 0 {
		return nil
	}
	return note("caution", h.H2(v.t("close.was_open")), v.openItems(keys))
}
