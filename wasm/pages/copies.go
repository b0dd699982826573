package pages

import (
	"strconv"
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// Records leave in one file, sealed with a code that is on paper only, and come
// back from one, on this phone or another. The shell saves and reads the file;
// the host hands the pieces to the core.

func (v *visit) copiesRoute() page {
	switch v.step(1) {
	case "copy":
		return copyPage(v)
	case "restore":
		return restorePage(v)
	case "restored":
		return restoredPage(v)
	case "old":
		return oldPage(v)
	}
	return notFound(v)
}

// copyPage makes a code, has its last group typed from the paper, and then
// offers the file.
func copyPage(v *visit) page {
	p := page{title: "copy.title", place: "place.settings"}
	if fault := v.query.Get("fault"); fault != "" {
		p.add(v.problem(v.faultKey(&companion.Fault{Code: fault})))
	}
	code := v.form.Get("code")
	groups := strings.Fields(code)
	if v.posted() && len(groups) > 0 {
		if companion.Typed(v.form.Get("last")) == groups[len(groups)-1] {
			return v.copyReady(p, code)
		}
		p.add(v.problem("lock.paper_wrong"))
	} else {
		var made companion.CodeReply
		if fault := v.ask("records.code", &companion.Nothing{}, &made); fault != nil {
			p.add(v.problem(v.faultKey(fault)))
			return p
		}
		code, groups = made.Code, strings.Fields(made.Code)
	}
	p.add(v.p("copy.what"), v.printButton(), v.codeOnPaper("copy.paper_head", groups),
		v.postForm("/records/copy", hidden("code", code),
			v.field(field{name: "last", label: "lock.paper_last", mode: "numeric", most: "12", unkept: true}),
			h.Button(h.Class("next at-end"), h.Type("submit"), v.t("lock.paper_go"))),
		more(v.link("/settings", "settings.title")))
	return p
}

// codeOnPaper is a code as it is printed.
func (v *visit) codeOnPaper(head string, groups []string) h.Node {
	return h.Article(h.ID("code"), h.Class("paper"), h.P(v.t(head)),
		h.Ol(h.Class("groups"), h.Map(groups, func(g string) h.Node { return h.Li(number(g)) })))
}

func (v *visit) copyReady(p page, code string) page {
	p.add(v.p("copy.ready"),
		h.Button(h.Class("next at-end"), h.Type("button"), h.ID("save"), h.Data("save", code), h.Data("name", "fourchette-"+v.about().Device), v.t("copy.save")),
		h.P(h.ID("saved"), h.Role("status"), h.Attr("hidden"), v.t("copy.saved")),
		v.p("copy.where"), more(v.link("/settings", "settings.title")))
	return p
}

// restorePage takes a file in.
func restorePage(v *visit) page {
	p := page{title: "restore.title", place: "place.settings"}
	if fault := v.query.Get("fault"); fault != "" {
		p.add(v.problem(v.faultKey(&companion.Fault{Code: fault})))
	}
	p.add(v.p("restore.what"), v.p("restore.merges"),
		v.field(field{name: "code", label: "restore.code", mode: "numeric", most: "80", unkept: true}),
		h.Div(h.Class("field"), h.Label(h.For("file"), v.t("restore.file")), h.Input(h.ID("file"), h.Type("file"))),
		h.El("progress", h.ID("loading"), h.Attr("hidden"), h.Attr("aria-label", v.s("restore.loading"))),
		h.Button(h.Class("next at-end"), h.Type("button"), h.ID("load"), h.Data("load", "file"), v.t("restore.go")),
		more(v.link("/settings", "settings.title")))
	return p
}

// restoredPage says what became of the file.
func restoredPage(v *visit) page {
	p := page{title: "restored.title", place: "place.settings"}
	r := v.app.restored
	if r == nil {
		return page{to: "/records/restore"}
	}
	look := "alarm alarm-none"
	if !r.Whole {
		look = "alarm alarm-act"
	}
	p.add(h.Section(h.Class(look), h.P(h.Strong(v.count("restored.new", r.New))), h.If(r.Whole, v.p("restored.whole")), h.If(!r.Whole, v.p("restored.not_whole"))),
		h.Ul(h.Li(v.count("restored.here", r.Here)),
			h.If(r.Newer > 0, h.Li(v.count("restored.newer", r.Newer))),
			h.If(r.OfDeleted > 0, h.Li(v.count("restored.of_deleted", r.OfDeleted))),
			h.If(r.Deleted > 0, h.Li(v.count("restored.deleted", r.Deleted))),
			h.If(r.Damaged > 0 || r.Blocks > 0, h.Li(v.count("restored.damaged", r.Damaged+r.Blocks)))),
		h.If(len(r.Held) > 0, v.caution("restored.held")),
		h.If(len(r.Twice) > 0, v.caution("restored.twice", "numbers", strings.Join(r.Twice, ", "))),
		h.If(r.Moved, v.caution("restored.moved")),
		v.next("/", "due.home"))
	return p
}

// oldPage deletes what the clinic's rule lets go, once somebody has seen it.
func oldPage(v *visit) page {
	p := page{title: "old.title", place: "place.settings"}
	months, err := strconv.Atoi(v.typed("months"))
	if v.posted() {
		months, err = strconv.Atoi(companion.Typed(v.form.Get("months")))
		if fault := v.deleteOld(); fault != nil {
			p.add(v.problem(v.faultKey(fault)))
		} else {
			p.add(h.P(h.Role("status"), h.Strong(v.t("old.deleted"))))
		}
	}
	p.add(v.p("old.what"),
		v.getForm("/records/old", v.field(field{name: "months", value: v.query.Get("months"), label: "old.months", mode: "numeric", most: "4"}), v.submit("old.look")))
	if err != nil || months < 1 {
		return p
	}
	var due companion.DueForDeletionReply
	if fault := v.ask("birth.due_for_deletion", &companion.KeepRequest{Months: months}, &due); fault != nil {
		p.add(v.problem(v.faultKey(fault)))
		return p
	}
	p.add(v.oldList(months, due)...)
	return p
}

func (v *visit) oldList(months int, due companion.DueForDeletionReply) []h.Node {
	line := func(b companion.OldBirth) h.Node {
		return h.Li(h.A(h.Href("#/b/"+b.Birth), h.Span(h.Class("finding-name"), number(b.Number)), h.Text(" "), h.Span(h.Class("state"), v.day(b.Last)),
			h.Map(b.Why, func(key string) h.Node { return h.All(h.Text(" "), h.Span(v.t("old.why_"+key))) })))
	}
	var nodes h.Group
	if len(due.Held) > 0 {
		nodes.Add(h.Section(h.Class("caution"), h.H2(v.t("old.held")), h.Ul(h.Class("findings"), h.Map(due.Held, line))))
	}
	if len(due.Due) == 0 {
		return append(nodes, v.p("old.none"))
	}
	var ids []string
	for _, b := range due.Due {
		ids = append(ids, b.Birth)
	}
	return append(nodes, h.H2(v.count("old.due", len(due.Due))), h.Ul(h.Class("findings"), h.Map(due.Due, line)),
		h.If(due.More, v.p("find.more")), v.caution("old.care"),
		v.postForm("/records/old", hidden("months", strconv.Itoa(months)), hidden("births", strings.Join(ids, " ")),
			h.Button(h.Class("answer is-alarm"), h.Type("submit"), v.t("old.delete"))))
}

func (v *visit) deleteOld() *companion.Fault {
	r := &companion.DeleteRequest{Births: strings.Fields(v.form.Get("births")), Reason: "kept_long_enough", Confirmed: true}
	return v.ask("records.delete", r, &companion.DeletedReply{})
}

// Restored keeps what became of a file, to be shown.
func (a *App) Restored(r companion.ImportReply) { a.restored = &r }
