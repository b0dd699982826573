package pages

import h "fourchette/wasm/pages/markup"

// settings is language and light. A language button stands under every screen
// too and leads back to it.
func settings(v *visit) page {
	if v.posted() {
		if lang := v.form.Get("lang"); lang != "" {
			v.lang = lang
		}
		if theme := v.form.Get("theme"); theme != "" {
			v.theme = map[string]string{"light": "light", "dark": "dark"}[theme]
		}
		return page{to: orElse(v.shown, "/settings")}
	}
	p := page{title: "settings.title", place: "place.settings"}
	var langs, themes h.Group
	for _, l := range v.app.host.Languages {
		langs.Add(v.answer("lang", l.Tag, "", l.Tag == v.book.Table().Lang, h.Span(h.Lang(l.Tag), h.Text(l.Name))))
	}
	for _, theme := range []string{"auto", "light", "dark"} {
		chosen := orElse(v.theme, "auto") == theme
		themes.Add(v.answer("theme", theme, "", chosen, v.t("settings.theme_"+theme)))
	}
	p.body = append(p.body,
		h.H2(v.t("settings.language")), v.postForm("/settings", answers(langs)),
		h.If(v.book.Table().Draft, v.caution("settings.draft")),
		h.H2(v.t("settings.theme")), v.postForm("/settings", answers(themes)),
		h.H2(v.t("settings.records")), v.records(), v.lockSettings(), v.copies(),
	)
	return p
}

// records says where the records are and whether they are safe there.
func (v *visit) records() h.Node {
	about := v.about()
	if !about.Records {
		return v.p("storage." + orElse(v.app.host.Storage, "no_private_files"))
	}
	return h.All(v.p("settings.on_this_phone"), h.If(!about.Locked && !about.Lockable, v.caution("settings.practice_only")),
		v.keeping(), h.P(v.t("settings.device"), h.Text(" "), number(about.Device)))
}

// copies are the ways out of this phone and back.
func (v *visit) copies() h.Node {
	about := v.about()
	if !about.Records || about.Locked {
		return nil
	}
	return h.All(h.H2(v.t("copy.heading")), more(v.link("/records/copy", "copy.title"), v.link("/records/restore", "restore.title"), v.link("/records/old", "old.title")))
}

func aboutPage(v *visit) page {
	p := page{title: "about.title", place: "place.settings"}
	about := v.about()
	var cautions h.Group
	for _, it := range v.guide("cautions") {
		cautions.Add(v.guideItem("cautions", it))
	}
	p.add(v.p("about.what"), cautions,
		more(v.link("/differ", "differ.title")),
		h.H2(v.t("about.version")),
		h.P(number(v.app.host.Version)),
		h.P(v.t("about.pack"), h.Text(" "), number(about.PackID+" "+about.PackVersion)),
	)
	if v.app.host.Notice != nil {
		p.add(h.Details(h.Class("source"), h.Summary(v.t("about.licences")),
			h.Pre(h.Class("notice"), h.Lang("en"), h.Dir("ltr"), h.Text(v.app.host.Notice()))))
	}
	return p
}
