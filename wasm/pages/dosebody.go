package pages

import (
	"slices"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// weightPage asks for the weight of today; not weighed is an answer.
func weightPage(d doseAsk) page {
	v, form := d.v, d.query
	var fault *companion.Fault
	if v.posted() && d.birth != nil {
		form = v.form
		if fault = d.saveWeight(); fault == nil {
			b, gone := v.loadBirth(d.birth.Birth)
			if gone != nil {
				return birthGone(v, gone)
			}
			d.birth = b
			return page{to: d.next()}
		}
	} else if d.birth == nil && (form.Has("weight_kg") || v.query.Has("asked")) && !form.Has("not_weighed") {
		fault = d.quickWeightFault()
	}
	p := d.page("weight.title")
	if fault != nil && fault.Code == "confirm_weight" {
		p.add(d.confirmWeight(form.Get("weight_kg"), form.Get("height_cm")))
		return p
	}
	if fault != nil && fault.Field != "weight_kg" && fault.Field != "height_cm" {
		p.add(v.problem(v.faultKey(fault)))
	}
	p.body = append(p.body,
		h.Figure(h.Class("drawing small"), v.icon("scale")),
		d.form("weight", []string{"weight_kg", "height_cm", "confirmed", "not_weighed"},
			v.field(field{name: "weight_kg", value: form.Get("weight_kg"), label: "weight.kg", unit: "kg", mode: "decimal", hint: "weight.hint", problem: v.faultAt(fault, "weight_kg")}),
			v.field(field{name: "height_cm", value: form.Get("height_cm"), label: "weight.height", unit: "cm", mode: "numeric", hint: "weight.height_hint", problem: v.faultAt(fault, "height_cm")}),
			v.submit("weight.use")),
		d.form("weight", []string{"weight_kg", "height_cm", "confirmed", "not_weighed"},
			answers(v.answer("not_weighed", "yes", "is-open", false, v.t("weight.not_weighed"), h.Small(v.t("weight.not_weighed_hint"))))),
		v.caution("caution.late_pregnancy_weight_overstates"),
	)
	return p
}

func (d doseAsk) saveWeight() *companion.Fault {
	height, fault := d.height(d.v.form)
	if fault != nil {
		return fault
	}
	r := &companion.WeighRequest{Birth: d.birth.Birth, Confirmed: d.v.form.Get("confirmed") != ""}
	if d.v.form.Get("not_weighed") != "" {
		r.NotWeighed = true
	} else {
		r.WeightKg, r.HeightCm = companion.Typed(d.v.form.Get("weight_kg")), height
	}
	_, fault = d.v.save("birth.weigh", r)
	return fault
}

// confirmWeight asks again, large, for a weight that is rare.
func (d doseAsk) confirmWeight(kg, cm string) h.Node {
	v := d.v
	return h.All(
		h.P(h.Class("dose"), h.B(number(companion.Typed(kg))), h.Text(" "), h.Span(h.Class("unit"), v.t("unit.kg_name"))),
		v.p("weight.unusual"),
		d.form("weight", []string{"weight_kg", "height_cm", "confirmed", "not_weighed"}, hidden("weight_kg", kg), hidden("height_cm", cm),
			answers(v.answer("confirmed", "yes", "", false, v.t("weight.confirm")))),
		more(v.link(d.path("weight", "weight_kg", "", "confirmed", ""), "weight.again")),
	)
}

// form is a post into the record, or a get that adds to the address; the
// fields named are the form's own and are not carried along.
func (d doseAsk) form(tail string, own []string, parts ...h.Node) h.Node {
	carried := d.carried(own...)
	if d.birth != nil {
		return d.v.postForm("/b/"+d.birth.Birth+"/dose/"+tail, carried, h.All(parts...))
	}
	if tail == "weight" || tail == "before" {
		return d.v.getForm("/dose/ask", carried, hidden("asked", tail), h.All(parts...))
	}
	return d.v.getForm("/dose/ask", carried, h.All(parts...))
}

// carried are the answers so far, but for some, to go along with a form.
func (d doseAsk) carried(without ...string) h.Node {
	var fields h.Group
	for _, name := range kept {
		if slices.Contains(without, name) {
			continue
		}
		for _, value := range d.query[name] {
			fields.Add(hidden(name, value))
		}
	}
	return fields
}

// beforePage asks what was given at this birth before: silence is not nothing.
func beforePage(d doseAsk) page {
	v := d.v
	p := d.page("before.title")
	if v.posted() && d.birth != nil {
		told := v.form.Get("before")
		_, fault := v.save("birth.prior", &companion.PriorRequest{Birth: d.birth.Birth, Told: told})
		switch {
		case fault != nil:
			p.add(v.problem(v.faultKey(fault)))
		case told == "listed":
			return page{to: d.path("earlier")}
		default:
			d.birth.Prior = told
			return page{to: d.next()}
		}
	}
	chosen := d.query.Get("before")
	if d.birth != nil {
		chosen = d.birth.Prior
	}
	p.body = append(p.body,
		v.p("before.what"),
		d.form("before", []string{"before"}, answers(
			v.answer("before", "nothing", "", chosen == "nothing", v.t("before.nothing")),
			v.answer("before", "listed", "", chosen == "listed", v.t("before.listed")),
			v.answer("before", "nobody_knows", "is-open", chosen == "nobody_knows", v.t("before.nobody_knows")),
		)),
	)
	return p
}

// agentPage is there only when a pack offers more than one.
func agentPage(d doseAsk) page {
	v := d.v
	p := d.page("agent.title")
	if d.query.Has("agent") && d.agent() == "" {
		p.add(v.problem("fault.agent_unknown"))
	}
	var options h.Group
	for _, a := range d.choices().Agents {
		options.Add(h.A(h.Class("answer"), h.Href("#"+d.path("ask", "agent", a, "strength", "", "adrenaline", "")), v.t("agent."+a)))
	}
	p.add(answers(options))
	return p
}

// strengthPage shows every strength that exists, as both labels print it;
// none is preselected.
func strengthPage(d doseAsk) page {
	v := d.v
	if d.agent() == "" {
		return page{to: d.path("agent")}
	}
	p := d.page("strength.title")
	if d.query.Has("strength") && !d.strengthKnown() {
		p.add(v.problem("fault.strength_unknown"))
	}
	var table companion.TableReply
	if fault := v.ask("anaesthetic.table", &companion.AgentRequest{Agent: d.agent()}, &table); fault != nil {
		p.add(v.problem(v.faultKey(fault)))
		return p
	}
	var options h.Group
	for _, s := range table.Strengths {
		options.Add(h.A(h.Class("answer"), h.Href("#"+d.path("ask", "strength", s.Percent, "adrenaline", "")),
			h.Strong(v.unit("percent", s.Percent)), h.Text(" "), h.Small(v.unit("mg_per_ml", s.MgPerMl))))
	}
	p.add(v.p("strength.read_label", "agent", v.s("agent."+d.agent())), answers(options), d.otherDrug(), more(v.link(d.path("dilute"), "dilute.title")))
	return p
}

// otherDrug: the ampoule in her hand holds another one than this page is about.
func (d doseAsk) otherDrug() h.Node {
	v := d.v
	if len(d.choices().Agents) > 1 {
		return more(v.link(d.path("agent", "agent", "", "strength", "", "adrenaline", ""), "strength.other_drug"))
	}
	return h.Details(h.Class("source"), h.Summary(v.t("strength.other_drug")), v.caution("strength.other_drug_none", "agent", v.s("agent."+d.agent())))
}

// adrenalinePage asks what the label says. In a record the answer writes the
// limit down.
func adrenalinePage(d doseAsk) page {
	v := d.v
	p := d.page("adrenaline.title")
	if v.posted() && d.birth != nil {
		d.query = keep(v.form)
		fault := labelSaid(d.query.Get("strength"), d.adrenaline(), "-")
		if fault == nil && d.agent() == "" {
			return page{to: d.path("agent")}
		}
		if fault == nil {
			_, fault = v.save("birth.note_limit", d.birthCeiling())
		}
		if fault == nil {
			return page{to: d.path("limit")}
		}
		p.add(v.problem(v.faultKey(fault)))
	}
	p.body = append(p.body,
		v.p("adrenaline.read_label"),
		d.form("adrenaline", []string{"adrenaline"}, answers(
			v.answer("adrenaline", "no", "", false, v.t("adrenaline.no")),
			v.answer("adrenaline", "yes", "", false, v.t("adrenaline.yes"), h.Small(v.t("adrenaline.yes_hint"))),
		)),
		v.caution("caution.adrenaline_premixed_only"),
	)
	return p
}
