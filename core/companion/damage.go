package companion

import (
	"fourchette/core/aftercare"
	"fourchette/core/birth"
	"fourchette/core/course"
)

// RecordDamaged is the reason why a birth's record settles nothing: lines of it
// may be lost. Whoever looks through it and adds what is missing says so
// ("birth.looked_through"), and its figures count again.
//
// A line that cannot be read does not say whose it was, so it may be of every
// birth whose record was begun before it, or of one that nobody looked through
// since. A record that was begun after the last loss is whole. A torn tail is
// no loss: that line was cut while being written and never acknowledged. It is
// said beside the figures (last_cut), and they stand.
const RecordDamaged = course.RecordDamaged

// doubts is what the journal's report means for each birth.
type doubts struct {
	wholeFrom uint64          // sequence from which on nothing is lost; 0: nothing is
	whole     map[string]bool // births whose record nothing is missing from
	looked    map[string]bool // births looked through in this run: a cut last line was among it
}

// lost notes that the entry of this sequence cannot be read.
func (d *doubts) lost(seq uint64) { d.wholeFrom = max(d.wholeFrom, seq+1) }

// saw notes what an event says of its birth's wholeness.
func (d *doubts) saw(seq uint64, e birth.Event, ours bool) {
	begun := e.Kind == birth.KindOpened && ours
	if (begun || e.Kind == birth.KindLookedThrough) && seq >= d.wholeFrom {
		d.whole[e.Birth] = true
	}
}

// markDamaged marks the births of whose record lines may be lost.
func (c *Companion) markDamaged() {
	for i := range c.state.Births {
		b := &c.state.Births[i]
		b.Damaged = c.doubts.wholeFrom > 0 && !c.doubts.whole[b.ID]
	}
}

// wrote notes an event of this run: all that may be lost was lost before it.
func (c *Companion) wrote(e birth.Event) {
	if e.Kind == birth.KindOpened || e.Kind == birth.KindLookedThrough {
		c.doubts.whole[e.Birth] = true
		c.doubts.looked[e.Birth] = true
	}
	c.markDamaged()
}

// lastCut: the last line was cut while being written, and nobody has looked
// yet whether it was of this birth.
func (c *Companion) lastCut(b *birth.Birth) bool {
	return c.report.TornTail && !b.Closed && !c.doubts.looked[b.ID]
}

// doubtCare leaves of a case only what speaks against a medicine or for care:
// an allergy, a lighter weight or a higher pressure may be among the lines that
// are lost, so no answer that something is not so holds.
func doubtCare(k *aftercare.Case) {
	k.AllergiesTold, k.Weight, k.Lost = false, 0, nil
	for _, told := range []*aftercare.Told{&k.Buttonhole, &k.Instrumental, &k.Sutured, &k.Breastfeeding, &k.Alarm, &k.Bleeds, &k.HighPressure} {
		if *told == aftercare.No {
			*told = aftercare.NotSaid
		}
	}
}

// lookedThrough says that somebody looked through a record and added what was
// missing. Nothing is taken on trust: a record that is whole has no use for it.
func lookedThrough(c *Companion, r *BirthRequest) (reply, error) {
	b, err := c.openRecord(r.Birth)
	if err != nil {
		return nil, err
	}
	if !b.Damaged && !c.lastCut(b) {
		return nil, &Fault{Code: FaultNothingLost, Field: "birth", Detail: r.Birth}
	}
	return saved(c.write(r.Birth, birth.KindLookedThrough, nil))
}
