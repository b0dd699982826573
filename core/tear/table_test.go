package tear_test

import (
	"testing"

	. "fourchette/core/tear"
)

// The scale as a plain table, written out from the sources and from nothing in
// the package. Source: RCOG GTG29 2015 as tabulated in BMC Pregnancy and
// Childbirth 2016, s12884-016-1065-y, Table 2. Rows marked "higher" are not in
// that table and take the higher reading, as the package comment says.

// sphincterRow grades by the parts that need the rectal examination; an empty
// grade means that the rest decides.
type sphincterRow struct {
	mucosa     Finding
	internal   Finding
	external   External
	grade      string
	buttonhole bool
}

var sphincterTable = []sphincterRow{
	{Intact, Intact, ExternalIntact, "", false},
	{Intact, Intact, UnderHalf, "3a", false},
	{Intact, Intact, HalfOrMore, "3b", false}, // exactly half: higher
	{Intact, Intact, Through, "3b", false},
	{Intact, Torn, ExternalIntact, "3c", false}, // higher
	{Intact, Torn, UnderHalf, "3c", false},
	{Intact, Torn, HalfOrMore, "3c", false},
	{Intact, Torn, Through, "3c", false},
	{Torn, Intact, ExternalIntact, "", true}, // textbook chapter: not on the scale
	{Torn, Intact, UnderHalf, "4", false},    // higher
	{Torn, Intact, HalfOrMore, "4", false},   // higher
	{Torn, Intact, Through, "4", false},      // higher
	{Torn, Torn, ExternalIntact, "4", false}, // higher
	{Torn, Torn, UnderHalf, "4", false},
	{Torn, Torn, HalfOrMore, "4", false},
	{Torn, Torn, Through, "4", false},
}

type restRow struct {
	muscle, vagina, skin Finding
	grade                string
}

var restTable = []restRow{
	{Intact, Intact, Intact, "none"},
	{Intact, Intact, Torn, "1"},
	{Intact, Torn, Intact, "1"},
	{Intact, Torn, Torn, "1"},
	{Torn, Intact, Intact, "2"},
	{Torn, Intact, Torn, "2"},
	{Torn, Torn, Intact, "2"},
	{Torn, Torn, Torn, "2"},
}

// order is the scale, lowest first.
var order = []Grade{None, First, Second, Third3a, Third3b, Third3c, Fourth}

func gradeNamed(t testing.TB, word string) Grade {
	t.Helper()
	for _, g := range order {
		if g.String() == word {
			return g
		}
	}
	t.Fatalf("no grade is called %q", word)
	return Undetermined
}

// truth is one complete set of findings and what the table says of it.
type truth struct {
	s          sphincterRow
	r          restRow
	grade      Grade
	buttonhole bool
	plan       Grade // to plan by: 4 for a buttonhole
}

// truths lists all 128 complete sets.
func truths(t testing.TB) []truth {
	t.Helper()
	var all []truth
	for _, s := range sphincterTable {
		for _, r := range restTable {
			word := s.grade
			if word == "" {
				word = r.grade
			}
			w := truth{s: s, r: r, grade: gradeNamed(t, word), buttonhole: s.buttonhole}
			w.plan = w.grade
			if w.buttonhole {
				w.plan = Fourth
			}
			all = append(all, w)
		}
	}
	if len(all) != 128 {
		t.Fatalf("%d complete sets, want 2^5 findings times 4 of the external sphincter = 128", len(all))
	}
	return all
}

func (w truth) findings() Findings {
	return Findings{
		PerinealSkin: w.r.skin, VaginalMucosa: w.r.vagina, PerinealMuscle: w.r.muscle,
		InternalSphincter: w.s.internal, AnorectalMucosa: w.s.mucosa, ExternalSphincter: w.s.external,
		RectalExam: RectalDone,
	}
}

// TestCompleteFindings holds Judge to the table, with and without an
// episiotomy and a second look.
func TestCompleteFindings(t *testing.T) {
	for _, w := range truths(t) {
		f := w.findings()
		f.SecondLookDone = true
		v := Judge(f)
		if v.Grade != w.grade || v.Buttonhole != w.buttonhole || v.TreatAs != w.plan || !v.Settled {
			t.Errorf("%+v: grade %v, buttonhole %v, treat as %v, settled %v; want %v, %v, %v, true",
				f, v.Grade, v.Buttonhole, v.TreatAs, v.Settled, w.grade, w.buttonhole, w.plan)
		}
		f.Episiotomy = true
		if got, want := Judge(f).Grade, max(w.grade, Second); got != want {
			t.Errorf("%+v: grade %v, want %v: an episiotomy is a second degree at least", f, got, want)
		}
	}
}
