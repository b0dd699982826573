package pages

import (
	"slices"
	"strconv"
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// countPage is the counts: what went in, what came out, and what to do when
// they differ. No number that went in is shown before all is counted out.
func countPage(x *way) page {
	switch phase := x.v.step(3); phase {
	case "in", "added", "out":
		return countForm(x, phase)
	case "":
		return comparePage(x)
	}
	return notFound(x.v)
}

func (x *way) counts() companion.CountsReply {
	var r companion.CountsReply
	x.v.must("birth.counts", &companion.BirthRequest{Birth: x.b.Birth}, &r)
	return r
}

// countForm takes one count. An empty field is not counted; nought is a count.
func countForm(x *way, phase string) page {
	v := x.v
	c := x.counts()
	items := c.Kinds
	if phase == "out" && len(c.ToCount) > 0 {
		items = slices.DeleteFunc(slices.Clone(c.Kinds), func(kind string) bool { return !slices.Contains(c.ToCount, kind) }) // in the order of the count in
	}
	var fault *companion.Fault
	if v.posted() {
		if fault = x.saveCount(phase, items); fault == nil {
			after := x.fresh()
			if phase == "out" {
				return page{to: after.path("count")}
			}
			return page{to: after.onward("prepare")}
		}
	}
	p := x.page("count."+phase, "place.way")
	if fault != nil {
		p.add(v.problem(v.faultKey(fault)))
	}
	p.add(h.Details(h.Class("source"), h.Summary(v.t("count.how")), x.countGuide(phase)))
	var fields h.Group
	for _, item := range items {
		fields.Add(h.Div(h.Class("counted"), v.drawing(item),
			v.field(field{name: item, value: v.form.Get(item), label: "supplyname." + item, hint: countHint[item], mode: "numeric", most: "3"})))
	}
	if fault != nil && fault.Code == companion.FaultConfirmLower {
		// Not where the first tap was, or a finger that bounces says yes.
		fields = append(h.All(h.Button(h.Class("answer"), h.Type("submit"), h.Name("confirmed"), h.Value(x.typedCount(items)),
			v.t("count.fewer_right", "counts", x.typedCount(items)))), fields...)
	}
	p.add(v.postForm(x.path("count/"+phase), fields, v.submit("count.write")),
		more(v.link(x.path("count"), "count.title")))
	return p
}

// countHint is what is easily left out of a count.
var countHint = map[string]string{"needle": "count.needle_hint"}

func (x *way) saveCount(phase string, items []string) *companion.Fault {
	r := &companion.CountRequest{Birth: x.b.Birth, Phase: phase, Confirmed: x.v.form.Has("confirmed") && x.v.form.Get("confirmed") == x.typedCount(items)}
	for _, item := range items {
		text := companion.Typed(x.v.form.Get(item))
		if text == "" {
			continue
		}
		n, err := strconv.Atoi(text)
		if err != nil {
			return whole(item, text)
		}
		r.Items = append(r.Items, companion.CountLine{Item: item, N: n})
	}
	if len(r.Items) == 0 {
		return &companion.Fault{Code: "nothing_counted"}
	}
	_, fault := x.v.save("birth.count", r)
	return fault
}

// typedCount is the numbers of the form in one line: what is confirmed is
// these numbers and no others.
func (x *way) typedCount(items []string) string {
	var lines []string
	for _, item := range items {
		if n := companion.Typed(x.v.form.Get(item)); n != "" {
			lines = append(lines, x.v.s("supplyname."+item)+" "+n)
		}
	}
	return strings.Join(lines, " · ")
}

// countGuide is how to count, at the moment of counting.
func (x *way) countGuide(phase string) h.Node {
	want := map[string][]string{"in": {"first_pack", "what", "two_people", "alone", "cut", "keep"}, "added": {"added"},
		"out": {"out_first", "two_people", "apart", "needle", "keep"}}[phase]
	return x.someOf("count", func(it companion.PageItem) bool { return slices.Contains(want, it.Key) })
}

// comparePage sets out beside in, once all is counted out.
func comparePage(x *way) page {
	v := x.v
	c := x.counts()
	p := x.page("count.title", "place.way")
	switch {
	case !c.CountedIn && len(c.ToCount) == 0:
		p.add(v.p("count.nothing_in"), v.next(x.path("count/in"), "count.in"))
	case !c.Compared:
		p.add(v.p("count.first_out"), v.next(x.path("count/out"), "count.out"))
	case c.Late && len(c.Missing)+len(c.Extra) == 0:
		p.add(x.countedLate(c))
	case c.Damaged && len(c.Missing)+len(c.Extra) == 0:
		p.add(h.Section(h.Class("alarm alarm-unknown"), h.P(h.Strong(v.t("count.damaged")))), x.compared(c),
			v.next(x.path("looked"), "looked.title"))
	case c.Complete:
		look := "none"
		if x.leftInside() {
			look = "unknown"
		}
		p.add(h.Section(h.Class("alarm alarm-"+look), h.P(h.Strong(h.Text(x.allThere())))), x.compared(c),
			x.someOf("count", func(it companion.PageItem) bool { return it.Key == "reconciled" }), v.next(x.onward("check"), "way.go_on"))
	default:
		p.add(x.notComplete(c))
	}
	p.add(more(v.link(x.path("count/in"), "count.in"), v.link(x.path("count/added"), "count.added"), v.link(x.path("count/out"), "count.out"), v.link(x.path("stage/check"), "stagename.check")))
	return p
}

// countedLate: it comes out even, and what was counted in was made up from what
// lay there. Only a search tells.
func (x *way) countedLate(c companion.CountsReply) h.Node {
	return h.All(h.Section(h.Class("alarm alarm-unknown"), h.P(h.Strong(x.v.t("count.late")))), x.compared(c), h.H2(x.v.t("count.search")),
		x.someOf("count", func(it companion.PageItem) bool { return belongs(it.Key, "search") }),
		x.v.next(x.path("ask/final_count_search"), "ask.final_count_search"))
}

// compared is the table: item, in, out.
func (x *way) compared(c companion.CountsReply) h.Node {
	v := x.v
	var rows h.Group
	for _, line := range c.Items {
		rows.Add(h.Tr(h.If(differs(c, line.Item), h.Class("is-off")), h.Th(h.Scope("row"), v.icon(line.Item), v.t("supplyname."+line.Item)), h.Td(number(strconv.Itoa(line.In))), h.Td(number(strconv.Itoa(line.Out))),
			h.Td(h.If(line.Left > 0, h.All(v.t("count.left"), h.Text(" "), number(strconv.Itoa(line.Left)))))))
	}
	return h.Div(h.Class("wide"), h.TabIndex("0"), h.Role("region"), h.Attr("aria-label", v.s("count.title")),
		h.Table(h.THead(h.Tr(h.Th(h.Scope("col"), v.t("count.item")), h.Th(h.Scope("col"), v.t("count.col_in")), h.Th(h.Scope("col"), v.t("count.col_out")), h.Td())), h.TBody(rows)))
}

// differs: the item is short, or there is more of it than went in.
func differs(c companion.CountsReply, item string) bool {
	for _, one := range slices.Concat(c.Missing, c.Extra) {
		if one.Item == item {
			return true
		}
	}
	return false
}

// notComplete leads through the search; what it comes to is written down.
func (x *way) notComplete(c companion.CountsReply) h.Node {
	v := x.v
	var pieces h.Group
	var left h.Node
	for _, m := range c.Missing {
		if m.Item == "tampon" { // it may be where it was put
			left = v.link(x.path("ask/tampon"), "ask.tampon")
		}
		pieces.Add(h.Li(v.icon(m.Item), h.Span(v.t("count.missing"), h.Text(" "), v.count("supply."+m.Item, m.Count))))
	}
	for _, e := range c.Extra {
		pieces.Add(h.Li(v.icon(e.Item), h.Span(v.t("count.extra"), h.Text(" "), v.count("supply."+e.Item, e.Count))))
	}
	for _, n := range c.NotCounted {
		pieces.Add(h.Li(v.icon(n), h.Span(v.t("count.not_counted"), h.Text(" "), v.t("supplyname."+n))))
	}
	var search h.Group
	for _, it := range v.guide("count") {
		if belongs(it.Key, "search") || len(c.Extra) > 0 && it.Key == "extra" {
			search.Add(v.guideItem("count", it))
		}
	}
	return h.All(
		h.Section(h.Class("alarm alarm-act"), h.P(h.Strong(v.t("count.differ"))), h.Ul(h.Class("pieces"), pieces)),
		x.compared(c), h.H2(v.t("count.search")), search,
		v.next(x.path("count/out"), "count.again"), more(left, v.link(x.path("ask/final_count_search"), "ask.final_count_search")),
	)
}
