package records_test

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"fourchette/core/archive"
	"fourchette/core/birth"
	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/core/records"
)

func TestNothingYet(t *testing.T) {
	d := journaltest.New()
	c := start(t, d)
	if len(c.r.Live()) > 0 || c.r.NextBirth(device) != device+"-1" || c.r.Archived() > 0 {
		t.Error("there is something")
	}
	if _, err := c.r.Birth(device + "-1"); !errors.Is(err, records.ErrUnknown) {
		t.Errorf("%v", err)
	}
	for _, id := range []string{"", "x", device + "-0", device + "-01", device, "-1"} {
		if _, err := c.r.Birth(id); !errors.Is(err, records.ErrUnknown) {
			t.Errorf("%q: %v", id, err)
		}
	}
	if list, _, err := c.r.Older(c.r.Top(), 10); len(list) > 0 || err != nil {
		t.Errorf("%v, %v", list, err)
	}
	must(t, c.tidy())
	c.open()
	c.holds("tidied with nothing")
}

// One event is one write and one flush, whatever lies in the archive, and for a
// birth in it too.
func TestOneEventIsOneWriteAndOneFlush(t *testing.T) {
	d := fresh()
	c := start(t, d)
	history(c)
	count := func() [3]int {
		return [3]int{d.Count(journaltest.Write), d.Count(journaltest.Sync), d.Count(journaltest.Truncate)}
	}
	for _, id := range []string{device + "-5", device + "-1", device + "-2", device + "-1"} {
		before := count()
		if !c.say(id, "torn") {
			t.Fatal("not saved")
		}
		after := count()
		if after != [3]int{before[0] + 1, before[1] + 1, before[2]} {
			t.Errorf("%s: writes, syncs, truncations from %v to %v", id, before, after)
		}
	}
	c.holds("after them")
}

// A start reads no volume, and does not read more because there is more history.
func TestAStartDoesNotGrowWithHistory(t *testing.T) {
	d := fresh()
	c := start(t, d)
	reads := func() (int, int, int) {
		before := [2]int{d.Count(journaltest.Open), d.Count(journaltest.Read)}
		c.open()
		return d.Count(journaltest.Open) - before[0], d.Count(journaltest.Read) - before[1], len(c.r.Live())
	}
	var first [3]int
	for round := range 30 {
		for range 10 {
			id, _ := c.begin()
			c.say(id, "torn")
			c.close(id)
		}
		must(t, c.tidy())
		c.begin()
		opens, reads, live := reads()
		if got := [3]int{opens, reads, live - round}; round == 0 {
			first = got
		} else if got != first {
			t.Fatalf("after %d births: %v opens, reads and births, at first %v", 11*round+11, got, first)
		}
	}
	c.holds("all of it")
	if c.r.Archived() != 300 {
		t.Errorf("%d births moved", c.r.Archived())
	}
}

