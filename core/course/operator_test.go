package course

import (
	"slices"
	"testing"
	"time"

	"fourchette/core/tear"
)

// TestTheOperatorIsAskedForEachTime: an answer counts for one hour (common
// practice, no source), for the decision and for each layer.
func TestTheOperatorIsAskedForEachTime(t *testing.T) {
	at := func(f Facts, later time.Duration) Facts {
		f.Now = Moment{Running: later.Milliseconds(), Wall: later.Milliseconds(), Run: "r"}
		return f
	}
	f := facts(third, func(f *Facts) { answers(f, safeNow...); noted(f); answers(f, "trained_operator_here", "yes") })
	decide := func(f Facts) []string { return Walk(f).Stages[2].Ask }
	if got := decide(at(f, time.Hour)); !slices.Equal(got, []string{"decision"}) {
		t.Errorf("within the hour Decide asks %q", got)
	}
	if got := decide(at(f, time.Hour+time.Millisecond)); !slices.Equal(got, []string{"trained_operator_here", "decision"}) {
		t.Errorf("later Decide asks %q", got)
	}
	answers(&f, "decision", "repair_here", "consent_repair", "yes")
	if p := Walk(at(f, time.Hour)); len(p.Stages[2].Ask) > 0 {
		t.Errorf("decided: %q", p.Stages[2].Ask)
	}
	late := at(f, 2*time.Hour)
	if p := Walk(late); !slices.Equal(p.Stages[2].Ask, []string{"trained_operator_here", "decision"}) || !slices.Contains(p.Warnings, OperatorAgain) || slices.Contains(p.Warnings, NoOperator) || late.OperatorHere() {
		t.Errorf("two hours on, nothing stitched: asks %q, warns %q", p.Stages[2].Ask, p.Warnings)
	}
	f.Layers = []Layer{{"external_sphincter", true, len(f.Moments)}}
	f.Moments = append(f.Moments, Moment{})
	late = at(f, 2*time.Hour)
	if p := Walk(late); len(p.Stages[2].Ask) > 0 {
		t.Errorf("in the middle of the repair Decide asks %q", p.Stages[2].Ask)
	}
	holds := func(f Facts) bool {
		return slices.ContainsFunc(f.BeforeLayer("perineal_muscle"), func(g Gate) bool { return g.Key == Operator })
	}
	if holds(at(f, time.Hour)) || !holds(late) {
		t.Error("the next layer asks after an hour, and not before")
	}
	answers(&f, "decision", "refer")
	if got := decide(at(f, 2*time.Hour)); slices.Contains(got, "trained_operator_here") {
		t.Errorf("referred, and asks %q", got)
	}
}

// TestRefusedIsNotSentToTheOperator: what nobody may look at is decided first.
func TestRefusedIsNotSentToTheOperator(t *testing.T) {
	f := facts(tear.Findings{}, func(f *Facts) { answers(f, safeNow...); answers(f, "consent_exam", "declined") })
	if p := Walk(f); p.Stage != Decide || !slices.Equal(p.Stages[2].Ask, []string{"decision"}) {
		t.Errorf("stage %s asks %q", p.Stage, p.Stages[2].Ask)
	}
}
