package companion

import (
	"slices"
	"time"

	"fourchette/core/amount"
	"fourchette/core/anaesthetic"
	"fourchette/core/birth"
)

func listBirths(c *Companion, _ *Nothing) (reply, error) {
	if c.journal == nil {
		return nil, &Fault{Code: FaultNoDisk}
	}
	out := &BirthList{}
	for i := len(c.state.Births) - 1; i >= 0; i-- {
		b := &c.state.Births[i]
		if b.Closed {
			if out.Closed++; out.Closed > mostClosed {
				continue
			}
		} else {
			out.Open++
		}
		out.Births = append(out.Births, c.summary(b))
	}
	slices.Reverse(out.Births)
	return out, nil
}

// mostClosed is how many closed records stand beside those in progress: the
// others are searched for.
const mostClosed = 10

func (c *Companion) summary(b *birth.Birth) BirthSummary {
	v := verdictOf(b)
	where, overdue, warnings := c.where(b)
	return BirthSummary{
		Where: where, Overdue: overdue, Warnings: warnings, LeftOpen: b.LeftOpen,
		Birth: b.ID, Number: b.Number, Bed: b.Bed, OpenedAt: stamp(b.OpenedAt), BornAt: bornStamp(b),
		Closed: b.Closed, Stage: stage(b), Grade: v.Grade.String(), TreatAs: v.TreatAs.String(), Examined: examined(b), Damaged: b.Damaged,
	}
}

// stage says how far the record has come. A grade that the findings have left
// behind does not count as written.
func stage(b *birth.Birth) string {
	written := b.GradeNoted != nil && !gradeStale(b, b.GradeNoted)
	switch {
	case b.Closed:
		return "closed"
	case written && len(b.Doses) > 0:
		return "graded_and_numbed"
	case written:
		return "graded"
	case examined(b) > 0:
		return "examining"
	}
	return "opened"
}

// examined counts the answers given so far; nought means nobody has looked.
func examined(b *birth.Birth) int {
	f, n := b.Findings, 0
	for _, word := range []string{
		string(f.PerinealSkin), string(f.VaginalMucosa), string(f.PerinealMuscle), string(f.ExternalSphincter),
		string(f.InternalSphincter), string(f.AnorectalMucosa), string(f.RectalExam),
	} {
		if word != "" {
			n++
		}
	}
	if b.EpisiotomySaid {
		n++
	}
	return n
}

func showBirth(c *Companion, r *BirthRequest) (reply, error) {
	b, err := c.birth(r.Birth)
	if err != nil {
		return nil, err
	}
	out := &BirthReply{
		Birth: b.ID, Number: b.Number, Bed: b.Bed, OpenedAt: stamp(b.OpenedAt), BornAt: bornStamp(b), Closed: b.Closed,
		Findings: asked(b.Findings), EpisiotomyAsked: b.EpisiotomySaid, Prior: b.Prior, Newer: b.Unknown, Damaged: b.Damaged, LastCut: c.lastCut(b),
	}
	if w := b.Weight; w != nil {
		out.NotWeighed, out.HeightCm = w.NotWeighed, w.HeightCm
		if !w.NotWeighed {
			out.WeightKg = amount.Weight(w.Grams).Kilograms()
		}
	}
	out.OverLimit = c.overLimit(b)
	for _, d := range b.Doses {
		out.Doses = append(out.Doses, given(d))
	}
	path, facts := c.path(b)
	out.Where, out.Overdue = whereIn(b, path)
	showWay(out, b)
	showDespite(out, b, facts)
	showCounts := facts.OutKnown()
	opened := false
	for _, l := range b.Log {
		entry := logged(l, showCounts)
		if e := l.Event.Opened; e != nil {
			if opened { // said anew since
				entry.Kind, entry.Value = "put_right", orNotKnown(e)
			}
			opened = true
		}
		out.Log = append(out.Log, entry)
		c.noteLast(out, b, l)
	}
	return out, nil
}

