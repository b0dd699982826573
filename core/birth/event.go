// Package birth keeps the record of one birth as a list of events. Start with
// [Writer], which stamps an [Event]; [Event.Record], which checks it and fixes
// its bytes; [Decode], which reads them back; and [Replay], which turns any
// number of records into a [State].
//
// # What is written
//
// An event is one msgpack map. Its envelope has one-letter keys, because a
// clinic writes millions of them; its body is a second map under the name of
// its kind:
//
//	v  schema in which the kind came, 1 or more
//	d  device that wrote it, 8 characters of lower-case base32
//	n  the device's own count of its events, 1 or more; d and n make the id
//	l  Lamport time: greater than that of every event the device had seen
//	w  wall clock, milliseconds since 1970
//	u  running clock, milliseconds
//	r  run of the program, so that running clocks can be compared
//	b  birth, "device-n"
//	k  kind
//
// # What stays true for ever
//
//   - An event is never changed and never encoded again: [Record.Raw] is what
//     is stored, passed on and compared. What a newer version put in stays in.
//   - A mistake is put right by a new event.
//   - Order is Lamport time, then device, then count. No clock decides.
//   - A field keeps its meaning. A new field or kind raises [Schema]; a new
//     meaning is a new kind. So in an event of this schema an unknown field is
//     a fault and is refused (a misspelt dose must not vanish), and in an event
//     of a newer schema it is kept and counted as not understood.
//   - A kind is always written in the schema in which it came: those of the
//     first in 1, answers, counts, layers and visits in 2, what stands below them
//     in the list of kinds in 3 and 4. So a program of schema 1 reads every finding and dose that a newer one writes beside it,
//     and counts as not understood only what it cannot know. Were all written
//     in 2, nothing would be gained; were the new ones written in 1, it would
//     call them damaged.
//   - What nobody said stays unsaid: nothing here is filled in.
//   - A deletion is an event too, and final: of a birth with one nothing counts
//     but the deletion, whatever else arrives, before it or after. A program of
//     an older schema does not understand it: it keeps showing what it holds of
//     that birth and settles nothing in it.
package birth

//go:generate go tool msgp -file event.go -o event_gen.go -io=false -tests=false
//msgp:limit arrays:64 maps:64

// Schema is the newest version of the events that this program writes.
const Schema = 4

// MaxBytes is the largest event, in bytes. It leaves room for a seal in a
// journal's frame of 64 KiB and is checked before anything is decoded.
const MaxBytes = 60 << 10

// The kinds of events. Kinds without a body say it all by their name.
const (
	KindOpened        = "opened"
	KindFinding       = "finding"
	KindRectal        = "rectal"
	KindEpisiotomy    = "episiotomy"
	KindSecondLook    = "second_look" // no body: the second look was taken
	KindWeight        = "weight"
	KindPrior         = "prior"
	KindDose          = "dose"
	KindDoseCorrected = "dose_corrected"
	KindGradeNoted    = "grade_noted"
	KindLimitNoted    = "limit_noted"
	KindClosed        = "closed"   // no body
	KindReopened      = "reopened" // no body

	KindAnswer = "answer" // since schema 2, as all below
	KindCount  = "count"
	KindLayer  = "layer"
	KindVisit  = "visit"

	KindDespite = "despite" // since schema 3
	// KindLookedThrough, since schema 3, no body: lines of the journal may have
	// been lost; somebody looked through this record and added what was missing.
	KindLookedThrough = "looked_through"

	// KindDoubted, since schema 4, no body: of this birth there is an event whose
	// id another event has, of whichever birth. Two phones wrote as one, and what
	// stands here may be of two women: see [Birth.Doubted].
	KindDoubted = "doubted"
	// KindDeleted, since schema 4: nothing of the birth counts any more.
	KindDeleted = "deleted"
	// KindMoved, since schema 4, no body: from here on the phone whose journal
	// this is writes under the device id of this event. It says nothing of the
	// birth it names, is part of no state, and never leaves its journal.
	KindMoved = "moved"
)

