package pages

import (
	"strconv"
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
	"fourchette/wasm/pages/urlform"
)

// givenPage writes down what was injected, not what was drawn up: now, earlier
// at this birth (with its own label to read), or to put a dose right. It never
// refuses because it is too much.
func givenPage(d doseAsk, kind string) page {
	v := d.v
	if kind == "" && v.posted() {
		d.query = keep(v.form) // the label travels with the form
	}
	if to := d.givenFirst(kind); to != "" {
		return page{to: to}
	}
	if ask, first := d.labelFirst(); first && kind == "" && !v.posted() { // what is posted was injected: it is never refused
		return ask
	}
	title := map[string]string{"": "given.title", "earlier": "given.earlier", "correct": "given.correct"}[kind]
	p := d.page(title)
	form := v.query
	var fault *companion.Fault
	if v.posted() && d.birth != nil {
		form = v.form
		saved, wrong := d.saveGiven(kind)
		switch {
		case wrong != nil && wrong.Code == alreadyWritten:
			form, fault = urlform.Values{"of": v.form["of"]}, wrong // an empty form: what was typed is written
		case wrong != nil:
			fault = wrong
			if kind == "" {
				v.path = d.path("given") // with its label: a reload asks for it no second time
			}
		case saved.Over:
			return page{to: d.toxicity()}
		case kind == "earlier":
			return page{to: d.path("earlier", "done", "yes")}
		case kind == "correct":
			return page{to: "/b/" + d.birth.Birth}
		default:
			return page{to: d.path("limit")}
		}
	}
	if d.birth == nil && v.query.Has("ml") {
		added, wrong := d.addGiven(kind)
		if wrong == nil {
			return page{to: added}
		}
		fault = wrong
	}
	if fault != nil && fault.Field != "ml" && fault.Field != "mg" {
		p.add(v.problem(v.faultKey(fault)))
	}
	p.add(d.listed(kind), d.givenForm(kind, form, fault))
	if kind == "earlier" && d.birth != nil {
		p.add(d.otherForm(form, fault))
	}
	p.add(d.givenMore(kind))
	return p
}

// givenFirst is the question that must be answered before a dose can be
// written down: nothing about its label is assumed.
func (d doseAsk) givenFirst(kind string) string {
	switch {
	case kind == "correct" && (d.birth == nil || d.corrected() == nil && !d.v.posted()):
		return d.base()
	case d.v.posted() || kind == "correct":
		return ""
	case kind == "":
		return d.labelOpen()
	case d.agent() == "":
		return d.path("agent")
	}
	return ""
}

// corrected is the dose to be put right; nil when it is not there any more.
func (d doseAsk) corrected() *companion.DoseReply {
	of := orElse(d.v.form.Get("of"), d.v.query.Get("of"))
	for i := range d.birth.Doses {
		if dose := &d.birth.Doses[i]; dose.Event == of && !dose.Void {
			return dose
		}
	}
	return nil
}

// agentOf is whose dose is written down: a correction keeps the agent.
func (d doseAsk) agentOf(kind string) string {
	if kind == "correct" {
		if dose := d.corrected(); dose != nil {
			return dose.Agent
		}
		return "lidocaine" // the core refuses: there is no such dose
	}
	return d.agent()
}

// listed shows what is counted already.
func (d doseAsk) listed(kind string) h.Node {
	v := d.v
	var items h.Group
	if d.birth != nil {
		for _, dose := range d.birth.Doses {
			if !dose.Void {
				items.Add(h.Li(v.dose(dose)))
			}
		}
	} else if given, f := d.givenInAddress(); f == nil {
		for _, dose := range given {
			items.Add(h.Li(v.dose(companion.DoseReply{Agent: dose.Agent, Adrenaline: dose.Adrenaline,
				Ml: dose.Ml, StrengthPercent: dose.StrengthPercent, Prior: true})))
		}
	}
	if len(items) == 0 || kind == "correct" {
		return nil
	}
	return h.Section(h.H2(v.t("given.counted")), h.Ul(h.Class("doses"), items))
}

