package companion_test

import (
	"slices"
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// TestTheHourOfBirthIsPutRight: what runs from it runs from the new hour, what
// was said before stays in the record, and the birth stays the same one.
func TestTheHourOfBirthIsPutRight(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c) // born now, at noon, bed 3
	due := func(c *companion.Companion) string {
		for _, x := range walk(t, c, id).Timers {
			if x.Key == "first_urine" {
				return x.Due
			}
		}
		return "-"
	}
	if got, want := due(c), noon.Add(6*time.Hour).Format(time.RFC3339); got != want {
		t.Fatalf("first urine is due %s, want %s", got, want)
	}
	save(t, c, "birth.put_right", &companion.PutRightRequest{Birth: id, Born: "at", BornAt: noon.Add(-5 * time.Hour).Format(time.RFC3339), Bed: "4"})
	for name, c := range map[string]*companion.Companion{"at once": c, "opened again": open(t, disk)} {
		b := show(t, c, id)
		if got, want := due(c), noon.Add(time.Hour).Format(time.RFC3339); got != want || b.Bed != "4" {
			t.Errorf("%s: first urine is due %s, want %s; bed %s", name, got, want, b.Bed)
		}
		first, last := b.Log[0], b.Log[len(b.Log)-1]
		if first.Kind != "opened" || last.Kind != "put_right" || last.Value != noon.Add(-5*time.Hour).Format(time.RFC3339) {
			t.Errorf("%s: the record says %+v and %+v", name, first, last)
		}
	}
	save(t, c, "birth.put_right", &companion.PutRightRequest{Birth: id, Born: "not_known", Bed: "4"})
	b := show(t, c, id)
	if b.BornAt != "" || !slices.Contains(walk(t, c, id).Ways, "hour_unknown") || b.Log[len(b.Log)-1].Value != "not_known" {
		t.Errorf("an hour that nobody knows is %q, %+v", b.BornAt, b.Log[len(b.Log)-1])
	}
}

// TestAnHourThatCannotBeIsRefused, and so is a closed record.
func TestAnHourThatCannotBeIsRefused(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	at := func(after time.Duration) *companion.PutRightRequest {
		return &companion.PutRightRequest{Birth: id, Born: "at", BornAt: noon.Add(after).Format(time.RFC3339)}
	}
	refused(t, c, "birth.put_right", at(time.Hour), "time_in_future", "born_at")
	refused(t, c, "birth.put_right", at(-43*24*time.Hour), "time_too_long_ago", "born_at")
	refused(t, c, "birth.put_right", &companion.PutRightRequest{Birth: id, Born: "perhaps"}, "word_unknown", "born")
	refused(t, c, "birth.put_right", &companion.PutRightRequest{Birth: id, Born: "same", Bed: "the bed by the window"}, "too_long", "bed")
	closedAsItIs(t, c, id)
	refused(t, c, "birth.put_right", at(0), "birth_closed", "birth")
}

// TestAnHourLaterThanTheRecordIsAskedAbout: it would give more time than there
// is; a bed alone leaves the hour.
func TestAnHourLaterThanTheRecordIsAskedAbout(t *testing.T) {
	now := noon
	h := host(journaltest.New())
	h.Wall = func() time.Time { return now }
	c, err := companion.Open(h)
	if err != nil {
		t.Fatal(err)
	}
	id := newBirth(t, c)
	now = noon.Add(20 * time.Hour)
	refused(t, c, "birth.put_right", &companion.PutRightRequest{Birth: id, Born: "now", Bed: "3"}, "word_unknown", "born")
	later := &companion.PutRightRequest{Birth: id, Born: "at", BornAt: noon.Add(19 * time.Hour).Format(time.RFC3339), Bed: "3"}
	refused(t, c, "birth.put_right", later, "confirm_born", "born_at")
	save(t, c, "birth.put_right", &companion.PutRightRequest{Birth: id, Born: "same", Bed: "6"})
	if b := show(t, c, id); b.Bed != "6" || b.BornAt != noon.Format(time.RFC3339) {
		t.Errorf("bed %s, born %s", b.Bed, b.BornAt)
	}
	later.Confirmed = true
	save(t, c, "birth.put_right", later)
}

// TestPuttingRightSettlesNoDamage: a line of the record is lost, and a bed that
// is put right brings it not back.
func TestPuttingRightSettlesNoDamage(t *testing.T) {
	disk := journaltest.New()
	c := open(t, disk)
	id := newBirth(t, c)
	for range 3 {
		save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "pulse", Number: number(88)})
	}
	names, _ := disk.Names()
	b := slices.Clone(disk.Bytes(names[0]))
	b[len(b)-200] ^= 1 // in the last but one
	disk = journaltest.New()
	disk.Put(names[0], b)
	c = open(t, disk)
	save(t, c, "birth.put_right", &companion.PutRightRequest{Birth: id, Born: "same", Bed: "4"})
	for name, c := range map[string]*companion.Companion{"at once": c, "opened again": open(t, disk)} {
		if !show(t, c, id).Damaged {
			t.Errorf("%s: settled", name)
		}
	}
	save(t, c, "birth.looked_through", &companion.BirthRequest{Birth: id})
	if show(t, c, id).Damaged {
		t.Error("looked through, and in doubt")
	}
}

// TestAPinchTooEarlyIsAskedAbout: two minutes after the last injection.
func TestAPinchTooEarlyIsAskedAbout(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	numbed(t, c, id)
	early := &companion.AnswerRequest{Birth: id, Question: "numb_felt", Value: "no"}
	refused(t, c, "birth.answer", early, "confirm_early", "value")
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "numb_felt", Value: "yes"})
	early.Confirmed = true
	save(t, c, "birth.answer", early)
}
