package course

import (
	"slices"
	"time"
)

// stages says for each stage whether it is needed and done. The first that is
// needed and not done is where she stands.
func (w walk) stages(gates []Gate) (stage string, list []StageState) {
	stage = Done
	for _, key := range StageKeys() {
		s := StageState{Key: key, State: StageNotNeeded}
		if w.needs(key) {
			s.Ask = w.ask(key, gates)
			switch {
			case len(s.Ask) == 0:
				s.State = StageDone
			case stage == Done:
				s.State, stage = StageOpen, key
			default:
				s.State = StageAhead
			}
		}
		list = append(list, s)
	}
	return stage, list
}

func (w walk) needs(stage string) bool {
	switch stage {
	case Decide:
		return !w.nothingTorn()
	case Prepare, Repair:
		return w.stitching() != nothing
	case Numb:
		return w.stitching() != nothing && !w.repaired() && (w.needle() || w.says("pain_relief", "working"))
	case Again:
		return w.stitching() != nothing && !w.repaired()
	case After, Visits: // where she is referred they are the receiver's
		return w.decision() != "refer"
	}
	return true
}

// ask lists what a stage waits for: the answers it needs, its gates', and what
// is done rather than said (note_grade, inject, layer, visit).
func (w walk) ask(stage string, gates []Gate) (ask []string) {
	switch stage {
	case Safe:
		ask = w.askSafe()
	case Examine:
		ask = append(open(gates, RectalBefore), w.askExamine()...)
	case Decide:
		ask = w.askDecide()
	case Prepare:
		ask = open(gates, Consent)
		if !w.repaired() { // what lies there is counted, so it is laid out first
			ask = append(ask, w.missing(w.GradeChanged, "laid_out")...)
		}
		ask = append(ask, open(gates, CountedIn)...)
	case Numb:
		ask = append(open(gates, Ceiling), w.askNumb()...)
	case Again:
		ask = w.askAgain()
	case Repair:
		if !w.repaired() {
			ask = []string{"layer", "repair_finished"}
		}
	case Check:
		ask = open(gates, allGates...) // nobody goes home through an open gate
	case After:
		ask = w.askAfter()
	case Visits:
		ask = w.askVisits()
	}
	return ask
}

// open gathers what the gates that are open ask.
func open(gates []Gate, keys ...string) (ask []string) {
	for _, key := range keys {
		for _, g := range gates {
			if g.Key == key {
				ask = append(ask, g.Ask...)
			}
		}
	}
	return ask
}

func needed(stage string) (keys []string) {
	for _, q := range questions {
		if q.Stage == stage && q.Needed {
			keys = append(keys, q.Key)
		}
	}
	return keys
}

// askSafe: all is answered, the uterus is firm, the placenta out and the
// bleeding settled. A woman who is on her way elsewhere does not wait for that.
//
// Numbers that ring come before all of that, wherever she is going.
func (w walk) askSafe() (ask []string) {
	if w.rings() {
		ask = []string{"alarm_seen"}
	}
	ask = append(ask, w.missing(-1, needed(Safe)...)...)
	if w.Signs().Again {
		ask = append(ask, "diastolic")
	}
	if d := w.decision(); d == "refer" || d == "cannot_travel" {
		return ask
	}
	for _, x := range [][2]string{{"uterus_firm", "yes"}, {"placenta_out", "yes"}, {"bleeding_looked", "settled"}} {
		if w.has(x[0]) && !w.says(x[0], x[1]) {
			ask = append(ask, x[0])
		}
	}
	return ask
}

// askExamine: the grade that the findings come to was written down.
func (w walk) askExamine() []string {
	switch {
	case w.refused() || w.lastNote() != nil && !w.Verdict.SecondLook:
		return nil
	case w.Verdict.SecondLook:
		return []string{"second_look"}
	}
	ask := slices.DeleteFunc(slices.Clone(w.Verdict.Ask), func(key string) bool { return key == AskRectalExam })
	return append(ask, "note_grade")
}

// askDecide: what was answered for another grade is asked anew.
func (w walk) askDecide() (ask []string) {
	if w.askOperator() {
		ask = []string{"trained_operator_here"}
	}
	switch w.decision() {
	case "":
		ask = append(ask, "decision")
	case "refer":
		ask = append(ask, w.askAllergy()...)
		ask = append(ask, w.missing(w.GradeChanged, "transport", "told_receiver")...)
	case "cannot_travel":
		ask = append(ask, w.askAllergy()...)
		ask = append(ask, w.missing(w.GradeChanged, "travel_barrier")...)
	case "repair_here":
		ask = append(ask, w.missing(-1, "consent_repair")...)
	}
	return ask
}