func (d doseAsk) givenForm(kind string, form urlform.Values, fault *companion.Fault) h.Node {
	v := d.v
	parts := h.Group{}
	if kind == "" {
		parts.Add(d.label(companion.CeilingReply{Agent: d.agent(), StrengthPercent: d.query.Get("strength"), Adrenaline: d.adrenaline() == "yes"}))
	} else {
		parts.Add(d.labelAsked(d.agentOf(kind), form), hidden("of", form.Get("of")))
	}
	if d.birth != nil {
		parts.Add(hidden("lines", strconv.Itoa(len(d.birth.Log))))
	}
	parts = append(parts,
		v.field(field{name: "ml", value: form.Get("ml"), label: "given.ml", unit: "ml", mode: "decimal", hint: "given.hint", problem: v.faultAt(fault, "ml")}),
		v.submit("given.write"))
	if d.birth != nil {
		return d.form(orElse(kind, "given"), []string{"ml"}, parts)
	}
	var own []string
	if kind != "" {
		own = []string{"strength", "adrenaline"}
	}
	return v.getForm("/dose/"+orElse(kind, "given"), d.carried(own...), parts)
}

// labelAsked asks for the label of a dose that was given earlier: strength and
// adrenaline, nothing preselected.
func (d doseAsk) labelAsked(agent string, form urlform.Values) h.Node {
	v := d.v
	var table companion.TableReply
	v.must("anaesthetic.table", &companion.AgentRequest{Agent: agent}, &table)
	strengths := h.All(h.Legend(v.t("given.strength", "agent", v.s("agent."+agent))))
	for _, s := range table.Strengths {
		strengths.Add(v.choose("given_strength", s.Percent, form, v.unit("percent", s.Percent), h.Text(" · "), v.unit("mg_per_ml", s.MgPerMl)))
	}
	return h.All(
		h.FieldSet(h.Class("choose"), strengths),
		v.adrenalineAsked(form),
	)
}

func (v *visit) adrenalineAsked(form urlform.Values) h.Node {
	return h.FieldSet(h.Class("choose"), h.Legend(v.t("adrenaline.title")),
		v.choose("given_adrenaline", "no", form, v.t("adrenaline.no")), v.choose("given_adrenaline", "yes", form, v.t("adrenaline.yes")))
}

func (v *visit) choose(name, value string, form urlform.Values, label ...h.Node) h.Node {
	return h.Label(h.Class("pick"), h.Input(h.Type("radio"), h.Name(name), h.Value(value), h.If(form.Get(name) == value, h.Checked())), h.Span(h.All(label...)))
}

// alreadyWritten: the form was made before the record's last line. Most likely
// Back led to it, and the dose in it stands in the record already.
const alreadyWritten = "already_written"

// saveGiven sends a dose into the record.
func (d doseAsk) saveGiven(kind string) (companion.SavedReply, *companion.Fault) {
	v := d.v
	if lines := v.form.Get("lines"); lines != "" && lines != strconv.Itoa(len(d.birth.Log)) {
		return companion.SavedReply{}, &companion.Fault{Code: alreadyWritten}
	}
	if kind == "earlier" && v.form.Get("other_agent") != "" {
		return d.saveOther()
	}
	ml := companion.Typed(v.form.Get("ml"))
	strength, adrenaline := v.form.Get("strength"), v.form.Get("adrenaline")
	if kind != "" {
		strength, adrenaline = v.form.Get("given_strength"), v.form.Get("given_adrenaline")
	}
	if fault := labelSaid(strength, adrenaline, ml); fault != nil {
		return companion.SavedReply{}, fault
	}
	agent := d.agentOf(kind)
	if agent == "" {
		return companion.SavedReply{}, &companion.Fault{Code: "agent_unknown", Field: "agent"}
	}
	if kind == "correct" {
		return v.save("birth.correct_dose", &companion.CorrectRequest{Birth: d.birth.Birth, Of: v.form.Get("of"),
			Agent: agent, Adrenaline: adrenaline == "yes", Ml: ml, StrengthPercent: strength})
	}
	return v.save("birth.inject", &companion.InjectRequest{Birth: d.birth.Birth, Agent: agent, Adrenaline: adrenaline == "yes",
		Ml: ml, StrengthPercent: strength, Prior: kind == "earlier"})
}

