package pages_test

import (
	"strings"
	"testing"
)

// TestACopyIsOfferedOnceItsCodeIsOnPaper: the code stays the same while a wrong
// group is typed, and the button that saves has it.
func TestACopyIsOfferedOnceItsCodeIsOnPaper(t *testing.T) {
	p := newPhone(t, true)
	p.opened()
	p.says(p.get("/settings"), "Make a copy of all records", "Take in a copy", "Old records")
	s := p.get("/records/copy")
	code := groupsOf(t, s.Main)
	form := "code=" + strings.Join(code, "+")
	wrong := p.post("/records/copy", form+"&last=00000")
	p.says(wrong, "This is not the last group")
	if again := groupsOf(t, wrong.Main); strings.Join(again, " ") != strings.Join(code, " ") {
		t.Errorf("another code: %q", again)
	}
	ready := p.post("/records/copy", form+"&last="+code[9])
	if !strings.Contains(ready.Main, `data-save="`+strings.Join(code, " ")+`"`) {
		t.Errorf("the file is not offered:\n%s", ready.Main)
	}
	p.says(p.get("/records/copy?fault=disk_full"), "the phone is full")
	p.says(p.get("/records/restore?fault=code_length"), "ten groups of five")
	p.says(p.get("/records/restore?fault=export_not_ours"), "no copy of records")
	if s := p.get("/records/restored"); s.Path != "/records/restore" {
		t.Errorf("nothing was taken in, and %s is shown", s.Path)
	}
}

// TestOldRecordsAreDeletedOnlyWhenSeen: an open record is never named.
func TestOldRecordsAreDeletedOnlyWhenSeen(t *testing.T) {
	p := newPhone(t, true)
	b := p.opened()
	p.says(p.get("/records/old?months=12"), "No record is older")
	p.says(p.get("/records/old?months=x"), "How long records are kept")
	p.says(p.post("/records/old", "months=12&births="+strings.TrimPrefix(b, "/b/")), "not finished")
	p.says(p.get(b), "Mother safe first")
}