func TestOlderBirthsAreListedNewestFirst(t *testing.T) {
	c := start(t, fresh())
	var want []string
	for n := range 25 {
		id, _ := c.begin()
		c.close(id)
		want = append(want, id)
		if n%4 == 3 {
			must(t, c.tidy())
		}
	}
	must(t, c.tidy())
	c.say(want[7], "torn") // live again, and not listed twice
	slices.Reverse(want)
	want = slices.DeleteFunc(want, func(id string) bool { return id == device+"-8" })
	var got []string
	for place := c.r.Top(); ; {
		list, next, err := c.r.Older(place, 4)
		must(t, err)
		if len(list) == 0 {
			break
		}
		for _, o := range list {
			got = append(got, o.ID)
			if string(o.Summary) != "line of "+o.ID {
				t.Errorf("%s: %q", o.ID, o.Summary)
			}
		}
		place = next
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestFoundByNumber(t *testing.T) {
	c := start(t, fresh())
	history(c)
	for number, want := range map[string][]string{
		"AEB-1": {device + "-1"}, "aeb-2": {device + "-2"}, " AEB-5 ": {device + "-5"},
		"AEB-3": nil, "AEB-9": nil, "XYZ-1": nil, "AEB": nil, "": nil, "AEB-0": nil, "AEB-x": nil,
	} {
		if got, err := c.r.Numbered(number); err != nil || !slices.Equal(got, want) {
			t.Errorf("%q: %q, %v", number, got, err)
		}
	}
}

// Two devices' births in one journal, as after a merge: each in its place.
func TestBirthsOfSeveralDevices(t *testing.T) {
	c := start(t, fresh())
	other := birth.Writer{Device: "zzzzzzz2"}
	for n := range 12 {
		if n%3 == 0 {
			other.Lamport = c.r.Writer().Lamport
			for _, kind := range []string{birth.KindOpened, birth.KindClosed} {
				e := other.Next(birth.BirthID(other.Device, uint64(n/3+1)), kind, now)
				if kind == birth.KindOpened {
					e.Opened = &birth.Opened{Bed: "9"}
				}
				r, err := e.Record()
				must(t, err)
				must(t, c.r.Append(r))
				c.saved = append(c.saved, r)
			}
			continue
		}
		id, _ := c.begin()
		c.close(id)
	}
	want := birth.Replay(c.saved).Births
	must(t, c.tidy())
	c.open()
	c.holds("merged")
	list, _, err := c.r.Older(c.r.Top(), 100)
	must(t, err)
	for i, o := range list {
		if b := want[len(want)-1-i]; b.ID != o.ID {
			t.Errorf("place %d: %s, want %s", i, o.ID, b.ID)
		}
	}
	if len(list) != 12 || c.r.NextBirth(other.Device) != other.Device+"-5" || c.r.NextBirth(device) != device+"-9" {
		t.Errorf("%d births, next %s and %s", len(list), c.r.NextBirth(other.Device), c.r.NextBirth(device))
	}
}

// Payloads that are no event stay, byte for byte, and cast doubt on what was
// begun before them, until somebody has looked.
func TestStraysStay(t *testing.T) {
	d := fresh()
	c := start(t, d)
	early, _ := c.begin()
	must(t, c.r.Close())
	j, _, err := journal.Open(d)
	must(t, err)
	must(t, errors.Join(j.Append([]byte("no event")), j.Close()))
	c.open()
	late, _ := c.begin()
	c.close(early)
	c.close(late)
	for round := range 3 {
		report := c.open()
		if report.Strays != 1 {
			t.Errorf("%+v", report)
		}
		for id, damaged := range map[string]bool{early: true, late: false} {
			if b, err := c.r.Birth(id); err != nil || b.Damaged != damaged {
				t.Errorf("round %d, %s: damaged %v, %v", round, id, b.Damaged, err)
			}
		}
		must(t, c.tidy())
	}
	c.write(early, birth.KindLookedThrough, nil)
	for range 2 {
		if b, err := c.r.Birth(early); err != nil || b.Damaged {
			t.Errorf("looked through: damaged %v, %v", b.Damaged, err)
		}
		c.open()
		must(t, c.tidy())
	}
}

// Of a deleted birth nothing is left in any file but its deletion, and it stays
// deleted, whatever arrives of it.
func TestDeletedIsGone(t *testing.T) {
	d := fresh()
	c := start(t, d)
	var ids []string
	for n := range 4 {
		id, _ := c.begin()
		ids = append(ids, id)
		c.write(id, birth.KindAnswer, func(e *birth.Event) {
			e.Answer = &birth.Answer{Question: "tampon_receiver", Kind: birth.AnswerText, Text: fmt.Sprintf("secret of %d", n)}
		})
		if n < 2 {
			c.close(id)
		}
	}
	late := c.event(ids[0], birth.KindReopened, nil)
	must(t, c.tidy())
	if c.r.Archived() != 2 {
		t.Fatalf("%d births moved", c.r.Archived())
	}
	for n, id := range ids[:3] {
		secret := []byte(fmt.Sprintf("secret of %d", n))
		if !inFiles(d, secret) {
			t.Fatal("this test cannot tell")
		}
		c.delete(id)
		must(t, c.tidy())
		if inFiles(d, secret) {
			t.Errorf("%s is still in a file", id)
		}
		c.holds("deleted")
	}
	must(t, c.r.Append(late))
	c.saved = append(c.saved, late)
	for round := range 4 {
		c.holds("something arrived late")
		list, _, err := c.r.Older(c.r.Top(), 9)
		if err != nil || len(list) > 0 || len(c.r.Live()) != 1 || c.r.Archived() != 0 {
			t.Errorf("round %d: %+v, %v, %d live, %d moved", round, list, err, len(c.r.Live()), c.r.Archived())
		}
		if id := c.r.NextBirth(device); id != device+"-5" {
			t.Errorf("the next would be %s", id)
		}
		if round == 1 {
			must(t, c.tidy())
		} else {
			c.open()
		}
	}
}

// A phone that moves on to another id writes under that, whatever was tidied,
// and what it began under the old one is its own.
func TestAPhoneMovesOnToAnotherID(t *testing.T) {
	d := fresh()
	c := start(t, d)
	early, _ := c.begin()
	w := birth.Writer{Device: "zzzzzzz2", Lamport: c.r.Writer().Lamport}
	e, err := w.Next(early, birth.KindMoved, now).Record()
	must(t, err)
	must(t, c.r.Append(e))
	for round := range 4 {
		if got := *c.r.Writer(); got != w {
			t.Fatalf("round %d: it writes as %+v, not %+v", round, got, w)
		}
		if round == 1 {
			c.say(early, "torn")
			w.Seq, w.Lamport = w.Seq+1, w.Lamport+1
		}
		c.holds("moved on")
		if round != 2 {
			c.open()
		} else {
			must(t, c.tidy())
		}
	}
	must(t, c.r.Close())
	j, _, err := journal.OpenFrom(d, journal.Plain{}, startOf(t, d))
	must(t, err)
	must(t, errors.Join(j.Append([]byte("no event")), j.Close()))
	c.open()
	late := birth.BirthID(w.Device, 1)
	c.write(late, birth.KindOpened, func(e *birth.Event) { e.Opened = &birth.Opened{} })
	for id, damaged := range map[string]bool{early: true, late: false} {
		if b, err := c.r.Birth(id); err != nil || b.Damaged != damaged {
			t.Errorf("%s: damaged %v, %v", id, b.Damaged, err)
		}
	}
}

// startOf is where the journal begins after the last commit.
func startOf(t testing.TB, d journal.Disk) journal.Start {
	a, _, err := archive.Open(d, journal.Plain{})
	must(t, err)
	return a.Start()
}

// TestAnyHistoryIsTheReplayOfEverything: wherever events lie, in the journal or
// the archive, and however often births moved and came back, each birth is what
// a replay of all events makes of it.
func TestAnyHistoryIsTheReplayOfEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := start(t, journaltest.New())
		var ids []string
		for range rapid.IntRange(1, 40).Draw(t, "steps") {
			step := rapid.IntRange(0, 12).Draw(t, "step")
			if len(ids) == 0 {
				step = 0
			}
			pick := func() string { return rapid.SampledFrom(ids).Draw(t, "birth") }
			switch step {
			case 0, 1:
				id, _ := c.begin()
				ids = append(ids, id)
			case 2, 3:
				c.say(pick(), rapid.SampledFrom([]string{"torn", "intact", ""}).Draw(t, "word"))
			case 4, 5:
				c.close(pick())
			case 6:
				c.write(pick(), birth.KindReopened, nil)
			case 7: // the same event once more, as a merge brings it
				e := rapid.SampledFrom(c.saved).Draw(t, "again")
				if err := c.r.Append(e); err != nil {
					t.Fatal(err)
				}
			case 8:
				c.open()
			case 9, 10:
				some := map[string]bool{}
				for _, id := range rapid.SliceOf(rapid.SampledFrom(ids)).Draw(t, "moved") {
					some[id] = true
				}
				if _, _, err := c.r.Tidy(func(b *birth.Birth) ([]byte, bool) { return []byte(b.ID), some[b.ID] }); err != nil {
					t.Fatal(err)
				}
			case 12:
				c.delete(pick())
			case 11: // bed or hour put right, much later
				c.write(pick(), birth.KindOpened, func(e *birth.Event) { e.Opened = &birth.Opened{Bed: "7"} })
			}
			if next := birth.Replay(c.saved).NextBirth(device); c.r.NextBirth(device) != next {
				t.Fatalf("the next birth would be %s, not %s", c.r.NextBirth(device), next)
			}
		}
		c.holds("in memory")
		was := *c.r.Writer()
		c.open()
		c.holds("opened again")
		if is := *c.r.Writer(); is != was {
			t.Fatalf("the writer's counts were %+v, are %+v", was, is)
		}
		everyEvent(t, c)
	})
}

