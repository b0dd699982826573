package bleeding_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"fourchette/core/amount"
	. "fourchette/core/bleeding"
)

const none = -1 // not measured

// signs builds Signs from whole numbers; none leaves a field out.
func signs(lost, pulse, systolic, diastolic int) (s Signs) {
	if lost != none {
		v := amount.Volume(lost) * amount.Millilitre
		s.Lost = &v
	}
	for _, x := range []struct {
		n  int
		to **int
	}{{pulse, &s.Pulse}, {systolic, &s.Systolic}, {diastolic, &s.Diastolic}} {
		if x.n != none {
			n := x.n
			*x.to = &n
		}
	}
	return s
}

// TestBoundaries stands on both sides of every threshold. A row is lost mL,
// pulse, systolic, diastolic.
func TestBoundaries(t *testing.T) {
	for _, c := range []struct {
		lost, pulse, systolic, diastolic int
		level, index, because            string
		source                           string
	}{
		{0, 80, 110, 70, "none", "0.72", "nothing_abnormal", "all normal"},
		{299, 80, 110, 70, "none", "0.72", "nothing_abnormal", "under WHO 2025, as quoted by news reports"},
		{300, 80, 110, 70, "watch", "0.72", "loss_300", "WHO 2025, as quoted by news reports: 300 mL, here without a sign"},
		{499, 80, 110, 70, "watch", "0.72", "loss_300", "likewise"},
		{500, 80, 110, 70, "act", "0.72", "loss_500", "WHO 2025, as quoted by news reports: 500 mL alone"},
		{999, 80, 110, 70, "act", "0.72", "loss_500", "under the trial definition of severe"},
		{1000, 80, 110, 70, "crisis", "0.72", "loss_1000", "severe: NEJM 2023;389:11-21"},

		{100, 90, 100, 60, "watch", "0.90", "shock_index_09", "Nathan 2015 BJOG: 90/100 = 0.90"},
		{100, 99, 110, 60, "watch", "0.90", "shock_index_09", "Nathan 2015 BJOG: 99/110 = 0.9 exactly"},
		{100, 98, 109, 60, "none", "0.89", "nothing_abnormal", "98/109 = 0.899, cut and not rounded"},
		{100, 100, 100, 60, "act", "1.00", "shock_index_10", "from memory: WHO 2025, there > 1.0"},
		{100, 100, 101, 60, "watch", "0.99", "shock_index_09", "100/101 = 0.990"},
		{100, 126, 90, 60, "crisis", "1.40", "shock_index_14 pulse_over_100 systolic_under_100", "El Ayadi 2016: 126/90 = 1.4"},
		{100, 140, 100, 60, "crisis", "1.40", "shock_index_14 pulse_over_100", "El Ayadi 2016: 140/100 = 1.4"},
		{100, 125, 90, 60, "act", "1.38", "shock_index_10 pulse_over_100 systolic_under_100", "125/90 = 1.389"},
		{100, 153, 90, 60, "crisis", "1.70", "shock_index_14 pulse_over_100 systolic_under_100", "153/90 = 1.7"},

		{100, 100, 120, 70, "none", "0.83", "nothing_abnormal", "from memory: WHO 2025: pulse > 100"},
		{100, 101, 120, 70, "act", "0.84", "pulse_over_100", "from memory: WHO 2025: pulse > 100"},
		{100, 80, 100, 70, "none", "0.80", "nothing_abnormal", "from memory: WHO 2025: systolic < 100"},
		{100, 80, 99, 70, "act", "0.80", "systolic_under_100", "from memory: WHO 2025: systolic < 100"},
		{100, 80, 110, 60, "none", "0.72", "nothing_abnormal", "from memory: WHO 2025: diastolic < 60"},
		{100, 80, 110, 59, "act", "0.72", "diastolic_under_60", "from memory: WHO 2025: diastolic < 60"},
		{100, 80, 110, 0, "act", "0.72", "diastolic_under_60", "from memory: WHO 2025: diastolic < 60"},

		{300, 101, 120, 70, "act", "0.84", "pulse_over_100 loss_300", "WHO 2025, as quoted by news reports: 300 mL with a sign"},
		{300, 95, 104, 70, "watch", "0.91", "loss_300 shock_index_09", "two grounds to watch stay a watch"},
		{none, 101, none, none, "act", "", "pulse_over_100", "a sign alone"},
		{none, none, none, 59, "act", "", "diastolic_under_60", "a sign alone"},
		{600, none, none, none, "act", "", "loss_500", "a loss alone"},

		{none, 0, none, none, "crisis", "", "no_pulse", "common practice, no source"},
		{none, none, 0, none, "crisis", "", "no_pressure", "common practice, no source"},
		{0, 80, 0, 60, "crisis", "", "no_pressure", "a diastolic beside it does not stand before rescue"},

		{0, 80, 110, none, "none", "0.72", "nothing_abnormal not_measured", "none needs a loss, a pulse and a systolic"},
		{none, none, none, none, "unknown", "", "not_measured", "nothing known is never none"},
		{0, none, none, none, "unknown", "", "not_measured", "none needs a loss, a pulse and a systolic"},
		{none, 80, 110, 70, "unknown", "0.72", "not_measured", "likewise"},
		{0, none, 110, 70, "unknown", "", "not_measured", "likewise"},
		{0, 80, none, 70, "unknown", "", "not_measured", "likewise"},
	} {
		a, err := Assess(signs(c.lost, c.pulse, c.systolic, c.diastolic))
		if err != nil {
			t.Errorf("%v: %v", c, err)
			continue
		}
		got := [3]string{a.Level, a.ShockIndex, strings.Join(a.Because.Keys(), " ")}
		if want := [3]string{c.level, c.index, c.because}; got != want {
			t.Errorf("%d mL, %d, %d/%d: got %q, want %q (%s)", c.lost, c.pulse, c.systolic, c.diastolic, got, want, c.source)
		}
	}
}

