package companion_test

import (
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// TestADayToComeBack: what cannot be is refused, what is odd is asked about,
// and no day is worked out from a date that nobody looked at. The ranges are
// WHO's contacts (WHO 2013, as tabulated in BMC 2023); noon is 2026-03-14.
func TestADayToComeBack(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	visit := func(key, date string) *companion.VisitRequest {
		return &companion.VisitRequest{Birth: id, Key: key, Date: date, Confirmed: true}
	}
	refused(t, c, "birth.visit", visit("day_3", "2020-01-01"), "visit_before_birth", "date")
	refused(t, c, "birth.visit", visit("day_3", "2026-03-17"), "today_not_looked_at", "date")
	say(t, c, id, "today_right", "no")
	refused(t, c, "birth.visit", visit("day_3", "2026-03-17"), "today_not_looked_at", "date")
	say(t, c, id, "today_right", "yes")
	for _, x := range []struct{ key, date, code string }{
		{"day_3", "2020-01-01", "visit_before_birth"},
		{"day_3", "2026-03-12", "visit_before_birth"},
		{"week_6", "2027-04-25", "visit_too_late"},
		{"day_3", "2026-04-17", "visit_odd"},
		{"day_3", "2026-03-14", "visit_odd"},
		{"week_6", "2026-04-29", "visit_odd"},
		{"days_7_to_14", "2026-03-17", "visit_odd"},
		{"sphincter_feast", "2026-03-17", "visit_unknown"},
	} {
		field := "date"
		if x.code == "visit_unknown" {
			field = "key"
		}
		refused(t, c, "birth.visit", visit(x.key, x.date), x.code, field)
	}
	for _, x := range []struct{ key, date string }{
		{"day_3", "2026-03-16"}, {"day_3", "2026-03-18"}, {"week_6", "2026-04-22"}, {"week_6", "2026-04-28"}, {"days_7_to_14", "2026-03-28"},
	} {
		save(t, c, "birth.visit", visit(x.key, x.date))
	}
	odd := visit("day_3", "2026-04-17")
	odd.OddMeant = true
	save(t, c, "birth.visit", odd)
}

// TestAnAgreedDayIsTakenBack, and stands no more; another cannot be.
func TestAnAgreedDayIsTakenBack(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	say(t, c, id, "today_right", "yes")
	v := &companion.VisitRequest{Birth: id, Key: "day_3", Date: "2026-03-17", Confirmed: true}
	save(t, c, "birth.visit", v)
	v.Confirmed = false
	save(t, c, "birth.visit", v)
	if got := show(t, c, id).Visits; len(got) != 1 || got[0].Confirmed {
		t.Errorf("taken back: %+v", got)
	}
	v.Date = "2026-03-18"
	refused(t, c, "birth.visit", v, "visit_unknown", "key")
}

// TestALookAtTheDateDoesNotLast: after a shift it is asked for anew, and an
// hour of birth that nobody knows still bounds the day.
func TestALookAtTheDateDoesNotLast(t *testing.T) {
	running := time.Hour
	h := host(journaltest.New())
	h.Running = func() time.Duration { return running }
	c, err := companion.Open(h)
	if err != nil {
		t.Fatal(err)
	}
	save(t, c, "birth.open", &companion.OpenRequest{Born: "not_known"})
	id := ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{}).Births[0].Birth
	say(t, c, id, "today_right", "yes")
	v := &companion.VisitRequest{Birth: id, Key: "day_3", Date: "2026-03-17", Confirmed: true}
	save(t, c, "birth.visit", v)
	v.Date = "2025-12-31"
	refused(t, c, "birth.visit", v, "visit_before_birth", "date")
	v.Date = "2026-03-17"
	if !walk(t, c, id).TodayLooked {
		t.Error("nobody looked at the date")
	}
	running += 12 * time.Hour // the wall clock stands
	if walk(t, c, id).TodayLooked {
		t.Error("a look of twelve hours ago still holds")
	}
	refused(t, c, "birth.visit", v, "today_not_looked_at", "date")
}