// everyEvent wants the events of all births to be those saved, byte for byte.
func everyEvent(t *rapid.T, c *clinic) {
	var got, want []string
	for _, b := range c.shown() {
		for _, r := range b.Log {
			got = append(got, string(r.Raw))
		}
	}
	for _, b := range birth.Replay(c.saved).Births {
		for _, r := range b.Log {
			want = append(want, string(r.Raw))
		}
	}
	slices.Sort(got)
	slices.Sort(want)
	if !reflect.DeepEqual(got, slices.Compact(want)) {
		t.Fatalf("%d events, want %d", len(got), len(want))
	}
}

// An event whose id is there twice, with other bytes, leaves the birth in doubt
// until somebody has looked through it, wherever the two lie.
func TestTheSameIdTwiceIsInDoubt(t *testing.T) {
	c := start(t, fresh())
	id, _ := c.begin()
	c.say(id, "torn")
	other := c.saved[1].Event
	other.Finding = &birth.Finding{Name: "perineal_skin", Value: "intact"}
	twin, err := other.Record()
	must(t, err)
	c.close(id)
	must(t, c.tidy())
	must(t, c.r.Append(twin))
	damaged := func(what string, want bool) {
		t.Helper()
		for range 2 {
			if b, err := c.r.Birth(id); err != nil || b.Twice != 2 || b.Damaged != want {
				t.Fatalf("%s: twice %d, damaged %v, %v", what, b.Twice, b.Damaged, err)
			}
			c.open()
		}
	}
	damaged("arrived", true)
	must(t, c.tidy())
	damaged("tidied", true)
	if len(c.r.Live()) != 1 {
		t.Error("it moved, and nobody has looked")
	}
	c.write(id, birth.KindLookedThrough, nil)
	damaged("looked through", false)
	must(t, c.tidy())
	damaged("moved", false)
	if len(c.r.Live()) != 0 {
		t.Error("it did not move")
	}
}

