package aftercare

import "fourchette/core/tear"

const (
	awmf      = "AWMF 015/079, 2020"
	who2022   = "WHO 2022, recommendation 1"
	mcpcTears = "WHO MCPC P-88"
)

// advice in the order in which it is read aloud: what is due first comes first.
func (c Case) advice() []Cited {
	list := []Cited{
		{"pass_urine_within_6_hours", who2022, found},
		{"wash_under_running_water", awmf, found}, // every day, and after stool
	}
	if c.gradeOpen() && !c.ringTorn() { // first, so that no line below reads as if she had been looked at
		list = append([]Cited{{"not_examined", noPaper, ""}}, list...)
	}
	if c.Sutured == Yes {
		list = append(list, Cited{"stitches_dissolve", "WHO MCPC 1st ed., P-83: absorbable", found})
	}
	if c.Grade == tear.First && c.Sutured == No {
		list = append(list, Cited{"small_tear_closes_by_itself", "WHO MCPC 1st ed., P-83", found})
	}
	switch c.sphincter() {
	case Yes:
		list = append(list, sphincterAdvice()...)
	case NotSaid: // of that advice what harms nobody
		list = append(list, sphincterAdvice()[0])
	}
	return append(list,
		Cited{"danger_signs_come_day_or_night", "WHO-style list, reproduced by a hospital", second},
		Cited{"come_to_the_visits", "WHO 2013, as tabulated in BMC 2023", found})
}

// sphincterAdvice is for a torn sphincter and a buttonhole; the first of it may
// be given in doubt.
func sphincterAdvice() []Cited {
	return []Cited{
		{"no_enema_and_nothing_in_the_rectum", mcpcTears, "from memory: WHO MCPC"}, // for 2 weeks
		{"take_the_laxative", awmf, found},
		{"pelvic_floor_exercises", noPaper, ""},
		{"most_heal_without_lasting_trouble", "RCOG-derived leaflet: 6 to 8 in 10", second},
		{"tell_at_the_next_birth", "BMC Pregnancy and Childbirth 2015, s12884-015-0469-4: again in 5.7 %", found},
	}
}

// dangerSigns: what WHO's list names, then what a torn sphincter adds.
func dangerSigns() (list []Cited) {
	for _, key := range []string{
		"more_bleeding", "fits", "breathing_fast_or_hard", "fever_and_too_weak", "headache_with_blurred_sight",
		"calf_pain_or_swelling", "chest_pain", "urine_trouble_or_leak", "wound_red_swollen_or_pus", "smelly_discharge",
		"more_pain_at_the_wound", "low_mood_or_self_harm",
	} {
		list = append(list, Cited{key, "WHO-style list, reproduced by a hospital", second})
	}
	for _, key := range []string{"stool_or_gas_from_vagina", "no_control_of_stool", "wound_gapes", "no_urine_for_6_hours"} {
		list = append(list, Cited{key, "danger signs after a torn sphincter", "from memory: leaflets"})
	}
	return list
}
