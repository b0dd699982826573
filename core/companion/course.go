package companion

import (
	"slices"
	"time"

	"fourchette/core/aftercare"
	"fourchette/core/birth"
	"fourchette/core/course"
	"fourchette/core/repair"
	"fourchette/core/supplies"
	"fourchette/core/tear"
)

func courseQuestions(_ *Companion, r *StageRequest) (reply, error) {
	out := &QuestionsReply{}
	for _, q := range course.Questions() {
		if r.Stage != "" && r.Stage != q.Stage {
			continue
		}
		out.Questions = append(out.Questions, QuestionReply{
			Key: q.Key, Stage: q.Stage, Kind: q.Kind, Words: q.Words, Needed: q.Needed,
			Least: int(q.Least), Most: int(q.Most),
		})
	}
	if len(out.Questions) == 0 && !isStage(r.Stage) {
		return nil, &Fault{Code: FaultWord, Field: "stage", Detail: r.Stage}
	}
	return out, nil
}

func isStage(key string) bool {
	for _, stage := range course.StageKeys() {
		if stage == key {
			return true
		}
	}
	return false
}

func courseWalk(c *Companion, r *BirthRequest) (reply, error) {
	b, err := c.birth(r.Birth)
	if err != nil {
		return nil, err
	}
	p, f := c.path(b)
	out := &WalkReply{
		Stage: p.Stage, Ways: p.Ways, Warnings: p.Warnings, Overdue: p.Overdue(), Changed: p.Changed, Alarm: f.Alarm,
		Grade: f.Verdict.Grade.String(), TreatAs: f.Verdict.TreatAs.String(), Closed: b.Closed, Newer: b.Unknown, Damaged: b.Damaged,
	}
	_, out.AlarmOn = alarm(f.Signs())
	out.Now, out.TodayLooked = stamp(f.Now.Wall), f.TodayLooked()
	if p.Was != nil {
		out.WasGrade, out.WasTreatAs = p.Was.Verdict.Grade.String(), p.Was.Verdict.TreatAs.String()
	}
	for _, s := range p.Stages {
		out.Stages = append(out.Stages, StageReply(s))
	}
	for _, g := range p.Gates {
		out.Gates = append(out.Gates, GateReply(g))
	}
	for _, g := range f.BeforeLayer("") {
		out.BeforeLayer = append(out.BeforeLayer, GateReply(g))
	}
	for _, t := range p.Timers {
		out.Timers = append(out.Timers, TimerReply{
			Key: t.Key, Kind: t.Kind, State: t.State, Since: clockTime(t.Since), Due: clockTime(t.Due), Doubt: t.Doubt,
		})
	}
	return out, nil
}

// clockTime is a time in UTC to the second, "" when there is none.
func clockTime(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339)
}

// where is the stage of the way, what is overdue there, and what warns.
func (c *Companion) where(b *birth.Birth) (stage string, overdue, warnings []string) {
	if b.Closed { // years of closed records are listed without being walked
		return "closed", nil, nil
	}
	p, _ := c.path(b)
	stage, overdue = whereIn(b, p)
	return stage, overdue, p.Warnings
}

func whereIn(b *birth.Birth, p course.Path) (stage string, overdue []string) {
	if b.Closed {
		return "closed", nil
	}
	return p.Stage, p.Overdue()
}

func (c *Companion) path(b *birth.Birth) (course.Path, course.Facts) {
	f := c.facts(b)
	return course.Walk(f), f
}

// facts is what a record says towards its way.
func (c *Companion) facts(b *birth.Birth) course.Facts {
	f := course.Facts{
		Findings: b.Findings, Verdict: verdictOf(b), GradeChanged: -1, Found: -1, Opened: -1, Born: -1, Weighed: -1, BornAt: b.BornAt,
		WeightSaid:   b.Weight != nil,
		PriorSaid:    b.Prior == birth.PriorNobodyKnows || b.Prior == birth.PriorNothing || b.Prior == birth.PriorListed && anyPrior(b.Doses),
		LimitStands:  b.LimitNoted != nil && !c.limitStale(b, b.LimitNoted) && labelsNoted(b),
		Damaged:      b.Damaged,
		TamponSaidIn: tamponSaidIn(b),
		OverLimit:    c.overLimit(b) != nil,
		NoteStands:   b.GradeNoted != nil && !gradeStale(b, b.GradeNoted),
	}
	now := c.now()
	f.Now = course.Moment{Device: c.writer.Device, Wall: now.Wall, Running: now.Running, Run: now.Run}
	factsOfLog(&f, b)
	for _, a := range b.Answers {
		f.Answers = append(f.Answers, course.Answer{Question: a.Question, Value: a.Value, Number: a.Number, At: a.At, Text: a.Text, Place: a.Place})
	}
	f.Alarm, _ = alarm(f.Signs())
	for _, l := range b.Layers {
		f.Layers = append(f.Layers, course.Layer{Key: l.Layer.Layer, Done: l.Done, Place: l.Place})
	}
	for _, v := range b.Visits {
		f.Visits = append(f.Visits, course.Visit{Key: v.Key, Confirmed: v.Confirmed})
	}
	for _, n := range b.Counts {
		count := course.Count{Phase: n.Phase, Place: n.Place}
		for _, it := range n.Items {
			count.Items = append(count.Items, course.CountItem(it))
		}
		f.Counts = append(f.Counts, count)
	}
	for _, l := range repair.For(repairCase(b)).Layers {
		f.Planned = append(f.Planned, l.Key)
	}
	if result, err := compared(f); err == nil {
		f.Reconciled = f.OutKnown() && result.Complete && b.Complete()
	}
	since, known, matters := f.TearAge()
	f.TearOld = matters && repair.Old(since, known)
	return f
}

