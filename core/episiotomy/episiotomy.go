// Package episiotomy says what becomes of the angle of an episiotomy, and when
// one is indicated at all. Start with Indications, then AtCrowning and Sutured.
//
// An angle belongs to a moment. At crowning the perineum is stretched 170 %
// across and 40 % lengthwise (Kapoor 2015 IUJ, a review), so a cut closes up
// towards the midline once the head is out: 60 degrees become 45. The safe zone
// and its limits are of sutured scars, never of the cut; reading one for the
// other is the mistake this package is here to prevent. All angles are whole
// degrees from the midline.
//
// Published for a cut: 40 degrees became 22.5 (Kalis 2008 IJGO 103:5-8, n = 50)
// and 60 became 45 (Kalis 2011 IJGO 112:220-4, n = 60); the review gives 22 for
// 40 and 43 to 50 for 60. Between the two a straight line is drawn; beyond them
// nothing is published, and nothing is answered. Where the papers differ the
// narrower angle decides the verdict: a narrow scar is the one that reaches the
// sphincter.
//
// Routine episiotomy is not recommended (WHO 2018). The clinic's protocol
// stands above all of this.
package episiotomy

import "strconv"

// Verdict places a sutured angle.
type Verdict string

// The verdicts: the safe zone of a sutured scar is 40 to 60 degrees (Kapoor
// 2015 IUJ; there below 30 or above 60 raises the risk to the sphincter, and
// 30 to 39 is neither safe nor named as harmful: here too narrow).
const (
	TooNarrow Verdict = "too_narrow"
	Within    Verdict = "within"
	TooWide   Verdict = "too_wide"
)

// The bounds of a cut that papers cover, and of the safe sutured zone, in
// degrees.
const (
	LeastCut, MostCut   = 40, 60 // Kalis 2008, Kalis 2011
	LeastSafe, MostSafe = 40, 60 // Kapoor 2015 IUJ
)

// Angle is what a cut becomes.
type Angle struct {
	// After is the sutured angle in degrees, rounded down: on the line through
	// 22.5 and 45 (Kalis 2008, 2011).
	After int
	// Least and Most bound it, rounded down: on the lines through 22 and 43,
	// and 22.5 and 50 (Kapoor 2015 IUJ; Kalis 2008).
	Least, Most int
	// Verdict is of Least, the safer reading.
	Verdict Verdict
}

// AtCrowning returns what a cut of so many degrees at crowning becomes. The
// error is an *Error: below 40 or above 60 degrees nothing is published.
func AtCrowning(degrees int) (Angle, error) {
	if degrees < LeastCut || degrees > MostCut {
		return Angle{}, &Error{AngleOutOfRange, "at_crowning_deg", "read " + strconv.Itoa(degrees) +
			"; papers cover cuts of 40 to 60 degrees at crowning, and nothing is guessed beyond them"}
	}
	a := Angle{
		After: between(degrees, 225, 450), // 22.5: Kalis 2008; 45: Kalis 2011
		Least: between(degrees, 220, 430), // 22 and 43: Kapoor 2015
		Most:  between(degrees, 225, 500), // 22.5: Kalis 2008; 50: Kapoor 2015
	}
	a.Verdict = place(a.Least)
	return a, nil
}

// between reads the straight line from the value at 40 degrees to that at 60,
// both in tenths of a degree, and rounds down to whole degrees.
func between(degrees, at40, at60 int) int {
	tenths20 := at40*(MostCut-LeastCut) + (degrees-LeastCut)*(at60-at40)
	return tenths20 / (10 * (MostCut - LeastCut))
}

// Sutured places an angle measured after suturing, 0 to 90 degrees from the
// midline. The error is an *Error.
func Sutured(degrees int) (Verdict, error) {
	if degrees < 0 || degrees > 90 {
		return "", &Error{AngleOutOfRange, "after_birth_deg", "read " + strconv.Itoa(degrees) +
			"; measure from the midline, 0 to 90 degrees"}
	}
	return place(degrees), nil
}

func place(sutured int) Verdict {
	switch {
	case sutured < LeastSafe:
		return TooNarrow
	case sutured > MostSafe:
		return TooWide
	}
	return Within
}

// AngleOutOfRange is the code of an Error.
const AngleOutOfRange = "angle_out_of_range"

// Error says which angle was refused.
type Error struct {
	Code   string // AngleOutOfRange
	Field  string // the request key
	Detail string // what was read and what to do, for a log
}

func (e *Error) Error() string { return e.Field + ": " + e.Detail }

// Indication is one ground for an episiotomy.
type Indication struct{ Key, Source, Read string }

// Indications returns the grounds for an episiotomy; without one of them none
// is cut (WHO 2018: routine or liberal use not recommended).
func Indications() []Indication {
	const source, read = "WHO MCPC 1st ed., P-71", "FOUND"
	var list []Indication
	for _, key := range []string{
		"breech", "shoulder_dystocia", "forceps", "vacuum", // a complicated vaginal birth
		"genital_cutting_scar", "badly_healed_tear", // scarring; of a third or fourth degree tear
		"fetal_distress",
	} {
		list = append(list, Indication{key, source, read})
	}
	return list
}
