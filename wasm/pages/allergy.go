package pages

import (
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// item is one line of guidance. No antibiotic is spoken of before her allergies
// were asked for: until then the question stands in its place. The emergency
// pages do not come here; nothing stands before rescue.
func (x *way) item(page string, it companion.PageItem) h.Node {
	v := x.v
	if !strings.HasSuffix(it.Key, "antibiotic") {
		return v.guideItem(page, it)
	}
	if ask := x.allergyAsk(); ask != "" {
		return note("caution", h.All(v.p("allergy.first"), more(v.link(x.askPath(ask), x.askKey(ask)))))
	}
	plan, fault := x.aftercare()
	if fault != nil {
		return v.guideItem(page, it)
	}
	nodes := h.All(v.guideItem(page, it), x.namedAllergies())
	for _, m := range plan.Medicines {
		if m.Key == "antibiotic" {
			nodes.Add(x.medicine(m))
		}
	}
	return nodes
}

// allergyQuestions are asked one after the other, as the core has them.
var allergyQuestions = []string{"allergy", "allergy_second", "allergy_third"}

// allergyAsk is the first question of her allergies that is still open; "" when
// she was asked to the end, be it that nobody knows.
func (x *way) allergyAsk() string {
	for _, q := range allergyQuestions {
		a := x.answerTo(q)
		if a == nil {
			return q
		}
		if a.Value == "none" || a.Value == "unknown" {
			return ""
		}
	}
	return ""
}

// allergyFact is all that she named, in one line of a note; a question that is
// still open is said there, because silence reads as none.
func (x *way) allergyFact() fact {
	v := x.v
	var said []string
	for _, q := range allergyQuestions {
		a := x.answerTo(q)
		switch {
		case a == nil:
			said = append(said, v.s(openAllergy(said)))
		case q == "allergy" || a.Value != "none":
			said = append(said, x.allergyWords(q, a))
		}
		if a == nil || a.Value == "none" || a.Value == "unknown" {
			break
		}
	}
	return fact{x.label("allergy"), []string{strings.Join(said, v.s("note.semicolon")+" ")}}
}

func openAllergy(said []string) string {
	if said == nil {
		return "allergy.not_asked"
	}
	return "allergy.not_asked_on"
}

// allergyWords is one allergy; another one in the words that were written.
func (x *way) allergyWords(question string, a *companion.AnswerReply) string {
	if which := x.answerTo("allergy_which"); a.Value == "other" && which != nil && which.Text != "" {
		return x.v.own(which.Text)
	}
	return x.v.plain(x.said(question, a))
}

// namedAllergies are what she does not bear, in words, or that nobody knows.
func (x *way) namedAllergies() h.Node {
	v := x.v
	var items h.Group
	for _, q := range allergyQuestions {
		a := x.answerTo(q)
		if a == nil || a.Value == "none" {
			break
		}
		items.Add(h.Li(h.Text(x.allergyWords(q, a))))
	}
	if len(items) == 0 {
		return nil
	}
	return note("caution", h.All(v.p("allergy.named"), h.Ul(items)))
}
