package course

import "slices"

// The kinds of answers. What is no choice may have words too, for where there
// is none: "not_measured", "not_yet".
const (
	Choice = "choice" // one of Words
	Number = "number" // a whole number from Least to Most, or one of Words
	Time   = "time"   // an hour that has passed
	Text   = "text"   // a few words, at most Most letters; no name of a person
)

// Question is one thing that is asked on the way.
type Question struct {
	Key, Stage, Kind string
	Words            []string
	Least, Most      int64
	// Needed: its stage is not done without it. Others may be asked, or are
	// asked by a gate or on one of the ways only.
	Needed bool
	// AfterClosing: it is answered when the record is closed already.
	AfterClosing bool
}

// Came is the beginning of the questions whether she came on the day agreed on,
// one for each visit.
const Came = "came_"

var (
	came        = []string{"came", "missed"}
	yesNo       = []string{"yes", "no"}
	yesNoUnsure = []string{"yes", "no", "unsure"}
	notMeasured = []string{"not_measured"}
	// allergies are the words of core/aftercare, each told by itself.
	allergies = []string{"none", "penicillin", "cephalosporin", "clindamycin", "metronidazole", "paracetamol", "ibuprofen", "other", "unknown"}
	// 0 is no pulse and no pressure: whether none could be felt or nobody took it
	// is asked in words. A 0 of older records stands for noneFelt.
	noneOrNotMeasured = []string{noneFelt, "not_measured"}
)

