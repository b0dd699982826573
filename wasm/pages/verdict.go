package pages

import (
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// scale is the order in which grades are drawn, as the core names them.
var scale = []string{"none", "1", "2", "3a", "3b", "3c", "4"}

// verdict is the grade: its drawing, why it holds, what is still unknown.
func verdict(v *visit, e exam, fault *companion.Fault) page {
	p := page{title: "verdict.title", place: "place.grade", birth: e.birth, quick: e.birth == nil, clinical: true}
	var r companion.GradeReply
	if wrong := e.judge(&r); wrong != nil { // an address typed by hand
		p.add(v.problem(v.faultKey(wrong)), v.next("/grade/examine", "examine.title"))
		return p
	}
	if fault != nil {
		p.add(v.problem(v.faultKey(fault)))
	}
	p.heading = v.badge(r)
	p.body = append(p.body,
		v.range_(r),
		v.secondLook(e, r),
		v.planFor(r),
		v.referAlso(),
		v.perineum(e, false, ""),
		v.because(r),
		v.askNext(e, r),
		v.verdictActions(e, r),
		v.codes(r),
	)
	return p
}

// judge asks for the grade: of the record, or of the answers in the address.
func (e exam) judge(r *companion.GradeReply) *companion.Fault {
	if e.birth != nil {
		return e.v.ask("birth.grade", &companion.BirthRequest{Birth: e.birth.Birth}, r)
	}
	return e.v.ask("tear.grade", &e.findings, r)
}

func (v *visit) badge(r companion.GradeReply) h.Node {
	standing := "grade.settled"
	if !r.Settled {
		standing = "grade.not_settled"
	}
	badge := "grade-badge"
	if r.Grade == "undetermined" {
		badge += " is-open"
	}
	return h.All(
		h.Span(h.Class(badge), v.t("grade."+r.Grade)),
		h.If(r.Buttonhole, h.Span(h.Class("grade-beside"), v.t("grade.buttonhole"))),
		h.Span(h.Class("grade-standing"), v.t(standing)),
	)
}

// range_ draws which grades are still possible: open outlines, and the one
// that stands filled.
func (v *visit) range_(r companion.GradeReply) h.Node {
	inside := false
	var marks h.Group
	for _, name := range scale {
		if name == r.AtLeast {
			inside = true
		}
		class, said := "mark", "range.not"
		switch {
		case r.Settled && name == r.Grade:
			class, said = "mark is-it", "range.is"
		case inside:
			class, said = "mark is-possible", "range.possible"
		}
		marks.Add(h.Li(h.Class(class), h.Span(v.t("grade.short_"+name)), h.Span(h.Class("hidden"), h.Text(" "), v.t(said))))
		if name == r.AtMost {
			inside = false
		}
	}
	return h.Ol(h.Class("range"), h.Attr("aria-label", v.s("range.label")), marks)
}

// secondLook asks once, when findings do not fit together or a buttonhole was
// found.
func (v *visit) secondLook(e exam, r companion.GradeReply) h.Node {
	if !r.SecondLook {
		return nil
	}
	done := v.postForm(e.path("grade"), hidden("do", "second_look"), h.Button(h.Class("answer"), h.Type("submit"), v.t("verdict.looked_again")))
	if e.birth == nil {
		e.query.Set("second_look_done", "yes")
		done = h.A(h.Class("answer"), h.Href("#"+e.path("grade")), v.t("verdict.looked_again"))
		e.query.Del("second_look_done")
	}
	return h.Section(h.Class("caution"), h.H2(v.t("verdict.second_look")),
		v.guideText("examine", "second_look"),
		h.If(r.Buttonhole, v.guideText("examine", "buttonhole")),
		h.Div(h.Class("answers"), h.A(h.Class("answer"), h.Href("#"+e.path("examine")), v.t("verdict.look_again")), done))
}

// planFor says the grade to plan by and what it asks for.
func (v *visit) planFor(r companion.GradeReply) h.Node {
	return h.Section(h.If(r.Sphincter, h.Class("plan is-refer")), h.If(!r.Sphincter, h.Class("plan")), h.H2(v.t("verdict.plan_for", "grade", v.s("grade."+r.TreatAs))),
		h.If(r.TreatAs != r.Grade, v.p("verdict.plan_why")),
		v.gradeGuide(r), v.someItems("decide", func(it companion.PageItem) bool {
			return it.Key == "grade_"+r.Grade+"_do" && (r.Grade == "none" || r.Grade == "undetermined")
		}))
}

// referAlso is when to refer whatever the grade.
func (v *visit) referAlso() h.Node {
	var items h.Group
	for _, it := range v.guide("grades") {
		if belongs(it.Key, "refer") {
			items.Add(h.Li(v.sourced("guide.grades."+it.Key, it.Source, it.Read)))
		}
	}
	return h.Details(h.Class("source"), h.Summary(v.t("verdict.refer_also")), h.Ul(h.Class("signs"), items))
}

// because lists the reasons, each with the findings it rests on.
func (v *visit) because(r companion.GradeReply) h.Node {
	var items h.Group
	for _, reason := range r.Reasons {
		names := make([]string, 0, len(reason.On))
		for _, f := range reason.On {
			names = append(names, v.s("finding."+f))
		}
		items.Add(h.Li(v.t("reason."+reason.Key),
			h.If(namesOn[reason.Key], h.All(h.Text(" "), h.Text(strings.Join(names, v.s("list.comma")+" "))))))
	}
	return h.Section(h.H2(v.t("verdict.because")), h.Ul(h.Class("because"), items))
}

// namesOn are the reasons that need the findings' names to make sense.
var namesOn = map[string]bool{"not_examined": true, "unsure_takes_higher": true}

// askNext lists what would settle it, the most telling first.
func (v *visit) askNext(e exam, r companion.GradeReply) h.Node {
	if len(r.Ask) == 0 {
		return nil
	}
	return h.Section(h.H2(v.t("verdict.ask")),
		h.Ol(h.Class("ask"), h.Map(r.Ask, func(q string) h.Node { return v.findingLine(e, q) })))
}

func (v *visit) verdictActions(e exam, r companion.GradeReply) h.Node {
	if e.birth == nil {
		return more(v.link(e.path("examine"), "verdict.back"), v.link("/dose", "home.dose"))
	}
	if e.birth.Closed {
		return more(v.link("/b/"+e.birth.Birth, "record.title"))
	}
	write := v.postForm(e.path("grade"), v.submit("verdict.write"))
	if open := e.after(""); r.Grade == "undetermined" && open != e.path("grade") { // looking comes before writing
		write = h.All(v.next(open, "examine.next"), v.postForm(e.path("grade"), h.Button(h.Class("answer"), h.Type("submit"), v.t("verdict.write"))))
	}
	return h.All(
		write,
		more(v.link(e.path("examine"), "verdict.back"), v.link("/b/"+e.birth.Birth+"/dose", "record.dose")),
	)
}

// codes are for the register: the international code, and the subdivision
// that exists only in the US modification.
func (v *visit) codes(r companion.GradeReply) h.Node {
	if r.ICD10 == "" && r.ICD10Note == "" {
		return nil
	}
	return h.Details(h.Class("source"), h.Summary(v.t("codes.title")),
		h.If(r.ICD10 != "", h.P(v.t("codes.icd10"), h.Text(" "), number(r.ICD10))),
		h.If(r.ICD10US != "" && r.ICD10US != r.ICD10, h.P(v.t("codes.icd10_us"), h.Text(" "), number(r.ICD10US))),
		h.If(r.ICD10Note != "", h.P(v.maybe(keyIf("codes.", r.ICD10Note)))))
}

func keyIf(prefix, s string) string {
	if s == "" {
		return ""
	}
	return prefix + s
}
