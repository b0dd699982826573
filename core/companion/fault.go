package companion

import (
	"errors"

	"fourchette/core/aftercare"
	"fourchette/core/anaesthetic"
	"fourchette/core/bleeding"
	"fourchette/core/episiotomy"
	"fourchette/core/supplies"
	"fourchette/core/tear"
)

// Error says the fault in one line, for logs and tests.
func (f *Fault) Error() string {
	s := f.Code
	if f.Field != "" {
		s += " at " + f.Field
	}
	if f.Detail != "" {
		s += ": " + f.Detail
	}
	return s
}

// The boundary's own codes. The domain packages add theirs; testdata/vectors
// lists them all.
const (
	FaultTopicUnknown   = "topic_unknown"     // no such topic
	FaultTooLarge       = "request_too_large" // more than MaxRequest bytes
	FaultMalformed      = "request_malformed" // not one msgpack map and nothing after it
	FaultKeyUnknown     = "key_unknown"       // a key that the topic does not know: perhaps misspelt
	FaultKeyTwice       = "key_twice"         // the same key twice: which one was meant?
	FaultKeyMissing     = "key_missing"       // a key without which the topic would have to guess
	FaultWrongType      = "wrong_type"        // a number where a decimal string belongs, and so on
	FaultAmount         = "amount_malformed"  // not a decimal amount, too fine or too large
	FaultWord           = "word_unknown"      // a word outside the fixed list
	FaultTime           = "time_malformed"    // not an RFC 3339 time
	FaultNoDisk         = "no_disk"           // this host keeps no records: quick tools only
	FaultDisk           = "disk_failed"       // the record was not saved
	FaultBirthUnknown   = "birth_unknown"     // no birth of that id on this device
	FaultBirthClosed    = "birth_closed"      // the record is closed: reopen it first
	FaultPerhapsOpen    = "perhaps_open"      // detail: the open birth that this may be; say another to open a second one
	FaultNothingLost    = "nothing_lost"      // there is no doubt to clear
	FaultEventUnknown   = "event_unknown"     // no such dose to correct
	FaultPageUnknown    = "page_unknown"      // the pack has no such page
	FaultInternal       = "internal"          // a fault of this program, caught
	FaultPackMissing    = "pack_missing"      // the host handed in no built-in pack
	FaultFieldTooLong   = "too_long"          // free text is kept short
	FaultTimeInFuture   = "time_in_future"    // a birth cannot lie ahead
	FaultTimeTooLongAgo = "time_too_long_ago" // more than MaxBirthAge before now
)

// asFault turns any error of the domain into data. What is no error of a
// known kind is a fault of this program.
func asFault(err error) *Fault {
	var own *Fault
	var word *tear.UnknownWordError
	var dose *anaesthetic.Error
	var blood *bleeding.Error
	var count *supplies.Error
	var cut *episiotomy.Error
	var care *aftercare.Error
	switch {
	case errors.As(err, &own):
		return own
	case errors.As(err, &word):
		return &Fault{Code: FaultWord, Field: word.Field, Detail: word.Word}
	case errors.As(err, &dose):
		return &Fault{Code: dose.Code, Field: keyOf(dose.Field), Detail: dose.Detail}
	case errors.As(err, &blood):
		return &Fault{Code: blood.Code, Field: blood.Field, Detail: blood.Error()}
	case errors.As(err, &count):
		return &Fault{Code: count.Code, Field: count.Field, Detail: count.Detail}
	case errors.As(err, &cut):
		return &Fault{Code: cut.Code, Field: cut.Field, Detail: cut.Detail}
	case errors.As(err, &care):
		return &Fault{Code: care.Code, Field: care.Field, Detail: care.Detail}
	}
	return &Fault{Code: FaultInternal, Detail: err.Error()}
}

// keyOf is the request key of a part that the anaesthetic package names.
func keyOf(part string) string {
	switch part {
	case "weight":
		return "weight_kg"
	case "height":
		return "height_cm"
	case "strength":
		return "strength_percent"
	case "stock", "wanted":
		return part + "_percent"
	case "volume", "syringe", "ampoule":
		return part + "_ml"
	}
	return part
}
