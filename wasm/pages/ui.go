package pages

import (
	"strconv"
	"strings"

	"fourchette/core/companion"
	"fourchette/i18n/tables"
	h "fourchette/wasm/pages/markup"
)

// page is what a screen's function gives back: its parts, or where to go.
type page struct {
	to       string                // a path to go to instead
	title    string                // key of the title
	heading  h.Node                // nil: the title
	place    string                // key of where in the path this is
	birth    *companion.BirthReply // nil: no record
	quick    bool                  // a quick tool: nothing is written down
	clinical bool                  // shows "for practice" and the way to the sources of caution
	body     []h.Node
}

// add adds parts at the end.
func (p *page) add(parts ...h.Node) { p.body = append(p.body, parts...) }

// screen puts a page between the bar above and the foot below.
func (v *visit) screen(p page) Screen {
	heading := p.heading
	if heading == nil {
		heading = v.t(p.title)
	}
	main := h.Main(h.Class("page"),
		h.If(p.clinical, h.P(h.Class("practice"), v.t("app.practice"), h.If(v.book.Table().Draft, h.All(h.Text(" · "), v.t("app.draft"))))),
		h.H1(h.ID("title"), h.TabIndex("-1"), heading),
		v.closedNote(p), v.doubt(p),
		h.All(p.body...),
	)
	t, about := v.book.Table(), v.about()
	s := Screen{
		Path: v.path, Title: v.s(p.title), Lang: t.Lang, Dir: t.Dir, Theme: v.theme,
		Bar: h.String(v.bar(p)), Main: h.String(main), Foot: h.String(v.foot()), Open: openOf(about), Lockable: about.Lockable, Holds: about.Births > 0,
	}
	if m := v.app.mark(about); m.device != "" {
		s.Mark = m.String()
	}
	return s
}

// bar says, always in the same place: which birth, how long ago, where in the
// path, and the way to the emergency pages.
func (v *visit) bar(p page) h.Node {
	return h.Header(h.Class("bar"),
		h.Nav(h.Class("bar-home"), h.Attr("aria-label", v.s("bar.nav")),
			h.A(h.Href("#/"), h.ID("home"), v.icon("home"), h.Span(h.Class("hidden"), v.t("bar.home")))),
		h.Div(h.Class("bar-what"), v.barBirth(p), h.If(p.place != "", h.Span(h.Class("bar-place"), v.t(orElse(p.place, "bar.home"))))),
		h.A(h.Class("rescue"), h.ID("rescue"), h.Href("#"+rescuePath(p)), v.icon("emergency"), v.t("app.rescue")),
	)
}

// rescuePath is one tap from everywhere and asks for nothing; it remembers the
// birth, to lead back to.
func rescuePath(p page) string {
	if p.birth != nil {
		return "/emergency?birth=" + p.birth.Birth
	}
	return "/emergency"
}

func (v *visit) barBirth(p page) h.Node {
	if p.birth == nil {
		return h.If(p.quick, h.Span(h.Class("bar-birth"), v.t("bar.quick")))
	}
	return h.All(
		h.A(h.Class("bar-birth"), h.Href("#/b/"+p.birth.Birth), number(p.birth.Number),
			h.If(p.birth.Bed != "", h.All(h.Text(" · "), v.t("bar.bed", "bed", p.birth.Bed)))),
		h.Span(h.Class("bar-since"), v.since(p.birth.BornAt)),
	)
}

// foot carries what is the same on every screen and never urgent.
func (v *visit) foot() h.Node {
	var langs []h.Node
	for _, l := range v.app.host.Languages {
		langs = append(langs, h.Button(h.Class("quiet"), h.Type("submit"), h.Name("lang"), h.Value(l.Tag), h.Lang(l.Tag),
			h.If(l.Tag == v.book.Table().Lang, h.Attr("aria-current", "true")), h.Text(l.Name)))
	}
	return h.Footer(h.Class("foot"),
		v.postForm("/settings", h.Class("languages"), h.Attr("aria-label", v.s("foot.language")), h.All(langs...)),
		h.A(h.Href("#/settings"), v.t("settings.title")), h.Text(" "),
		h.A(h.Href("#/about"), v.t("about.title")),
	)
}

