package course

import (
	"slices"
	"testing"

	"fourchette/core/tear"
)

func stageOf(t *testing.T, p Path, key string) StageState {
	t.Helper()
	at := slices.IndexFunc(p.Stages, func(s StageState) bool { return s.Key == key })
	if at < 0 {
		t.Fatalf("no stage %s", key)
	}
	return p.Stages[at]
}

// toRepair is a second degree that is to be repaired here.
func toRepair(more ...string) Facts {
	return facts(second, func(f *Facts) {
		answers(f, safeNow...)
		noted(f)
		answers(f, "decision", "repair_here", "consent_repair", "yes")
		answers(f, more...)
	})
}

// TestWhatLiesThereIsCounted: it is laid out first.
func TestWhatLiesThereIsCounted(t *testing.T) {
	if ask := stageOf(t, Walk(toRepair()), Prepare).Ask; !slices.Equal(ask, []string{"laid_out", AskCountIn}) {
		t.Errorf("to prepare: %q", ask)
	}
	if ask := stageOf(t, Walk(toRepair("laid_out", "yes")), Prepare).Ask; !slices.Equal(ask, []string{AskCountIn}) {
		t.Errorf("laid out: %q", ask)
	}
}

// TestAnOpenCountWarnsWhenItIsDue: once all is stitched, or nothing will be. Until then it is open as it should be.
func TestAnOpenCountWarnsWhenItIsDue(t *testing.T) {
	counted := func(f Facts) Facts {
		f.Moments = append(f.Moments, Moment{})
		f.Counts = []Count{{Phase: In, Items: []CountItem{{"swab", 5}, {"needle", 2}}, Place: len(f.Moments) - 1}}
		return f
	}
	planned := counted(toRepair("laid_out", "yes"))
	stitched := counted(toRepair("laid_out", "yes"))
	stitched.Moments = append(stitched.Moments, Moment{})
	stitched.Layers = []Layer{{"perineal_muscle", true, len(stitched.Moments) - 1}}
	stitched.Planned = []string{"perineal_muscle", "perineal_skin"}
	all := stitched
	all.Layers = append(slices.Clone(stitched.Layers), Layer{"perineal_skin", true, len(stitched.Moments) - 1})
	for name, c := range map[string]struct {
		f    Facts
		want bool
	}{
		"counted in":          {planned, false},
		"a layer stitched":    {stitched, false},
		"all stitched":        {all, true},
		"she wants no repair": {counted(toRepair("consent_repair", "declined")), true},
	} {
		if got := slices.Contains(Walk(c.f).Warnings, CountOpen); got != c.want {
			t.Errorf("%s: warns %v", name, got)
		}
		if !slices.Contains(c.f.Unfinished(), CountOpen) {
			t.Errorf("%s: closed silently over it", name)
		}
	}
}

// TestMedicinesAreGoneThroughOnWhatIsKnown: an allergy told after it asks for
// it again, and so does another grade.
func TestMedicinesAreGoneThroughOnWhatIsKnown(t *testing.T) {
	after := func(more ...string) []string {
		f := facts(whole, func(f *Facts) {
			answers(f, safeNow...)
			noted(f)
			answers(f, "tampon", "none", "final_firm", "yes", "final_bleeding", "settled", "allergy", "none", "breastfeeding", "yes")
			answers(f, more...)
		})
		return stageOf(t, Walk(f), After).Ask
	}
	if ask := after(); !slices.Equal(ask, []string{MedicinesSeen, "advice_told", "urine_passed"}) {
		t.Errorf("nothing gone through: %q", ask)
	}
	if ask := after(MedicinesSeen, "yes", "advice_told", "yes"); !slices.Equal(ask, []string{"urine_passed"}) {
		t.Errorf("all gone through: %q", ask)
	}
	for _, q := range []string{"allergy", "breastfeeding", "instrumental", "loss_ml", "second_systolic", "final_bleeding"} {
		if ask := after(MedicinesSeen, "yes", "advice_told", "yes", q, "unknown"); !slices.Contains(ask, MedicinesSeen) {
			t.Errorf("%s told after that: %q", q, ask)
		}
	}
}