// schemaOf is the schema in which a kind came; 0 for a kind that is not known.
func schemaOf(kind string) uint8 {
	switch kind {
	case KindOpened, KindFinding, KindRectal, KindEpisiotomy, KindSecondLook, KindWeight, KindPrior,
		KindDose, KindDoseCorrected, KindGradeNoted, KindLimitNoted, KindClosed, KindReopened:
		return 1
	case KindAnswer, KindCount, KindLayer, KindVisit:
		return 2
	case KindDespite, KindLookedThrough:
		return 3
	case KindDoubted, KindDeleted, KindMoved:
		return 4
	}
	return 0
}

// What was told about anaesthetic given before this record was opened.
const (
	PriorNothing     = "nothing"      // somebody who knows said: nothing
	PriorListed      = "listed"       // it is listed as doses marked prior
	PriorNobodyKnows = "nobody_knows" // asked, and nobody could say
)

// Event is one thing that happened or was said at one birth. Exactly the body
// that its kind names is set.
type Event struct {
	Schema  uint8  `msg:"v"`
	Device  string `msg:"d"`
	Seq     uint64 `msg:"n"`
	Lamport uint64 `msg:"l"`
	// Wall is the wall clock, in milliseconds since 1970; it may be wrong.
	Wall int64 `msg:"w"`
	// Running is the running clock, in milliseconds; comparable within one Run.
	Running int64  `msg:"u"`
	Run     string `msg:"r"`
	Birth   string `msg:"b"`
	Kind    string `msg:"k"`

	Opened        *Opened        `msg:"opened,omitempty"`
	Finding       *Finding       `msg:"finding,omitempty"`
	Rectal        *Rectal        `msg:"rectal,omitempty"`
	Episiotomy    *Episiotomy    `msg:"episiotomy,omitempty"`
	Weight        *Weight        `msg:"weight,omitempty"`
	Prior         *Prior         `msg:"prior,omitempty"`
	Dose          *Dose          `msg:"dose,omitempty"`
	DoseCorrected *DoseCorrected `msg:"dose_corrected,omitempty"`
	GradeNoted    *GradeNoted    `msg:"grade_noted,omitempty"`
	LimitNoted    *LimitNoted    `msg:"limit_noted,omitempty"`
	Answer        *Answer        `msg:"answer,omitempty"`
	Count         *Count         `msg:"count,omitempty"`
	Layer         *Layer         `msg:"layer,omitempty"`
	Visit         *Visit         `msg:"visit,omitempty"`
	Despite       *Despite       `msg:"despite,omitempty"`
	Deleted       *Deleted       `msg:"deleted,omitempty"`
}

// Opened begins a birth's record. A second one puts bed or hour right; the
// record keeps the place in the list that the first one gave it.
type Opened struct {
	// Bed is as the clinic calls it, up to 64 bytes; no name of a person.
	Bed string `msg:"bed"`
	// BornAt is the hour of birth, milliseconds since 1970; 0 unless BornKnown.
	BornAt    int64 `msg:"born_at"`
	BornKnown bool  `msg:"born_known"`
}

// Finding is what the examination of one structure showed. Name and Value are
// the words of the tear package; an empty Value takes an answer back: the
// structure counts as not examined.
type Finding struct {
	Name  string `msg:"name"`
	Value string `msg:"value"`
}

// Rectal says whether the rectal examination was "done" or "declined"; an
// empty Value takes the answer back.
type Rectal struct {
	Value string `msg:"value"`
}

// Episiotomy says whether one was cut.
type Episiotomy struct {
	Cut bool `msg:"cut"`
}

// Weight is the mother's weight in grams and height in centimetres. NotWeighed
// means: asked, and no scale or no chance to use it; Grams is then 0. HeightCm
// 0 means not measured.
type Weight struct {
	Grams      int64 `msg:"grams"`
	NotWeighed bool  `msg:"not_weighed"`
	HeightCm   int   `msg:"height_cm"`
}

// Prior is what was told about doses given before: one of the Prior words.
type Prior struct {
	Told string `msg:"told"`
}

