package pages_test

import (
	"strings"
	"testing"
)

// TestWhoComesBackIsSeenFromHome: the list leads to the woman's days, where it
// is said that she came, also when her record is closed.
func TestWhoComesBackIsSeenFromHome(t *testing.T) {
	p := newPhone(t, true)
	p.saysNot(p.get("/"), "Find by number")
	b := p.opened()
	p.says(p.get("/due"), "Nobody has a day to come back")
	p.post(b+"/visits", "today=yes")
	p.post(b+"/visits", "key=within_24_hours&date=2026-03-14&agreed=yes")
	p.closed(b)
	p.says(p.get("/"), "1 visit to come", "Find by number")
	s := p.get("/due")
	p.says(s, "Week from 2026-03-09", "bed 3", "Within 24 hours", "2026-03-14", "This phone says that today is 2026-03-14")
	if !strings.Contains(s.Main, `href="#`+b+`/visits"`) {
		t.Error("the list does not lead to her days")
	}
	p.says(p.get(b+"/visits"), "This record is closed", "She came", "Did not come")
	s = p.post(b+"/visits", "key=within_24_hours&came=came")
	if !strings.Contains(s.Main, `aria-pressed="true">She came`) {
		t.Errorf("what was said does not show:\n%s", s.Main)
	}
	p.says(p.get("/due"), "Nobody has a day to come back")
	p.saysNot(p.get("/"), "visit to come")
}

// TestNobodyComesBeforeTheDay: a tap too early would take her off the list.
func TestNobodyComesBeforeTheDay(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.post(b+"/visits", "today=yes")
	p.saysNot(p.post(b+"/visits", "key=day_3&date=2026-03-17&agreed=yes"), "She came")
}

func TestFindByNumber(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.says(p.post("/find", "text=izx1"), "IZX-1")
	p.says(p.post("/find", "text=zzz9"), "No record here has this number")
	p.says(p.post("/find", "text=+-+"), "Write this first")
	p.says(p.get("/find"), "As on the paper")
	if !strings.Contains(p.post("/find", "text=izx1").Main, `href="#`+b+`"`) {
		t.Error("what is found leads nowhere")
	}
}
