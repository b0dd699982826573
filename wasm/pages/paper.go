package pages

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
	"fourchette/wasm/pages/notecode"
)

func itoa(n int) string { return strconv.Itoa(n) }

// handoverPage is what the next shift must know, in the order in which it is
// said.
func handoverPage(x *way) page {
	v := x.v
	p := x.page("handover.title", "place.paper")
	// What warns stands on the paper, too: around it nothing is printed.
	p.body = []h.Node{v.shareButtons("#note"), h.Article(h.ID("note"), h.Class("paper"), x.noteHead(), x.warnings(), x.standing(), x.timers(true), x.noteBody()),
		h.Details(h.Class("source"), h.Summary(v.t("handover.how")), v.guideList("handover"),
			x.someOf("count", func(it companion.PageItem) bool { return it.Key == "handover" })),
		more(v.link(x.path("refer"), "refer.title"), v.link(x.path("register"), "register.title"), v.link(x.path(""), "close.no"))}
	return p
}

// referPage is the referral note: one A5 page, and in a code what was found,
// given and left inside. See notecode for what that says, and why in the same
// words everywhere.
func referPage(x *way) page {
	v := x.v
	p := x.page("refer.title", "place.paper")
	head, body := h.All(x.noteHead(), x.purpose(), x.warnings()), x.noteBody()
	p.body = nil // what warns stands on the paper
	p.add(v.shareButtons("#note"),
		h.Article(h.ID("note"), h.Class("paper a5"+size(h.All(head, body))), head, h.Div(h.Class("sheet"), body, v.code(x.coded()))),
		h.Details(h.Class("source"), h.Summary(v.t("refer.how")), v.guideList("refer")),
		more(v.link(x.path("handover"), "handover.title"), v.link(x.path("register"), "register.title"), v.link(x.path(""), "close.no")))
	return p
}

// size is the type that fits a note on its page: the larger, the less it says.
func size(text h.Node) string {
	switch n := utf8.RuneCountInString(stripped(h.String(text), false)); {
	case n < fewLetters:
		return " is-large"
	case n > manyLetters:
		return " is-small"
	}
	return ""
}

// How many letters a note has that leaves room, and one that is nearly too long
// for its page; tried in English, French and from the right.
const fewLetters, manyLetters = 1060, 1500

// purpose is why she comes, or that this is no referral, and what was decided
// instead; and room for what only a pen can add: with whom it was spoken about.
func (x *way) purpose() h.Node {
	v, a := x.v, x.answerTo("decision")
	if a == nil {
		return h.P(h.Class("purpose"), h.Strong(v.t("note.undecided")))
	}
	decided := v.line(v.s("note.decision"), v.plain(x.said("decision", a)))
	if a.Value != "refer" && a.Value != "cannot_travel" {
		return h.P(h.Class("purpose"), h.Strong(v.t("note.no_referral"), h.Text(" "), h.Text(decided)))
	}
	reasons := x.reasons()
	why := v.line(v.s("note.why"), v.listed(reasons))
	return h.All(h.If(a.Value != "refer", h.P(h.Class("purpose"), h.Strong(h.Text(decided)))),
		h.P(h.Class("purpose"), h.Strong(h.Text(why))), h.If(len(reasons) < 2, h.P(h.Class("by-hand"), v.t("note.why_more"))),
		h.P(h.Class("by-hand"), v.t("note.told_whom")))
}

// reasons are the tear as far as it is known, what is missing here for it, and
// what can only be seen to elsewhere. What was said before the grade was written
// was said of another one.
func (x *way) reasons() []string {
	list := []string{x.gradeText()}
	for _, q := range []string{"trained_operator_here", "place_here", "anaesthesia_here", "instruments_here", "material_here"} {
		if a := x.answerTo(q); a != nil && a.Value == "no" && (x.b.GradeNoted == nil || a.Said >= x.b.GradeNoted.At) {
			list = append(list, x.v.s("note.missing_"+q))
		}
	}
	for _, key := range []string{"piece_missing", "stitch_in_rectum", "tear_too_old"} {
		if slices.Contains(x.w.Warnings, key) {
			list = append(list, x.v.s("note.reason_"+key))
		}
	}
	return list
}

// registerPage is the line for the paper register.
func registerPage(x *way) page {
	v := x.v
	p := x.page("register.title", "place.paper")
	p.add(v.p("register.what"), v.shareButtons("#line"),
		h.Article(h.ID("line"), h.Class("paper"), h.P(v.practice()), x.incomplete(), h.P(h.Class("register"), x.registerLine())),
		more(v.link(x.path("handover"), "handover.title"), v.link(x.path(""), "close.no")))
	return p
}

