package companion_test

import (
	"slices"
	"testing"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// TestOverTheLimitStands: until the doses are taken back, and also where she
// is weighed lighter after them.
func TestOverTheLimitStands(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	warned := func() bool {
		w := ask[*companion.BirthRequest, companion.WalkReply](t, c, "course.walk", &companion.BirthRequest{Birth: id})
		return slices.Contains(w.Warnings, "over_limit")
	}
	says := func(when string, want *companion.OverReply) {
		t.Helper()
		got := show(t, c, id).OverLimit
		if (got == nil) != (want == nil) || got != nil && *got != *want || warned() != (want != nil) {
			t.Errorf("%s: %+v, warned %v, want %+v", when, got, warned(), want)
		}
	}
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60"})
	save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"})
	dose := save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "15", StrengthPercent: "1"})
	says("150 of 180 mg", nil)
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "45"})
	says("weighed lighter", &companion.OverReply{GivenMg: "150", LimitMg: "135"}) // 3 mg/kg
	save(t, c, "birth.note_grade", &companion.BirthRequest{Birth: id})
	says("and it stands", &companion.OverReply{GivenMg: "150", LimitMg: "135"})
	save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "bupivacaine", Ml: "1", StrengthPercent: "0.5"})
	says("a second agent", &companion.OverReply{GivenMg: "155", LimitMg: "90"}) // 2 mg/kg of bupivacaine, the smaller of the two
	save(t, c, "birth.correct_dose", &companion.CorrectRequest{Birth: id, Of: dose.Event, Void: true})
	says("taken back", nil)
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, NotWeighed: true})
	save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "10", StrengthPercent: "1"})
	says("not weighed", &companion.OverReply{GivenMg: "105", LimitMg: "60", WeightAssumed: true}) // 2 mg/kg of 30 kg
}

// TestADoseOfALabelNeverNotedOpensTheCeiling: the limit that was worked out is
// that of another bottle.
func TestADoseOfALabelNeverNotedOpensTheCeiling(t *testing.T) {
	c := open(t, journaltest.New())
	id := newBirth(t, c)
	save(t, c, "birth.weigh", &companion.WeighRequest{Birth: id, WeightKg: "60"})
	save(t, c, "birth.prior", &companion.PriorRequest{Birth: id, Told: "nothing"})
	ceiling := func() (state string) {
		for _, g := range ask[*companion.BirthRequest, companion.WalkReply](t, c, "course.walk", &companion.BirthRequest{Birth: id}).Gates {
			if g.Key == "ceiling" {
				state = g.State
			}
		}
		return state
	}
	save(t, c, "birth.note_limit", &companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "2"})
	save(t, c, "birth.inject", &companion.InjectRequest{Birth: id, Agent: "lidocaine", Ml: "5", StrengthPercent: "0.5"})
	if s := ceiling(); s != "open" {
		t.Errorf("0.5 %% was given, 2 %% was written: the gate is %s", s)
	}
	save(t, c, "birth.note_limit", &companion.BirthCeilingRequest{Birth: id, Agent: "lidocaine", StrengthPercent: "0.5"})
	if s := ceiling(); s != "passed" {
		t.Errorf("both labels were written: the gate is %s", s)
	}
}
