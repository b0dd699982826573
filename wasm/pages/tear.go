package pages

import (
	"slices"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
	"fourchette/wasm/pages/urlform"
)

// questions in the order in which hands and eyes go: outside first, the rectal
// examination before what only it can tell.
var questions = []string{
	"episiotomy", "perineal_skin", "vaginal_mucosa", "perineal_muscle",
	"rectal_exam", "external_sphincter", "internal_sphincter", "anorectal_mucosa",
}

// countedByCut are the layers that an episiotomy has opened by itself.
var countedByCut = []string{"perineal_skin", "vaginal_mucosa", "perineal_muscle"}

func countedByCutHas(question string) bool { return slices.Contains(countedByCut, question) }

// An exam is what is being examined: a birth's record, or a quick look whose
// answers live in the address alone.
type exam struct {
	v        *visit
	birth    *companion.BirthReply // nil: quick
	findings companion.GradeRequest
	cutAsked bool           // whether the episiotomy was asked about: "no" and silence differ
	query    urlform.Values // quick: the answers
	tail     []string       // the path behind the birth
}

func birthTear(v *visit, b *companion.BirthReply) exam {
	return exam{v: v, birth: b, findings: b.Findings, cutAsked: b.EpisiotomyAsked, tail: v.steps[2:]}
}

func quickTear(v *visit) exam {
	e := exam{v: v, query: urlform.Values{}, tail: v.steps[1:]}
	for _, f := range append(slices.Clone(questions), "second_look_done") {
		if word := v.query.Get(f); word != "" {
			e.query.Set(f, word)
		}
	}
	if cut := e.query.Get("episiotomy"); cut != "yes" && cut != "no" {
		e.query.Del("episiotomy") // no answer at all
	}
	e.cutAsked = e.query.Has("episiotomy")
	q := e.query
	e.findings = companion.GradeRequest{
		PerinealSkin: q.Get("perineal_skin"), VaginalMucosa: q.Get("vaginal_mucosa"), PerinealMuscle: q.Get("perineal_muscle"),
		ExternalSphincter: q.Get("external_sphincter"), InternalSphincter: q.Get("internal_sphincter"), AnorectalMucosa: q.Get("anorectal_mucosa"),
		RectalExam: q.Get("rectal_exam"), Episiotomy: q.Get("episiotomy") == "yes", SecondLookDone: q.Get("second_look_done") == "yes",
	}
	return e
}

// value is the word found for a question, "" for not examined.
func (e exam) value(question string) string {
	f := e.findings
	switch question {
	case "episiotomy":
		switch {
		case f.Episiotomy:
			return "yes"
		case e.cutAsked:
			return "no"
		}
		return ""
	case "perineal_skin":
		return f.PerinealSkin
	case "vaginal_mucosa":
		return f.VaginalMucosa
	case "perineal_muscle":
		return f.PerinealMuscle
	case "rectal_exam":
		return f.RectalExam
	case "external_sphincter":
		return f.ExternalSphincter
	case "internal_sphincter":
		return f.InternalSphincter
	}
	return f.AnorectalMucosa
}

// words are the answers a question takes, in the order shown.
func (e exam) words(question string) []string {
	switch question {
	case "episiotomy":
		return []string{"yes", "no"}
	case "rectal_exam":
		return []string{"done", "declined"}
	case "external_sphincter":
		return []string{"intact", "under_half", "half_or_more", "through", "unsure"}
	}
	return []string{"intact", "torn", "unsure"}
}

// path is a page of this exam: "examine", "examine/perineal_skin", "grade".
func (e exam) path(tail string) string {
	if e.birth != nil {
		return "/b/" + e.birth.Birth + "/" + tail
	}
	if tail == "grade" {
		return "/grade?" + e.query.Encode()
	}
	return "/grade/" + tail + "?" + e.query.Encode()
}

// after is where to go when a question was answered: to the next one not
// answered yet, or to the grade. What was passed over is not asked again here;
// the grade's page lists it.
func (e exam) after(question string) string {
	from := slices.Index(questions, question) + 1
	for _, next := range questions[from:] {
		if e.value(next) == "" && !(e.findings.Episiotomy && countedByCutHas(next)) {
			return e.path("examine/" + next)
		}
	}
	return e.path("grade")
}

func (v *visit) tearRoute(e exam) page {
	at := func(i int) string {
		if i < len(e.tail) {
			return e.tail[i]
		}
		return ""
	}
	switch {
	case at(0) == "next":
		return page{to: e.after(v.query.Get("after"))}
	case at(0) == "examine" && slices.Contains(questions, at(1)):
		return question(v, e, at(1))
	case at(0) == "examine":
		return examine(v, e)
	case v.posted():
		return postGrade(v, e)
	}
	return verdict(v, e, nil)
}

