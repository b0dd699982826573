package anaesthetic

import (
	"slices"

	"fourchette/core/amount"
)

// Rule is one row of the published table.
type Rule struct {
	Key        string      // the source's key; a source applies as a whole
	Agent      Agent       // the generic name
	Adrenaline bool        // the row is for the solution with adrenaline
	PerKg      amount.Rate // 0: none printed, so the row cannot be chosen
	Cap        amount.Mass // 0: none printed
	Source     string      // the documents, and which figure is whose
	Read       string      // "FOUND": read in a stored copy; "2nd": read as quoted by another; the weaker of the two figures counts
}

// Selectable says whether a clinic may choose the row: without mg/kg it would
// allow a small woman as much as a large one.
func (r Rule) Selectable() bool { return r.PerKg > 0 }

// most returns what the row allows a woman dosed for w, cut to 0.1 mg.
func (r Rule) most(w amount.Weight) amount.Mass {
	mass := r.PerKg.Times(w)
	if r.Cap > 0 {
		mass = min(mass, r.Cap)
	}
	return mass.Floor(massStep)
}

// capped says whether it is the cap that binds at w.
func (r Rule) capped(w amount.Weight) bool {
	return r.Cap > 0 && r.PerKg.Times(w) >= r.Cap
}

const (
	found  = "FOUND"
	second = "2nd"
)

// Rules returns the published ceilings, in the order of the reference. A row
// that its source prints for both forms is there twice.
func Rules() []Rule { return slices.Clone(rules) }

const (
	mg   = amount.Milligram
	mgkg = amount.MilligramPerKilogram
)

// rules: each row's documents stand in its Source.
var rules = []Rule{
	{"uk", Lidocaine, false, 3 * mgkg, 200 * mg, "3 mg/kg: NHS Greater Glasgow 2020, Singapore label, Australian Therapeutic Guidelines (found); 200 mg: BNF as quoted by the Norwegian drug information service, UK midwifery handbook 2013 table 4.2 (2nd)", second},
	{"who", Lidocaine, false, 4 * mgkg, 0, "WHO, as quoted by the Norwegian drug information service", second},
	{"us_label", Lidocaine, false, 4*mgkg + mgkg/2, 300 * mg, "US label, maximum recommended dosages (openFDA)", found},
	{"norway", Lidocaine, false, 0, 400 * mg, "Norwegian product catalogue", found},
	{"nomogram", Lidocaine, true, 6 * mgkg, 0, "Williams and Walker, Anaesthesia 2014;69:847", second},
	{"who", Lidocaine, true, 7 * mgkg, 0, "WHO, as quoted by the Norwegian drug information service", second},
	{"us_label", Lidocaine, true, 7 * mgkg, 500 * mg, "US label, maximum recommended dosages (openFDA)", found},
	{"norway", Lidocaine, true, 0, 400 * mg, "Norwegian product catalogue", found},
	{"uk_smpc", Bupivacaine, false, 2 * mgkg, 150 * mg, "UK summary of product characteristics 4.2, 2024", found},
	{"uk_smpc", Bupivacaine, true, 2 * mgkg, 150 * mg, "UK summary of product characteristics 4.2, 2024; no uplift for adrenaline: Bahamas formulary, Therapeutic Guidelines", found},
	{"emergency_table", Bupivacaine, false, 2*mgkg + mgkg/2, 175 * mg, "emergency reference table 2019 (US label 175 mg, from memory)", found},
	{"emergency_table", Bupivacaine, true, 0, 225 * mg, "emergency reference table 2019 (US label 225 mg, from memory)", found},
	{"tg_au", Ropivacaine, false, 3 * mgkg, 200 * mg, "3 mg/kg: Therapeutic Guidelines; 200 mg: emergency reference table 2019", found},
	{"tg_au", Ropivacaine, true, 3 * mgkg, 200 * mg, "3 mg/kg: Therapeutic Guidelines; 200 mg: emergency reference table 2019", found},
	{"dictionary", Levobupivacaine, false, 2 * mgkg, 150 * mg, "reference table (UK summary of product characteristics 150 mg, from memory)", found},
	{"us_ref", Mepivacaine, false, 7 * mgkg, 400 * mg, "US reference", found},
	{"dental_au", Mepivacaine, false, 4*mgkg + 2*mgkg/5, 300 * mg, "Australian dental table 2007; 300 mg: Swedish handbook too", found},
	{"us_label", Chloroprocaine, false, 11 * mgkg, 800 * mg, "US label", found},
	{"us_label", Chloroprocaine, true, 14 * mgkg, 1000 * mg, "US label", found},
	{"tg_au", Prilocaine, false, 6 * mgkg, 400 * mg, "Therapeutic Guidelines", found},
}

// Lowest is the source that takes the smallest published ceiling of the agent,
// of either form: adrenaline raises nothing.
const Lowest = "lowest"

// Sources returns the keys a clinic may choose for this agent and form, in the
// order of the table, without Lowest.
func Sources(a Agent, adrenaline bool) []string {
	var keys []string
	for _, rule := range rules {
		if rule.Agent == a && rule.Adrenaline == adrenaline && rule.Selectable() {
			keys = append(keys, rule.Key)
		}
	}
	return keys
}

// lowest returns the row that allows a woman dosed for w the least. Of equals
// the first stands. The agent must be known.
func lowest(a Agent, w amount.Weight) Rule {
	var least Rule
	for _, rule := range rules {
		if rule.Agent != a || !rule.Selectable() {
			continue
		}
		if !least.Selectable() || rule.most(w) < least.most(w) {
			least = rule
		}
	}
	return least
}

// printed returns the row that source publishes for this agent and form, if it
// can be chosen.
func printed(a Agent, adrenaline bool, source string) (Rule, bool) {
	for _, rule := range rules {
		if rule.Key == source && rule.Agent == a && rule.Adrenaline == adrenaline && rule.Selectable() {
			return rule, true
		}
	}
	return Rule{}, false
}

// ruleFor returns the row of source for this agent and form, or the lowest
// where the source publishes none.
func ruleFor(a Agent, adrenaline bool, source string, w amount.Weight) Rule {
	if rule, ok := printed(a, adrenaline, source); ok {
		return rule
	}
	return lowest(a, w)
}
