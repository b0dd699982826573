// Package aftercare plans what a mother takes home after a birth with or
// without a tear: medicines with their daily maxima, advice, danger signs and
// visits. Start with Case and For.
//
// What nobody said stays open: it is listed in Plan.NotTold, the medicine that
// hangs on it says what to ask before it is given, and no agent is named while
// allergies are unknown. Doses are the lower of what is printed, and rounded
// down. Local protocol and licensed practice stand above every line.
package aftercare

import (
	"time"

	"fourchette/core/amount"
	"fourchette/core/reason"
	"fourchette/core/tear"
)

// Told is the answer to a question; the zero value is that nobody answered.
type Told string

// The answers.
const (
	NotSaid Told = ""
	Yes     Told = "yes"
	No      Told = "no"
)

// The words for an allergy.
const (
	Penicillin    = "penicillin"
	Cephalosporin = "cephalosporin"
	Clindamycin   = "clindamycin"
	Metronidazole = "metronidazole"
	Paracetamol   = "paracetamol"
	Ibuprofen     = "ibuprofen" // or another of its kind
	OtherAllergy  = "other"     // to something else: which is to be asked
	NotKnown      = "unknown"   // asked, and nobody knows: the same as not asked
)

// Case is what is known of the mother. Zero values are "nobody said", never
// "no" and never nought.
type Case struct {
	// Grade is the grade in the record; Undetermined is treated with the care
	// for a torn sphincter in what harms nobody, and asked about in the rest.
	Grade tear.Grade
	// AtLeast and Worst are the mildest and the worst that is still possible, a
	// possible buttonhole counted as Fourth; Undetermined where nobody said.
	// They speak where Grade is Undetermined: a ring known to be torn is cared
	// for as such, and one that cannot be torn is not asked about.
	AtLeast, Worst tear.Grade
	// Buttonhole: the anorectal mucosa is torn behind whole sphincters. It is
	// treated as a fourth degree.
	Buttonhole Told
	// Instrumental: vacuum or forceps.
	Instrumental Told
	// Sutured: something was stitched.
	Sutured Told
	// BirthAt is when the baby was born; zero when nobody knows.
	BirthAt time.Time
	// AllergiesTold says that she was asked; then Allergies holds what she
	// named, and nothing in it means none.
	AllergiesTold bool
	Allergies     []string
	Breastfeeding Told
	// Lost is the blood lost so far; nil when nobody measured or asked.
	Lost *amount.Volume
	// Alarm says that the loss or her signs call for action: act or crisis in
	// the words of core/bleeding. Not Yes is not well: see Lost.
	Alarm Told
	// Bleeds says that she bleeds or bled heavily, by the eye.
	Bleeds Told
	// HighPressure: Yes when any pressure taken was high, No when both numbers
	// were taken and none was.
	HighPressure Told
	// Weight is in grams, 30 to 200 kg; 0 when she was not weighed.
	Weight amount.Weight
}

// Plan is what she takes home.
type Plan struct {
	// Medicines in the order in which they are thought of: paracetamol first.
	Medicines []Medicine
	// Never lists what is not given, whoever asks for it.
	Never []Cited
	// Advice is in the order in which it is read aloud.
	Advice []Cited
	// DangerSigns are to come back with, by day or night. They are the same for
	// everyone, because injuries are missed: of 79 women examined again, 25 had
	// been called second degree and none was (BMC Pregnancy and Childbirth
	// 2016, s12884-016-1065-y, Table 2).
	DangerSigns []Cited
	// Visits are in the order of time.
	Visits []Visit
	// NotTold lists, by request key, what nobody said.
	NotTold []string
	// Because lists what shaped the plan as a whole.
	Because reason.List
}

// Cited is a key with the document it rests on. Read is "FOUND", "2nd", "from
// memory: …", or empty where Source is "common practice, no source".
type Cited struct{ Key, Source, Read string }

// Source is a document and how it was read, as in Cited.
type Source struct{ Document, Read string }

