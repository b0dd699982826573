package aftercare

import (
	"fourchette/core/amount"
	"fourchette/core/reason"
)

// The states of a medicine.
const (
	Give     = "give"     // within local protocol
	Ask      = "ask"      // Medicine.Ask says what to find out before it is given
	Withheld = "withheld" // she must not have it: Medicine.Because says why
)

// Medicine is one medicine, with the most she may have of it.
type Medicine struct {
	Key string // "paracetamol", "ibuprofen", "antibiotic", "laxative"
	// State is Give, Ask or Withheld. A medicine that is withheld has no dose.
	State string
	// Ask lists what to find out first, by request key or caution; nil with Give.
	Ask []string
	// Dose is nil where local protocol sets it.
	Dose *Dose
	// DaysLeast is how many days at least; 0 where no source says.
	DaysLeast int
	// SingleDose says: once, not a course.
	SingleDose bool
	// WithinHours is how long after the birth it may be begun; 0 where no source
	// names a limit.
	WithinHours int
	// Options are the published agents, of which local protocol picks; nil
	// where none was sourced, or while it is not known what she must not have.
	Options []Option
	// LeftOut are the options that are not for her.
	LeftOut []LeftOut
	// Cautions are keys of what speaks against it or for less.
	Cautions []string
	Because  reason.List
	Sources  []Source
}

// Dose is how much, how often.
type Dose struct {
	// Least and Most are for one intake.
	Least, Most amount.Mass
	// HoursLeast is the shortest wait between two intakes, HoursMost the usual
	// longest.
	HoursLeast, HoursMost int
	// DailyMost is for 24 hours.
	DailyMost amount.Mass
	// TimesMost is how often in 24 hours: never oftener than Most fits into
	// DailyMost.
	TimesMost int
	// WeightAssumed says that she was not weighed, and that DailyMost is the
	// lowest published.
	WeightAssumed bool
}

const (
	found   = "FOUND"
	second  = "2nd"
	noPaper = "common practice, no source"

	milligram = amount.Milligram
	gram      = 1000 * amount.Milligram
)

func (c Case) medicines() []Medicine {
	list := []Medicine{c.paracetamol(), c.ibuprofen()}
	if m, due := c.antibiotic(); due {
		list = append(list, m)
	}
	if c.sphincter() != No {
		list = append(list, c.laxative())
	}
	return list
}

// settle closes a medicine by what is known of her allergies: withheld for one
// that was named, a question while they are unknown.
func (m Medicine) settle(c Case, allergy string) Medicine {
	switch {
	case c.allergic(allergy):
		return Medicine{Key: m.Key, State: Withheld, Because: reason.List{{Key: AllergyNamed, On: []string{allergy}}}, Sources: m.Sources}
	case !c.allergiesKnown():
		m.Ask = append([]string{"allergies"}, m.Ask...)
		m.Because.Add(AllergiesNotKnown, "allergies")
	case c.allergic(OtherAllergy):
		m.Ask = append([]string{"which_allergy"}, m.Ask...)
		m.Because.Add(AllergyNamed, OtherAllergy)
	}
	m.State = Give
	if m.Ask != nil {
		m.State = Ask
	}
	return m
}

func (c Case) paracetamol() Medicine {
	dose := c.paracetamolDose()
	m := Medicine{Key: Paracetamol, Dose: &dose,
		Cautions: []string{"liver_disease", "malnourished"}, // from memory: usual labelling
		Sources: []Source{
			{"500 mg to 1 g every 4 to 6 h, at most 4 g a day: usual labelling", "from memory: usual labelling"},
			{"500 to 650 mg and 1000 mg both relieve perineal pain: Cochrane CD008407", found},
			{"2, 3, 4 g a day by weight, from 41 to 49 kg 3 times a day: NHS Telford and Wrekin 2018", second},
		}}
	switch {
	case c.Weight == 0:
		m.Because.Add(LowestNotWeighed, "weight_kg")
	case dose.DailyMost < 4*gram:
		m.Because.Add(LessByWeight, "weight_kg")
	}
	if c.Breastfeeding != No {
		m.Because.Add(FirstWhenNursing, "breastfeeding")
		m.Sources = append(m.Sources, Source{"breastfeeding: paracetamol first", found})
	}
	return m.settle(c, Paracetamol)
}

