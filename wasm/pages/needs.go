package pages

import (
	"slices"
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// needsPage sets what this grade needs beside what is here, and says for each
// way what to do meanwhile.
func needsPage(x *way) page {
	v := x.v
	p := x.page("needs.title", "place.way")
	if v.posted() {
		r := &companion.AnswerRequest{Birth: x.b.Birth, Question: v.form.Get("question"), Value: v.form.Get("value")}
		if _, fault := v.save("birth.answer", r); fault == nil {
			return page{to: x.path("needs")}
		} else {
			p.add(v.problem(v.faultKey(fault)))
		}
	}
	p.heading = v.t("needs.for", "grade", x.planName())
	p.add(x.changed(), x.needsOf(), v.next(x.path("ask/decision"), "ask.decision"),
		h.H2(v.t("needs.meanwhile")), x.meanwhile("repair_here"), x.meanwhile("refer"), x.meanwhile("cannot_travel"), x.meanwhile("leave_open"),
		more(v.link(x.path("stage/decide"), "stagename.decide"), v.link(x.path("refer"), "refer.title")))
	return p
}

// planName names what is planned for: a buttonhole is beside the scale, and
// is never called a torn ring.
func (x *way) planName() string {
	if x.buttonhole() {
		return x.v.s("needs.buttonhole")
	}
	return x.v.s("grade." + x.w.TreatAs)
}

// degree is the part of the guidance for a grade: 3a to 3c share one.
func (x *way) degree() string {
	if x.buttonhole() {
		return "buttonhole"
	}
	if t := x.w.TreatAs; strings.HasPrefix(t, "3") {
		return "3"
	}
	return x.w.TreatAs
}

// needsOf lists operator, place, anaesthesia, instruments and material.
func (x *way) needsOf() h.Node {
	v := x.v
	prefix := "grade_" + x.degree() + "_"
	if x.buttonhole() {
		prefix = "buttonhole_"
	}
	var facts h.Group
	for _, it := range v.guide("decide") {
		rest, mine := strings.CutPrefix(it.Key, prefix)
		if !mine {
			continue
		}
		if key := "needs." + rest; v.book.Has(key) {
			facts.Add(h.Dt(v.icon(needDrawing[rest]), v.t(key)), h.Dd(v.sourced("guide.decide."+it.Key, it.Source, it.Read), x.hereNow(rest)))
		} else {
			facts.Add(h.Dd(v.sourced("guide.decide."+it.Key, it.Source, it.Read)))
		}
	}
	return h.Dl(h.Class("needs"), facts)
}

// hereNow asks beside a need whether it is here now. What was said before the
// grade was written is not shown as said: it was about another grade.
func (x *way) hereNow(need string) h.Node {
	v, question := x.v, need+"_here"
	switch need {
	case "place", "anaesthesia", "instruments", "material":
	default:
		return nil
	}
	said := ""
	if a := x.answerTo(question); a != nil && (x.b.GradeNoted == nil || a.Said >= x.b.GradeNoted.At) {
		said = a.Value
	}
	return v.postForm(x.path("needs"), hidden("question", question),
		h.Div(h.Class("answers sizes"), h.Role("group"), h.Attr("aria-label", v.s("ask."+question)),
			v.answer("value", "yes", "", said == "yes", v.icon(needDrawing[need]), v.t("needs.here")),
			v.answer("value", "no", "", said == "no", v.icon("not_"+needDrawing[need]), v.t("needs.not_here"))))
}

// meanwhile is what a decision asks for, closed until it is wanted.
func (x *way) meanwhile(decision string) h.Node {
	v := x.v
	var nodes h.Group
	for _, it := range v.guide("decide") {
		own := belongs(it.Key, "decision_"+decision)
		if decision == "cannot_travel" && belongs(it.Key, "cannot_travel_"+x.degree()) {
			own = true
		}
		if own && !x.outdated(it) {
			nodes.Add(x.item("decide", it))
		}
	}
	return h.Details(h.Class("source"), h.ID("meanwhile-"+decision), h.Summary(v.t(v.saidKey("decision", decision))), nodes)
}

// old: the tear is too old to close, or nobody knows its hour.
func (x *way) old() bool { return slices.Contains(x.w.Ways, "old_tear") }

// outdated: nobody mends an old tear soon.
func (x *way) outdated(it companion.PageItem) bool {
	return x.old() && it.Key == "decision_repair_here_soon"
}

// layoutPage is what to lay out for the grade to plan by, in pictures.
func layoutPage(x *way) page {
	v := x.v
	p := x.page("layout.title", "place.way")
	if v.posted() {
		if _, fault := v.save("birth.answer", &companion.AnswerRequest{Birth: x.b.Birth, Question: "laid_out", Value: "yes"}); fault == nil {
			return page{to: x.fresh().onward("prepare")}
		} else {
			p.add(v.problem(v.faultKey(fault)))
		}
	}
	var r companion.LayOutReply
	if fault := v.ask("supplies.lay_out", &companion.LayOutRequest{Grade: x.w.TreatAs, Buttonhole: x.buttonhole()}, &r); fault != nil {
		p.add(v.problem(v.faultKey(fault)))
		return p
	}
	var items h.Group
	for _, it := range r.Items {
		items.Add(h.Li(h.Class("supply"), v.drawing(it.Item), h.Div(h.Span(v.count("supply."+it.Item, it.N)),
			h.If(it.Material != "", h.P(h.Class("quiet"), v.maybe(keyIf("material.", it.Material)), h.Text(" "), number(it.Size))),
			needlesWithin(v, it),
			h.If(it.IfNeeded, h.P(h.Class("quiet"), v.t("layout.if_needed"))))))
	}
	p.add(v.p("layout.for", "grade", x.planName()), h.Ul(h.Class("supplies"), items),
		v.postForm(x.path("layout"), v.submit("layout.done")), more(v.link(x.path("count/in"), "ask.count_in"), v.link(x.path("stage/prepare"), "stagename.prepare")))
	return p
}

// needlesWithin says beside a thread that its packet brings a needle, and
// beside the needle what this one is for: nobody counts what nobody named.
func needlesWithin(v *visit, it companion.LayOutItem) h.Node {
	switch {
	case it.Needles > 0:
		return h.P(v.count("layout.needle_within", it.Needles))
	case it.Item == "needle":
		return h.P(h.Class("quiet"), v.t("layout.needle_to_inject"))
	}
	return nil
}

func (x *way) buttonhole() bool {
	var r companion.GradeReply
	if f := x.v.ask("birth.grade", &companion.BirthRequest{Birth: x.b.Birth}, &r); f != nil {
		return true // not known is planned for as the worse
	}
	return r.Buttonhole
}

// fresh is this way after something was written.
func (x *way) fresh() *way {
	b, gone := x.v.loadBirth(x.b.Birth)
	if gone != nil {
		panic(gone)
	}
	return x.v.way(b)
}
