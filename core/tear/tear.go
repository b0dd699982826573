// Package tear grades a perineal tear from what was found, says why, and says
// what is still unknown. Start with Findings and Judge.
//
// # The scale
//
// None, 1, 2, 3a, 3b, 3c, 4 as in RCOG GTG29 2015, tabulated in BMC Pregnancy
// and Childbirth 2016, s12884-016-1065-y, Table 2 (see class). Where the text
// leaves a gap or sources differ, the higher reading is taken:
//   - exactly half of the external sphincter: the table says "< 50 %" and
//     "> 50 %"; here 3b, from RCOG's "in doubt, the higher degree";
//   - the internal sphincter torn under an intact external one: RCOG says "both
//     torn", the Concise Medical Dictionary (10th ed.) "internal torn"; here 3c;
//   - WHO MCPC 1st ed. P-83 calls only a complete transection third degree; a
//     partial tear is third degree here, never second;
//   - mucosa torn with one sphincter torn: RCOG says sphincter complex "and"
//     mucosa, the footnote of Table 2 "and/or"; here 4.
//
// # What is not known
//
// A finding that is unsure or absent may be anything, and Judge looks at every
// set of findings that is still possible: AtLeast and AtMost are the lowest and
// highest grade among them. Absent is never intact. Without the rectal
// examination what was entered for the two sphincters and the anorectal mucosa
// is only a lower bound: "intact" may be anything, "under_half" may be more;
// "torn", "half_or_more" and "through" hold. RCOG GTG29 2015 (executive
// summary) asks for that examination after every vaginal birth.
//
// An episiotomy counts as torn skin, vagina and muscle, whatever was entered
// for them (common practice, no source: it cuts what a second degree tears).
//
// Words that are not in the lists count as not examined; Validate names them.
//
// # Second look
//
// Findings that contradict each other (mucosa torn with exactly one sphincter
// torn; internal torn under intact external) ask for one second look, with or
// without the rectal examination. The higher reading stands already before it,
// and is settled after it: there is no loop.
//
// # The buttonhole
//
// Mucosa torn with both sphincters intact is not on the scale (textbook
// chapter; RCOG GTG29 2015 has it looked for after every vaginal birth). It
// stands beside the grade, which is decided by the rest, it asks for one second
// look, and it is planned for like a grade 4. So it stands outside the order in
// two places, both held by the tests:
//   - TreatAs is above AtMost exactly when a buttonhole is possible and a
//     grade 4 is not; everywhere else TreatAs equals AtMost;
//   - a mucosal tear alone does not raise the grade, AtLeast or AtMost: with
//     both sphincters known intact they are the same as without it.
//
// The words and keys here are written into records and vector files: they stay
// readable for ever.
package tear

import (
	"strconv"

	"fourchette/core/reason"
)

// Finding is what was seen of one part; NotExamined, the zero value, is an
// honest answer and never means intact.
type Finding string

// External is what was seen of the external sphincter: how much of its
// thickness is torn.
type External string

// RectalExam says whether the rectal examination was done. Absent means nobody
// said; declined is an answer, and the path goes on.
type RectalExam string

// The words for a finding.
const (
	NotExamined Finding = ""
	Intact      Finding = "intact"
	Torn        Finding = "torn"
	Unsure      Finding = "unsure" // looked, could not tell
)

// The words for the external sphincter.
const (
	ExternalNotExamined External = ""
	ExternalIntact      External = "intact"
	UnderHalf           External = "under_half"   // less than half of its thickness
	HalfOrMore          External = "half_or_more" // half of it or more, not through
	Through             External = "through"      // torn right through
	ExternalUnsure      External = "unsure"
)

// The words for the rectal examination.
const (
	RectalNotSaid  RectalExam = ""
	RectalDone     RectalExam = "done"
	RectalDeclined RectalExam = "declined"
)