// questions is the table, in the order of asking. What is looked at before any
// repair: common practice, no source; the placenta is out before anything is
// stitched: MSF Essential obstetric and newborn care 5.9.2. The bounds only
// catch slips of the finger, those of core/bleeding.
var questions = []Question{
	{Key: "arrived_from", Stage: Safe, Kind: Choice, Words: []string{"here", "elsewhere"}, Needed: true},
	{Key: "uterus_firm", Stage: Safe, Kind: Choice, Words: yesNoUnsure, Needed: true},
	{Key: "placenta_out", Stage: Safe, Kind: Choice, Words: yesNoUnsure, Needed: true},
	{Key: "placenta_complete", Stage: Safe, Kind: Choice, Words: yesNoUnsure, Needed: true},
	{Key: "bleeding_looked", Stage: Safe, Kind: Choice, Words: []string{"settled", "heavy", "unsure"}, Needed: true},
	{Key: "alarm_seen", Stage: Safe, Kind: Choice, Words: []string{"steady", "from_tear"}},
	{Key: "loss_ml", Stage: Safe, Kind: Number, Most: 20_000, Words: notMeasured, Needed: true},
	{Key: "pulse", Stage: Safe, Kind: Number, Least: 20, Most: 300, Words: noneOrNotMeasured, Needed: true},
	{Key: "systolic", Stage: Safe, Kind: Number, Least: 20, Most: 300, Words: noneOrNotMeasured, Needed: true},
	{Key: "diastolic", Stage: Safe, Kind: Number, Least: 1, Most: 300, Words: noneOrNotMeasured},
	{Key: "tranexamic_given", Stage: Safe, Kind: Time, Words: []string{"no"}},
	{Key: "instrumental", Stage: Safe, Kind: Choice, Words: []string{"none", "vacuum", "forceps", "unknown"}, Needed: true},
	{Key: "genital_cutting", Stage: Safe, Kind: Choice, Words: yesNoUnsure, Needed: true},
	{Key: "consent_exam", Stage: Safe, Kind: Choice, Words: []string{"yes", "declined", "cannot_answer"}, Needed: true},
	{Key: "position", Stage: Safe, Kind: Choice, Words: yesNo, Needed: true},
	{Key: "light", Stage: Safe, Kind: Choice, Words: yesNo, Needed: true},
	{Key: "other_medicines", Stage: Safe, Kind: Text, Most: 60}, // given beside those that have a question of their own
	{Key: "pain_relief", Stage: Safe, Kind: Choice, Words: []string{"local", "working", "none", "declined", "unknown"}, Needed: true},

	{Key: "trained_operator_here", Stage: Decide, Kind: Choice, Words: yesNo},
	// What this grade needs, and whether it is here now.
	{Key: "place_here", Stage: Decide, Kind: Choice, Words: yesNo},
	{Key: "anaesthesia_here", Stage: Decide, Kind: Choice, Words: yesNo},
	{Key: "instruments_here", Stage: Decide, Kind: Choice, Words: yesNo},
	{Key: "material_here", Stage: Decide, Kind: Choice, Words: yesNo},
	{Key: "decision", Stage: Decide, Kind: Choice, Words: []string{"repair_here", "refer", "cannot_travel", "leave_open"}, Needed: true},
	{Key: "travel_barrier", Stage: Decide, Kind: Choice, Words: []string{"no_transport", "road", "too_ill", "she_declines", "other"}},
	{Key: "consent_repair", Stage: Decide, Kind: Choice, Words: []string{"yes", "declined", "cannot_answer"}},
	{Key: "transport", Stage: Decide, Kind: Choice, Words: []string{"found", "none"}},
	{Key: "told_receiver", Stage: Decide, Kind: Choice, Words: yesNo},

	{Key: "laid_out", Stage: Prepare, Kind: Choice, Words: []string{"yes"}, Needed: true},

	{Key: "numb_felt", Stage: Numb, Kind: Choice, Words: yesNo, Needed: true},

	{Key: "looked_again", Stage: Again, Kind: Choice, Words: []string{"same", "changed"}, Needed: true},

	{Key: "muscle_deep", Stage: Repair, Kind: Choice, Words: yesNo}, // then it is closed in two rows
	{Key: "repair_finished", Stage: Repair, Kind: Choice, Words: yesNo},

	{Key: "final_count_search", Stage: Check, Kind: Choice, Words: []string{"found", "not_found"}},
	{Key: "tampon", Stage: Check, Kind: Choice, Words: []string{"none", "in", "out", "left", "never_in"}, Needed: true}, // never_in: that one is inside was said by mistake
	{Key: "tampon_number", Stage: Check, Kind: Number, Least: 1, Most: 20},
	{Key: "tampon_at", Stage: Check, Kind: Time},
	{Key: "tampon_receiver", Stage: Check, Kind: Text, Most: 60},
	{Key: "tampon_why", Stage: Check, Kind: Choice, Words: []string{"still_oozes", "for_the_way", "other"}},
	{Key: "rectal_after", Stage: Check, Kind: Choice, Words: []string{"done", "declined"}},
	{Key: "stitch_felt", Stage: Check, Kind: Choice, Words: yesNoUnsure},
	{Key: "stitch_removed", Stage: Check, Kind: Choice, Words: []string{"removed", "refer"}},
	{Key: "final_firm", Stage: Check, Kind: Choice, Words: yesNoUnsure, Needed: true},
	{Key: "final_bleeding", Stage: Check, Kind: Choice, Words: []string{"settled", "heavy", "unsure"}, Needed: true},

	{Key: "allergy", Stage: After, Kind: Choice, Words: allergies, Needed: true},
	{Key: "allergy_second", Stage: After, Kind: Choice, Words: allergies}, // asked only after one that was named, and so on
	{Key: "allergy_third", Stage: After, Kind: Choice, Words: allergies},
	{Key: "allergy_which", Stage: After, Kind: Text, Most: 60, Words: []string{"unknown"}}, // of "other"
	{Key: "antibiotic_given", Stage: After, Kind: Time, Words: []string{"not_given"}},
	{Key: "breastfeeding", Stage: After, Kind: Choice, Words: yesNo, Needed: true},
	{Key: MedicinesSeen, Stage: After, Kind: Choice, Words: []string{"yes"}, Needed: true},
	{Key: "advice_told", Stage: After, Kind: Choice, Words: []string{"yes"}, Needed: true},
	{Key: "early_check", Stage: After, Kind: Choice, Words: []string{"well", "not_well"}},
	{Key: "second_systolic", Stage: After, Kind: Number, Least: 20, Most: 300, Words: noneOrNotMeasured},
	{Key: "second_diastolic", Stage: After, Kind: Number, Least: 1, Most: 300, Words: noneOrNotMeasured},
	{Key: "temperature", Stage: After, Kind: Number, Least: 300, Most: 440, Words: notMeasured}, // tenths of a degree Celsius; the bounds are ours, no source
	{Key: "urine_passed", Stage: After, Kind: Time, Words: []string{"not_yet", "catheter"}, Needed: true},

	{Key: "today_right", Stage: Visits, Kind: Choice, Words: yesNo}, // this device's date, before a day is agreed on
	{Key: Came + "within_24_hours", Stage: Visits, Kind: Choice, Words: came, AfterClosing: true},
	{Key: Came + "day_3", Stage: Visits, Kind: Choice, Words: came, AfterClosing: true},
	{Key: Came + "days_7_to_14", Stage: Visits, Kind: Choice, Words: came, AfterClosing: true},
	{Key: Came + "week_6", Stage: Visits, Kind: Choice, Words: came, AfterClosing: true},
	{Key: Came + "sphincter_review", Stage: Visits, Kind: Choice, Words: came, AfterClosing: true},
}

// MedicinesSeen: what she gets was gone through with her.
const MedicinesSeen = "medicines_seen"

// Questions is the table of all questions, in the order of asking.
func Questions() []Question { return slices.Clone(questions) }

// Find returns the question of that key.
func Find(key string) (Question, bool) {
	at := slices.IndexFunc(questions, func(q Question) bool { return q.Key == key })
	if at < 0 {
		return Question{}, false
	}
	return questions[at], true
}

// Takes reports whether n answers a question that wants a number.
func (q Question) Takes(n int64) bool {
	return q.Kind == Number && n >= q.Least && n <= q.Most
}

// StageKeys lists the stages in order.
func StageKeys() []string {
	return []string{Safe, Examine, Decide, Prepare, Numb, Again, Repair, Check, After, Visits}
}
