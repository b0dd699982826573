package companion

import "fourchette/core/episiotomy"

func angle(_ *Companion, r *AngleRequest) (reply, error) {
	switch {
	case r.AtCrowningDeg != nil && r.AfterBirthDeg != nil:
		return nil, &Fault{Code: "angle_twice", Field: "after_birth_deg", Detail: "either at_crowning_deg or after_birth_deg"}
	case r.AfterBirthDeg != nil:
		verdict, err := episiotomy.Sutured(*r.AfterBirthDeg)
		if err != nil {
			return nil, err
		}
		return &AngleReply{AfterBirthDeg: *r.AfterBirthDeg, Verdict: string(verdict)}, nil
	case r.AtCrowningDeg == nil:
		return nil, &Fault{Code: FaultKeyMissing, Field: "at_crowning_deg"}
	}
	a, err := episiotomy.AtCrowning(*r.AtCrowningDeg)
	if err != nil {
		return nil, err
	}
	return &AngleReply{AfterBirthDeg: a.After, AfterBirthLeastDeg: &a.Least, AfterBirthMostDeg: &a.Most, Verdict: string(a.Verdict)}, nil
}

func indications(_ *Companion, _ *Nothing) (reply, error) {
	out := &IndicationsReply{}
	for _, i := range episiotomy.Indications() {
		out.Indications = append(out.Indications, CitedKey(i))
	}
	return out, nil
}
