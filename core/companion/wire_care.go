package companion

// The shapes of the topics that plan supplies, repair and aftercare; the rules
// of wire.go hold.

// CitedReply is a document and how it was read.
type CitedReply struct {
	Source string `msg:"source"`
	Read   string `msg:"read,omitempty"`
}

type LayOutRequest struct {
	Grade      string `msg:"grade" need:"yes"` // the grade to plan by
	Buttonhole bool   `msg:"buttonhole" need:"yes"`
}

type LayOutReply struct {
	Items []LayOutItem `msg:"items"`
}

type LayOutItem struct {
	Item     string `msg:"item"`
	N        int    `msg:"n"`
	Counted  bool   `msg:"counted"`
	IfNeeded bool   `msg:"if_needed"`
	Needles  int    `msg:"needles_within,omitempty"` // that come in with it, one a packet
	Material string `msg:"material,omitempty"`
	Size     string `msg:"size,omitempty"`
	Source   string `msg:"source"`
	Read     string `msg:"read,omitempty"`
}

type ReconcileRequest struct {
	Items []CountedItem `msg:"items" need:"yes"`
}

// CountedItem: a count that is not there is not nought.
type CountedItem struct {
	Item string `msg:"item" need:"yes"`
	In   int    `msg:"in" need:"yes"`
	Out  int    `msg:"out" need:"yes"`
}

type ReconcileReply struct {
	Complete   bool        `msg:"complete"`
	Missing    []ItemCount `msg:"missing"`
	Extra      []ItemCount `msg:"extra"`
	NotCounted []string    `msg:"not_counted"`
}

type ItemCount struct {
	Item  string `msg:"item"`
	Count int    `msg:"count"`
}

// AngleRequest holds exactly one of the two: an angle belongs to a moment.
type AngleRequest struct {
	AtCrowningDeg *int `msg:"at_crowning_deg,omitempty"`
	AfterBirthDeg *int `msg:"after_birth_deg,omitempty"`
}

type AngleReply struct {
	AfterBirthDeg      int    `msg:"after_birth_deg"`
	AfterBirthLeastDeg *int   `msg:"after_birth_least_deg,omitempty"`
	AfterBirthMostDeg  *int   `msg:"after_birth_most_deg,omitempty"`
	Verdict            string `msg:"verdict"`
}

type IndicationsReply struct {
	Indications []CitedKey `msg:"indications"`
}

type RepairRequest struct {
	Grade       string `msg:"grade" need:"yes"` // the grade to plan by
	Buttonhole  bool   `msg:"buttonhole" need:"yes"`
	Episiotomy  bool   `msg:"episiotomy,omitempty"`
	TrainedHere bool   `msg:"trained_here,omitempty"` // nobody asked is not here
	DeepMuscle  bool   `msg:"deep_muscle,omitempty"`
	Hours       *int   `msg:"hours,omitempty"`        // since the birth, whole; absent: the age of the tear is no part of the question
	HourUnknown bool   `msg:"hour_unknown,omitempty"` // but nobody knows it
}

type RepairReply struct {
	Allowed string        `msg:"allowed"`
	By      string        `msg:"by,omitempty"`
	Layers  []RepairLayer `msg:"layers"`
	Because []string      `msg:"because"`
}

type RepairLayer struct {
	Layer       string       `msg:"layer"`
	Drawing     string       `msg:"drawing"`
	IfTorn      bool         `msg:"if_torn"`
	Instruments []string     `msg:"instruments"`
	Material    string       `msg:"material"`
	Size        string       `msg:"size"`
	Technique   string       `msg:"technique"`
	Rows        int          `msg:"rows"`
	Begin       string       `msg:"begin"`
	BeginMm     *int         `msg:"begin_mm,omitempty"`
	SpacingMm   *int         `msg:"spacing_mm,omitempty"`
	End         string       `msg:"end"`
	Knot        string       `msg:"knot"`
	Never       []string     `msg:"never"`
	Sources     []CitedReply `msg:"sources"`
}

