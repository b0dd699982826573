package companion

// The shapes that cross the boundary. Amounts are decimal strings, times are
// RFC 3339, a pointer that is nil was absent. In requests need:"yes" marks a
// key without which the topic would have to guess. Every list has a fixed
// order and nothing here is a map: replies must be equal byte for byte on
// every host.

// reply is what a topic answers: a pointer to one of these shapes.
type reply any

// A Fault is an error as data: the reply to a request that was refused or
// that failed. Code is one of the Fault* codes below or a domain package's own
// code; Field is the request key it is about ("given.0.ml"); Detail is what
// was read, never prose for a screen.
type Fault struct {
	Code   string `msg:"error"`
	Field  string `msg:"field,omitempty"`
	Detail string `msg:"detail,omitempty"`
}

// Nothing is a request without keys.
type Nothing struct{}

// Findings of one examination; absent is not examined.
type GradeRequest struct {
	PerinealSkin      string `msg:"perineal_skin,omitempty"`
	VaginalMucosa     string `msg:"vaginal_mucosa,omitempty"`
	PerinealMuscle    string `msg:"perineal_muscle,omitempty"`
	ExternalSphincter string `msg:"external_sphincter,omitempty"`
	InternalSphincter string `msg:"internal_sphincter,omitempty"`
	AnorectalMucosa   string `msg:"anorectal_mucosa,omitempty"`
	RectalExam        string `msg:"rectal_exam,omitempty"`
	Episiotomy        bool   `msg:"episiotomy,omitempty"`
	SecondLookDone    bool   `msg:"second_look_done,omitempty"`
}

type GradeReply struct {
	Grade      string        `msg:"grade"`
	Buttonhole bool          `msg:"buttonhole"`
	AtLeast    string        `msg:"at_least"`
	AtMost     string        `msg:"at_most"`
	TreatAs    string        `msg:"treat_as"`
	Settled    bool          `msg:"settled"`
	SecondLook bool          `msg:"second_look"`
	Ask        []string      `msg:"ask"`
	Because    []string      `msg:"because"`
	Reasons    []ReasonReply `msg:"reasons"`
	ICD10      string        `msg:"icd10,omitempty"`
	ICD10US    string        `msg:"icd10_us,omitempty"`
	ICD10Note  string        `msg:"icd10_note,omitempty"`
	Damaged    bool          `msg:"damaged"`   // lines of the record may be lost: a lower bound only
	Sphincter  bool          `msg:"sphincter"` // plan as for a torn sphincter: trained operator or referral
}

// ReasonReply is a reason with the findings it rests on.
type ReasonReply struct {
	Key string   `msg:"key"`
	On  []string `msg:"on"`
}

type RuleRequest struct {
	MgPerKg         string `msg:"mg_per_kg" need:"yes"`
	CapMg           string `msg:"cap_mg,omitempty"`
	WeightKg        string `msg:"weight_kg" need:"yes"`
	StrengthPercent string `msg:"strength_percent" need:"yes"`
}

type RuleReply struct {
	Mg string `msg:"mg"`
	Ml string `msg:"ml"`
}

// DoseGiven is an earlier dose: its milligrams, or its millilitres and
// strength.
type DoseGiven struct {
	Agent           string `msg:"agent" need:"yes"`
	Adrenaline      bool   `msg:"adrenaline,omitempty"`
	Mg              string `msg:"mg,omitempty"`
	Ml              string `msg:"ml,omitempty"`
	StrengthPercent string `msg:"strength_percent,omitempty"`
}

// DosesGiven is a type of its own so that a pointer can tell an empty list
// (nothing was given) from an absent one (nobody said).
type DosesGiven []DoseGiven

type CeilingRequest struct {
	Agent           string      `msg:"agent" need:"yes"`
	Adrenaline      bool        `msg:"adrenaline,omitempty"` // absent counts as plain, whose ceiling is never the higher
	StrengthPercent string      `msg:"strength_percent,omitempty"`
	WeightKg        string      `msg:"weight_kg,omitempty"`
	HeightCm        *int        `msg:"height_cm,omitempty"`
	Source          string      `msg:"source,omitempty"`
	Given           *DosesGiven `msg:"given,omitempty"`
	PriorUnknown    bool        `msg:"prior_unknown,omitempty"` // given is what is known, and nobody knows the rest
	Mixing          string      `msg:"mixing,omitempty"`
}

