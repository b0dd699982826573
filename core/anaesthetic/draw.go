package anaesthetic

import (
	"fmt"
	"slices"

	"fourchette/core/amount"
)

// mostVolume bounds what may be mixed or drawn up (ours, common sense, no
// source): above any ceiling at any strength that exists.
const mostVolume = 1000 * amount.Millilitre

// Syringe is a syringe that exists: its size and the distance of its marks.
type Syringe struct{ Size, Mark amount.Volume }

// Syringes returns the sizes, smallest first. Source: from memory: common
// formularies.
func Syringes() []Syringe {
	const ml = amount.Millilitre
	return []Syringe{{2 * ml, ml / 10}, {5 * ml, ml / 5}, {10 * ml, ml / 2}, {20 * ml, ml}}
}

// Ampoules returns the sizes of ampoules and vials, smallest first. Source:
// from memory: common formularies.
func Ampoules() []amount.Volume {
	const ml = amount.Millilitre
	return []amount.Volume{2 * ml, 5 * ml, 10 * ml, 20 * ml, 50 * ml}
}

// Plan is how to draw up a volume with one syringe, from ampoules of one size.
type Plan struct {
	FullFills     int           // how often the syringe is filled to its size
	LastFill      amount.Volume // then once more to this mark; 0: not
	Drawn         amount.Volume // all fills together, never above the volume asked for
	NotDrawn      amount.Volume // asked for, but between two marks
	Ampoules      int           // to open
	LeftInAmpoule amount.Volume // in the last one; thrown away
}

// DrawUp plans how to draw up vol, 0 to 1000 mL, rounding down to the
// syringe's mark. Syringe and ampoule are sizes from Syringes and Ampoules.
func DrawUp(vol, syringe, ampoule amount.Volume) (Plan, error) {
	if vol < 0 || vol > mostVolume {
		return Plan{}, volumeOutOfRange(vol)
	}
	at := slices.IndexFunc(Syringes(), func(s Syringe) bool { return s.Size == syringe })
	if at < 0 {
		return Plan{}, &Error{CodeSyringeUnknown, "syringe", fmt.Sprintf("read %s mL; choose 2, 5, 10 or 20 mL", syringe.Millilitres())}
	}
	if !slices.Contains(Ampoules(), ampoule) {
		return Plan{}, &Error{CodeAmpouleUnknown, "ampoule", fmt.Sprintf("read %s mL; choose 2, 5, 10, 20 or 50 mL", ampoule.Millilitres())}
	}
	plan := Plan{
		FullFills: int(vol / syringe),
		LastFill:  (vol % syringe).Floor(Syringes()[at].Mark),
	}
	plan.Drawn = vol - vol%syringe + plan.LastFill
	plan.NotDrawn = vol - plan.Drawn
	opened := plan.Drawn.Ceil(ampoule)
	plan.Ampoules, plan.LeftInAmpoule = int(opened/ampoule), opened-plan.Drawn
	return plan, nil
}

// Dilute returns how much stock and how much saline or sterile water (not
// glucose: MCPC, from memory) make total at the wanted strength. Stock is cut
// to 0.1 mL and diluent makes up the total, so the mix is never stronger than
// wanted. Strengths are above 0 and at most 100 %; total is 0.1 to 1000 mL in
// whole 0.1 mL. Wanted above stock is cannot_strengthen.
func Dilute(stock, wanted amount.Strength, total amount.Volume) (stockVol, diluent amount.Volume, err error) {
	for _, s := range []struct {
		field    string
		strength amount.Strength
	}{{"stock", stock}, {"wanted", wanted}} {
		if s.strength <= 0 || s.strength > 100*amount.OnePercent {
			return 0, 0, &Error{CodeStrengthUnknown, s.field, fmt.Sprintf("read %s %%; read the label again", s.strength.Percent())}
		}
	}
	if wanted > stock {
		return 0, 0, &Error{CodeCannotStrengthen, "wanted", fmt.Sprintf("%s %% cannot be made from %s %%; take a stronger solution", wanted.Percent(), stock.Percent())}
	}
	if total < volumeStep || total > mostVolume || total%volumeStep != 0 {
		return 0, 0, volumeOutOfRange(total)
	}
	stockVol = amount.Volume(int64(total) * int64(wanted) / int64(stock)).Floor(volumeStep) // at most 10⁶ × 10⁶
	if stockVol == 0 {
		return 0, 0, &Error{CodeVolumeOutOfRange, "volume", fmt.Sprintf("%s mL needs less stock than a syringe can measure; make more", total.Millilitres())}
	}
	return stockVol, total - stockVol, nil
}

// Plain is the bare arithmetic of a printed worked example: rate × weight, at
// most cap (0: none), cut only to the microgram, and its volume to the
// microlitre. It knows no clinical bounds: it checks arithmetic and is never
// shown as advice.
func Plain(rate amount.Rate, cap amount.Mass, w amount.Weight, s amount.Strength) (amount.Mass, amount.Volume) {
	mass := rate.Times(w)
	if cap > 0 {
		mass = min(mass, cap)
	}
	return mass, mass.At(s)
}

// Mixture is what to take of a bottle and what to add, and where the recipe
// comes from.
type Mixture struct {
	Stock, Diluent amount.Volume
	Document, Read string
}

// MixWeaker is Dilute for one agent: both strengths are ones that exist for it
// (no bottle says 75 %, and for what is made a limit is worked out after).
func MixWeaker(a Agent, stock, wanted amount.Strength, total amount.Volume) (Mixture, error) {
	if !known(a) {
		return Mixture{}, agentUnknown("agent", a)
	}
	for _, s := range []struct {
		field    string
		strength amount.Strength
	}{{"stock", stock}, {"wanted", wanted}} {
		if !slices.Contains(Strengths(a), s.strength) {
			return Mixture{}, &Error{CodeStrengthUnknown, s.field, fmt.Sprintf("read %s %%; read the label again", s.strength.Percent())}
		}
	}
	m := Mixture{Document: "common practice, no source", Read: "common practice, no source"}
	// The recipes that are printed, 1 part and 3 parts, 1 part and 1: MCPC, from
	// memory. Every other is the same arithmetic.
	const half = amount.OnePercent / 2
	if a == Lidocaine && wanted == half && (stock == 2*amount.OnePercent || stock == amount.OnePercent) {
		m.Document, m.Read = "MCPC: 0.5 % from 2 %, 1 part + 3 parts; from 1 %, 1 + 1", "from memory: MCPC"
	}
	var err error
	m.Stock, m.Diluent, err = Dilute(stock, wanted, total)
	return m, err
}
