package course

import "slices"

// What may be open when a record is closed, beside the keys of warnings, of
// gates and, behind TimerOpen, of timers.
const (
	RecordDamaged   = "record_damaged" // lines of the record may be lost
	TamponUnknown   = "tampon_unknown"
	CountNever      = "count_never" // stitched or laid out, and nobody ever counted
	GradeNotWritten = "grade_not_written"
	GradeUnsettled  = "grade_unsettled"
	MedicinesOpen   = "medicines_open"
	AdviceOpen      = "advice_open"
	VisitsOpen      = "visits_open"
	UrineOpen       = "urine_open"
	CatheterIn      = "catheter_in"
	TimerOpen       = "overdue_"
)

// Unfinished lists what is still open, what could hurt her most first: it is
// said before a record is closed, and goes on being said after it.
func (f Facts) Unfinished() []string {
	w := walk{f}
	inside := w.tamponInside()
	pressure := w.pressure()
	keys := named([]condition{
		{RecordDamaged, w.Damaged},
		{AlarmCrisis, w.Alarm == Crisis && w.rings()},
		{AlarmAct, w.Alarm == Act && w.rings()},
		{PressureSevere, pressure == PressureSevere},
		{OverLimit, w.OverLimit},
		{Fever, w.fever()},
		{TamponInside, inside},
		{TamponUnknown, !inside && len(w.askTampon()) > 0},
		{CountNever, w.neverCounted()},
		{CountOpen, w.countOpen()},
		{PieceMissing, w.pieceMissing()},
		{StitchInRectum, w.stitchFelt()},
		{GradeNotWritten, len(w.Notes) == 0},
		{GradeUnsettled, len(w.Notes) > 0 && (!w.NoteStands || !w.Verdict.Settled)},
	})
	over := Path{Timers: w.timers()}.Overdue()
	for _, key := range over {
		keys = append(keys, TimerOpen+key)
	}
	return append(keys, named([]condition{
		{CatheterIn, w.says("urine_passed", "catheter")},
		{UrineOpen, !w.hourTold("urine_passed") && !w.says("urine_passed", "catheter") && !slices.Contains(over, FirstUrine)},
		{MedicinesOpen, w.needs(After) && w.answer(MedicinesSeen, w.medicinesFrom()) == nil},
		{AdviceOpen, w.needs(After) && !w.has("advice_told")},
		{VisitsOpen, w.needs(Visits) && len(w.askVisits()) > 0},
	})...)
}

// neverCounted: something was opened, and no count was begun.
func (w walk) neverCounted() bool {
	return len(w.Counts) == 0 && (w.lastStitch() >= 0 || w.has("laid_out"))
}

func (w walk) countOpen() bool { return len(w.Counts) > 0 && len(w.askCountOut()) > 0 }

func (w walk) pieceMissing() bool {
	return w.saysAfter(w.lastCount(), "final_count_search", "not_found") && !w.Reconciled
}

func (w walk) stitchFelt() bool { return w.saysAfter(w.lastStitch(), "stitch_felt", "yes") }
