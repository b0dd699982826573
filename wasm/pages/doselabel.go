package pages

import (
	h "fourchette/wasm/pages/markup"
)

// In a record the label of an address must be the one that was written down
// last: Back, or an address kept from before, leads to another bottle's limit.
// There the label is asked for again, and no figure stands before the answer.
func (d doseAsk) labelFirst() (page, bool) {
	if d.birth == nil || d.labelOpen() != "" {
		return page{}, false
	}
	last := d.birth.LimitNoted
	switch {
	case last == nil:
		return page{to: d.path("strength", "strength", "", "adrenaline", "")}, true
	case last.Agent == d.agent() && last.StrengthPercent == d.query.Get("strength") && last.Adrenaline == (d.adrenaline() == "yes"):
		return page{}, false
	}
	return labelPage(d), true
}

// labelPage asks which bottle is in her hand. To take up the other one is to
// write its label down anew.
func labelPage(d doseAsk) page {
	v, last := d.v, d.birth.LimitNoted
	p := d.page("label.title")
	adrenaline := "no"
	if last.Adrenaline {
		adrenaline = "yes"
	}
	other := h.All(hidden("agent", d.agent()), hidden("strength", d.query.Get("strength")))
	p.add(v.p("label.last"), h.P(h.Class("grade-line"), h.Strong(v.labelText(last.Agent, last.StrengthPercent, last.Adrenaline))),
		v.p("label.read"),
		answers(h.A(h.Class("answer"), h.Href("#"+d.path("limit", "agent", last.Agent, "strength", last.StrengthPercent, "adrenaline", adrenaline)),
			v.labelText(last.Agent, last.StrengthPercent, last.Adrenaline))),
		v.postForm(d.base()+"/adrenaline", other,
			answers(v.answer("adrenaline", d.adrenaline(), "", false, v.labelText(d.agent(), d.query.Get("strength"), d.adrenaline() == "yes")))),
		more(v.link(d.path("strength", "strength", "", "adrenaline", ""), "limit.other_strength")))
	return p
}

// labelText is what a bottle must say.
func (v *visit) labelText(agent, percent string, adrenaline bool) h.Node {
	form := "dose.plain"
	if adrenaline {
		form = "dose.with_adrenaline"
	}
	return h.All(v.t("agent."+agent), h.Text(" "), v.unit("percent", percent), h.Text(" · "), v.t(form))
}
