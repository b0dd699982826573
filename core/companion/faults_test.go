package companion_test

import (
	"cmp"
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// logged lists the events that all records show.
func logged(t *rapid.T, c *companion.Companion) (events []string) {
	var list companion.BirthList
	if f := c.Ask("birth.list", &companion.Nothing{}, &list); f != nil {
		t.Fatal(f)
	}
	for _, b := range list.Births {
		first := len(events)
		for _, l := range showIn(t, c, b.Birth).Log {
			events = append(events, l.Event)
		}
		if !slices.IsSortedFunc(events[first:], func(a, b string) int { return cmp.Or(len(a)-len(b), cmp.Compare(a, b)) }) {
			t.Fatalf("a clock has put the lines of %s out of order: %q", b.Birth, events[first:])
		}
	}
	return events
}

// anyOpen names what may be open in the births of these tests.
var anyOpen = []string{"tampon_unknown", "grade_not_written", "grade_unsettled", "urine_open", "visits_open",
	"overdue_first_urine", "overdue_early_checks", "overdue_second_pressure"}

// randomWrite asks one topic that writes, for one of the births.
func randomWrite(t *rapid.T, births []string) (topic string, q any) {
	id := "aaaaaaaa-1"
	if len(births) > 0 {
		id = rapid.SampledFrom(births).Draw(t, "birth")
	}
	switch rapid.IntRange(0, 6).Draw(t, "topic") {
	case 0:
		return "birth.open", &companion.OpenRequest{Born: "now", Another: true}
	case 1:
		return "birth.find", &companion.FindRequest{Birth: id, Finding: "perineal_muscle", Value: "torn"}
	case 2:
		return "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "5", StrengthPercent: "1"}
	case 3:
		return "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60"}
	case 4:
		return "birth.note_grade", &companion.BirthRequest{Birth: id}
	case 5:
		return "birth.close", &companion.CloseRequest{Birth: id, OpenKnown: anyOpen}
	}
	return "birth.reopen", &companion.BirthRequest{Birth: id}
}

// TestAcknowledgedIsThereWhateverFails: a disk that fails anywhere, for once or
// for good, and wall clocks that jump. What was acknowledged is there as long
// as the program runs, after it was killed and after the power was cut; what a
// healthy disk shows as written outlives the power too; and rescue, grade and
// dose answer throughout.
func TestAcknowledgedIsThereWhateverFails(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		disk := journaltest.New()
		h := host(disk)
		now := noon
		h.Wall = func() time.Time { return now }
		c, err := companion.Open(h)
		if err != nil {
			t.Fatal(err)
		}
		var acknowledged, births []string
		for range rapid.IntRange(1, 25).Draw(t, "steps") {
			switch rapid.IntRange(0, 5).Draw(t, "before") {
			case 0:
				op := rapid.SampledFrom([]journaltest.Op{journaltest.Write, journaltest.Sync, journaltest.Truncate, journaltest.Open, journaltest.Read}).Draw(t, "fails")
				disk.Fault = &journaltest.Fault{Op: op, At: disk.Count(op) + rapid.IntRange(1, 3).Draw(t, "at"),
					Forever: rapid.IntRange(0, 3).Draw(t, "forever") == 0, Through: rapid.IntRange(0, 80).Draw(t, "through")}
			case 1:
				now = rapid.SampledFrom([]time.Time{noon, time.Unix(0, 0), time.Unix(-1e10, 0), time.UnixMilli(math.MaxInt64 / 4), noon.Add(-time.Hour)}).Draw(t, "clock")
			}
			topic, q := randomWrite(t, births)
			var s companion.SavedReply
			if f := c.Ask(topic, q, &s); f == nil {
				acknowledged = append(acknowledged, s.Event)
				if topic == "birth.open" {
					births = append(births, s.Birth)
				}
			} else if f.Code == "internal" || f.Code == "word_unknown" {
				t.Fatalf("%s: %v", topic, f)
			}
			answersWithoutRecords(t, c)
		}
		disk.Fault = nil
		shown := logged(t, c)
		holds(t, "the program that goes on", shown, acknowledged)
		var about companion.AboutReply
		if f := c.Ask("companion.about", &companion.Nothing{}, &about); f != nil {
			t.Fatal(f)
		}
		if about.Unconfirmed { // said on the screens: the last line may yet be lost
			shown = acknowledged
		}
		lost, killed := disk.Copy().Lose(), disk.Copy()
		holds(t, "the program after a power cut", logged(t, openIn(t, lost)), shown)
		holds(t, "the program after it was killed", logged(t, openIn(t, killed)), shown)
	})
}

func holds(t *rapid.T, who string, found, wanted []string) {
	for _, event := range wanted {
		if !slices.Contains(found, event) {
			t.Fatalf("%s does not show %s", who, event)
		}
	}
}

// answersWithoutRecords asks what a woman in danger needs; the state of the
// disk is no reason to refuse it.
func answersWithoutRecords(t *rapid.T, c *companion.Companion) {
	var page companion.PageReply
	if f := c.Ask("guide.page", &companion.PageRequest{Page: "steps"}, &page); f != nil {
		t.Fatalf("the guide: %v", f)
	}
	var alarm companion.BleedingReply
	if f := c.Ask("bleeding.assess", &companion.BleedingRequest{LostMl: "500"}, &alarm); f != nil || alarm.Alarm != "act" {
		t.Fatalf("the alarm: %v %q", f, alarm.Alarm)
	}
	var about companion.AboutReply
	if f := c.Ask("companion.about", &companion.Nothing{}, &about); f != nil {
		t.Fatalf("about: %v", f)
	}
}

// TestAFailingDiskKeepsNobodyFromARescue: after a write failed the journal
// cannot even be read again. Records are refused, emergencies are not, and
// what was there is there when the disk mends: never an empty list.
func TestAFailingDiskKeepsNobodyFromARescue(t *testing.T) {
	for _, op := range []journaltest.Op{journaltest.Open, journaltest.Read} {
		disk := journaltest.New()
		c := open(t, disk)
		id := newBirth(t, c)
		for at := 1; at <= 6; at++ {
			disk.Fault = &journaltest.Fault{Op: journaltest.Write, At: disk.Count(journaltest.Write) + 1}
			refused(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "perineal_skin", Value: "torn"}, "disk_failed", "")
			disk.Fault = &journaltest.Fault{Op: op, At: disk.Count(op) + at}
			ask[*companion.PageRequest, companion.PageReply](t, c, "guide.page", &companion.PageRequest{Page: "steps"})
			disk.Fault = nil
			list := ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{})
			if list.Open != 1 {
				t.Errorf("%s %d: the disk mended and %d births are shown", op, at, list.Open)
			}
			save(t, c, "birth.find", &companion.FindRequest{Birth: id, Finding: "perineal_skin", Value: "torn"})
		}
	}
}
