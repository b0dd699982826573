package pages

import (
	"slices"
	"time"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// newBirth asks when the baby came and opens a record. Nothing is assumed.
func newBirth(v *visit) page {
	var fault *companion.Fault
	if v.posted() {
		var s companion.SavedReply
		s, fault = v.save("birth.open", &companion.OpenRequest{
			Born: v.form.Get("born"), BornAt: v.localTime(v.form), Bed: v.form.Get("bed"), Another: v.form.Get("another") != ""})
		if fault == nil {
			v.app.last = s.Birth
			return page{to: "/b/" + s.Birth}
		}
	}
	if fault != nil && fault.Code == companion.FaultPerhapsOpen {
		return v.perhapsOpen(fault.Detail)
	}
	p := page{title: "new.title", place: "place.new"}
	if fault != nil && fault.Field != "born_at" && fault.Field != "bed" {
		p.add(v.problem(v.faultKey(fault)))
	}
	p.add(v.bornForm("/new", v.form.Get("bed"), fault))
	return p
}

// bornForm asks for the bed and when the baby came.
func (v *visit) bornForm(path, bed string, fault *companion.Fault) h.Node {
	return v.postForm(path,
		v.field(field{name: "bed", value: bed, label: "new.bed", hint: "new.bed_hint", problem: v.faultAt(fault, "bed")}),
		h.H2(h.ID("born"), v.t("new.born")),
		answers(
			v.answer("born", "now", "is-now", false, v.t("new.born_now")),
			v.answer("born", "not_known", "is-open", false, v.t("new.born_unknown")),
		),
		h.Div(h.Class("group"),
			v.field(field{name: "born_at", value: v.form.Get("born_at"), label: "new.born_at", kind: "datetime-local", most: "20", problem: v.faultAt(fault, "born_at")}),
			v.answer("born", "at", "is-at", false, v.t("new.born_at_use")),
		),
	)
}

// bornPage puts the hour of birth or the bed right. The hour is left as it is
// unless another one is said, and one that is later than the record is asked
// about by its figures.
func bornPage(x *way) page {
	v := x.v
	bed, at := x.b.Bed, v.fieldTime(x.b.BornAt)
	var fault *companion.Fault
	if v.posted() {
		bed, at = v.form.Get("bed"), v.form.Get("born_at")
		_, fault = v.save("birth.put_right", &companion.PutRightRequest{
			Birth: x.b.Birth, Born: v.form.Get("born"), BornAt: v.localTime(v.form), Bed: bed, Confirmed: at != "" && v.form.Get("confirmed") == at})
		if fault == nil {
			return page{to: x.path("")}
		}
	}
	p := x.page("born.title", "place.record")
	if fault != nil && fault.Field != "born_at" && fault.Field != "bed" {
		p.add(v.problem(v.faultKey(fault)))
	}
	var confirmed h.Node
	hour := "new.born_at_use"
	if fault != nil && fault.Code == companion.FaultConfirmBorn {
		confirmed, hour = hidden("confirmed", at), "born.all_the_same"
	}
	p.add(h.P(h.Strong(v.bornAt(x.b, v.hour))), v.p("born.what"), v.postForm(x.path("born"), confirmed,
		v.field(field{name: "bed", value: bed, label: "new.bed", hint: "new.bed_hint", problem: v.faultAt(fault, "bed")}),
		answers(v.answer("born", "same", "", false, v.t("born.same"))),
		h.H2(h.ID("born"), v.t("born.hour")),
		h.Div(h.Class("group"),
			v.field(field{name: "born_at", value: at, label: "new.born_at", kind: "datetime-local", most: "20", problem: v.faultAt(fault, "born_at")}),
			v.answer("born", "at", "is-at", false, v.t(hour))),
		answers(v.answer("born", "not_known", "is-open", false, v.t("new.born_unknown")))),
		more(v.link(x.path(""), "close.no")))
	return p
}

// fieldTime is an hour of the record as a field for day and hour takes it.
func (v *visit) fieldTime(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return ""
	}
	return t.In(v.zone()).Format("2006-01-02T15:04")
}

