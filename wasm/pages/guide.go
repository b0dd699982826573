package pages

import (
	"slices"
	"strconv"
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// guide is a page of the pack's guidance for the bedside; a page that the pack
// lacks is empty. Where sources differ one rule is shown here, and the
// difference on the trainer's page.
func (v *visit) guide(name string) []companion.PageItem {
	return slices.DeleteFunc(slices.Clone(v.guideAll(name)), func(it companion.PageItem) bool { return it.Kind == "differ" })
}

// guideAll gives a page as the pack has it, not to be changed. The pack stays
// the same for as long as the program runs, so each page is asked for once.
func (v *visit) guideAll(name string) []companion.PageItem {
	if items, known := v.app.guides[name]; known {
		return items
	}
	var r companion.PageReply
	if f := v.ask("guide.page", &companion.PageRequest{Page: name}, &r); f != nil {
		return nil
	}
	v.app.guides[name] = r.Items
	return r.Items
}

// guidePages are the pack's pages, for the trainer's list.
var guidePages = []string{"birth_reminder", "safe", "examine", "grades", "decide", "infiltrate", "numb", "again", "repair", "count", "check", "aftercare",
	"handover", "refer", "heavy_bleeding", "toxicity", "fits", "fever_sepsis", "cautions"}

// differences is the trainer's page: where published sources differ.
func differences(v *visit) page {
	p := page{title: "differ.title", place: "place.settings", body: []h.Node{v.p("differ.what")}}
	for _, name := range guidePages {
		var found h.Group
		for _, it := range v.guideAll(name) {
			if it.Kind == "differ" {
				found.Add(v.guideItem(name, it))
			}
		}
		if len(found) > 0 {
			p.add(h.H2(v.t("guide."+name+".title")), found)
		}
	}
	p.add(v.ceilings())
	return p
}

// belongs says whether an item is about a key: the key itself, or the key with
// a part behind it ("rectal_exam", "rectal_exam_gloves").
func belongs(item, key string) bool {
	return item == key || strings.HasPrefix(item, key+"_")
}

// guideLine is one line of guidance: its drawing, its words with their source
// one tap behind them, and the way to the page that it speaks of.
func (v *visit) guideLine(page string, it companion.PageItem) h.Group {
	return h.All(v.drawing(it.Drawing), v.sourced("guide."+page+"."+it.Key, it.Source, it.Read), v.guideLink(page, it.Link))
}

// guideItem is one line of guidance in the shape of its kind.
func (v *visit) guideItem(page string, it companion.PageItem) h.Node {
	body := v.guideLine(page, it)
	switch it.Kind {
	case "caution":
		return note("caution", body)
	case "call":
		return note("call", body)
	}
	return h.Div(h.Class("guide guide-"+it.Kind), body)
}

// guideLink leads from an item to the page that it speaks of: an emergency, or
// another part of the same birth.
func (v *visit) guideLink(from, to string) h.Node {
	birth := v.query.Get("birth")
	if v.step(0) == "b" {
		birth = v.step(1)
	}
	path := ""
	for _, e := range emergencies {
		if e.guide == to {
			path = "/emergency/" + e.path
			if birth != "" {
				path += "?birth=" + birth
			}
		}
	}
	if part := map[string]string{"count": "/count", "examine": "/examine", "refer": "/refer"}[to]; part != "" && birth != "" {
		path = "/b/" + birth + part
	}
	if path == "" || from == to || strings.HasPrefix(v.path, path) {
		return nil
	}
	return more(v.link(path, "guide."+to+".title"))
}

// sourced is a text with its source behind it: a tap on the text opens it.
func (v *visit) sourced(key, document, read string) h.Node {
	if document == "" {
		return v.p(key)
	}
	return h.Details(h.Class("sourced"), h.Summary(v.t(key), h.Span(h.Class("hidden"), h.Text(" "), v.t("source.show"))),
		v.citation(document, read))
}

// guideText is the words of one item alone.
func (v *visit) guideText(page, item string) h.Node {
	if key := "guide." + page + "." + item; v.book.Has(key) {
		return v.p(key)
	}
	return nil
}

// guideList is a page of guidance: runs of steps and of signs become lists.
func (v *visit) guideList(page string) h.Node {
	var nodes, run h.Group
	kind, steps := "", 0 // steps are counted on over what stands between them
	flush := func() {
		switch kind {
		case "step":
			nodes.Add(h.Ol(h.Class("steps"), h.Attr("start", strconv.Itoa(steps+1)), run))
			steps += len(run)
		case "sign":
			nodes.Add(h.Ul(h.Class("signs"), run))
		}
		run = nil
	}
	for _, it := range v.guide(page) {
		if it.Kind != kind {
			flush()
			kind = it.Kind
		}
		if kind == "step" || kind == "sign" {
			run.Add(h.Li(v.guideLine(page, it)))
			continue
		}
		nodes.Add(v.guideItem(page, it))
	}
	flush()
	return nodes
}

// gradeGuide is what the grade written down means, what the grade to plan by
// asks for ("3_differ" for a whole degree), and, where the sphincter is or may
// be torn, who repairs it and how she travels. What the grade to plan by means
// is not said: it may be torn, and nobody has seen it.
func (v *visit) gradeGuide(r companion.GradeReply) h.Node {
	var nodes h.Group
	for _, it := range v.guide("grades") {
		degree, _, _ := strings.Cut(it.Key, "_")
		mine := it.Key == r.Grade || it.Key != degree && (degree == r.TreatAs || degree == r.TreatAs[:1])
		if mine || r.Buttonhole && it.Key == "buttonhole" || r.Sphincter && sphincterItems[it.Key] || !r.Settled && it.Key == "unsure_do" {
			nodes.Add(v.guideItem("grades", it))
		}
	}
	return nodes
}

// stageGuide is what the guidance has for a stage beside its questions, which
// say their part where they are asked.
func (x *way) stageGuide(stage string) h.Node {
	page := guideOf(stage)
	questions := x.table("")
	whole := stage == "again" || stage == "check" // what is done there is more than what is asked
	return x.someOf(page, func(it companion.PageItem) bool {
		if whole {
			return it.Key == "tampon" || !slices.ContainsFunc(questions, func(q companion.QuestionReply) bool {
				return guideOf(q.Stage) == page && belongs(it.Key, q.Key)
			})
		}
		return belongs(it.Key, "before") || it.Key == "why" || it.Key == "ask" || belongs(it.Key, "telling")
	})
}

// refused is how she is looked after who does not want to be examined.
func (x *way) refused() h.Node {
	if a := x.answerTo("consent_exam"); a == nil || a.Value != "declined" {
		return nil
	}
	return x.someOf("decide", func(it companion.PageItem) bool { return belongs(it.Key, "exam_refused") })
}

// someOf is those items of a page that are wanted.
func (x *way) someOf(page string, want func(companion.PageItem) bool) h.Node {
	return x.v.someItems(page, want)
}

func (v *visit) someItems(page string, want func(companion.PageItem) bool) h.Node {
	var nodes h.Group
	for _, it := range v.guide(page) {
		if want(it) {
			nodes.Add(v.guideItem(page, it))
		}
	}
	return nodes
}

var sphincterItems = map[string]bool{"sphincter_do": true, "delay": true, "before_travel": true}

// ceilings lists what is published for the agents offered; a row without a
// dose by weight cannot be chosen.
func (v *visit) ceilings() h.Node {
	var choices companion.ChoicesReply
	v.must("guide.choices", &companion.Nothing{}, &choices)
	nodes := h.All(h.H2(v.t("differ.ceilings")), v.chosenCeiling(choices.AnaestheticSource))
	for _, agent := range choices.Agents {
		var table companion.TableReply
		v.must("anaesthetic.table", &companion.AgentRequest{Agent: agent}, &table)
		nodes.Add(h.Ul(h.Class("ceilings"), h.Map(table.Rules, func(r companion.PublishedRule) h.Node { return h.Li(v.ceiling(agent, r)) })))
	}
	return nodes
}

func (v *visit) chosenCeiling(source string) h.Node {
	if source == "lowest" {
		return v.p("differ.chosen_lowest")
	}
	return v.p("differ.chosen_other", "source", source)
}

func (v *visit) ceiling(agent string, r companion.PublishedRule) h.Node {
	form := "dose.plain"
	if r.Adrenaline {
		form = "dose.with_adrenaline_short"
	}
	line := h.All(v.t("agent."+agent), h.Text(" "), v.t(form), h.Text(": "))
	if r.MgPerKg != "" {
		line.Add(v.unit("mg_per_kg", r.MgPerKg), h.Text(" "))
	}
	if r.CapMg != "" {
		line.Add(v.t("differ.at_most", "cap", v.unitText("mg", r.CapMg)))
	}
	if r.MgPerKg == "" {
		line.Add(h.Text(" "), v.t("differ.not_chosen"))
	}
	return h.All(h.P(line), v.citation(r.Document, r.Read))
}