// TestMicrolitreUnderAThreshold: the volume is exact below the millilitre.
func TestMicrolitreUnderAThreshold(t *testing.T) {
	s := signs(0, 80, 110, 70)
	*s.Lost = 500*amount.Millilitre - 1
	if a, _ := Assess(s); a.Level != Watch {
		t.Errorf("499.999 mL: %s, want watch", a.Level)
	}
}

func TestEstimateRaisesAndNeverClears(t *testing.T) {
	for lost, want := range map[int]string{100: Unknown, 300: Watch, 500: Act, 1000: Crisis} {
		s := signs(lost, 80, 110, 70)
		s.Estimated = true
		a, err := Assess(s)
		if err != nil || a.Level != want {
			t.Errorf("%d mL by eye: %s, %v; want %s", lost, a.Level, err, want)
		}
		if got := strings.Join(a.Missing, " "); got != "lost_ml" {
			t.Errorf("%d mL by eye: missing %q, want the measured loss", lost, got)
		}
	}
	s := signs(100, 80, 110, 70)
	s.Estimated = true
	a, _ := Assess(s)
	if _, ok := a.Because.Find(EstimateCannotClear); !ok {
		t.Errorf("an estimate that cannot clear does not say so: %v", a.Because.Keys())
	}
}

func TestMissingAndNotMeasured(t *testing.T) {
	a, err := Assess(Signs{})
	if err != nil || a.Lost != nil {
		t.Fatalf("nothing known: %+v, %v; want no loss, never nought", a, err)
	}
	if got := fmt.Sprint(a.Missing); got != "[lost_ml pulse systolic diastolic]" {
		t.Errorf("missing %s", got)
	}
	r, _ := a.Because.Find(NotMeasured)
	if got := fmt.Sprint(r.On); got != "[lost_ml pulse systolic diastolic]" {
		t.Errorf("not measured %s", got)
	}
}