// t is the text of a key, marked when it fell back to the source language.
// The arguments are names and values for the text's {places}.
func (v *visit) t(key string, args ...string) h.Node { return words(v.book.Text(key, args...)) }

// count is the text of a key for n things, by the language's plural rules.
func (v *visit) count(key string, n int, args ...string) h.Node {
	return words(v.book.Count(key, n, args...))
}

// s is a text for an attribute, where no mark can stand.
func (v *visit) s(key string, args ...string) string { return v.book.Text(key, args...).S }

func words(t tables.Text) h.Node {
	if !t.Marked {
		return h.Text(t.S)
	}
	return h.Span(h.Class("untranslated"), h.Lang(t.Lang), h.Attr("dir", "auto"), h.Text(t.S))
}

// number keeps figures and local numbers in Western digits and left to right
// in every language.
func number(s string) h.Node { return h.Span(h.Class("num"), h.Dir("ltr"), h.Text(s)) }

// unit joins a figure and its unit so that they never part.
func (v *visit) unit(key, figure string) h.Node {
	return h.Span(h.Class("num"), v.t("unit."+key, "n", figure))
}

// unitText is unit for inside a sentence, kept together and in its own
// direction: in right-to-left text "10 mL" must not turn into "mL 10".
func (v *visit) unitText(key, figure string) string {
	const isolate, end = "\u2068", "\u2069"
	return isolate + v.s("unit."+key, "n", figure) + end
}

func (v *visit) p(key string, args ...string) h.Node { return h.P(v.t(key, args...)) }

// note is a box that stands out: what to be careful of, whom to call. It is no
// landmark: a screen has many.
func note(class string, parts ...h.Node) h.Node {
	return h.Div(h.Class(class), h.Role("note"), h.All(parts...))
}

func (v *visit) caution(key string, args ...string) h.Node {
	return note("caution", h.P(v.t(key, args...)))
}

// problem is an error in place: what, and what to do now.
func (v *visit) problem(key string, args ...string) h.Node {
	return h.P(h.Class("problem"), h.Role("alert"), h.ID("problem"), v.t(key, args...))
}

// source is where a number comes from, one tap behind it.
func (v *visit) source(document, read string) h.Node {
	if document == "" {
		return nil
	}
	return h.Details(h.Class("source"), h.Summary(v.t("source.show")), v.citation(document, read))
}

// citation names a document as it was published, and how it was read.
func (v *visit) citation(document, read string) h.Node {
	return h.All(h.P(h.Class("cited"), h.Lang("en"), h.Dir("ltr"), h.Text(document)), h.P(h.Class("quiet"), v.t(readKey(read))))
}

// readKey says how a source was read.
func readKey(read string) string {
	switch {
	case strings.HasPrefix(read, "FOUND-2"), strings.HasPrefix(read, "2nd"):
		return "source.second_hand"
	case strings.HasPrefix(read, "FOUND"):
		return "source.read"
	case strings.HasPrefix(read, "from memory"):
		return "source.memory"
	}
	return "source.none"
}

// next is the one main action of a screen.
func (v *visit) next(path, key string, args ...string) h.Node {
	return h.A(h.Class("next"), h.ID("next"), h.Href("#"+path), v.t(key, args...))
}

// link is a secondary action.
func (v *visit) link(path, key string, args ...string) h.Node {
	return h.A(h.Class("more-link"), h.Href("#"+path), v.t(key, args...))
}

// more is the secondary actions: no landmark, because a screen may have two.
func more(links ...h.Node) h.Node { return h.Div(h.Class("more"), h.All(links...)) }

func (v *visit) postForm(path string, parts ...h.Node) h.Node {
	if v.writesClosed(path) {
		return nil
	}
	return formTo(path, parts...)
}

