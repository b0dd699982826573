package course

import "slices"

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

// operatorHere: asked about this grade, and yes.
func (w walk) operatorHere() bool {
	return w.saysAfter(w.GradeChanged, "trained_operator_here", "yes")
}
