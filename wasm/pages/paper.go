package pages

import (
	"slices"
	"strconv"
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

func itoa(n int) string { return strconv.Itoa(n) }

// handoverPage is what the next shift must know, in the order in which it is
// said.
func handoverPage(x way) page {
	v := x.v
	p := x.page("handover.title", "place.paper")
	// What warns stands on the paper, too: around it nothing is printed.
	p.body = []h.Node{v.shareButtons("#note"), h.Article(h.ID("note"), h.Class("paper"), x.noteHead(), x.warnings(), x.standing(), x.timers(true), x.noteBody()),
		h.Details(h.Class("source"), h.Summary(v.t("handover.how")), v.guideList("handover"),
			x.someOf("count", func(it companion.PageItem) bool { return it.Key == "handover" })),
		more(v.link(x.path("refer"), "refer.title"), v.link(x.path("register"), "register.title"), v.link(x.path(""), "close.no"))}
	return p
}

// referPage is the referral note: one A5 page and a code that holds the same.
func referPage(x way) page {
	v := x.v
	p := x.page("refer.title", "place.paper")
	p.body = append(p.body, v.shareButtons("#note"),
		h.Article(h.ID("note"), h.Class("paper a5"), x.noteHead(), h.Div(h.Class("sheet"), x.noteBody(), v.code(x.plainNote()))),
		h.Details(h.Class("source"), h.Summary(v.t("refer.how")), v.guideList("refer")),
		more(v.link(x.path("handover"), "handover.title"), v.link(x.path("register"), "register.title"), v.link(x.path(""), "close.no")))
	return p
}

// registerPage is the line for the paper register.
func registerPage(x way) page {
	v := x.v
	p := x.page("register.title", "place.paper")
	p.body = append(p.body, v.p("register.what"), v.shareButtons("#line"),
		h.Article(h.ID("line"), h.Class("paper"), h.P(h.Class("register"), x.registerLine())),
		more(v.link(x.path("handover"), "handover.title"), v.link(x.path(""), "close.no")))
	return p
}

func (x way) noteHead() h.Node {
	v, b := x.v, x.b
	return h.Group{
		h.P(h.Class("note-number"), number(b.Number), h.If(b.Bed != "", h.Group{h.Text(" · "), v.t("bar.bed", "bed", b.Bed)})),
		h.P(v.bornAt(b, v.hour), h.Text(" · "), v.t("note.practice")),
	}
}

// bornAt says when the baby came, or that nobody knows.
func (v *visit) bornAt(b *companion.BirthReply, show func(string) h.Node) h.Node {
	if b.BornAt == "" {
		return v.t("bar.hour_unknown")
	}
	return h.Group{v.t("note.born"), h.Text(" "), show(b.BornAt)}
}

// standing is where she stands and what comes next. What warns is not done.
func (x way) standing() h.Node {
	v := x.v
	path, key := x.next()
	switch {
	case path == "" && len(x.w.Warnings) > 0:
		return nil
	case path == "":
		return h.P(v.t("stagename.done"))
	}
	return h.P(v.t("note.next"), h.Text(" "), h.Strong(v.t(key)))
}

// A fact of a note: a key of the tables and its text.
type fact struct {
	key  string
	text []string
}

// facts are what a note holds. First what harms when it is overread, because a
// code that is full is cut at its end: the grade, what is left inside, drugs,
// loss; then findings, layers, signs, what was decided and told.
func (x way) facts() []fact {
	v, b := x.v, x.b
	grade := v.s("grade." + x.w.Grade)
	if x.w.TreatAs != x.w.Grade {
		grade += ", " + v.s("verdict.plan_for", "grade", v.s("grade."+x.w.TreatAs))
	}
	if x.buttonhole() {
		grade += " " + v.s("grade.buttonhole")
	}
	list := append(x.doubtFact(), fact{"note.grade", []string{grade}})
	e := birthTear(v, b)
	var found []string
	for _, q := range questions {
		if e.value(q) != "" {
			found = append(found, v.s("finding."+q)+": "+v.s(e.stateKey(q)))
		}
	}
	list = append(list, x.toldFacts("tampon", "tampon_number", "tampon_at", "tampon_receiver")...)
	list = append(list, x.countFact()...)
	list = append(list, x.toldFacts("final_count_search", "stitch_felt", "stitch_removed")...)
	list = append(list, fact{"note.drugs", x.drugs()})
	list = append(list, x.overFact()...)
	list = append(list, x.allergyFact())
	list = append(list, x.toldFacts("antibiotic_given", "loss_ml", "tranexamic_given")...)
	list = append(list, fact{"note.found", found}, fact{"note.layers", x.closedLayers()})
	list = append(list, x.despiteFacts()...)
	return append(list, x.toldFacts("pulse", "systolic", "diastolic", "bleeding_looked", "uterus_firm", "placenta_complete",
		"instrumental", "genital_cutting", "rectal_after", "decision", "told_receiver")...)
}

// countFact is what the counts say, once anything was counted.
func (x way) countFact() []fact {
	v, c := x.v, x.counts()
	var said []string
	switch {
	case slices.Contains(x.w.Warnings, "piece_missing"):
		said = []string{v.s("warning.piece_missing")}
	case slices.Contains(x.w.Warnings, "count_open"):
		said = []string{v.s("warning.count_open")}
	case c.Complete:
		return []fact{{"count.title", []string{v.s("count.complete")}}}
	default:
		return nil
	}
	for _, m := range c.Missing {
		said = append(said, v.s("count.missing")+" "+v.book.Count("supply."+m.Item, m.Count).S)
	}
	for _, e := range c.Extra {
		said = append(said, v.s("count.extra")+" "+v.book.Count("supply."+e.Item, e.Count).S)
	}
	return []fact{{"count.title", said}}
}

// toldFacts are those of the questions that were answered.
func (x way) toldFacts(questions ...string) (list []fact) {
	for _, q := range questions {
		if a := x.answerTo(q); a != nil {
			list = append(list, fact{"ask." + q, []string{x.underDay(x.v.plain(x.said(q, a)))}})
		}
	}
	return list
}

// underDay leaves out the day of the birth, which stands at a note's head.
func (x way) underDay(text string) string {
	day, _, known := strings.Cut(x.v.plain(x.v.hour(x.b.BornAt)), " ")
	if x.b.BornAt == "" || !known {
		return text
	}
	return strings.ReplaceAll(text, strings.TrimPrefix(day, leftToRight)+" ", "")
}

func (x way) drugs() (list []string) {
	for _, d := range x.b.Doses {
		if !d.Void {
			list = append(list, x.underDay(x.v.plain(x.v.dose(d))))
		}
	}
	if len(list) == 0 {
		return []string{x.v.s(noDoses(x.b))}
	}
	if doubt := priorDoubt(x.b); doubt != "" {
		list = append([]string{x.v.s(doubt)}, list...)
	}
	return list
}

func (x way) closedLayers() (list []string) {
	for _, l := range x.b.Layers {
		if l.Done {
			list = append(list, x.v.s("finding."+l.Layer))
		}
	}
	if len(list) == 0 {
		return []string{x.v.s("note.nothing_stitched")}
	}
	return list
}

func (x way) noteBody() h.Node {
	v := x.v
	var facts h.Group
	for _, f := range x.facts() {
		class := "fact"
		switch {
		case len(f.text) > 1:
			class += " is-list"
		case f.key == "ask.tampon" && x.leftInside():
			class += " is-left"
		}
		facts = append(facts, h.Div(h.Class(class), h.Dt(v.t(f.key)), h.Text(" "), h.Map(f.text, func(s string) h.Node { return h.Dd(h.Text(s)) })))
	}
	return h.Dl(h.Class("note"), facts)
}

// leftInside: something was left in her on purpose. It must not be overread.
func (x way) leftInside() bool {
	a := x.answerTo("tampon")
	return a != nil && (a.Value == "left" || a.Value == "in")
}

// plainNote is the note as text, for the code and for another phone's camera.
func (x way) plainNote() string {
	v := x.v
	lines := []string{x.b.Number + " " + v.plain(v.hour(x.b.BornAt))}
	for _, f := range x.facts() {
		if len(f.text) == 1 {
			lines = append(lines, v.s(f.key)+": "+f.text[0])
			continue
		}
		lines = append(append(lines, v.s(f.key)+":"), f.text...)
	}
	// The marks of direction cost bytes that a full code lacks, and each figure
	// stands on a line of its own or with its own unit.
	return strings.NewReplacer(leftToRight, "", endIsolate, "").Replace(strings.Join(lines, "\n"))
}

// registerLine is one line, its parts in a fixed order.
func (x way) registerLine() h.Node {
	v, b := x.v, x.b
	var r []string
	r = append(r, b.Number, v.plain(v.hour(b.BornAt)), v.s("grade."+x.w.Grade))
	if a := x.answerTo("decision"); a != nil {
		r = append(r, v.s(v.saidKey("decision", a.Value)))
	}
	if b.Damaged {
		r = append(r, v.s("warning.record_damaged"))
	}
	for _, f := range x.overFact() {
		r = append(r, f.text...)
	}
	r = append(r, strings.Join(x.closedLayers(), ", "), strings.Join(x.drugs(), ", "))
	if a := x.answerTo("loss_ml"); a != nil {
		r = append(r, v.plain(x.said("loss_ml", a)))
	}
	var line h.Group
	for i, part := range r {
		line = append(line, h.If(i > 0, h.Span(h.Class("bar-between"), h.Text(" | "))), h.Span(h.Class("part"), h.Text(part)))
	}
	return line
}

// plain is the text of a node, without its markup. Where the language runs
// from the right, figures and their units keep their own direction.
func (v *visit) plain(n h.Node) string {
	return stripped(h.String(n), v.book.Table().Dir == "rtl")
}

const leftToRight, endIsolate = "\u2066", "\u2069"

// stripped takes the tags out and the five escapes back. With isolate, what was
// marked as a number or an hour stays marked, by signs that are not seen.
func stripped(markup string, isolate bool) string {
	var b strings.Builder
	number := 0 // how many tags deep inside a number
	for markup != "" {
		text, rest, tagged := strings.Cut(markup, "<")
		b.WriteString(text)
		tag, after, _ := strings.Cut(rest, ">")
		markup = after
		switch {
		case !tagged || !isolate:
		case strings.HasPrefix(tag, "/") && number > 0:
			if number--; number == 0 {
				b.WriteString(endIsolate)
			}
		case number > 0:
			number++
		case strings.Contains(tag, `class="num`):
			number = 1
			b.WriteString(leftToRight)
		}
	}
	return strings.NewReplacer("&lt;", "<", "&gt;", ">", "&#34;", `"`, "&#39;", "'", "&amp;", "&").Replace(b.String())
}