type CeilingReply struct {
	Agent            string   `msg:"agent"`
	Adrenaline       bool     `msg:"adrenaline"`
	StrengthPercent  string   `msg:"strength_percent,omitempty"`
	CeilingMg        string   `msg:"ceiling_mg"`
	CeilingMl        string   `msg:"ceiling_ml,omitempty"`
	BoundBy          string   `msg:"bound_by"`
	WeightAssumed    bool     `msg:"weight_assumed"`
	ConfirmWeight    bool     `msg:"confirm_weight"`
	DosedForKg       string   `msg:"dosed_for_kg"`
	Source           string   `msg:"source"`
	Document         string   `msg:"document"`
	Read             string   `msg:"read"`
	MgPerKg          string   `msg:"mg_per_kg"`
	CapMg            string   `msg:"cap_mg,omitempty"`
	PriorUnknown     bool     `msg:"prior_unknown"`
	Damaged          bool     `msg:"damaged"`  // lines of the record may be lost: nothing may be worked out from it
	LastCut          bool     `msg:"last_cut"` // the last line was cut while being written: see that the last dose is there
	GivenMg          string   `msg:"given_mg,omitempty"`
	RemainingMg      string   `msg:"remaining_mg,omitempty"`
	RemainingMl      string   `msg:"remaining_ml,omitempty"`
	RemainingBoundBy string   `msg:"remaining_bound_by,omitempty"`
	Over             bool     `msg:"over"`
	Cautions         []string `msg:"cautions"`
}

type DiluteRequest struct {
	StockPercent  string `msg:"stock_percent" need:"yes"`
	WantedPercent string `msg:"wanted_percent" need:"yes"`
	WantedMl      string `msg:"wanted_ml" need:"yes"`
	Agent         string `msg:"agent,omitempty"` // absent: plain arithmetic, never on a screen
}

type DiluteReply struct {
	StockMl   string `msg:"stock_ml"`
	DiluentMl string `msg:"diluent_ml"`
	Document  string `msg:"document,omitempty"` // of the recipe, if an agent was named
	Read      string `msg:"read,omitempty"`
}

type DrawUpRequest struct {
	VolumeMl  string `msg:"volume_ml" need:"yes"`
	SyringeMl string `msg:"syringe_ml" need:"yes"`
	AmpouleMl string `msg:"ampoule_ml" need:"yes"`
}

type DrawUpReply struct {
	FullFills       int    `msg:"full_fills"`
	LastFillMl      string `msg:"last_fill_ml"`
	DrawnMl         string `msg:"drawn_ml"`
	NotDrawnMl      string `msg:"not_drawn_ml"`
	Ampoules        int    `msg:"ampoules"`
	LeftInAmpouleMl string `msg:"left_in_ampoule_ml"`
	MarkMl          string `msg:"mark_ml"`
	SyringeUl       int    `msg:"syringe_ul"` // for the drawing, in microlitres
	ShownUl         int    `msg:"shown_ul"`
	MarkUl          int    `msg:"mark_ul"`
}

type RescueRequest struct {
	WeightKg string `msg:"weight_kg,omitempty"`
}

type RescueReply struct {
	BolusMl           string `msg:"bolus_ml"`
	InfusionMlPerHour string `msg:"infusion_ml_per_hour"`
	MostMl            string `msg:"most_ml"`
}

type BodyWeightRequest struct {
	HeightCm int    `msg:"height_cm" need:"yes"`
	WeightKg string `msg:"weight_kg" need:"yes"`
}

type BodyWeightReply struct {
	BMI     string `msg:"bmi"`
	IdealKg string `msg:"ideal_kg"`
	LeanKg  string `msg:"lean_kg"`
}

type AgentRequest struct {
	Agent string `msg:"agent" need:"yes"`
}

// TableReply is what exists and what is published for one agent.
type TableReply struct {
	Strengths  []StrengthReply `msg:"strengths"`
	SyringesMl []string        `msg:"syringes_ml"`
	AmpoulesMl []string        `msg:"ampoules_ml"`
	Rules      []PublishedRule `msg:"rules"`
}

type StrengthReply struct {
	Percent string `msg:"percent"`
	MgPerMl string `msg:"mg_per_ml"`
}

type PublishedRule struct {
	Key        string `msg:"key"`
	Adrenaline bool   `msg:"adrenaline"`
	MgPerKg    string `msg:"mg_per_kg,omitempty"`
	CapMg      string `msg:"cap_mg,omitempty"`
	Document   string `msg:"document"`
	Read       string `msg:"read"`
}

type PadWeights struct {
	WetG string `msg:"wet_g" need:"yes"`
	DryG string `msg:"dry_g" need:"yes"`
}

