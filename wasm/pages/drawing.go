package pages

import (
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
	"fourchette/wasm/shell/drawings"
)

// This is the only file that puts ready-made markup on a page: the drawings,
// which escape what they are handed.

func (v *visit) icon(name string) h.Node { return h.Raw(drawings.Icon(name)) }

// drawing is an icon, a figure or a frame by its name, or several with spaces
// between, for what is done one after the other; none is no picture.
func (v *visit) drawing(names string) h.Node {
	var all h.Group
	for _, name := range strings.Fields(names) {
		all.Add(h.Raw(drawings.Named(name)))
	}
	return all
}

// frames is the needle's path through one layer, step by step.
func (v *visit) frames(layer string) h.Node {
	var all h.Group
	for step := 1; step <= drawings.LayerSteps(layer); step++ {
		all.Add(h.Figure(h.Class("drawing frame"), h.Raw(drawings.Layer(layer, step))))
	}
	return all
}

// perineum is the drawing with what was found so far. With tap each layer
// leads to its question.
func (v *visit) perineum(e exam, tap bool, asked string) h.Node {
	region := func(name string) drawings.Region {
		r := drawings.Region{Look: e.shape(name), Label: v.s("drawing.region", "name", v.s("finding."+name), "state", v.stateWord(e, name))}
		if tap {
			r.Href = "#" + e.path("examine/"+name)
		}
		return r
	}
	d := drawings.Perineum{
		PerinealSkin: region("perineal_skin"), VaginalMucosa: region("vaginal_mucosa"), PerinealMuscle: region("perineal_muscle"),
		ExternalSphincter: region("external_sphincter"), InternalSphincter: region("internal_sphincter"), AnorectalMucosa: region("anorectal_mucosa"),
		Label: v.s("drawing.perineum"), Tap: tap, Asked: asked, Close: asked != "",
	}
	var side h.Node
	if e.findings.Episiotomy {
		d.Label = v.s("drawing.perineum_cut")
		side = h.If(asked == "", h.P(h.Class("quiet"), v.t("drawing.cut_side")))
	}
	return h.Figure(h.Class("drawing"), h.Raw(d.SVG()), side)
}

// shape is the look of a layer. What a cut has opened is drawn as a cut; the
// record does not say on which side.
func (e exam) shape(layer string) string {
	cut := e.findings.Episiotomy && countedByCutHas(layer)
	switch {
	case cut && e.stitched(layer):
		return drawings.CutClosed
	case cut:
		return drawings.Cut
	case e.stitched(layer):
		return drawings.Stitched
	}
	return e.value(layer)
}

// questionDrawing shows what a question is about.
func (v *visit) questionDrawing(e exam, q string) h.Node {
	switch q {
	case "episiotomy", "rectal_exam":
		return h.Figure(h.Class("drawing"), v.icon(q))
	}
	return v.perineum(e, false, q)
}

func (v *visit) syringe(r companion.DrawUpReply) h.Node {
	return h.Figure(h.Class("drawing"), h.Raw(drawings.Syringe(r.SyringeUl, r.ShownUl, r.MarkUl)))
}

// stitched says that a layer of the record is closed.
func (e exam) stitched(layer string) bool {
	if e.birth == nil {
		return false
	}
	for _, l := range e.birth.Layers {
		if l.Layer == layer {
			return l.Done
		}
	}
	return false
}