// AllergyList is a type of its own so that a pointer can tell an empty list
// (asked, none) from an absent one (nobody asked).
type AllergyList []string

// AftercareRequest tells a case by hand; birth.aftercare takes it from a record.
type AftercareRequest struct {
	Grade         string       `msg:"grade" need:"yes"`
	AtLeast       string       `msg:"at_least,omitempty"` // the mildest grade that is still possible
	Worst         string       `msg:"worst,omitempty"`    // and the worst, a possible buttonhole counted as 4
	Buttonhole    *bool        `msg:"buttonhole,omitempty"`
	Instrumental  *bool        `msg:"instrumental,omitempty"`
	Sutured       *bool        `msg:"sutured,omitempty"`
	BirthAt       string       `msg:"birth_at,omitempty"`
	Allergies     *AllergyList `msg:"allergies,omitempty"`
	Breastfeeding *bool        `msg:"breastfeeding,omitempty"`
	WeightKg      string       `msg:"weight_kg,omitempty"`
	LostMl        string       `msg:"lost_ml,omitempty"` // and her signs, as of bleeding.assess
	Pulse         *int         `msg:"pulse,omitempty"`
	Systolic      *int         `msg:"systolic,omitempty"`
	Diastolic     *int         `msg:"diastolic,omitempty"`
	HeavyBleeding *bool        `msg:"heavy_bleeding,omitempty"` // by the eye
}

type AftercareReply struct {
	Medicines   []MedicineReply `msg:"medicines"`
	Never       []string        `msg:"never"`
	Advice      []string        `msg:"advice"`
	DangerSigns []string        `msg:"danger_signs"`
	Visits      []VisitReply    `msg:"visits"`
	NotTold     []string        `msg:"not_told"`
	Because     []string        `msg:"because"`
	Cited       []CitedKey      `msg:"cited"` // the source of each key in never, advice and danger_signs
}

// CitedKey is a key and what it rests on.
type CitedKey struct {
	Key    string `msg:"key"`
	Source string `msg:"source"`
	Read   string `msg:"read,omitempty"`
}

type MedicineReply struct {
	Key        string           `msg:"key"`
	State      string           `msg:"state"`
	Ask        []string         `msg:"ask"`
	Dose       *MedicineDose    `msg:"dose,omitempty"`
	DaysLeast  *int             `msg:"days_least,omitempty"`
	SingleDose bool             `msg:"single_dose"`
	Within     *int             `msg:"within_hours,omitempty"` // of the birth
	Options    []MedicineOption `msg:"options"`
	LeftOut    []LeftOutReply   `msg:"left_out"`
	Cautions   []string         `msg:"cautions"`
	Because    []string         `msg:"because"`
	Sources    []CitedReply     `msg:"sources"`
}

// MedicineDose is for one intake, with the most in a day.
type MedicineDose struct {
	LeastMg       string `msg:"least_mg"`
	MostMg        string `msg:"most_mg"`
	HoursLeast    int    `msg:"hours_least"`
	HoursMost     int    `msg:"hours_most"`
	DailyMostMg   string `msg:"daily_most_mg"`
	TimesMost     int    `msg:"times_most"`
	WeightAssumed bool   `msg:"weight_assumed"`
}

type MedicineOption struct {
	Key    string       `msg:"key"`
	Drugs  []OptionDrug `msg:"drugs"`
	Source string       `msg:"source"`
	Read   string       `msg:"read,omitempty"`
}

type OptionDrug struct {
	Agent  string `msg:"agent"`
	DoseMg string `msg:"dose_mg"`
	Route  string `msg:"route"`
}

type LeftOutReply struct {
	Key string `msg:"key"`
	Why string `msg:"why"`
}

type VisitReply struct {
	Key    string `msg:"key"`
	From   string `msg:"from,omitempty"`
	To     string `msg:"to,omitempty"`
	Source string `msg:"source"`
	Read   string `msg:"read,omitempty"`
}
