package aftercare

import (
	"slices"
	"strconv"

	"fourchette/core/amount"
	"fourchette/core/tear"
)

// The codes of an Error.
const (
	WeightOutOfRange = "weight_out_of_range"
	BirthOutOfRange  = "birth_out_of_range"
	LossOutOfRange   = "out_of_range"
	WordUnknown      = "word_unknown"
)

// Error says which part of the case cannot be.
type Error struct {
	Code   string // one of the codes above
	Field  string // the request key
	Detail string // what was read and what to do, for a log
}

func (e *Error) Error() string { return e.Field + ": " + e.Detail }

// The bounds are those of the anaesthetic's ceilings (ours, no source).
const (
	lightest = 30 * amount.Kilogram
	heaviest = 200 * amount.Kilogram
)

// Years beyond which a time of birth is a slip or a clock that was never set:
// common practice, no source.
const firstYear, lastYear = 2000, 2199

var allergyWords = []string{Penicillin, Cephalosporin, Clindamycin, Metronidazole, Paracetamol, Ibuprofen, OtherAllergy, NotKnown}

func (c Case) check() error {
	if w := c.Weight; w != 0 && (w < lightest || w > heaviest) {
		return &Error{WeightOutOfRange, "weight_kg", "read " + w.Kilograms() + " kg; enter 30 to 200 kg, or none if not weighed"}
	}
	if y := c.BirthAt.Year(); !c.BirthAt.IsZero() && (y < firstYear || y > lastYear) {
		return &Error{BirthOutOfRange, "birth_at", "read the year " + strconv.Itoa(y) + "; set the clock or enter the time again"}
	}
	for _, x := range []struct {
		key   string
		grade tear.Grade
	}{{"grade", c.Grade}, {"at_least", c.AtLeast}, {"worst", c.Worst}} {
		if x.grade < tear.Undetermined || x.grade > tear.Fourth {
			return &Error{WordUnknown, x.key, x.grade.String()}
		}
	}
	if c.Lost != nil && *c.Lost < 0 {
		return &Error{LossOutOfRange, "lost_ml", "read less than nothing; measure again"}
	}
	for i, word := range c.Allergies {
		if !slices.Contains(allergyWords, word) {
			return &Error{WordUnknown, "allergies." + strconv.Itoa(i), strconv.Quote(word) + " is not one of its words; use other for what is not in the list"}
		}
	}
	for _, x := range []struct {
		key  string
		told Told
	}{
		{"buttonhole", c.Buttonhole}, {"instrumental", c.Instrumental}, {"sutured", c.Sutured}, {"breastfeeding", c.Breastfeeding},
		{"alarm", c.Alarm}, {"heavy_bleeding", c.Bleeds}, {"high_pressure", c.HighPressure},
	} {
		if x.told != NotSaid && x.told != Yes && x.told != No {
			return &Error{WordUnknown, x.key, strconv.Quote(string(x.told)) + " is not yes or no"}
		}
	}
	return nil
}

// allergic says whether she named the allergy. What she named counts even
// where nobody said that she was asked.
func (c Case) allergic(to string) bool { return slices.Contains(c.Allergies, to) }
