package companion

import (
	"fourchette/core/amount"
	"fourchette/core/anaesthetic"
)

// amounts parses the decimal strings of one request and keeps the first
// fault. An empty string was absent and gives nought: the topic decides what
// absent means.
type amounts struct{ fault *Fault }

func parse[A ~int64](in *amounts, field, s string, read func(string) (A, error)) A {
	if s == "" || in.fault != nil {
		return 0
	}
	v, err := read(s)
	if err != nil {
		in.fault = &Fault{Code: FaultAmount, Field: field, Detail: s}
	}
	return v
}

func (in *amounts) mass(field, s string) amount.Mass {
	return parse(in, field, s, amount.ParseMilligrams)
}

func (in *amounts) volume(field, s string) amount.Volume {
	return parse(in, field, s, amount.ParseMillilitres)
}

func (in *amounts) weight(field, s string) amount.Weight {
	return parse(in, field, s, amount.ParseKilograms)
}

func (in *amounts) pad(field, s string) amount.Weight {
	return parse(in, field, s, amount.ParseGrams)
}

func (in *amounts) strength(field, s string) amount.Strength {
	return parse(in, field, s, amount.ParsePercent)
}

func (in *amounts) rate(field, s string) amount.Rate {
	return parse(in, field, s, amount.ParseMilligramsPerKilogram)
}

// dose reads what was given: milligrams, or millilitres of a strength, which
// are rounded up.
func (in *amounts) dose(field string, g DoseGiven) anaesthetic.Dose {
	d := anaesthetic.Dose{Agent: anaesthetic.Agent(g.Agent), Adrenaline: g.Adrenaline}
	mass := in.mass(join(field, "mg"), g.Mg)
	volume := in.volume(join(field, "ml"), g.Ml)
	strength := in.strength(join(field, "strength_percent"), g.StrengthPercent)
	switch {
	case in.fault != nil:
	case g.Mg != "" && (g.Ml != "" || g.StrengthPercent != ""):
		in.fault = &Fault{Code: "dose_twice", Field: join(field, "mg"), Detail: "either mg, or ml with strength_percent"}
	case g.Mg != "":
		d.Mass = mass
	case g.Ml == "":
		in.fault = &Fault{Code: FaultKeyMissing, Field: join(field, "ml")}
	case strength == 0:
		in.fault = &Fault{Code: FaultKeyMissing, Field: join(field, "strength_percent")}
	default:
		d.Mass, d.Volume = volume.Holding(strength), volume
	}
	return d
}

// Typed turns what a person typed into the decimal text that requests take;
// what it cannot turn it leaves, so that the topic refuses it.
func Typed(s string) string { return amount.Typed(s) }
