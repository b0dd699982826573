package course

import (
	"slices"

	"fourchette/core/tear"
)

// The ways beside the straight one.
const (
	Elsewhere      = "elsewhere" // born elsewhere
	HourUnknown    = "hour_unknown"
	ExamRefused    = "exam_refused"
	RepairRefused  = "repair_refused"
	GenitalCutting = "genital_cutting" // never closed again
	Refer          = "refer"
	CannotTravel   = "cannot_travel"
	LeaveOpen      = "leave_open"
	NothingTorn    = "nothing_torn"
	OldTear        = "old_tear" // left open, or referred
)

func (w walk) ways() []string {
	d := w.decision()
	return named([]condition{
		{Elsewhere, w.says("arrived_from", "elsewhere")},
		{HourUnknown, w.Born < 0},
		{ExamRefused, w.refused()},
		{RepairRefused, w.says("consent_repair", "declined")},
		{GenitalCutting, w.says("genital_cutting", "yes")},
		{Refer, d == "refer"},
		{CannotTravel, d == "cannot_travel"},
		{LeaveOpen, d == "leave_open"},
		{NothingTorn, w.nothingTorn()},
		{OldTear, w.TearOld},
	})
}

// The warnings.
const (
	NotFirm          = "not_firm"
	FirmUnsure       = "firm_unsure"
	CannotAnswer     = "cannot_answer"     // only what her life needs; asked again when she can
	PlacentaIn       = "placenta_in"       // or nobody knows
	PlacentaDoubtful = "placenta_doubtful" // not complete, or unsure
	Bleeding         = "bleeding"
	NotWell          = "not_well"
	Fever            = "fever"
	NoOperator       = "no_operator"    // repair here was chosen, and it needs a trained operator
	OperatorAgain    = "operator_again" // she was here, too long ago to count
	NeedMissing      = "need_missing"   // repair here was chosen, and something that it needs is not here
	TamponInside     = "tampon_inside"
	CountOpen        = "count_open"
	PieceMissing     = "piece_missing" // searched for, and not found
	StitchInRectum   = "stitch_in_rectum"
	TearTooOld       = "tear_too_old"
	RingTooOld       = "ring_too_old"     // the same, and the ring muscle or more is torn
	RingLeftOpen     = "ring_left_open"   // it was decided to leave open what is never left
	OperatorUnknown  = "operator_unknown" // repair here was chosen, and nobody asked for the trained operator that it needs
	OddClock         = "odd_clock"
	ExamDeclined     = "exam_declined"   // she said no to being examined
	RepairDeclined   = "repair_declined" // she said no to being stitched
	CountedLate      = "counted_late"    // counted in after stitching began: it proves nothing
	OverLimit        = "over_limit"      // more local anaesthetic was given than the limit

	// What the numbers come to: see core/bleeding and Signs.
	AlarmWatch     = "alarm_watch"
	AlarmAct       = "alarm_act"
	AlarmCrisis    = "alarm_crisis"
	PressureSevere = "pressure_severe"
	PressureHigh   = "pressure_high"
	PressureAgain  = "pressure_again" // the lower one is not under the upper
)

func (w walk) warnings() []string {
	firm, bleeding := w.latest("uterus_firm", "final_firm"), w.latest("bleeding_looked", "final_bleeding")
	wanted := w.answer("decision", w.GradeChanged)
	void := wanted != nil && wanted.Value == "repair_here" && w.decision() == ""
	yes := w.saysAfter(w.GradeChanged, "trained_operator_here", "yes") // but too long ago
	pressure := w.pressure()
	return named([]condition{
		{AlarmCrisis, w.Alarm == Crisis},
		{AlarmAct, w.Alarm == Act},
		{AlarmWatch, w.Alarm == Watch},
		{OverLimit, w.OverLimit},
		{PressureSevere, pressure == PressureSevere},
		{PressureHigh, pressure == PressureHigh},
		{PressureAgain, w.Signs().Again},
		{NotFirm, firm == "no"},
		{FirmUnsure, firm == "unsure"},
		{CannotAnswer, w.says("consent_exam", "cannot_answer") || w.says("consent_repair", "cannot_answer")},
		{ExamDeclined, w.refused()},
		{RepairDeclined, w.says("consent_repair", "declined")},
		{PlacentaIn, w.says("placenta_out", "no", "unsure")},
		{PlacentaDoubtful, w.says("placenta_complete", "no", "unsure")},
		{Bleeding, bleeding == "heavy" || bleeding == "unsure"},
		{NotWell, w.says("early_check", "not_well")},
		{Fever, w.fever()},
		{OperatorAgain, void && yes && !w.refused()},
		{OperatorUnknown, void && !w.refused() && w.answer("trained_operator_here", w.GradeChanged) == nil},
		{NoOperator, void && (w.refused() || w.saysAfter(w.GradeChanged, "trained_operator_here", "no"))},
		{NeedMissing, w.decision() == "repair_here" && !w.repaired() && w.needMissing()},
		{TamponInside, w.tamponInside()},
		{CountNever, w.neverCounted() && (w.lastStitch() >= 0 || w.countDue())},
		{CountedLate, w.CountedLate()},
		{CountOpen, w.countOpen() && w.countDue()},
		{PieceMissing, w.pieceMissing()},
		{StitchInRectum, w.stitchFelt()},
		{TearTooOld, w.TearOld && w.Verdict.AtLeast >= tear.First && !w.sphincter()},
		{RingTooOld, w.TearOld && w.sphincter() && (w.Verdict.AtLeast >= tear.First || w.Verdict.Buttonhole)},
		{RingLeftOpen, w.decision() == "leave_open" && w.sphincter() && !w.refused()},
		{OddClock, w.oddClock()},
	})
}

