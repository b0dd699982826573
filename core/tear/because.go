package tear

import "fourchette/core/reason"

// The keys of the reasons a verdict can carry.
const (
	NothingTorn         = "nothing_torn"                // all examined, all intact
	SkinOrVaginaTorn    = "skin_or_vagina_torn"         // 1
	MuscleTorn          = "muscle_torn"                 // 2
	EpisiotomyCounts    = "episiotomy_counts_as_second" // 2
	ExternalUnderHalf   = "external_under_half"         // 3a
	ExternalHalfOrMore  = "external_half_or_more"       // 3b; half or more, or through
	InternalTorn        = "internal_torn"               // 3c
	AnorectalMucosaTorn = "anorectal_mucosa_torn"       // 4, or not yet known whether 4 or a buttonhole
	ButtonholeBeside    = "buttonhole_beside_grade"     // mucosa torn behind two intact sphincters
	RectalExamMissing   = "rectal_exam_missing"         // On: the readings that are a lower bound only
	RectalExamDeclined  = "rectal_exam_declined"        // On: likewise
	NotExaminedYet      = "not_examined"                // On: which
	UnsureTakesHigher   = "unsure_takes_higher"         // On: which
	ContradictionHigher = "contradiction_higher_stands" // On: the findings that contradict
	FixedAtFourth       = "fixed_at_fourth"             // 4 whatever the rest would show
)

// because lists the grounds: the tears that set the lower bound, worst first;
// then what stands beside the grade; then what keeps it open.
func because(f Findings, r readings, s spans, v Verdict) (l reason.List) {
	tears(&l, f, r, s, v)
	if r.contradict() {
		l.Add(ContradictionHigher, sphinctersAnd(r)...)
	}
	if v.Buttonhole {
		l.Add(ButtonholeBeside, AnorectalMucosa)
	}
	unknowns(&l, f, r, s)
	if v.Grade == Fourth && (f.RectalExam != RectalDone || r.any(absent)) {
		l.Add(FixedAtFourth)
	}
	return l
}

// tears says which known tears set the lower bound. Torn mucosa is said even
// where the sphincters are still open: it is what TreatAs rests on.
func tears(l *reason.List, f Findings, r readings, s spans, v Verdict) {
	if r[mucosa].is(torn) && !v.Buttonhole {
		l.Add(AnorectalMucosaTorn, tornOf(r, mucosa, external, internal)...)
	}
	switch v.AtLeast {
	case Third3c:
		l.Add(InternalTorn, tornOf(r, internal, external)...)
	case Third3b:
		l.Add(ExternalHalfOrMore, ExternalSphincter)
	case Third3a:
		l.Add(ExternalUnderHalf, ExternalSphincter)
	case Second:
		if f.Episiotomy {
			l.Add(EpisiotomyCounts, Episiotomy)
		} else {
			l.Add(MuscleTorn, PerinealMuscle)
		}
	case First:
		l.Add(SkinOrVaginaTorn, tornOf(r, skin, vagina)...)
	case None:
		if s.most() == (world{}) {
			l.Add(NothingTorn, names[:]...)
		}
	}
}

// unknowns says what keeps the grade open.
func unknowns(l *reason.List, f Findings, r readings, s spans) {
	switch f.RectalExam {
	case RectalDone:
	case RectalDeclined:
		l.Add(RectalExamDeclined, lowerBounds(r, s)...)
	default:
		l.Add(RectalExamMissing, lowerBounds(r, s)...)
	}
	if on := r.named(absent); on != nil {
		l.Add(NotExaminedYet, on...)
	}
	if on := r.named(unsure); on != nil {
		l.Add(UnsureTakesHigher, on...)
	}
}

// tornOf names those of the parts that are known torn.
func tornOf(r readings, of ...part) (on []string) {
	for _, p := range of {
		if r[p].isTorn() {
			on = append(on, names[p])
		}
	}
	return on
}

// sphinctersAnd names the readings of a contradiction.
func sphinctersAnd(r readings) []string {
	return append([]string{ExternalSphincter, InternalSphincter}, tornOf(r, mucosa)...)
}

// lowerBounds names what was entered and does not hold without the rectal
// examination.
func lowerBounds(r readings, s spans) (on []string) {
	for p := range parts {
		if r[p].state == known && s[p].open() {
			on = append(on, names[p])
		}
	}
	return on
}
