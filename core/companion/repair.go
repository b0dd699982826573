package companion

import (
	"time"

	"fourchette/core/repair"
)

func planRepair(_ *Companion, r *RepairRequest) (reply, error) {
	g, err := gradeNamed(r.Grade)
	if err != nil {
		return nil, err
	}
	k := repair.Case{Grade: g, Buttonhole: r.Buttonhole, Episiotomy: r.Episiotomy, TrainedHere: r.TrainedHere, DeepMuscle: r.DeepMuscle, SinceUnknown: r.HourUnknown}
	if r.Hours != nil {
		if *r.Hours < 0 || *r.Hours > int(MaxBirthAge/time.Hour) {
			return nil, &Fault{Code: FaultOutOfRange, Field: "hours"}
		}
		since := time.Duration(*r.Hours) * time.Hour
		k.Since = &since
	}
	return repairReply(repair.For(k)), nil
}

func repairReply(p repair.Plan) *RepairReply {
	out := &RepairReply{Allowed: p.Allowed, By: p.By, Because: p.Because.Keys()}
	for _, l := range p.Layers {
		out.Layers = append(out.Layers, repairLayer(l))
	}
	return out
}

func repairLayer(l repair.Layer) RepairLayer {
	out := RepairLayer{
		Layer: l.Key, Drawing: l.Drawing, IfTorn: l.IfTorn, Instruments: l.Instruments, Material: l.Material, Size: l.Size,
		Technique: l.Technique, Rows: l.Rows, Begin: l.Begin, BeginMm: unlessNought(l.BeginMm), SpacingMm: unlessNought(l.SpacingMm),
		End: l.End, Knot: l.Knot, Never: l.Never,
	}
	for _, s := range l.Sources {
		out.Sources = append(out.Sources, CitedReply{Source: s.Document, Read: s.Read})
	}
	return out
}

// unlessNought leaves a number out where nought stands for "no source prints
// one".
func unlessNought(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}
