package pages

import (
	"strconv"
	"time"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// home lists the births in progress and the tools that need no record.
func home(v *visit) page {
	p := page{title: "home.title"}
	if v.app.host.Storage != "" {
		p.add(v.whyNotHere())
	} else if v.locked() {
		p.add(h.H2(v.t("lock.title")), v.lockForm(nil, ""))
	} else {
		p.add(v.births()...)
	}
	p.body = append(p.body,
		v.quickTools(),
		h.P(h.Class("practice"), v.t("home.practice"), h.Text(" "), h.A(h.Href("#/about"), v.t("about.title"))),
	)
	return p
}

// quickTools need no record.
func (v *visit) quickTools() h.Node {
	return h.All(h.H2(v.t("home.quick")), h.P(h.Class("quiet"), v.t("home.quick_hint")),
		h.Nav(h.Class("tools"), h.Attr("aria-label", v.s("home.quick")),
			v.tool("/grade/examine", "grade_tool", "home.grade"),
			v.tool("/dose", "dose_tool", "home.dose"),
			v.tool("/emergency", "emergency", "home.emergency"),
			v.tool("/reminder", "hands_on", "reminder.title")))
}

func (v *visit) tool(path, icon, key string) h.Node {
	return h.A(h.Class("tool"), h.Href("#"+path), v.icon(icon), h.Span(v.t(key)))
}

func (v *visit) births() []h.Node {
	var list companion.BirthList
	if fault := v.ask("birth.list", &companion.Nothing{}, &list); fault != nil {
		return []h.Node{v.problem(v.faultKey(fault))}
	}
	var open, closed []h.Node
	for _, b := range list.Births {
		if b.Closed {
			closed = append(closed, v.birthCard(b))
		} else {
			open = append(open, v.birthCard(b))
		}
	}
	nodes := []h.Node{h.H2(v.count("home.births_open", list.Open)), h.Nav(h.Class("births"), h.Attr("aria-label", v.s("home.title")), h.All(open...)),
		h.A(h.Class("next"), h.ID("new"), h.Href("#/new"), v.icon("new_birth"), v.t("home.new"))}
	if len(closed) > 0 {
		nodes = append(nodes, h.Details(h.Class("closed"), h.Summary(v.count("home.births_closed", list.Closed)),
			h.If(list.Closed > len(closed), v.p("home.last_closed")), h.Div(h.Class("births"), h.All(closed...))))
	}
	if len(list.Births) > 0 {
		nodes = append(nodes, more(v.dueLink(), v.link("/find", "find.title")))
	}
	return append(nodes, v.damaged(), v.keepingShort())
}

// damaged says what of the journal could not be read, and that a disk takes
// nothing more.
func (v *visit) damaged() h.Node {
	about := v.about()
	var said h.Group
	if n := max(about.Damaged, about.Missing); n > 0 {
		said.Add(h.P(v.count("storage.damaged", n)))
	}
	if about.TornTail {
		said.Add(v.p("storage.torn_tail"))
	}
	if about.Aside {
		said.Add(v.p("lock.aside"))
	}
	if about.Unconfirmed {
		said.Add(v.p("storage.unconfirmed"))
	}
	if len(said) == 0 {
		return nil
	}
	return note("caution", said)
}

// unconfirmed says on a record that its last line may not be kept.
func (v *visit) unconfirmed() h.Node {
	if !v.about().Unconfirmed {
		return nil
	}
	return v.caution("storage.unconfirmed")
}

func (v *visit) birthCard(b companion.BirthSummary) h.Node {
	return h.A(h.Class("birth"), h.Href("#/b/"+b.Birth),
		h.Span(h.Class("birth-number"), number(b.Number)),
		h.If(b.Bed != "", h.Span(h.Class("birth-bed"), v.t("bar.bed", "bed", b.Bed))),
		h.Span(h.Class("birth-since"), v.since(b.BornAt)),
		h.Span(h.Class("birth-stand"), v.t("stage."+b.Stage), h.Text(" "), v.standing(b)),
		h.If(b.Where != "closed", h.Span(h.Class("birth-where"), v.icon(stageDrawing[orElse(b.Where, "safe")]), v.t("stagename."+orElse(b.Where, "safe")))),
		h.If(b.Damaged, h.Span(h.Class("birth-overdue"), v.t("warning.record_damaged"))),
		h.If(len(b.LeftOpen) > 0, h.Span(h.Class("birth-overdue"), v.t("close.was_open"), h.Text(" "), v.firstOpen(b.LeftOpen))),
		h.If(len(b.Warnings) > 0, h.Span(h.Class("birth-overdue"), h.Map(urgent(b.Warnings), func(key string) h.Node { return h.Span(v.t("warning." + key)) }))),
		h.If(len(b.Overdue) > 0, h.Span(h.Class("birth-overdue"), h.Map(b.Overdue, func(key string) h.Node { return h.Span(v.t("timer."+key), h.Text(" "), v.t("timer.overdue")) }))))
}

// urgent are the warnings that stand on the list of births too: what may hurt
// her while somebody looks after another.
func urgent(warnings []string) (keys []string) {
	for _, key := range warnings {
		switch key {
		case "alarm_crisis", "alarm_act", "over_limit", "pressure_severe", "bleeding", "not_firm", "not_well", "fever", "tampon_inside", "piece_missing", "stitch_in_rectum":
			keys = append(keys, key)
		}
	}
	return keys
}

// firstOpen is what could hurt her most of what was left open.
func (v *visit) firstOpen(keys []string) h.Node {
	if len(keys) == 0 {
		return nil
	}
	return v.openItem(keys[0])
}

// standing says the grade as far as it is known.
func (v *visit) standing(b companion.BirthSummary) h.Node {
	switch {
	case b.Examined == 0:
		return nil
	case b.Grade == "undetermined":
		return v.t("stage.plan_for", "grade", v.s("grade."+b.TreatAs))
	}
	return h.All(v.t("grade."+b.Grade),
		h.If(b.TreatAs != b.Grade, h.All(h.Text(" · "), v.t("verdict.plan_for", "grade", v.s("grade."+b.TreatAs)))))
}

// since is the time since the birth; the shell keeps it running.
func (v *visit) since(bornAt string) h.Node {
	at, err := time.Parse(time.RFC3339, bornAt)
	if err != nil {
		return v.t("bar.hour_unknown")
	}
	return h.All(h.Time(h.Class("num"), h.Dir("ltr"), h.DateTime(bornAt),
		h.Data("since", strconv.FormatInt(at.UnixMilli(), 10)), h.Attr("aria-label", v.s("bar.since")), h.Text("–:––")))
}

// left is how long a wait still is: the shell counts down to its end and then
// asks for the screen anew.
func (v *visit) left(due string) h.Node {
	at, err := time.Parse(time.RFC3339, due)
	if err != nil {
		return nil
	}
	return h.Time(h.Class("num"), h.Dir("ltr"), h.DateTime(due), h.Role("timer"),
		h.Data("until", strconv.FormatInt(at.UnixMilli(), 10)), h.Text("–:––"))
}

// due is hour with its figures of the clock large: the day is seldom another.
func (v *visit) due(at string) h.Node {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return v.t("bar.hour_unknown")
	}
	t = t.In(v.zone())
	return h.Time(h.Class("num due"), h.Dir("ltr"), h.DateTime(at), h.Span(h.Class("due-day"), h.Text(t.Format(time.DateOnly))), h.Text(" "), h.B(h.Text(t.Format("15:04"))))
}

// hour shows a time of the record by the local clock, figures only.
func (v *visit) hour(at string) h.Node {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return v.t("bar.hour_unknown")
	}
	return h.Time(h.Class("num"), h.Dir("ltr"), h.DateTime(at), h.Text(t.In(v.zone()).Format("2006-01-02 15:04")))
}

func (v *visit) zone() *time.Location {
	if v.app.host.Zone == nil {
		return time.UTC
	}
	return time.FixedZone("", v.app.host.Zone()*60)
}