// paracetamolDose: NHS Telford and Wrekin 2018 gives 2 g a day up to 40 kg, 3 g
// from 41 to 49 kg, 4 g from 50 kg; what lies between takes the lower, and not
// weighed the lowest. Of the 500 mg and 1 g that are printed for one intake,
// below 50 kg only the lower is taken. From 41 to 49 kg the sheet gives it three
// times a day; where four are all there are, they are taken six hours apart.
func (c Case) paracetamolDose() Dose {
	switch {
	case c.Weight < 41*amount.Kilogram: // not weighed is 0
		return Dose{Least: 500 * milligram, Most: 500 * milligram, HoursLeast: 6, HoursMost: 6, DailyMost: 2 * gram, TimesMost: 4, WeightAssumed: c.Weight == 0}
	case c.Weight < 50*amount.Kilogram:
		return Dose{Least: 500 * milligram, Most: 500 * milligram, HoursLeast: 8, HoursMost: 8, DailyMost: 3 * gram, TimesMost: 3}
	}
	return Dose{Least: 500 * milligram, Most: 1 * gram, HoursLeast: 4, HoursMost: 6, DailyMost: 4 * gram, TimesMost: 4}
}

// muchLost is the loss from which ibuprofen is withheld: WHO's definition of
// heavy bleeding after birth, 500 mL or more (WHO 2017, found).
const muchLost = 500_000 // microlitres

// againstIbuprofen are the grounds in the record, and what is not known of them:
// unknown is never fine.
func (c Case) againstIbuprofen() (grounds reason.List, open []string) {
	if c.Lost == nil {
		open = append(open, "loss_ml")
	} else if *c.Lost >= muchLost {
		grounds.Add(LostMuch, "loss_ml")
	}
	if c.Alarm == Yes {
		grounds.Add(AlarmRings, "alarm")
	}
	if c.Bleeds == Yes {
		grounds.Add(BleedsHeavily, "heavy_bleeding")
	}
	switch c.HighPressure {
	case NotSaid:
		open = append(open, "pressure")
	case Yes:
		grounds.Add(PressureHigh, "high_pressure")
	}
	return grounds, open
}

// ibuprofen is never simply given: nobody has told of all that speaks against
// it. What the record tells withholds it.
func (c Case) ibuprofen() Medicine {
	cautions := []string{"pre_eclampsia", "heavy_bleeding", "kidney_disease", "ulcer", "asthma"} // from memory: usual labelling
	grounds, open := c.againstIbuprofen()
	m := Medicine{Key: Ibuprofen, Ask: append(open, cautions...), Cautions: cautions,
		Dose: &Dose{Least: 200 * milligram, Most: 400 * milligram, HoursLeast: 4, HoursMost: 8, DailyMost: 1200 * milligram, TimesMost: 3},
		Sources: []Source{
			{"200 to 400 mg every 4 to 8 h, at most 1.2 g a day without prescription; what speaks against it: usual labelling", "from memory: usual labelling"},
			{"not with pre-eclampsia or high pressure after a birth: Powles and Gandhi, CMAJ 2017;189:E913; high is 140 over 90 or more here", found},
			{"heavy bleeding after birth is 500 mL or more: WHO 2017", found},
		}}
	if grounds != nil {
		return Medicine{Key: m.Key, State: Withheld, Because: grounds, Sources: m.Sources}
	}
	if c.Breastfeeding == Yes {
		m.Because.Add(CompatibleNursing, "breastfeeding")
		m.Sources = append(m.Sources, Source{"breastfeeding: ibuprofen compatible", found})
	}
	return m.settle(c, Ibuprofen)
}

// never lists what is given to nobody. Codeine constipates; and while she
// breastfeeds, or may, it can stop the baby's breath: some mothers make much
// morphine of it.
func (c Case) never() []Cited {
	list := []Cited{{"codeine", "NHS Fife leaflet: it constipates", second}}
	if c.Breastfeeding != No {
		list = append(list, Cited{"codeine_breastfeeding", "UK regulator and European Medicines Agency 2013, as summarised by UK Medicines Information Q&A 188.5, 2013", second})
	}
	return list
}

// laxative: the agent and its dose are local protocol's.
func (c Case) laxative() Medicine {
	m := Medicine{Key: "laxative", State: Give, DaysLeast: 14, Sources: []Source{{"third and fourth degree: at least 2 weeks: AWMF 015/079, 2020", found}}}
	m.Because = c.sphincterGrounds()
	m.Because.Add(AgentByProtocol)
	if open := c.sphincterOpen(); open != nil {
		m.State, m.Ask = Ask, open
	}
	return m
}
