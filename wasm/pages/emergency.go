package pages

import (
	"slices"
	"strconv"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
	"fourchette/wasm/pages/urlform"
)

// An emergencyPage is one way to rescue; it asks for nothing first.
type emergencyPage struct{ path, icon, guide string }

var emergencies = []emergencyPage{
	{"bleeding", "bleeding", "heavy_bleeding"},
	{"toxicity", "toxicity", "toxicity"},
	{"fits", "fits", "fits"},
	{"fever", "fever", "fever_sepsis"},
}

// withBirth keeps the birth that the way here came from.
func (v *visit) withBirth(path string) string {
	if b := v.query.Get("birth"); b != "" {
		return path + "?" + urlform.Values{"birth": {b}}.Encode()
	}
	return path
}

func emergency(v *visit) page {
	for _, e := range emergencies {
		if v.step(1) == e.path {
			return v.emergencyPage(e)
		}
	}
	p := page{title: "emergency.title", place: "place.emergency", birth: v.fromBirth(), clinical: true}
	var tools h.Group
	for _, e := range emergencies {
		tools.Add(v.tool(v.withBirth("/emergency/"+e.path), e.icon, "emergency."+e.path))
	}
	p.add(h.Nav(h.Class("tools"), h.Attr("aria-label", v.s("emergency.title")), tools), v.p("emergency.back"))
	return p
}

// fromBirth is the birth named in the address; a rescue never fails for want
// of one.
func (v *visit) fromBirth() *companion.BirthReply {
	if id := v.query.Get("birth"); id != "" {
		if b, fault := v.loadBirth(id); fault == nil {
			return b
		}
	}
	return nil
}

func (v *visit) emergencyPage(e emergencyPage) page {
	p := page{title: "emergency." + e.path, place: "place.emergency", birth: v.fromBirth(), clinical: true}
	if e.path == "toxicity" && v.query.Get("over") != "" {
		p.add(h.Div(h.Class("alarm alarm-crisis"), h.Role("alert"), h.P(v.t("toxicity.over"))), (&way{v: v}).someOf("toxicity", func(it companion.PageItem) bool { return it.Key == "sign_first" }))
	}
	if e.path == "bleeding" {
		if v.keepingSigns(&p) {
			return p
		}
		p.add(v.bleedingAlarm())
	}
	p.add(v.guideList(e.guide))
	switch e.path {
	case "bleeding":
		p.add(v.keepOffer(p.birth), v.bleedingForm())
	case "toxicity":
		p.add(v.lipid())
	}
	if p.birth != nil {
		var own h.Node
		if e.path == "bleeding" {
			own = v.bleedingLinks(p.birth)
		}
		p.add(more(own, v.link("/b/"+p.birth.Birth, "record.title")))
	}
	return p
}

// bleedingFields are the signs asked for, in the order in which they are taken.
var bleedingFields = []field{
	{name: "lost_ml", label: "bleeding.lost", unit: "ml", mode: "decimal", hint: "bleeding.lost_hint"},
	{name: "wet_g", label: "bleeding.wet", unit: "g", mode: "decimal", hint: "bleeding.wet_hint"},
	{name: "dry_g", label: "bleeding.dry", unit: "g", mode: "decimal"},
	{name: "pulse", label: "bleeding.pulse", unit: "per_minute", mode: "numeric"},
	{name: "systolic", label: "bleeding.systolic", unit: "mmhg", mode: "numeric"},
	{name: "diastolic", label: "bleeding.diastolic", unit: "mmhg", mode: "numeric"},
}

// signs reads the form. A number that cannot be read is a fault of its field,
// never left out.
func (v *visit) signs() (companion.BleedingRequest, *companion.Fault) {
	r := companion.BleedingRequest{LostMl: v.typed("lost_ml"), Estimated: v.query.Get("estimated") != ""}
	for _, sign := range []struct {
		name string
		into **int
	}{{"pulse", &r.Pulse}, {"systolic", &r.Systolic}, {"diastolic", &r.Diastolic}} {
		text := v.typed(sign.name)
		if text == "" {
			continue
		}
		n, err := strconv.Atoi(text)
		if err != nil {
			return r, whole(sign.name, text)
		}
		*sign.into = &n
	}
	switch wet, dry := v.typed("wet_g"), v.typed("dry_g"); {
	case wet != "" && dry != "":
		r.Pads = []companion.PadWeights{{WetG: wet, DryG: dry}}
	case wet != "":
		return r, &companion.Fault{Code: padsBoth, Field: "dry_g"}
	case dry != "":
		return r, &companion.Fault{Code: padsBoth, Field: "wet_g"}
	}
	return r, nil
}

// padsBoth: what was soaked up is the difference of two weights.
const padsBoth = "pads_both"

