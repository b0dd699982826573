package birth

import (
	"bytes"
	"cmp"
	"slices"

	"fourchette/core/tear"
)

// State is what a set of records comes to. It depends on the set alone: the
// order in which they arrive, and how often, change nothing.
type State struct {
	// Births are in the order in which they were opened.
	Births []Birth
}

// Birth is one birth as far as its records tell. A zero value or nil means
// that nobody said, never "intact", "nothing" or nought.
type Birth struct {
	ID     string // "device-n"
	Number string // what people say, "K7Q-12"
	Bed    string
	// OpenedAt is the wall clock at the opening, milliseconds since 1970; 0
	// while the opening itself has not arrived from another device.
	OpenedAt int64
	// BornAt is the hour of birth, milliseconds since 1970, if BornKnown.
	BornAt    int64
	BornKnown bool

	// Findings, the rectal examination and the second look among them.
	Findings tear.Findings
	// EpisiotomySaid is false while nobody said whether one was cut.
	EpisiotomySaid bool
	Weight         *Weight
	// Prior is one of the Prior words, or empty. See [Birth.GivenKnown].
	Prior string
	// Doses are in the order in which they were recorded.
	Doses []Given

	GradeNoted *GradeNoted // the last shown
	LimitNoted *LimitNoted // the last shown
	Closed     bool

	// Answers are the last ones to each question, sorted by question; taken
	// back means absent. Layers and Visits likewise; Counts are all there are.
	Answers []Answered
	Counts  []Counted
	Layers  []Layered
	Visits  []Visited
	// Despites are in the order of the log. LeftOpen is what was known to be open
	// when the record was closed; nil while it is open.
	Despites []Despited
	LeftOpen []string

	// Log is every record of this birth, in order.
	Log []Record
	// Unknown counts the records of newer versions that are not understood in
	// full. While it is not 0 the rest is a lower bound: say that a newer
	// version is needed, settle nothing and show no remainder.
	Unknown int
	// Damaged: lines of this birth may be lost, says whoever keeps the records
	// (core/companion); nothing in a set of records can tell. While it holds the
	// rest is a lower bound, as with Unknown.
	Damaged bool

	opened bool  // an opening was seen
	before Event // the last Despite
}

// Given is a dose as it stands after its corrections.
type Given struct {
	ID string // of the event that recorded it
	// At is the wall clock when it was recorded, milliseconds since 1970; 0
	// while only its correction has arrived.
	At int64
	Dose
	// Void: it was recorded by mistake and counts for nothing. The last known
	// amounts stay, to be shown struck through.
	Void bool
	// Corrections are the ids of the events that changed it, in order.
	Corrections []string
}

// GivenKnown reports whether all that was given is known: somebody said what
// was given before, what they said they would list is there, and no record is
// beyond this version or may be lost. Where it is false no remainder may be shown.
func (b Birth) GivenKnown() bool {
	return (b.Prior == PriorNothing || b.Prior == PriorListed && b.priorListed()) && b.Complete()
}

// Complete reports whether this is all that was written: no record is beyond
// this version, and none may be lost.
func (b Birth) Complete() bool { return b.Unknown == 0 && !b.Damaged }

// priorListed: "something was given" with no such dose is not "nothing".
func (b Birth) priorListed() bool {
	return slices.ContainsFunc(b.Doses, func(g Given) bool { return g.Prior && !g.Void })
}

// Replay works the state out from records in any order. The same record may
// come more than once. Two different events with one id, as a phone restored
// from an old copy makes them, are both kept and both count.
func Replay(records []Record) State {
	sorted := slices.Clone(records)
	slices.SortFunc(sorted, func(a, b Record) int {
		return cmp.Or(cmp.Compare(a.Event.Birth, b.Event.Birth), order(a, b))
	})
	var s State
	for len(sorted) > 0 {
		n := slices.IndexFunc(sorted, func(r Record) bool { return r.Event.Birth != sorted[0].Event.Birth })
		if n < 0 {
			n = len(sorted)
		}
		s.Births = append(s.Births, fold(slices.CompactFunc(slices.Clone(sorted[:n]), same)))
		sorted = sorted[n:]
	}
	slices.SortFunc(s.Births, byOpening)
	return s
}

// Add enters one record, which leaves the state as Replay with it would. The
// other births and earlier copies of this one are not touched.
func (s *State) Add(r Record) {
	at := slices.IndexFunc(s.Births, func(b Birth) bool { return b.ID == r.Event.Birth })
	if at < 0 {
		s.Births = append(slices.Clip(s.Births), fold([]Record{r}))
	} else {
		log := s.Births[at].Log
		place, found := slices.BinarySearchFunc(log, r, order)
		if found {
			return
		}
		s.Births = slices.Clone(s.Births)
		s.Births[at] = fold(slices.Insert(slices.Clone(log), place, r))
	}
	slices.SortFunc(s.Births, byOpening)
}

// Find returns the birth with this id.
func (s State) Find(id string) (Birth, bool) {
	for _, b := range s.Births {
		if b.ID == id {
			return b, true
		}
	}
	return Birth{}, false
}

// NextBirth is the id for the next birth opened on a device.
func (s State) NextBirth(device string) string {
	most := uint64(0)
	for _, b := range s.Births {
		if d, n, ok := splitBirth(b.ID); ok && d == device {
			most = max(most, n)
		}
	}
	return BirthID(device, most+1)
}

// order is the one order of records. Clocks have no say in it; the bytes come
// last, so that two events with one id have an order too.
func order(a, b Record) int {
	return cmp.Or(
		cmp.Compare(a.Event.Lamport, b.Event.Lamport),
		cmp.Compare(a.Event.Device, b.Event.Device),
		cmp.Compare(a.Event.Seq, b.Event.Seq),
		bytes.Compare(a.Raw, b.Raw),
	)
}

func same(a, b Record) bool { return order(a, b) == 0 }

// byOpening compares by the record that opened each birth, or its first one
// while the opening has not arrived.
func byOpening(a, b Birth) int {
	return cmp.Or(order(a.opening(), b.opening()), cmp.Compare(a.ID, b.ID))
}

func (b Birth) opening() Record {
	for _, r := range b.Log {
		if r.Event.Kind == KindOpened {
			return r
		}
	}
	return b.Log[0]
}
