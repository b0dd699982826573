package pages_test

import (
	"strings"
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
	"fourchette/wasm/pages"
)

// without is a phone on which another page of the app has the records.
func without(t *testing.T, storage string, asked *int) *phone {
	t.Helper()
	return phoneOn(t, nil, func(h *pages.Host) {
		h.Storage = storage
		h.Ask = func() { *asked++ }
	})
}

// Where another page has the records every screen of a record says so and
// offers to take them over; tools and rescue work.
func TestOpenElsewhere(t *testing.T) {
	for storage, button := range map[string]string{pages.OpenElsewhere: "Open them here", pages.NoAnswer: "Try again", pages.Taken: "Open them here again"} {
		asked := 0
		p := without(t, storage, &asked)
		for _, path := range []string{"/", "/new", "/b/aaaaaaaa-1/examine", "/due", "/find", "/records/restore"} {
			s := p.get(path)
			p.says(s, button, "other window", "Quick tools")
			if !strings.Contains(s.Main, `action="#/take"`) {
				t.Errorf("%s: %s cannot be left by a tap", storage, path)
			}
		}
		p.says(p.get("/emergency/bleeding"), "Bleeding")
		p.says(p.get("/grade?rectal_exam=done"), "Grade not known yet")
		s := p.app.Handle(pages.Message{Method: "post", Path: "/take", At: "/b/aaaaaaaa-1/examine"})
		if asked != 1 || s.Path != "/b/aaaaaaaa-1/examine" || s.Mark != "" {
			t.Errorf("%s: asked %d times, then at %s with mark %q", storage, asked, s.Path, s.Mark)
		}
		golden(t, "elsewhere_"+storage, p.get("/b/aaaaaaaa-1"))
	}
}

// While the other page is asked nobody is sent to ask again.
func TestAskedElsewhere(t *testing.T) {
	asked := 0
	p := without(t, pages.Asking, &asked)
	p.says(p.get("/"), "It first finishes what it is writing", "Quick tools")
	p.saysNot(p.get("/"), "Open them here")
}

// What is no other page's doing offers nothing to take over.
func TestNoRecordsWithoutAnother(t *testing.T) {
	asked := 0
	p := without(t, "private_window", &asked)
	p.says(p.get("/new"), "usual window")
	if s := p.post("/take", ""); strings.Contains(s.Main, "/take") || asked != 0 {
		t.Errorf("asked %d times:\n%s", asked, s.Main)
	}
}

// remembered is a phone with a mark and a day.
func remembered(t *testing.T, disk *unplugged, mark string) *phone {
	t.Helper()
	p := phoneOn(t, disk, func(h *pages.Host) { h.Now = clock })
	p.mark = mark
	return p
}

// The mark follows the births, and a start that finds what it says is silent.
func TestMark(t *testing.T) {
	disk := &unplugged{Disk: journaltest.New()}
	p := remembered(t, disk, "")
	if s := p.get("/"); s.Holds {
		t.Error("a phone with no record is asked to keep one")
	}
	b := p.opened()
	s := p.get("/")
	device := strings.Split(strings.TrimPrefix(b, "/b/"), "-")[0]
	if want := device + " 1 2026-03-14"; s.Mark != want || !s.Holds {
		t.Fatalf("the mark is %q, wanted %q", s.Mark, want)
	}
	p = remembered(t, disk, s.Mark)
	p.saysNot(p.get("/"), "Records are missing")
}