// assess asks the core about the signs entered; nil when none were.
func (v *visit) assess() (*companion.BleedingReply, *companion.Fault) {
	if !slices.ContainsFunc(bleedingFields, func(f field) bool { return v.typed(f.name) != "" }) {
		return nil, nil
	}
	r, fault := v.signs()
	if fault != nil {
		return nil, fault
	}
	var a companion.BleedingReply
	if fault := v.ask("bleeding.assess", &r, &a); fault != nil {
		return nil, fault
	}
	return &a, nil
}

// assessed is what the signs come to. A lower pressure that cannot be true, and
// the other weight of pads, are asked for, and the others ring meanwhile.
func (v *visit) assessed() *companion.BleedingReply {
	a, fault := v.assess()
	if fault == nil || fault.Code != "pressure_implausible" && fault.Code != padsBoth {
		return a
	}
	r, _ := v.signs()
	if fault.Code != padsBoth {
		r.Diastolic = nil
	}
	a = &companion.BleedingReply{}
	if v.ask("bleeding.assess", &r, a) != nil {
		return nil
	}
	return a
}

func (v *visit) bleedingAlarm() h.Node {
	a := v.assessed()
	if a == nil {
		return nil
	}
	var because, missing h.Group
	for _, key := range a.Because {
		because.Add(h.Li(v.t("reason." + key)))
	}
	for _, key := range a.Missing {
		missing.Add(h.Li(v.t("bleeding.missing_" + key)))
	}
	return h.Section(h.Class("alarm alarm-"+a.Alarm), h.Role("status"),
		h.P(h.Class("alarm-level"), h.Strong(v.t("alarm."+a.Alarm))),
		v.p("alarm."+a.Alarm+"_do"),
		h.If(a.LostMl != "", h.P(v.t("bleeding.counted"), h.Text(" "), v.unit("ml", a.LostMl))),
		h.If(a.ShockIndex != "", h.P(v.t("bleeding.shock_index"), h.Text(" "), number(a.ShockIndex))),
		h.If(len(because) > 0, h.Ul(h.Class("because"), because)),
		h.If(len(missing) > 0, h.All(v.p("bleeding.missing"), h.Ul(h.Class("because"), missing))),
		v.source("WHO, FIGO, ICM guideline on postpartum haemorrhage, 2025", "from memory: WHO 2025 guideline"),
	)
}

func (v *visit) bleedingForm() h.Node {
	_, fault := v.assess()
	var fields h.Group
	for _, f := range bleedingFields {
		f.value = v.query.Get(f.name)
		f.problem = v.faultAt(fault, f.name)
		if fault != nil && fault.Field == "pads.0."+f.name {
			f.problem = v.faultKey(fault)
		}
		fields.Add(v.field(f))
	}
	fields.Add(h.Label(h.Class("tick"), h.Input(h.Type("checkbox"), h.Name("estimated"), h.Value("yes"),
		h.If(v.query.Get("estimated") != "", h.Checked())), v.t("bleeding.estimated")))
	var general h.Node
	if fault != nil && !slices.ContainsFunc(bleedingFields, func(f field) bool { return f.name == fault.Field || "pads.0."+f.name == fault.Field }) {
		general = v.problem(v.faultKey(fault))
	}
	return h.Section(h.H2(v.t("bleeding.form")), general,
		v.getForm("/emergency/bleeding", h.If(v.query.Get("birth") != "", hidden("birth", v.query.Get("birth"))), fields, v.submit("bleeding.assess")))
}

// typed is what was typed into a field, as strict decimal text.
func (v *visit) typed(name string) string { return companion.Typed(v.query.Get(name)) }

// lipidWeights are shown beforehand, so that nobody has to type in a rescue.
var lipidWeights = []string{"30", "40", "50", "60", "70", "80", "90", "100"}

// lipid is the 20 % emulsion by weight: one protocol, after the first steps,
// only where it is stocked.
func (v *visit) lipid() h.Node {
	var rows h.Group
	for _, kg := range lipidWeights {
		var r companion.RescueReply
		v.must("anaesthetic.rescue", &companion.RescueRequest{WeightKg: kg}, &r)
		rows.Add(h.Tr(h.Th(h.Scope("row"), v.unit("kg", kg)),
			h.Td(v.unit("ml", r.BolusMl)), h.Td(v.unit("ml", r.InfusionMlPerHour)), h.Td(v.unit("ml", r.MostMl))))
	}
	return h.Section(h.H2(v.t("lipid.title")), v.caution("lipid.when"), v.p("lipid.between"),
		h.Div(h.Class("wide"), h.TabIndex("0"), h.Role("region"), h.Attr("aria-label", v.s("lipid.title")), h.Table(h.THead(h.Tr(h.Th(h.Scope("col"), v.t("lipid.weight")), h.Th(h.Scope("col"), v.t("lipid.bolus")),
			h.Th(h.Scope("col"), v.t("lipid.per_hour")), h.Th(h.Scope("col"), v.t("lipid.most")))), h.TBody(rows))),
		v.source("AAGBI Safety Guideline, Management of severe local anaesthetic toxicity, 2010", "FOUND"))
}
