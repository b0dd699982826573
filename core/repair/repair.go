// Package repair plans the closing of a perineal tear: who may do it here, and
// layer by layer from deep to shallow with what, where to begin, where to end
// and what must not be done. Start with Case and For.
//
// One way is planned for each layer. Where published ways differ, the one here
// was read in a source; the others stand on the trainer's page. A distance or a
// count that no source prints is not there.
//
// Third and fourth degree and a buttonhole are for trained operators, usually
// in an operating theatre under regional or general anaesthesia (ACSQHC
// Clinical Care Standard 2021, QS5). Without one here the plan is for preparing,
// assisting and referring. It stays readable, so that what she prepares is what
// will be needed.
package repair

import (
	"time"

	"fourchette/core/reason"
	"fourchette/core/tear"
)

// The values of Plan.Allowed.
const (
	Here         = "here"           // by whom: Plan.By
	TrainedOnly  = "trained_only"   // prepare, assist, refer
	LeaveOrClose = "leave_or_close" // leave it if it does not bleed and its edges meet; else close it
	LeaveOpen    = "leave_open"     // too old to close: leave it open, or refer
	Nothing      = "nothing"        // nothing to stitch
)

// The values of Plan.By.
const (
	Attendant       = "attendant"        // midwife or doctor
	TrainedOperator = "trained_operator" // trained in sphincter repair
)

// The keys of the reasons a plan can carry.
const (
	NothingTorn         = "nothing_torn"
	FirstMayBeLeft      = "first_may_be_left"
	SecondIsClosedHere  = "second_is_closed_here"
	EpisiotomyAsSecond  = "episiotomy_counts_as_second"
	SphincterNeedsSkill = "sphincter_needs_trained_operator"
	ButtonholeNeeds     = "buttonhole_needs_trained_operator"
	GradeNotKnown       = "grade_undetermined_planned_as_fourth"
	OperatorIsHere      = "trained_operator_here"
	NoOperatorHere      = "no_trained_operator_here"
	TwoLayersWhenDeep   = "deep_muscle_in_two_layers"
	OlderThan12Hours    = "older_than_12_hours"
	HourNotKnown        = "hour_not_known_as_older"
	NeglectedLeftOpen   = "neglected_left_open"
	NeglectedInStages   = "neglected_in_stages"
)

// Case is what is to be closed.
type Case struct {
	// Grade is the grade by which to plan; Undetermined is planned for as a
	// fourth degree.
	Grade tear.Grade
	// Buttonhole says that the anorectal mucosa is torn behind whole sphincters.
	Buttonhole bool
	// Episiotomy says that a cut was made: it is closed as a second degree.
	Episiotomy bool
	// TrainedHere says that an operator trained in sphincter repair is here
	// now. Nobody asked is not here.
	TrainedHere bool
	// DeepMuscle asks for a second row in the perineal muscle.
	DeepMuscle bool
	// Torn lists the layers that somebody saw torn or cut: of those nobody says
	// that they may be whole.
	Torn []string
	// Since is how long ago the birth was; nil and not SinceUnknown: the age of
	// the tear is no part of the question.
	Since        *time.Duration
	SinceUnknown bool
}

// Plan is how it is closed.
type Plan struct {
	// Allowed is Here, TrainedOnly, LeaveOrClose, LeaveOpen or Nothing.
	Allowed string
	// By is Attendant or TrainedOperator; empty where there is nothing to do.
	By string
	// Layers go from deep to shallow, in the order of stitching.
	Layers []Layer
	// Because lists the grounds; never empty.
	Because reason.List
}

// For plans the closing. It never fails: doubt is planned for as the worst.
func For(c Case) Plan {
	var p Plan
	g := c.grade(&p.Because)
	p.Layers = c.layers(g)
	switch {
	case c.Buttonhole || g >= tear.Third3a:
		p.needsSkill(c, g)
	case g == tear.Second:
		p.Allowed, p.By = Here, Attendant // most birth settings: NHS trust leaflet (2nd)
		p.Because.Add(SecondIsClosedHere)
	case g == tear.First:
		p.Allowed, p.By = LeaveOrClose, Attendant // WHO MCPC 1st ed., P-83: most close without sutures
		p.Because.Add(FirstMayBeLeft)
	default:
		p.Allowed = Nothing
		p.Because.Add(NothingTorn)
	}
	if c.DeepMuscle && g >= tear.Second {
		p.Because.Add(TwoLayersWhenDeep)
	}
	c.age(&p)
	return p
}

// grade is the grade to plan by, with the reasons for which it is not the one
// that was given.
func (c Case) grade(why *reason.List) tear.Grade {
	switch {
	case c.Grade == tear.Undetermined:
		why.Add(GradeNotKnown)
		return tear.Fourth
	case c.Episiotomy && c.Grade < tear.Second: // an episiotomy cuts what a second degree tears
		why.Add(EpisiotomyAsSecond, tear.Episiotomy)
		return tear.Second
	}
	return c.Grade
}

// needsSkill: only trained or experienced doctors (ACSQHC Clinical Care
// Standard 2021, QS5); a buttonhole likewise, because an unrepaired one may
// become a fistula (Thirumagal & Bakour, J Reprod Med 2007;52:659-60).
func (p *Plan) needsSkill(c Case, g tear.Grade) {
	p.Allowed, p.By = TrainedOnly, TrainedOperator
	if c.Buttonhole {
		p.Because.Add(ButtonholeNeeds, tear.AnorectalMucosa)
	}
	if g >= tear.Third3a {
		p.Because.Add(SphincterNeedsSkill)
	}
	if !c.TrainedHere {
		p.Because.Add(NoOperatorHere)
		return
	}
	p.Allowed = Here
	p.Because.Add(OperatorIsHere)
}
