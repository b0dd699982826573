package course

import "time"

// inHandFor is how long after the last entry of a birth something may still be
// in hand there: a night (ours, no source).
const inHandFor = 12 * time.Hour

// InHand: somebody is at it, with gloves on perhaps. An examination is begun
// and no grade written, a repair begun and not finished, what was counted in
// not counted out, or something must be done by or waited for. What is overdue
// for good or only counts up is not: it would be so for days. Of two clocks the
// one counts by which less time has passed.
func (f Facts) InHand() bool {
	w := walk{f}
	last := len(f.Moments) - 1
	if last < 0 || w.since(last).short >= inHandFor {
		return false
	}
	for _, t := range w.timers() {
		if (t.Kind == DoBy || t.Kind == WaitTo) && (t.State == TimerRunning || t.State == TimerUnknown) {
			return true
		}
	}
	return w.Found >= 0 && w.lastNote() == nil || w.lastStitch() >= 0 && !w.repaired() || w.countOpen()
}
