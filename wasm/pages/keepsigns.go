package pages

import (
	"strconv"
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// The numbers of the bleeding form go into the record of the birth it was
// opened for, when somebody taps so: after the rescue was read, never before.

// keepOffer is that one tap; nil without a birth that takes it, or numbers.
func (v *visit) keepOffer(b *companion.BirthReply) h.Node {
	a := v.assessed()
	if a == nil || b == nil || b.Closed {
		return nil
	}
	if v.query.Get("kept") != "" {
		return note("guide", v.p("bleeding.kept"))
	}
	name := b.Number
	if b.Bed != "" {
		name += " · " + v.s("bar.bed", "bed", b.Bed)
	}
	fields := []h.Node{hidden("lost_ml", a.LostMl)}
	for _, sign := range []string{"pulse", "systolic", "diastolic"} {
		fields = append(fields, hidden(sign, v.typed(sign)))
	}
	return v.postForm(v.path, append(fields, h.Button(h.Class("answer"), h.Type("submit"), v.t("bleeding.keep", "birth", name)))...)
}

// keepSigns writes them, each as the answer that it is. What was told is kept
// even where one of them is refused, and the fault is the first.
func (v *visit) keepSigns(b *companion.BirthReply) (first *companion.Fault) {
	for _, q := range []struct{ question, text string }{
		{"loss_ml", wholeUp(v.form.Get("lost_ml"))}, {"pulse", v.form.Get("pulse")}, {"systolic", v.form.Get("systolic")}, {"diastolic", v.form.Get("diastolic")},
	} {
		r := &companion.AnswerRequest{Birth: b.Birth, Question: q.question}
		n, err := strconv.Atoi(q.text)
		switch {
		case err != nil || q.question == "loss_ml" && n <= lossSoFar(b):
			continue
		case n == 0 && q.question != "loss_ml":
			r.Value = "none" // the form says that 0 is not to be felt
		default:
			r.Number = &n
		}
		if _, fault := v.save("birth.answer", r); first == nil {
			first = fault
		}
	}
	return first
}

// lossSoFar is what the record says already. Blood that is lost adds up, so a
// smaller number takes nothing back here; -1 when nothing was told.
func lossSoFar(b *companion.BirthReply) int {
	for _, a := range b.Answers {
		if a.Question == "loss_ml" && a.Number != nil {
			return int(*a.Number)
		}
	}
	return -1
}

// wholeUp rounds a loss up to the millilitre.
func wholeUp(ml string) string {
	whole, part, _ := strings.Cut(ml, ".")
	n, err := strconv.Atoi(whole)
	if err != nil || part == "" {
		return whole
	}
	return strconv.Itoa(n + 1)
}

// keepingSigns answers the tap; false when there was none, or it failed.
func (v *visit) keepingSigns(p *page) (done bool) {
	if !v.posted() || p.birth == nil {
		return false
	}
	if fault := v.keepSigns(p.birth); fault != nil {
		p.add(v.problem(v.faultKey(fault)))
		return false
	}
	p.to = v.path + "&kept=yes"
	return true
}

// bleedingLinks lead back to the record, and to what else belongs into it.
func (v *visit) bleedingLinks(b *companion.BirthReply) h.Node {
	var links h.Group
	x := v.way(b)
	if x.rings() {
		links.Add(v.link(x.path("ask/alarm_seen"), "ask.alarm_seen"))
	}
	return append(links, v.link(x.path("ask/tranexamic_given"), "ask.tranexamic_given"), v.link(x.path("ask/loss_ml"), "ask.loss_ml"))
}
