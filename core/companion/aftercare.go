package companion

import (
	"time"

	"fourchette/core/aftercare"
	"fourchette/core/bleeding"
	"fourchette/core/tear"
)

func planAftercare(_ *Companion, r *AftercareRequest) (reply, error) {
	c, err := r.asCase()
	if err != nil {
		return nil, err
	}
	return careReply(c)
}

func careReply(c aftercare.Case) (reply, error) {
	p, err := aftercare.For(c)
	if err != nil {
		return nil, err
	}
	out := &AftercareReply{NotTold: p.NotTold, Because: p.Because.Keys()}
	for i := range p.Medicines {
		out.Medicines = append(out.Medicines, medicineReply(&p.Medicines[i]))
	}
	for _, v := range p.Visits {
		out.Visits = append(out.Visits, VisitReply{Key: v.Key, From: stampOf(v.From), To: stampOf(v.To), Source: v.Document, Read: v.Read})
	}
	out.Never = out.cite(p.Never)
	out.Advice = out.cite(p.Advice)
	out.DangerSigns = out.cite(p.DangerSigns)
	return out, nil
}

// cite notes the source of each key and returns the keys.
func (r *AftercareReply) cite(list []aftercare.Cited) (keys []string) {
	for _, c := range list {
		keys = append(keys, c.Key)
		r.Cited = append(r.Cited, CitedKey(c))
	}
	return keys
}

func (r *AftercareRequest) asCase() (c aftercare.Case, err error) {
	if c.Grade, err = gradeNamed(r.Grade); err != nil {
		return c, err
	}
	if c.AtLeast, err = boundNamed("at_least", r.AtLeast); err != nil {
		return c, err
	}
	if c.Worst, err = boundNamed("worst", r.Worst); err != nil {
		return c, err
	}
	var in amounts
	c.Weight = in.weight("weight_kg", r.WeightKg)
	if in.fault != nil {
		return c, in.fault
	}
	if r.WeightKg != "" && c.Weight == 0 {
		return c, &Fault{Code: aftercare.WeightOutOfRange, Field: "weight_kg", Detail: r.WeightKg}
	}
	if r.BirthAt != "" {
		if c.BirthAt, err = time.Parse(time.RFC3339, r.BirthAt); err != nil {
			return c, &Fault{Code: FaultTime, Field: "birth_at", Detail: r.BirthAt}
		}
		if c.BirthAt.IsZero() { // the one moment that would read as not told
			return c, &Fault{Code: aftercare.BirthOutOfRange, Field: "birth_at", Detail: r.BirthAt}
		}
	}
	c.Buttonhole, c.Instrumental = told(r.Buttonhole), told(r.Instrumental)
	c.Sutured, c.Breastfeeding = told(r.Sutured), told(r.Breastfeeding)
	if err = r.signs(&c); err != nil {
		return c, err
	}
	if r.Allergies != nil {
		c.AllergiesTold, c.Allergies = true, *r.Allergies
	}
	return c, nil
}

// signs reads what speaks against a medicine: loss, alarm and pressure.
func (r *AftercareRequest) signs(c *aftercare.Case) error {
	var in amounts
	s := bleeding.Signs{Pulse: r.Pulse, Systolic: r.Systolic, Diastolic: r.Diastolic}
	if r.LostMl != "" {
		lost := in.volume("lost_ml", r.LostMl)
		s.Lost, c.Lost = &lost, &lost
	}
	if in.fault != nil {
		return in.fault
	}
	a, err := bleeding.Assess(s)
	if err != nil {
		return err
	}
	c.Alarm, c.Bleeds = rings(a.Level), told(r.HeavyBleeding)
	c.HighPressure = highPressure([]*int{r.Systolic}, []*int{r.Diastolic})
	return nil
}

// boundNamed reads a bound of the grade; absent is not told.
func boundNamed(field, word string) (tear.Grade, error) {
	if word == "" {
		return tear.Undetermined, nil
	}
	g, err := gradeNamed(word)
	if err != nil || g == tear.Undetermined {
		return g, &Fault{Code: FaultWord, Field: field, Detail: word}
	}
	return g, nil
}

func told(answer *bool) aftercare.Told {
	switch {
	case answer == nil:
		return aftercare.NotSaid
	case *answer:
		return aftercare.Yes
	}
	return aftercare.No
}

// stampOf prints a time in its own zone; "" for none.
func stampOf(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.RFC3339)
}

func medicineReply(m *aftercare.Medicine) MedicineReply {
	out := MedicineReply{Key: m.Key, State: m.State, Ask: m.Ask, DaysLeast: unlessNought(m.DaysLeast), SingleDose: m.SingleDose, Within: unlessNought(m.WithinHours),
		Cautions: m.Cautions, Because: m.Because.Keys()}
	if d := m.Dose; d != nil {
		out.Dose = &MedicineDose{LeastMg: d.Least.Milligrams(), MostMg: d.Most.Milligrams(), HoursLeast: d.HoursLeast, HoursMost: d.HoursMost,
			DailyMostMg: d.DailyMost.Milligrams(), TimesMost: d.TimesMost, WeightAssumed: d.WeightAssumed}
	}
	for _, o := range m.Options {
		option := MedicineOption{Key: o.Key, Source: o.Document, Read: o.Read}
		for _, d := range o.Drugs {
			option.Drugs = append(option.Drugs, OptionDrug{Agent: d.Agent, DoseMg: d.Dose.Milligrams(), Route: d.Route})
		}
		out.Options = append(out.Options, option)
	}
	for _, l := range m.LeftOut {
		out.LeftOut = append(out.LeftOut, LeftOutReply{Key: l.Key, Why: l.Why})
	}
	for _, s := range m.Sources {
		out.Sources = append(out.Sources, CitedReply{Source: s.Document, Read: s.Read})
	}
	return out
}