// Records that are fewer than the mark says, or of another device, are missed:
// on every screen of the records, until somebody says that it was read, and
// never before a rescue. Only then the mark is made anew.
func TestMissingRecords(t *testing.T) {
	for mark, gone := range map[string]bool{
		"zzzzzzzz 3 2026-03-01": true, "DEVICE 2 2026-03-01": true, "DEVICE 1 2026-03-01": false, "DEVICE 0 2026-03-01": false,
		"zzzzzzzz 0 2026-03-01": false, "": false, "zzzzzzzz many 2026-03-01": false, "zzzzzzzz 3": false,
	} {
		disk := &unplugged{Disk: journaltest.New()}
		b := remembered(t, disk, "").opened()
		device := strings.Split(strings.TrimPrefix(b, "/b/"), "-")[0]
		p := remembered(t, disk, strings.Replace(mark, "DEVICE", device, 1))
		if s := p.get("/"); strings.Contains(s.Main, "Records are missing") != gone {
			t.Errorf("mark %q: missing is %v", mark, !gone)
		}
		if !gone {
			continue
		}
		for _, path := range []string{"/", "/new", b, "/due", "/find"} {
			s := p.get(path)
			p.says(s, "kept here on", "2026-03-01", "Now there is 1.", "begin a new record", "before anything is injected", "Take in a copy", "I have read this")
			if s.Mark != "" {
				t.Errorf("%s: the mark is %q before anybody has read", path, s.Mark)
			}
		}
		for _, path := range []string{"/emergency", "/records/restore"} {
			p.saysNot(p.get(path), "Records are missing")
		}
		s := p.app.Handle(pages.Message{Method: "post", Path: "/missing", At: b, Mark: p.mark})
		if s.Path != b || s.Mark != device+" 1 2026-03-14" {
			t.Errorf("read, it leads to %s with mark %q", s.Path, s.Mark)
		}
		p.saysNot(p.get("/"), "Records are missing")
	}
	p := remembered(t, &unplugged{Disk: journaltest.New()}, "zzzzzzzz 12 2026-03-01")
	p.says(p.get("/"), "12 records were kept here", "None of them is here now.")
	golden(t, "missing", p.get("/"))
}

// Records that cannot be read are not missed: they may be there.
func TestUnreadableIsNotMissing(t *testing.T) {
	p := remembered(t, nil, "zzzzzzzz 3 2026-03-01")
	p.saysNot(p.get("/"), "Records are missing")
	if s := p.get("/"); s.Mark != "" {
		t.Errorf("the mark is %q where there are no records", s.Mark)
	}
}

// Locked records are compared when they are opened, and the mark stays until
// then.
func TestMissingRecordsBehindAPIN(t *testing.T) {
	disk := &unplugged{Disk: journaltest.New()}
	p := remembered(t, disk, "")
	p.closed(p.opened())
	p.post("/lock/pin", "pin=739104&again=739104")
	p = remembered(t, disk, "zzzzzzzz 3 2026-03-01")
	if s := p.get("/"); s.Mark != "" {
		t.Errorf("the mark is %q while the records are locked", s.Mark)
	}
	p.says(p.get("/"), "Records are locked")
	s := p.post("/lock", "pin=739104")
	p.says(s, "Records are missing", "Now there is 1.")
	if s.Mark != "" {
		t.Errorf("the mark is %q before anybody has read", s.Mark)
	}
}

// When the records come back from another page they are compared anew.
func TestComparedAgainWhenTheyComeBack(t *testing.T) {
	disk := &unplugged{Disk: journaltest.New()}
	var core *companion.Companion
	p := phoneOn(t, disk, func(h *pages.Host) { h.Now = clock; core = h.Core })
	p.opened()
	p.app.Records(core, pages.Taken)
	p.mark = "zzzzzzzz 3 2026-03-01"
	p.app.Records(core, "")
	p.says(p.get("/"), "Records are missing")
}

// What the browser said of storage is said in plain words, and on the first
// screen only what is wrong, once there is something to lose.
func TestKeeping(t *testing.T) {
	const wide = 3_500_000_000
	for _, c := range []struct {
		keeping        pages.Keeping
		births         bool
		settings, home string // what they say
	}{
		{pages.Keeping{}, true, "does not say whether", ""},
		{pages.Keeping{Known: true, Promised: true, Room: wide}, true, "promised not to throw them away. The browser says that there is room for 3 GB", ""},
		{pages.Keeping{Known: true, Room: wide}, false, "when the first record is written", ""},
		{pages.Keeping{Known: true, Room: wide}, true, "In a private window they are gone", "may throw the records away"},
		{pages.Keeping{Known: true, Promised: true, Room: 400_000_000}, true, "there is room for 400 MB", ""},
		{pages.Keeping{Known: true, Promised: true, Room: 7_900_000}, true, "Room is short", "Room is short"},
		{pages.Keeping{Known: true, Promised: true, Room: wide, Short: true}, true, "Room is short", "Room is short"},
		{pages.Keeping{Known: true, Promised: true, Room: -5}, true, "Room is short", "Room is short"},
	} {
		p := phoneOn(t, &unplugged{Disk: journaltest.New()}, func(h *pages.Host) { h.Keeping = func() pages.Keeping { return c.keeping } })
		if c.births {
			p.opened()
		}
		p.says(p.get("/settings"), c.settings)
		if c.home == "" {
			p.saysNot(p.get("/"), "throw the records away", "Room")
			continue
		}
		p.says(p.get("/"), c.home)
	}
}

func clock() time.Time { return noon }