// repairCase plans by the worst that is still possible. A buttonhole is beside
// the scale: behind it the ring is known to be whole, and the rest is closed by
// the grade that the other findings come to at most.
func repairCase(b *birth.Birth) repair.Case {
	v := verdictOf(b)
	grade := v.TreatAs
	if v.Buttonhole {
		grade = v.AtMost
	}
	trained := b.AnswerTo("trained_operator_here")
	return repair.Case{Grade: grade, Buttonhole: v.Buttonhole, Episiotomy: b.Findings.Episiotomy, TrainedHere: trained != nil && trained.Value == "yes",
		DeepMuscle: toldBy(b, "muscle_deep", []string{"yes"}, "no") == aftercare.Yes, Torn: seenTorn(b.Findings)}
}

// seenTorn are the layers that were found torn. Without the rectal examination
// too, and where lines may be lost: such a reading is a lower bound, and torn
// stays torn.
func seenTorn(f tear.Findings) (layers []string) {
	for _, l := range []struct {
		key  string
		torn bool
	}{
		{repair.AnorectalMucosa, f.AnorectalMucosa == tear.Torn},
		{repair.InternalSphincter, f.InternalSphincter == tear.Torn},
		{repair.ExternalSphincter, f.ExternalSphincter == tear.UnderHalf || f.ExternalSphincter == tear.HalfOrMore || f.ExternalSphincter == tear.Through},
		{repair.VaginalMucosa, f.VaginalMucosa == tear.Torn},
		{repair.PerinealMuscle, f.PerinealMuscle == tear.Torn},
		{repair.PerinealSkin, f.PerinealSkin == tear.Torn},
	} {
		if l.torn {
			layers = append(layers, l.key)
		}
	}
	return layers
}

// labelsNoted: a limit was worked out for the label of every dose given here.
// A dose that was put right keeps the label that it was given by.
func labelsNoted(b *birth.Birth) bool {
	for _, d := range b.Doses {
		if d.Void || d.Prior || d.Strength == 0 || len(d.Corrections) > 0 {
			continue
		}
		if !slices.ContainsFunc(b.Log, func(r birth.Record) bool {
			n := r.Event.LimitNoted
			return n != nil && n.Agent == d.Agent && n.Strength == d.Strength && n.Adrenaline == d.Adrenaline
		}) {
			return false
		}
	}
	return true
}

func anyPrior(doses []birth.Given) bool {
	for _, d := range doses {
		if d.Prior && !d.Void {
			return true
		}
	}
	return false
}

// factsOfLog goes through the record once, for what has a place in it.
func factsOfLog(f *course.Facts, b *birth.Birth) {
	here := map[string]bool{} // doses given here that stand
	for _, d := range b.Doses {
		here[d.ID] = !d.Void && !d.Prior
	}
	closed := map[string]bool{}
	for _, l := range b.Layers {
		closed[l.Layer.Layer] = l.Done
	}
	var found tear.Findings
	before := tear.Judge(found)
	for place, findings := range b.FindingsThen() {
		e := b.Log[place].Event
		f.Moments = append(f.Moments, course.Moment{Device: e.Device, Wall: e.Wall, Running: e.Running, Run: e.Run})
		v := before
		if findings != found { // most lines of a record find nothing new
			v, found, f.Found = tear.Judge(findings), findings, place
		}
		if !course.SamePlan(before, v) {
			f.GradeChanged = place
		}
		before = v
		switch {
		case e.Weight != nil:
			f.Weighed = place
		case e.GradeNoted != nil:
			f.Notes = append(f.Notes, course.Note{Place: place, Findings: findings, Verdict: v})
		case e.Layer != nil && e.Layer.Done && closed[e.Layer.Layer]:
			f.Stitches = append(f.Stitches, place)
		case e.Dose != nil && here[e.ID()]:
			f.Injections = append(f.Injections, place)
		case e.Opened != nil:
			if f.Opened < 0 {
				f.Opened = place
			}
			if f.Born = -1; b.BornKnown {
				f.Born = place
			}
		}
	}
}

func compared(f course.Facts) (supplies.Result, error) {
	var counts []supplies.Count
	for _, t := range f.Tallies() {
		counts = append(counts, supplies.Count{Item: t.Item, In: t.In, Out: t.Out})
	}
	return supplies.Reconcile(counts)
}
