package pages_test

import (
	"strings"
	"testing"
)

// TestAPINShutsTheRecords: what is asked for shows the lock in its place and
// comes once it is open; quick tools and rescue go on without it.
func TestAPINShutsTheRecords(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.says(p.get("/settings"), "No PIN is set")
	p.says(p.post("/lock/pin", "pin=123456&again=123456"), "among the first that anybody tries")
	p.says(p.post("/lock/pin", "pin=73&again=73"), "6 to 16 figures")
	p.says(p.post("/lock/pin", "pin=739104&again=739105"), "The two are not the same")
	s := p.post("/lock/pin", "pin=739104&again=739104")
	p.says(s, "Make a printed code", "The last group, from the paper")
	code := groupsOf(t, s.Main)
	s = p.post("/lock/paper", "code=11111")
	p.says(s, "This is not the last group", code[0], code[9])
	p.says(p.post("/lock/paper", "code="+code[9]), "A PIN is set", "It cannot lock now")
	if s := p.post("/lock/idle", ""); strings.Contains(plain(s.HTML()), "Records are locked") {
		t.Error("it locks while a timer runs")
	}
	p.closed(b)
	p.says(p.post("/lock/idle", ""), "Records are locked", "Quick tools")
	if s := p.get("/"); s.Lockable || strings.Contains(plain(s.HTML()), "IZX") {
		t.Errorf("locked, and the first screen says:\n%s", plain(s.HTML()))
	}
	for _, path := range []string{b, b + "/handover", b + "/refer", "/due", "/find?text=izx", "/lock/pin", "/lock/paper", "/new"} {
		s := p.get(path)
		p.says(s, "Records are locked")
		p.saysNot(s, "IZX", "bed 3")
	}
	p.says(p.post("/new", "born=now"), "Records are locked")
	p.says(p.get("/emergency/bleeding?birth="+strings.TrimPrefix(b, "/b/")), "Call for help now")
	p.says(p.get("/dose/limit?weight_kg=60&before=nothing&strength=1&adrenaline=no"), "18")
	p.says(p.get("/grade/examine"), "Skin")
	p.says(p.post("/lock", "pin=739105&back="+b), "This PIN does not open the records")
	if s := p.post("/lock", "pin=739104&back="+b+"/handover"); s.Path != b+"/handover" || !s.Lockable {
		t.Errorf("opened, and it leads to %s", s.Path)
	}
	p.post("/lock/idle", "")
	if s := p.post("/lock", "pin=739104&back=//elsewhere"); s.Path != "/" {
		t.Errorf("it leads out, to %s", s.Path)
	}
	p.says(p.post("/lock/pin", "pin=860317&again=860317&old=111111"), "does not open")
	p.post("/lock/idle", "")
	for range 4 {
		p.post("/lock", "pin=111111")
	}
	p.says(p.post("/lock", "pin=739104"), "Too many wrong tries. Wait 0:30")
	p.says(p.post("/lock/printed", "code="+strings.Join(code, "+")[1:]), "Look at group 1")
	p.says(p.post("/lock/printed", "code=1"), "ten groups of five")
	p.says(p.post("/lock/printed", "code="+strings.Join(code, "+")), "New PIN")
	p.says(p.post("/lock/pin", "pin=860317&again=860317"), "A PIN is set") // the old one is forgotten
}

// groupsOf is the code that a page shows.
func groupsOf(t *testing.T, html string) (groups []string) {
	t.Helper()
	_, list, _ := strings.Cut(html, `<ol class="groups">`)
	list, _, _ = strings.Cut(list, "</ol>")
	groups = strings.Fields(plain(list))
	if len(groups) != 10 {
		t.Fatalf("the code has %d groups: %q", len(groups), groups)
	}
	return groups
}
