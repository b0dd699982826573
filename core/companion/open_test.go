package companion_test

import (
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
