package pages

import (
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// item is one line of guidance. No antibiotic is spoken of before her allergies
// were asked for: until then the question stands in its place. The emergency
// pages do not come here; nothing stands before rescue.
func (x way) item(page string, it companion.PageItem) h.Node {
	v := x.v
	if !strings.HasSuffix(it.Key, "antibiotic") {
		return v.guideItem(page, it)
	}
	if ask := x.allergyAsk(); ask != "" {
		return note("caution", h.Group{v.p("allergy.first"), more(v.link(x.askPath(ask), x.askKey(ask)))})
	}
	plan, fault := x.aftercare()
	if fault != nil {
		return v.guideItem(page, it)
	}
	nodes := h.Group{v.guideItem(page, it), x.namedAllergies()}
	for _, m := range plan.Medicines {
		if m.Key == "antibiotic" {
			nodes = append(nodes, x.medicine(m))
		}
	}
	return nodes
}

// allergyQuestions are asked one after the other, as the core has them.
var allergyQuestions = []string{"allergy", "allergy_second", "allergy_third"}

// allergyAsk is the first question of her allergies that is still open; "" when
// she was asked to the end, be it that nobody knows.
func (x way) allergyAsk() string {
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

// namedAllergies are what she does not bear, in words, or that nobody knows.
func (x way) namedAllergies() h.Node {
	v := x.v
	var items h.Group
	for _, q := range allergyQuestions {
		a := x.answerTo(q)
		if a == nil || a.Value == "none" {
			break
		}
		if which := x.answerTo("allergy_which"); a.Value == "other" && which != nil && which.Text != "" {
			items = append(items, h.Li(h.Text(which.Text)))
			continue
		}
		items = append(items, h.Li(x.said(q, a)))
	}
	if len(items) == 0 {
		return nil
	}
	return note("caution", h.Group{v.p("allergy.named"), h.Ul(items)})
}
