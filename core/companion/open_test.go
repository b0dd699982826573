package companion_test

import (
	"slices"
	"testing"
	"time"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// TestNoSecondRecordOfOneWoman: Back after "New birth", and "Just now" again.
func TestNoSecondRecordOfOneWoman(t *testing.T) {
	h := host(journaltest.New())
	now := noon
	h.Wall = func() time.Time { return now }
	c, err := companion.Open(h)
	if err != nil {
		t.Fatal(err)
	}
	first := save(t, c, "birth.open", &companion.OpenRequest{Born: "now", Bed: "1"}).Birth
	asks := func(bed, who string) {
		t.Helper()
		var a companion.Nothing
		f := c.Ask("birth.open", &companion.OpenRequest{Born: "now", Bed: bed}, &a)
		if f == nil || f.Code != "perhaps_open" || f.Detail != who {
			t.Errorf("bed %q: %v, want to be asked about %s", bed, f, who)
		}
	}
	asks("1", first)
	asks(" 1", first)
	asks("", first)
	other := save(t, c, "birth.open", &companion.OpenRequest{Born: "now", Bed: "2"}).Birth
	now = now.Add(time.Hour)
	asks("1", first)
	third := save(t, c, "birth.open", &companion.OpenRequest{Born: "now"}).Birth
	asks("", third)
	asks("7", third)
	save(t, c, "birth.open", &companion.OpenRequest{Born: "now", Bed: "1", Another: true})
	for _, id := range []string{first, other, third} {
		closedAsItIs(t, c, id)
	}
	save(t, c, "birth.open", &companion.OpenRequest{Born: "now", Bed: "2"})
}

// closedAsItIs closes a record whatever is open in it.
func closedAsItIs(t *testing.T, c *companion.Companion, id string) {
	t.Helper()
	save(t, c, "birth.close", &companion.CloseRequest{Birth: id, OpenKnown: show(t, c, id).StillOpen})
}

// TestLettersAreCounted: not bytes, in whatever script.
func TestLettersAreCounted(t *testing.T) {
	c := open(t, journaltest.New())
	id := save(t, c, "birth.open", &companion.OpenRequest{Born: "now", Bed: "سرير ثمانية"}).Birth
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon", Value: "left"})
	receiver := "Медсестра Центральной районной больницы"
	say(t, c, id, "tampon", "left")
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon_receiver", Text: receiver})
	long := ""
	for range 60 {
		long += "𞤀" // four bytes each
	}
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon_receiver", Text: long})
	refused(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon_receiver", Text: long + "𞤀"}, "too_long", "text")
	refused(t, c, "birth.open", &companion.OpenRequest{Born: "now", Bed: "سرير ثمانية١٢"}, "too_long", "bed")
}

// TestNothingAfterTheBirthLiesBeforeIt: an hour of another day is refused, one
// shortly before the birth is asked about once more: the hour of birth may be
// the wrong one. An antibiotic may have been given in labour.
func TestNothingAfterTheBirthLiesBeforeIt(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c) // born at noon
	at := func(before time.Duration) string { return noon.Add(-before).Format(time.RFC3339) }
	for _, q := range []string{"urine_passed", "tranexamic_given", "tampon_at"} {
		refused(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: q, At: at(13 * 24 * time.Hour), Confirmed: true}, "time_before_birth", "at")
		refused(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: q, At: at(time.Hour)}, "confirm_before_birth", "at")
		save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: q, At: at(time.Hour), Confirmed: true})
		save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: q, At: at(10 * time.Minute)})
	}
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "antibiotic_given", At: at(5 * time.Hour)})
	unknown := save(t, c, "birth.open", &companion.OpenRequest{Born: "not_known", Another: true}).Birth
	save(t, c, "birth.answer", &companion.AnswerRequest{Birth: unknown, Question: "urine_passed", At: at(5 * time.Hour)})
}

// TestNoneIsNoAnswerToATamponInside: nor after that was taken back; out is, and
// so is that it was said by mistake.
func TestNoneIsNoAnswerToATamponInside(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	stands := func(open, warned bool) {
		t.Helper()
		w := walk(t, c, id)
		is := slices.ContainsFunc(w.Gates, func(g companion.GateReply) bool { return g.Key == "tampon" && g.State == "open" })
		if is != open || slices.Contains(w.Warnings, "tampon_inside") != warned {
			t.Errorf("gate open %v, want %v; warnings %q", is, open, w.Warnings)
		}
	}
	say(t, c, id, "tampon", "none")
	for _, said := range []string{"in", "left"} {
		say(t, c, id, "tampon", said)
		refused(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon", Value: "none"}, "tampon_was_in", "value")
		save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon", TakeBack: true})
		refused(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: "tampon", Value: "none"}, "tampon_was_in", "value")
		stands(true, true)
		say(t, c, id, "tampon", map[string]string{"in": "never_in", "left": "out"}[said])
	}
	if w := walk(t, c, id); slices.Contains(w.Warnings, "tampon_inside") {
		t.Errorf("it is out, and yet %q", w.Warnings)
	}
	say(t, c, id, "tampon", "none")
}
