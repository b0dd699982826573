package companion

import (
	"fourchette/core/amount"
	"fourchette/core/anaesthetic"
	"fourchette/core/birth"
)

// overLimit is all that was given against the lowest limit of what was given;
// nil while it is not above. It stands as long as the doses do: a toxicity page
// that was missed, or a weight that came out lighter since, changes nothing of
// what is in her.
func (c *Companion) overLimit(b *birth.Birth) *OverReply {
	q := c.doseQuestion(b)
	var given, least amount.Mass
	over, covered := false, false
	for _, d := range q.Given {
		given = given.Plus(d.Mass)
		q.Agent, q.Adrenaline = d.Agent, d.Adrenaline
		limit, err := anaesthetic.Limit(q)
		if err != nil { // the pack's source does not cover this agent: nothing published allows it
			over = true
			continue
		}
		over = over || limit.Over
		if !covered || limit.Mass < least {
			least, covered = limit.Mass, true
		}
	}
	if !over {
		return nil
	}
	r := &OverReply{GivenMg: given.Milligrams(), WeightAssumed: q.Body.Weight == 0}
	if covered {
		r.LimitMg = least.Milligrams()
	}
	return r
}
