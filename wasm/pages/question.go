package pages

import (
	"slices"
	"strconv"
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
	"fourchette/wasm/pages/urlform"
)

// guideOf is the page of guidance of a stage.
func guideOf(stage string) string {
	switch stage {
	case "prepare":
		return "count"
	case "after", "visits":
		return "aftercare"
	}
	return stage
}

// table is the core's questions of one stage.
func (x *way) table(stage string) []companion.QuestionReply {
	var r companion.QuestionsReply
	if f := x.v.ask("course.questions", &companion.StageRequest{Stage: stage}, &r); f != nil {
		return nil
	}
	return r.Questions
}

func (x *way) answerTo(question string) *companion.AnswerReply {
	for i := range x.b.Answers {
		if x.b.Answers[i].Question == question {
			return &x.b.Answers[i]
		}
	}
	return nil
}

// said is an answer in words, a number with its unit, or an hour.
func (x *way) said(question string, a *companion.AnswerReply) h.Node {
	switch {
	case a.Value != "":
		return x.v.t(x.v.saidKey(question, a.Value))
	case a.Number != nil:
		return x.v.measured(question, strconv.FormatInt(*a.Number, 10))
	case a.At != "":
		return x.v.hour(a.At)
	}
	return h.Text(x.v.own(a.Text))
}

// saidKey lets a question speak its own words for an answer.
func (v *visit) saidKey(question, word string) string {
	if key := "said." + question + "_" + word; v.book.Has(key) {
		return key
	}
	return "said." + word
}

// units of the questions that want a number.
var units = map[string]string{"loss_ml": "ml", "pulse": "per_minute", "systolic": "mmhg", "diastolic": "mmhg",
	"second_systolic": "mmhg", "second_diastolic": "mmhg", inTenths: "celsius"}

// inTenths is the question whose number is written down in tenths of its unit.
const inTenths = "temperature"

// typedNumber reads a number as the question takes it; a temperature may have
// one decimal.
func typedNumber(question, typed string) (int, error) {
	text := companion.Typed(typed)
	if question != inTenths {
		return strconv.Atoi(text)
	}
	whole, tenth, point := strings.Cut(text, ".")
	if point != (len(tenth) == 1) {
		return 0, strconv.ErrSyntax
	}
	return strconv.Atoi(whole + orElse(tenth, "0"))
}

func (v *visit) measured(question, n string) h.Node {
	if last := len(n) - 1; question == inTenths && last > 0 {
		n = n[:last] + "." + n[last:]
	}
	unit := units[question]
	switch {
	case unit == "":
	case v.book.Has("unit." + unit): // one text, so that the language says which comes first
		return v.unit(unit, n)
	default:
		return h.All(number(n), h.Text("\u00a0"), v.t("unit."+unit+"_name"))
	}
	return number(n)
}

// askPage is one question of the way: a drawing, what to look at, the answers
// in reach of a thumb, and after the answer what it asks for.
func askPage(x *way) page {
	v := x.v
	all := x.table("")
	at := slices.IndexFunc(all, func(q companion.QuestionReply) bool { return q.Key == v.step(3) })
	if at < 0 {
		return notFound(v)
	}
	q := all[at]
	var fault *companion.Fault
	if v.posted() {
		if fault = x.answer(q); fault == nil {
			fresh, gone := v.loadBirth(x.b.Birth)
			if gone != nil {
				return birthGone(v, gone)
			}
			x = v.way(fresh)
			if len(x.advice(q)) == 0 && !(x.rings() && isSign(q.Key)) {
				return page{to: x.afterAnswer(q)}
			}
			return page{to: x.path("ask/" + q.Key)}
		}
	}
	p := x.page("ask."+q.Key, "stagename."+q.Stage)
	if fault != nil && fault.Field != "number" && fault.Field != "at" && fault.Field != "text" {
		p.add(v.problem(v.faultKey(fault)))
	}
	if isSign(q.Key) && x.answerTo(q.Key) != nil {
		p.add(x.alarm())
	}
	if fault != nil && (fault.Code == companion.FaultConfirmBefore || fault.Code == companion.FaultBeforeBirth) {
		p.add(more(v.link(x.path("born"), "born.title")))
	}
	p.add(x.questionPicture(q.Key), x.timerOf(q.Key), x.guidance(q, true))
	if advice := x.advice(q); len(advice) > 0 {
		p.add(h.Section(h.Class("plan"), h.P(h.Strong(x.said(q.Key, x.answerTo(q.Key)))), advice),
			v.next(x.afterAnswer(q), "way.go_on"))
		if a := x.answerTo(q.Key); q.Key == "decision" && a != nil && a.Value != "repair_here" {
			p.add(more(v.link(x.path("refer"), "refer.title")))
		}
	}
	p.add(x.answers(q, fault), x.guidance(q, false), more(v.link(x.path("stage/"+q.Stage), "way.back_to", "stage", v.s("stagename."+q.Stage))))
	return p
}

