// Package course knows the way of one birth: in which order things are done,
// which answers nobody may skip, and what runs against the clock. Start with
// Facts and Walk; Questions is the table of what is asked.
//
// It decides from what was said and in which order, and remembers nothing: a
// record handed over in the middle, merged from two phones or taken up days
// later gives the same Path.
//
// # The way
//
// safe, examine, decide, prepare, numb, again, repair, check, after, visits.
// Beside the straight way there are others, named in Path.Ways: she arrives
// after a birth elsewhere, the examination is refused, there is scarring from
// genital cutting, she is referred, she cannot travel, nothing is stitched.
//
// # Gates
//
// A gate is passed by its answer and by nothing else. "No" and "declined" are
// answers where that is hers to say. An answer holds as long as what it rests
// on: a changed grade asks anew for the decision, for the trained operator and
// for what is laid out; a stitch more asks anew for tampon, count, rectal
// examination and final check. Rescue is behind no gate: nothing here knows of
// the emergency pages, so nothing here can hold them back.
//
// # Clocks
//
// What comes before what is told by places in the record. How long ago
// something was is told by the wall clock and, within one run of the program,
// by the running clock; where they disagree the longer time counts and
// Timer.Doubt asks for another clock. Only where something must be waited for
// does the shorter one count. An hour of birth that nobody knows leaves a timer
// unknown, until it must be over because the record itself is that old.
//
// Keys and words are written into records: they stay readable for ever.
package course

import (
	"time"

	"fourchette/core/tear"
)

// The stages, in order.
const (
	Safe    = "safe"
	Examine = "examine"
	Decide  = "decide"
	Prepare = "prepare"
	Numb    = "numb"
	Again   = "again"
	Repair  = "repair"
	Check   = "check"
	After   = "after"
	Visits  = "visits"
	Done    = "done" // Path.Stage when nothing is left
)

// Answer is the answer that stands to a question.
type Answer struct {
	Question, Value string
	Number          int64
	At              int64 // wall clock, milliseconds since 1970
	Text            string
	Place           int // in the record
}

// Note is a grade that was written down, and the findings at that moment.
type Note struct {
	Place    int
	Findings tear.Findings
	Verdict  tear.Verdict
}

// Layer is the last word on one layer.
type Layer struct {
	Key   string
	Done  bool
	Place int
}

// Visit is a visit as it was written down.
type Visit struct {
	Key       string
	Confirmed bool
}

// Facts is one birth as far as it was told. Places are indices of events in
// the record; -1 where there is none.
type Facts struct {
	Answers  []Answer
	Findings tear.Findings
	Verdict  tear.Verdict
	// Found is the place of the last event that changed a finding; -1: none did.
	Found int
	// GradeChanged is the place of the last event that changed what is to be
	// planned for: the grade, the grade to treat as, or the buttonhole.
	GradeChanged int
	Notes        []Note // in order
	// NoteStands: the last note is what the findings come to now.
	NoteStands bool

	// Weighed is the place of the last word on her weight; -1: nobody said.
	Weighed int
	// WeightSaid: weighed, or said that she was not. PriorSaid: somebody said
	// what was given before, and listed it if there was something; nobody
	// knows is an answer. LimitStands: a limit was worked out for a label and
	// would come out the same now.
	WeightSaid, PriorSaid, LimitStands bool
	// OverLimit: more was injected than the limit.
	OverLimit bool
	// Injections are the places of what was injected here and not taken back.
	Injections []int

	// TamponSaidIn: somebody said that one is inside, and nobody since that it is
	// out, or that this was a mistake. "None" is no answer to that.
	TamponSaidIn bool

	// Damaged: lines of the record may be lost, so that no answer is sure to be
	// the last one: no gate is passed until somebody has looked through it.
	Damaged bool

	Counts []Count
	// Reconciled: Tallies are complete, and what came out is what went in.
	Reconciled bool
	Planned    []string // the layers of the plan
	Layers     []Layer
	Visits     []Visit
	// Stitches are the places of every word that a layer was closed which still
	// is: the last word on it alone may be a later one.
	Stitches []int

	// TearOld: core/repair counts what TearAge tells as too old to close.
	TearOld bool

	// Alarm is what core/bleeding makes of Signs: Watch, Act or Crisis; anything
	// else does not ring.
	Alarm string

	// Opened is the place of the first opening, Born that of the event that
	// told the hour of birth, BornAt that hour in milliseconds since 1970.
	Opened, Born int
	BornAt       int64
	Moments      []Moment // of each event in the record
	Now          Moment
}

