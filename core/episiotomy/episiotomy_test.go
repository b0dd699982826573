package episiotomy_test

import (
	"errors"
	"fmt"
	"math/big"
	"testing"

	. "fourchette/core/episiotomy"

	"pgregory.net/rapid"
)

func TestPublishedPoints(t *testing.T) {
	for _, c := range []struct {
		cut, after, least, most int
		verdict                 Verdict
		source                  string
	}{
		{40, 22, 22, 22, TooNarrow, "Kalis 2008: 22.5; Kapoor 2015: 22"},
		{60, 45, 43, 50, Within, "Kalis 2011: 45; Kapoor 2015: 43 to 50"},
		{50, 33, 32, 36, TooNarrow, "halfway: 33.75, 32.5, 36.25"},
		{56, 40, 38, 44, TooNarrow, "the papers differ: 40.5 and 38.8; the narrower decides"},
		{57, 41, 39, 45, TooNarrow, "41.625 and 39.85"},
		{58, 42, 40, 47, Within, "42.75 and 40.9"},
	} {
		got, err := AtCrowning(c.cut)
		if want := (Angle{c.after, c.least, c.most, c.verdict}); err != nil || got != want {
			t.Errorf("%d: %+v, %v; want %+v (%s)", c.cut, got, err, want, c.source)
		}
	}
}

func TestBeyondThePapersNothingIsAnswered(t *testing.T) {
	for _, degrees := range []int{-60, 0, 30, 39, 61, 90, 1 << 30} {
		a, err := AtCrowning(degrees)
		var e *Error
		if !errors.As(err, &e) || e.Code != AngleOutOfRange || e.Field != "at_crowning_deg" || a != (Angle{}) {
			t.Errorf("%d at crowning: %+v, %v", degrees, a, err)
		}
	}
	for _, degrees := range []int{-1, 91} {
		v, err := Sutured(degrees)
		var e *Error
		if !errors.As(err, &e) || e.Field != "after_birth_deg" || v != "" {
			t.Errorf("%d sutured: %q, %v", degrees, v, err)
		}
	}
}

func TestSuturedZone(t *testing.T) {
	for degrees, want := range map[int]Verdict{
		0: TooNarrow, 29: TooNarrow, 30: TooNarrow, 39: TooNarrow, 40: Within, 48: Within, 60: Within, 61: TooWide, 90: TooWide,
	} {
		if got, err := Sutured(degrees); err != nil || got != want {
			t.Errorf("%d sutured: %q, %v; want %q (Kapoor 2015)", degrees, got, err, want)
		}
	}
}

// A wider cut never gives a narrower scar; the line stays between its bounds
// and under the cut; and what is called within is within by every paper.
func TestOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cut := rapid.IntRange(LeastCut, MostCut).Draw(t, "cut")
		a, err := AtCrowning(cut)
		if err != nil {
			t.Fatal(err)
		}
		if a.Least > a.After || a.After > a.Most || a.Most >= cut {
			t.Errorf("%d: %+v is out of order", cut, a)
		}
		exact := new(big.Rat).Add(big.NewRat(45, 2), big.NewRat(int64(cut-40)*45, 40)) // 22.5 + (x-40)·22.5/20
		if low := big.NewRat(int64(a.After), 1); low.Cmp(exact) > 0 || new(big.Rat).Sub(exact, low).Cmp(big.NewRat(1, 1)) >= 0 {
			t.Errorf("%d: %d is not %s rounded down", cut, a.After, exact.FloatString(3))
		}
		if wider, err := AtCrowning(cut + 1); err == nil && (wider.After < a.After || wider.Least < a.Least || wider.Most < a.Most) {
			t.Errorf("%d gives %+v, and one degree more %+v", cut, a, wider)
		}
		for _, sutured := range []int{a.Least, a.After, a.Most} {
			if v, _ := Sutured(sutured); a.Verdict == Within && v != Within {
				t.Errorf("%d is called within, and %d is %s", cut, sutured, v)
			}
		}
	})
}

func TestIndicationsAreSourcedAndUnlikeEachOther(t *testing.T) {
	seen := map[string]bool{}
	for _, i := range Indications() {
		if i.Key == "" || i.Source == "" || i.Read == "" || seen[i.Key] {
			t.Errorf("%+v", i)
		}
		seen[i.Key] = true
	}
	if len(seen) != 7 {
		t.Errorf("%d indications, MCPC P-71 names 7", len(seen))
	}
}

func ExampleAtCrowning() {
	a, err := AtCrowning(60)
	fmt.Println(a.After, a.Verdict, err)
	// Output: 45 within <nil>
}