// isSign: a number that can ring.
func isSign(question string) bool { return units[question] != "" && question != inTenths }

// afterAnswer is where an answer leads: to what is asked next. All about a
// tampon is told in one go. Her medicines are seen as soon as all is told that
// they hang on, and an answer that cannot stand is not asked again at once: the
// record says why.
func (x *way) afterAnswer(q companion.QuestionReply) string {
	to := x.onward(q.Stage)
	if strings.HasPrefix(q.Key, "tampon") {
		for _, g := range x.w.Gates {
			if g.Key == "tampon" && len(g.Ask) > 0 {
				to = x.askPath(g.Ask[0])
			}
		}
	}
	switch lower := strings.Replace(q.Key, "systolic", "diastolic", 1); {
	case lower != q.Key && x.answerTo(lower) == nil: // one cuff, two numbers
		return x.path("ask/" + lower)
	case q.Key == inTenths && slices.Contains(x.w.Warnings, "fever"):
		return x.feverPath()
	case q.Key == "muscle_deep": // asked at the muscle, and told there
		return x.path("repair/perineal_muscle")
	case belongs(q.Key, "allergy") && x.w.Stage == "decide": // on the way elsewhere it is asked there
		return x.onward("decide")
	case q.Key == "breastfeeding" && x.answerTo("allergy") != nil:
		return x.path("after")
	case to == x.askPath(q.Key):
		return x.path("")
	}
	return to
}

// answer sends what was tapped or typed.
func (x *way) answer(q companion.QuestionReply) *companion.Fault {
	f := x.v.form
	r := &companion.AnswerRequest{Birth: x.b.Birth, Question: q.Key, Value: f.Get("value")}
	switch {
	case r.Value == "now":
		r.Value, r.At = "", "now"
	case r.Value != "":
	case f.Has("number"):
		n, err := typedNumber(q.Key, f.Get("number"))
		if err != nil && q.Key == inTenths {
			return &companion.Fault{Code: companion.FaultAmount, Field: "number", Detail: f.Get("number")}
		}
		if err != nil {
			return whole("number", companion.Typed(f.Get("number")))
		}
		r.Number = &n
	case f.Has("at"):
		if r.At = x.v.localStamp(f.Get("at")); r.At == "" {
			return &companion.Fault{Code: companion.FaultTime, Field: "at"}
		}
		r.Confirmed = f.Get("confirmed") == f.Get("at") // by its very hour: a finger that bounces confirms nothing else
	default:
		if r.Text = strings.TrimSpace(f.Get("text")); r.Text == "" {
			return &companion.Fault{Code: companion.FaultKeyMissing, Field: "text"}
		}
	}
	if r.Value != "" && f.Get("confirmed") == r.Value {
		r.Confirmed = true
	}
	_, fault := x.v.save("birth.answer", r)
	return fault
}

// answers are the choices, and a field where a number, an hour or a few words
// are wanted. Nothing is preselected.
func (x *way) answers(q companion.QuestionReply, fault *companion.Fault) h.Node {
	v, path := x.v, x.path("ask/"+q.Key)
	now := ""
	if a := x.answerTo(q.Key); a != nil {
		now = a.Value
	}
	var parts h.Group
	if f := x.entry(q, fault); f != nil {
		write := v.submit("way.write")
		if fault == nil && x.rings() { // rescue is the one main thing, and nothing lies over it
			write = h.Button(h.Class("answer"), h.Type("submit"), v.t("way.write"))
		}
		parts.Add(v.postForm(path, f, write))
	}
	var buttons h.Group
	if q.Kind == "time" {
		buttons.Add(v.answer("value", "now", "is-now", false, v.icon(answerDrawing[q.Key+"_now"]), v.t("new.born_now")))
	}
	for _, word := range q.Words {
		if word == "never_in" && !slices.Contains(x.w.Warnings, "tampon_inside") {
			continue // nobody said so
		}
		buttons.Add(v.answer("value", word, wordLook(word), now == word, v.icon(answerDrawing[q.Key+"_"+word]), v.t(v.saidKey(q.Key, word))))
	}
	if fault != nil && fault.Code == companion.FaultConfirmEarly {
		parts.Add(v.postForm(path, hidden("confirmed", "no"), answers(v.answer("value", "no", "", false, v.t("pinch.all_the_same")))))
	}
	if len(buttons) > 0 {
		parts.Add(v.postForm(path, answers(buttons)))
	}
	return parts
}

// wordLook gives doubt and silence their own shape.
func wordLook(word string) string {
	switch word {
	case "unsure", "unknown", "not_measured", "not_yet", "cannot_answer":
		return "is-open"
	}
	return ""
}

