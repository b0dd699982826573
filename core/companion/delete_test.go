package companion_test

import (
	"reflect"
	"slices"
	"strconv"
	"testing"
	"time"

	"fourchette/core/birth"
	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// later is a phone whose clock is so many days after noon.
func later(t fataler, disk *journaltest.Disk, seed byte, days int) *companion.Companion {
	t.Helper()
	h := host(disk)
	h.Random = &counting{n: seed}
	h.Wall = func() time.Time { return noon.AddDate(0, 0, days) }
	c, err := companion.Open(h)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return c
}

func dueIn(t fataler, c *companion.Companion, months int) companion.DueForDeletionReply {
	t.Helper()
	return given[companion.DueForDeletionReply](t, c, "birth.due_for_deletion", &companion.KeepRequest{Months: months})
}

func erase(c *companion.Companion, ids ...string) *companion.Fault {
	return c.Ask("records.delete", &companion.DeleteRequest{Births: ids, Reason: "kept_long_enough", Confirmed: true}, &companion.DeletedReply{})
}

// done is a birth that is closed with nothing left to do.
func done(t testing.TB, c *companion.Companion) string {
	t.Helper()
	id := newBirth(t, c)
	closeOne(t, c, id)
	return id
}

// TestTheRuleNamesWhatMayGo and says why the rest is held.
func TestTheRuleNamesWhatMayGo(t *testing.T) {
	disk := journaltest.New()
	c := phone(t, disk, 0)
	gone, open := done(t, c), newBirth(t, c)
	want := map[string][]string{}
	hold := func(why []string, pairs ...string) {
		id := newBirth(t, c)
		closeOne(t, c, id)
		save(t, c, "birth.reopen", &companion.BirthRequest{Birth: id})
		if pairs == nil {
			save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon", TakeBack: true})
		}
		say(t, c, id, pairs...)
		closedAsItIs(t, c, id)
		want[id] = why
	}
	hold([]string{"left_inside"}, "tampon", "in")
	hold([]string{"left_inside"}) // nobody said
	hold([]string{"left_inside"}, "urine_passed", "catheter")
	hold([]string{"count_open"}, "laid_out", "yes")
	newer := done(t, c)
	want[newer] = []string{"left_inside", "record_doubtful"} // nothing settles what is inside her
	e := birth.Event{Schema: birth.Schema + 1, Device: "zzzzzzz2", Seq: 1, Lamport: 100, Birth: newer, Kind: "graft"}
	raw, err := e.MarshalMsg(nil)
	if err != nil {
		t.Fatal(err)
	}
	imported(t, c, byHand(t, birth.Record{Raw: raw}))
	visit := agreed(t, c, "day_3", "2026-03-17")
	closeOne(t, c, visit)
	want[visit] = []string{"visit_open"}

	if r := dueIn(t, c, 1); len(r.Due)+len(r.Held) > 0 {
		t.Errorf("nothing is old yet: %+v", r)
	}
	c = later(t, disk, 0, 400)
	if r := dueIn(t, c, 0); len(r.Due)+len(r.Held) > 0 {
		t.Errorf("all are kept: %+v", r)
	}
	r := dueIn(t, c, 12)
	if len(r.Due) != 1 || r.Due[0].Birth != gone || r.Due[0].Last != "2026-03-14T12:00:00Z" || r.More {
		t.Errorf("due are %+v", r.Due)
	}
	got := map[string][]string{}
	for _, h := range r.Held {
		got[h.Birth] = h.Why
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("held are %q, want %q", got, want)
	}
	say(t, c, visit, "came_day_3", "missed")
	if r := dueIn(t, c, 12); len(r.Due) != 1 {
		t.Errorf("written in today, and already due: %+v", r.Due)
	}
	for id, why := range want {
		if id == visit {
			continue
		}
		if f := erase(c, gone, id); f == nil || f.Code != "birth_held" || f.Field != "births.1" || f.Detail != why[0] {
			t.Errorf("%q: %v", why, f)
		}
	}
	if f := erase(c, open); f == nil || f.Code != "birth_held" {
		t.Errorf("open: %v", f)
	}
	if b := show(t, c, gone); !b.Closed { // all or none
		t.Error("it was deleted beside one that is held")
	}
}

// TestWhatIsDeletedIsGone here, after a start, and wherever its records go.
func TestWhatIsDeletedIsGone(t *testing.T) {
	disk := journaltest.New()
	c := phone(t, disk, 0)
	first, second := done(t, c), done(t, c)
	other := phone(t, journaltest.New(), 60)
	before, _ := exported(t, c)
	imported(t, other, before)

	refuse := func(code, field string, r companion.DeleteRequest) {
		t.Helper()
		refused(t, c, "records.delete", &r, code, field)
	}
	refuse("confirm_delete", "confirmed", companion.DeleteRequest{Births: []string{first}, Reason: "her_wish"})
	refuse("word_unknown", "reason", companion.DeleteRequest{Births: []string{first}, Reason: "no_room", Confirmed: true})
	refuse("key_missing", "births", companion.DeleteRequest{Reason: "her_wish", Confirmed: true})
	refuse("birth_unknown", "births.0", companion.DeleteRequest{Births: []string{"zzzzzzzz-1"}, Reason: "her_wish", Confirmed: true})
	refuse("item_twice", "births.1", companion.DeleteRequest{Births: []string{first, first}, Reason: "her_wish", Confirmed: true})
	must(t, erase(c, second))

	for range 2 {
		refused(t, c, "birth.show", &companion.BirthRequest{Birth: second}, "birth_unknown", "birth")
		refused(t, c, "birth.reopen", &companion.BirthRequest{Birth: second}, "birth_unknown", "birth")
		if r := imported(t, c, before); r.New != 0 || r.OfDeleted == 0 || len(births(c, false)) != 1 {
			t.Errorf("merging brings somebody back: %+v", r)
		}
		c = phone(t, disk, 0)
	}
	file, out := exported(t, c)
	if _, all := exported(t, other); out.Entries != all.Entries/2+1 {
		t.Errorf("%d entries go out; of a deleted birth there goes only the deletion", out.Entries)
	}
	if third := newBirth(t, c); third == second {
		t.Error("the number of a deleted birth was given again")
	}
	// On the other phone she is being treated again: there it is held.
	save(t, other, "birth.reopen", &companion.BirthRequest{Birth: second})
	r := imported(t, other, file)
	if r.Deleted != 0 || len(r.Held) != 1 || r.Held[0].Birth != second || !slices.Contains(r.Held[0].Why, "record_open") {
		t.Errorf("open there: %+v", r)
	}
	if show(t, other, second).Closed {
		t.Error("it was closed by that")
	}
	closeOne(t, other, second)
	if r := imported(t, other, file); r.Deleted != 1 || len(r.Held) > 0 || r.New != 1 {
		t.Errorf("closed there: %+v", r)
	}
	if got, want := companion.StateOf(other), []string{second}; !slices.Equal(got.Deleted, want) || len(got.Births) != 1 {
		t.Errorf("%d births, deleted %q", len(got.Births), got.Deleted)
	}
}

// TestALongListIsNamedInParts.
func TestALongListIsNamedInParts(t *testing.T) {
	disk := journaltest.New()
	c := phone(t, disk, 0)
	for range 203 {
		done(t, c)
	}
	c = later(t, disk, 0, 60)
	r := dueIn(t, c, 1)
	if len(r.Due) != 200 || !r.More {
		t.Fatalf("%d named, more %v", len(r.Due), r.More)
	}
	var ids []string
	for i, b := range r.Due {
		if b.Number != "AEB-"+strconv.Itoa(i+1) {
			t.Fatalf("%d is %s", i, b.Number)
		}
		ids = append(ids, b.Birth)
	}
	must(t, erase(c, ids...))
	if r := dueIn(t, c, 1); len(r.Due) != 3 || r.More {
		t.Errorf("%d left", len(r.Due))
	}
	for _, months := range []int{-1, 1201} {
		refused(t, c, "birth.due_for_deletion", &companion.KeepRequest{Months: months}, "out_of_range", "months")
	}
	refused(t, open(t, nil), "birth.due_for_deletion", &companion.KeepRequest{Months: 1}, "no_disk", "")
	refused(t, open(t, nil), "records.delete", &companion.DeleteRequest{Births: []string{"zzzzzzzz-1"}, Reason: "her_wish"}, "no_disk", "")
}
