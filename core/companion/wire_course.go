package companion

// The shapes of the way of a birth: see wire.go for what holds for all.

type StageRequest struct {
	Stage string `msg:"stage,omitempty"` // absent: all of them
}

// QuestionsReply is the table of questions, in the order of asking.
type QuestionsReply struct {
	Questions []QuestionReply `msg:"questions"`
}

type QuestionReply struct {
	Key    string   `msg:"key"`
	Stage  string   `msg:"stage"`
	Kind   string   `msg:"kind"`  // choice, number, time or text
	Words  []string `msg:"words"` // of a choice; of a number, what may be said where there is none
	Needed bool     `msg:"needed"`
	Least  int      `msg:"least,omitempty"`
	Most   int      `msg:"most,omitempty"` // of a text: letters
}

// WalkReply is where a birth stands. Keys and words only.
type WalkReply struct {
	Stage  string       `msg:"stage"`
	Stages []StageReply `msg:"stages"`
	Gates  []GateReply  `msg:"gates"`
	// BeforeLayer are the gates that stand open before a layer is closed.
	BeforeLayer []GateReply  `msg:"before_layer"`
	Timers      []TimerReply `msg:"timers"`
	Ways        []string     `msg:"ways"`
	Warnings    []string     `msg:"warnings"`
	Alarm       string       `msg:"alarm"`         // what the numbers come to, as of bleeding.assess
	AlarmOn     []string     `msg:"alarm_because"` // and why; loudest first
	Overdue     []string     `msg:"overdue"`
	Changed     []string     `msg:"changed"`
	Grade       string       `msg:"grade"`
	TreatAs     string       `msg:"treat_as"`
	WasGrade    string       `msg:"was_grade,omitempty"` // written before the decision; absent: none was
	WasTreatAs  string       `msg:"was_treat_as,omitempty"`
	Closed      bool         `msg:"closed"`
	Now         string       `msg:"now"`          // by this device's wall clock, in UTC
	TodayLooked bool         `msg:"today_looked"` // somebody said not long ago that its date is right
	Newer       int          `msg:"newer"`
	Damaged     bool         `msg:"damaged"` // lines of the record may be lost: no gate is passed until it was looked through
}

type StageReply struct {
	Key   string   `msg:"key"`
	State string   `msg:"state"`
	Ask   []string `msg:"ask"`
}

type GateReply struct {
	Key   string   `msg:"key"`
	State string   `msg:"state"`
	Ask   []string `msg:"ask"`
}

type TimerReply struct {
	Key   string `msg:"key"`
	Kind  string `msg:"kind"`
	State string `msg:"state"`
	Since string `msg:"since,omitempty"`
	Due   string `msg:"due,omitempty"`
	Doubt bool   `msg:"doubt"`
}

// AnswerRequest answers a question of the table with the one of value, number,
// at and text that its kind takes, or takes the answer back.
type AnswerRequest struct {
	Birth    string `msg:"birth" need:"yes"`
	Question string `msg:"question" need:"yes"`
	Value    string `msg:"value,omitempty"`
	Number   *int   `msg:"number,omitempty"`
	At       string `msg:"at,omitempty"` // RFC 3339, or "now": by this device's wall clock
	Text     string `msg:"text,omitempty"`
	TakeBack bool   `msg:"take_back,omitempty"`
	// Despite names the gates that are open: all was stitched all the same.
	Despite   []string `msg:"despite,omitempty"`
	Confirmed bool     `msg:"confirmed,omitempty"` // an hour before the birth, looked at again
}

// CountRequest says what was counted: phase in, added or out.
type CountRequest struct {
	Birth     string      `msg:"birth" need:"yes"`
	Phase     string      `msg:"phase" need:"yes"`
	Items     []CountLine `msg:"items" need:"yes"`
	Confirmed bool        `msg:"confirmed,omitempty"` // counted in anew, and fewer than before
}

type CountLine struct {
	Item string `msg:"item" need:"yes"`
	N    int    `msg:"n" need:"yes"`
}

// CountsReply compares what went in with what came out. While anything is
// still to be counted out it says which things, and no number at all.
type CountsReply struct {
	Kinds      []string      `msg:"kinds"`      // every kind that may be counted
	CountedIn  bool          `msg:"counted_in"` // all that must be, was
	ToCount    []string      `msg:"to_count"`   // what was counted in
	OutOpen    []string      `msg:"out_open"`   // of it, what was not counted out since
	Compared   bool          `msg:"compared"`
	Items      []CountedLine `msg:"items"`
	Complete   bool          `msg:"complete"`
	Damaged    bool          `msg:"damaged"` // counts may be lost: never complete
	Late       bool          `msg:"late"`    // counted in after the first stitch: never complete
	Missing    []PieceReply  `msg:"missing"`
	Extra      []PieceReply  `msg:"extra"`
	NotCounted []string      `msg:"not_counted"`
}

type CountedLine struct {
	Item string `msg:"item"`
	In   int    `msg:"in"`
	Out  int    `msg:"out"`
	Left int    `msg:"left"` // of out, left in her on purpose
}

type PieceReply struct {
	Item  string `msg:"item"`
	Count int    `msg:"count"`
}

type LayerRequest struct {
	Birth string `msg:"birth" need:"yes"`
	Layer string `msg:"layer" need:"yes"`
	Done  bool   `msg:"done" need:"yes"`
	// Despite names the gates that are open: it was closed all the same.
	Despite []string `msg:"despite,omitempty"`
}

// VisitRequest agrees on a day with her, or, not confirmed, takes it back.
type VisitRequest struct {
	Birth     string `msg:"birth" need:"yes"`
	Key       string `msg:"key" need:"yes"`
	Date      string `msg:"date" need:"yes"` // "2026-03-21"
	Confirmed bool   `msg:"confirmed" need:"yes"`
	OddMeant  bool   `msg:"odd_meant,omitempty"` // outside its range, and meant so
}

// AnswerReply is an answer that stands: the one of value, number, at and text
// that was given.
type AnswerReply struct {
	Question string `msg:"question"`
	Value    string `msg:"value,omitempty"`
	Number   *int64 `msg:"number,omitempty"`
	At       string `msg:"at,omitempty"`
	Text     string `msg:"text,omitempty"`
	Said     string `msg:"said"` // when
}

// CloseRequest closes a record; OpenKnown names all that is still open in it.
type CloseRequest struct {
	Birth     string   `msg:"birth" need:"yes"`
	OpenKnown []string `msg:"open_known,omitempty"`
}

// DespiteReply is what was written down although something was open: deed
// layer (of which), repair_finished or closed.
type DespiteReply struct {
	Deed string   `msg:"deed"`
	Of   string   `msg:"of,omitempty"`
	Open []string `msg:"open"`
	At   string   `msg:"at"`
}

type LayerReply struct {
	Layer string `msg:"layer"`
	Done  bool   `msg:"done"`
	At    string `msg:"at"`
}

type PlannedVisit struct {
	Key       string `msg:"key"`
	Date      string `msg:"date"`
	Confirmed bool   `msg:"confirmed"`
	Came      string `msg:"came"` // "came" or "missed", said of this day; "" when nobody said
}
