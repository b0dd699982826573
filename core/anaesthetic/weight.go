package anaesthetic

import "fourchette/core/amount"

// Bounds of body weight. 70 kg: nomogram rule, Williams and Walker, Anaesthesia
// 2014;69:847 (2nd), kept for every source. The others are ours (common sense,
// no source): below 30 and above 200 kg is refused, outside 40 to 120 kg the
// screen asks again.
const (
	LightestWeight = 30 * amount.Kilogram
	HeaviestWeight = 200 * amount.Kilogram
	HeldWeight     = 70 * amount.Kilogram

	confirmBelow = 40 * amount.Kilogram
	confirmAbove = 120 * amount.Kilogram
)

// Bounds of height in centimetres (ours, common sense, no source).
const (
	LeastHeightCm = 120
	MostHeightCm  = 220
)

// Body is what is known of the woman's size.
type Body struct {
	Weight   amount.Weight // 0: not weighed
	HeightCm int           // 0: not known
}

// dosing is the weight that a dose is worked out for, and why.
type dosing struct {
	weight  amount.Weight
	boundBy string // BoundByWeight, BoundByWeightLimit or BoundByIdealWeight
	assumed bool   // not weighed: the lowest weight accepted stands in
	confirm bool   // unusual: ask again before it is used
}

// dosing checks the body and returns the weight to dose for: the actual
// weight, held to 70 kg; with height known and a body mass index of 30 or
// more, the ideal weight where that is lower, never under 30 kg.
func (b Body) dosing() (dosing, error) {
	if b.HeightCm != 0 && (b.HeightCm < LeastHeightCm || b.HeightCm > MostHeightCm) {
		return dosing{}, heightOutOfRange(b.HeightCm)
	}
	if b.Weight == 0 {
		return dosing{weight: LightestWeight, boundBy: BoundByWeight, assumed: true}, nil
	}
	if err := checkWeight(b.Weight); err != nil {
		return dosing{}, err
	}
	d := dosing{
		weight:  b.Weight,
		boundBy: BoundByWeight,
		confirm: b.Weight < confirmBelow || b.Weight > confirmAbove,
	}
	if b.Weight > HeldWeight {
		d.weight, d.boundBy = HeldWeight, BoundByWeightLimit
	}
	if ideal := max(IdealWeight(b.HeightCm), LightestWeight); b.obese() && ideal < d.weight {
		d.weight, d.boundBy = ideal, BoundByIdealWeight
	}
	return d, nil
}

// obese says whether the body mass index is known and 30 kg/m² or more: in
// grams and centimetres, weight ≥ 3 × height².
func (b Body) obese() bool {
	return b.HeightCm > 0 && b.Weight >= 3*amount.Weight(b.HeightCm)*amount.Weight(b.HeightCm)
}

func checkWeight(w amount.Weight) error {
	if w < LightestWeight || w > HeaviestWeight {
		return weightOutOfRange(w)
	}
	return nil
}

// The constants of the two formulas. Women's are used; men's are there for the
// printed check values.
const (
	devineWomen = 45_500 // grams at 60 inches; Devine
	devineMen   = 50_000 // from memory: Devine

	leanWomenBase, leanWomenPerBMI = 8780, 244 // Janmahasatian
	leanMenBase, leanMenPerBMI     = 6680, 216 // from memory: Janmahasatian
)

// IdealWeight returns a woman's ideal weight by Devine, 45.5 kg + 2.3 kg for
// each inch above 60, rounded down to the gram. Height in centimetres, 120 to
// 220; otherwise 0.
func IdealWeight(heightCm int) amount.Weight {
	if heightCm < LeastHeightCm || heightCm > MostHeightCm {
		return 0
	}
	return devine(heightCm, devineWomen)
}

// devine: 2300 g an inch of 2.54 cm is 115000/127 g a centimetre, and 60
// inches of it are 138000 g.
func devine(heightCm int, at60Inches amount.Weight) amount.Weight {
	return amount.Weight(heightCm)*115_000/127 + at60Inches - 138_000
}

// LeanWeight returns a woman's lean weight by Janmahasatian, 9270·W / (8780 +
// 244·BMI), rounded down to the gram. It is for a protocol that asks for it
// and never used by Limit: none is validated in pregnancy. Outside 30 to
// 200 kg or 120 to 220 cm it returns 0.
func LeanWeight(w amount.Weight, heightCm int) amount.Weight {
	if checkWeight(w) != nil || heightCm < LeastHeightCm || heightCm > MostHeightCm {
		return 0
	}
	return lean(w, heightCm, leanWomenBase, leanWomenPerBMI)
}

// lean: the body mass index is 10 × grams / centimetres², so both sides of the
// fraction are taken times centimetres². At 200 kg and 220 cm the top is 9·10¹³.
func lean(w amount.Weight, heightCm int, base, perBMI amount.Weight) amount.Weight {
	square := amount.Weight(heightCm) * amount.Weight(heightCm)
	return 9270 * w * square / (base*square + 10*perBMI*w)
}
