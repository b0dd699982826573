package anaesthetic

import (
	"fmt"

	"fourchette/core/amount"
)

// The codes of an Error.
const (
	CodeWeightOutOfRange = "weight_out_of_range"
	CodeWeightMissing    = "weight_missing"
	CodeHeightOutOfRange = "height_out_of_range"
	CodeAgentUnknown     = "agent_unknown"
	CodeStrengthUnknown  = "strength_unknown"
	CodeSourceUnknown    = "source_unknown"
	CodeMixingUnknown    = "mixing_unknown"
	CodeDoseOutOfRange   = "dose_out_of_range"
	CodeVolumeOutOfRange = "volume_out_of_range"
	CodeCannotStrengthen = "cannot_strengthen"
	CodeSyringeUnknown   = "syringe_unknown"
	CodeAmpouleUnknown   = "ampoule_unknown"
)

// Error is why a request was refused.
type Error struct {
	Code   string // one of the codes above; the screens translate it
	Field  string // the part of the request: "weight", "given"
	Detail string // what was read and what to do, in English, for a log
}

func (e *Error) Error() string {
	return fmt.Sprintf("anaesthetic: %s (%s): %s", e.Code, e.Field, e.Detail)
}

func weightOutOfRange(w amount.Weight) error {
	return &Error{CodeWeightOutOfRange, "weight", fmt.Sprintf("read %s kg; enter %s to %s kg, or none if not weighed",
		w.Kilograms(), LightestWeight.Kilograms(), HeaviestWeight.Kilograms())}
}

func heightOutOfRange(cm int) error {
	return &Error{CodeHeightOutOfRange, "height", fmt.Sprintf("read %d cm; enter %d to %d cm, or none if not known",
		cm, LeastHeightCm, MostHeightCm)}
}

func agentUnknown(field string, a Agent) error {
	return &Error{CodeAgentUnknown, field, fmt.Sprintf("read %q; choose one of %v", a, Agents())}
}

func strengthUnknown(s amount.Strength, a Agent) error {
	return &Error{CodeStrengthUnknown, "strength", fmt.Sprintf("read %s %% for %s; read the label again and choose a strength that exists, or none", s.Percent(), a)}
}

func sourceUnknown(source string, a Agent, adrenaline bool) error {
	return &Error{CodeSourceUnknown, "source", fmt.Sprintf("%q prints no mg/kg for %s (adrenaline: %t); choose %q or one of %v",
		source, a, adrenaline, Lowest, Sources(a, adrenaline))}
}

func mixingUnknown(mixing string) error {
	return &Error{CodeMixingUnknown, "mixing", fmt.Sprintf("read %q; choose %q or %q", mixing, Strictest, Fractions)}
}

func doseOutOfRange(d Dose) error {
	return &Error{CodeDoseOutOfRange, "given", fmt.Sprintf("read %s mg in %s mL; enter nought or more", d.Mass.Milligrams(), d.Volume.Millilitres())}
}

func volumeOutOfRange(v amount.Volume) error {
	return &Error{CodeVolumeOutOfRange, "volume", fmt.Sprintf("read %s mL; enter at most %s mL, in steps of %s mL",
		v.Millilitres(), mostVolume.Millilitres(), volumeStep.Millilitres())}
}
