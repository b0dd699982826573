package pages

import (
	"slices"
	"strconv"
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

func (x *way) plan() companion.RepairReply {
	var r companion.RepairReply
	x.v.must("birth.repair", &companion.BirthRequest{Birth: x.b.Birth}, &r)
	return r
}

// repairPage is the plan, layer by layer from deep to shallow.
func repairPage(x *way) page {
	v := x.v
	plan := x.plan()
	if layer := v.step(3); layer != "" {
		at := slices.IndexFunc(plan.Layers, func(l companion.RepairLayer) bool { return l.Layer == layer })
		if at < 0 {
			return notFound(v)
		}
		return layerPage(x, plan, plan.Layers[at])
	}
	p := x.page("repair.title", "place.repair")
	if v.posted() {
		if _, fault := v.save("birth.answer", &companion.AnswerRequest{Birth: x.b.Birth, Question: "repair_finished", Value: "yes", Despite: v.despite()}); fault != nil {
			p.add(v.problem(v.faultKey(fault)))
		} else {
			return page{to: x.fresh().path("")}
		}
	}
	p.add(x.whoMay(plan), h.If(plan.Allowed != "nothing", x.doFirst()), x.changed(), x.stitchedSoFar(), x.layerList(plan),
		x.cutItems(), x.repairItems("before"), x.repairItems("assist"), x.repairItems("after"))
	if open := x.openLayers(plan); plan.Allowed != "nothing" && len(open) > 0 && v.query.Get("finished") == "" {
		p.add(more(v.link(x.path("repair?finished=ask"), "repair.finished")))
	} else if plan.Allowed != "nothing" {
		if len(open) > 0 {
			p.add(h.Section(h.Class("caution"), h.P(h.Strong(v.t("repair.still_open"))), h.Ul(h.Map(open, func(key string) h.Node { return h.Li(v.t("finding." + key)) }))))
		}
		p.add(x.writeDown(x.path("repair"), h.Button(h.Class("answer"), h.Type("submit"), v.t("repair.finished"))))
	}
	p.add(more(v.link(x.path("count/added"), "count.added"), v.link(x.path("stage/repair"), "stagename.repair")))
	return p
}

// openLayers are the layers of the plan that nobody said are closed.
func (x *way) openLayers(plan companion.RepairReply) (open []string) {
	for _, l := range plan.Layers {
		if !x.layerDone(l.Layer) {
			open = append(open, l.Layer)
		}
	}
	return open
}

// whoMay says whether it may be stitched here, and by whom.
func (x *way) whoMay(plan companion.RepairReply) h.Node {
	v := x.v
	class := "plan"
	if plan.Allowed == "trained_only" || plan.Allowed == "leave_open" {
		class += " is-refer"
	}
	nodes := h.All(h.P(h.Strong(v.t("allowed." + plan.Allowed))))
	if plan.Allowed == "here" && plan.By == "trained_operator" {
		nodes = h.All(h.P(h.Strong(v.t("allowed.by_trained"))))
	}
	for _, key := range plan.Because {
		nodes.Add(v.p("why." + key))
	}
	if x.buttonhole() {
		nodes.Add(x.buttonholeItems())
	}
	if x.old() {
		nodes.Add(v.source("WHO, Managing complications in pregnancy and childbirth, P-89 and P-90; A Book for Midwives, 2010, chapter 19, for grades 1 and 2", "from memory: MCPC"))
	}
	if plan.Allowed == "leave_open" {
		nodes.Add(more(v.link(x.path("needs"), "needs.title"), v.link(x.path("refer"), "refer.title")))
	}
	if plan.Allowed == "trained_only" {
		nodes.Add(x.repairItems("prepare"), more(v.link(x.path("refer"), "refer.title")))
	}
	return h.Section(h.Class(class), nodes)
}

// repairItems are the general items of the guidance under one head.
func (x *way) repairItems(head string) h.Node {
	var nodes h.Group
	for _, it := range x.v.guide("repair") {
		if belongs(it.Key, head) {
			nodes.Add(x.item("repair", it))
		}
	}
	if len(nodes) == 0 {
		return nil
	}
	return h.Details(h.Class("source"), h.Summary(x.v.t("repair."+head)), nodes)
}

// cutItems is what to know of a cut before it is closed.
func (x *way) cutItems() h.Node {
	if !x.b.Findings.Episiotomy {
		return nil
	}
	return x.someOf("repair", func(it companion.PageItem) bool { return belongs(it.Key, "episiotomy") })
}

func (x *way) layerDone(layer string) bool {
	for _, l := range x.b.Layers {
		if l.Layer == layer {
			return l.Done
		}
	}
	return false
}

// stitchedSoFar is the perineum with what is closed already.
func (x *way) stitchedSoFar() h.Node {
	return x.v.perineum(birthTear(x.v, x.b), false, "")
}

func (x *way) layerList(plan companion.RepairReply) h.Node {
	v := x.v
	var items h.Group
	for _, l := range plan.Layers {
		state := "ahead"
		if x.layerDone(l.Layer) {
			state = "done"
		}
		items.Add(h.Li(h.A(h.Href("#"+x.path("repair/"+l.Layer)), v.drawing(l.Drawing+"/1"), h.Span(h.Class("finding-name"), v.t("finding."+l.Layer)),
			h.Text(" "), v.stageState(state), h.If(l.IfTorn, h.Span(h.Class("quiet"), v.t("repair.if_torn"))))))
	}
	return h.Ol(h.Class("findings layers"), items)
}

// layerPage holds still while the hands are busy: all frames, all words, the
// phone awake, read aloud where it has a voice. The one tap comes when the
// layer is done.
func layerPage(x *way, plan companion.RepairReply, l companion.RepairLayer) page {
	v := x.v
	p := x.page("finding."+l.Layer, "place.repair")
	if v.posted() {
		if _, fault := v.save("birth.layer", &companion.LayerRequest{Birth: x.b.Birth, Layer: l.Layer, Done: v.form.Get("done") == "yes", Despite: v.despite()}); fault != nil {
			p.add(v.problem(v.faultKey(fault)))
		} else {
			return page{to: x.fresh().nextLayer(plan, l.Layer)}
		}
	}
	p.add(h.If(plan.Allowed == "trained_only", v.caution("allowed.trained_only")),
		h.If(!x.layerDone(l.Layer), x.doFirst()), x.neverFirst(l.Layer), x.rowsToSay(l.Layer),
		h.Div(h.Class("frames"), v.frames(l.Drawing)),
		h.Button(h.Class("answer"), h.Type("button"), h.ID("aloud"), h.Data("aloud", "#stitch"), h.Attr("hidden"), v.t("repair.aloud")),
		h.Div(h.ID("stitch"), h.Data("awake", ""), x.layerFacts(l), x.layerSteps(l.Layer)),
		x.layerSources(l),
		x.layerForm(l.Layer),
		more(v.link(x.path("repair"), "repair.title"), v.link(x.path("count/added"), "count.added")))
	return p
}

// rowsToSay asks at the muscle, before the first stitch, whether it is torn deep:
// then it is closed in two rows. Nothing waits for the answer, and without one
// the words say when a second row is needed.
func (x *way) rowsToSay(layer string) h.Node {
	if layer != "perineal_muscle" {
		return nil
	}
	v := x.v
	nodes := h.All(x.someOf("repair", func(it companion.PageItem) bool { return belongs(it.Key, "muscle_deep") }))
	if a := x.answerTo("muscle_deep"); a != nil {
		nodes.Add(h.P(v.t("ask.muscle_deep"), h.Text(" "), h.Strong(x.said("muscle_deep", a))))
	}
	return append(nodes, more(v.link(x.askPath("muscle_deep"), "ask.muscle_deep")))
}

// neverFirst is the one thing never to do in a layer, in sight before the first
// stitch; it stands with the steps once more, which are read aloud.
func (x *way) neverFirst(layer string) h.Node {
	for _, it := range x.layerItems(layer) {
		if belongs(it.Key, layer+"_never") || it.Key == "buttonhole_never" {
			return x.v.guideItem("repair", it)
		}
	}
	return nil
}

func (x *way) layerForm(layer string) h.Node {
	v, path := x.v, x.path("repair/"+layer)
	if x.layerDone(layer) {
		return v.postForm(path, hidden("done", "no"), h.Button(h.Class("answer"), h.Type("submit"), v.t("repair.not_done")))
	}
	return x.writeDown(path, v.submit("repair.done"), hidden("done", "yes"))
}

// nextLayer is the next layer of the plan that is not closed, or the plan.
func (x *way) nextLayer(plan companion.RepairReply, from string) string {
	after := false
	for _, l := range plan.Layers {
		if after && !x.layerDone(l.Layer) {
			return x.path("repair/" + l.Layer)
		}
		after = after || l.Layer == from
	}
	return x.onward("repair")
}

// layerFacts are thread and technique, as the plan has them.
func (x *way) layerFacts(l companion.RepairLayer) h.Node {
	v := x.v
	fact := func(key string, value h.Node) h.Node { return h.All(h.Dt(v.t(key)), h.Dd(value)) }
	facts := h.All(
		fact("layer.thread", h.All(number(l.Size), h.Text(" "), v.t("material."+l.Material))),
		fact("layer.technique", v.t("technique."+l.Technique)),
		fact("layer.begin", h.All(v.t("place_on."+l.Begin), h.If(l.BeginMm != nil, x.millimetres(l.BeginMm)))),
		h.If(l.SpacingMm != nil, fact("layer.spacing", x.millimetres(l.SpacingMm))),
		fact("layer.end", v.t("place_on."+l.End)),
		fact("layer.knot", v.t("knot."+l.Knot)),
		h.If(l.Rows > 1, fact("layer.rows", number(strconv.Itoa(l.Rows)))),
	)
	return h.Dl(h.Class("facts"), facts)
}

func (x *way) millimetres(n *int) h.Node {
	if n == nil {
		return nil
	}
	return h.All(h.Text(" "), x.v.unit("mm", strconv.Itoa(*n)))
}

// buttonholeItems are what a hole behind a whole ring asks for, in sight and
// not behind a tap.
func (x *way) buttonholeItems() (nodes h.Group) {
	for _, it := range x.v.guide("repair") {
		if belongs(it.Key, "buttonhole") && it.Key != "buttonhole_end" {
			nodes.Add(x.v.guideItem("repair", it))
		}
	}
	return nodes
}

// layerItems are the guidance's words for one layer. A buttonhole has its own
// words for the lining, and its warning stands at the vagina too.
func (x *way) layerItems(layer string) (items []companion.PageItem) {
	all := x.v.guide("repair")
	find := func(key string) int {
		return slices.IndexFunc(all, func(it companion.PageItem) bool { return it.Key == key })
	}
	hole := (layer == "anorectal_mucosa" || layer == "vaginal_mucosa") && x.buttonhole()
	for _, it := range all {
		rest, mine := strings.CutPrefix(it.Key, layer+"_")
		if !mine {
			continue
		}
		if own := find("buttonhole_" + rest); hole && own >= 0 && layer == "anorectal_mucosa" && rest != "never" {
			it = all[own]
		}
		items = append(items, it)
	}
	if at := find("buttonhole_never"); hole && at >= 0 {
		items = append([]companion.PageItem{all[at]}, items...)
	}
	return items
}

// layerSteps are the words of one layer, in the order of the hands.
func (x *way) layerSteps(layer string) h.Node {
	v := x.v
	var steps, never h.Group
	for _, it := range x.layerItems(layer) {
		_, rest, _ := strings.Cut(strings.TrimPrefix(it.Key, layer), "_")
		text := v.sourced("guide.repair."+it.Key, it.Source, it.Read)
		if it.Kind == "caution" || strings.HasPrefix(rest, "never") {
			never.Add(note("caution", h.Div(h.Data("say", ""), text)))
			continue
		}
		steps.Add(h.Li(text))
	}
	return h.All(h.Ol(h.Class("steps"), steps), never)
}

func (x *way) layerSources(l companion.RepairLayer) h.Node {
	v := x.v
	var nodes h.Group
	for _, s := range l.Sources {
		nodes.Add(v.citation(s.Source, s.Read))
	}
	return h.Details(h.Class("source"), h.Summary(v.t("source.show")), nodes)
}