// TestPads: 1 g counts as 1 mL (common bedside rule, from memory), so 530 g
// net reads 530 mL; by 1.06 g/mL (PLOS One 2026, pone.0339391) it is 500 mL.
func TestPads(t *testing.T) {
	s := Signs{Pads: []Pad{{Wet: 330, Dry: 30}, {Wet: 250, Dry: 20}}}
	a, err := Assess(s)
	if err != nil || a.Lost == nil || a.Lost.Millilitres() != "530" || a.Level != Act {
		t.Fatalf("530 g net: %+v, %v; want 530 mL and act", a, err)
	}
	if got := fmt.Sprint(a.Because[0].On); got != "[pads]" {
		t.Errorf("the reason rests on %s, want pads", got)
	}
	measured := 470 * amount.Millilitre
	s.Lost = &measured
	a, err = Assess(s)
	if err != nil || a.Lost.Millilitres() != "1000" || a.Level != Crisis {
		t.Errorf("470 mL and 530 g: %+v, %v; want 1000 mL and crisis", a, err)
	}
	if measured != 470*amount.Millilitre {
		t.Errorf("the caller's own loss was changed to %d", measured)
	}
	for _, dry := range []Signs{{}, {Pads: []Pad{}}} {
		if a, _ := Assess(dry); a.Lost != nil {
			t.Errorf("no pads read as %s mL", a.Lost.Millilitres())
		}
	}
	clean, _ := Assess(Signs{Pads: []Pad{{Wet: 30, Dry: 30}}})
	if clean.Lost == nil || *clean.Lost != 0 {
		t.Errorf("a clean pad reads as %v, want a measured 0", clean.Lost)
	}
}

func TestWhatCannotBeTrueIsRefused(t *testing.T) {
	pads := func(p ...Pad) Signs { return Signs{Pads: p} }
	for _, c := range []struct {
		s           Signs
		code, field string
		says        string
	}{
		{signs(-5, 80, 110, 70), OutOfRange, Lost, "20000 mL"},
		{signs(20001, 80, 110, 70), OutOfRange, Lost, "20000 mL"},
		{signs(0, -2, 110, 70), OutOfRange, Pulse, "-2"},
		{signs(0, 19, 110, 70), OutOfRange, Pulse, "0 when it cannot be measured"},
		{signs(0, 301, 110, 70), OutOfRange, Pulse, "301"},
		{signs(0, 80, 19, 10), OutOfRange, Systolic, "19"},
		{signs(0, 80, 301, 70), OutOfRange, Systolic, "301"},
		{signs(0, 80, 110, -2), OutOfRange, Diastolic, "-2"},
		{signs(0, 80, none, 301), OutOfRange, Diastolic, "301"},
		{signs(0, 80, 110, 111), PressureImplausible, Diastolic, "change the two over"},
		{pads(Pad{50, 30}, Pad{29, 30}), PadLighterThanDry, Pads, "pad 2"},
		{pads(Pad{-1, 0}), OutOfRange, Pads, "pad 1"},
		{pads(Pad{10, -1}), OutOfRange, Pads, "pad 1"},
		{pads(Pad{20001, 0}), OutOfRange, Pads, "20000 g"},
		{pads(Pad{15000, 0}, Pad{15000, 0}), OutOfRange, Pads, "20000 mL"},
	} {
		a, err := Assess(c.s)
		var e *Error
		if !errors.As(err, &e) || e.Code != c.code || e.Field != c.field {
			t.Errorf("%+v: got %v, want %s of %s", c.s, err, c.code, c.field)
			continue
		}
		if !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), c.field) {
			t.Errorf("%q does not say %q", err, c.says)
		}
		if a.Level != "" || a.Because != nil {
			t.Errorf("%v: an alarm came with the refusal: %+v", err, a)
		}
	}
	for _, ok := range []Signs{signs(20000, 20, 300, 300), signs(0, 300, 20, 20), signs(0, 80, 110, 110)} {
		if _, err := Assess(ok); err != nil {
			t.Errorf("%+v at the edge is refused: %v", ok, err)
		}
	}
}

func ExampleAssess() {
	lost := 350 * amount.Millilitre
	pulse, systolic := 104, 102
	a, err := Assess(Signs{Lost: &lost, Pulse: &pulse, Systolic: &systolic})
	fmt.Println(a.Level, a.ShockIndex, a.Because.Keys(), err)
	// Output: act 1.01 [shock_index_10 pulse_over_100 loss_300] <nil>
}
