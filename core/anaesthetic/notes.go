package anaesthetic

// Caution keys. The words are in the tables.
const (
	CautionNotEvidenceBased = "ceilings_not_evidence_based"
	CautionPregnancy        = "pregnancy_lowers_no_factor"
	CautionIllness          = "illness_and_medicines_no_factor"
	CautionNotWeighed       = "not_weighed"
	CautionLatePregnancy    = "late_pregnancy_weight_overstates"
	CautionAbove70          = "above_70_held"
	CautionIdealWeight      = "ideal_weight_used"
	CautionNoCap            = "source_prints_no_cap"
	CautionNoUplift         = "adrenaline_no_uplift"
	CautionPremixed         = "adrenaline_premixed_only"
	CautionAdrenalineTotal  = "adrenaline_total_500"
	CautionAdrenalineBinds  = "adrenaline_total_binds"
	CautionMixing           = "mixing_adds"
	CautionPrilocaine       = "prilocaine_methaemoglobin"
	CautionNot075           = "bupivacaine_not_075"
	CautionNotParacervical  = "bupivacaine_not_paracervical"
	CautionPriorUnknown     = "prior_unknown"
	CautionOver             = "over_watch_for_toxicity"
)

// Caution is one warning that a Ceiling may carry.
type Caution struct {
	Key    string
	Source string // the document, or what kind of rule it is
}

// Cautions returns every caution, in the order in which a Ceiling lists them:
// what was already passed first, what always holds last.
func Cautions() []Caution {
	const williams, rosenberg = "Williams and Walker, Anaesthesia 2014;69:847 (2nd)", "Rosenberg, Veering, Urmey, Reg Anesth Pain Med 2004;29:564"
	return []Caution{
		{CautionOver, "US labels; AAGBI 2010: signs may be delayed (found)"},
		{CautionPriorUnknown, "common practice, no source"},
		{CautionNotWeighed, "common practice, no source"},
		{CautionAbove70, williams},
		{CautionIdealWeight, "Devine; from 30 kg/m² on: common practice, no source"},
		{CautionLatePregnancy, "common practice, no source"},
		{CautionMixing, "US labels: mixing not recommended, effects add; " + williams},
		{CautionNot075, "US boxed warning, obstetric use"},
		{CautionNotParacervical, "from memory: US label"},
		{CautionPrilocaine, "Therapeutic Guidelines: methaemoglobinaemia after large doses (found)"},
		{CautionNoUplift, "lowest published ceiling by default; bupivacaine: Bahamas formulary, Therapeutic Guidelines (found)"},
		{CautionAdrenalineBinds, "clinical pharmacology text: adrenaline at most 500 micrograms (found)"},
		{CautionAdrenalineTotal, "clinical pharmacology text: adrenaline at most 500 micrograms (found)"},
		{CautionPremixed, "common practice, no source: mixing by hand invites a tenfold slip"},
		{CautionNoCap, "the table of rules"},
		{CautionPregnancy, rosenberg},
		{CautionIllness, "no published factor exists for liver or heart disease, beta-blockers or cimetidine: a protocol may set a reduction"},
		{CautionNotEvidenceBased, rosenberg},
	}
}

// cautions returns the keys that hold for this request and its answer.
func (r Request) cautions(c Ceiling) []string {
	holds := r.holding(c)
	keys := []string{}
	for _, caution := range Cautions() {
		if holds[caution.Key] {
			keys = append(keys, caution.Key)
		}
	}
	return keys
}

// holding says of each caution whether it holds.
func (r Request) holding(c Ceiling) map[string]bool {
	adrenaline, other := r.Adrenaline, false
	for _, dose := range r.Given {
		adrenaline = adrenaline || dose.Adrenaline
		other = other || dose.Agent != r.Agent && dose.Mass > 0
	}
	long := r.Agent == Bupivacaine || r.Agent == Levobupivacaine
	return map[string]bool{
		CautionOver:             c.Over,
		CautionPriorUnknown:     c.PriorUnknown,
		CautionNotWeighed:       c.WeightAssumed,
		CautionAbove70:          r.Body.Weight > HeldWeight,
		CautionIdealWeight:      c.DosedFor < min(r.Body.Weight, HeldWeight),
		CautionLatePregnancy:    !c.WeightAssumed,
		CautionMixing:           other,
		CautionNot075:           long,
		CautionNotParacervical:  long,
		CautionPrilocaine:       r.Agent == Prilocaine,
		CautionNoUplift:         r.Adrenaline && c.Mass <= ruleFor(r.Agent, false, r.Source, c.DosedFor).most(c.DosedFor),
		CautionAdrenalineBinds:  r.adrenalineBinds(c),
		CautionAdrenalineTotal:  adrenaline,
		CautionPremixed:         r.Adrenaline,
		CautionNoCap:            c.Cap == 0,
		CautionPregnancy:        true,
		CautionIllness:          true,
		CautionNotEvidenceBased: true,
	}
}

// adrenalineBinds says whether the adrenaline, not the anaesthetic, set a
// volume that is shown.
func (r Request) adrenalineBinds(c Ceiling) bool {
	if !r.Adrenaline {
		return false
	}
	plain := r
	plain.Adrenaline = false
	return c.Volume < plain.volume(c.Mass, 0) || !c.PriorUnknown && c.RemainingVolume < plain.volume(c.Remaining, 0)
}

// Note is a published figure that a screen needs beside the ceiling.
type Note struct {
	Key      string
	From, To string // decimal; equal unless a range is printed
	Unit     string // "min", "h", "mL", "percent", "micrograms", "micrograms/mL"
	Source   string
	Read     string
	Against  string // key of the note it conflicts with: both are shown, neither settled; "": none
}

// Notes returns the figures, in the order in which they are needed.
func Notes() []Note {
	const mcpc = "MCPC P-71 (episiotomy), P-84 (repair)"
	return []Note{
		{"wait_after_infiltration", "2", "2", "min", mcpc, found, ""},
		{"wait_again_if_felt", "2", "2", "min", mcpc, found, ""},
		{"onset", "1", "5", "min", "WHO 1989", found, ""},
		{"lasts", "1", "3", "h", "WHO 1989", found, ""},
		{"repair_volume", "10", "10", "mL", "MCPC P-84, at 0.5 %", found, ""},
		{"episiotomy_volume", "10", "10", "mL", "MCPC", "from memory: MCPC", ""},
		{"episiotomy_strength_mcpc", "0.5", "0.5", "percent", "MCPC", "from memory: MCPC", "episiotomy_strength_ghana"},
		{"episiotomy_strength_ghana", "1", "1", "percent", "Ghanaian manual", found, "episiotomy_strength_mcpc"},
		{"pudendal_injection", "10", "10", "mL", "MCPC P-3 to P-6", found, ""},
		{"pudendal_most", "30", "30", "mL", "MCPC P-3 to P-6", found, ""},
		{"pudendal_kept_for_perineum", "10", "10", "mL", "MCPC P-3 to P-6", found, ""},
		{"adrenaline_when_more_than", "40", "40", "mL", "MCPC P-84: add adrenaline if more solution is needed", found, CautionPremixed},
		{"adrenaline_strength", "5", "5", "micrograms/mL", "1:200 000 by arithmetic; 0.1 mL of 1:1000 in 20 mL: WHO surgical care", found, ""},
		{"adrenaline_most", "500", "500", "micrograms", "clinical pharmacology text", found, ""},
	}
}
