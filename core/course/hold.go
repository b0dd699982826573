package course

import (
	"slices"
	"time"
)

// Operator is the gate before what only a trained operator may stitch.
const Operator = "operator"

// beforeStitching are the gates that a stitch waits for.
var beforeStitching = []string{Consent, RectalBefore, Ceiling, CountedIn}

// ring are the layers that only a trained operator may stitch.
var ring = []string{"anorectal_mucosa", "internal_sphincter", "external_sphincter"}

// BeforeLayer lists the gates that stand open before a layer is closed; "" is
// any layer. What was stitched all the same can always be written down, by
// whoever says that these were read. A no of hers opens the gate of consent:
// passed elsewhere, because it is an answer, it is no leave to stitch.
func (f Facts) BeforeLayer(layer string) (open []Gate) {
	f.Layers = append(slices.Clone(f.Layers), Layer{Key: layer, Done: true, Place: len(f.Moments)})
	w := walk{f}
	for _, g := range w.gates() {
		if g.Key == Consent && len(g.Ask) == 0 {
			g.Ask = w.refusals()
		}
		if len(g.Ask) > 0 && slices.Contains(beforeStitching, g.Key) {
			open = append(open, Gate{g.Key, GateOpen, g.Ask})
		}
	}
	if (w.sphincter() || slices.Contains(ring, layer)) && !w.operatorHere() {
		open = append(open, Gate{Operator, GateOpen, []string{"trained_operator_here"}})
	}
	return open
}

// refusals are the questions that she answered with a no to being touched.
func (w walk) refusals() (ask []string) {
	for _, q := range []string{"consent_exam", "consent_repair"} {
		if w.says(q, "declined") {
			ask = append(ask, q)
		}
	}
	return ask
}

// operatorFor is how long a trained operator who was here counts as here: then
// the question is asked anew (common practice, no source).
const operatorFor = time.Hour

// OperatorHere: asked about this grade, not long ago, and yes.
func (f Facts) OperatorHere() bool { return walk{f}.operatorHere() }

func (w walk) operatorHere() bool {
	return w.saysAfter(w.GradeChanged, "trained_operator_here", "yes") && !w.operatorStale()
}

// operatorStale: the answer was for another hour; nobody asked is stale too.
func (w walk) operatorStale() bool {
	a := w.answer("trained_operator_here", w.GradeChanged)
	return a == nil || w.since(a.Place).long > operatorFor
}

// operatorForRepair: a repair that was begun with one goes on. Each of its
// layers asks again all the same, see BeforeLayer.
func (w walk) operatorForRepair() bool {
	return w.operatorHere() || w.lastStitch() >= 0 && w.saysAfter(w.GradeChanged, "trained_operator_here", "yes")
}

// askOperator: each time what is decided hangs on it. Where she was not allowed
// to look, nobody is asked for first.
func (w walk) askOperator() bool {
	if !w.sphincter() || w.refused() {
		return false
	}
	return w.answer("trained_operator_here", w.GradeChanged) == nil || w.decision() == "" && w.operatorStale()
}
