// Package supplies says what to lay out before a repair, and whether all that
// went in has come out. Start with LayOut and Reconcile.
//
// Counting begins with the first pack opened at the birth, not with the repair
// (common practice, no source; NPSA rapid response of 26 May 2010 asks for
// swab counts at all births, perineal suturing included). So LayOut never
// fills in a count: what is in is what she has counted in, and what is out is
// counted before the number expected is shown.
package supplies

// The kinds of thing that are counted in and out. Reconcile takes any other
// word too: a kind that nobody foresaw must balance like the rest.
const (
	Swab         = "swab"
	Needle       = "needle" // every packet of thread brings one of its own: Item.WithNeedle
	Tampon       = "tampon"
	Clamp        = "clamp"
	Forceps      = "forceps"
	NeedleHolder = "needle_holder"
	Scissors     = "scissors"
	ArteryClip   = "artery_clip"
	Retractor    = "retractor"
	Suture       = "suture"
	Syringe      = "syringe"
	Other        = "other"
)

// What is laid out and not counted.
const (
	Light            = "light"
	Gloves           = "gloves" // pairs
	Drape            = "drape"
	Antiseptic       = "antiseptic"
	LocalAnaesthetic = "local_anaesthetic"
	SharpsBox        = "sharps_box"
	Catheter         = "catheter"
)

// The codes of an Error.
const (
	NothingCounted = "nothing_counted"
	ItemTwice      = "item_twice"
	WordUnknown    = "word_unknown"
	OutOfRange     = "out_of_range"
)

// Error says which count cannot be reconciled.
type Error struct {
	Code   string // one of the codes above
	Field  string // the request key, with the place in the list: "items.2.in"
	Detail string // what was read and what to do, for a log
}

func (e *Error) Error() string { return e.Field + ": " + e.Detail }
