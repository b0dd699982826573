package keep_test

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fourchette/core/keep"
)

func day(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

func TestWhenARecordHasBeenKeptLongEnough(t *testing.T) {
	for _, c := range []struct {
		months    int
		last, now string
		want      bool
	}{
		{0, "1990-01-01", "2026-03-14", false},
		{-3, "1990-01-01", "2026-03-14", false},
		{12, "2025-03-14", "2026-03-14", true},
		{12, "2025-03-15", "2026-03-14", false},
		{1, "2026-01-31", "2026-03-02", false}, // 31 days after the last of January is 3 March
		{1, "2026-01-31", "2026-03-03", true},
		{12, "2027-01-01", "2026-03-14", false}, // written by a clock ahead
	} {
		if got := (keep.Rule{Months: c.months}).Past(day(c.last), day(c.now)); got != c.want {
			t.Errorf("%d months from %s on %s: %v", c.months, c.last, c.now, got)
		}
	}
	if (keep.Rule{Months: 1}).Past(time.Time{}, day("2026-03-14")) {
		t.Error("nobody knows when, and yet old enough")
	}
}

// TestNothingThatIsHeldIsDue, and all that is old enough is named once.
func TestNothingThatIsHeldIsDue(t *testing.T) {
	now := day("2026-03-14")
	rapid.Check(t, func(t *rapid.T) {
		bit := rapid.Bool()
		birth := rapid.Custom(func(t *rapid.T) *keep.Birth {
			return &keep.Birth{
				ID: rapid.StringN(1, 4, 4).Draw(t, "id"), Last: now.AddDate(0, 0, -rapid.IntRange(-10, 900).Draw(t, "days")),
				Open: bit.Draw(t, "open"), Inside: bit.Draw(t, "inside"), Count: bit.Draw(t, "count"), Visit: bit.Draw(t, "visit"), Doubt: bit.Draw(t, "doubt"),
			}
		})
		births := rapid.SliceOf(birth).Draw(t, "births")
		rule := keep.Rule{Months: rapid.IntRange(0, 30).Draw(t, "months")}
		due, held := keep.Due(rule, now, births)
		old := 0
		for _, b := range births {
			if rule.Past(b.Last, now) {
				old++
			}
		}
		if len(due)+len(held) != old || rule.Months == 0 && old > 0 {
			t.Fatalf("%d due, %d held, of %d", len(due), len(held), old)
		}
		for _, b := range due {
			if b.Open || b.Inside || b.Count || b.Visit || b.Doubt {
				t.Fatalf("due is %+v", b)
			}
		}
	})
}

func TestWhatHolds(t *testing.T) {
	all := keep.Birth{Open: true, Inside: true, Count: true, Visit: true, Doubt: true}
	if got, want := all.Holds(), []string{keep.LeftInside, keep.CountOpen, keep.InDoubt, keep.RecordOpen, keep.VisitOpen}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := (&keep.Birth{}).Holds(); got != nil {
		t.Errorf("%q", got)
	}
}