// askAllergy: on the way elsewhere an antibiotic may be given before she
// leaves, and a dose can close her throat; so it is asked before any is named
// (common practice, no source).
//
// One that is named is followed by the question for another.
func (w walk) askAllergy() (ask []string) {
	for _, q := range []string{"allergy", "allergy_second", "allergy_third"} {
		a := w.answer(q, -1)
		if a == nil {
			return append(ask, q)
		}
		if a.Value == "other" && ask == nil {
			ask = w.missing(-1, "allergy_which")
		}
		if a.Value == "none" || a.Value == "unknown" {
			break
		}
	}
	return ask
}

// askAfter: what is needed, in the order of the table. Her medicines are gone
// through once all is told that they hang on, and again when that has changed.
func (w walk) askAfter() []string {
	ask := w.askAllergy()
	for _, q := range needed(After) {
		from := -1
		switch q {
		case "allergy":
			continue
		case MedicinesSeen:
			from = w.medicinesFrom()
		}
		ask = append(ask, w.missing(from, q)...)
	}
	if w.says("urine_passed", "not_yet") {
		ask = append(ask, "urine_passed")
	}
	return ask
}

// medicinesFrom is the place after which it counts that her medicines were
// gone through: the last answer that could change them or their doses.
func (w walk) medicinesFrom() int {
	from := max(w.GradeChanged, w.Weighed)
	for _, q := range []string{"allergy", "allergy_second", "allergy_third", "allergy_which", "breastfeeding", "instrumental",
		"loss_ml", "bleeding_looked", "final_bleeding", "systolic", "diastolic", "second_systolic", "second_diastolic"} {
		from = max(from, w.place(q))
	}
	return from
}

// askNumb: something was injected, and the pinch after it is not felt (WHO
// MCPC 1st ed., P-84). What works already is pinched for too.
func (w walk) askNumb() []string {
	switch {
	case len(w.Injections) == 0 && w.needle():
		return []string{"inject"}
	case w.saysAfter(w.pinchFrom(), "numb_felt", "no"):
		return nil
	}
	return []string{"numb_felt"}
}

// pinchFrom is the place after which a pinch counts: the last injection, or
// the word that something else works.
func (w walk) pinchFrom() int {
	if w.says("pain_relief", "working") {
		return max(w.lastInjection(), w.place("pain_relief"))
	}
	return w.lastInjection()
}

// needle: she needs it before any stitch. Nothing yet is no pain relief, nobody
// asked is none either, and where a block works it turns out when the pinch is
// felt. What she wants nothing of is hers to say.
func (w walk) needle() bool {
	switch {
	case !w.has("pain_relief"):
		return true
	case w.says("pain_relief", "working"):
		return w.saysAfter(w.place("pain_relief"), "numb_felt", "yes")
	}
	return w.says("pain_relief", "local", "none", "unknown")
}

// askAgain: looked and felt again once numb (common practice, no source). What
// has changed is written down as a new grade.
func (w walk) askAgain() []string {
	a := w.answer("looked_again", max(w.lastInjection(), w.place("numb_felt")))
	switch {
	case a == nil:
		return []string{"looked_again"}
	case a.Value == "same":
		return nil
	}
	if w.Found < a.Place { // what has changed is not entered yet: the grade is still the old one
		return []string{"found_now"}
	}
	if n := w.lastNote(); n == nil || n.Place < w.Found {
		return []string{"note_grade"}
	}
	return nil
}

// repaired: every layer of the plan is closed, or somebody said that all is
// stitched that is to be. A grade found since asks anew.
func (w walk) repaired() bool {
	if w.saysAfter(w.GradeChanged, "repair_finished", "yes") {
		return true
	}
	for _, key := range w.Planned {
		if !w.closed(key) {
			return false
		}
	}
	return len(w.Planned) > 0
}

func (w walk) closed(layer string) bool {
	for _, l := range w.Layers {
		if l.Key == layer {
			return l.Done
		}
	}
	return false
}

// askVisits: today's date was looked at, and then a day to come back agreed on.
// One that was taken back is no day.
func (w walk) askVisits() []string {
	for _, v := range w.Visits {
		if v.Confirmed {
			return nil
		}
	}
	if !w.TodayLooked() {
		return []string{"today_right"}
	}
	return []string{"visit"}
}

// todayHolds is how long somebody's look at today's date is good for: within a
// shift nobody sets a phone back (ours, no source).
const todayHolds = 12 * time.Hour

// TodayLooked: somebody said, not long ago, that this device's date is right.
func (f Facts) TodayLooked() bool {
	a := walk{f}.answer("today_right", -1)
	return a != nil && a.Value == "yes" && f.since(a.Place).long < todayHolds
}
