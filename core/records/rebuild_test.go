package records_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"fourchette/core/archive"
	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/records"
)

func lineOf(b *birth.Birth) []byte { return []byte("line of " + b.ID) }

// withoutDirectory is the disk of the history with both directories damaged at
// their end, where the directory itself is.
func withoutDirectory(t testing.TB) (*journaltest.Disk, *clinic) {
	d := fresh()
	c := start(t, d)
	history(c)
	names, _ := d.Names()
	for _, name := range names {
		if strings.HasPrefix(name, "contents-") {
			b := d.Bytes(name)
			b[len(b)-9] ^= 1
			d.Put(name, b)
		}
	}
	if _, _, err := records.Open(d, journal.Plain{}); !errors.Is(err, archive.ErrDamaged) {
		t.Fatalf("%v", err)
	}
	return d, c
}

// rebuilt wants every birth with all its events, in doubt, and the open ones live.
func rebuilt(t *testing.T, what string, d *journaltest.Disk, saved []birth.Record) *clinic {
	t.Helper()
	c := &clinic{t: t, d: d, saved: saved}
	c.open()
	if got := c.r.Writer().Device; got != "zzzzzzz2" {
		t.Fatalf("%s: it writes as %s", what, got)
	}
	want := birth.Replay(saved)
	live := map[string]bool{}
	for _, b := range c.r.Live() {
		live[b.ID] = true
	}
	for _, w := range want.Births {
		b, err := c.r.Birth(w.ID)
		if err != nil || !b.Damaged {
			t.Fatalf("%s: %s, %v", what, brief(b), err)
		}
		b.Damaged = false
		if !reflect.DeepEqual(b, w) || !w.Closed && !live[w.ID] {
			t.Fatalf("%s: %s is %s", what, w.ID, brief(b))
		}
	}
	for _, id := range want.Deleted {
		if _, err := c.r.Birth(id); !errors.Is(err, records.ErrUnknown) {
			t.Fatalf("%s: %s is back: %v", what, id, err)
		}
	}
	if shown := c.shown(); len(shown) != len(want.Births) {
		t.Fatalf("%s: %d births are shown, not %d", what, len(shown), len(want.Births))
	}
	if next := want.NextBirth(device); c.r.NextBirth(device) != next {
		t.Fatalf("%s: the next would be %s, not %s", what, c.r.NextBirth(device), next)
	}
	return c
}

func TestRebuiltFromWhatIsLeft(t *testing.T) {
	d, was := withoutDirectory(t)
	must(t, records.Rebuild(d, journal.Plain{}, "zzzzzzz2", lineOf))
	c := rebuilt(t, "rebuilt", d, was.saved)
	list, _, err := c.r.Older(c.r.Top(), 9)
	must(t, err)
	for _, o := range list {
		if string(o.Summary) != "line of "+o.ID {
			t.Errorf("%+v", o)
		}
	}
	for _, b := range c.r.Live() {
		c.write(b.ID, birth.KindLookedThrough, nil)
	}
	for _, b := range c.r.Live() {
		if b.Damaged {
			t.Errorf("%s was looked through", brief(b))
		}
	}
	must(t, c.tidy())
	c.open()
	if n := len(c.shown()); n != len(birth.Replay(c.saved).Births) {
		t.Errorf("%d births after tidying", n)
	}
	if err := records.Rebuild(d, journal.Plain{}, "zzzzzzz3", lineOf); err == nil {
		t.Error("what can be read was rebuilt")
	}
}

// The directory's files are gone, and volumes are there: nothing is thrown away,
// it is told, and everything but what was live is rebuilt.
func TestTheDirectoryIsGone(t *testing.T) {
	d := fresh()
	c := start(t, d)
	id, _ := c.begin()
	c.say(id, "torn")
	c.close(id)
	must(t, c.tidy())
	c.begin()
	names, _ := d.Names()
	for _, name := range names {
		if strings.HasPrefix(name, "contents-") {
			must(t, d.Remove(name))
		}
	}
	if _, _, err := records.Open(d, journal.Plain{}); !errors.Is(err, archive.ErrDamaged) {
		t.Fatalf("%v", err)
	}
	must(t, records.Rebuild(d, journal.Plain{}, "zzzzzzz2", lineOf))
	rebuilt(t, "gone", d, c.saved)
}

// Cut anywhere, it can be done again, and nothing is gone.
func TestRebuildingIsCut(t *testing.T) {
	damaged, was := withoutDirectory(t)
	probe := damaged.Copy()
	must(t, records.Rebuild(probe, journal.Plain{}, "zzzzzzz2", lineOf))
	tried := 0
	for _, op := range []journaltest.Op{journaltest.Write, journaltest.Sync, journaltest.Open, journaltest.Remove} {
		for at := 1; at <= probe.Count(op); at++ {
			for through := 0; through < 900; through += 31 {
				d := damaged.Copy()
				d.Fault = &journaltest.Fault{Op: op, At: at, Through: through, Forever: op != journaltest.Open}
				_ = records.Rebuild(d, journal.Plain{}, "zzzzzzz2", lineOf)
				for _, after := range []*journaltest.Disk{d.Copy().Kill(), d.Copy().Lose()} {
					if _, _, err := records.Open(after, journal.Plain{}); errors.Is(err, archive.ErrDamaged) {
						must(t, records.Rebuild(after, journal.Plain{}, "zzzzzzz2", lineOf))
					}
					rebuilt(t, "cut", after, was.saved)
					tried++
				}
				if op != journaltest.Write {
					break
				}
			}
		}
	}
	t.Logf("%d cuts tried", tried)
}
