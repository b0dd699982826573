package pages_test

import (
	"net/url"
	"strings"
	"testing"
)

// TestAClosedRecordShowsNoForm: on none of its pages; each opens it again in
// place and then shows its form. The papers can be read and printed.
func TestAClosedRecordShowsNoForm(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.safe(b)
	p.found(b, "intact", "intact", "intact")
	p.numbed(b)
	_, open, _ := strings.Cut(p.get(b+"/close").HTML(), `name="despite" value="`)
	open, _, _ = strings.Cut(open, `"`)
	p.post(b+"/close", "despite="+url.QueryEscape(open))
	p.says(p.get("/"), "1 closed record")
	for _, tail := range []string{"/count/in", "/count/out", "/ask/tampon", "/ask/pulse", "/repair", "/repair/perineal_skin", "/dose/given?strength=1&adrenaline=no", "/dose/weight",
		"/dose/before", "/layout", "/visits", "/examine/perineal_skin", "/grade", "", "/refer", "/handover", "/after"} {
		s := p.get(b + tail)
		p.says(s, "This record is closed", "Open again")
		forms := strings.Count(s.Main, "<form")
		if forms != 1 || !strings.Contains(s.Main, `name="do" value="reopen"`) {
			t.Errorf("%s: %d forms:\n%s", tail, forms, s.Main)
		}
		if strings.Contains(s.Main, `name="value"`) || strings.Contains(s.Main, `id="f-`) {
			t.Errorf("%s: a field is left without its form", tail)
		}
	}
	s := p.post(b+"/ask/tampon", "value=in")
	p.says(s, "This record is closed", "Open again")
	s = p.post(b+"/ask/tampon", "do=reopen")
	p.saysNot(s, "This record is closed")
	if s.Path != b+"/ask/tampon" || !strings.Contains(s.Main, `name="value" value="in"`) {
		t.Errorf("opened again, and %s shows:\n%s", s.Path, plain(s.HTML()))
	}
}
