package course

import (
	"slices"
	"testing"
)

// TestNothingYetIsNoPainRelief: before any stitch she is numbed, and what works
// already is pinched for (i18n/guide/safe.yaml; common practice, no source).
func TestNothingYetIsNoPainRelief(t *testing.T) {
	stage := func(p Path, key string) StageState {
		return p.Stages[slices.IndexFunc(p.Stages, func(s StageState) bool { return s.Key == key })]
	}
	for _, c := range []struct {
		said    string
		ceiling string
		ask     []string
	}{
		{"local", GateOpen, []string{AskWeight, AskPrior, AskLabel, "inject"}},
		{"none", GateOpen, []string{AskWeight, AskPrior, AskLabel, "inject"}},
		{"unknown", GateOpen, []string{AskWeight, AskPrior, AskLabel, "inject"}},
		{"working", GateNotNeeded, []string{"numb_felt"}},
		{"declined", GateNotNeeded, nil},
	} {
		f := facts(second, func(f *Facts) {
			answers(f, safeNow...)
			noted(f)
			answers(f, "numb_felt", "no") // said too early: it holds for nothing
			answers(f, "pain_relief", c.said, "decision", "repair_here", "consent_repair", "yes")
		})
		p := Walk(f)
		if g := p.Gates[2]; g.State != c.ceiling {
			t.Errorf("%s: the ceiling is %s", c.said, g.State)
		}
		if got := stage(p, Numb).Ask; !slices.Equal(got, c.ask) {
			t.Errorf("%s: numbing asks %q, want %q", c.said, got, c.ask)
		}
		if c.said != "working" {
			continue
		}
		answers(&f, "numb_felt", "no")
		if p := Walk(f); stage(p, Numb).State != StageDone {
			t.Errorf("the block holds: %+v", stage(p, Numb))
		}
		answers(&f, "numb_felt", "yes")
		if p := Walk(f); stage(p, Numb).Ask[0] != AskWeight || p.Gates[2].State != GateOpen {
			t.Errorf("the block does not hold: %+v, %+v", stage(p, Numb), p.Gates[2])
		}
	}
}
