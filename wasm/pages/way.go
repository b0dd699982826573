package pages

import (
	"slices"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// A way is one birth and where it stands. What is asked, in which order and
// what may not be skipped, the core says; this is where each is answered.
type way struct {
	v *visit
	b *companion.BirthReply
	w companion.WalkReply
}

func (v *visit) way(b *companion.BirthReply) *way {
	x := &way{v: v, b: b}
	v.must("course.walk", &companion.BirthRequest{Birth: b.Birth}, &x.w)
	return x
}

func (x *way) path(tail string) string {
	if tail == "" {
		return "/b/" + x.b.Birth
	}
	return "/b/" + x.b.Birth + "/" + tail
}

// askPath is where an ask is answered.
func (x *way) askPath(ask string) string {
	if slices.Contains(questions, ask) {
		return x.path("examine/" + x.lookFirst(ask))
	}
	switch ask {
	case "second_look", "note_grade":
		return x.path("grade")
	case "found_now":
		return x.path("examine")
	case "weight":
		return x.path("dose/weight")
	case "prior":
		return x.path("dose/before")
	case "label":
		return x.path("dose/strength")
	case "inject":
		return x.path("numb")
	case "count_in":
		return x.path("count/in")
	case "count_out":
		return x.path("count/out")
	case "decision": // first what it needs, where that is known
		if !slices.Contains(x.w.Ways, "exam_refused") {
			return x.path("needs")
		}
	case "medicines_seen":
		return x.path("after")
	case "advice_told":
		return x.path("advice")
	case "laid_out":
		return x.path("layout")
	case "layer", "repair_finished":
		return x.path("repair")
	case "visit", "today_right":
		return x.path("visits")
	case "alarm_seen":
		return x.rescue()
	case "look_through":
		return x.path("looked")
	}
	return x.path("ask/" + ask)
}

// stage is one stage's state.
func (x *way) stage(key string) companion.StageReply {
	for _, s := range x.w.Stages {
		if s.Key == key {
			return s
		}
	}
	return companion.StageReply{Key: key}
}

// next is what is to be done now, and how it is called; "" when all is done.
func (x *way) next() (path, key string) {
	s := x.stage(x.w.Stage)
	if len(s.Ask) == 0 {
		return "", ""
	}
	return x.askPath(s.Ask[0]), x.askKey(s.Ask[0])
}

// askKey is the text that names an ask.
func (x *way) askKey(ask string) string {
	switch {
	case ask == "alarm_seen":
		return "alarm.go"
	case slices.Contains(questions, ask):
		if ask = x.lookFirst(ask); ask == "episiotomy" {
			return "question.episiotomy"
		}
		return "finding." + ask
	}
	return "ask." + ask
}

// lookFirst is the first layer that nobody has looked at, from the outside in:
// a finger goes into the rectum after the eyes have seen the skin. When all
// were looked at it is the one that is asked for.
func (x *way) lookFirst(ask string) string {
	e := birthTear(x.v, x.b)
	for _, q := range questions {
		if e.value(q) == "" && !(e.findings.Episiotomy && countedByCutHas(q)) {
			return q
		}
	}
	return ask
}

// onward is where to go when a question of a stage was answered: its next one,
// or, when the stage is done, the record, which shows what comes next.
func (x *way) onward(stage string) string {
	if x.w.Stage == stage {
		if path, _ := x.besideRescue(); path != "" {
			return path
		}
	}
	return x.path("")
}

// rings: heavy bleeding comes first. Nothing is held back by it.
func (x *way) rings() bool { return slices.Contains(x.stage("safe").Ask, "alarm_seen") }

func (x *way) rescue() string { return "/emergency/bleeding?birth=" + x.b.Birth }

// besideRescue is what would be next if nothing rang: whoever is not at her
// side can write on meanwhile.
func (x *way) besideRescue() (path, key string) {
	for _, ask := range x.stage(x.w.Stage).Ask {
		if ask != "alarm_seen" {
			return x.askPath(ask), x.askKey(ask)
		}
	}
	return "", ""
}

// alarm is what her numbers come to, why, and the way to rescue.
func (x *way) alarm() h.Node {
	if !x.rings() {
		return nil
	}
	v := x.v
	nodes := h.All(h.Section(h.Class("alarm alarm-"+x.w.Alarm),
		h.P(h.Class("alarm-level"), h.Strong(v.t("alarm."+x.w.Alarm))), v.p("alarm."+x.w.Alarm+"_do"),
		h.Ul(h.Class("because"), h.Map(x.w.AlarmOn, func(key string) h.Node { return h.Li(v.t("reason." + key)) }))),
		v.next(x.rescue(), "alarm.go"))
	links := h.All(v.link(x.path("ask/alarm_seen"), "ask.alarm_seen"))
	if path, key := x.besideRescue(); path != "" {
		links.Add(v.link(path, key))
	}
	return append(nodes, more(links))
}

// page is a page of this way.
func (x *way) page(title, place string) page {
	return page{title: title, place: place, birth: x.b, clinical: true, body: []h.Node{x.warnings()}}
}

// warnings must be in sight whatever page is open.
func (x *way) warnings() h.Node {
	dangers := urgent(x.w.Warnings)
	var others []string
	for _, key := range x.w.Warnings {
		if !slices.Contains(dangers, key) {
			others = append(others, key)
		}
	}
	return h.All(x.warned("problem warnings", dangers), x.warned("caution warnings", others))
}

// warned is a box of warnings: what may hurt her looks like an alarm, and
// stands before what is only to be borne in mind.
func (x *way) warned(class string, keys []string) h.Node {
	if len(keys) == 0 {
		return nil
	}
	return note(class, h.Ul(h.Map(keys, func(key string) h.Node {
		if key == "over_limit" {
			return h.Li(x.v.overLink(x.b))
		}
		if to := map[string]string{"fever": x.feverPath(), "need_missing": x.path("needs")}[key]; to != "" {
			return h.Li(h.A(h.Href("#"+to), x.v.t("warning."+key)))
		}
		return h.Li(x.v.t("warning." + key))
	})))
}

func (x *way) feverPath() string { return "/emergency/fever?birth=" + x.b.Birth }

// stages is the way at a glance: done, here, ahead, each a shape and a word.
func (x *way) stages() h.Node {
	v := x.v
	var items h.Group
	for _, s := range x.w.Stages {
		if s.State == "not_needed" {
			continue
		}
		state := s.State
		items.Add(h.Li(h.Class("stage is-"+state), h.If(state == "open", h.Attr("aria-current", "step")),
			h.A(h.Href("#"+x.path("stage/"+s.Key)), v.icon(stageDrawing[s.Key]), h.Span(h.Class("stage-name"), v.t("stagename."+s.Key)),
				h.Text(" "), v.stageState(state))))
	}
	return h.Ol(h.Class("way"), h.Attr("aria-label", v.s("way.label")), items)
}

// stageState is a shape and a word: still to come looks like not examined.
func (v *visit) stageState(state string) h.Node {
	look := map[string]string{"done": "said", "open": "now"}[state]
	return h.Span(h.Class("stage-state state state-"+orElse(look, "open")), v.t("stagestate."+state))
}

// timers are what runs against the clock; on paper nothing can count, and a
// note says since when. A tap on one leads to what stops it.
func (x *way) timers(onPaper bool) h.Node {
	var items h.Group
	for _, t := range x.byUrgency() {
		if t.State != "done" && !(onPaper && t.Kind == "open") {
			items.Add(x.timer(t, x.timerName(t.Key, onPaper), onPaper))
		}
	}
	if len(items) == 0 {
		return nil
	}
	return h.Section(h.H2(x.v.t("timer.title")), h.Ul(h.Class("timers"), items))
}

// byUrgency is what is over, then what is due soonest, then what has no hour.
func (x *way) byUrgency() []companion.TimerReply {
	rank := func(t companion.TimerReply) string {
		switch {
		case t.State == "over":
			return ""
		case t.Due == "":
			return "~"
		}
		return t.Due // RFC 3339 in UTC: its letters are in the order of time
	}
	list := slices.Clone(x.w.Timers)
	for i := range list {
		for ; i > 0 && rank(list[i]) < rank(list[i-1]); i-- {
			list[i], list[i-1] = list[i-1], list[i]
		}
	}
	return list
}

func (x *way) timer(t companion.TimerReply, name h.Node, onPaper bool) h.Node {
	return h.Li(h.Class("timer is-"+t.State), x.v.icon(timerDrawing[t.Key]),
		name, h.Text(" "), h.Span(h.Class("timer-state"), x.timerState(t, onPaper)),
		h.If(t.Doubt, h.Span(h.Class("timer-doubt"), h.Text(" "), x.v.t("timer.doubt"))))
}

// timerOf is the timer that a question's answer stops, beside the question.
func (x *way) timerOf(question string) h.Node {
	for _, t := range x.w.Timers {
		if t.State != "done" && t.Kind == "wait" && stopsTimer[t.Key] == question {
			return h.Ul(h.Class("timers"), x.timer(t, h.Span(h.Class("timer-name"), x.v.t("timer."+t.Key)), false))
		}
	}
	return nil
}

// stopsTimer is the question whose answer stops a timer, or begins it anew.
var stopsTimer = map[string]string{
	"first_urine": "urine_passed", "wait_numb": "numb_felt", "tranexamic": "tranexamic_given", "tampon_in": "tampon",
	"early_checks": "early_check", "second_pressure": "second_systolic", "antibiotic": "antibiotic_given",
}

func (x *way) timerName(key string, onPaper bool) h.Node {
	if onPaper {
		return h.Span(h.Class("timer-name"), x.v.t("timer."+key))
	}
	return h.A(h.Class("timer-name"), h.Href("#"+x.askPath(stopsTimer[key])), x.v.t("timer."+key))
}

func (x *way) timerState(t companion.TimerReply, onPaper bool) h.Node {
	v := x.v
	switch {
	case t.State == "unknown":
		return v.t("timer.unknown")
	case t.Kind == "open":
		return h.All(v.t("timer.since"), h.Text(" "), v.since(t.Since))
	case t.State == "over" && t.Kind == "wait":
		return v.t("timer.go_on")
	case t.State == "over" && t.Kind == "window":
		return v.t("timer.no_longer")
	case t.State == "over":
		return h.All(h.Strong(v.t("timer.overdue")), h.Text(" "), v.due(t.Due))
	}
	if left := v.left(t.Due); t.Kind == "wait" && !t.Doubt && !onPaper && left != nil {
		return h.All(v.t("timer.still"), h.Text(" "), left)
	}
	return h.All(v.t("timer.until"), h.Text(" "), v.due(t.Due))
}

// stagePage is one stage: what it asks, what was answered, what to know.
func stagePage(x *way) page {
	v, key := x.v, x.v.step(3)
	s := x.stage(key)
	if s.State == "" {
		return notFound(v)
	}
	p := x.page("stagename."+key, "place.way")
	if len(s.Ask) > 0 {
		p.add(v.next(x.askPath(s.Ask[0]), x.askKey(s.Ask[0])))
	} else {
		p.add(h.P(v.t("stagestate." + s.State)))
	}
	p.add(x.asked(key), x.stageLinks(key), x.changed())
	if key == "examine" || key == "decide" {
		p.add(x.refused())
	}
	p.add(x.stageGuide(key), more(v.link(x.path(""), "close.no")))
	return p
}

// asked lists a stage's questions with the answers that stand. What is asked
// on some ways only stands there once it is; in the first and the last hour
// all may be told, though nothing waits for it: what was lost, a second
// pressure.
func (x *way) asked(stage string) h.Node {
	var items h.Group
	for _, q := range x.table(stage) {
		answer := x.answerTo(q.Key)
		always := q.Needed || (stage == "safe" || stage == "after") && !onItsWay[q.Key]
		if answer == nil && !always && !slices.Contains(x.stage(stage).Ask, q.Key) {
			continue
		}
		items.Add(h.Li(h.A(h.Href("#"+x.questionPath(q)), h.Span(h.Class("finding-name"), x.v.t("ask."+q.Key)), h.Text(" "), x.answerState(q, answer))))
	}
	if len(items) == 0 {
		return nil
	}
	return h.Ul(h.Class("findings"), items)
}

// questionPath is askPath, but an alarm that was seen to is looked at again by
// its question.
func (x *way) questionPath(q companion.QuestionReply) string {
	if q.Key == "alarm_seen" {
		return x.path("ask/alarm_seen")
	}
	return x.askPath(q.Key)
}

// onItsWay are asked only after something else, or told where a medicine is.
var onItsWay = map[string]bool{"alarm_seen": true, "allergy_second": true, "allergy_third": true, "allergy_which": true, "antibiotic_given": true}

func (x *way) answerState(q companion.QuestionReply, a *companion.AnswerReply) h.Node {
	if a == nil {
		return h.Span(h.Class("state state-open"), x.v.t("value.not_asked"))
	}
	look := "said"
	switch a.Value {
	case "unsure", "unknown":
		look = "unsure"
	case "not_measured", "not_yet", "cannot_answer":
		look = "open"
	}
	return h.Span(h.Class("state state-"+look), h.Span(x.said(q.Key, a)))
}

// stageLinks are what belongs to a stage beside its questions.
func (x *way) stageLinks(stage string) h.Node {
	v := x.v
	switch stage {
	case "examine":
		return more(v.link(x.path("examine"), "examine.title"), v.link(x.path("grade"), "record.grade"))
	case "decide":
		return more(v.link(x.path("needs"), "needs.title"), v.link(x.path("refer"), "refer.title"))
	case "prepare":
		return more(v.link(x.path("layout"), "layout.title"), v.link(x.path("count"), "count.title"), v.link(x.path("count/added"), "count.added"))
	case "numb":
		return more(v.link(x.path("numb"), "numb.title"), v.link(x.path("dose"), "record.dose"))
	case "repair":
		return more(v.link(x.path("repair"), "repair.title"))
	case "check":
		return more(v.link(x.path("count"), "count.title"))
	case "after":
		return more(v.link(x.path("after"), "after.title"), v.link(x.path("advice"), "advice.title"))
	case "visits":
		return more(v.link(x.path("visits"), "visits.title"))
	}
	return nil
}

// changed says what is not as it was when the decision was taken.
func (x *way) changed() h.Node {
	if len(x.w.Changed) == 0 {
		return nil
	}
	v := x.v
	var items h.Group
	for _, key := range x.w.Changed {
		switch key {
		case "grade":
			items.Add(h.Li(v.t("changed.grade", "was", v.s("grade."+x.w.WasGrade), "now", v.s("grade."+x.w.Grade))))
		case "treat_as":
			items.Add(h.Li(v.t("changed.treat_as", "was", v.s("grade."+x.w.WasTreatAs), "now", v.s("grade."+x.w.TreatAs))))
		case "buttonhole":
			items.Add(h.Li(v.t("changed.buttonhole")))
		default:
			items.Add(h.Li(v.t("finding." + key)))
		}
	}
	return h.Section(h.Class("caution"), h.H2(v.t("changed.title")), h.Ul(items), v.p("changed.what"))
}

// declinedFacts are what she said no to: it stands on the notes whatever was
// found or stitched since.
func (x *way) declinedFacts() (list []fact) {
	for _, q := range []string{"consent_exam", "consent_repair"} {
		if a := x.answerTo(q); a != nil && a.Value == "declined" {
			list = append(list, fact{x.label(q), []string{x.v.plain(x.said(q, a))}})
		}
	}
	return list
}

// declinedExam stands on every page of an examination that she said no to.
func (v *visit) declinedExam(b *companion.BirthReply) h.Node {
	if b == nil {
		return nil
	}
	x := &way{v: v, b: b}
	if a := x.answerTo("consent_exam"); a == nil || a.Value != "declined" {
		return nil
	}
	return note("caution warnings", v.p("warning.exam_declined"), more(v.link(x.path("ask/consent_exam"), "ask.consent_exam")))
}

// declinedRepair stands where she would be numbed for it.
func (v *visit) declinedRepair(b *companion.BirthReply) h.Node {
	x := &way{v: v, b: b}
	if a := x.answerTo("consent_repair"); a == nil || a.Value != "declined" {
		return nil
	}
	return note("caution warnings", v.p("warning.repair_declined"), more(v.link(x.path("ask/consent_repair"), "ask.consent_repair")))
}
