package pages

import (
	"slices"

	h "fourchette/wasm/pages/markup"
)

// numbPage guides the needle: the limit first, then where, then what was
// injected, then the wait and the test.
func numbPage(x *way) page {
	v := x.v
	p := x.page("numb.title", "place.dose")
	figure := "infiltrate_tear"
	if x.b.Findings.Episiotomy {
		figure = "infiltrate_cut"
	}
	p.add(x.needle(),
		h.Div(h.Class("frames"), h.Figure(h.Class("drawing"), v.drawing(figure)), h.Figure(h.Class("drawing"), v.drawing("aspirate"))),
		h.Button(h.Class("answer"), h.Type("button"), h.ID("aloud"), h.Data("aloud", "#numb"), h.Attr("hidden"), v.t("repair.aloud")),
		h.Div(h.ID("numb"), h.Data("awake", ""), v.guideList("numb")),
		h.Details(h.Class("source"), h.Summary(v.t("inject.title")), v.guideList("infiltrate")),
		x.timers(false),
		more(v.link(x.path("ask/numb_felt"), "ask.numb_felt"), v.link(x.path("stage/numb"), "stagename.numb")))
	return p
}

// needle is what is next with the needle: the limit, what was injected, or the
// pinch.
func (x *way) needle() h.Node {
	switch {
	case x.waits():
		return x.v.next(x.askPath("numb_felt"), "ask.numb_felt")
	case x.b.LimitNoted != nil && !x.b.LimitNoted.Stale:
		return h.All(x.v.next(x.path("dose/given"), "limit.write_given"), more(x.v.link(x.path("dose"), "record.dose")))
	}
	return x.v.next(x.path("dose"), "record.dose")
}

// waits: what was injected is written down, and has to work.
func (x *way) waits() bool {
	return slices.Contains(x.stage("numb").Ask, "numb_felt")
}
