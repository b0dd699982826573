package pages

// adviceDrawing is the drawing for a line of advice or a danger sign whose item
// in the pack names none.
var adviceDrawing = map[string]string{
	"not_examined":                       "consent",
	"pass_urine_within_6_hours":          "pass_urine",
	"wash_under_running_water":           "wash",
	"stitches_dissolve":                  "suture",
	"small_tear_closes_by_itself":        "small_tear",
	"no_enema_and_nothing_in_the_rectum": "no_enema",
	"take_the_laxative":                  "medicine",
	"pelvic_floor_exercises":             "pelvic_floor",
	"most_heal_without_lasting_trouble":  "well",
	"tell_at_the_next_birth":             "tell_next",
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
	"wound_red_swollen_or_pus":           "wound_pus",
	"smelly_discharge":                   "bad_smell",
	"more_pain_at_the_wound":             "more_pain",
	"low_mood_or_self_harm":              "sad",
	"stool_or_gas_from_vagina":           "stool_from_vagina",
	"no_control_of_stool":                "stool_lost",
	"wound_gapes":                        "wound_open",
	"no_urine_for_6_hours":               "no_urine",
	"something_comes_out":                "cloth_comes_out",
}

// answerDrawing is the drawing beside an answer, by question and word. A
// question has one for each of its answers, no two alike, or none at all: a
// picture beside one answer alone draws the thumb to it. What no drawing can
// tell apart, one tablet from another, has none.
var answerDrawing = map[string]string{
	"arrived_from_here": "here", "arrived_from_elsewhere": "transport",
	"uterus_firm_yes": "uterus_firm", "uterus_firm_no": "uterus_soft", "uterus_firm_unsure": "unsure",
	"final_firm_yes": "uterus_firm", "final_firm_no": "uterus_soft", "final_firm_unsure": "unsure",
	"placenta_out_yes": "placenta_out", "placenta_out_no": "placenta_in", "placenta_out_unsure": "unsure",
	"placenta_complete_yes": "placenta", "placenta_complete_no": "placenta_gap", "placenta_complete_unsure": "unsure",
	"bleeding_looked_settled": "light_bleeding", "bleeding_looked_heavy": "heavy_bleeding", "bleeding_looked_unsure": "unsure",
	"final_bleeding_settled": "light_bleeding", "final_bleeding_heavy": "heavy_bleeding", "final_bleeding_unsure": "unsure",
	"alarm_seen_steady": "steady", "alarm_seen_from_tear": "tear_bleeds",
	"pulse_none": "not_pulse", "pulse_not_measured": "unsure",
	"systolic_none": "not_pressure", "systolic_not_measured": "unsure", "diastolic_none": "not_pressure", "diastolic_not_measured": "unsure",
	"tranexamic_given_now": "inject_slowly", "tranexamic_given_no": "not_inject_slowly",
	"instrumental_none": "hands_on", "instrumental_vacuum": "vacuum", "instrumental_forceps": "birth_forceps", "instrumental_unknown": "unsure",
	"genital_cutting_yes": "scar", "genital_cutting_no": "vulva", "genital_cutting_unsure": "unsure",
	"consent_exam_yes": "says_yes", "consent_exam_declined": "says_no", "consent_exam_cannot_answer": "cannot_answer",
	"consent_repair_yes": "says_yes", "consent_repair_declined": "says_no", "consent_repair_cannot_answer": "cannot_answer",
	"position_yes": "position", "position_no": "position_bad", "light_yes": "light", "light_no": "not_light",
	"pain_relief_local": "local_anaesthetic", "pain_relief_working": "numb_below", "pain_relief_none": "not_syringe",
	"pain_relief_declined": "says_no", "pain_relief_unknown": "unsure",

	"episiotomy_yes": "cut", "episiotomy_no": "vulva",
	"perineal_skin_intact": "layer_whole", "perineal_skin_torn": "layer_torn", "perineal_skin_unsure": "unsure",
	"vaginal_mucosa_intact": "layer_whole", "vaginal_mucosa_torn": "layer_torn", "vaginal_mucosa_unsure": "unsure",
	"perineal_muscle_intact": "layer_whole", "perineal_muscle_torn": "layer_torn", "perineal_muscle_unsure": "unsure",
	"rectal_exam_done": "rectal_exam", "rectal_exam_declined": "says_no",
	"external_sphincter_intact": "ring_whole", "external_sphincter_under_half": "ring_under_half", "external_sphincter_half_or_more": "ring_over_half",
	"external_sphincter_through": "ring_through", "external_sphincter_unsure": "unsure",
	"internal_sphincter_intact": "ring_whole", "internal_sphincter_torn": "ring_through", "internal_sphincter_unsure": "unsure",
	"anorectal_mucosa_intact": "layer_whole", "anorectal_mucosa_torn": "layer_torn", "anorectal_mucosa_unsure": "unsure",

	"trained_operator_here_yes": "operator", "trained_operator_here_no": "not_operator",
	"decision_repair_here": "repair_here", "decision_refer": "transport", "decision_cannot_travel": "no_transport", "decision_leave_open": "leave_open",
	"transport_found": "transport", "transport_none": "no_transport", "told_receiver_yes": "told", "told_receiver_no": "not_told",
	"numb_felt_yes": "unwell", "numb_felt_no": "well", "looked_again_same": "same", "looked_again_changed": "changed",
	"muscle_deep_yes": "deep", "muscle_deep_no": "shallow", "repair_finished_yes": "seam_whole", "repair_finished_no": "seam_half",
	"final_count_search_found": "found", "final_count_search_not_found": "not_found",
	"tampon_none": "no_tampon", "tampon_in": "tampon_in", "tampon_out": "tampon_out", "tampon_left": "tampon_left", "tampon_never_in": "not_tampon_in",
	"rectal_after_done": "rectal_exam", "rectal_after_declined": "says_no",
	"stitch_felt_yes": "stitch_inside", "stitch_felt_no": "no_stitch_inside", "stitch_felt_unsure": "unsure",
	"stitch_removed_removed": "scissors", "stitch_removed_refer": "transport",

	"antibiotic_given_now": "medicine", "antibiotic_given_not_given": "not_medicine",
	"breastfeeding_yes": "breastfeeding", "breastfeeding_no": "not_breastfeeding",
	"early_check_well": "well", "early_check_not_well": "unwell",
	"second_systolic_none": "not_pressure", "second_systolic_not_measured": "unsure",
	"second_diastolic_none": "not_pressure", "second_diastolic_not_measured": "unsure",
	"urine_passed_now": "pass_urine", "urine_passed_not_yet": "no_urine", "urine_passed_catheter": "catheter",
}

// stageDrawing is the drawing of a stage of the way.
var stageDrawing = map[string]string{
	"safe": "uterus_firm", "examine": "rectal_exam", "decide": "operator", "prepare": "swab", "numb": "dose_tool",
	"again": "light", "repair": "needle_holder", "check": "search", "after": "medicine", "visits": "come_back",
}

// timerDrawing is the drawing of what runs against the clock.
var timerDrawing = map[string]string{
	"first_urine": "pass_urine", "tranexamic": "inject_slowly", "wait_numb": "wait", "tampon_in": "tampon_in",
	"early_checks": "pulse", "second_pressure": "pressure", "antibiotic": "medicine",
}

// needDrawing is the drawing of what a grade needs; crossed out, it is not here.
var needDrawing = map[string]string{
	"operator": "operator", "place": "table", "anaesthesia": "syringe", "instruments": "needle_holder", "material": "suture",
}
