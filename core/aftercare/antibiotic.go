package aftercare

import (
	"slices"

	"fourchette/core/amount"
	"fourchette/core/reason"
)

// Option is one published prophylaxis; all its drugs are given together.
type Option struct {
	Key   string
	Drugs []Drug
	Source
}

// Drug is one drug of an option.
type Drug struct {
	Agent string // generic name or class
	Dose  amount.Mass
	Route string // "iv" or "oral"
}

// LeftOut is what is not for her (an option's key, or Penicillins), and the
// reason's key.
type LeftOut struct{ Key, Why string }

// Penicillins stands for the whole class where it is left out.
const Penicillins = "penicillins"

// Why something is left out.
const (
	PenicillinAllergy    = "penicillin_allergy"
	CephalosporinAllergy = "cephalosporin_allergy"
	ClindamycinAllergy   = "clindamycin_allergy"
	MetronidazoleAllergy = "metronidazole_allergy"
)

// option is an Option with the allergies that exclude it.
type option struct {
	Option
	against []exclusion
	standIn bool // only where the first choice of its source is left out
	pulled  bool // for a birth by vacuum or forceps; else for a torn sphincter
}

type exclusion struct{ allergy, why string }

// afterPulling: the remarks add that where the agent is not to be had, or she
// must not have it, one of a like spectrum is chosen by local protocol, and that
// they speak of women who get no other antibiotic after the birth.
var afterPulling = Source{"WHO 2021, antibiotic after operative vaginal birth, remarks, as summarised: one dose into the vein, as soon as possible and within 6 h of the birth", second}

// hoursAfterPulling is how long after the birth that dose may begin: the same.
const hoursAfterPulling = 6

// options are the prophylaxes that were found with a dose. The trial gave clindamycin to the allergic, so a penicillin
// allergy excludes its cephalosporin too, and a cephalosporin allergy the
// penicillins: the safer reading of "if allergic".
func options() []option {
	trial := Source{"Duggal 2008; Cochrane CD005125.pub4: single dose", found}
	betaLactams := []exclusion{{Penicillin, PenicillinAllergy}, {Cephalosporin, CephalosporinAllergy}}
	return []option{
		{Option: Option{"cephalosporin", []Drug{{"cephalosporin_second_generation", gram, "iv"}}, trial}, against: betaLactams},
		{Option: Option{"clindamycin", []Drug{{Clindamycin, 900 * milligram, "iv"}}, trial},
			against: []exclusion{{Clindamycin, ClindamycinAllergy}}, standIn: true},
		{Option: Option{"ampicillin_metronidazole", []Drug{{"ampicillin", 500 * milligram, "oral"}, {Metronidazole, 400 * milligram, "oral"}},
			Source{"WHO MCPC P-88: single dose, fourth degree", "from memory: WHO MCPC"}},
			against: append(slices.Clone(betaLactams), exclusion{Metronidazole, MetronidazoleAllergy})},
		{Option: Option{"amoxicillin_clavulanic_acid", []Drug{{"amoxicillin", gram, "iv"}, {"clavulanic_acid", 200 * milligram, "iv"}}, afterPulling},
			against: betaLactams, pulled: true},
	}
}

// ground is a reason for prophylaxis and its document.
type ground struct {
	key string
	on  string
	Source
}

// antibioticGrounds lists what calls for prophylaxis, and what would have to be
// asked to know. Both nil: none is given as a routine after a first or second
// degree tear or an episiotomy (WHO 2015, in the WHO Reproductive Health
// Library, found).
func (c Case) antibioticGrounds() (grounds []ground, open []string) {
	grounds = c.sphincterReasons()
	open = c.sphincterOpen()
	switch c.Instrumental {
	case Yes:
		grounds = append(grounds, ground{InstrumentalBirth, "instrumental", afterPulling})
	case NotSaid:
		open = append(open, "instrumental")
	}
	return grounds, open
}

func (c Case) sphincterReasons() (grounds []ground) {
	if c.ringTorn() {
		grounds = append(grounds, ground{ThirdOrFourth, "grade",
			Source{"third and fourth degree, prophylaxis should be given: WHO 2015, remarks, in the WHO Reproductive Health Library", found}})
	}
	if c.Buttonhole == Yes { // WHO does not name it; it is planned for as a fourth degree
		grounds = append(grounds, ground{ButtonholeAsFourth, "buttonhole", Source{noPaper, ""}})
	}
	return grounds
}

func (c Case) sphincterGrounds() (list reason.List) {
	for _, g := range c.sphincterReasons() {
		list.Add(g.key, g.on)
	}
	return list
}

// antibiotic is one prophylaxis, however many grounds there are: two would be a
// double dose. due is false where nothing calls for it.
func (c Case) antibiotic() (m Medicine, due bool) {
	grounds, open := c.antibioticGrounds()
	if grounds == nil && open == nil {
		return Medicine{}, false
	}
	m = Medicine{Key: "antibiotic", State: Give, SingleDose: true}
	for _, g := range grounds {
		m.Because.Add(g.key, g.on)
		m.Sources = append(m.Sources, g.Source)
	}
	if grounds == nil {
		m.Ask = open
		m.Sources = []Source{{"none as a routine after a first or second degree or an episiotomy: WHO 2015, in the WHO Reproductive Health Library", found}}
	}
	if c.Instrumental == Yes {
		m.WithinHours = hoursAfterPulling
	}
	m.Because.Add(AgentByProtocol)
	c.chooseAgents(&m)
	if m.Ask != nil {
		m.State = Ask
	}
	return m, true
}

// chooseAgents names the published agents once it is known what she must not
// have. What is left out is said as soon as an allergy is named.
func (c Case) chooseAgents(m *Medicine) {
	if !c.allergiesKnown() {
		m.Ask = append(m.Ask, "allergies")
		m.Because.Add(AllergiesNotKnown, "allergies")
	}
	if c.allergic(OtherAllergy) {
		m.Ask = append(m.Ask, "which_allergy")
		m.Because.Add(AllergyNamed, OtherAllergy)
	}
	if c.allergic(Penicillin) {
		m.LeftOut = append(m.LeftOut, LeftOut{Penicillins, PenicillinAllergy})
	}
	if c.sphincterReasons() == nil && c.Instrumental != Yes { // nothing calls for one yet
		return
	}
	may, not := c.sorted()
	m.LeftOut = append(m.LeftOut, not...)
	switch {
	case m.Ask != nil: // no agent is named before it is known what she must not have
	case may == nil:
		m.Because.Add(NoSourcedAgentLeft)
		m.Ask = []string{"local_protocol"}
	default:
		m.Options = may
	}
}

// sorted splits the options into those she may have and those she may not.
func (c Case) sorted() (may []Option, not []LeftOut) {
	torn := c.sphincterReasons() != nil // one dose, and the sphincter's: see afterPulling
	for _, o := range options() {
		if o.pulled == torn {
			continue
		}
		if why := o.excluded(c); why != "" {
			not = append(not, LeftOut{o.Key, why})
		} else if !o.standIn || c.allergic(Penicillin) || c.allergic(Cephalosporin) {
			may = append(may, o.Option)
		}
	}
	return may, not
}

// excluded is the reason for which the option is not for her; "" for none.
func (o option) excluded(c Case) string {
	for _, x := range o.against {
		if c.allergic(x.allergy) {
			return x.why
		}
	}
	return ""
}
