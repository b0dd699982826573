package pages

import (
	"strconv"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// reminder is the page for the birth itself: what spares the perineum, and the
// cut only with an indication. It needs no record.
func reminder(v *visit) page {
	p := page{title: "reminder.title", place: "place.reminder", quick: true, clinical: true}
	p.body = append(p.body,
		h.Div(h.Class("frames"), h.Figure(h.Class("drawing"), v.drawing("warm_compress")), h.Figure(h.Class("drawing"), v.drawing("hands_on")), h.Figure(h.Class("drawing"), v.drawing("slow_crowning"))),
		v.guideList("birth_reminder"), v.angle())
	return p
}

// angle says what a cut at crowning becomes once sutured.
func (v *visit) angle() h.Node {
	form := v.getForm("/reminder", v.field(field{name: "deg", value: v.query.Get("deg"), label: "angle.at_crowning", unit: "degrees", mode: "numeric", most: "3", problem: v.angleFault()}), v.submit("angle.work_out"))
	nodes := h.All(h.H2(v.t("angle.title")), form)
	if r, fault := v.askAngle(); fault == nil && r != nil {
		nodes.Add(h.P(h.Class("beside"), v.t("angle.after"), h.Text(" "), v.unit("degrees", strconv.Itoa(r.AfterBirthDeg))), v.p("angle."+r.Verdict),
			v.source("Kalis 2008 IJGO 103:5-8; Kalis 2011 IJGO 112:220-4; Kapoor 2015 IUJ", "FOUND"))
	}
	return h.Section(nodes)
}

func (v *visit) askAngle() (*companion.AngleReply, *companion.Fault) {
	text := v.typed("deg")
	if text == "" {
		return nil, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		return nil, &companion.Fault{Code: companion.FaultAmount, Field: "deg"}
	}
	var r companion.AngleReply
	if f := v.ask("episiotomy.angle", &companion.AngleRequest{AtCrowningDeg: &n}, &r); f != nil {
		return nil, f
	}
	return &r, nil
}

func (v *visit) angleFault() string {
	_, fault := v.askAngle()
	return v.faultKey(fault)
}