type BleedingRequest struct {
	LostMl    string       `msg:"lost_ml,omitempty"`
	Estimated bool         `msg:"estimated,omitempty"`
	Pads      []PadWeights `msg:"pads,omitempty"`
	Pulse     *int         `msg:"pulse,omitempty"`
	Systolic  *int         `msg:"systolic,omitempty"`
	Diastolic *int         `msg:"diastolic,omitempty"`
}

type BleedingReply struct {
	Alarm      string   `msg:"alarm"`
	LostMl     string   `msg:"lost_ml,omitempty"`
	ShockIndex string   `msg:"shock_index,omitempty"`
	Missing    []string `msg:"missing"`
	Because    []string `msg:"because"`
}

type AboutReply struct {
	Interface   int    `msg:"interface"`
	Records     bool   `msg:"records"`
	Device      string `msg:"device,omitempty"`
	PackID      string `msg:"pack_id"`
	PackVersion string `msg:"pack_version"`
	Damaged     int    `msg:"damaged"`          // places of the journal that cannot be read
	Missing     int    `msg:"missing"`          // entries known to be gone
	TornTail    bool   `msg:"torn_tail"`        // the last entry was cut while being written, and never acknowledged: no damage
	Unconfirmed bool   `msg:"unconfirmed"`      // the disk takes nothing: what is there can be read
	Locked      bool   `msg:"locked"`           // a PIN is set, and the records are shut
	Lockable    bool   `msg:"lockable"`         // a PIN is set, and the records are open
	Open        int    `msg:"open"`             // births in progress; -1 while the records are locked or cannot be read
	Births      int    `msg:"births,omitempty"` // all that are kept, wherever they lie; 0 while they are locked
	Aside       bool   `msg:"aside,omitempty"`  // beside the sealed records lie others, open, that are not read
}

// LockReply says whether a PIN was set, and what stands in the way of locking.
type LockReply struct {
	Set       bool   `msg:"set"`
	Locked    bool   `msg:"locked"`
	Code      bool   `msg:"code"`      // a printed code opens it too
	Unsettled bool   `msg:"unsettled"` // there is one copy of the key only: make room
	Open      bool   `msg:"open"`      // a PIN was set, and what was written before could not be sealed: make room
	Busy      string `msg:"busy"`      // the birth that keeps it open
	Unkept    bool   `msg:"unkept"`    // a printed code was made, and nobody typed its last group yet: it opens nothing
}

// LockRequest asks to lock; Despite: also while somebody is at a birth.
type LockRequest struct {
	Despite bool `msg:"despite,omitempty"`
}

// TryRequest may say the PIN, so that what can be none is not counted.
type TryRequest struct {
	PIN string `msg:"pin,omitempty"`
}

// RecipeReply is what a key is derived with from a PIN, and KeyRequest the key:
// hexadecimal digits.
type RecipeReply struct {
	Recipe string `msg:"recipe"`
}

type KeyRequest struct {
	Key string `msg:"key" need:"yes"`
}

type PINRequest struct {
	PIN string `msg:"pin" need:"yes"`
}

type SetPINRequest struct {
	Recipe string `msg:"recipe" need:"yes"`
	Key    string `msg:"key" need:"yes"`
}

type CodeRequest struct {
	Code string `msg:"code" need:"yes"`
}

type CodeReply struct {
	Code string `msg:"code"`
}

type ChoicesReply struct {
	AnaestheticSource string   `msg:"anaesthetic_source"`
	Agents            []string `msg:"agents"`
	Mixing            string   `msg:"mixing"`
}

type PageRequest struct {
	Page string `msg:"page" need:"yes"`
}

type PageReply struct {
	Items []PageItem `msg:"items"`
}

type PageItem struct {
	Kind    string `msg:"kind"`
	Key     string `msg:"key"`
	Source  string `msg:"source,omitempty"`
	Read    string `msg:"read,omitempty"`
	Link    string `msg:"link,omitempty"`
	Drawing string `msg:"drawing,omitempty"`
}

// OpenRequest begins a birth's record. Born is "now", "at" (with BornAt) or
// "not_known"; nothing is assumed.
type OpenRequest struct {
	Born    string `msg:"born" need:"yes"`
	BornAt  string `msg:"born_at,omitempty"`
	Bed     string `msg:"bed,omitempty"`
	Another bool   `msg:"another,omitempty"` // another woman than the one whose record is open
}

// PutRightRequest says anew what OpenRequest said of a birth. Born is "same",
// "at" (with BornAt) or "not_known"; an hour after the record was opened is to
// be confirmed.
type PutRightRequest struct {
	Birth     string `msg:"birth" need:"yes"`
	Born      string `msg:"born" need:"yes"`
	BornAt    string `msg:"born_at,omitempty"`
	Bed       string `msg:"bed,omitempty"`
	Confirmed bool   `msg:"confirmed,omitempty"`
}

