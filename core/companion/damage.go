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
	seen      map[string]bool // births of which an entry was read
	twice     map[string]bool // births with an id in two versions that nobody has looked through since they came
}

// lost notes that the entry of this sequence cannot be read.
func (d *doubts) lost(seq uint64) { d.wholeFrom = max(d.wholeFrom, seq+1) }

// saw notes what an event says of its birth's wholeness. Only the first opening
// begins a record: a later one puts bed or hour right.
func (d *doubts) saw(seq uint64, e birth.Event, ours bool) {
	if d.seen == nil {
		d.seen = map[string]bool{}
	}
	begins := e.Kind == birth.KindOpened && !d.seen[e.Birth]
	d.seen[e.Birth] = true
	if ours && (begins || e.Kind == birth.KindLookedThrough) && seq >= d.wholeFrom {
		d.whole[e.Birth] = true
	}
}

// doubt goes through all that was read, in the order of the journal. Whoever
// looked through a record on another phone looked at that phone's copy. Where
// lines are lost, a mark may be among them that says under which id this phone
// writes: then it takes a new one rather than that of another phone.
func (c *Companion) doubt(records []birth.Record, sequence []uint64) error {
	twice := map[string]*birth.Birth{}
	for i := range c.state.Births {
		if b := &c.state.Births[i]; b.Twice > 0 {
			twice[b.ID] = b
		}
	}
	device, several, marked := "", false, uint64(0)
	for i, r := range records {
		e := &r.Event
		if e.Kind == birth.KindMoved { // it says nothing of the birth it names
			device, marked = e.Device, sequence[i]
			continue
		}
		if device == "" {
			device = e.Device
		}
		several = several || e.Device != records[0].Event.Device
		c.doubts.saw(sequence[i], *e, e.Device == device)
		if b := twice[e.Birth]; b != nil && b.IsTwice(r) {
			c.doubts.twice[e.Birth] = true
		} else if e.Kind == birth.KindLookedThrough && e.Device == device {
			delete(c.doubts.twice, e.Birth)
		}
	}
	if several && marked < c.doubts.wholeFrom {
		return c.moveOn()
	}
	return nil
}

// markDamaged marks the births of whose record lines may be lost.
func (c *Companion) markDamaged() {
	for i := range c.state.Births {
		b := &c.state.Births[i]
		b.Damaged = c.doubts.wholeFrom > 0 && !c.doubts.whole[b.ID] || c.doubts.twice[b.ID] || b.Doubted
	}
}

// wrote notes an event of this run: all that may be lost was lost before it.
func (c *Companion) wrote(e birth.Event) {
	b, _ := c.birth(e.Birth)
	if e.Kind == birth.KindOpened && b != nil && len(b.Log) == 1 || e.Kind == birth.KindLookedThrough {
		c.doubts.whole[e.Birth] = true
		c.doubts.looked[e.Birth] = true
		delete(c.doubts.twice, e.Birth)
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
