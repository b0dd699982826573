package companion

// The shapes of files that go out and come in, and of deleting: see wire.go for
// what holds for all.

// ExportReply is the next piece of the file, to be written behind the others.
type ExportReply struct {
	Piece   []byte `msg:"piece"`
	Last    bool   `msg:"last"`    // the file ends here
	Entries int64  `msg:"entries"` // in the file so far
	Damaged int    `msg:"damaged"` // places of the records that cannot be read, and so are not in it
	Missing int    `msg:"missing"` // entries known to be gone from them
}

// PieceRequest hands in the next piece of a file, from its byte At on.
type PieceRequest struct {
	At    int64  `msg:"at" need:"yes"`
	Piece []byte `msg:"piece" need:"yes"`
}

// ImportReply is what became of a file so far. New, Here, OfDeleted, Damaged and
// the Held ones are together the entries Read.
type ImportReply struct {
	Read      int64 `msg:"read"`       // entries read from the file
	New       int   `msg:"new"`        // on the disk now
	Here      int   `msg:"here"`       // that were here already
	Newer     int   `msg:"newer"`      // of the new ones: of a newer version, kept and not understood
	OfDeleted int   `msg:"of_deleted"` // of births that were deleted here: not taken
	Damaged   int   `msg:"damaged"`    // that are no entry of any version: not taken
	// Deleted counts the births that were here and that the file says are deleted;
	// Held are those of them that must not be: close them, then take it in again.
	Deleted int        `msg:"deleted"`
	Held    []OldBirth `msg:"held"`
	// Twice are the numbers of all births here with an entry whose id another
	// entry has: two phones wrote as one, or somebody altered a record. Told at
	// the end. Nothing was replaced.
	Twice []string `msg:"twice"`
	// Moved: another phone writes under this phone's id, so this one goes on as
	// Device.
	Moved  bool   `msg:"moved"`
	Device string `msg:"device"`
	// Of the file: parts of it that cannot be read; entries known to have been in
	// them; whether its end was seen; a spare part that is damaged and was not
	// needed; bytes behind its end; and whether nothing at all is missing.
	Blocks int   `msg:"blocks"`
	Lost   int64 `msg:"lost"`
	Ended  bool  `msg:"ended"`
	Spoilt bool  `msg:"spoilt"`
	After  int64 `msg:"after"`
	Whole  bool  `msg:"whole"`
}

// OldBirth is a birth, when the last thing was written in it, and why it must
// not be deleted: keys of core/keep, what could hurt her most first.
type OldBirth struct {
	Birth  string   `msg:"birth"`
	Number string   `msg:"number"`
	Last   string   `msg:"last"`
	Why    []string `msg:"why"`
}

// KeepRequest is the clinic's rule: for how many months a record is kept after
// the last thing was written in it; 0 keeps all.
type KeepRequest struct {
	Months int `msg:"months" need:"yes"`
}

// DueForDeletionReply names births; nothing was deleted. More: there are more
// than are named.
type DueForDeletionReply struct {
	Due  []OldBirth `msg:"due"`
	Held []OldBirth `msg:"held"`
	More bool       `msg:"more"`
}

// DeleteRequest names births that somebody looked through and wants deleted for
// good, on this phone and on every other that its records come to.
type DeleteRequest struct {
	Births    []string `msg:"births" need:"yes"`
	Reason    string   `msg:"reason" need:"yes"` // kept_long_enough, by_mistake, her_wish
	Confirmed bool     `msg:"confirmed" need:"yes"`
}

type DeletedReply struct {
	Deleted int `msg:"deleted"`
}
