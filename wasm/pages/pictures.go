package pages

// adviceDrawing is the drawing for a line of advice or a danger sign whose item
// in the pack names none.
var adviceDrawing = map[string]string{
	"not_examined":                       "consent",
	"pass_urine_within_6_hours":          "pass_urine",
	"wash_under_running_water":           "wash",
	"stitches_dissolve":                  "suture",
	"small_tear_closes_by_itself":        "rest",
	"no_enema_and_nothing_in_the_rectum": "nothing_inside",
	"take_the_laxative":                  "drink_fibre",
	"pelvic_floor_exercises":             "pelvic_floor",
	"most_heal_without_lasting_trouble":  "company",
	"tell_at_the_next_birth":             "consent",
	"danger_signs_come_day_or_night":     "go_to_hospital",
	"come_to_the_visits":                 "come_back",
	"more_bleeding":                      "heavy_bleeding",
	"fits":                               "fits",
	"breathing_fast_or_hard":             "hard_breathing",
	"fever_and_too_weak":                 "fever",
	"headache_with_blurred_sight":        "headache",
	"calf_pain_or_swelling":              "calf_pain",
	"chest_pain":                         "chest_pain",
	"urine_trouble_or_leak":              "leaking",
	"wound_red_swollen_or_pus":           "bad_smell",
	"smelly_discharge":                   "bad_smell",
	"more_pain_at_the_wound":             "more_pain",
	"low_mood_or_self_harm":              "sad",
	"stool_or_gas_from_vagina":           "leaking",
	"no_control_of_stool":                "leaking",
	"wound_gapes":                        "wound_open",
	"no_urine_for_6_hours":               "no_urine",
}

// answerDrawing is the drawing beside an answer, by question and word. A
// question has one for each of its answers that can be drawn, or none: a
// picture beside one answer alone draws the thumb to it.
var answerDrawing = map[string]string{
	"arrived_from_here": "here", "arrived_from_elsewhere": "transport",
	"instrumental_none": "hands_on", "instrumental_vacuum": "vacuum", "instrumental_forceps": "birth_forceps",
	"bleeding_looked_settled": "light_bleeding", "bleeding_looked_heavy": "heavy_bleeding",
	"final_bleeding_settled": "light_bleeding", "final_bleeding_heavy": "heavy_bleeding",
	"consent_exam_yes": "consent", "consent_exam_declined": "says_no",
	"consent_repair_yes": "consent", "consent_repair_declined": "says_no",
	"rectal_exam_done": "rectal_exam", "rectal_exam_declined": "says_no",
	"rectal_after_done": "rectal_exam", "rectal_after_declined": "says_no",
	"decision_repair_here": "repair_here", "decision_refer": "transport", "decision_cannot_travel": "no_transport", "decision_leave_open": "leave_open",
	"transport_found": "transport", "transport_none": "no_transport",
	"numb_felt_yes": "unwell", "numb_felt_no": "well",
	"tampon_none": "no_tampon", "tampon_in": "tampon_in", "tampon_out": "tampon_out", "tampon_left": "tampon_left",
	"stitch_removed_removed": "scissors", "stitch_removed_refer": "transport",
	"early_check_well": "well", "early_check_not_well": "unwell",
}

// stageDrawing is the drawing of a stage of the way.
var stageDrawing = map[string]string{
	"safe": "uterus_firm", "examine": "rectal_exam", "decide": "operator", "prepare": "swab", "numb": "dose_tool",
	"again": "light", "repair": "needle_holder", "check": "search", "after": "medicine", "visits": "come_back",
}

// timerDrawing is the drawing of what runs against the clock.
var timerDrawing = map[string]string{
	"first_urine": "pass_urine", "tranexamic": "drip", "wait_numb": "wait", "tampon_in": "tampon_in",
	"early_checks": "pulse", "second_pressure": "pressure", "antibiotic": "medicine",
}

// needDrawing is the drawing of what a grade needs.
var needDrawing = map[string]string{
	"operator": "operator", "place": "here", "anaesthesia": "dose_tool", "instruments": "needle_holder", "material": "suture",
}
