package anaesthetic

import "fourchette/core/amount"

// Lipid is the 20 % lipid emulsion for systemic toxicity, one protocol whole.
// It comes after stopping the injection, help, airway, oxygen, a vein,
// treatment of fits and resuscitation, and only where it is stocked. Volumes
// are cut to 0.1 mL.
type Lipid struct {
	Bolus              amount.Volume // 1.5 mL/kg over BolusMinutes
	BolusMinutes       int
	RepeatAtMinutes    []int         // the same bolus again, if not stable
	BolusesAtMost      int           // the first one counted
	InfusionPerHour    amount.Volume // 15 mL/kg/h
	FasterPerHour      amount.Volume // 30 mL/kg/h, if still unstable
	FasterAfterMinutes int
	Most               amount.Volume // 12 mL/kg in all
	Source, Read       string
}

// Rescue returns the lipid emulsion for a woman of weight w, 30 to 200 kg, by
// AAGBI 2010. The actual weight counts, not one held to 70 kg. Absent (0) is
// weight_missing: unlike a ceiling, a rescue dose for 30 kg would be too small.
func Rescue(w amount.Weight) (Lipid, error) {
	if w == 0 {
		return Lipid{}, &Error{CodeWeightMissing, "weight", "no weight; enter 30 to 200 kg"}
	}
	if err := checkWeight(w); err != nil {
		return Lipid{}, err
	}
	perKg := func(tenths amount.Volume) amount.Volume { // tenths of a mL/kg; 1 mL/kg is 1 µL/g
		return (tenths * amount.Volume(w) / 10).Floor(volumeStep)
	}
	return Lipid{
		Bolus: perKg(15), BolusMinutes: 1, RepeatAtMinutes: []int{5, 10}, BolusesAtMost: 3,
		InfusionPerHour: perKg(150), FasterPerHour: perKg(300), FasterAfterMinutes: 5,
		Most:   perKg(120),
		Source: "AAGBI 2010, severe local anaesthetic toxicity", Read: found,
	}, nil
}
