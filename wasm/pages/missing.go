package pages

import (
	"strconv"
	"strings"
	"time"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// A browser may throw records away, and a person may clear them with all else
// that it keeps. So a mark stays outside the place where they are: the device,
// how many births there were, and on which day. It names nobody. Records that
// are fewer than the mark says, or of another device, are missed.
type mark struct {
	device string
	births int
	day    string
}

func (m mark) String() string { return m.device + " " + strconv.Itoa(m.births) + " " + m.day }

// readMark gives a mark of no births for what is no mark.
func readMark(s string) (m mark) {
	parts := strings.Fields(s)
	if len(parts) != 3 {
		return mark{}
	}
	n, err := strconv.Atoi(parts[1])
	if err != nil {
		return mark{}
	}
	return mark{parts[0], n, parts[2]}
}

// mark is what is to be remembered of the records that are here; nothing while
// some are missed that nobody has been told of, or while they cannot be read.
func (a *App) mark(about companion.AboutReply) mark {
	if !about.Records || about.Locked || about.Open < 0 || !a.looked || a.missing != nil || a.host.Now == nil {
		return mark{}
	}
	return mark{about.Device, about.Births, a.host.Now().UTC().Format(time.DateOnly)}
}

// missed compares the records, once they are open and can be read, with the mark of
// the last time.
func (v *visit) missed(kept string) {
	if v.app.looked || v.app.host.Storage != "" {
		return
	}
	about := v.about()
	if about.Open < 0 || about.Locked {
		return
	}
	v.app.looked = true
	last := readMark(kept)
	if last.births > about.Births || last.births > 0 && last.device != about.Device {
		v.app.missing = &last
	}
}

// missing says that records are gone, until somebody says that it was read.
func missing(v *visit) page {
	if v.posted() {
		v.app.missing = nil
	}
	last := v.app.missing
	if last == nil {
		return page{to: orElse(v.shown, "/")}
	}
	var now h.Node = v.p("missing.none")
	if n := v.about().Births; n > 0 {
		now = h.P(v.count("missing.now", n))
	}
	return page{title: "missing.title", body: []h.Node{
		note("caution", h.P(v.count("missing.had", last.births, "day", "\u2068"+last.day+"\u2069")), now, v.p("missing.why")),
		h.H2(v.t("missing.do")),
		h.Ol(h.Li(v.t("missing.do_open")), h.Li(v.t("missing.do_given")), h.Li(v.t("missing.do_count")), h.Li(v.t("missing.do_visits")), h.Li(v.t("missing.do_tell"))),
		more(v.link("/records/restore", "restore.title")),
		formTo("/missing", h.Button(h.Class("next at-end"), h.Type("submit"), v.t("missing.read"))),
	}}
}
