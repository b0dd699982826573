package companion

import (
	"strconv"

	"fourchette/core/amount"
	"fourchette/core/bleeding"
	"fourchette/core/course"
)

// alarm is what a record's numbers come to. Nobody said whether a loss was
// weighed or seen: it may raise an alarm and never clears one.
func alarm(s course.Signs) (level string, because []string) {
	signs := bleeding.Signs{Estimated: true, Pulse: s.Pulse, Systolic: s.Systolic, Diastolic: s.Diastolic}
	if s.Lost != nil {
		lost := amount.Volume(*s.Lost) * amount.Millilitre
		signs.Lost = &lost
	}
	a, err := bleeding.Assess(signs)
	if err != nil { // written by a program with other bounds: nothing is known
		return bleeding.Unknown, nil
	}
	return a.Level, a.Because.Keys()
}

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