// The keys of the findings, as they stand in requests, in Verdict.Ask and in
// reasons.
const (
	PerinealSkin      = "perineal_skin"
	VaginalMucosa     = "vaginal_mucosa"
	PerinealMuscle    = "perineal_muscle"
	ExternalSphincter = "external_sphincter"
	InternalSphincter = "internal_sphincter"
	AnorectalMucosa   = "anorectal_mucosa"
	RectalExamination = "rectal_exam"
	Episiotomy        = "episiotomy"
)

// Findings is what the attendant saw and felt. The zero value is "nothing
// examined".
type Findings struct {
	PerinealSkin, VaginalMucosa, PerinealMuscle Finding
	InternalSphincter, AnorectalMucosa          Finding
	ExternalSphincter                           External
	RectalExam                                  RectalExam
	Episiotomy                                  bool // cut at this birth
	SecondLookDone                              bool // she looked once more after Verdict.SecondLook
}

// Grade is a place on the scale. The zero value is Undetermined, so that a
// grade nobody decided never reads as "none". Only the others are ordered.
type Grade int

// The grades, lowest first.
const (
	Undetermined Grade = iota
	None
	First
	Second
	Third3a
	Third3b
	Third3c
	Fourth
)

// String returns "undetermined", "none", "1", "2", "3a", "3b", "3c" or "4".
func (g Grade) String() string {
	words := [...]string{"undetermined", "none", "1", "2", "3a", "3b", "3c", "4"}
	if g < 0 || int(g) >= len(words) {
		return "grade " + strconv.Itoa(int(g)) + " of no scale"
	}
	return words[g]
}

// Verdict is what the findings come to.
type Verdict struct {
	// Grade is the grade to write down: the highest still possible when all
	// was examined, Undetermined when something was not, unless what is known
	// already makes it Fourth.
	Grade Grade
	// Buttonhole says that the mucosa is torn behind two intact sphincters. It
	// stands beside Grade, which the other findings decide.
	Buttonhole bool
	// AtLeast and AtMost bound the grade; never Undetermined.
	AtLeast, AtMost Grade
	// TreatAs is the grade to plan by: the worst still possible, Fourth for a
	// buttonhole.
	TreatAs Grade
	// Settled says that nothing is left to find out: all examined, nothing
	// unsure, rectal examination done, no second look due.
	Settled bool
	// SecondLook asks her to look once more: findings contradict, or a
	// buttonhole was found.
	SecondLook bool
	// Ask lists the findings that are still open, the most telling first.
	// Nil when none is.
	Ask []string
	// Because lists the grounds; never empty.
	Because reason.List
	// ICD10 is the code of WHO ICD-10 (2019), ICD10US that of ICD-10-CM; both
	// empty when no tear is known. ICD10Note is empty, USOnly or LeftToCoder.
	ICD10, ICD10US, ICD10Note string
}

// Judge grades the findings. It never fails: what it cannot read counts as not
// examined.
func Judge(f Findings) Verdict {
	r := f.readings()
	done := f.RectalExam == RectalDone
	s := r.spans(done)
	v := Verdict{
		AtLeast:    class(s.least()),
		AtMost:     class(s.most()),
		TreatAs:    plan(s.most()),
		Buttonhole: s.buttonhole(),
	}
	complete := done && !r.any(absent)
	v.Grade = v.written(complete)
	v.SecondLook = !f.SecondLookDone && (v.Buttonhole || r.contradict())
	v.Settled = complete && !r.any(unsure) && !v.SecondLook
	v.Ask = ask(f.RectalExam, r)
	v.Because = because(f, r, s, v)
	v.ICD10, v.ICD10US, v.ICD10Note = v.codes()
	return v
}

// written picks the grade to write down. Doubt after looking takes the higher
// grade (RCOG GTG29 2015, executive summary, says so within the third degree;
// elsewhere convention); what was not examined leaves the grade open.
func (v Verdict) written(complete bool) Grade {
	switch {
	case complete:
		return v.AtMost
	case v.AtLeast == Fourth:
		return Fourth
	}
	return Undetermined
}
