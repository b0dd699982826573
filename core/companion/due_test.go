package companion_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// agreed opens a birth at noon of 14 March and agrees on a day.
func agreed(t *testing.T, c *companion.Companion, key, date string) string {
	t.Helper()
	id := newBirth(t, c)
	say(t, c, id, "today_right", "yes")
	save(t, c, "birth.visit", &companion.VisitRequest{Birth: id, Key: key, Date: date, Confirmed: true, OddMeant: true})
	return id
}

func due(t *testing.T, c *companion.Companion, zone int) (list []string) {
	t.Helper()
	r := ask[*companion.DueRequest, companion.DueReply](t, c, "birth.due", &companion.DueRequest{Zone: zone})
	for _, v := range r.Visits {
		list = append(list, fmt.Sprint(v.Number, " ", v.Key, " ", v.Date, " week ", v.Week, " ", v.Overdue))
	}
	return list
}

// TestWhoComesBack: by day, with the Monday of the week, closed records among
// them; until somebody says that she came or did not. 16 March 2026 is a Monday.
func TestWhoComesBack(t *testing.T) {
	now := noon
	h := host(journaltest.New())
	h.Wall = func() time.Time { return now }
	c, err := companion.Open(h)
	if err != nil {
		t.Fatal(err)
	}
	first := agreed(t, c, "days_7_to_14", "2026-03-23")
	second := agreed(t, c, "day_3", "2026-03-17")
	closedAsItIs(t, c, second)
	one, two := show(t, c, first).Number, show(t, c, second).Number
	early := one + " days_7_to_14 2026-03-23 week 2026-03-23 false"
	if got, want := due(t, c, 0), []string{two + " day_3 2026-03-17 week 2026-03-16 false", early}; !slices.Equal(got, want) {
		t.Fatalf("due are %q, want %q", got, want)
	}
	now = time.Date(2026, 3, 17, 22, 30, 0, 0, time.UTC) // the 18th already, two hours east
	if got := due(t, c, 120); got[0] != two+" day_3 2026-03-17 week 2026-03-16 true" {
		t.Errorf("past its day: %q", got)
	}
	if got := due(t, c, 0); got[0] != two+" day_3 2026-03-17 week 2026-03-16 false" {
		t.Errorf("on its day: %q", got)
	}
	say(t, c, second, "came_day_3", "came")
	if got := due(t, c, 0); !slices.Equal(got, []string{early}) {
		t.Errorf("she came: %q", got)
	}
	say(t, c, first, "came_days_7_to_14", "missed")
	if got := due(t, c, 0); len(got) != 0 {
		t.Errorf("she did not come, which was said: %q", got)
	}
	say(t, c, first, "today_right", "yes")
	save(t, c, "birth.visit", &companion.VisitRequest{Birth: first, Key: "days_7_to_14", Date: "2026-03-25", Confirmed: true})
	if got := due(t, c, 0); len(got) != 1 {
		t.Errorf("another day was agreed on: %q", got)
	}
	refused(t, c, "birth.due", &companion.DueRequest{Zone: 10_000}, "out_of_range", "zone")
	refused(t, c, "birth.answer", &companion.AnswerRequest{Birth: second, Question: "pulse", Number: number(80)}, "birth_closed", "birth")
}

// TestARecordIsFoundByItsNumber however it is written, and the first screen
// lists no more closed records than fit.
func TestARecordIsFoundByItsNumber(t *testing.T) {
	c := open(t, journaltest.New())
	var numbers []string
	for range 25 {
		id := newBirth(t, c)
		numbers = append(numbers, show(t, c, id).Number)
		closedAsItIs(t, c, id)
	}
	found := func(text string) (list []string, more bool) {
		t.Helper()
		r := ask[*companion.SearchRequest, companion.SearchReply](t, c, "birth.search", &companion.SearchRequest{Text: text})
		for _, b := range r.Births {
			list = append(list, b.Number)
		}
		return list, r.More
	}
	prefix := numbers[0][:3]
	for _, text := range []string{prefix + "-17", prefix + "17", " " + prefix + " - 17", prefix[1:] + "-١٧"} {
		if got, more := found(text); !slices.Equal(got, []string{prefix + "-17"}) || more {
			t.Errorf("%q finds %q", text, got)
		}
	}
	if got, more := found(prefix); len(got) != 20 || !more || got[0] != numbers[24] {
		t.Errorf("all of them: %d, more %v, first %q", len(got), more, got[0])
	}
	if got, _ := found("3"); !slices.Contains(got, prefix+"-25") { // the bed of all
		t.Errorf("bed 3: %q", got)
	}
	if got, _ := found("nobody"); len(got) != 0 {
		t.Errorf("nobody is %q", got)
	}
	refused(t, c, "birth.search", &companion.SearchRequest{Text: " - "}, "key_missing", "text")
	list := ask[*companion.Nothing, companion.BirthList](t, c, "birth.list", &companion.Nothing{})
	if list.Closed != 25 || len(list.Births) != 10 || list.Births[9].Number != numbers[24] {
		t.Errorf("%d closed, %d listed", list.Closed, len(list.Births))
	}
}
