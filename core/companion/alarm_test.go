package companion_test

import (
	"slices"
	"testing"

	"fourchette/core/companion"
	"fourchette/core/journal/journaltest"
)

// TestTheRecordsNumbersRing: what testdata/vectors/bleeding_assess.json wants
// of the emergency form holds for the record too.
func TestTheRecordsNumbersRing(t *testing.T) {
	for _, x := range []struct {
		given []any // question, number
		alarm string
	}{
		{[]any{"pulse", 88, "systolic", 118, "diastolic", 70, "loss_ml", 200}, "unknown"}, // nobody said that it was weighed
		{[]any{"loss_ml", 300}, "watch"},
		{[]any{"loss_ml", 500}, "act"},
		{[]any{"pulse", 101}, "act"},
		{[]any{"systolic", 99}, "act"},
		{[]any{"systolic", 110, "diastolic", 59}, "act"},
		{[]any{"pulse", 150, "systolic", 70, "diastolic", 40, "loss_ml", 1800}, "crisis"},
		{[]any{"pulse", 126, "systolic", 90}, "crisis"},
		{[]any{"pulse", 88, "systolic", 118, "second_systolic", 80}, "act"},
	} {
		c := open(t, journaltest.New())
		id := newBirth(t, c)
		for i := 0; i < len(x.given); i += 2 {
			save(t, c, "birth.answer", &companion.AnswerRequest{Birth: id, Question: x.given[i].(string), Number: number(x.given[i+1].(int))})
		}
		w := walk(t, c, id)
		holds := x.alarm == "act" || x.alarm == "crisis"
		if w.Alarm != x.alarm || holds != (w.Stages[0].Ask[0] == "alarm_seen") || (holds || x.alarm == "watch") != slices.Contains(w.Warnings, "alarm_"+x.alarm) {
			t.Errorf("%v: alarm %s because %q, asks %q, warns %q", x.given, w.Alarm, w.AlarmOn, w.Stages[0].Ask, w.Warnings)
		}
		// Nothing is held back: all can be written down while it rings.
		safe(t, c, id)
		found(t, c, id, secondDegree...)
	}
}
