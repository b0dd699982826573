package course

import (
	"slices"
	"testing"

	"fourchette/core/tear"
)

// TestNotSureIsNeverYes: who is not sure is asked again, and it is in sight.
func TestNotSureIsNeverYes(t *testing.T) {
	for question, warning := range map[string]string{"uterus_firm": FirmUnsure, "placenta_out": PlacentaIn} {
		f := facts(second, func(f *Facts) { answers(f, safeNow...); noted(f); answers(f, question, "unsure") })
		if p := Walk(f); p.Stage != Safe || !slices.Equal(p.Stages[0].Ask, []string{question}) || !slices.Contains(p.Warnings, warning) {
			t.Errorf("%s unsure: stage %s asks %q, warns %q", question, p.Stage, p.Stages[0].Ask, p.Warnings)
		}
	}
	for _, question := range []string{"final_firm", "final_bleeding"} {
		f := facts(whole, func(f *Facts) {
			answers(f, safeNow...)
			noted(f)
			answers(f, "final_firm", "yes", "final_bleeding", "settled")
			answers(f, question, "unsure")
		})
		if g := Walk(f).Gates[7]; g.Key != FinalCheck || !slices.Equal(g.Ask, []string{question}) {
			t.Errorf("%s unsure: %+v", question, g)
		}
	}
	f := Facts{GradeChanged: -1, Verdict: tear.Judge(third), Layers: []Layer{{"perineal_skin", true, 0}}, Moments: make([]Moment, 1)}
	answers(&f, "rectal_after", "done", "stitch_felt", "unsure")
	if g := Walk(f).Gates[6]; !slices.Equal(g.Ask, []string{"stitch_felt"}) {
		t.Errorf("a stitch, not sure: %+v", g)
	}
}

// TestWhoCannotAnswerHasNotAgreed: the gate asks again, no stitch passes it.
func TestWhoCannotAnswerHasNotAgreed(t *testing.T) {
	for _, question := range []string{"consent_exam", "consent_repair"} {
		f := facts(second, func(f *Facts) {
			answers(f, safeNow...)
			noted(f)
			answers(f, "decision", "repair_here", "consent_repair", "yes")
			answers(f, question, "cannot_answer")
		})
		p := Walk(f)
		if g := p.Gates[0]; g.State != GateOpen || !slices.Equal(g.Ask, []string{question}) || !slices.Contains(p.Warnings, CannotAnswer) {
			t.Errorf("%s: %+v, warns %q", question, g, p.Warnings)
		}
		if open := f.BeforeLayer("perineal_skin"); open[0].Key != Consent {
			t.Errorf("%s: %+v", question, open)
		}
	}
}

// TestWordsKeepTheClockHonest: not given, not yet and not measured end no
// timer; a catheter makes nothing overdue and is not her own urine.
func TestWordsKeepTheClockHonest(t *testing.T) {
	timer := func(key string, pairs ...string) Timer {
		f := born(true, moment(0, 0, "r"), moment(400, 400, "r"))
		f.Moments = []Moment{moment(0, 0, "r")}
		answers(&f, pairs...)
		for _, x := range Walk(f).Timers {
			if x.Key == key {
				return x
			}
		}
		return Timer{}
	}
	for _, c := range []struct{ timer, question, word, state string }{
		{FirstUrine, "urine_passed", "", TimerDone},
		{FirstUrine, "urine_passed", "not_yet", TimerOver},
		{Tranexamic, "tranexamic_given", "", TimerDone},
		{Tranexamic, "tranexamic_given", "no", TimerOver},
		{SecondPressure, "second_systolic", "", TimerDone},
		{SecondPressure, "second_systolic", "not_measured", TimerOver},
	} {
		if got := timer(c.timer, c.question, c.word); got.State != c.state {
			t.Errorf("%s %q: %+v", c.question, c.word, got)
		}
	}
	if got := timer(FirstUrine, "urine_passed", "catheter"); got.Kind != Open || got.State != TimerRunning || !got.Due.IsZero() {
		t.Errorf("catheter: %+v", got)
	}
	f := facts(second, func(f *Facts) { answers(f, "urine_passed", "catheter") })
	if open := f.Unfinished(); !slices.Contains(open, CatheterIn) || slices.Contains(open, UrineOpen) {
		t.Errorf("%q", open)
	}
}