func (x *way) noteHead() h.Node {
	v, b := x.v, x.b
	return h.All(
		h.P(h.Class("note-number"), number(b.Number), h.If(b.Bed != "", h.All(h.Text(" · "), v.t("bar.bed", "bed", b.Bed)))),
		h.P(v.bornAt(b, v.hour), h.Text(" · "), v.t("note.written"), h.Text(" "), v.hour(x.w.Now), h.Text(" · "), v.practice()),
		x.incomplete(),
	)
}

// practice is the mark of every paper: that it is for practice, and that nobody
// has reviewed its language.
func (v *visit) practice() h.Node {
	return h.All(v.t("note.practice"), h.If(v.book.Table().Draft, h.All(h.Text(" · "), v.t("app.draft"))))
}

// incomplete says that the record holds what this version cannot read, and so
// no paper of it.
func (x *way) incomplete() h.Node {
	if x.b.Newer == 0 {
		return nil
	}
	return note("caution", h.P(x.v.count("record.newer", x.b.Newer)))
}

// bornAt says when the baby came, or that nobody knows.
func (v *visit) bornAt(b *companion.BirthReply, show func(string) h.Node) h.Node {
	if b.BornAt == "" {
		return v.t("bar.hour_unknown")
	}
	return h.All(v.t("note.born"), h.Text(" "), show(b.BornAt))
}

