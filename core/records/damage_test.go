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

// honest opens damaged records and wants each birth as it was, or doubtful. It
// says how many are doubtful, or that nothing opens.
func honest(t *testing.T, what string, d *journaltest.Disk, want []birth.Birth) (doubtful int, refused bool) {
	t.Helper()
	r, report, err := records.Open(d, journal.Plain{})
	if errors.Is(err, archive.ErrDamaged) {
		return 0, true
	}
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	listed := map[string]bool{}
	c := &clinic{t: t, r: r}
	for _, b := range c.shown() {
		listed[b.ID] = true
	}
	for _, w := range want {
		b, err := r.Birth(w.ID)
		switch {
		case err == nil && b.Damaged:
			doubtful++
		case err == nil && reflect.DeepEqual(b, w):
			if !listed[w.ID] {
				t.Fatalf("%s: %s is there and in no list", what, w.ID)
			}
		case len(report.Journal.Damaged) > 0 && errors.Is(err, records.ErrUnknown):
			doubtful++ // all of it was in the journal, which says that it lost something
		case report.Journal.TornTail && lacksLast(b, w):
			// The last entry looks as if it had been cut while being written: said so.
		default:
			t.Fatalf("%s: %s is silently %s, %v\nwas %s\n%+v", what, w.ID, brief(b), err, brief(w), report)
		}
	}
	return doubtful, false
}

// lacksLast: the birth is without its last event, or, of one event, not there.
func lacksLast(b, w birth.Birth) bool {
	if n := len(w.Log); n > 1 {
		return reflect.DeepEqual(b, birth.Replay(w.Log[:n-1]).Births[0])
	}
	return b.ID == ""
}

func TestEveryByteAltered(t *testing.T) {
	whole := fresh()
	c := start(t, whole)
	history(c)
	want := birth.Replay(c.saved).Births
	names, _ := whole.Names()
	tried, most := 0, 0
	for _, name := range names {
		for at := range whole.Bytes(name) {
			d := whole.Copy()
			b := d.Bytes(name)
			b[at] ^= 0x10
			d.Put(name, b)
			n, refused := honest(t, name, d, want)
			if refused {
				t.Fatalf("%s byte %d: nothing opens", name, at)
			}
			if strings.HasPrefix(name, "archive-") {
				most = max(most, n)
			}
			if strings.HasPrefix(name, "contents-") && n > 0 {
				t.Fatalf("%s byte %d: %d births are doubtful, and the other file is whole", name, at, n)
			}
			tried++
		}
	}
	t.Logf("%d alterations of one byte tried in %d files; of a volume's they cost %d birth at most", tried, len(names), most)
	if most != 1 {
		t.Errorf("%d births", most)
	}
}

func TestEveryFileCutAndGone(t *testing.T) {
	whole := fresh()
	c := start(t, whole)
	history(c)
	want := birth.Replay(c.saved).Births
	names, _ := whole.Names()
	tried := 0
	for _, name := range names {
		for at := 0; at < len(whole.Bytes(name)); at += 2 {
			if strings.HasPrefix(name, "journal-") {
				continue // a journal that was cut off at its end is its tests' affair
			}
			d := whole.Copy()
			d.Put(name, d.Bytes(name)[:at])
			honest(t, name, d, want)
			tried++
		}
		d := whole.Copy()
		must(t, d.Remove(name))
		if !strings.HasPrefix(name, "journal-") {
			honest(t, name, d, want)
		}
	}
	t.Logf("%d cuts tried", tried)
}

// Files of several kinds damaged at once: never silently.
func TestSeveralFilesAltered(t *testing.T) {
	whole := fresh()
	c := start(t, whole)
	history(c)
	want := birth.Replay(c.saved).Births
	names, _ := whole.Names()
	tried, refused := 0, 0
	for i := range 4000 {
		d := whole.Copy()
		for k, name := range names {
			b := d.Bytes(name)
			b[(i*31+k*17)%len(b)] ^= byte(1 << (i % 8))
			d.Put(name, b)
		}
		if _, no := honest(t, "all files", d, want); no {
			refused++
		}
		tried++
	}
	t.Logf("%d tried, %d of them left no commit", tried, refused)
}

// A birth that the archive cannot read is doubtful, takes entries, is settled
// once somebody has looked through it, and moves again.
func TestADoubtfulBirthIsLookedThrough(t *testing.T) {
	d := fresh()
	c := start(t, d)
	id, _ := c.begin()
	c.say(id, "torn")
	c.close(id)
	other, _ := c.begin()
	must(t, c.tidy())
	b := d.Bytes("archive-00000001")
	b[60] ^= 1
	d.Put("archive-00000001", b)
	doubtful := func(what string, want bool, events int) {
		t.Helper()
		if b, err := c.r.Birth(id); err != nil || b.Damaged != want || len(b.Log) != events {
			t.Fatalf("%s: %s, %v", what, brief(b), err)
		}
	}
	c.open()
	doubtful("damaged", true, 0)
	c.say(id, "intact")
	doubtful("one more entry", true, 1)
	c.open()
	doubtful("opened again", true, 1)
	must(t, c.tidy())
	c.close(id)
	must(t, c.tidy())
	doubtful("tidied", true, 2)
	if b, err := c.r.Birth(other); err != nil || b.Damaged {
		t.Errorf("the other birth: %s, %v", brief(b), err)
	}
	c.open()
	doubtful("tidied and opened again", true, 2)
	c.write(id, birth.KindLookedThrough, nil)
	doubtful("looked through", false, 3)
	c.open()
	doubtful("looked through and opened again", false, 3)
	must(t, c.tidy())
	if live := c.r.Live(); len(live) != 1 {
		t.Errorf("%d births are live", len(live))
	}
	c.open()
	doubtful("moved again", false, 3)
}

// Damage in the journal outlives the segments it was in.
func TestDoubtMovesAlong(t *testing.T) {
	d := fresh()
	c := start(t, d)
	early, _ := c.begin()
	c.say(early, "torn")
	c.say(early, "intact")
	must(t, c.r.Close())
	b := d.Bytes("journal-00000001")
	b[len(b)/2+20] ^= 1
	d.Put("journal-00000001", b)
	c.open()
	late, _ := c.begin()
	c.close(early)
	c.close(late)
	for round := range 3 {
		for id, damaged := range map[string]bool{early: true, late: false} {
			if b, err := c.r.Birth(id); err != nil || b.Damaged != damaged {
				t.Errorf("round %d, %s: %s, %v", round, id, brief(b), err)
			}
		}
		must(t, c.tidy())
		if round == 1 {
			c.open()
		}
	}
	if d.Bytes("journal-00000001") == nil {
		t.Error("a segment that cannot be read in full was thrown away")
	}
	c.delete(early)
	must(t, c.tidy())
	if d.Bytes("journal-00000001") != nil {
		t.Error("what was deleted may still be in it")
	}
}
