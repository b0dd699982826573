package course

import (
	"math"

	"fourchette/core/tear"
)

// The gates, in the order of the way.
const (
	Consent      = "consent"
	RectalBefore = "rectal_before"
	Ceiling      = "ceiling"
	CountedIn    = "counted_in"
	CountedOut   = "counted_out"
	Tampon       = "tampon"
	RectalAfter  = "rectal_after"
	FinalCheck   = "final_check"
)

var allGates = []string{Consent, RectalBefore, Ceiling, CountedIn, CountedOut, Tampon, RectalAfter, FinalCheck}

// What a gate may ask beside questions: each is answered in its own way.
const (
	AskRectalExam  = "rectal_exam" // a finding
	AskWeight      = "weight"
	AskPrior       = "prior"
	AskLabel       = "label" // agent, adrenaline and strength, and the limit written down
	AskCountIn     = "count_in"
	AskCountOut    = "count_out"
	AskLookThrough = "look_through" // the record: lines of it may be lost
)

// The states of a gate.
const (
	GatePassed    = "passed"
	GateOpen      = "open"
	GateNotNeeded = "not_needed"
)

// Gate is one thing that cannot be skipped, and what would pass it, the next
// to ask first.
type Gate struct {
	Key, State string
	Ask        []string
}

func (w walk) gates() []Gate {
	list := w.answeredGates()
	for i := range list {
		if g := &list[i]; w.Damaged && g.State != GateNotNeeded {
			g.State, g.Ask = GateOpen, append([]string{AskLookThrough}, g.Ask...)
		}
	}
	return list
}

// answeredGates takes the record for whole.
func (w walk) answeredGates() []Gate {
	return []Gate{
		gate(Consent, true, w.askConsent()),
		gate(RectalBefore, true, w.askRectalBefore()),
		gate(Ceiling, w.needsCeiling(), w.askCeiling()),
		gate(CountedIn, w.stitching() != nothing || len(w.Counts) > 0, w.askCountIn()),
		gate(CountedOut, w.stitching() != nothing || len(w.Counts) > 0, w.askCountOut()),
		gate(Tampon, true, w.askTampon()),
		gate(RectalAfter, w.stitching() != nothing, w.askRectalAfter()),
		gate(FinalCheck, true, w.askFinalCheck()),
	}
}

func gate(key string, needed bool, ask []string) Gate {
	switch {
	case !needed:
		return Gate{Key: key, State: GateNotNeeded}
	case len(ask) > 0:
		return Gate{key, GateOpen, ask}
	}
	return Gate{Key: key, State: GatePassed}
}

// missing lists the questions that were not answered after a place.
func (w walk) missing(after int, questions ...string) (ask []string) {
	for _, q := range questions {
		if w.answer(q, after) == nil {
			ask = append(ask, q)
		}
	}
	return ask
}

// askConsent: to the examination always, to the repair when there is to be one.
// Who cannot answer has not agreed: she is asked again when she can.
func (w walk) askConsent() (ask []string) {
	wanted := []string{"consent_exam"}
	if w.decision() == "repair_here" || w.stitching() == begun {
		wanted = append(wanted, "consent_repair")
	}
	for _, q := range wanted {
		if !w.has(q) || w.says(q, "cannot_answer") {
			ask = append(ask, q)
		}
	}
	if w.stitching() == begun { // a no is an answer, and no leave: what was stitched against it never passes
		ask = append(ask, w.refusals()...)
	}
	return ask
}

// askRectalBefore: offered to every woman after a vaginal birth, particularly
// before stitching (RCOG GTG29 2015); declined is an answer, and so is having
// declined all of the examination.
func (w walk) askRectalBefore() []string {
	if w.Findings.RectalExam != tear.RectalNotSaid || w.refused() {
		return nil
	}
	return []string{AskRectalExam}
}