// perhapsOpen offers the record that is open already, before a second one of
// the same woman begins with nothing in it.
func (v *visit) perhapsOpen(id string) page {
	p := page{title: "new.perhaps", place: "place.new"}
	b, gone := v.loadBirth(id)
	if gone != nil {
		return birthGone(v, gone)
	}
	p.add(v.p("new.perhaps_what"), h.P(h.Class("dose"), h.B(number(b.Number))),
		h.If(b.Bed != "", h.P(h.Class("grade-line"), h.Strong(v.t("bar.bed", "bed", b.Bed)))), h.P(v.bornAt(b, v.since)),
		v.next("/b/"+id, "new.perhaps_open"),
		v.postForm("/new", hidden("born", v.form.Get("born")), hidden("born_at", v.form.Get("born_at")), hidden("bed", v.form.Get("bed")),
			v.answer("another", "yes", "", false, v.t("new.perhaps_another"))))
	return p
}

// localTime puts the local clock's distance from UTC to a typed date and hour.
func (v *visit) localTime(form interface{ Get(string) string }) string {
	if form.Get("born") != "at" {
		return ""
	}
	t, err := time.ParseInLocation("2006-01-02T15:04", form.Get("born_at"), v.zone())
	if err != nil {
		return orElse(form.Get("born_at"), "-") // the core refuses it and the field says so
	}
	return t.Format(time.RFC3339)
}

// record is a birth's page: what comes next, what is known, all that was
// written down.
func record(v *visit, b *companion.BirthReply) page {
	if v.posted() {
		if fault := v.changeRecord(b); fault != nil {
			return recordPage(v, b, fault)
		}
		return page{to: "/b/" + b.Birth}
	}
	return recordPage(v, b, nil)
}

// changeRecord takes back a dose that was written down wrong.
func (v *visit) changeRecord(b *companion.BirthReply) *companion.Fault {
	_, fault := v.save("birth.correct_dose", &companion.CorrectRequest{Birth: b.Birth, Of: v.form.Get("of"), Void: true})
	return fault
}

func recordPage(v *visit, b *companion.BirthReply, fault *companion.Fault) page {
	p := page{title: "record.title", place: "place.record", birth: b, clinical: true}
	if fault != nil {
		p.add(v.problem(v.faultKey(fault)))
	}
	if b.Closed {
		p.add(v.leftOpen(b.StillOpen))
	} else {
		p.add(v.recordActions(b))
	}
	p.add(v.gradeSoFar(b), v.dosesSoFar(b), v.log(b))
	p.add(v.unconfirmed())
	if b.Newer > 0 {
		p.add(note("caution", h.P(v.count("record.newer", b.Newer))))
	}
	if !b.Closed {
		p.add(more(v.link("/b/"+b.Birth+"/born", "born.title"), v.link("/b/"+b.Birth+"/close", "record.close")))
	}
	return p
}

// recordActions is what comes next, the way at a glance, and what can be done
// at any time.
func (v *visit) recordActions(b *companion.BirthReply) h.Node {
	x := v.way(b)
	nodes := h.All(h.If(x.rings(), x.alarm()), x.warnings(), x.timers(false), x.changed())
	if path, key := x.next(); x.rings() { // rescue is the one main thing
	} else if path != "" {
		nodes.Add(v.next(path, key))
	} else {
		nodes.Add(h.Section(h.Class("alarm alarm-none"), h.P(h.Strong(v.t("record.all_done")))))
	}
	return append(nodes, x.stages(), h.Nav(h.Class("tools"), h.Attr("aria-label", v.s("record.next")),
		v.tool(x.path("examine"), "rectal_exam", "record.examine"),
		v.tool(x.path("grade"), "grade_tool", "record.grade"),
		v.tool(x.path("dose"), "dose_tool", "record.dose"),
		v.tool(x.path("handover"), "referral_note", "handover.title"),
	))
}

