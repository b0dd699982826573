package companion

import "fourchette/core/tear"

func grade(_ *Companion, r *GradeRequest) (reply, error) {
	f, err := findings(r)
	if err != nil {
		return nil, err
	}
	return judged(tear.Judge(f)), nil
}

func findings(r *GradeRequest) (tear.Findings, error) {
	f := tear.Findings{
		PerinealSkin:      tear.Finding(r.PerinealSkin),
		VaginalMucosa:     tear.Finding(r.VaginalMucosa),
		PerinealMuscle:    tear.Finding(r.PerinealMuscle),
		ExternalSphincter: tear.External(r.ExternalSphincter),
		InternalSphincter: tear.Finding(r.InternalSphincter),
		AnorectalMucosa:   tear.Finding(r.AnorectalMucosa),
		RectalExam:        tear.RectalExam(r.RectalExam),
		Episiotomy:        r.Episiotomy,
		SecondLookDone:    r.SecondLookDone,
	}
	return f, f.Validate()
}

func asked(f tear.Findings) GradeRequest {
	return GradeRequest{
		PerinealSkin:      string(f.PerinealSkin),
		VaginalMucosa:     string(f.VaginalMucosa),
		PerinealMuscle:    string(f.PerinealMuscle),
		ExternalSphincter: string(f.ExternalSphincter),
		InternalSphincter: string(f.InternalSphincter),
		AnorectalMucosa:   string(f.AnorectalMucosa),
		RectalExam:        string(f.RectalExam),
		Episiotomy:        f.Episiotomy,
		SecondLookDone:    f.SecondLookDone,
	}
}

func judged(v tear.Verdict) *GradeReply {
	r := &GradeReply{
		Grade:      v.Grade.String(),
		Buttonhole: v.Buttonhole,
		AtLeast:    v.AtLeast.String(),
		AtMost:     v.AtMost.String(),
		TreatAs:    v.TreatAs.String(),
		Settled:    v.Settled,
		SecondLook: v.SecondLook,
		Ask:        v.Ask,
		Because:    v.Because.Keys(),
		ICD10:      v.ICD10,
		ICD10US:    v.ICD10US,
		ICD10Note:  v.ICD10Note,
		Sphincter:  v.Buttonhole || v.TreatAs >= tear.Third3a,
	}
	for _, because := range v.Because {
		r.Reasons = append(r.Reasons, ReasonReply{Key: because.Key, On: because.On})
	}
	return r
}
