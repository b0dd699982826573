// Package anaesthetic works out how much local anaesthetic a woman may have at
// one birth, how to draw it up, and the lipid emulsion for when it was too much.
//
// Start with Limit: a Request in, a Ceiling out. Rules is the table of
// published ceilings that everything rests on.
//
// What it keeps to:
//   - A ceiling is never rounded up: milligrams are cut to 0.1 mg, then the
//     volume of those milligrams is cut to 0.1 mL, so that the milligrams in
//     the volume shown never pass the ceiling shown. What was given comes in
//     already rounded up.
//   - The lowest published ceiling is the default, and adrenaline raises
//     nothing until a clinic picks a published source that says so. A source
//     applies as a whole: its mg/kg with its cap.
//   - No source is used above 70 kg, nor for a form it does not publish.
//   - Not weighed means 30 kg and says so. Nobody said what was given before
//     means no remainder. Neither is ever guessed.
//   - Everything given at this birth counts in full: no decay is published.
//
// Every number has its source beside it. None has been signed off by a
// clinician yet, and local protocol stands above all of them.
package anaesthetic

import (
	"slices"

	"fourchette/core/amount"
)

// Agent is a local anaesthetic by its generic name.
type Agent string

// The agents, as the table of rules names them.
const (
	Lidocaine       Agent = "lidocaine"
	Bupivacaine     Agent = "bupivacaine"
	Ropivacaine     Agent = "ropivacaine"
	Levobupivacaine Agent = "levobupivacaine"
	Mepivacaine     Agent = "mepivacaine"
	Chloroprocaine  Agent = "chloroprocaine"
	Prilocaine      Agent = "prilocaine"
)

// Agents returns every agent that has a published ceiling, lidocaine first:
// it is the only one offered until a clinic's pack enables another.
func Agents() []Agent {
	return []Agent{Lidocaine, Bupivacaine, Ropivacaine, Levobupivacaine, Mepivacaine, Chloroprocaine, Prilocaine}
}

// Strengths returns the strengths of a that exist, weakest first, or nothing
// for an unknown agent. Source: from memory: common formularies. Bupivacaine
// 0.75 % is left out on purpose (US boxed warning, obstetric use), and
// levobupivacaine 0.75 % with it.
func Strengths(a Agent) []amount.Strength {
	switch a {
	case Lidocaine:
		return []amount.Strength{2500, 5000, 10000, 15000, 20000} // 0.25, 0.5, 1, 1.5, 2 %
	case Bupivacaine, Levobupivacaine:
		return []amount.Strength{2500, 5000} // 0.25, 0.5 %
	case Ropivacaine:
		return []amount.Strength{2000, 5000, 7500, 10000} // 0.2, 0.5, 0.75, 1 %
	case Mepivacaine:
		return []amount.Strength{10000, 15000, 20000, 30000} // 1, 1.5, 2, 3 %
	case Prilocaine:
		return []amount.Strength{5000, 10000, 30000, 40000} // 0.5, 1, 3, 4 %
	case Chloroprocaine:
		return []amount.Strength{10000, 20000, 30000} // 1, 2, 3 %
	}
	return nil
}

// Shown amounts are whole steps of these; they are the marks of the smallest
// syringe and the tenth of a milligram beside it.
const (
	massStep   = amount.Milligram / 10
	volumeStep = amount.Millilitre / 10
)

// known says whether a has any published ceiling.
func known(a Agent) bool { return slices.Contains(Agents(), a) }
