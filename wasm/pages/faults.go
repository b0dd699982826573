package pages

import (
	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

func notFound(v *visit) page {
	return page{title: "lost.title", body: []h.Node{v.p("lost.what"), v.next("/", "bar.home")}}
}

// birthGone is the page of a birth that this phone does not hold.
func birthGone(v *visit, f *companion.Fault) page {
	return page{title: "gone.title", body: []h.Node{v.problem(v.faultKey(f)), v.next("/", "bar.home")}}
}

// crashed says that the program failed and that the record stands. What was
// caught is shown small, so that it can be read out to whoever mends it.
func crashed(v *visit, caught any) page {
	said := ""
	switch c := caught.(type) {
	case error:
		said = c.Error()
	case string:
		said = c
	}
	return page{title: "crash.title", body: []h.Node{
		v.problem("crash.what"), v.next("/", "bar.home"),
		h.Details(h.Summary(v.t("crash.detail")), h.Pre(h.Class("notice"), h.Lang("en"), h.Dir("ltr"), h.Text(v.path+"\n"+said))),
	}}
}