// needsCeiling: before anything is injected, and where something was.
func (w walk) needsCeiling() bool {
	if len(w.Injections) > 0 {
		return true
	}
	return w.stitching() != nothing && w.needle()
}

func (w walk) askCeiling() (ask []string) {
	for _, x := range []struct {
		said bool
		key  string
	}{{w.WeightSaid, AskWeight}, {w.PriorSaid, AskPrior}, {w.LimitStands, AskLabel}} {
		if !x.said {
			ask = append(ask, x.key)
		}
	}
	return ask
}

func (w walk) askCountIn() []string {
	if w.countedIn() {
		return nil
	}
	return []string{AskCountIn}
}

// askCountOut: what came out is what went in, or somebody searched and wrote
// down that it was not found. Found means: count once more. What was counted in
// after the first stitch proves nothing, however even it comes out: search.
func (w walk) askCountOut() []string {
	switch {
	case w.stitching() == planned:
		return []string{AskCountOut} // nothing was stitched yet: it is too early
	case !w.outKnown():
		return []string{AskCountOut}
	case w.Reconciled && w.countedIn() && !w.CountedLate():
		return nil
	case w.saysAfter(w.lastCount(), "final_count_search", "not_found"): // which is after the last stitch: see outKnown
		return nil
	case w.saysAfter(w.lastCount(), "final_count_search", "found"):
		return []string{AskCountOut}
	case !w.countedIn():
		return []string{AskCountIn, "final_count_search"}
	}
	return []string{"final_count_search", AskCountOut}
}

// never is after every place.
const never = math.MaxInt

// checkFrom is the place after which the answers at the end count: the last
// stitch, or, where nothing is stitched, the decision.
func (w walk) checkFrom() int {
	switch w.stitching() {
	case begun:
		return w.lastStitch()
	case nothing:
		return max(w.GradeChanged, w.place("decision"))
	}
	return never
}

// askTampon: never put in; out; or left on purpose with number, hour, reason
// and receiver, told after it was said. (MSF Essential obstetric and newborn care
// 5.9: it must be removed and checked.)
func (w walk) askTampon() []string {
	from := w.checkFrom()
	if w.stitching() == nothing {
		from = -1 // it may have gone in against the bleeding, before the decision
	}
	t := w.answer("tampon", from)
	switch {
	case t == nil || t.Value == "in" || t.Value == "none" && w.TamponSaidIn:
		return []string{"tampon"}
	case t.Value == "left":
		return w.missing(t.Place, "tampon_number", "tampon_at", "tampon_why", "tampon_receiver")
	}
	return nil
}

// askRectalAfter: no stitch may be felt in the rectum, and one that is felt is
// removed (ACSQHC Clinical Care Standard 2021, QS5), then felt for again. Where
// it cannot be removed here she goes with it, and that is written.
func (w walk) askRectalAfter() []string {
	exam := w.answer("rectal_after", w.checkFrom())
	if exam == nil {
		return []string{"rectal_after"}
	}
	if exam.Value == "declined" {
		return nil
	}
	felt := w.answer("stitch_felt", w.checkFrom())
	switch {
	case felt == nil || felt.Value == "unsure":
		return []string{"stitch_felt"}
	case felt.Value == "no":
		return nil
	case w.saysAfter(felt.Place, "stitch_removed", "refer"):
		return nil
	case w.saysAfter(felt.Place, "stitch_removed", "removed"):
		return []string{"stitch_felt"}
	}
	return []string{"stitch_removed"}
}

// askFinalCheck: she is done when the uterus is firm and the bleeding settled,
// not when somebody has looked (common practice, no source). What was soft or
// heavy is looked at again.
func (w walk) askFinalCheck() (ask []string) {
	for _, want := range [][2]string{{"final_firm", "yes"}, {"final_bleeding", "settled"}} {
		if !w.saysAfter(w.checkFrom(), want[0], want[1]) {
			ask = append(ask, want[0])
		}
	}
	return ask
}
