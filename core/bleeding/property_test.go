package bleeding_test

import (
	"fmt"
	"math/big"
	"slices"
	"testing"

	"fourchette/core/amount"
	. "fourchette/core/bleeding"

	"pgregory.net/rapid"
)

// drawSign draws a sign, near its thresholds more often than not; least is the
// lowest that counts as measured.
func drawSign(t *rapid.T, name string, least int) *int {
	if !rapid.Bool().Draw(t, name+" measured") {
		return nil
	}
	n := rapid.OneOf(
		rapid.IntRange(50, 160),
		rapid.IntRange(least, 300),
		rapid.Just(0),
	).Draw(t, name)
	return &n
}

func drawSigns(t *rapid.T) Signs {
	s := Signs{
		Pulse:     drawSign(t, "pulse", 20),
		Systolic:  drawSign(t, "systolic", 20),
		Diastolic: drawSign(t, "diastolic", 1),
		Estimated: rapid.Bool().Draw(t, "estimated"),
	}
	if s.Systolic != nil && s.Diastolic != nil && *s.Systolic > 0 {
		*s.Diastolic = min(*s.Diastolic, *s.Systolic)
	}
	if rapid.Bool().Draw(t, "lost measured") {
		v := amount.Volume(rapid.Int64Range(0, 1_200_000).Draw(t, "lost"))
		s.Lost = &v
	}
	for range rapid.IntRange(0, 3).Draw(t, "pads") {
		dry := rapid.Int64Range(0, 100).Draw(t, "dry")
		net := rapid.Int64Range(0, 400).Draw(t, "net")
		s.Pads = append(s.Pads, Pad{Wet: amount.Weight(dry + net), Dry: amount.Weight(dry)})
	}
	return s
}

func assess(t *rapid.T, s Signs) Alarm {
	a, err := Assess(s)
	if err != nil {
		t.Fatalf("%+v is refused: %v", s, err)
	}
	return a
}

// wanted is the rule read off its text with fractions: crisis, then act, then
// watch, then what is needed for none.
func wanted(s Signs) string {
	lost := big.NewRat(-1, 1) // mL; below every threshold
	if s.Lost != nil || len(s.Pads) > 0 {
		lost = new(big.Rat)
		if s.Lost != nil {
			lost.SetFrac64(int64(*s.Lost), 1000)
		}
		for _, p := range s.Pads {
			lost.Add(lost, big.NewRat(int64(p.Wet-p.Dry), 1))
		}
	}
	index := new(big.Rat)
	if s.Pulse != nil && s.Systolic != nil && *s.Systolic != 0 {
		index.SetFrac64(int64(*s.Pulse), int64(*s.Systolic))
	}
	reaches := func(r *big.Rat, limit string) bool {
		l, _ := new(big.Rat).SetString(limit)
		return r.Cmp(l) >= 0
	}
	gone := s.Pulse != nil && *s.Pulse == 0 || s.Systolic != nil && *s.Systolic == 0
	sign := s.Pulse != nil && *s.Pulse > 100 || s.Systolic != nil && *s.Systolic < 100 ||
		s.Diastolic != nil && *s.Diastolic < 60 || reaches(index, "1.0")
	switch {
	case gone, reaches(lost, "1000"), reaches(index, "1.4"):
		return "crisis"
	case reaches(lost, "500"), reaches(lost, "300") && sign, sign:
		return "act"
	case reaches(lost, "300"), reaches(index, "0.9"):
		return "watch"
	case lost.Sign() >= 0 && !s.Estimated && s.Pulse != nil && s.Systolic != nil:
		return "none"
	}
	return "unknown"
}

func TestAgainstTheRuleInFractions(t *testing.T) {
	levels := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		s := drawSigns(t)
		a := assess(t, s)
		levels[a.Level]++
		if want := wanted(s); a.Level != want {
			t.Errorf("level %s, want %s", a.Level, want)
		}
		if len(a.Because) == 0 {
			t.Errorf("no reason for %s", a.Level)
		}
	})
	// rare draws may leave one out by chance; the loud and the silent must come
	for _, level := range []string{Crisis, Act, Unknown} {
		if levels[level] == 0 {
			t.Errorf("no draw came to %s: %v", level, levels)
		}
	}
}