// A mark stays, costs nothing, and is told of; also one that says more.
func TestMarksStay(t *testing.T) {
	for _, mark := range [][]byte{records.Mark, append(slices.Clone(records.Mark), 0xc2)} {
		marksStay(t, mark)
	}
}

func marksStay(t *testing.T, mark []byte) {
	t.Helper()
	d := fresh()
	j, _, err := journal.Open(d)
	must(t, err)
	must(t, errors.Join(j.Append(mark), j.Close()))
	c := start(t, d)
	id, _ := c.begin()
	for range 3 {
		if report := c.open(); report.Strays > 0 || !c.r.Marked() {
			t.Errorf("%+v, marked %v", report, c.r.Marked())
		}
		if b, err := c.r.Birth(id); err != nil || b.Damaged {
			t.Errorf("damaged %v, %v", b.Damaged, err)
		}
		must(t, c.tidy())
	}
	c.holds("with a mark")
	if start(t, fresh()).r.Marked() {
		t.Error("marked, with no mark")
	}
}

// A birth of the archive that can be read in part, or not at all, is live once,
// however it came back.
func TestADamagedBirthIsListedOnce(t *testing.T) {
	d := fresh()
	c := start(t, d)
	id, _ := c.begin()
	c.close(id)
	must(t, c.tidy())
	b := d.Bytes("archive-00000001")
	b[60] ^= 1
	d.Put("archive-00000001", b)
	c.open()
	c.say(id, "torn")
	for range 3 {
		if live := c.r.Live(); len(live) != 1 || !live[0].Damaged {
			t.Errorf("%d live", len(live))
		}
		c.open()
		must(t, c.tidy())
	}
}
