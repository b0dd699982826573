package pages

// adviceDrawing is the drawing for a line of advice or a danger sign whose item
// in the pack names none.
var adviceDrawing = map[string]string{
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
