package companion

import (
	"slices"
	"time"

	"fourchette/core/aftercare"
	"fourchette/core/amount"
	"fourchette/core/birth"
	"fourchette/core/bleeding"
	"fourchette/core/course"
	"fourchette/core/repair"
	"fourchette/core/tear"
)

// What a record says towards closing and aftercare is read here, so that no
// screen decides what a finding or a missing answer means.

func aftercareOfBirth(c *Companion, r *BirthRequest) (reply, error) {
	b, err := c.birth(r.Birth)
	if err != nil {
		return nil, err
	}
	p, f := c.path(b)
	k := careCase(b, p)
	k.Alarm, k.Bleeds = rings(f.Alarm), bledHeavily(b)
	if lost := f.Signs().Lost; lost != nil {
		v := amount.Volume(*lost) * amount.Millilitre
		k.Lost = &v
	}
	k.HighPressure = highPressure(numbers(b, "systolic", "second_systolic"), numbers(b, "diastolic", "second_diastolic"))
	if b.Damaged {
		doubtCare(&k)
	}
	return careReply(k)
}

func rings(level string) aftercare.Told {
	if level == bleeding.Act || level == bleeding.Crisis {
		return aftercare.Yes
	}
	return aftercare.NotSaid
}

// bledHeavily: once is enough, also where it has settled since.
func bledHeavily(b *birth.Birth) aftercare.Told {
	for _, q := range []string{"bleeding_looked", "final_bleeding"} {
		if toldBy(b, q, []string{"heavy"}, "settled") == aftercare.Yes {
			return aftercare.Yes
		}
	}
	return aftercare.NotSaid
}

// numbers are those that answer one of the questions, the oldest and the newest
// alike: a pressure that was high once is not forgotten.
func numbers(b *birth.Birth, questions ...string) (list []*int) {
	for _, q := range questions {
		if a := b.AnswerTo(q); a != nil && a.Kind == birth.AnswerNumber {
			n := int(a.Number)
			list = append(list, &n)
		}
	}
	return list
}

// highPressure: one that was high once, by course.HighUpper and HighLower.
// Without both numbers nobody knows.
func highPressure(upper, lower []*int) aftercare.Told {
	over := func(list []*int, from int) (high, known bool) {
		for _, n := range list {
			if n != nil {
				known, high = known || *n > 0, high || *n >= from
			}
		}
		return high, known
	}
	highUpper, knownUpper := over(upper, course.HighUpper)
	highLower, knownLower := over(lower, course.HighLower)
	switch {
	case highUpper || highLower:
		return aftercare.Yes
	case knownUpper && knownLower:
		return aftercare.No
	}
	return aftercare.NotSaid
}

// careCase: what nobody examined, asked or measured stays untold.
func careCase(b *birth.Birth, p course.Path) aftercare.Case {
	v := verdictOf(b)
	k := aftercare.Case{
		Grade: v.Grade, AtLeast: v.AtLeast, Worst: v.TreatAs, Buttonhole: buttonholeTold(v),
		Instrumental: toldBy(b, "instrumental", []string{"vacuum", "forceps"}, "none"), Sutured: suturedTold(b, p),
		Breastfeeding: toldBy(b, "breastfeeding", []string{"yes"}, "no"),
	}
	if b.BornKnown {
		k.BirthAt = time.UnixMilli(b.BornAt).UTC()
	}
	if b.Weight != nil {
		k.Weight = amount.Weight(b.Weight.Grams)
	}
	k.AllergiesTold, k.Allergies = allergiesTold(b)
	return k
}

// buttonholeTold: behind a ring that is whole a mucosa that nobody could judge
// may hide one.
func buttonholeTold(v tear.Verdict) aftercare.Told {
	switch {
	case v.Buttonhole:
		return aftercare.Yes
	case v.TreatAs > v.AtMost:
		return aftercare.NotSaid
	}
	return aftercare.No
}

// toldBy reads an answer; any other word, "unknown" among them, tells nothing.
func toldBy(b *birth.Birth, question string, yes []string, no string) aftercare.Told {
	switch a := b.AnswerTo(question); {
	case a == nil:
		return aftercare.NotSaid
	case slices.Contains(yes, a.Value):
		return aftercare.Yes
	case a.Value == no:
		return aftercare.No
	}
	return aftercare.NotSaid
}

// suturedTold: a layer was closed, or somebody said that all is stitched; or
// the way has no repair in it.
func suturedTold(b *birth.Birth, p course.Path) aftercare.Told {
	for _, l := range b.Layers {
		if l.Layer.Done {
			return aftercare.Yes
		}
	}
	if toldBy(b, "repair_finished", []string{"yes"}, "no") == aftercare.Yes {
		return aftercare.Yes
	}
	for _, s := range p.Stages {
		if s.Key == course.Repair && s.State == course.StageNotNeeded {
			return aftercare.No
		}
	}
	return aftercare.NotSaid
}

// allergiesTold gathers what she named; where the last question after a name is
// still open, or nobody knows, she was not asked to the end.
func allergiesTold(b *birth.Birth) (told bool, list []string) {
	for _, q := range []string{"allergy", "allergy_second", "allergy_third"} {
		a := b.AnswerTo(q)
		switch {
		case a == nil || a.Value == "unknown":
			return false, list
		case a.Value == "none":
			return true, list
		}
		list = append(list, a.Value)
	}
	return true, list
}

func repairOfBirth(c *Companion, r *BirthRequest) (reply, error) {
	b, err := c.birth(r.Birth)
	if err != nil {
		return nil, err
	}
	k := repairCase(b)
	f := c.facts(b)
	if since, known, matters := f.TearAge(); matters && known {
		k.Since = &since
	} else {
		k.SinceUnknown = matters
	}
	k.TrainedHere = f.OperatorHere()
	return repairReply(repair.For(k)), nil
}
