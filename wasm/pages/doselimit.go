package pages

import (
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// limitPage is the answer: the millilitres large, the milligrams and the limit
// beside them, the source under them.
func limitPage(d doseAsk) page {
	p := d.page("limit.title")
	if to := d.next(); to != d.path("limit") {
		return page{to: to}
	}
	if ask, first := d.labelFirst(); first {
		return ask
	}
	r, fault := d.limit()
	if fault != nil {
		p.add(d.limitFault(fault))
		return p
	}
	p.add(d.label(r), d.figure(r), d.cautions(r), d.beside(r), d.limitActions(r))
	return p
}

// limitFault says which answer cannot be used, and leads to its question.
func (d doseAsk) limitFault(f *companion.Fault) h.Node {
	v := d.v
	switch {
	case f.Field == "given" || strings.HasPrefix(f.Field, "given."):
		return h.All(v.problem("fault.given_unreadable"), more(v.link(d.path("before", "given", "", "before", ""), "before.title")))
	case f.Field == "strength_percent":
		return h.All(v.problem("fault.strength_unknown"), more(v.link(d.path("strength"), "limit.other_strength")))
	}
	return h.All(v.problem(v.faultKey(f)), more(v.link(d.path("strength"), "limit.other_strength")))
}

// label repeats what the bottle must say.
func (d doseAsk) label(r companion.CeilingReply) h.Node {
	v := d.v
	form := "dose.plain"
	if r.Adrenaline {
		form = "dose.with_adrenaline"
	}
	return h.P(h.Class("label"), h.Strong(v.t("agent."+r.Agent), h.Text(" "), v.unit("percent", r.StrengthPercent)), h.Text(" · "), v.t(form))
}

// figure is the one number of this screen. Where nobody knows what was given
// before there is none: the limit for all together is not what is left.
func (d doseAsk) figure(r companion.CeilingReply) h.Node {
	v := d.v
	switch {
	case r.Over:
		return h.Section(h.Class("alarm alarm-crisis"), h.P(h.Strong(v.t("limit.over"))), v.p("limit.over_do"),
			h.A(h.Class("answer is-alarm"), h.Href("#"+d.toxicity()), v.t("emergency.toxicity")))
	case r.Damaged:
		return h.Section(h.Class("alarm alarm-unknown"), h.P(h.Strong(v.t("limit.damaged"))), v.p("limit.damaged_do"))
	case r.PriorUnknown:
		return h.Section(h.Class("alarm alarm-unknown"), h.P(h.Strong(v.t("limit.prior_unknown"))), v.p("limit.prior_unknown_do"))
	case r.RemainingMl == "0":
		return h.Section(h.Class("alarm alarm-act"), h.P(h.Strong(v.t("limit.nothing_left"))))
	}
	return h.All(
		v.p("limit.may_give"),
		h.P(h.Class("dose"), h.B(number(r.RemainingMl)), h.Text(" "), h.Span(h.Class("unit"), v.t("unit.ml_name"))),
		h.P(h.Class("beside"), v.t("limit.is"), h.Text(" "), v.unit("mg", r.RemainingMg)),
	)
}

// beside says what the figure rests on.
func (d doseAsk) beside(r companion.CeilingReply) h.Node {
	v := d.v
	if r.Damaged { // the weight and the limit it gives may be of a line before the lost one
		return v.source(r.Document, r.Read)
	}
	fact := func(key string, value h.Node) h.Node { return h.All(h.Dt(v.t(key)), h.Dd(value)) }
	facts := h.All(
		fact("limit.for_all", h.All(v.unit("mg", r.CeilingMg), h.Text(" = "), v.unit("ml", r.CeilingMl))),
		h.If(r.GivenMg != "" && r.GivenMg != "0", fact("limit.given", v.unit("mg", r.GivenMg))),
		fact("limit.dosed_for", v.weightSaid(r)),
		fact("limit.bound_by", v.boundBy(r)),
		h.If(r.RemainingBoundBy != "" && r.RemainingBoundBy != "own", fact("limit.left_by", v.maybe(keyIf("bound.", r.RemainingBoundBy)))),
		fact("limit.rule", d.rule(r)),
	)
	return h.All(h.Dl(h.Class("facts"), facts), v.source(r.Document, r.Read))
}

// boundBy is what sets the limit. A weight that was assumed is not hers.
func (v *visit) boundBy(r companion.CeilingReply) h.Node {
	if r.WeightAssumed && r.BoundBy == "weight" {
		return v.t("bound.weight_assumed")
	}
	return v.t("bound." + r.BoundBy)
}

func (v *visit) weightSaid(r companion.CeilingReply) h.Node {
	if r.WeightAssumed {
		return h.All(h.Strong(v.t("dose.not_weighed_short")), h.Text(": "), v.unit("kg", r.DosedForKg))
	}
	return v.unit("kg", r.DosedForKg)
}

func (d doseAsk) rule(r companion.CeilingReply) h.Node {
	if r.CapMg == "" {
		return d.v.unit("mg_per_kg", r.MgPerKg)
	}
	return d.v.t("limit.rule_capped", "rate", d.v.unitText("mg_per_kg", r.MgPerKg), "cap", d.v.unitText("mg", r.CapMg))
}

// inSight are the cautions that stay on the screen; the others are one tap
// behind it.
var inSight = map[string]bool{
	"record_damaged": true, "over_watch_for_toxicity": true, "prior_unknown": true, "not_weighed": true, "above_70_held": true, "ideal_weight_used": true,
	"mixing_adds": true, "adrenaline_no_uplift": true, "pregnancy_lowers_no_factor": true,
}

func (d doseAsk) cautions(r companion.CeilingReply) h.Node {
	v := d.v
	var first, rest h.Group
	for _, key := range r.Cautions {
		if inSight[key] {
			first.Add(h.Li(v.t("caution." + key)))
		} else {
			rest.Add(h.Li(v.t("caution." + key)))
		}
	}
	return h.All(
		note("caution", v.guideText("infiltrate", "allergy"), h.Ul(first), v.guideText("infiltrate", "aspirate")),
		h.Details(h.Class("source"), h.Summary(v.t("limit.more_cautions")), h.Ul(rest)),
	)
}

func (d doseAsk) limitActions(r companion.CeilingReply) h.Node {
	v := d.v
	write := "limit.write_given"
	if d.birth == nil {
		write = "limit.count_given"
	}
	links := h.All(v.link(d.path("inject"), "inject.title"), v.link(d.path("strength"), "limit.other_strength"), v.link(d.path("before"), "before.title"), v.link(d.path("weight", "confirmed", ""), "weight.title"))
	if r.RemainingMl != "" && r.RemainingMl != "0" {
		links = append(h.All(v.link(d.drawPath("", ""), "draw.title")), links...)
	}
	if d.birth != nil && d.birth.Closed {
		return more(links)
	}
	if d.birth != nil {
		if x := v.way(d.birth); x.waits() { // the dose is written: now she waits and pinches
			return h.All(v.next(x.askPath("numb_felt"), "ask.numb_felt"), more(append(h.All(v.link(d.path("given"), write)), links...)))
		}
	}
	return h.All(v.next(d.path("given"), write), more(links))
}

// toxicity is the emergency page, and the way back to this birth.
func (d doseAsk) toxicity() string {
	return toxicityPath(d.birth)
}

// injectPage is how to inject, whatever the amount.
func injectPage(d doseAsk) page {
	p := d.page("inject.title")
	p.add(d.v.guideList("infiltrate"), more(d.v.link(d.path("limit"), "given.back")))
	return p
}
