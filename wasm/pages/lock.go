package pages

import (
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// The records are shut by a PIN. Quick tools and rescue need none of them and
// stay open; whatever else is asked for shows the lock in its place.

// lock is how the records stand.
func (v *visit) lock() (l companion.LockReply) {
	v.ask("lock.state", &companion.Nothing{}, &l)
	return l
}

// lockRoute is everything under /lock. Where no records are there is none.
func (v *visit) lockRoute() page {
	switch {
	case !v.about().Records:
		return page{to: "/settings"}
	case v.step(1) == "idle":
		return idlePage(v)
	case v.locked() && v.step(1) != "" && v.step(1) != "printed":
		return page{to: "/lock"}
	}
	switch v.step(1) {
	case "":
		return lockPage(v)
	case "printed":
		return printedPage(v)
	case "now":
		return lockNow(v)
	case "pin":
		return pinPage(v)
	case "paper":
		return paperCode(v)
	}
	return notFound(v)
}

// lockPage asks for the PIN, and then leads to what was asked for.
func lockPage(v *visit) page {
	back := orElse(v.back(), "/")
	if !v.locked() {
		return page{to: back}
	}
	var fault *companion.Fault
	if v.posted() && v.step(0) == "lock" {
		if fault = v.unlock(v.form.Get("pin")); fault == nil {
			return page{to: back}
		}
	}
	p := page{title: "lock.title", place: "lock.title"}
	p.add(v.lockForm(fault, v.back()), v.quickTools())
	return p
}

// back is the path to go on to once it is open: only one of this app.
func (v *visit) back() string {
	back := v.path
	if v.step(0) == "lock" {
		back = v.form.Get("back")
	}
	if !strings.HasPrefix(back, "/b/") && back != "/due" && back != "/new" && back != "/find" {
		return ""
	}
	return back
}

func (v *visit) lockForm(fault *companion.Fault, back string) h.Node {
	return h.All(v.p("lock.what"),
		v.postForm("/lock", h.If(back != "", hidden("back", back)),
			v.pin("pin", "lock.pin", fault), v.submit("lock.open")),
		more(v.link("/lock/printed", "lock.printed")), v.newVersion())
}

// newVersion offers the version that waits: nobody can know here whether a
// birth is in progress, so it is brought in by a tap only. The shell shows it
// while there is one.
func (v *visit) newVersion() h.Node {
	return h.Div(h.Class("caution"), h.Attr("hidden"), h.Data("update", ""), v.p("lock.update"),
		h.Button(h.Class("answer"), h.Type("button"), h.Data("take-over", ""), v.t("lock.update_go")))
}

// pin is a field for a PIN: never shown, never kept.
func (v *visit) pin(name, label string, fault *companion.Fault) h.Node {
	problem := ""
	if fault != nil && (fault.Field == name || fault.Field == "" && name == "pin") {
		problem = v.faultKey(fault)
	}
	return v.field(field{name: name, label: label, kind: "password", mode: "numeric", most: "24", problem: problem, wait: fault})
}

// unlock tries a PIN.
func (v *visit) unlock(pin string) *companion.Fault {
	var recipe companion.RecipeReply
	if fault := v.ask("lock.try", &companion.TryRequest{PIN: orElse(pin, "-")}, &recipe); fault != nil {
		return fault
	}
	key, fault := v.derive(pin, recipe.Recipe)
	if fault != nil {
		v.ask("lock.untried", &companion.Nothing{}, &companion.Nothing{})
		return fault
	}
	v.birth = nil
	fault = v.ask("lock.unlock", &companion.KeyRequest{Key: key}, &companion.Nothing{})
	if fault == nil {
		v.app.byCode = false
	}
	return fault
}

// derive makes a key of a PIN, which takes about a second.
func (v *visit) derive(pin, recipe string) (key string, fault *companion.Fault) {
	derive := v.app.host.Derive
	if derive == nil {
		derive = companion.Derive
	}
	key, err := derive(pin, recipe)
	if err != nil {
		return "", &companion.Fault{Code: keyFailed, Field: "pin"}
	}
	return key, nil
}

// keyFailed: this phone could not make the key, for want of memory perhaps.
const keyFailed = "key_failed"

// printedPage opens the records by the printed code.
func printedPage(v *visit) page {
	if !v.locked() {
		return page{to: "/"}
	}
	var fault *companion.Fault
	if v.posted() {
		if fault = v.ask("lock.unlock_code", &companion.CodeRequest{Code: orElse(v.form.Get("code"), "-")}, &companion.Nothing{}); fault == nil {
			v.app.byCode = true
			return page{to: "/lock/pin"}
		}
		fault.Field = "code"
	}
	p := page{title: "lock.printed", place: "lock.title"}
	p.add(v.p("lock.printed_what"),
		v.postForm("/lock/printed", v.field(field{name: "code", label: "lock.code", value: v.form.Get("code"), mode: "numeric", most: "80", unkept: true, problem: v.anyFault(fault), wait: fault}), v.submit("lock.open")),
		more(v.link("/lock", "lock.pin_instead")))
	return p
}

func (v *visit) anyFault(f *companion.Fault) string {
	if f == nil {
		return ""
	}
	return v.faultKey(f)
}

// idlePage locks after a while without a touch. Where somebody is at a birth,
// and on a page that needs no record, the screen stays as it is.
func idlePage(v *visit) page {
	shown := orElse(v.shown, "/")
	if !v.posted() || v.shut(false) != nil || needsNoRecord(shown) {
		return page{to: shown}
	}
	return page{to: "/"}
}

// needsNoRecord says whether the page is of rescue or a quick tool.
func needsNoRecord(path string) bool {
	first, _, _ := strings.Cut(strings.TrimPrefix(path, "/"), "/")
	first, _, _ = strings.Cut(first, "?")
	return first == "emergency" || first == "dose" || first == "grade" || first == "reminder"
}

// lockNow locks by hand, whatever is open: that was said beside the button.
func lockNow(v *visit) page {
	if !v.posted() || v.shut(true) != nil {
		return page{to: "/settings"}
	}
	return page{to: "/"}
}

func (v *visit) shut(despite bool) *companion.Fault {
	fault := v.ask("lock.lock", &companion.LockRequest{Despite: despite}, &companion.Nothing{})
	if fault == nil {
		v.birth, v.app.byCode, v.app.proved = nil, false, false
	}
	return fault
}

// pinPage sets the PIN, or another one.
func pinPage(v *visit) page {
	l := v.lock()
	var fault *companion.Fault
	if v.posted() {
		fault = v.setPIN(l)
		if fault == nil || !l.Set && v.lock().Set { // set, and no room to seal what was there
			v.app.proved = true
			if !l.Code {
				return page{to: "/lock/paper"}
			}
			return page{to: "/settings"}
		}
	}
	p := page{title: "lock.set", place: "place.settings"}
	p.add(v.p("lock.set_what"), v.p("lock.set_care"),
		v.postForm("/lock/pin", h.If(l.Set && !v.app.byCode, v.pin("old", "lock.old_pin", fault)), v.pin("pin", "lock.new_pin", fault), v.pin("again", "lock.again", fault), v.submit("lock.set_go")),
		more(v.link("/settings", "settings.title")))
	return p
}

func (v *visit) setPIN(l companion.LockReply) *companion.Fault {
	pin := v.form.Get("pin")
	var recipe companion.RecipeReply
	if fault := v.ask("lock.recipe", &companion.PINRequest{PIN: orElse(pin, "-")}, &recipe); fault != nil {
		return fault
	}
	if v.form.Get("again") != pin {
		return &companion.Fault{Code: pinDiffers, Field: "again"}
	}
	if l.Set && !v.app.byCode { // whoever opened it with the paper has forgotten the PIN
		if fault := v.unlock(v.form.Get("old")); fault != nil {
			fault.Field = "old"
			return fault
		}
	}
	key, fault := v.derive(pin, recipe.Recipe)
	if fault != nil {
		return fault
	}
	v.birth, v.app.byCode = nil, false
	return v.ask("lock.set_pin", &companion.SetPINRequest{Recipe: recipe.Recipe, Key: key}, &companion.Nothing{})
}

// pinDiffers: typed twice, and not the same.
const pinDiffers = "pin_differs"

// paperCode shows a code to be written down or printed, and takes it once its
// last group was typed from the paper. Who picks up an open phone gets none.
func paperCode(v *visit) page {
	p := page{title: "lock.paper", place: "place.settings"}
	if !v.app.proved && !v.app.byCode {
		return v.proved(p)
	}
	if v.posted() {
		fault := v.ask("lock.set_code", &companion.CodeRequest{Code: orElse(v.form.Get("code"), "-")}, &companion.Nothing{})
		if fault == nil {
			v.app.proved = false
			return page{to: "/settings"}
		}
		if fault.Code != companion.FaultCode {
			p.add(v.problem(v.faultKey(fault)), more(v.link("/lock/paper", "lock.paper"), v.link("/settings", "settings.title")))
			return p
		}
		p.add(v.problem("lock.paper_wrong"))
	}
	var code companion.CodeReply
	if fault := v.ask("lock.new_code", &companion.Nothing{}, &code); fault != nil {
		p.add(v.problem(v.faultKey(fault)))
		return p
	}
	p.add(h.If(v.lock().Open, v.caution("lock.still_open")), v.p("lock.paper_what"), v.printButton(),
		v.codeOnPaper("lock.paper_head", strings.Fields(code.Code)),
		v.postForm("/lock/paper", v.field(field{name: "code", label: "lock.paper_last", mode: "numeric", most: "12", unkept: true}),
			h.Button(h.Class("next at-end"), h.Type("submit"), v.t("lock.paper_go"))),
		more(v.link("/settings", "settings.title")))
	return p
}

// proved asks for the PIN before a code is made.
func (v *visit) proved(p page) page {
	var fault *companion.Fault
	if v.posted() && v.form.Get("pin") != "" {
		if fault = v.unlock(v.form.Get("pin")); fault == nil {
			v.app.proved = true
			return page{to: "/lock/paper"}
		}
	}
	p.add(v.p("lock.paper_pin"), v.postForm("/lock/paper", v.pin("pin", "lock.pin", fault), v.submit("lock.paper")),
		more(v.link("/settings", "settings.title")))
	return p
}

// lockSettings is what can be done about the lock, where there are records.
func (v *visit) lockSettings() h.Node {
	if !v.about().Records {
		return nil
	}
	l := v.lock()
	switch {
	case !l.Set:
		return h.All(v.caution("lock.none"), more(v.link("/lock/pin", "lock.set")))
	case l.Locked:
		return h.All(v.p("lock.is_set"), v.p("lock.asked"), more(v.link("/lock", "lock.open")))
	}
	return h.All(v.p("lock.is_set"), v.p("lock.asked"), h.If(l.Open, v.caution("lock.still_open")), h.If(l.Unsettled, v.caution("fault.keys_unsafe")),
		h.If(v.about().Aside, v.caution("lock.aside")), h.If(!l.Code, v.caution("lock.no_paper")), h.If(l.Unkept, v.caution("lock.paper_unkept")), v.inHand(l.Busy),
		more(v.postForm("/lock/now", h.Button(h.Class("answer"), h.Type("submit"), v.t("lock.now"))),
			v.link("/lock/pin", "lock.change"), v.link("/lock/paper", "lock.paper")))
}

// inHand says which birth the idle lock waits for.
func (v *visit) inHand(id string) h.Node {
	if id == "" {
		return nil
	}
	b, fault := v.loadBirth(id)
	if fault != nil {
		return nil
	}
	return v.caution("lock.busy", "birth", "\u2068"+b.Number+"\u2069")
}
