package pages

import (
	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// toxicityPath is the emergency page, and the way back to a birth.
func toxicityPath(b *companion.BirthReply) string {
	path := "/emergency/toxicity?over=yes"
	if b != nil {
		path += "&birth=" + b.Birth
	}
	return path
}

// overLimit stands wherever her doses do, as long as they are above the limit:
// the page that said so may have been missed. Without a record, or below the
// limit, it is nil.
func (v *visit) overLimit(b *companion.BirthReply) h.Node {
	if b == nil || b.OverLimit == nil {
		return nil
	}
	return h.Section(h.Class("alarm alarm-crisis"), h.P(h.Strong(v.t("limit.over"))), h.P(h.Text(v.overText(b.OverLimit))), v.p("limit.over_do"),
		h.A(h.Class("answer is-alarm"), h.Href("#"+toxicityPath(b)), v.t("emergency.toxicity")))
}

// overLink is its line among the warnings.
func (v *visit) overLink(b *companion.BirthReply) h.Node {
	return h.A(h.Href("#"+toxicityPath(b)), v.t("warning.over_limit"))
}

// overText says how much was given, and the limit.
func (v *visit) overText(o *companion.OverReply) string {
	if o.LimitMg == "" {
		return v.s("over.no_limit", "given", v.unitText("mg", o.GivenMg))
	}
	key := "over.both"
	if o.WeightAssumed {
		key = "over.both_assumed"
	}
	return v.s(key, "given", v.unitText("mg", o.GivenMg), "limit", v.unitText("mg", o.LimitMg))
}

// overFact stands below the drugs of a note.
func (x *way) overFact() []fact {
	if x.b.OverLimit == nil {
		return nil
	}
	return []fact{{"limit.over", []string{x.v.overText(x.b.OverLimit)}}}
}