func formTo(path string, parts ...h.Node) h.Node {
	return h.Form(h.Method("post"), h.Action("#"+path), h.Attr("novalidate"), h.All(parts...))
}

func (v *visit) getForm(path string, parts ...h.Node) h.Node {
	return h.Form(h.Method("get"), h.Action("#"+path), h.Attr("novalidate"), h.All(parts...))
}

func hidden(name, value string) h.Node {
	return h.Input(h.Type("hidden"), h.Name(name), h.Value(value))
}

// answer is one big choice of a form; nothing is preselected, so what was
// chosen before is shown as chosen, never as the default of the next tap.
func (v *visit) answer(name, value, look string, chosen bool, label ...h.Node) h.Node {
	class := "answer " + look
	if chosen {
		class += " is-chosen"
	}
	return h.Button(h.Class(class), h.Type("submit"), h.Name(name), h.Value(value),
		h.If(chosen, h.Attr("aria-pressed", "true")), h.All(label...))
}

func answers(parts ...h.Node) h.Node { return h.Div(h.Class("answers"), h.All(parts...)) }

// submit is the main action of a form with fields.
func (v *visit) submit(key string) h.Node {
	return h.Button(h.Class("next"), h.Type("submit"), v.t(key))
}

// field is a labelled input with its unit, its hint and, when the last answer
// was refused, what is wrong with it. What was typed is kept.
type field struct {
	name, value string
	label       string           // key
	unit        string           // key under unit.*, "" for none
	hint        string           // key, "" for none
	problem     string           // key, "" for none
	mode        string           // inputmode: "decimal", "numeric", "text"
	kind        string           // input type, "" for text
	most        string           // maxlength
	unkept      bool             // what is typed is no draft: it opens something
	wait        *companion.Fault // what a problem says in figures: how long, which group
}

func (v *visit) field(f field) h.Node {
	id := "f-" + f.name
	var describes []string
	if f.hint != "" {
		describes = append(describes, id+"-hint")
	}
	if f.problem != "" {
		describes = append(describes, id+"-problem")
	}
	return h.Div(h.Class("field"),
		h.Label(h.For(id), v.t(f.label)),
		h.If(f.hint != "", h.P(h.Class("hint"), h.ID(id+"-hint"), v.maybe(f.hint))),
		h.Span(h.Class("entry"),
			h.Input(h.ID(id), h.Name(f.name), h.Type(orElse(f.kind, "text")), h.Value(f.value),
				h.If(f.mode != "", h.Attr("inputmode", f.mode)), h.AutoComplete("off"), h.MaxLength(orElse(f.most, "12")), h.If(f.unkept, h.Data("unkept", "")),
				h.If(f.kind == "", h.Dir("auto")),
				h.If(f.problem != "", h.Attr("aria-invalid", "true")),
				h.If(len(describes) > 0, h.Attr("aria-describedby", strings.Join(describes, " ")))),
			h.If(f.unit != "", h.Span(h.Class("unit"), v.maybe("unit."+f.unit+"_name")))),
		h.If(f.problem != "", h.P(h.Class("problem"), h.Role("alert"), h.ID(id+"-problem"), v.maybe(f.problem, f.figures()...))),
	)
}

// figures are what a fault's text has places for.
func (f field) figures() []string {
	if f.wait == nil {
		return nil
	}
	n := f.wait.Detail
	if s, err := strconv.Atoi(n); err == nil && (f.wait.Code == companion.FaultLockWait || f.wait.Code == companion.FaultLockSlow) {
		n = itoa(s/60) + ":" + itoa(s%60/10) + itoa(s%10)
	}
	return []string{"n", n}
}

// maybe is t for a key that may be empty: h.If works out what it is given also
// when its condition is false.
func (v *visit) maybe(key string, args ...string) h.Node {
	if key == "" || strings.HasSuffix(key, "._name") {
		return nil
	}
	return v.t(key, args...)
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
