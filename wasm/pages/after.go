package pages

import (
	"slices"
	"strings"
	"time"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// aftercare is the core's plan for this record.
func (x *way) aftercare() (companion.AftercareReply, *companion.Fault) {
	var out companion.AftercareReply
	fault := x.v.ask("birth.aftercare", &companion.BirthRequest{Birth: x.b.Birth}, &out)
	return out, fault
}

// afterPage is what she gets and what is watched.
func afterPage(x *way) page {
	v := x.v
	p := x.page("after.title", "place.after")
	plan, fault := x.aftercare()
	if fault != nil {
		p.add(v.problem(v.faultKey(fault)))
		return p
	}
	p.add(x.timers(false), x.asked("after"), h.If(slices.Contains(plan.Because, "grade_undetermined"), v.caution("after.not_examined")),
		x.namedAllergies(), h.H2(v.t("after.medicines")))
	for _, m := range plan.Medicines {
		p.add(x.medicine(m))
	}
	p.add(x.noAntibiotic(plan))
	for _, never := range plan.Never {
		p.add(x.afterItem(never))
	}
	p.add(x.gone("medicines_seen", v.next(x.path("advice"), "advice.title")), more(v.link(x.path("visits"), "visits.title"), v.link(x.path("stage/after"), "stagename.after")))
	return p
}

// gone is the button which says that this page was gone through with her, as
// long as that is asked; then what comes after it. It stands where the page
// ends, and not in sight before anything was read.
func (x *way) gone(question string, then h.Node) h.Node {
	if x.b.Closed || !slices.Contains(x.stage("after").Ask, question) {
		return then
	}
	return x.v.postForm(x.path("ask/"+question), hidden("value", "yes"),
		h.Button(h.Class("next at-end"), h.Type("submit"), x.v.t("gone."+question)))
}

// medicine is one medicine: give it, ask first, or not, and why.
func (x *way) medicine(m companion.MedicineReply) h.Node {
	v := x.v
	nodes := h.All(h.H3(v.t("medicine."+m.Key)), h.P(h.Class("medicine-state"), h.Strong(v.t("medicine.state_"+m.State))))
	if m.State == "withheld" {
		for _, key := range m.Because {
			nodes.Add(note("caution", v.p("medicine.because_"+key)))
		}
	}
	for _, ask := range m.Ask {
		nodes.Add(v.p("medicine.ask_" + ask))
	}
	if d := m.Dose; d != nil {
		nodes.Add(x.medicineDose(*d))
	}
	if m.SingleDose {
		nodes.Add(v.p("medicine.single"))
	}
	if m.Within != nil {
		nodes.Add(note("caution", h.P(h.Strong(v.t("medicine.within", "hours", itoa(*m.Within))))))
	}
	if m.DaysLeast != nil {
		nodes.Add(h.P(v.count("medicine.days_least", *m.DaysLeast)))
	}
	for _, o := range m.Options {
		nodes.Add(h.P(h.Class("option"), v.t("medicine.option"), h.Text(" "), x.optionDrugs(o), v.source(o.Source, o.Read)))
	}
	for _, l := range m.LeftOut {
		nodes.Add(v.p("medicine.left_out", "what", v.s("medicine."+l.Key), "why", v.s("medicine.why_"+l.Why)))
	}
	for _, c := range m.Cautions {
		nodes.Add(note("caution", v.p("medicine.caution_"+c)))
	}
	if m.State != "withheld" { // nobody reads "give" under "she must not have it"
		nodes.Add(x.medicineGuide(m))
	}
	if m.Key == "antibiotic" && m.State != "ask" {
		nodes.Add(more(v.link(x.askPath("antibiotic_given"), "ask.antibiotic_given")))
	}
	var cited h.Group
	for _, s := range m.Sources {
		cited.Add(v.citation(s.Source, s.Read))
	}
	if len(cited) > 0 {
		nodes.Add(h.Details(h.Class("source"), h.Summary(v.t("source.show")), cited))
	}
	return h.Section(h.Class("medicine is-"+m.State), nodes)
}

// medicineGuide is what the guidance has to say of a medicine.
func (x *way) medicineGuide(m companion.MedicineReply) h.Node {
	if m.Key != "antibiotic" {
		return x.someOf("aftercare", func(it companion.PageItem) bool { return belongs(it.Key, m.Key) })
	}
	want := []string{"antibiotic_prophylaxis_allergy"}
	switch torn := slices.Contains(m.Because, "third_or_fourth_degree") || slices.Contains(m.Because, "buttonhole_as_fourth"); {
	case len(m.Options) == 0: // no agent is named before her allergies are known, nor one she does not bear
	case torn:
		want = append(want, "antibiotic_prophylaxis")
	default:
		want = append(want, "antibiotic_prophylaxis_instrumental")
	}
	return x.someOf("aftercare", func(it companion.PageItem) bool { return slices.Contains(want, it.Key) })
}

// noAntibiotic says that none is due, where none is.
func (x *way) noAntibiotic(plan companion.AftercareReply) h.Node {
	if slices.ContainsFunc(plan.Medicines, func(m companion.MedicineReply) bool { return m.Key == "antibiotic" }) ||
		slices.Contains(plan.Because, "grade_undetermined") {
		return nil
	}
	return x.someOf("aftercare", func(it companion.PageItem) bool { return it.Key == "antibiotic_prophylaxis_none" })
}

func (x *way) medicineDose(d companion.MedicineDose) h.Node {
	v := x.v
	mg := v.unitText("mg", d.MostMg)
	if d.LeastMg != d.MostMg {
		mg = v.s("medicine.from_to", "from", v.unitText("mg", d.LeastMg), "to", mg)
	}
	every := v.t("medicine.dose", "mg", mg, "least", itoa(d.HoursLeast), "most", itoa(d.HoursMost))
	if d.HoursLeast == d.HoursMost {
		every = v.t("medicine.dose_each", "mg", mg, "hours", itoa(d.HoursMost))
	}
	return h.All(
		h.P(h.Class("beside"), every),
		h.P(h.Strong(v.t("medicine.daily", "mg", v.unitText("mg", d.DailyMostMg), "times", itoa(d.TimesMost)))),
		h.If(d.WeightAssumed, v.caution("medicine.not_weighed")),
	)
}

func (x *way) optionDrugs(o companion.MedicineOption) h.Node {
	v := x.v
	var parts []string
	for _, d := range o.Drugs {
		parts = append(parts, v.s("medicine.drug", "agent", v.s("drug."+d.Agent), "mg", v.unitText("mg", d.DoseMg), "route", v.s("route."+d.Route)))
	}
	return h.Text(strings.Join(parts, " + "))
}

// afterItem is one line of advice by its key in the plan.
func (x *way) afterItem(key string) h.Node {
	for _, it := range x.v.guide("aftercare") {
		if it.Key == key || it.Key == "advice_"+key || it.Key == "danger_"+key {
			return x.v.guideItem("aftercare", it)
		}
	}
	return nil
}

// advicePage is for the mother: pictures and few words, to read aloud, print
// and share.
func advicePage(x *way) page {
	v := x.v
	p := x.page("advice.title", "place.after")
	plan, fault := x.aftercare()
	if fault != nil {
		p.add(v.problem(v.faultKey(fault)))
		return p
	}
	p.add(v.shareButtons("#advice"),
		h.Article(h.ID("advice"), h.Class("paper"), h.P(v.practice()), x.insideHer(),
			h.H2(v.t("advice.for_you")), x.pictured("advice_", plan.Advice), x.pictured("every_", x.withInside(x.keysOf("every_"))),
			h.H2(v.t("advice.come_at_once")), v.guideText("aftercare", "danger"), x.pictured("danger_", x.withInside(x.dangerSigns(plan))),
			h.H2(v.t("visits.title")), x.visitDays()),
		x.gone("advice_told", nil),
		more(v.link(x.path("after"), "after.title"), v.link(x.path("visits"), "visits.title")))
	return p
}

// insideHer is what she must know before all else: how many are inside her, who
// takes them out, since when. What nobody wrote down she is to ask.
func (x *way) insideHer() h.Node {
	if !x.leftInside() {
		return nil
	}
	v := x.v
	many := v.t("advice.inside_unknown")
	if n := x.tamponsInside(); n > 0 {
		many = v.count("advice.inside", n)
	}
	return h.Div(h.Class("pictured is-inside"), h.Role("note"), h.Data("say", ""), v.drawing("tampon_left"),
		h.Div(h.P(h.Strong(many)), x.insideLine("tampon_receiver"), x.insideLine("tampon_at"), v.guideText("aftercare", "left_go")))
}

func (x *way) insideLine(question string) h.Node {
	text := x.v.s("advice.ask")
	if a := x.answerTo(question); a != nil {
		text = x.v.plain(x.said(question, a))
	}
	return h.P(h.Text(x.v.line(x.v.s(x.label(question)), text)))
}

// withInside are keys of advice as they are for her: what may not go in, and
// what must not come out, is other where a tampon was left on purpose.
func (x *way) withInside(keys []string) []string {
	if !x.leftInside() {
		return keys
	}
	for i, key := range keys {
		switch key {
		case "inside":
			keys[i] = "left_nothing_else"
		case "something_comes_out":
			keys[i] = "left_comes_out"
		}
	}
	return keys
}

// keysOf are the items of the guidance whose keys begin so, without that: what
// it has for every mother.
func (x *way) keysOf(prefix string) (keys []string) {
	for _, it := range x.v.guide("aftercare") {
		if rest, is := strings.CutPrefix(it.Key, prefix); is {
			keys = append(keys, rest)
		}
	}
	return keys
}

// dangerSigns are the core's, and what the guidance adds to them.
func (x *way) dangerSigns(plan companion.AftercareReply) []string {
	all := slices.Clone(plan.DangerSigns)
	for _, key := range x.keysOf("danger_") {
		if !slices.Contains(all, key) {
			all = append(all, key)
		}
	}
	return all
}

// pictured is a list of pictures with their few words.
func (x *way) pictured(prefix string, keys []string) h.Node {
	v := x.v
	drawn := map[string]string{}
	for _, it := range v.guide("aftercare") {
		drawn[it.Key] = it.Drawing
	}
	var items h.Group
	for _, key := range keys {
		text := "guide.aftercare." + prefix + key
		if !v.book.Has(text) {
			text = "guide.aftercare." + key
		}
		items.Add(h.Li(h.Class("pictured"), h.Data("say", ""), v.drawing(orElse(orElse(drawn[prefix+key], drawn[key]), adviceDrawing[key])), h.P(v.t(text))))
	}
	return h.Ul(h.Class("pictures"), items)
}

// shareButtons read aloud, print and share what has the id; each hides where
// the phone cannot.
func (v *visit) shareButtons(id string) h.Node {
	return h.Div(h.Class("answers no-print"), v.aid("aloud", id, "repair.aloud"), v.aid("print", "", "paper.print"), v.aid("share", id, "paper.share"))
}

// printButton is for what must be neither heard nor handed to another app.
func (v *visit) printButton() h.Node {
	return h.Div(h.Class("answers no-print"), v.aid("print", "", "paper.print"))
}

func (v *visit) aid(name, value, key string) h.Node {
	return h.Button(h.Class("answer"), h.Type("button"), h.ID("do-"+name), h.Data(name, value), h.Attr("hidden"), v.t(key))
}

// visitsPage proposes days by the published ranges. First somebody looks at
// today's date; then a day is agreed on with her, by a tap that can be taken
// back.
func visitsPage(x *way) page {
	v := x.v
	p := x.page("visits.title", "place.after")
	var fault *companion.Fault
	if v.posted() {
		if fault = x.saveVisit(); fault == nil {
			return page{to: x.path("visits")}
		}
	}
	plan, wrong := x.aftercare()
	if wrong != nil {
		p.add(v.problem(v.faultKey(wrong)))
		return p
	}
	if !x.b.Closed {
		p.add(x.today())
	}
	for _, visit := range plan.Visits {
		p.add(x.visit(visit, fault))
	}
	p.add(more(v.link(x.path("advice"), "advice.title"), v.link(x.path(""), "close.no")))
	return p
}

// saveVisit writes what was tapped: that today's date is right or not, a day
// agreed on, or taken back.
func (x *way) saveVisit() *companion.Fault {
	f := x.v.form
	if said := f.Get("came"); said != "" {
		_, fault := x.v.save("birth.answer", &companion.AnswerRequest{Birth: x.b.Birth, Question: "came_" + f.Get("key"), Value: said})
		return fault
	}
	if today := f.Get("today"); today != "" {
		_, fault := x.v.save("birth.answer", &companion.AnswerRequest{Birth: x.b.Birth, Question: "today_right", Value: today})
		return fault
	}
	date := orElse(f.Get("date"), "-")
	_, fault := x.v.save("birth.visit", &companion.VisitRequest{Birth: x.b.Birth, Key: f.Get("key"), Date: date,
		Confirmed: f.Get("agreed") == "yes", OddMeant: f.Get("odd") == date}) // another odd day is asked about anew
	return fault
}

// today asks whether this device's date is right: every day below is worked
// out from it.
func (x *way) today() h.Node {
	v := x.v
	date := h.P(h.Strong(v.t("visits.today"), h.Text(" "), v.day(x.w.Now)))
	if x.w.TodayLooked {
		return h.Section(h.Class("plan"), date, v.p("visits.today_said"))
	}
	a := x.answerTo("today_right")
	return h.Section(h.Class("caution"), date, v.p("visits.look_at_today"),
		h.If(a != nil && a.Value == "no", v.p("visits.today_wrong")),
		v.postForm(x.path("visits"), answers(h.All(
			v.answer("today", "yes", "", false, v.t("visits.today_yes")), v.answer("today", "no", "", false, v.t("visits.today_no"))))))
}

func (x *way) visit(visit companion.VisitReply, fault *companion.Fault) h.Node {
	v := x.v
	nodes := h.All(h.H2(v.t("visit." + visit.Key)))
	switch from, to := v.day(visit.From), v.day(visit.To); {
	case visit.From != "" && v.plain(from) == v.plain(to):
		nodes.Add(h.P(v.t("visits.on"), h.Text(" "), from))
	case visit.From != "":
		nodes.Add(h.P(v.t("visits.between"), h.Text(" "), from, h.Text(" – "), to))
	default:
		nodes.Add(v.p("visits.no_hour"))
	}
	nodes.Add(v.source(visit.Source, visit.Read),
		h.Details(h.Class("source"), h.Summary(v.t("visits.what")), x.someOf("aftercare", func(it companion.PageItem) bool { return belongs(it.Key, visit.Key) })))
	if planned := x.planned(visit.Key); planned != nil && planned.Confirmed {
		nodes.Add(h.P(h.Strong(v.t("visits.confirmed"), h.Text(" "), number(planned.Date))), x.came(planned))
		if !x.b.Closed {
			nodes.Add(v.postForm(x.path("visits"), hidden("key", visit.Key), hidden("date", planned.Date),
				h.Button(h.Class("answer"), h.Type("submit"), h.Name("agreed"), h.Value("no"), v.t("visits.take_back"))))
		}
		return h.Section(h.Class("visit"), nodes)
	}
	if x.b.Closed || !x.w.TodayLooked {
		return h.Section(h.Class("visit"), nodes)
	}
	return h.Section(h.Class("visit"), nodes, x.agree(visit.Key, fault))
}

// came asks whether she came on the day agreed on, also when the record is
// closed. Another day agreed on since asks anew.
func (x *way) came(planned *companion.PlannedVisit) h.Node {
	v, said := x.v, planned.Came
	if planned.Date > v.localDay(x.w.Now) && said == "" { // a tap too early takes her off the list
		return nil
	}
	return formTo(x.path("visits"), hidden("key", planned.Key), h.Div(h.Class("answers sizes"), h.Role("group"), h.Attr("aria-label", v.s("ask.came_"+planned.Key)),
		v.answer("came", "came", "", said == "came", v.t("said.came")), v.answer("came", "missed", "", said == "missed", v.t("said.missed"))))
}

// agree is the day that is agreed on with her; one that is odd is asked about
// once more.
func (x *way) agree(key string, fault *companion.Fault) h.Node {
	v := x.v
	mine := fault != nil && v.form.Get("key") == key
	problem, date, button := "", "", "visits.confirm"
	var odd h.Node
	if mine {
		problem, date = v.faultKey(fault), v.form.Get("date")
		if fault.Code == companion.FaultVisitOdd {
			odd, button = hidden("odd", date), "visits.odd_meant"
		}
	}
	id := "date-" + key
	return v.postForm(x.path("visits"), hidden("key", key), odd,
		h.Div(h.Class("field"), h.Label(h.For(id), v.t("visits.day")), h.Span(h.Class("entry"),
			h.Input(h.ID(id), h.Name("date"), h.Type("date"), h.If(date != "", h.Value(date)), h.If(mine, h.Attr("aria-invalid", "true")))),
			h.If(mine, h.P(h.Class("problem"), h.Role("alert"), v.maybe(problem)))),
		h.Button(h.Class("answer"), h.Type("submit"), h.Name("agreed"), h.Value("yes"), v.t(button)))
}

func (x *way) planned(key string) *companion.PlannedVisit {
	for i := range x.b.Visits {
		if x.b.Visits[i].Key == key {
			return &x.b.Visits[i]
		}
	}
	return nil
}

// visitDays are the confirmed days, for paper.
func (x *way) visitDays() h.Node {
	v := x.v
	var items h.Group
	for _, visit := range x.b.Visits {
		if visit.Confirmed {
			items.Add(h.Li(h.Data("say", ""), v.t("visit."+visit.Key), h.Text(": "), h.Strong(number(visit.Date))))
		}
	}
	if len(items) == 0 {
		return v.p("visits.none_yet")
	}
	return h.Ul(items)
}

// localDay is the date of an hour in the local calendar.
func (v *visit) localDay(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return ""
	}
	return t.In(v.zone()).Format(time.DateOnly)
}

// day is a date of the local calendar, figures only.
func (v *visit) day(at string) h.Node {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return nil
	}
	return h.Time(h.Class("num"), h.Dir("ltr"), h.DateTime(at), h.Text(t.In(v.zone()).Format(time.DateOnly)))
}