// Dose is local anaesthetic that was given. Micrograms is never 0: an unknown
// amount is no amount. Microlitres and Strength (micrograms per millilitre)
// are 0 when only the milligrams were told.
type Dose struct {
	Agent       string `msg:"agent"`
	Adrenaline  bool   `msg:"adrenaline"`
	Micrograms  int64  `msg:"micrograms"`
	Microlitres int64  `msg:"microlitres"`
	Strength    int64  `msg:"strength"`
	// Site is where it went, up to 200 bytes.
	Site string `msg:"site"`
	// Prior marks a dose given before this record was opened.
	Prior bool `msg:"prior"`
}

// DoseCorrected puts the dose of event Of right: it was not given at all
// (Void, and Dose is left out), or it was as Dose says.
type DoseCorrected struct {
	Of   string `msg:"of"`
	Void bool   `msg:"void"`
	Dose *Dose  `msg:"dose,omitempty"`
}

// GradeNoted keeps a verdict as it was shown, in the words of the tear
// package. It is history: nothing is decided from it.
type GradeNoted struct {
	Grade      string   `msg:"grade"`
	AtLeast    string   `msg:"at_least"`
	AtMost     string   `msg:"at_most"`
	TreatAs    string   `msg:"treat_as"`
	Settled    bool     `msg:"settled"`
	Buttonhole bool     `msg:"buttonhole"`
	Because    []string `msg:"because"`
}

// LimitNoted keeps a ceiling as it was shown: micrograms, microlitres, and the
// strength in micrograms per millilitre. It is history, as GradeNoted is.
type LimitNoted struct {
	Agent         string `msg:"agent"`
	Adrenaline    bool   `msg:"adrenaline"`
	Strength      int64  `msg:"strength"`
	Micrograms    int64  `msg:"micrograms"`
	Microlitres   int64  `msg:"microlitres"`
	BoundBy       string `msg:"bound_by"`
	Source        string `msg:"source"`
	WeightAssumed bool   `msg:"weight_assumed"`
}

// What an answer may be.
const (
	AnswerChoice    = "choice" // Value, a word
	AnswerNumber    = "number" // Number; 0 is a number
	AnswerTime      = "time"   // At
	AnswerText      = "text"   // Text
	AnswerTakenBack = "taken_back"
)

// Answer is what was said to one question on the way of a birth. Which
// questions and words there are is the course package's to say. Kind is one of
// the Answer words, and only what it names is set.
type Answer struct {
	Question string `msg:"question"`
	Kind     string `msg:"kind"`
	Value    string `msg:"value,omitempty"`
	Number   int64  `msg:"number,omitempty"`
	// At is a wall clock time, milliseconds since 1970, never 0.
	At int64 `msg:"at,omitempty"`
	// Text is short, up to 240 bytes, which hold 60 letters of every script; no
	// name of a person.
	Text string `msg:"text,omitempty"`
}

// The phases of a count.
const (
	CountIn    = "in"    // laid out; for the items it names it replaces what was counted in before
	CountAdded = "added" // opened since
	CountOut   = "out"   // found again at the end
)

// Count is how many of which things were counted, once for each item.
type Count struct {
	Phase string      `msg:"phase"`
	Items []CountItem `msg:"items"`
}

// CountItem is one thing and how many of it; 0 was counted too.
type CountItem struct {
	Item string `msg:"item"`
	N    int    `msg:"n"`
}

// Layer says that a layer was closed; not Done takes that back.
type Layer struct {
	Layer string `msg:"layer"`
	Done  bool   `msg:"done"`
}

// Visit is a day on which the mother comes back, "2026-03-21"; Confirmed says
// that it was worked out from a date which somebody had looked at.
type Visit struct {
	Key       string `msg:"key"`
	Date      string `msg:"date"`
	Confirmed bool   `msg:"confirmed"`
}

// What is done although something is open.
const (
	DeedLayer    = "layer" // Of names it
	DeedFinished = "repair_finished"
	DeedClosed   = "closed" // the record
)

// Despite says that the device's next event was written although what Open
// names was open, and that whoever wrote it had read that. What was done is
// never refused; that it was done so is never hidden.
type Despite struct {
	Deed string   `msg:"deed"`
	Of   string   `msg:"of,omitempty"`
	Open []string `msg:"open"` // keys of the course package
}

// Deleted says why a birth was deleted: a word, by the clinic's rule, and
// nothing of what the record held.
type Deleted struct {
	Reason string `msg:"reason"`
}
