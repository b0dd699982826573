package repair

import "time"

// Neglected: a tear not closed this long after the birth counts as dirty.
// Closed then, grades 1 and 2 make an abscess: they stay open (A Book for
// Midwives, 2010, chapter 19, FOUND). Trained hands close the lining of the
// bowel and the ring's sheath, and the rest 6 days later (from memory: WHO MCPC
// P-89 and P-90). Up to then a repair is wanted as soon as possible (ACSQHC
// 2021, QS5, FOUND), and 12 hours are the most that a specialist is waited for
// (AWMF 015/079, FOUND).
const Neglected = 12 * time.Hour

// Old reports whether a tear counts as neglected. An hour that nobody knows
// may be longer ago (common practice, no source).
func Old(since time.Duration, known bool) bool { return !known || since > Neglected }

// age turns the plan of an old tear: it is left open or goes to trained hands.
func (c Case) age(p *Plan) {
	known := c.Since != nil
	if !known && !c.SinceUnknown || p.Allowed == Nothing || known && !Old(*c.Since, true) {
		return
	}
	if known {
		p.Because.Add(OlderThan12Hours)
	} else {
		p.Because.Add(HourNotKnown)
	}
	if p.By == TrainedOperator {
		p.Because.Add(NeglectedInStages)
		return
	}
	p.Allowed = LeaveOpen
	p.Because.Add(NeglectedLeftOpen)
}
