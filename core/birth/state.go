package birth

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"fourchette/core/arrange"
	"fourchette/core/tear"
)

// State is what a set of records comes to. It depends on the set alone: the
// order in which they arrive, and how often, change nothing.
type State struct {
	// Births are in the order in which they were opened.
	Births []Birth
	// Deleted are the ids of the births that were deleted, sorted. Nothing of them
	// is in Births, whatever arrives and whenever.
	Deleted []string
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
	// Twice counts the records whose id another one of this birth has, with other
	// bytes: two phones wrote as one, or somebody altered a record. All of them
	// count. Whoever keeps the records marks the birth as Damaged until somebody
	// has looked through it.
	Twice int
	// Doubted: it was written down that an id is there twice, and nobody has
	// looked through the record since. WasDoubted: at any time.
	Doubted, WasDoubted bool

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

// Complete reports whether this is all that was written, and of one woman: no
// record is beyond this version, none may be lost, and none is doubted.
func (b Birth) Complete() bool { return b.Unknown == 0 && !b.Damaged && !b.Doubted }

// priorListed: "something was given" with no such dose is not "nothing".
func (b Birth) priorListed() bool {
	return slices.ContainsFunc(b.Doses, func(g Given) bool { return g.Prior && !g.Void })
}

// Replay works the state out from records in any order. The same record may
// come more than once. Two different events with one id, as a phone restored
// from an old copy makes them, are both kept and both count, see [Birth.Twice].
func Replay(records []Record) State {
	var s State
	s.Add(records...)
	return s
}

// Add enters records, which leaves the state as Replay with all of them would.
// The other births and earlier copies of the state are not touched.
func (s *State) Add(records ...Record) {
	sorted := slices.DeleteFunc(slices.Clone(records), func(r Record) bool { return r.Event.Kind == KindMoved })
	arrange.By(sorted, func(a, b Record) int {
		return cmp.Or(cmp.Compare(a.Event.Birth, b.Event.Birth), order(a, b))
	})
	before := s.Births
	s.Births = slices.Clone(before)
	var gone []string
	for len(sorted) > 0 {
		id := sorted[0].Event.Birth
		n := slices.IndexFunc(sorted, func(r Record) bool { return r.Event.Birth != id })
		if n < 0 {
			n = len(sorted)
		}
		at := slices.IndexFunc(before, func(b Birth) bool { return b.ID == id })
		switch deleted := slices.ContainsFunc(sorted[:n], Record.Deletes); {
		case deleted && at >= 0:
			s.Births[at].Log = nil
			gone = append(gone, id)
		case deleted:
			gone = append(gone, id)
		case !s.IsDeleted(id):
			s.enter(at, sorted[:n])
		}
		sorted = sorted[n:]
	}
	s.bury(gone)
	arrange.By(s.Births, func(a, b Birth) int { return ByOpening(&a, &b) })
}

// enter enters the records of one birth, which is the one at this place or, at
// -1, not there yet.
func (s *State) enter(at int, records []Record) {
	if at < 0 {
		s.Births = append(s.Births, fold(slices.CompactFunc(slices.Clone(records), same)))
		return
	}
	log := append(slices.Clip(s.Births[at].Log), records...)
	arrange.By(log, order)
	if log = slices.CompactFunc(log, same); len(log) > len(s.Births[at].Log) {
		s.Births[at] = fold(log)
	}
}

// bury takes the births out that have lost their log, and keeps their ids.
func (s *State) bury(ids []string) {
	if len(ids) == 0 {
		return
	}
	s.Deleted = append(slices.Clip(s.Deleted), ids...)
	arrange.By(s.Deleted, strings.Compare)
	s.Deleted = slices.Compact(s.Deleted)
	s.Births = slices.DeleteFunc(s.Births, func(b Birth) bool { return b.Log == nil })
	if len(s.Births) == 0 {
		s.Births = nil
	}
}

// IsDeleted says whether the birth with this id was deleted.
func (s State) IsDeleted(id string) bool {
	_, found := slices.BinarySearch(s.Deleted, id)
	return found
}

// Superfluous says whether a journal may drop a record for good when it is
// compacted: of a deleted birth nothing must stay but the deletion. The last
// event of the journal's own writer stays too, for a count is never given twice.
func (s State) Superfluous(r Record, w Writer) bool {
	return s.IsDeleted(r.Event.Birth) && !r.Deletes() && r.Event.Kind != KindMoved &&
		(r.Event.Device != w.Device || r.Event.Seq != w.Seq)
}

// Deletes reports a deletion that is understood.
func (r Record) Deletes() bool { return r.Event.Kind == KindDeleted && r.Event.checkBody() == nil }

// Find returns the birth with this id.
func (s State) Find(id string) (Birth, bool) {
	for _, b := range s.Births {
		if b.ID == id {
			return b, true
		}
	}
	return Birth{}, false
}

// Clashing are the ids of the births with a record whose id another record has,
// of this birth or another one, sorted. It takes time and memory in proportion
// to all records.
func (s State) Clashing() (births []string) {
	var all []string // ids, each with its birth behind it
	for i := range s.Births {
		for j := range s.Births[i].Log {
			e := &s.Births[i].Log[j].Event
			all = append(all, e.ID()+" "+e.Birth)
		}
	}
	arrange.By(all, strings.Compare)
	for i := range all {
		id, birth, _ := strings.Cut(all[i], " ")
		if i > 0 && strings.HasPrefix(all[i-1], id+" ") {
			births = append(births, all[i-1][len(id)+1:], birth)
		}
	}
	arrange.By(births, strings.Compare)
	return slices.Compact(births)
}

// NextBirth is the id for the next birth opened on a device: that of a deleted
// birth is never given again.
func (s State) NextBirth(device string) string {
	most := uint64(0)
	count := func(id string) {
		if d, n, ok := splitBirth(id); ok && d == device {
			most = max(most, n)
		}
	}
	for _, b := range s.Births {
		count(b.ID)
	}
	for _, id := range s.Deleted {
		count(id)
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

// ByOpening compares two births by the order in which a State has them.
func ByOpening(a, b *Birth) int {
	return cmp.Or(order(a.Opening(), b.Opening()), cmp.Compare(a.ID, b.ID))
}

// Opening is the record that opened the birth, or its first one while the
// opening has not arrived. Births are in the order of these.
func (b *Birth) Opening() Record {
	for _, r := range b.Log {
		if r.Event.Kind == KindOpened {
			return r
		}
	}
	return b.Log[0]
}