// loud ranks the levels; unknown and none are equally silent.
func loud(level string) int {
	return max(0, slices.Index([]string{Watch, Act, Crisis}, level)+1)
}

func TestWorseNeverQuietens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSigns(t)
		before := assess(t, s)
		worse(t, &s)
		after := assess(t, s)
		if loud(after.Level) < loud(before.Level) {
			t.Errorf("%s became %s with %+v", before.Level, after.Level, s)
		}
	})
}

// worse changes one thing for the worse: more lost, a faster pulse, a lower
// pressure.
func worse(t *rapid.T, s *Signs) {
	switch rapid.SampledFrom([]string{"lost", "pad", "pulse", "systolic", "diastolic"}).Draw(t, "worse") {
	case "lost":
		v := amount.Volume(rapid.Int64Range(0, 1_000_000).Draw(t, "more"))
		if s.Lost != nil {
			v += *s.Lost
		}
		s.Lost = &v
	case "pad":
		s.Pads = append(s.Pads, Pad{Wet: amount.Weight(rapid.Int64Range(0, 500).Draw(t, "pad")), Dry: 0})
	case "pulse":
		if s.Pulse != nil && *s.Pulse > 0 {
			n := rapid.IntRange(*s.Pulse, 300).Draw(t, "faster")
			s.Pulse = &n
		}
	case "systolic":
		if s.Systolic != nil && *s.Systolic > 20 {
			n := rapid.IntRange(20, *s.Systolic).Draw(t, "lower")
			s.Systolic = &n
			if s.Diastolic != nil {
				d := min(*s.Diastolic, n)
				s.Diastolic = &d
			}
		}
	case "diastolic":
		if s.Diastolic != nil {
			n := rapid.IntRange(0, *s.Diastolic).Draw(t, "lower")
			s.Diastolic = &n
		}
	}
}

func TestNoneNeedsMeasuredLossPulseAndSystolic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSigns(t)
		complete := (s.Lost != nil || len(s.Pads) > 0) && !s.Estimated && s.Pulse != nil && s.Systolic != nil
		a := assess(t, s)
		if a.Level == None && !complete {
			t.Errorf("none, with %q missing", a.Missing)
		}
		if (a.Missing == nil) != (complete && s.Diastolic != nil) {
			t.Errorf("missing %q, complete %v", a.Missing, complete)
		}
	})
}

func TestAnEstimateRingsLikeAMeasurement(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSigns(t)
		s.Estimated = false
		measured := assess(t, s)
		s.Estimated = true
		estimated := assess(t, s)
		if estimated.Level == None {
			t.Error("an estimate cleared the alarm")
		}
		if loud(estimated.Level) != loud(measured.Level) {
			t.Errorf("measured %s, by eye %s", measured.Level, estimated.Level)
		}
	})
}

func TestLostIsTheSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSigns(t)
		a := assess(t, s)
		if (a.Lost == nil) != (s.Lost == nil && len(s.Pads) == 0) {
			t.Fatalf("lost %v of %+v", a.Lost, s)
		}
		if a.Lost == nil {
			return
		}
		rest := *a.Lost
		if s.Lost != nil {
			rest -= *s.Lost
		}
		for _, p := range s.Pads {
			rest -= amount.Volume(p.Wet-p.Dry) * 1000 // 1 g as 1 mL
		}
		if rest != 0 {
			t.Errorf("%d microlitres over", rest)
		}
	})
}

// TestShockIndexIsCut holds index ≤ pulse/systolic < index + 0.01 for every
// pair in range.
func TestShockIndexIsCut(t *testing.T) {
	for pulse := 20; pulse <= 300; pulse++ {
		for systolic := 20; systolic <= 300; systolic++ {
			a, err := Assess(signs(none, pulse, systolic, none))
			var whole, cents int
			n, scanned := fmt.Sscanf(a.ShockIndex, "%d.%02d", &whole, &cents)
			if err != nil || scanned != nil || n != 2 || a.ShockIndex != fmt.Sprintf("%d.%02d", whole, cents) {
				t.Fatalf("%d/%d prints %q, %v", pulse, systolic, a.ShockIndex, err)
			}
			if cents += 100 * whole; cents*systolic > 100*pulse || (cents+1)*systolic <= 100*pulse {
				t.Fatalf("%d/%d prints %s", pulse, systolic, a.ShockIndex)
			}
		}
	}
}