// noteLast keeps the last grade and limit that were written down.
func (c *Companion) noteLast(out *BirthReply, b *birth.Birth, l birth.Record) {
	at := stamp(l.Event.Wall)
	if n := l.Event.GradeNoted; n != nil {
		out.GradeNoted = &NotedGrade{
			At: at, Grade: n.Grade, AtLeast: n.AtLeast, AtMost: n.AtMost, TreatAs: n.TreatAs,
			Settled: n.Settled, Buttonhole: n.Buttonhole, Because: n.Because,
			Stale: gradeStale(b, n),
		}
	}
	if n := l.Event.LimitNoted; n != nil {
		out.LimitNoted = &NotedLimit{
			At: at, Agent: n.Agent, Adrenaline: n.Adrenaline, StrengthPercent: amount.Strength(n.Strength).Percent(),
			Mg: amount.Mass(n.Micrograms).Milligrams(), Ml: amount.Volume(n.Microlitres).Millilitres(),
			BoundBy: n.BoundBy, Source: n.Source, WeightAssumed: n.WeightAssumed, Stale: c.limitStale(b, n),
		}
	}
}

func gradeStale(b *birth.Birth, n *birth.GradeNoted) bool {
	v := verdictOf(b)
	return v.Grade.String() != n.Grade || v.TreatAs.String() != n.TreatAs || v.Settled != n.Settled || v.Buttonhole != n.Buttonhole
}

// limitStale works the noted limit out anew: another weight has come, or the
// clinic's source has changed.
func (c *Companion) limitStale(b *birth.Birth, n *birth.LimitNoted) bool {
	q := c.doseQuestion(b)
	q.Agent, q.Adrenaline, q.Strength = anaesthetic.Agent(n.Agent), n.Adrenaline, amount.Strength(n.Strength)
	l, err := anaesthetic.Limit(q)
	return b.Damaged || err != nil || int64(l.Mass) != n.Micrograms || int64(l.Volume) != n.Microlitres || l.WeightAssumed != n.WeightAssumed
}

func given(d birth.Given) DoseReply {
	r := doseShown(&d.Dose)
	r.Event, r.At, r.Void, r.Corrected = d.ID, stamp(d.At), d.Void, len(d.Corrections) > 0
	return r
}

func doseShown(d *birth.Dose) DoseReply {
	r := DoseReply{Agent: d.Agent, Adrenaline: d.Adrenaline, Mg: amount.Mass(d.Micrograms).Milligrams(), Prior: d.Prior}
	if d.Microlitres != 0 {
		r.Ml = amount.Volume(d.Microlitres).Millilitres()
	}
	if d.Strength != 0 {
		r.StrengthPercent = amount.Strength(d.Strength).Percent()
	}
	return r
}

// logged turns an event into the words of its line.
func logged(r birth.Record, showCounts bool) LogEntry {
	e := r.Event
	l := LogEntry{Event: e.ID(), At: stamp(e.Wall), Kind: e.Kind}
	if r.Newer {
		l.Kind = "newer"
		return l
	}
	switch {
	case e.Finding != nil:
		l.Name, l.Value = e.Finding.Name, orNotExamined(e.Finding.Value)
	case e.Rectal != nil:
		l.Value = orNotExamined(e.Rectal.Value)
	case e.Episiotomy != nil:
		l.Value = yesNo(e.Episiotomy.Cut)
	case e.Weight != nil && !e.Weight.NotWeighed:
		l.Value = amount.Weight(e.Weight.Grams).Kilograms()
	case e.Weight != nil:
		l.Kind = "not_weighed"
	case e.Prior != nil:
		l.Value = e.Prior.Told
	case e.GradeNoted != nil:
		l.Value = e.GradeNoted.Grade
	case e.LimitNoted != nil:
		l.Value = amount.Mass(e.LimitNoted.Micrograms).Milligrams()
	}
	loggedDose(&l, e)
	loggedWay(&l, e, showCounts)
	return l
}

func loggedDose(l *LogEntry, e birth.Event) {
	d := e.Dose
	if c := e.DoseCorrected; c != nil {
		l.Void, d = c.Void, c.Dose
	}
	if d == nil {
		return
	}
	shown := doseShown(d)
	shown.Event, shown.At = l.Event, l.At
	l.Dose = &shown
}

// orNotKnown is an hour of birth, in UTC, or that nobody knows.
func orNotKnown(o *birth.Opened) string {
	if !o.BornKnown {
		return "not_known"
	}
	return stamp(o.BornAt)
}

func orNotExamined(word string) string {
	if word == "" {
		return "not_examined"
	}
	return word
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// stamp is a time of the record in UTC, "" when it is not known.
func stamp(ms int64) string {
	if ms == 0 {
		return ""
	}
	return time.UnixMilli(ms).UTC().Format(time.RFC3339)
}

func bornStamp(b *birth.Birth) string {
	if !b.BornKnown {
		return ""
	}
	return stamp(b.BornAt)
}
