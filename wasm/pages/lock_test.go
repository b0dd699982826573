package pages_test

import (
	"errors"
	"strings"
	"testing"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
	"fourchette/wasm/pages"
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
	p.says(p.post("/lock/paper", "code="+code[9]), "A PIN is set", "is in hand")
	if s := p.post("/lock/idle", ""); strings.Contains(plain(s.HTML()), "Records are locked") {
		t.Error("it locks while a timer runs")
	}
	p.closed(b)
	p.says(p.post("/lock/idle", ""), "Records are locked", "Quick tools")
	if s := p.get("/"); s.Lockable || strings.Contains(plain(s.HTML()), "IZX") {
		t.Errorf("locked, and the first screen says:\n%s", plain(s.HTML()))
	}
	for _, path := range []string{b, b + "/handover", b + "/refer", "/due", "/find", "/lock/pin", "/lock/paper", "/new"} {
		s := p.get(path)
		p.says(s, "Records are locked")
		p.saysNot(s, "IZX", "bed 3")
	}
	p.says(p.post("/new", "born=now"), "Records are locked", "Quick tools")
	p.says(p.post("/find", "text=izx"), "Records are locked")
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

// sealedPhone is a phone with one birth, a PIN and a printed code.
func sealedPhone(t *testing.T) (p *phone, birth string, code []string) {
	p = newPhone(t, true)
	birth = p.opened()
	code = groupsOf(t, p.post("/lock/pin", "pin=739104&again=739104").Main)
	p.says(p.post("/lock/paper", "code="+code[9]), "A PIN is set")
	return p, birth, code
}

// TestLockedByHandInTheMiddle: it is said that a birth is in hand, and done.
func TestLockedByHandInTheMiddle(t *testing.T) {
	p, b, _ := sealedPhone(t)
	s := p.get("/settings")
	p.says(s, "IZX-1", "is in hand", "Lock now", "After a reload")
	p.saysNot(p.get("/lock/now"), "Records are locked")
	p.says(p.post("/lock/now", ""), "Records are locked")
	s = p.get(b)
	p.says(s, "Records are locked", "Quick tools")
	if !strings.Contains(s.Main, "data-update") {
		t.Error("no way to bring in a new version while it is locked")
	}
	p.says(p.get("/settings"), "A PIN is set", "Open the records")
	if s.Open < 1 {
		t.Errorf("%d births are open, where nobody can know", s.Open)
	}
}

// TestAPageThatNeedsNoRecordStays when the records lock behind it.
func TestAPageThatNeedsNoRecordStays(t *testing.T) {
	p, b, _ := sealedPhone(t)
	p.closed(b)
	for _, path := range []string{"/emergency/bleeding", "/dose/limit?weight_kg=60&before=nothing&strength=1&adrenaline=no", "/grade/examine", "/reminder"} {
		shown := p.get(path)
		s := p.app.Handle(pages.Message{Method: "post", Path: "/lock/idle", At: path})
		if s.Path != path || s.Main != shown.Main || s.Lockable {
			t.Errorf("%s: it leads to %s, lockable %v", path, s.Path, s.Lockable)
		}
		p.says(p.get(b), "Records are locked")
		p.post("/lock", "pin=739104")
	}
}

// TestWhoPicksUpAnOpenPhoneMakesNoCode: the PIN comes before the code, every
// time that somebody comes to it; what was made and not confirmed is said.
func TestWhoPicksUpAnOpenPhoneMakesNoCode(t *testing.T) {
	p, _, own := sealedPhone(t)
	p.says(p.get("/lock/paper"), "The PIN first")
	p.says(p.post("/lock/paper", "code="+own[9]), "The PIN first")
	p.says(p.post("/lock/paper", "pin=739105"), "does not open")
	made := groupsOf(t, p.post("/lock/paper", "pin=739104").Main)
	p.post("/settings", "lang=en") // it is read in another language
	if again := groupsOf(t, p.get("/lock/paper").Main); strings.Join(again, "") != strings.Join(made, "") {
		t.Error("another code each time that it is shown")
	}
	p.says(p.get("/settings"), "its last group was not typed")
	p.says(p.get("/lock/paper"), "The PIN first")
	p.says(p.post("/lock/now", ""), "Records are locked")
	p.says(p.post("/lock/printed", "code="+strings.Join(own, "+")), "New PIN")
	p.says(p.post("/lock/pin", "pin=860317&again=860317"), "A PIN is set", "its last group was not typed")
	p.get("/")
	p.says(p.post("/lock/paper", "pin=739104"), "does not open")
	if again := groupsOf(t, p.post("/lock/paper", "pin=860317").Main); again[9] != made[9] {
		t.Error("the paper that was made is thrown away without a word")
	}
	p.says(p.post("/lock/paper", "code="+made[9]), "A PIN is set")
	p.saysNot(p.get("/settings"), "its last group was not typed")
}

// TestThePrintedCodeIsForOnce: locked since, or opened with the PIN, nobody has
// forgotten it.
func TestThePrintedCodeIsForOnce(t *testing.T) {
	p, b, code := sealedPhone(t)
	p.closed(b)
	for _, since := range []func(){
		func() { p.post("/lock/idle", ""); p.post("/lock", "pin=739104") },
		func() { p.post("/lock/now", ""); p.post("/lock", "pin=739104") },
	} {
		p.post("/lock/now", "")
		p.says(p.post("/lock/printed", "code="+strings.Join(code, "+")), "New PIN")
		since()
		p.says(p.get("/lock/pin"), "The PIN until now")
		p.says(p.post("/lock/pin", "pin=860317&again=860317"), "A PIN is made of figures")
	}
}

// TestNothingTypedIsNoTry, and a phone that can make no key says so.
func TestNothingTypedIsNoTry(t *testing.T) {
	fails := false
	p := phoneOn(t, &unplugged{Disk: journaltest.New()}, func(h *pages.Host) {
		h.Derive = func(pin, recipe string) (string, error) {
			if fails {
				return "", errors.New("no memory")
			}
			return companion.Derive(pin, recipe)
		}
	})
	p.post("/lock/pin", "pin=739104&again=739104")
	p.post("/lock/now", "")
	for range 5 {
		p.says(p.post("/lock", "pin="), "A PIN is made of figures")
	}
	fails = true
	for range 5 {
		p.says(p.post("/lock", "pin=739104"), "could not work out the key", "does not count")
	}
	fails = false
	p.saysNot(p.post("/lock", "pin=739104"), "Records are locked")
}

// TestAFullPhoneIsLedOnToThePaper: the PIN is set, and what is not sealed yet is
// said there.
func TestAFullPhoneIsLedOnToThePaper(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	for range 40 {
		p.post(b+"/ask/other_medicines", "text=magnesium")
	}
	used := int64(0)
	names, _ := p.disk.Disk.Names()
	for _, n := range names {
		used += int64(len(p.disk.Disk.Bytes(n)))
	}
	p.disk.Disk.Capacity = used + 1000
	s := p.post("/lock/pin", "pin=739104&again=739104")
	p.says(s, "there was no room to seal")
	groupsOf(t, s.Main)
	p.disk.Disk.Capacity = used
	p.post("/lock/now", "")
	p.says(p.post("/lock", "pin=739104"), "No room to count the tries", "Wait 0:")
}

// TestNothingIsSaidOfALockWithoutRecords.
func TestNothingIsSaidOfALockWithoutRecords(t *testing.T) {
	p := newPhone(t, false)
	for _, path := range []string{"/settings", "/lock", "/lock/pin", "/lock/paper", "/lock/printed"} {
		p.saysNot(p.get(path), "PIN", "printed code")
	}
	p.saysNot(p.post("/lock/pin", "pin=739104&again=739104"), "PIN")
}

// TestACodeIsNeitherHeardNorShared, and what is typed of one is no draft.
func TestACodeIsNeitherHeardNorShared(t *testing.T) {
	p := newPhone(t, true)
	p.opened()
	paper := p.post("/lock/pin", "pin=739104&again=739104").Main
	code := p.get("/records/copy").Main
	p.post("/lock/now", "")
	for name, main := range map[string]string{"paper": paper, "copy": code} {
		if strings.Contains(main, "data-aloud") || strings.Contains(main, "data-share") || !strings.Contains(main, "data-print") {
			t.Errorf("%s: read aloud or shared, or not printed", name)
		}
		if !strings.Contains(main, "data-unkept") {
			t.Errorf("%s: what is typed is kept", name)
		}
	}
	if !strings.Contains(p.get("/lock/printed").Main, "data-unkept") {
		t.Error("the printed code is kept as a draft")
	}
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