// feverFrom, in tenths of a degree Celsius: from there on it is a fever (38.0,
// Williams Obstetrics 24th ed., ch. 37, FOUND; 38.5 in the definition of sepsis,
// from memory: WHO. The lower one warns).
const feverFrom = 380

func (w walk) fever() bool {
	a := w.answer("temperature", -1)
	return a != nil && a.Value == "" && a.Number >= feverFrom
}

// needMissing: said of this grade that something it needs is not here.
func (w walk) needMissing() bool {
	for _, q := range []string{"place_here", "anaesthesia_here", "instruments_here", "material_here"} {
		if w.saysAfter(w.GradeChanged, q, "no") {
			return true
		}
	}
	return false
}

// countDue: until all is stitched an open count is as it should be, unless
// somebody counts out before that.
func (w walk) countDue() bool {
	counting := slices.ContainsFunc(w.Counts, func(c Count) bool { return c.Phase == Out })
	return counting || w.repaired() || w.stitching() == nothing || w.stitching() == begun && w.decision() != "repair_here"
}

// latest is the later of two answers to what is asked twice.
func (w walk) latest(first, second string) string {
	a, b := w.answer(first, -1), w.answer(second, -1)
	switch {
	case a == nil && b == nil:
		return ""
	case b == nil || a != nil && a.Place > b.Place:
		return a.Value
	}
	return b.Value
}

type condition struct {
	key   string
	holds bool
}

func named(list []condition) (keys []string) {
	for _, c := range list {
		if c.holds {
			keys = append(keys, c.key)
		}
	}
	return keys
}

// was is the grade that the decision rested on, or the last one while nothing
// is decided.
func (w walk) was() *Note {
	decided := w.place("decision")
	for i := len(w.Notes) - 1; i >= 0; i-- {
		if decided < 0 || w.Notes[i].Place < decided {
			return &w.Notes[i]
		}
	}
	return nil
}

// changed says what is not as it was.
func (w walk) changed(was *Note) []string {
	if was == nil {
		return nil
	}
	a, b := was.Findings, w.Findings
	return named([]condition{
		{tear.PerinealSkin, a.PerinealSkin != b.PerinealSkin},
		{tear.VaginalMucosa, a.VaginalMucosa != b.VaginalMucosa},
		{tear.PerinealMuscle, a.PerinealMuscle != b.PerinealMuscle},
		{tear.ExternalSphincter, a.ExternalSphincter != b.ExternalSphincter},
		{tear.InternalSphincter, a.InternalSphincter != b.InternalSphincter},
		{tear.AnorectalMucosa, a.AnorectalMucosa != b.AnorectalMucosa},
		{tear.RectalExamination, a.RectalExam != b.RectalExam},
		{tear.Episiotomy, a.Episiotomy != b.Episiotomy},
		{"grade", was.Verdict.Grade != w.Verdict.Grade},
		{"treat_as", was.Verdict.TreatAs != w.Verdict.TreatAs},
		{"buttonhole", was.Verdict.Buttonhole != w.Verdict.Buttonhole},
	})
}

// tamponInside: said so, and neither out nor a mistake since.
func (w walk) tamponInside() bool { return w.says("tampon", "in", "left") || w.TamponSaidIn }