func (x *way) entry(q companion.QuestionReply, fault *companion.Fault) h.Node {
	v := x.v
	switch q.Kind {
	case "number":
		mode := "numeric"
		if q.Key == inTenths {
			mode = "decimal"
		}
		return v.field(field{name: "number", value: v.form.Get("number"), label: "ask." + q.Key, unit: units[q.Key], mode: mode, problem: v.faultAt(fault, "number")})
	case "time":
		at := v.field(field{name: "at", value: v.form.Get("at"), label: "new.born_at", kind: "datetime-local", most: "20", problem: v.faultAt(fault, "at")})
		if fault != nil && fault.Code == companion.FaultConfirmBefore {
			return h.All(hidden("confirmed", v.form.Get("at")), at)
		}
		return at
	case "text":
		hint := "way.no_name"
		if q.Key == "allergy_which" || q.Key == "other_medicines" {
			hint = "allergy.no_person"
		}
		return v.field(field{name: "text", value: v.form.Get("text"), label: "ask." + q.Key, hint: hint, most: strconv.Itoa(q.Most), problem: v.faultAt(fault, "text")})
	}
	return nil
}

// guidance is what to know about a question: what to do before the answers,
// what to bear in mind after them. What belongs to one answer is advice.
func (x *way) guidance(q companion.QuestionReply, before bool) h.Node {
	var nodes h.Group
	x.eachItem(q, func(page string, it companion.PageItem, word string) {
		first := it.Kind == "step" || it.Kind == "ask"
		if word == "" && first == before {
			nodes.Add(x.item(page, it))
		}
	})
	return nodes
}

// advice is what the answer that stands asks for.
func (x *way) advice(q companion.QuestionReply) (nodes h.Group) {
	a := x.answerTo(q.Key)
	if a == nil || a.Value == "" {
		return nil
	}
	x.eachItem(q, func(page string, it companion.PageItem, word string) {
		if word == a.Value && !x.outdated(it) {
			nodes.Add(x.item(page, it))
		}
	})
	return nodes
}

// eachItem goes through the guidance about one question; word is the answer
// that an item belongs to, "" for all.
func (x *way) eachItem(q companion.QuestionReply, do func(page string, it companion.PageItem, word string)) {
	pages := []string{guideOf(q.Stage)}
	if strings.HasPrefix(q.Key, "tampon") {
		pages = []string{"count"}
	}
	all := x.table("")
	for _, page := range pages {
		for _, it := range x.v.guide(page) {
			if !belongs(it.Key, q.Key) || ofAnother(all, it.Key, q.Key) {
				continue
			}
			rest := strings.TrimPrefix(strings.TrimPrefix(it.Key, q.Key), "_")
			word := ""
			for _, w := range q.Words {
				if rest == w || strings.HasPrefix(rest, w+"_") {
					word = w
				}
			}
			do(page, it, word)
		}
	}
}

// ofAnother: "tampon_number" is the question of that name, not of "tampon".
func ofAnother(all []companion.QuestionReply, item, question string) bool {
	return slices.ContainsFunc(all, func(q companion.QuestionReply) bool {
		return len(q.Key) > len(question) && belongs(q.Key, question) && belongs(item, q.Key)
	})
}

// pictures of the questions, by the name of the drawing.
var pictures = map[string]string{
	"uterus_firm": "feel_uterus", "final_firm": "feel_uterus", "placenta_out": "placenta", "placenta_complete": "placenta_out",
	"bleeding_looked": "bowl", "final_bleeding": "bowl", "loss_ml": "bowl", "pulse": "pulse", "systolic": "pressure", "diastolic": "pressure",
	"second_systolic": "pressure", "second_diastolic": "pressure", "position": "position", "light": "eye", "consent_exam": "consent",
	"consent_repair": "consent", "pain_relief": "infiltrate_tear", "numb_felt": "pinch_test", "looked_again": "rectal_exam",
	"rectal_after": "rectal_exam", "stitch_felt": "rectal_exam", "muscle_deep": "suture", "tampon": "tampon", "tampon_number": "tampon", "tampon_at": "tampon",
	"transport": "go_to_hospital", "told_receiver": "referral_note", "breastfeeding": "breastfeeding", "urine_passed": "pass_urine",
	"allergy": "medicine", "antibiotic_given": "medicine", "allergy_second": "medicine", "allergy_third": "medicine", "allergy_which": "medicine", "tranexamic_given": "inject_slowly", "trained_operator_here": "operator", "repair_finished": "suture",
	"temperature": "fever", "other_medicines": "medicine", "travel_barrier": "no_transport", "tampon_why": "tampon_left",
	"final_count_search": "search", "tampon_receiver": "referral_note", "early_check": "pulse",
}

func (x *way) questionPicture(q string) h.Node {
	if name := pictures[q]; name != "" {
		return h.Figure(h.Class("drawing small"), x.v.drawing(name))
	}
	return nil
}

// localStamp reads a day and an hour of the local clock; "" when it is none.
func (v *visit) localStamp(text string) string {
	return v.localTime(urlform.Values{"born": {"at"}, "born_at": {text}})
}
