package pages

import (
	"strings"

	"fourchette/core/companion"
	h "fourchette/wasm/pages/markup"
)

// A closed record is read and not written in: none of its pages shows a form,
// and each says so and opens it again in place.

// reopened opens a closed record again where its page asked for it.
func (v *visit) reopened(b *companion.BirthReply) (page, bool) {
	if !b.Closed || !v.posted() || v.form.Get("do") != "reopen" {
		return page{}, false
	}
	if _, fault := v.save("birth.reopen", &companion.BirthRequest{Birth: b.Birth}); fault != nil {
		v.method, v.form = "get", nil
		return recordPage(v, b, fault), true
	}
	return page{to: v.path}, true
}

func (v *visit) closedNote(p page) h.Node {
	if p.birth == nil || !p.birth.Closed || p.place == "place.emergency" {
		return nil
	}
	path := v.path
	if !strings.HasPrefix(path, "/b/") {
		path = "/b/" + p.birth.Birth
	}
	return note("caution", v.p("record.closed"), formTo(path, hidden("do", "reopen"), v.submit("record.reopen")))
}

// writesClosed reports whether a form of this path would write into a record that is
// closed.
func (v *visit) writesClosed(path string) bool { return v.closed && strings.HasPrefix(path, "/b/") }