type BirthRequest struct {
	Birth string `msg:"birth" need:"yes"`
}

type BirthList struct {
	Births []BirthSummary `msg:"births"` // those in progress, and the closed ones that came last
	Open   int            `msg:"open"`
	Closed int            `msg:"closed"` // all of them
}

// DueRequest asks who is to come back; Zone is this device's, in minutes east
// of UTC.
type DueRequest struct {
	Zone int `msg:"zone,omitempty"`
}

// DueReply is sorted by day; Today is the local date, "2026-03-17".
type DueReply struct {
	Today  string     `msg:"today"`
	Visits []DueVisit `msg:"visits"`
}

// DueVisit is a day that was agreed on. Week is the Monday of its week.
type DueVisit struct {
	Birth   string `msg:"birth"`
	Number  string `msg:"number"`
	Bed     string `msg:"bed,omitempty"`
	Key     string `msg:"key"`
	Date    string `msg:"date"`
	Week    string `msg:"week"`
	Overdue bool   `msg:"overdue"` // the day has passed
	Inside  bool   `msg:"inside"`  // something was left inside her
}

type SearchRequest struct {
	Text string `msg:"text" need:"yes"`
}

// SearchReply lists what was found, the newest first; More: there is more.
type SearchReply struct {
	Births []BirthSummary `msg:"births"`
	More   bool           `msg:"more"`
}

type BirthSummary struct {
	Birth    string `msg:"birth"`
	Number   string `msg:"number"`
	Bed      string `msg:"bed,omitempty"`
	OpenedAt string `msg:"opened_at"`
	BornAt   string `msg:"born_at,omitempty"`
	Closed   bool   `msg:"closed"`
	Stage    string `msg:"stage"`
	Grade    string `msg:"grade"`
	TreatAs  string `msg:"treat_as"`
	Examined int    `msg:"examined"`
	Damaged  bool   `msg:"damaged"` // lines of it may be lost
	// Where is the stage of the way, "done" or "closed"; Overdue the timers
	// that should have been seen to.
	Where   string   `msg:"where"`
	Overdue []string `msg:"overdue"`
	// Warnings of one that is open: what must be in sight.
	Warnings []string `msg:"warnings"`
	// LeftOpen is what was open when the record was closed.
	LeftOpen []string `msg:"left_open"`
}

type BirthReply struct {
	Birth           string         `msg:"birth"`
	Number          string         `msg:"number"`
	Bed             string         `msg:"bed,omitempty"`
	OpenedAt        string         `msg:"opened_at"`
	BornAt          string         `msg:"born_at,omitempty"`
	Closed          bool           `msg:"closed"`
	Findings        GradeRequest   `msg:"findings"`
	EpisiotomyAsked bool           `msg:"episiotomy_asked"`
	WeightKg        string         `msg:"weight_kg,omitempty"`
	HeightCm        int            `msg:"height_cm,omitempty"`
	NotWeighed      bool           `msg:"not_weighed"`
	Prior           string         `msg:"prior,omitempty"`
	Doses           []DoseReply    `msg:"doses"`
	OverLimit       *OverReply     `msg:"over_limit,omitempty"` // absent: not known to be over
	GradeNoted      *NotedGrade    `msg:"grade_noted,omitempty"`
	LimitNoted      *NotedLimit    `msg:"limit_noted,omitempty"`
	Log             []LogEntry     `msg:"log"`
	Newer           int            `msg:"newer"`
	Damaged         bool           `msg:"damaged"`  // lines of it may be lost: what stands here is a lower bound
	LastCut         bool           `msg:"last_cut"` // the last line was cut while being written: is what was done last there?
	Where           string         `msg:"where"`
	Overdue         []string       `msg:"overdue"`
	Answers         []AnswerReply  `msg:"answers"`
	Layers          []LayerReply   `msg:"layers"`
	Visits          []PlannedVisit `msg:"visits"`
	Despites        []DespiteReply `msg:"despites"`
	// StillOpen is what is open; of a closed record, what was when it was closed.
	StillOpen []string `msg:"still_open"`
}

// OverReply says that more was given than the limit.
type OverReply struct {
	GivenMg       string `msg:"given_mg"`
	LimitMg       string `msg:"limit_mg,omitempty"` // absent: nothing published allows what was given
	WeightAssumed bool   `msg:"weight_assumed"`     // not weighed: the limit is that of 30 kg
}

