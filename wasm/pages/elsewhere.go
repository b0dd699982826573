package pages

import (
	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// Only one page of the app has the records at a time. Why another has them
// not, while one has: keys under storage.*.
const (
	OpenElsewhere = "open_elsewhere" // another tab or window had them first
	Asking        = "asking"         // whoever has them is asked for them
	NoAnswer      = "no_answer"      // and does not answer
	Taken         = "taken"          // they were here, and another page asked for them
)

// Elsewhere says whether another page of the app has the records.
func Elsewhere(storage string) bool {
	return storage == OpenElsewhere || storage == Asking || storage == NoAnswer || storage == Taken
}

// Records goes on with other records, or without them: storage as in Host.
func (a *App) Records(core *companion.Companion, storage string) {
	a.host.Core, a.host.Storage = core, storage
	a.last, a.looked, a.missing = "", false, nil
	a.byCode, a.proved = false, false
}

// take asks for the records, and leads back to the screen on which it was
// tapped: it says what becomes of it.
func take(v *visit) page {
	if v.posted() && Elsewhere(v.app.host.Storage) && v.app.host.Ask != nil {
		v.app.host.Ask()
	}
	return page{to: orElse(v.shown, "/")}
}

// notHere is the page of a record where there are none.
func notHere(v *visit) page {
	title := "nothere.title"
	if Elsewhere(v.app.host.Storage) {
		title = "elsewhere.title"
	}
	return page{title: title, body: []h.Node{v.whyNotHere(), more(v.link("/", "home.quick"), v.link("/emergency", "home.emergency"))}}
}

// whyNotHere says why there are no records here, and what to do.
func (v *visit) whyNotHere() h.Node {
	storage := v.app.host.Storage
	if storage == Asking {
		return h.Div(h.Class("caution"), h.Role("status"), v.p("storage.asking"))
	}
	said := note("caution", v.p("storage."+storage), h.If(storage == NoAnswer, h.Ol(
		h.Li(v.t("elsewhere.touch")), h.Li(v.t("elsewhere.close")), h.Li(v.t("elsewhere.restart")))),
		v.p("storage.quick_only"))
	if !Elsewhere(storage) {
		return said
	}
	button := map[string]string{NoAnswer: "elsewhere.again", Taken: "elsewhere.back"}[storage]
	return h.All(said, formTo("/take", h.If(storage != NoAnswer, h.P(h.Class("quiet"), v.t("elsewhere.how"))),
		h.Button(h.Class("next"), h.Type("submit"), h.ID("take"), v.t(orElse(button, "elsewhere.take")))))
}
