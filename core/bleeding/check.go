package bleeding

import (
	"strconv"

	"fourchette/core/amount"
)

// The codes of an Error.
const (
	OutOfRange          = "out_of_range"
	PadLighterThanDry   = "pad_lighter_than_dry"
	PressureImplausible = "pressure_implausible"
)

// Error says which field cannot be true.
type Error struct {
	Code   string // OutOfRange, PadLighterThanDry or PressureImplausible
	Field  string // the request key
	Detail string // what was read and what to do, for a log
}

func (e *Error) Error() string { return e.Field + ": " + e.Detail }

// Beyond these a number is a slip of the finger: common practice, no source.
// They are far outside what is survived, so that they refuse nothing true.
const (
	mostLost                = 20_000 * amount.Millilitre
	mostPad   amount.Weight = 20_000 // grams
	leastSign               = 20     // pulse and systolic; 0 means not measurable
	mostSign                = 300    // pulse, systolic and diastolic
)

// check refuses what cannot be true of each sign alone, then of the pressures
// together.
func (s Signs) check() error {
	if err := checkSign(Pulse, s.Pulse, leastSign); err != nil {
		return err
	}
	if err := checkSign(Systolic, s.Systolic, leastSign); err != nil {
		return err
	}
	if err := checkSign(Diastolic, s.Diastolic, 1); err != nil {
		return err
	}
	// A systolic that cannot be measured is a crisis whatever stands beside it.
	if s.Systolic != nil && s.Diastolic != nil && *s.Systolic > 0 && *s.Diastolic > *s.Systolic {
		return &Error{PressureImplausible, Diastolic, "diastolic " + strconv.Itoa(*s.Diastolic) +
			" is above systolic " + strconv.Itoa(*s.Systolic) + "; measure again or change the two over"}
	}
	return nil
}

func checkSign(field string, n *int, least int) error {
	if n == nil || *n == 0 || *n >= least && *n <= mostSign {
		return nil
	}
	return &Error{OutOfRange, field, strconv.Itoa(*n) + " is not between " + strconv.Itoa(least) +
		" and " + strconv.Itoa(mostSign) + "; measure again, or give 0 when it cannot be measured"}
}

// lost adds up the blood known of; nil when nothing is. A gram of blood counts
// as 1 mL (common bedside rule, from memory). Blood weighs 1.06 g/mL (PLOS One
// 2026, doi 10.1371/journal.pone.0339391), so the rule reads 6 % too much:
// 530 g is 530 mL here and 500 mL there, which errs towards the alarm.
func (s Signs) lost() (*amount.Volume, error) {
	if s.Lost == nil && len(s.Pads) == 0 {
		return nil, nil
	}
	var total amount.Volume
	if s.Lost != nil {
		total = *s.Lost
		if total < 0 || total > mostLost {
			return nil, tooMuch(Lost)
		}
	}
	for i, p := range s.Pads {
		net, err := p.net(i)
		if err != nil {
			return nil, err
		}
		if total += net; total > mostLost {
			return nil, tooMuch(Pads)
		}
	}
	return &total, nil
}

func tooMuch(field string) error {
	return &Error{OutOfRange, field, "the loss is not between 0 and " + mostLost.Millilitres() + " mL; measure or type it again"}
}

// net is the blood in pad i of the list.
func (p Pad) net(i int) (amount.Volume, error) {
	which := "pad " + strconv.Itoa(i+1)
	switch {
	case p.Wet < 0 || p.Dry < 0 || p.Wet > mostPad || p.Dry > mostPad:
		return 0, &Error{OutOfRange, Pads, which + " is not between 0 and " + mostPad.Grams() + " g; weigh it again"}
	case p.Wet < p.Dry:
		return 0, &Error{PadLighterThanDry, Pads, which + " weighs " + p.Wet.Grams() + " g with blood and " +
			p.Dry.Grams() + " g dry; weigh it again or change the two over"}
	}
	return amount.Volume(p.Wet-p.Dry) * amount.Millilitre, nil
}