// TestADoseByAnotherWeightIsGoneThroughAgain: weighed after that.
func TestADoseByAnotherWeightIsGoneThroughAgain(t *testing.T) {
	f := facts(whole, func(f *Facts) {
		answers(f, safeNow...)
		noted(f)
		answers(f, "tampon", "none", "final_firm", "yes", "final_bleeding", "settled", "allergy", "none", "breastfeeding", "yes", MedicinesSeen, "yes", "advice_told", "yes")
	})
	if ask := stageOf(t, Walk(f), After).Ask; slices.Contains(ask, MedicinesSeen) {
		t.Fatalf("gone through: %q", ask)
	}
	f.Moments = append(f.Moments, Moment{})
	f.Weighed = len(f.Moments) - 1
	if ask := stageOf(t, Walk(f), After).Ask; !slices.Contains(ask, MedicinesSeen) {
		t.Errorf("weighed since: %q", ask)
	}
}

// TestFeverWarns from 38.0 degrees on; not measured is no fever and no health.
func TestFeverWarns(t *testing.T) {
	for tenths, want := range map[int64]bool{379: false, 380: true, 401: true} {
		f := toRepair("temperature", "")
		f.Answers[len(f.Answers)-1].Number = tenths
		if got := slices.Contains(Walk(f).Warnings, Fever); got != want {
			t.Errorf("%d tenths of a degree: warns %v", tenths, got)
		}
	}
	if slices.Contains(Walk(toRepair("temperature", "not_measured")).Warnings, Fever) {
		t.Error("not measured is called a fever")
	}
}

// TestWhatIsNotHereWarns while it is to be repaired here.
func TestWhatIsNotHereWarns(t *testing.T) {
	warns := func(f Facts) bool { return slices.Contains(Walk(f).Warnings, NeedMissing) }
	for _, q := range []string{"place_here", "anaesthesia_here", "instruments_here", "material_here"} {
		if !warns(toRepair(q, "no")) || warns(toRepair(q, "yes")) || warns(toRepair(q, "no", "decision", "refer")) {
			t.Errorf("%s", q)
		}
	}
	later := toRepair("material_here", "no") // said of the grade before
	later.GradeChanged = len(later.Moments)
	answers(&later, "decision", "repair_here")
	if warns(later) {
		t.Error("what was said of another grade warns")
	}
}

// TestReferredInTheMiddleOfARepair: what was counted in is still with her.
func TestReferredInTheMiddleOfARepair(t *testing.T) {
	f := toRepair("laid_out", "yes")
	f.Moments = append(f.Moments, Moment{}, Moment{})
	f.Counts = []Count{{Phase: In, Items: []CountItem{{"swab", 5}, {"needle", 2}}, Place: len(f.Moments) - 2}}
	f.Layers = []Layer{{"vaginal_mucosa", true, len(f.Moments) - 1}}
	f.Planned = []string{"vaginal_mucosa", "perineal_muscle"}
	answers(&f, "decision", "refer")
	if w := Walk(f).Warnings; !slices.Contains(w, CountOpen) {
		t.Errorf("warns %q", w)
	}
}

// TestARingIsNotLeftOpen: nor is an old one left for good.
func TestARingIsNotLeftOpen(t *testing.T) {
	of := func(f tear.Findings, old bool, decision string) []string {
		return Walk(facts(f, func(f *Facts) {
			f.TearOld = old
			answers(f, safeNow...)
			noted(f)
			answers(f, "trained_operator_here", "no", "decision", decision)
		})).Warnings
	}
	for name, c := range map[string]struct {
		warnings []string
		want     string
		not      string
	}{
		"third degree, left open":  {of(third, false, "leave_open"), RingLeftOpen, ""},
		"second degree, left open": {of(second, false, "leave_open"), "", RingLeftOpen},
		"third degree, old":        {of(third, true, "refer"), RingTooOld, TearTooOld},
		"second degree, old":       {of(second, true, "leave_open"), TearTooOld, RingTooOld},
	} {
		if c.want != "" && !slices.Contains(c.warnings, c.want) || slices.Contains(c.warnings, c.not) {
			t.Errorf("%s: %q", name, c.warnings)
		}
	}
}

// TestFeverAndTooMuchAreSaidAtClosing, and what she was not told.
func TestFeverAndTooMuchAreSaidAtClosing(t *testing.T) {
	f := toRepair("temperature", "")
	f.Answers[len(f.Answers)-1].Number = 386
	f.OverLimit = true
	for _, want := range []string{Fever, OverLimit, MedicinesOpen, AdviceOpen} {
		if !slices.Contains(f.Unfinished(), want) {
			t.Errorf("%s is not among %q", want, f.Unfinished())
		}
	}
}
