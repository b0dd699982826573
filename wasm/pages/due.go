package pages

import (
	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// dueList is who is to come back, by the local date of this device.
func (v *visit) dueList() (list companion.DueReply, fault *companion.Fault) {
	r := &companion.DueRequest{}
	if v.app.host.Zone != nil {
		r.Zone = v.app.host.Zone()
	}
	fault = v.ask("birth.due", r, &list)
	return list, fault
}

// duePage lists the women who are to come back, week by week; first those whose
// day has passed and of whom nobody said that they came.
func duePage(v *visit) page {
	p := page{title: "due.title", place: "due.title"}
	list, fault := v.dueList()
	if fault != nil {
		p.add(v.problem(v.faultKey(fault)))
		return p
	}
	p.add(h.P(v.t("visits.today"), h.Text(" "), h.Strong(number(list.Today))), v.p("due.today"))
	if len(list.Visits) == 0 {
		p.add(v.p("due.none"))
	}
	var late h.Group
	for _, d := range list.Visits {
		if d.Overdue {
			late.Add(v.dueVisit(d))
		}
	}
	if len(late) > 0 {
		p.add(h.Section(h.Class("caution"), h.H2(v.t("due.passed")), v.p("due.passed_what"), h.Ul(h.Class("findings"), late)))
	}
	p.add(v.dueWeeks(list.Visits), more(v.link("/", "due.home")))
	return p
}

func (v *visit) dueWeeks(visits []companion.DueVisit) (weeks h.Group) {
	for i := 0; i < len(visits); {
		week := visits[i].Week
		var items h.Group
		for ; i < len(visits) && visits[i].Week == week; i++ {
			if !visits[i].Overdue {
				items.Add(v.dueVisit(visits[i]))
			}
		}
		if len(items) > 0 {
			weeks.Add(h.H2(v.t("due.week"), h.Text(" "), number(week)), h.Ul(h.Class("findings"), items))
		}
	}
	return weeks
}

func (v *visit) dueVisit(d companion.DueVisit) h.Node {
	return h.Li(h.A(h.Href("#/b/"+d.Birth+"/visits"), h.Span(h.Class("finding-name"), number(d.Number), h.If(d.Bed != "", h.All(h.Text(" · "), v.t("bar.bed", "bed", d.Bed))),
		h.Text(" · "), v.t("visit."+d.Key)), h.Text(" "), h.Span(h.Class("state"), number(d.Date)),
		h.If(d.Inside, h.All(h.Text(" "), h.Strong(v.t("warning.tampon_inside"))))))
}

// dueLink leads to the list, and says of how many the day has passed.
func (v *visit) dueLink() h.Node {
	list, fault := v.dueList()
	if fault != nil || len(list.Visits) == 0 {
		return nil
	}
	late := 0
	for _, d := range list.Visits {
		if d.Overdue {
			late++
		}
	}
	if late > 0 {
		return h.A(h.Class("more-link"), h.Href("#/due"), h.Strong(v.count("due.late", late)))
	}
	return h.A(h.Class("more-link"), h.Href("#/due"), v.count("due.coming", len(list.Visits)))
}

// findPage finds a record by its number. What is looked for is posted, so that
// it stays in no address.
func findPage(v *visit) page {
	p := page{title: "find.title", place: "find.title"}
	text := v.form.Get("text")
	p.add(v.postForm("/find", v.field(field{name: "text", value: text, label: "find.number", hint: "find.hint", most: "24"}), v.submit("find.go")))
	if text == "" {
		return p
	}
	var found companion.SearchReply
	if fault := v.ask("birth.search", &companion.SearchRequest{Text: text}, &found); fault != nil {
		p.add(v.problem(v.faultKey(fault)))
		return p
	}
	if len(found.Births) == 0 {
		p.add(h.P(h.Role("status"), v.t("find.none")))
	}
	p.add(h.Div(h.Class("births"), h.Map(found.Births, v.birthCard)), h.If(found.More, v.p("find.more")))
	return p
}