// standing is where she stands and what comes next. What warns is not done.
func (x *way) standing() h.Node {
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

// facts are what a note holds, the same on the referral note and at a handover:
// first what harms when it is overread, the grade, what is left inside, the
// count, drugs, loss; then findings, layers, signs with the hour at which each
// was told, what was decided, and at the end what nobody said.
func (x *way) facts() []fact {
	v := x.v
	list := append(x.doubtFact(), fact{"note.grade", []string{x.gradeText()}})
	list = append(list, x.tamponFacts()...)
	list = append(list, x.countFact())
	list = append(list, x.toldFacts("final_count_search", "stitch_felt", "stitch_removed")...)
	list = append(list, fact{"note.drugs", x.drugs()})
	list = append(list, x.overFact()...)
	list = append(list, x.allergyFact(), x.lossFact())
	list = append(list, x.toldFacts("tranexamic_given", "antibiotic_given", "other_medicines")...)
	var found []string
	e := birthTear(v, x.b)
	for _, q := range questions {
		found = append(found, v.line(v.s("finding."+q), v.s(e.stateKey(q))))
	}
	list = append(list, fact{"note.found", found}, x.layersFact())
	list = append(list, x.despiteFacts()...)
	list = append(list, x.declinedFacts()...)
	uterus, bleeding := notecode.Latest(x.b, "uterus_firm", "final_firm"), notecode.Latest(x.b, "bleeding_looked", "final_bleeding")
	list = append(list, x.seenFacts("pulse", "systolic", "diastolic", "second_systolic", "second_diastolic", "temperature", bleeding, uterus)...)
	list = append(list, x.toldFacts("placenta_complete", "instrumental", "genital_cutting", "rectal_after", "decision", "travel_barrier", "told_receiver")...)
	return append(list, x.notSaid("tranexamic_given", "antibiotic_given", "pulse", "systolic", bleeding, uterus, "placenta_complete", "instrumental", "genital_cutting")...)
}

// gradeText is the grade, that it is not settled, and what is planned for.
func (x *way) gradeText() string {
	v, g := x.v, x.verdict()
	text, comma := v.s("grade."+x.w.Grade), v.s("note.comma")+" "
	if g.Buttonhole {
		text += " " + v.s("grade.buttonhole")
	}
	if !g.Settled && x.w.Grade != "undetermined" {
		text += comma + v.s("grade.not_settled")
	}
	if x.w.TreatAs != x.w.Grade && !g.Buttonhole { // beside the grades, a buttonhole is planned for as such
		text += comma + v.s("verdict.plan_for", "grade", v.s("grade."+x.w.TreatAs))
	}
	return text
}

// verdict is how the record's findings are graded now.
func (x *way) verdict() (g companion.GradeReply) {
	if f := x.v.ask("birth.grade", &companion.BirthRequest{Birth: x.b.Birth}, &g); f != nil {
		return companion.GradeReply{Grade: x.w.Grade, TreatAs: x.w.TreatAs, Buttonhole: true} // as in buttonhole
	}
	return g
}

// tamponFacts are all about a tampon; how many, since when and who takes them
// out only where one is inside, and then also that nobody said so.
func (x *way) tamponFacts() []fact {
	told := []fact{x.orNotAsked("tampon", x.toldFacts("tampon"))}
	if !x.leftInside() {
		return told
	}
	for _, q := range []string{"tampon_number", "tampon_at"} {
		told = append(told, x.orNotAsked(q, x.toldFacts(q)))
	}
	told = append(told, x.toldFacts("tampon_why")...)
	return append(told, x.orNotAsked("tampon_receiver", x.toldFacts("tampon_receiver")))
}

func (x *way) lossFact() fact { return x.orNotAsked("loss_ml", x.seenFacts("loss_ml")) }

// orNotAsked is what was told, or that nobody said.
func (x *way) orNotAsked(question string, told []fact) fact {
	if len(told) > 0 {
		return told[0]
	}
	return fact{x.label(question), []string{x.v.s("value.not_asked")}}
}

// notSaid names what nobody said, because silence looks like nothing at all.
func (x *way) notSaid(questions ...string) []fact {
	var silent []string
	for _, q := range questions {
		if x.answerTo(q) == nil {
			silent = append(silent, x.v.s(x.label(q)))
		}
	}
	if len(silent) == 0 {
		return nil
	}
	return []fact{{"note.not_said", silent}}
}

// counted is how the count stands, whatever the pages warn of by now.
func (x *way) counted() string {
	c := x.counts()
	switch {
	case slices.Contains(x.w.Warnings, "piece_missing"):
		return notecode.CountMissing
	case c.Complete:
		return notecode.CountComplete
	case c.CountedIn, c.Compared, len(c.ToCount) > 0:
		return notecode.CountOpen
	}
	return notecode.CountNone
}

// allThere is what a count says that comes out even: never that nothing is in
// her while something is.
func (x *way) allThere() string {
	switch n := x.tamponsInside(); {
	case !x.leftInside():
		return x.v.s("count.complete")
	case n > 0:
		return x.v.book.Count("count.complete_but", n).S
	}
	return x.v.s("count.complete_but_unknown")
}

// countFact is the same in words, and what is missing or too many.
func (x *way) countFact() fact {
	v := x.v
	said := []string{x.allThere()}
	if key := map[string]string{notecode.CountMissing: "warning.piece_missing", notecode.CountOpen: "warning.count_open",
		notecode.CountNone: "count.nothing_in"}[x.counted()]; key != "" {
		said[0] = v.s(key)
	}
	c := x.counts()
	if c.Late {
		said = append(said, v.s("warning.counted_late"))
	}
	for _, m := range c.Missing {
		said = append(said, v.s("count.missing")+" "+v.book.Count("supply."+m.Item, m.Count).S)
	}
	for _, e := range c.Extra {
		said = append(said, v.s("count.extra")+" "+v.book.Count("supply."+e.Item, e.Count).S)
	}
	return fact{"count.title", said}
}

// label is what a paper calls an answer: its question, or where that reads badly
// before an answer, a few words of the papers' own.
func (x *way) label(question string) string {
	if key := "note." + question; x.v.book.Has(key) {
		return key
	}
	return "ask." + question
}

// toldFacts are those of the questions that were answered.
func (x *way) toldFacts(questions ...string) (list []fact) {
	for _, q := range questions {
		if a := x.answerTo(q); a != nil {
			list = append(list, fact{x.label(q), []string{x.underDay(x.v.plain(x.said(q, a)))}})
		}
	}
	return list
}

// seenFacts are those of signs, each with the hour at which it was told: a
// pulse without one is worth little to who comes next.
func (x *way) seenFacts(questions ...string) (list []fact) {
	for _, q := range questions {
		for _, f := range x.toldFacts(q) {
			f.text[0] += "\u00a0·\u00a0" + x.underDay(x.v.plain(x.v.hour(x.answerTo(q).Said)))
			list = append(list, f)
		}
	}
	return list
}

// underDay leaves out the day of the birth, which stands at a note's head, as
// long as the note is written on it too: an hour without a day is of today.
func (x *way) underDay(text string) string {
	day, _, known := strings.Cut(x.v.plain(x.v.hour(x.b.BornAt)), " ")
	if x.b.BornAt == "" || !known || !strings.HasPrefix(x.v.plain(x.v.hour(x.w.Now)), day) {
		return text
	}
	return strings.ReplaceAll(text, strings.TrimPrefix(day, leftToRight)+" ", "")
}

func (x *way) drugs() (list []string) {
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

// layersFact is what was closed, in the order in which it was.
func (x *way) layersFact() fact {
	return fact{"note.layers", []string{x.v.listed(x.closedLayers())}}
}

func (x *way) closedLayers() (list []string) {
	for _, l := range x.b.Layers {
		if l.Done {
			list = append(list, x.v.s("finding."+l.Layer))
		}
	}
	if len(list) == 0 {
		return []string{x.v.s(nothingStitched(x.b))}
	}
	return list
}

func (x *way) noteBody() h.Node {
	v := x.v
	var facts h.Group
	for _, f := range x.facts() {
		class := "fact"
		switch {
		case len(f.text) > 1:
			class += " is-list"
		case f.key == x.label("tampon") && x.leftInside():
			class += " is-left"
		}
		facts.Add(h.Div(h.Class(class), h.Dt(v.t(f.key)), h.Text(" "), h.Map(f.text, func(s string) h.Node { return h.Dd(h.Text(s)) })))
	}
	return h.Dl(h.Class("note"), facts)
}

// leftInside: something was left in her on purpose. It must not be overread.
func (x *way) leftInside() bool {
	a := x.answerTo("tampon")
	return a != nil && (a.Value == "left" || a.Value == "in")
}

// tamponsInside is how many, 0 where nobody wrote it down.
func (x *way) tamponsInside() int {
	if a := x.answerTo("tampon_number"); a != nil && a.Number != nil {
		return int(*a.Number)
	}
	return 0
}

// coded is what the note's code holds, if it holds it.
func (x *way) coded() (text string, ok bool) {
	return notecode.Write(notecode.Record{Birth: x.b, Grade: x.verdict(), Count: x.counted(), Zone: x.v.zone()}, mostCoded)
}

// registerLine is one line, its parts in a fixed order: the facts of the note
// that a register has columns for, and what is not as it should be. Each part
// stands alone: whoever reads it in a year has the line and nothing else.
func (x *way) registerLine() h.Node {
	v, b := x.v, x.b
	r := []string{b.Number, v.plain(v.bornAt(b, v.hour)), x.gradeText()}
	add := func(facts ...fact) {
		if len(facts) > 0 {
			r = append(r, factText(v, facts...))
		}
	}
	add(x.toldFacts("decision")...)
	add(x.doubtFact()...)
	add(x.overFact()...)
	add(x.layersFact())
	add(fact{"note.drugs", x.drugs()})
	add(x.orNotAsked("loss_ml", x.toldFacts("loss_ml")))
	if x.leftInside() {
		add(x.tamponFacts()...)
	}
	if c := x.counted(); c == notecode.CountMissing || c == notecode.CountOpen {
		r = append(r, strings.Join(x.countFact().text, " "))
	}
	var line h.Group
	for i, part := range r {
		line.Add(h.If(i > 0, h.Span(h.Class("bar-between"), h.Text(" | "))), h.Span(h.Class("part"), h.Text(part)))
	}
	return line
}

// factText is facts on one line.
func factText(v *visit, facts ...fact) string {
	var parts []string
	for _, f := range facts {
		parts = append(parts, v.line(v.s(f.key), v.listed(f.text)))
	}
	return v.listed(parts)
}

// line is a name and what is said of it.
func (v *visit) line(label, text string) string {
	return v.s("note.line", "label", label, "text", text)
}

// listed puts the language's commas between; a sentence ends with its own mark.
func (v *visit) listed(parts []string) string {
	comma := v.s("note.comma") + " "
	return strings.ReplaceAll(strings.Join(parts, comma), "."+comma, ". ")
}

// plain is the text of a node, without its markup. Where the language runs
// from the right, figures and their units keep their own direction.
func (v *visit) plain(n h.Node) string {
	return stripped(h.String(n), v.book.Table().Dir == "rtl")
}

const leftToRight, ownDirection, endIsolate = "\u2066", "\u2068", "\u2069"

// own keeps what somebody typed in the direction of its own script: the name of
// a ward in Latin letters ends where it ends in a text from the right, and an
// hour behind one in Arabic letters stays behind it.
func (v *visit) own(typed string) string {
	latin := func(r rune) bool { return r < 0x590 } // Hebrew, the first script from the right, begins there
	if v.book.Table().Dir != "rtl" && strings.TrimFunc(typed, latin) == "" {
		return typed
	}
	return ownDirection + typed + endIsolate
}

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