// saveOther writes down a dose of an anaesthetic or a strength that is not
// offered here, in milligrams: what was given is never refused.
func (d doseAsk) saveOther() (companion.SavedReply, *companion.Fault) {
	f := d.v.form
	if a := f.Get("given_adrenaline"); a != "yes" && a != "no" {
		return companion.SavedReply{}, &companion.Fault{Code: "adrenaline_not_said", Field: "adrenaline"}
	}
	mg := companion.Typed(f.Get("mg"))
	if mg == "" {
		return companion.SavedReply{}, &companion.Fault{Code: companion.FaultAmount, Field: "mg"}
	}
	return d.v.save("birth.inject", &companion.InjectRequest{Birth: d.birth.Birth, Agent: f.Get("other_agent"),
		Adrenaline: f.Get("given_adrenaline") == "yes", Mg: mg, Prior: true})
}

// otherForm asks for such a dose.
func (d doseAsk) otherForm(form urlform.Values, fault *companion.Fault) h.Node {
	v := d.v
	agents := h.All(h.Legend(v.t("agent.title")))
	for _, a := range []string{"lidocaine", "bupivacaine", "ropivacaine", "levobupivacaine", "mepivacaine", "chloroprocaine", "prilocaine"} {
		agents.Add(v.choose("other_agent", a, form, v.t("agent."+a)))
	}
	return h.Details(h.Class("source"), h.If(form.Get("other_agent") != "", h.Attr("open")), h.Summary(v.t("given.other")),
		v.p("given.other_hint"),
		d.form("earlier", []string{"mg"}, hidden("lines", strconv.Itoa(len(d.birth.Log))),
			h.FieldSet(h.Class("choose"), agents), v.adrenalineAsked(form),
			v.field(field{name: "mg", value: form.Get("mg"), label: "given.mg", unit: "mg", mode: "decimal", hint: "given.mg_hint", problem: v.faultAt(fault, "mg")}),
			v.submit("given.write")))
}

// labelSaid wants every part of a dose said: none has a default.
func labelSaid(strength, adrenaline, ml string) *companion.Fault {
	switch {
	case strength == "":
		return &companion.Fault{Code: "strength_not_said", Field: "strength"}
	case adrenaline != "yes" && adrenaline != "no":
		return &companion.Fault{Code: "adrenaline_not_said", Field: "adrenaline"}
	case ml == "":
		return &companion.Fault{Code: companion.FaultAmount, Field: "ml"}
	}
	return nil
}

// addGiven counts a dose in a quick tool: it becomes part of the address.
func (d doseAsk) addGiven(kind string) (string, *companion.Fault) {
	v, q := d.v, keep(d.query)
	ml := companion.Typed(v.query.Get("ml"))
	strength, adrenaline := q.Get("strength"), d.adrenaline()
	if kind != "" {
		strength, adrenaline = v.query.Get("given_strength"), v.query.Get("given_adrenaline")
	}
	if fault := labelSaid(strength, adrenaline, ml); fault != nil {
		return "", fault
	}
	q.Add("given", strings.Join([]string{d.agent(), ml, strength, adrenaline}, ":"))
	if q.Get("before") != "nobody_knows" {
		q.Set("before", "listed")
	}
	trial := doseAsk{v: v, query: q}
	if fault := trial.counts(); fault != nil {
		return "", fault
	}
	return trial.next(), nil
}

// counts wants every dose in the address to be one, the last one more than
// nothing.
func (d doseAsk) counts() *companion.Fault {
	given, fault := d.givenInAddress()
	if fault != nil {
		return &companion.Fault{Code: companion.FaultAmount, Field: "ml"}
	}
	var r companion.CeilingReply
	last := given[len(given)-1:]
	fault = d.v.ask("anaesthetic.ceiling", &companion.CeilingRequest{Agent: last[0].Agent, Adrenaline: last[0].Adrenaline, StrengthPercent: last[0].StrengthPercent, Given: &last}, &r)
	if fault != nil {
		fault.Field = "ml"
	} else if r.GivenMg == "0" {
		fault = &companion.Fault{Code: "nothing_given", Field: "ml"}
	}
	return fault
}

// givenMore leads on when all earlier doses are written.
func (d doseAsk) givenMore(kind string) h.Node {
	switch kind {
	case "earlier":
		if !d.beforeAnswered() { // nothing is listed yet
			return more(d.v.link(d.path("before"), "before.title"))
		}
		return more(d.v.link(d.path("ask"), "given.all"))
	case "correct":
		return more(d.v.link("/b/"+d.birth.Birth, "close.no"))
	}
	return more(d.v.link(d.path("limit"), "given.back"))
}
