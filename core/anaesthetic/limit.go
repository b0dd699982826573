package anaesthetic

import (
	"slices"

	"fourchette/core/amount"
)

// What set a ceiling.
const (
	BoundByWeight      = "weight"       // the actual weight, or 30 kg when not weighed
	BoundByWeightLimit = "weight_limit" // heavier than 70 kg, held there
	BoundByIdealWeight = "ideal_weight" // body mass index 30 or more: the ideal weight is lower
	BoundByCap         = "cap"          // the source's largest dose
)

// Dose is one dose that was given at this birth.
type Dose struct {
	Agent      Agent
	Adrenaline bool
	Mass       amount.Mass   // already rounded up
	Volume     amount.Volume // for counting its adrenaline; 0: not known, not counted, and a caution says the most
}

// Request asks for a ceiling.
type Request struct {
	Agent      Agent
	Adrenaline bool            // premixed adrenaline, 1:200 000
	Strength   amount.Strength // 0: not chosen, so the answer is milligrams only
	Body       Body
	Source     string // "" or Lowest, or a key from Sources
	Given      []Dose // everything given at this birth so far
	GivenKnown bool   // false: nobody said; Given may then be too short
	Mixing     string // "" or Strictest, or Fractions
}

// Ceiling is the most that may be given at this birth, and what is left of it.
type Ceiling struct {
	Mass     amount.Mass   // cut to 0.1 mg
	Volume   amount.Volume // of Mass, cut to 0.1 mL; 0 when no strength was chosen
	BoundBy  string        // one of BoundBy…
	DosedFor amount.Weight // the weight the dose was worked out for
	Source   string        // the key of the row it rests on, also under Lowest
	Document string        // that row's documents
	Read     string        // how they were read
	PerKg    amount.Rate   // that row's mg/kg
	Cap      amount.Mass   // that row's cap; 0: none

	WeightAssumed bool // not weighed: 30 kg stands in
	ConfirmWeight bool // below 40 or above 120 kg: ask again

	PriorUnknown     bool          // nobody said what was given: no remainder is shown
	Remaining        amount.Mass   // cut to 0.1 mg
	RemainingVolume  amount.Volume // of Remaining, cut to 0.1 mL; 0 when no strength was chosen
	RemainingBoundBy string        // one of RemainingBy…; "" when PriorUnknown
	Over             bool          // what is known to be given already passes the limit

	Cautions []string // keys from Cautions, in its order
}

// Limit works out the ceiling and the remainder. It never refuses a dose that
// was given for being too large: it answers Over. Errors are *Error.
func Limit(r Request) (Ceiling, error) {
	if err := r.check(); err != nil {
		return Ceiling{}, err
	}
	d, err := r.Body.dosing()
	if err != nil {
		return Ceiling{}, err
	}
	rule := ruleFor(r.Agent, r.Adrenaline, r.Source, d.weight)
	c := Ceiling{
		Mass: rule.most(d.weight), BoundBy: d.boundBy, DosedFor: d.weight,
		Source: rule.Key, Document: rule.Source, Read: rule.Read, PerKg: rule.PerKg, Cap: rule.Cap,
		WeightAssumed: d.assumed, ConfirmWeight: d.confirm,
	}
	if rule.capped(d.weight) {
		c.BoundBy = BoundByCap
	}
	c.Volume = r.volume(c.Mass, adrenalineVolume)
	r.takeOff(&c)
	c.Cautions = r.cautions(c)
	return c, nil
}

// takeOff fills in what is left once everything given is counted.
func (r Request) takeOff(c *Ceiling) {
	left := remaining(r.shares(c.DosedFor), r.Mixing)
	c.Over = left.over
	if !r.GivenKnown {
		c.PriorUnknown = true
		return
	}
	c.Remaining, c.RemainingBoundBy = left.mass, left.by
	c.RemainingVolume = r.volume(c.Remaining, adrenalineVolume-min(r.adrenalineGiven(), adrenalineVolume))
}

// volume returns m at the chosen strength, cut to 0.1 mL; with adrenaline at
// most adrenaline's own volume. Without a strength it is 0.
func (r Request) volume(m amount.Mass, adrenaline amount.Volume) amount.Volume {
	volume := m.At(r.Strength)
	if r.Adrenaline {
		volume = min(volume, adrenaline)
	}
	return volume.Floor(volumeStep)
}

// check refuses what names nothing that exists. The body is checked by its
// own rule.
func (r Request) check() error {
	if !known(r.Agent) {
		return agentUnknown("agent", r.Agent)
	}
	if r.Strength != 0 && !slices.Contains(Strengths(r.Agent), r.Strength) {
		return strengthUnknown(r.Strength, r.Agent)
	}
	if _, ok := printed(r.Agent, r.Adrenaline, r.Source); !ok && !r.takesLowest() {
		return sourceUnknown(r.Source, r.Agent, r.Adrenaline)
	}
	if r.Mixing != "" && r.Mixing != Strictest && r.Mixing != Fractions {
		return mixingUnknown(r.Mixing)
	}
	for _, dose := range r.Given {
		if !known(dose.Agent) {
			return agentUnknown("given", dose.Agent)
		}
		if dose.Mass < 0 || dose.Volume < 0 {
			return doseOutOfRange(dose)
		}
	}
	return nil
}

func (r Request) takesLowest() bool { return r.Source == "" || r.Source == Lowest }

// Adrenaline in the premixed solution, and the most of it at one birth.
// 1:200 000 is 1 g in 200 000 mL, so 5 micrograms/mL (a WHO copy prints
// "5 mg/ml", a thousandfold slip); 500 micrograms: clinical pharmacology text
// (found). Together they are 100 mL, and no volume with adrenaline goes above.
const (
	AdrenalineStrength amount.Strength = 5
	AdrenalineMost     amount.Mass     = 500

	adrenalineVolume = amount.Volume(AdrenalineMost) * amount.Millilitre / amount.Volume(AdrenalineStrength)
)

// adrenalineGiven returns the volume with adrenaline given so far, as far as
// volumes are known, and at most the most: what is more changes nothing.
func (r Request) adrenalineGiven() amount.Volume {
	var given amount.Volume
	for _, dose := range r.Given {
		if dose.Adrenaline {
			given = min(given+min(dose.Volume, adrenalineVolume), adrenalineVolume)
		}
	}
	return given
}