// examine shows the whole drawing: tap a layer to say what was found there.
func examine(v *visit, e exam) page {
	p := page{title: "examine.title", place: "place.examine", birth: e.birth, quick: e.birth == nil, clinical: true}
	p.add(v.declinedExam(e.birth))
	start := e.after("")
	key := "examine.next"
	if start == e.path("grade") {
		key = "examine.grade"
	}
	p.body = append(p.body,
		v.p("examine.tap"),
		v.perineum(e, true, ""),
		v.next(start, key),
		h.Ul(h.Class("findings"), h.Map(questions, func(q string) h.Node { return v.findingLine(e, q) })),
	)
	for _, it := range v.guide("examine") {
		if it.Key == "unsure" || it.Key == "once_numb" {
			p.add(v.guideItem("examine", it))
		}
	}
	return p
}

func (v *visit) findingLine(e exam, q string) h.Node {
	return h.Li(h.A(h.Href("#"+e.path("examine/"+q)), h.Span(h.Class("finding-name"), v.t("finding."+q)), h.Text(" "), v.state(e, q)))
}

// state is a finding as a shape and a word; not examined looks unknown.
func (v *visit) state(e exam, q string) h.Node {
	word := e.value(q)
	if e.findings.Episiotomy && countedByCutHas(q) {
		word = "torn"
	}
	return h.Span(h.Class("state state-"+look(word)), v.t(e.stateKey(q)))
}

func (v *visit) stateWord(e exam, q string) string { return v.s(e.stateKey(q)) }

// stateKey is the text that says what was found.
func (e exam) stateKey(q string) string {
	word := e.value(q)
	switch {
	case e.findings.Episiotomy && countedByCutHas(q):
		return "value.cut"
	case word == "" && q == "episiotomy":
		return "value.not_asked"
	}
	return "value." + orElse(word, "not_examined")
}

// look is the drawing's class for a word.
func look(word string) string {
	switch word {
	case "":
		return "open"
	case "under_half", "half_or_more", "through", "yes":
		return "torn"
	case "done", "no":
		return "intact"
	case "declined":
		return "unsure"
	}
	return word
}

// question is one layer: the drawing, how to look, and the answers.
func question(v *visit, e exam, q string) page {
	var fault *companion.Fault
	if v.posted() && e.birth != nil {
		if _, fault = v.save("birth.find", &companion.FindRequest{Birth: e.birth.Birth, Finding: q, Value: v.form.Get("value")}); fault == nil {
			b, gone := v.loadBirth(e.birth.Birth)
			if gone != nil {
				return birthGone(v, gone)
			}
			return page{to: birthTear(v, b).after(q)}
		}
	}
	p := page{title: "question." + q, place: "place.examine", birth: e.birth, quick: e.birth == nil, clinical: true}
	p.add(v.declinedExam(e.birth))
	if fault != nil {
		p.add(v.problem(v.faultKey(fault)))
	}
	before, after := v.howToLook(q)
	p.add(v.questionDrawing(e, q), before, e.answerForm(q), after,
		more(v.link(e.after(q), "examine.later"), v.link(e.path("examine"), "examine.whole")))
	return p
}

func (e exam) answerForm(q string) h.Node {
	v, now := e.v, e.value(q)
	name := "value"
	if e.birth == nil {
		name = q
	}
	var buttons h.Group
	for _, word := range e.words(q) {
		buttons.Add(v.answer(name, word, "is-"+look(word), now == word,
			v.icon(answerDrawing[q+"_"+word]), v.t("answer."+answerKey(q, word))))
	}
	if e.birth != nil {
		return v.postForm(e.path("examine/"+q), answers(buttons))
	}
	kept := h.All(hidden("after", q))
	for _, other := range append(slices.Clone(questions), "second_look_done") {
		if other != q && e.query.Has(other) {
			kept.Add(hidden(other, e.query.Get(other)))
		}
	}
	return v.getForm("/grade/next", kept, answers(buttons))
}

// answerKey lets the two yes-or-no questions speak their own words.
func answerKey(q, word string) string {
	switch q {
	case "episiotomy", "rectal_exam", "external_sphincter":
		return q + "_" + word
	}
	return word
}

// howToLook is the guide's advice for one question: what to do stands before
// the answers, what to bear in mind after them, so that the answers are in
// reach of a thumb.
func (v *visit) howToLook(q string) (before, after h.Group) {
	for _, it := range v.guide("examine") {
		mine := belongs(it.Key, q) || q == "rectal_exam" && (belongs(it.Key, "rectal") || it.Key == "consent")
		switch {
		case !mine:
		case it.Kind == "step" || it.Kind == "ask":
			before = append(before, v.guideItem("examine", it))
		default:
			after = append(after, v.guideItem("examine", it))
		}
	}
	return before, after
}

// postGrade writes the grade into the record, or notes that the second look
// was taken.
func postGrade(v *visit, e exam) page {
	if e.birth == nil {
		return verdict(v, e, nil)
	}
	if v.form.Get("do") == "second_look" {
		_, fault := v.save("birth.find", &companion.FindRequest{Birth: e.birth.Birth, Finding: "second_look_done", Value: "yes"})
		if fault != nil {
			return verdict(v, e, fault)
		}
		return page{to: e.path("grade")}
	}
	if _, fault := v.save("birth.note_grade", &companion.BirthRequest{Birth: e.birth.Birth}); fault != nil {
		return verdict(v, e, fault)
	}
	return page{to: "/b/" + e.birth.Birth}
}