func (v *visit) gradeSoFar(b *companion.BirthReply) h.Node {
	nodes := h.All(h.H2(v.t("record.grade_noted")))
	n := b.GradeNoted
	if n == nil {
		return append(nodes, v.p("record.no_grade"))
	}
	nodes.Add(h.P(h.Class("grade-line"), h.Strong(v.t("grade."+n.Grade)),
		h.If(n.Buttonhole, h.All(h.Text(" · "), v.t("grade.buttonhole"))),
		h.If(n.Grade == "undetermined", h.All(h.Text(" · "), v.t("stage.plan_for", "grade", v.s("grade."+n.TreatAs)))),
		h.If(!n.Settled, h.All(h.Text(" · "), v.t("grade.not_settled"))), h.Text(" · "), v.hour(n.At)))
	if n.Stale && !b.Damaged { // a record in doubt says so on top
		nodes.Add(v.caution("record.grade_stale"))
	}
	return nodes
}

func (v *visit) dosesSoFar(b *companion.BirthReply) h.Node {
	nodes := h.All(h.H2(v.t("record.doses")), v.overLimit(b))
	if l := b.LimitNoted; l != nil && !b.Damaged {
		nodes.Add(h.P(v.t("record.limit", "agent", v.s("agent."+l.Agent), "strength", l.StrengthPercent), h.Text(" "),
			v.unit("ml", l.Ml), h.Text(" ("), v.unit("mg", l.Mg), h.Text(") · "), v.t("record.limit_whole"), h.Text(" · "), v.hour(l.At)))
		if l.WeightAssumed {
			nodes.Add(h.P(h.Class("quiet"), v.t("dose.not_weighed_short")))
		}
		if l.Stale {
			nodes.Add(v.caution("record.limit_stale"))
		}
	}
	if len(b.Doses) == 0 {
		return append(nodes, v.p(noDoses(b)))
	}
	var items h.Group
	for _, d := range b.Doses {
		if d.Void {
			items.Add(h.Li(h.Del(v.dose(d)), h.Text(" "), v.t("record.taken_back")))
			continue
		}
		items.Add(h.Li(v.dose(d), v.takeBack(b, d)))
	}
	return append(nodes, h.If(priorDoubt(b) != "", v.caution(orElse(priorDoubt(b), "record.no_doses_unasked"))), h.Ul(h.Class("doses"), items))
}

// priorDoubt is the text for what is not known of the doses before this record,
// "" where nothing was given or it is on the list. A dose written down since
// does not answer it.
func priorDoubt(b *companion.BirthReply) string {
	switch {
	case b.Damaged:
		return "record.no_doses_damaged_more"
	case b.Prior == "nothing":
		return ""
	case b.Prior == "listed" && slices.ContainsFunc(b.Doses, func(d companion.DoseReply) bool { return d.Prior && !d.Void }):
		return ""
	case b.Prior == "":
		return "record.before_unasked"
	}
	return "record.no_doses_" + b.Prior
}

// noDoses says why no dose is listed.
func noDoses(b *companion.BirthReply) string {
	if b.Damaged {
		return "record.no_doses_damaged"
	}
	return "record.no_doses_" + orElse(b.Prior, "unasked")
}

// takeBack offers to correct a dose: a new event, the old one stays readable.
func (v *visit) takeBack(b *companion.BirthReply, d companion.DoseReply) h.Node {
	if b.Closed {
		return nil
	}
	return h.Details(h.Class("correct"), h.Summary(v.t("record.dose_wrong")),
		v.p("record.dose_wrong_hint"),
		v.postForm("/b/"+b.Birth, hidden("of", d.Event), h.Button(h.Class("answer"), h.Type("submit"), v.t("record.dose_void"))),
		v.link("/b/"+b.Birth+"/dose/correct?of="+d.Event, "record.dose_correct"))
}

