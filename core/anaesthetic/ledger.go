package anaesthetic

import (
	"math/bits"

	"fourchette/core/amount"
)

// How two agents share.
const (
	// Strictest counts every milligram of all agents against the smallest of
	// their ceilings. The default. Williams and Walker, Anaesthesia 2014;69:847 (2nd).
	Strictest = "strictest"
	// Fractions adds up dose/ceiling of each agent to at most 1. Taught
	// everywhere, no primary source found: only by protocol.
	Fractions = "fractions"
)

// What set a remainder.
const (
	RemainingByOwn       = "own"              // the ceiling asked for
	RemainingBySameAgent = "same_agent_lower" // the other form of the agent was given and has the lower ceiling
	RemainingByStrictest = "mixing_strictest" // another agent was given
	RemainingByFractions = "mixing_fractions" // another agent was given, and the protocol adds fractions
)

// share is one agent's part: all of it that was given, in either form, and the
// lower ceiling of the forms that play a part.
type share struct {
	agent          Agent
	given, ceiling amount.Mass
	lowered        bool // by another form than the first
}

// shares returns the agent asked for first, then each other agent of which
// anything was given. Where the source publishes nothing for an agent or form,
// the agent's lowest ceiling stands.
func (r Request) shares(w amount.Weight) []share {
	ceiling := func(a Agent, adrenaline bool) amount.Mass {
		return ruleFor(a, adrenaline, r.Source, w).most(w)
	}
	all := []share{{agent: r.Agent, ceiling: ceiling(r.Agent, r.Adrenaline)}}
	for _, dose := range r.Given {
		if dose.Mass == 0 {
			continue
		}
		all = add(all, dose, ceiling(dose.Agent, dose.Adrenaline))
	}
	return all
}

// add counts the dose to its agent's share, or begins one.
func add(all []share, dose Dose, ceiling amount.Mass) []share {
	for i := range all {
		if all[i].agent != dose.Agent {
			continue
		}
		all[i].given = all[i].given.Plus(dose.Mass)
		if ceiling < all[i].ceiling {
			all[i].ceiling, all[i].lowered = ceiling, true
		}
		return all
	}
	return append(all, share{agent: dose.Agent, given: dose.Mass, ceiling: ceiling})
}

// left is what remains, why, and whether the limit is already passed.
type left struct {
	mass amount.Mass
	by   string
	over bool
}

// remaining counts all shares against the limit that mixing sets.
func remaining(all []share, mixing string) left {
	own := all[0]
	switch {
	case len(all) == 1 && own.lowered:
		return against(all, RemainingBySameAgent)
	case len(all) == 1:
		return against(all, RemainingByOwn)
	case mixing == Fractions:
		return fractions(all)
	}
	return against(all, RemainingByStrictest)
}

// against takes every milligram of all shares off the smallest ceiling.
func against(all []share, by string) left {
	var given amount.Mass
	limit := all[0].ceiling
	for _, s := range all {
		given, limit = given.Plus(s.given), min(limit, s.ceiling)
	}
	return left{limit.Minus(given).Floor(massStep), by, given > limit}
}

// fractions returns own ceiling × (1 − Σ given/ceiling), cut to 0.1 mg, exactly.
func fractions(all []share) left {
	for _, s := range all {
		if s.given > s.ceiling { // also keeps the products below small
			return left{0, RemainingByFractions, true}
		}
	}
	steps := uint64(all[0].ceiling / massStep)
	used := usedSteps(all, steps)
	if used > steps {
		return left{0, RemainingByFractions, true}
	}
	return left{amount.Mass(steps-used) * massStep, RemainingByFractions, false}
}

// usedSteps returns Σ steps·given/ceiling rounded up to a whole step.
//
// Each quotient's fraction is cut to 128 bits, and the cut cannot change the
// answer: ceilings are multiples of 100 micrograms below 10⁶, so the sum of
// seven agents is a multiple of 1/10³⁰. Either it is whole, and the cuts bring
// it at most 7·2⁻¹²⁸ below that whole number, or it is at least 10⁻³⁰ above
// one, which the cuts cannot eat up. Rounding up gives the same step.
func usedSteps(all []share, steps uint64) uint64 {
	var whole, high, low uint64
	for _, s := range all {
		ceiling := uint64(s.ceiling)
		product := steps * uint64(s.given) // at most 10⁴ × 10⁶
		first, rest := bits.Div64(product%ceiling, 0, ceiling)
		next, _ := bits.Div64(rest, 0, ceiling)
		var carry uint64
		low, carry = bits.Add64(low, next, 0)
		high, carry = bits.Add64(high, first, carry)
		whole += product/ceiling + carry
	}
	if high|low != 0 {
		whole++
	}
	return whole
}