type DoseReply struct {
	Event           string `msg:"event"`
	At              string `msg:"at"`
	Agent           string `msg:"agent"`
	Adrenaline      bool   `msg:"adrenaline"`
	Mg              string `msg:"mg"`
	Ml              string `msg:"ml,omitempty"`
	StrengthPercent string `msg:"strength_percent,omitempty"`
	Prior           bool   `msg:"prior"`
	Void            bool   `msg:"void"` // taken back: counts for nothing, stays readable
	Corrected       bool   `msg:"corrected"`
}

type NotedGrade struct {
	At         string   `msg:"at"`
	Grade      string   `msg:"grade"`
	AtLeast    string   `msg:"at_least"`
	AtMost     string   `msg:"at_most"`
	TreatAs    string   `msg:"treat_as"`
	Settled    bool     `msg:"settled"`
	Buttonhole bool     `msg:"buttonhole"`
	Because    []string `msg:"because"`
	Stale      bool     `msg:"stale"` // the findings have changed since
}

type NotedLimit struct {
	At              string `msg:"at"`
	Agent           string `msg:"agent"`
	Adrenaline      bool   `msg:"adrenaline"`
	StrengthPercent string `msg:"strength_percent"`
	Mg              string `msg:"mg"`
	Ml              string `msg:"ml"`
	BoundBy         string `msg:"bound_by"`
	Source          string `msg:"source"`
	WeightAssumed   bool   `msg:"weight_assumed"`
	Stale           bool   `msg:"stale"` // it would come out otherwise now
}

// LogEntry is one event for the record's page: what, when, and the words
// that tell it apart. Values are wire words and amounts, never prose.
type LogEntry struct {
	Event string     `msg:"event"`
	At    string     `msg:"at"`
	Kind  string     `msg:"kind"`
	Name  string     `msg:"name,omitempty"`
	Value string     `msg:"value,omitempty"`
	Dose  *DoseReply `msg:"dose,omitempty"`
	Void  bool       `msg:"void,omitempty"`
	// Counted are the numbers of a count; absent while something is still to
	// be counted out, because the number out is counted first.
	Counted []CountLine `msg:"counted,omitempty"`
	Open    []string    `msg:"open,omitempty"` // of a despite: what was open
}

// SavedReply says that the event is flushed: what the screen shows as saved
// is on the disk.
type SavedReply struct {
	Birth string `msg:"birth"`
	Event string `msg:"event"`
	Over  bool   `msg:"over"`
}

// FindRequest sets one finding: one of the request keys of tear.grade, with
// its word; "" takes it back to not examined. Episiotomy is "yes" or "no",
// second_look_done is "yes".
type FindRequest struct {
	Birth   string `msg:"birth" need:"yes"`
	Finding string `msg:"finding" need:"yes"`
	Value   string `msg:"value" need:"yes" empty:"yes"`
}

type WeighRequest struct {
	Birth      string `msg:"birth" need:"yes"`
	WeightKg   string `msg:"weight_kg,omitempty"`
	NotWeighed bool   `msg:"not_weighed,omitempty"`
	HeightCm   *int   `msg:"height_cm,omitempty"`
	Confirmed  bool   `msg:"confirmed,omitempty"`
}

type PriorRequest struct {
	Birth string `msg:"birth" need:"yes"`
	Told  string `msg:"told" need:"yes"`
}

type InjectRequest struct {
	Birth           string `msg:"birth" need:"yes"`
	Agent           string `msg:"agent" need:"yes"`
	Adrenaline      bool   `msg:"adrenaline" need:"yes"`
	Mg              string `msg:"mg,omitempty"`
	Ml              string `msg:"ml,omitempty"`
	StrengthPercent string `msg:"strength_percent,omitempty"`
	Prior           bool   `msg:"prior,omitempty"`
}

// CorrectRequest says that a dose was written down wrong: void takes it out,
// else the new figures replace it. Both stay readable in the record.
type CorrectRequest struct {
	Birth           string `msg:"birth" need:"yes"`
	Of              string `msg:"of" need:"yes"`
	Void            bool   `msg:"void,omitempty"`
	Agent           string `msg:"agent,omitempty"`
	Adrenaline      bool   `msg:"adrenaline,omitempty"`
	Mg              string `msg:"mg,omitempty"`
	Ml              string `msg:"ml,omitempty"`
	StrengthPercent string `msg:"strength_percent,omitempty"`
}

type BirthCeilingRequest struct {
	Birth           string `msg:"birth" need:"yes"`
	Agent           string `msg:"agent" need:"yes"`
	Adrenaline      bool   `msg:"adrenaline" need:"yes"`
	StrengthPercent string `msg:"strength_percent,omitempty"`
}
