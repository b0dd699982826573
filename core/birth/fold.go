package birth

import (
	"bytes"
	"slices"

	"fourchette/core/tear"
)

// fold works one birth out from its records, which are in order and not empty.
// Corrections come after everything else: they may have overtaken the dose
// that they put right.
func fold(log []Record) Birth {
	id := log[0].Event.Birth
	b := Birth{ID: id, Number: Number(id), Log: log}
	for place, r := range log {
		if r.Newer {
			b.Unknown++
		}
		if b.IsTwice(r) {
			b.Twice++
		}
		b.enter(r.Event, place)
	}
	for _, r := range log {
		if c := r.Event.DoseCorrected; c != nil && r.Event.checkBody() == nil {
			b.correct(r.Event.ID(), c)
		}
	}
	return b
}

// IsTwice says whether a record of the birth has the id of r and other bytes.
func (b *Birth) IsTwice(r Record) bool {
	for i := range b.Log {
		o := &b.Log[i]
		if o.Event.Seq == r.Event.Seq && o.Event.Device == r.Event.Device && !bytes.Equal(o.Raw, r.Raw) {
			return true
		}
	}
	return false
}

// enter enters an event, understood or not.
func (b *Birth) enter(e Event, place int) {
	if e.checkBody() != nil {
		b.forget(e)
		return
	}
	b.apply(e)
	b.say(e, place)
}

// FindingsThen is what the findings were after each record of the Log.
func (b *Birth) FindingsThen() []tear.Findings {
	then := make([]tear.Findings, len(b.Log))
	var so Birth
	for place, r := range b.Log {
		so.enter(r.Event, place)
		then[place] = so.Findings
	}
	return then
}

// apply enters an event whose body was checked.
func (b *Birth) apply(e Event) {
	switch e.Kind {
	case KindOpened:
		b.open(e)
	case KindFinding:
		setFinding(&b.Findings, e.Finding.Name, e.Finding.Value)
	case KindRectal:
		b.Findings.RectalExam = tear.RectalExam(e.Rectal.Value)
	case KindEpisiotomy:
		b.Findings.Episiotomy, b.EpisiotomySaid = e.Episiotomy.Cut, true
	case KindSecondLook:
		b.Findings.SecondLookDone = true
	case KindWeight:
		b.Weight = e.Weight
	case KindPrior:
		b.Prior = e.Prior.Told
	case KindDose:
		b.Doses = append(b.Doses, Given{ID: e.ID(), At: e.Wall, Dose: *e.Dose})
	case KindGradeNoted:
		b.GradeNoted = e.GradeNoted
	case KindLimitNoted:
		b.LimitNoted = e.LimitNoted
	case KindDespite:
		b.before = e
	case KindDoubted:
		b.Doubted, b.WasDoubted = true, true
	case KindLookedThrough:
		b.Doubted = false
	case KindClosed, KindReopened:
		b.Closed, b.LeftOpen = e.Kind == KindClosed, nil
		if d := b.before; b.Closed && d.Despite != nil && d.Device == e.Device && d.Seq+1 == e.Seq {
			b.LeftOpen = d.Despite.Open
		}
	}
}

// open keeps the hour of the first opening; bed and hour of birth are as said
// last.
func (b *Birth) open(e Event) {
	if !b.opened {
		b.OpenedAt, b.opened = e.Wall, true
	}
	b.Bed, b.BornAt, b.BornKnown = e.Opened.Bed, e.Opened.BornAt, e.Opened.BornKnown
}

// forget takes back the answer that a newer version gave in words this one
// does not have. The older answer is no longer true, so nothing is known.
func (b *Birth) forget(e Event) {
	switch {
	case e.Finding != nil:
		setFinding(&b.Findings, e.Finding.Name, "")
	case e.Rectal != nil:
		b.Findings.RectalExam = tear.RectalNotSaid
	case e.Weight != nil:
		b.Weight = nil
	case e.Prior != nil:
		b.Prior = ""
	case e.Answer != nil:
		b.Answers = without(b.Answers, e.Answer.Question)
	case e.Layer != nil:
		b.Layers = without(b.Layers, e.Layer.Layer)
	case e.Visit != nil:
		b.Visits = without(b.Visits, e.Visit.Key)
	}
}

// correct puts a dose right. A correction whose dose has not arrived stands in
// its place, so that what was given counts all the same.
func (b *Birth) correct(id string, c *DoseCorrected) {
	at := slices.IndexFunc(b.Doses, func(g Given) bool {
		return g.ID == c.Of || slices.Contains(g.Corrections, c.Of)
	})
	if at < 0 {
		b.Doses = append(b.Doses, Given{ID: c.Of})
		at = len(b.Doses) - 1
	}
	dose := &b.Doses[at]
	dose.Void = c.Void
	if !c.Void {
		dose.Dose = *c.Dose
	}
	dose.Corrections = append(dose.Corrections, id)
}