// The keys of the reasons a plan or a medicine can carry.
const (
	TreatedAsSphincter  = "treated_as_torn_sphincter"
	GradeNotKnown       = "grade_undetermined"
	AntibioticNotUsual  = "antibiotic_not_routine"
	ThirdOrFourth       = "third_or_fourth_degree"
	ButtonholeAsFourth  = "buttonhole_as_fourth"
	InstrumentalBirth   = "instrumental_birth"
	AgentByProtocol     = "agent_by_local_protocol"
	AllergiesNotKnown   = "allergies_not_known"
	AllergyNamed        = "allergy_named" // On: which
	NoSourcedAgentLeft  = "no_sourced_agent_left"
	LowestNotWeighed    = "not_weighed_lowest"
	LessByWeight        = "less_by_weight"
	FirstWhenNursing    = "first_choice_when_breastfeeding"
	CompatibleNursing   = "compatible_with_breastfeeding"
	NoDatesWithoutBirth = "birth_time_not_known_no_dates"
	LostMuch            = "lost_500_ml_or_more"
	AlarmRings          = "bleeding_alarm"
	BleedsHeavily       = "bleeds_heavily"
	PressureHigh        = "pressure_high"
)

// For plans the care. The error is an *Error: a weight or a time of birth that
// cannot be, or a word that is not in its list.
func For(c Case) (Plan, error) {
	if err := c.check(); err != nil {
		return Plan{}, err
	}
	p := Plan{
		Medicines:   c.medicines(),
		Never:       c.never(),
		Advice:      c.advice(),
		DangerSigns: dangerSigns(),
		Visits:      c.visits(),
		NotTold:     c.notTold(),
	}
	switch {
	case c.sphincter() == Yes:
		p.Because.Add(TreatedAsSphincter)
	case c.gradeOpen():
		p.Because.Add(GradeNotKnown)
	}
	if grounds, open := c.antibioticGrounds(); grounds == nil && open == nil {
		p.Because.Add(AntibioticNotUsual)
	}
	if c.BirthAt.IsZero() {
		p.Because.Add(NoDatesWithoutBirth, "birth_at")
	}
	return p, nil
}

// sphincter says whether she is cared for as with a torn sphincter; NotSaid
// when it cannot be told.
func (c Case) sphincter() Told {
	switch {
	case c.ringTorn() || c.Buttonhole == Yes:
		return Yes
	case c.gradeOpen() || c.Buttonhole == NotSaid:
		return NotSaid
	}
	return No
}

// ringTorn: a third degree at least, whatever else is still open.
func (c Case) ringTorn() bool { return c.Grade >= tear.Third3a || c.AtLeast >= tear.Third3a }

// gradeOpen: nobody knows yet whether the sphincter is torn.
func (c Case) gradeOpen() bool {
	return c.Grade == tear.Undetermined && (c.Worst == tear.Undetermined || c.Worst > tear.Second)
}

// sphincterOpen lists what is to be asked before sphincter can be told.
func (c Case) sphincterOpen() (open []string) {
	if c.sphincter() != NotSaid {
		return nil
	}
	if c.gradeOpen() {
		open = append(open, "grade")
	}
	if c.Buttonhole == NotSaid {
		open = append(open, "buttonhole")
	}
	return open
}

func (c Case) allergiesKnown() bool { return c.AllergiesTold && !c.allergic(NotKnown) }

func (c Case) notTold() (list []string) {
	for _, x := range []struct {
		key  string
		told bool
	}{
		{"buttonhole", c.Buttonhole != NotSaid},
		{"instrumental", c.Instrumental != NotSaid},
		{"sutured", c.Sutured != NotSaid},
		{"birth_at", !c.BirthAt.IsZero()},
		{"allergies", c.allergiesKnown()},
		{"breastfeeding", c.Breastfeeding != NotSaid},
		{"weight_kg", c.Weight != 0},
	} {
		if !x.told {
			list = append(list, x.key)
		}
	}
	return list
}
