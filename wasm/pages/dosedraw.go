package pages

import (
	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
	"fourchette/wasm/pages/urlform"
)

func (d doseAsk) drawPath(syringe, ampoule string) string {
	q := keep(d.query)
	for name, value := range map[string]string{"syringe": syringe, "ampoule": ampoule} {
		if value != "" {
			q.Set(name, value)
		}
	}
	return d.base() + "/draw?" + q.Encode()
}

// drawPage tells how often to fill which syringe, from how many ampoules:
// the sizes at hand are asked, none is preselected. How much is worked out
// anew: an amount that came with the address could be another woman's, or from
// before the last injection.
func drawPage(d doseAsk) page {
	v := d.v
	if to := d.next(); to != d.path("limit") {
		return page{to: to}
	}
	if ask, first := d.labelFirst(); first {
		return ask
	}
	r, fault := d.limit()
	if fault != nil || r.Over || r.PriorUnknown || r.RemainingMl == "" || r.RemainingMl == "0" {
		return page{to: d.path("limit")}
	}
	p := d.page("draw.title")
	ml, syringe, ampoule := r.RemainingMl, v.query.Get("syringe"), v.query.Get("ampoule")
	var table companion.TableReply
	v.must("anaesthetic.table", &companion.AgentRequest{Agent: d.agent()}, &table)
	size := func(key string, sizes []string, chosen string, path func(string) string) h.Node {
		var options h.Group
		for _, s := range sizes {
			class := "answer"
			if s == chosen {
				class += " is-chosen"
			}
			options.Add(h.A(h.Class(class), h.Href("#"+path(s)), v.unit("ml", s)))
		}
		return h.Section(h.H2(v.t(key)), h.Div(h.Class("answers sizes"), options))
	}
	p.body = append(p.body,
		d.label(r),
		h.P(v.t("draw.most"), h.Text(" "), h.Strong(v.unit("ml", ml))),
		size("draw.syringe", table.SyringesMl, syringe, func(s string) string { return d.drawPath(s, ampoule) }),
		size("draw.ampoule", table.AmpoulesMl, ampoule, func(s string) string { return d.drawPath(syringe, s) }))
	if syringe != "" && ampoule != "" {
		p.add(v.drawn(ml, syringe, ampoule))
	}
	p.add(more(v.link(d.path("limit"), "given.back")))
	return p
}

func (v *visit) drawn(ml, syringe, ampoule string) h.Node {
	var r companion.DrawUpReply
	if f := v.ask("anaesthetic.draw_up", &companion.DrawUpRequest{VolumeMl: ml, SyringeMl: syringe, AmpouleMl: ampoule}, &r); f != nil {
		return v.problem(v.faultKey(f))
	}
	return h.Section(h.H2(v.t("draw.how")),
		v.syringe(r),
		h.Ol(h.Class("steps"),
			h.Li(v.count("draw.open", r.Ampoules, "size", v.unitText("ml", ampoule))),
			h.If(r.FullFills > 0, h.Li(v.count("draw.full", r.FullFills, "size", v.unitText("ml", syringe)))),
			h.If(r.LastFillMl != "0", h.Li(v.t("draw.last", "to", v.unitText("ml", r.LastFillMl)))),
		),
		h.P(h.Strong(v.t("draw.together"), h.Text(" "), v.unit("ml", r.DrawnMl))),
		h.If(r.NotDrawnMl != "0", v.p("draw.not_drawn", "ml", v.unitText("ml", r.NotDrawnMl), "mark", v.unitText("ml", r.MarkMl))),
		h.If(r.LeftInAmpouleMl != "0", v.p("draw.throw_away", "ml", v.unitText("ml", r.LeftInAmpouleMl))),
		v.caution("draw.caution"))
}

// dilutePage makes a weaker solution from a stronger one.
func dilutePage(d doseAsk) page {
	v := d.v
	if d.agent() == "" {
		return page{to: d.path("agent")}
	}
	p := d.page("dilute.title")
	q := v.query
	var fault *companion.Fault
	asked := q.Has("stock") || q.Has("wanted") || q.Has("make")
	if asked {
		var r companion.DiluteReply
		fault = v.ask("anaesthetic.dilute", &companion.DiluteRequest{Agent: d.agent(),
			StockPercent: orElse(companion.Typed(q.Get("stock")), "?"), WantedPercent: orElse(companion.Typed(q.Get("wanted")), "?"), WantedMl: orElse(companion.Typed(q.Get("make")), "?")}, &r)
		if fault == nil {
			p.add(v.diluted(q, r))
		}
	}
	at := func(key string) string { return v.faultAt(fault, key) }
	p.add(v.dilutionFault(fault),
		v.getForm(d.base()+"/dilute", d.carried(),
			v.field(field{name: "stock", value: q.Get("stock"), label: "dilute.stock", unit: "percent", mode: "decimal", problem: at("stock_percent")}),
			v.field(field{name: "wanted", value: q.Get("wanted"), label: "dilute.wanted", unit: "percent", mode: "decimal", problem: at("wanted_percent")}),
			v.field(field{name: "make", value: q.Get("make"), label: "dilute.make", unit: "ml", mode: "decimal", problem: at("wanted_ml")}),
			v.submit("dilute.work_out")),
		v.caution("dilute.caution"),
		more(v.link(d.path("ask"), "dilute.back")))
	return p
}

func (d doseAsk) base() string {
	if d.birth != nil {
		return "/b/" + d.birth.Birth + "/dose"
	}
	return "/dose"
}

func (v *visit) dilutionFault(f *companion.Fault) h.Node {
	if f == nil || f.Field == "stock_percent" || f.Field == "wanted_percent" || f.Field == "wanted_ml" {
		return nil
	}
	return v.problem(v.faultKey(f))
}

func (v *visit) diluted(q urlform.Values, r companion.DiluteReply) h.Node {
	return h.Section(h.Class("result"),
		h.Ol(h.Class("steps"),
			h.Li(v.t("dilute.take", "ml", v.unitText("ml", r.StockMl), "percent", v.unitText("percent", companion.Typed(q.Get("stock"))))),
			h.Li(v.t("dilute.add", "ml", v.unitText("ml", r.DiluentMl)))),
		v.source(r.Document, r.Read))
}
