// Package keep knows for how long a clinic keeps its records, and which of them
// must be kept whatever their age. Start with [Due].
//
// It names; it deletes nothing. Somebody looks at the list and says so first.
package keep

import "time"

// Rule is what a clinic has decided.
type Rule struct {
	// Months is how many calendar months a record is kept after the last thing
	// was written in it; 0, or less, keeps all for ever.
	Months int
}

// Birth is what counts of one record.
type Birth struct {
	ID string
	// Last is when the last thing was written in it, the latest of all its
	// clocks; zero where nobody knows, and then it is never old enough.
	Last time.Time
	// Open, Inside, Count and Visit hold it back: the record is open; something
	// is or may be inside her; something was not counted out; she is to come back
	// and nobody said whether she did. Doubt: not all of it can be read.
	Open, Inside, Count, Visit, Doubt bool
}

// What holds a record back.
const (
	RecordOpen = "record_open"
	LeftInside = "left_inside"
	CountOpen  = "count_open"
	VisitOpen  = "visit_open"
	InDoubt    = "record_doubtful"
)

// Holds are the reasons for which it must not be deleted, what could hurt her
// most first; nil: none.
func (b *Birth) Holds() (why []string) {
	for _, h := range []struct {
		key string
		is  bool
	}{{LeftInside, b.Inside}, {CountOpen, b.Count}, {InDoubt, b.Doubt}, {RecordOpen, b.Open}, {VisitOpen, b.Visit}} {
		if h.is {
			why = append(why, h.key)
		}
	}
	return why
}

// Past says whether a record last written in then has been kept for long
// enough now. A clock that is behind says no.
func (r Rule) Past(last, now time.Time) bool {
	return r.Months > 0 && !last.IsZero() && !now.Before(last.AddDate(0, r.Months, 0))
}

// Due names the births that the rule lets go at this time, and those that are
// old enough and held back, both in the order handed in.
func Due(r Rule, now time.Time, births []*Birth) (due, held []*Birth) {
	for _, b := range births {
		switch {
		case !r.Past(b.Last, now):
		case b.Holds() == nil:
			due = append(due, b)
		default:
			held = append(held, b)
		}
	}
	return due, held
}
