package companion

import (
	"strconv"

	"fourchette/core/bleeding"
)

func bleed(_ *Companion, r *BleedingRequest) (reply, error) {
	var in amounts
	signs := bleeding.Signs{Estimated: r.Estimated, Pulse: r.Pulse, Systolic: r.Systolic, Diastolic: r.Diastolic}
	if r.LostMl != "" {
		lost := in.volume("lost_ml", r.LostMl)
		signs.Lost = &lost
	}
	for i, p := range r.Pads {
		at := "pads." + strconv.Itoa(i)
		signs.Pads = append(signs.Pads, bleeding.Pad{Wet: in.pad(at+".wet_g", p.WetG), Dry: in.pad(at+".dry_g", p.DryG)})
	}
	if in.fault != nil {
		return nil, in.fault
	}
	alarm, err := bleeding.Assess(signs)
	if err != nil {
		return nil, err
	}
	out := &BleedingReply{
		Alarm:      alarm.Level,
		ShockIndex: alarm.ShockIndex,
		Missing:    alarm.Missing,
		Because:    alarm.Because.Keys(),
	}
	if alarm.Lost != nil {
		out.LostMl = alarm.Lost.Millilitres()
	}
	return out, nil
}
