package course

import (
	"slices"
	"testing"

	"fourchette/core/tear"
)

// told answers number questions, each after what was there before.
func told(f *Facts, question string, n int64) {
	answers(f, question, "")
	f.Answers[len(f.Answers)-1].Number = n
}

func TestTheNewestNumbersStand(t *testing.T) {
	f := facts(tear.Findings{}, func(*Facts) {})
	if s := f.Signs(); s.Pulse != nil || s.Systolic != nil || s.Lost != nil || s.Last != -1 {
		t.Errorf("nobody measured: %+v", s)
	}
	told(&f, "systolic", 120)
	told(&f, "diastolic", 80)
	told(&f, "second_systolic", 90)
	if s := f.Signs(); *s.Systolic != 90 || *s.Diastolic != 80 || s.Again || s.Last != f.Answers[2].Place {
		t.Errorf("%+v", s)
	}
	answers(&f, "second_systolic", "not_measured")
	if s := f.Signs(); *s.Systolic != 120 {
		t.Errorf("not measured the second time: %+v", s)
	}
	answers(&f, "second_systolic", "none", "pulse", "none", "loss_ml", "not_measured")
	if s := f.Signs(); *s.Systolic != 0 || *s.Pulse != 0 || s.Lost != nil || s.Again {
		t.Errorf("none to be felt: %+v", s)
	}
}

func TestALowerPressureNotUnderTheUpperIsTakenAgain(t *testing.T) {
	f := facts(second, func(f *Facts) { answers(f, safeNow...) })
	told(&f, "systolic", 80)
	told(&f, "diastolic", 80)
	if s, p := f.Signs(), Walk(f); s.Diastolic != nil || !s.Again || !slices.Contains(p.Warnings, PressureAgain) || !slices.Contains(p.Stages[0].Ask, "diastolic") {
		t.Errorf("%+v, %+v", s, p.Warnings)
	}
}

// TestAnAlarmComesFirst: until somebody said how she is after the newest
// number, Safe is open, whatever else was answered or decided.
func TestAnAlarmComesFirst(t *testing.T) {
	for level, holds := range map[string]bool{"": false, "unknown": false, "none": false, Watch: false, Act: true, Crisis: true} {
		f := facts(second, func(f *Facts) { answers(f, safeNow...); noted(f) })
		f.Alarm = level
		p := Walk(f)
		if (p.Stage == Safe) != holds || holds && p.Stages[0].Ask[0] != "alarm_seen" {
			t.Errorf("%s: stage %s asks %q", level, p.Stage, p.Stages[0].Ask)
		}
		if rings := slices.Contains(p.Warnings, "alarm_"+level); rings != (holds || level == Watch) {
			t.Errorf("%s warns %q", level, p.Warnings)
		}
		answers(&f, "decision", "refer")
		if p := Walk(f); (p.Stage == Safe) != holds {
			t.Errorf("%s, on her way elsewhere: stage %s", level, p.Stage)
		}
		answers(&f, "alarm_seen", "steady")
		if p := Walk(f); p.Stage == Safe || holds && !slices.Contains(p.Warnings, "alarm_"+level) {
			t.Errorf("%s, seen to: stage %s, warnings %q", level, p.Stage, p.Warnings)
		}
		told(&f, "pulse", 130)
		if p := Walk(f); (p.Stage == Safe) != holds {
			t.Errorf("%s, a new number: stage %s", level, p.Stage)
		}
	}
}

// TestHighPressure: NHS Greater Glasgow 160/110, early warning criteria over
// 160 and over 100, WHO 2020 140/90.
func TestHighPressure(t *testing.T) {
	for _, c := range []struct {
		upper, lower int64
		want         string
	}{{139, 89, ""}, {140, 80, PressureHigh}, {130, 90, PressureHigh}, {159, 100, PressureHigh}, {160, 90, PressureSevere}, {130, 101, PressureSevere}, {190, 120, PressureSevere}} {
		f := facts(second, func(*Facts) {})
		told(&f, "systolic", c.upper)
		told(&f, "diastolic", c.lower)
		for _, key := range []string{PressureHigh, PressureSevere} {
			if got := slices.Contains(Walk(f).Warnings, key); got != (key == c.want) {
				t.Errorf("%d/%d: %s is %v", c.upper, c.lower, key, got)
			}
		}
	}
}