// Path is where she stands.
type Path struct {
	// Stage is the first stage that is open, Done when none is.
	Stage  string
	Stages []StageState
	Gates  []Gate
	Timers []Timer
	// Ways names the ways beside the straight one that she is on.
	Ways []string
	// Warnings names what must be in sight whatever page is open.
	Warnings []string
	// Changed names what has changed since the grade was written that the
	// decision rested on: findings, then grade, treat_as, buttonhole.
	Changed []string
	// Was is that grade; nil when none was written.
	Was *Note
}

// The states of a stage.
const (
	StageDone      = "done"
	StageOpen      = "open"
	StageAhead     = "ahead"
	StageNotNeeded = "not_needed"
)

// StageState is one stage and what it still asks.
type StageState struct {
	Key, State string
	Ask        []string
}

// Walk says where the birth stands.
func Walk(f Facts) Path {
	w := walk{f}
	p := Path{Gates: w.gates(), Timers: w.timers(), Ways: w.ways(), Warnings: w.warnings()}
	p.Stage, p.Stages = w.stages(p.Gates)
	p.Was = w.was()
	p.Changed = w.changed(p.Was)
	return p
}

// walk asks the facts.
type walk struct{ Facts }

// answer is the answer that stands, if it was given after a place.
func (w walk) answer(question string, after int) *Answer {
	for i := range w.Answers {
		if a := &w.Answers[i]; a.Question == question && a.Place > after {
			return a
		}
	}
	return nil
}

func (w walk) has(question string) bool { return w.answer(question, -1) != nil }

// says reports whether the answer that stands is one of the words.
func (w walk) says(question string, words ...string) bool { return w.saysAfter(-1, question, words...) }

func (w walk) saysAfter(after int, question string, words ...string) bool {
	a := w.answer(question, after)
	for _, word := range words {
		if a != nil && a.Value == word {
			return true
		}
	}
	return false
}

// place is that of the answer that stands, -1 when there is none.
func (w walk) place(question string) int {
	if a := w.answer(question, -1); a != nil {
		return a.Place
	}
	return -1
}

// decision is the one taken on this grade; "" when there is none that holds.
// A repair here of what needs a trained operator holds only with one, and
// nobody repairs what she was not allowed to look at.
func (w walk) decision() string {
	d := w.answer("decision", w.GradeChanged)
	if d == nil {
		return ""
	}
	if d.Value == "repair_here" && (w.refused() || w.sphincter() && !w.operatorForRepair()) {
		return ""
	}
	return d.Value
}

func (w walk) refused() bool { return w.says("consent_exam", "declined") }

// sphincter: plan as for a torn sphincter.
func (w walk) sphincter() bool { return w.Verdict.TreatAs >= tear.Third3a || w.Verdict.Buttonhole }

// nothingTorn: all was looked at and nothing is torn or cut.
func (w walk) nothingTorn() bool {
	return w.Verdict.Settled && w.Verdict.Grade == tear.None && !w.Verdict.Buttonhole
}

// Whether anything is stitched.
type stitching int

const (
	notYetKnown stitching = iota
	nothing
	planned
	begun // a layer was closed
)

func (w walk) stitching() stitching {
	switch d := w.decision(); {
	case w.lastStitch() >= 0:
		return begun
	case w.nothingTorn():
		return nothing
	case d == "":
		return notYetKnown
	case d == "repair_here" && !w.says("consent_repair", "declined"):
		return planned
	}
	return nothing
}

// lastStitch is the place of the last word that something was stitched.
func (w walk) lastStitch() int {
	last := -1
	if w.says("repair_finished", "yes") {
		last = w.place("repair_finished")
	}
	for _, l := range w.Layers {
		if l.Done {
			last = max(last, l.Place)
		}
	}
	return last
}

func (w walk) lastInjection() int {
	last := -1
	for _, place := range w.Injections {
		last = max(last, place)
	}
	return last
}

// lastNote is the last grade written; nil when none was, or when it is no
// longer what the findings come to.
func (w walk) lastNote() *Note {
	if len(w.Notes) == 0 || !w.NoteStands {
		return nil
	}
	return &w.Notes[len(w.Notes)-1]
}

// SamePlan reports whether two verdicts are planned for alike: the place where
// they begin to differ is Facts.GradeChanged.
func SamePlan(a, b tear.Verdict) bool {
	return a.Grade == b.Grade && a.TreatAs == b.TreatAs && a.Buttonhole == b.Buttonhole
}

// milliseconds since 1970 as a time in UTC.
func at(ms int64) time.Time { return time.UnixMilli(ms).UTC() }