func (v *visit) dose(d companion.DoseReply) h.Node {
	label := h.All(v.t("agent." + d.Agent))
	if d.StrengthPercent != "" {
		label.Add(h.Text(" "), v.unit("percent", d.StrengthPercent))
	}
	if d.Adrenaline {
		label.Add(h.Text(" "), v.t("dose.with_adrenaline_short"))
	}
	if d.Ml != "" {
		label.Add(h.Text(" · "), v.unit("ml", d.Ml))
	}
	label.Add(h.Text(" · "), v.unit("mg", d.Mg), h.Text(" · "))
	if d.Prior {
		return append(label, v.t("dose.before_record"))
	}
	if d.At == "" { // its correction is there, and it is not
		return append(label, v.t("dose.hour_unknown"))
	}
	return append(label, v.hour(d.At))
}

// log is all that was written down, the newest first.
func (v *visit) log(b *companion.BirthReply) h.Node {
	var items h.Group
	for i := len(b.Log) - 1; i >= 0; i-- {
		items.Add(h.Li(v.hour(b.Log[i].At), h.Text(" "), v.logLine(b.Log[i])))
	}
	return h.Details(h.Class("log"), h.Summary(v.count("record.log", len(b.Log))), h.Ol(h.Attr("reversed"), items))
}

func (v *visit) logLine(e companion.LogEntry) h.Node {
	if e.Dose != nil {
		return h.All(v.t("event."+e.Kind), h.Text(": "), v.dose(*e.Dose))
	}
	line := h.All(v.t("event." + e.Kind))
	if e.Void {
		line = h.All(v.t("event.dose_void"))
	}
	if e.Name != "" {
		line.Add(h.Text(": "), v.t(logName(e)))
	}
	if e.Value != "" {
		line.Add(h.Text(": "), v.logValue(e))
	}
	if len(e.Open) > 0 {
		line.Add(h.Text(": "), h.Text((&way{v: v}).openText(e.Open)))
	}
	for _, c := range e.Counted {
		line.Add(h.Text(" · "), v.t("supplyname."+c.Item), h.Text(" "), number(itoa(c.N)))
	}
	return line
}

// logName is the text that names what a line is about.
func logName(e companion.LogEntry) string {
	switch e.Kind {
	case "answer":
		return "ask." + e.Name
	case "count":
		return "count." + e.Name
	case "visit":
		return "visit." + e.Name
	case "despite":
		return "despite." + e.Name
	}
	return "finding." + e.Name
}

// logValue is a word of the record in the reader's language, or an amount.
func (v *visit) logValue(e companion.LogEntry) h.Node {
	switch e.Kind {
	case "finding", "rectal", "episiotomy", "prior", "layer":
		return v.t("value." + e.Value)
	case "grade_noted":
		return v.t("grade." + e.Value)
	case "weight":
		return v.unit("kg", e.Value)
	case "limit_noted":
		return v.unit("mg", e.Value)
	case "put_right":
		if e.Value == "not_known" {
			return v.t("bar.hour_unknown")
		}
		return v.hour(e.Value)
	case "answer":
		return v.answerValue(e)
	case "despite":
		return v.t("finding." + e.Value)
	}
	return number(e.Value)
}

// answerValue is an answer of the way: a word, an hour, or a figure.
func (v *visit) answerValue(e companion.LogEntry) h.Node {
	if key := v.saidKey(e.Name, e.Value); v.book.Has(key) {
		return v.t(key)
	}
	if _, err := time.Parse(time.RFC3339, e.Value); err == nil {
		return v.hour(e.Value)
	}
	if units[e.Name] != "" {
		return v.measured(e.Name, e.Value)
	}
	return h.Text(e.Value)
}
