package drawings

import (
	"slices"
	"strings"
	"sync"
)

// The small drawings, each a 64 by 64 square. Those of one use lie together in
// a sheet of their own: a file holds what is counted, what is done at home.
const (
	tools = "new_birth grade_tool dose_tool emergency bleeding toxicity fits fever rectal_exam episiotomy scale gloves home"
	safe  = "uterus_firm placenta bowl pulse pressure light position consent warm_compress hands_on slow_crowning wait"
	count = "swab needle tampon forceps needle_holder scissors clamp artery_clip retractor suture syringe other"
	after = "wash front_to_back change_pad drink_fibre pain_tablet pass_urine no_pushing no_lifting pelvic_floor breastfeeding come_back" +
		" cool wash_hands rest nothing_inside company medicine" +
		" bad_smell heavy_bleeding leaking wound_open headache sad go_to_hospital" +
		" hard_breathing chest_pain calf_pain no_urine more_pain" +
		" wound_pus stool_from_vagina stool_lost cloth_comes_out no_enema tell_next small_tear wait_together"
	travel = "lie_on_side press_pad drip referral_note transport"
	choice = "drape antiseptic sharps_box local_anaesthetic catheter vacuum birth_forceps here table repair_here no_transport leave_open says_no" +
		" well unwell tampon_in tampon_out tampon_left no_tampon search operator light_bleeding"
	answers = "unsure cannot_answer says_yes feel_uterus uterus_soft placenta_out placenta_in placenta_gap steady tear_bleeds scar vulva" +
		" position_bad eye numb_below told same changed deep shallow seam_whole seam_half found not_found stitch_inside no_stitch_inside" +
		" layer_whole layer_torn ring_whole ring_under_half ring_over_half ring_through cut"
	steps = "call_help clock hour_unknown rub_uterus empty_bladder open_vein fluid_vein inject_vein inject_slowly give_twice give_three inject_muscle under_tongue" +
		" look_for_tear look_for_tampon weigh_pads flat_warm open_airway breathe_for_her oxygen_mask chest_press by_protocol knee_jerk drip_faster" +
		" oximeter measure_urine confused belly_pain look_all_over nothing_between_teeth"
	// crossed are the drawings of what there is not: the one behind "not_", with a line through it.
	crossed = "not_pulse not_pressure not_table not_light not_syringe not_needle_holder not_suture not_operator not_told not_inject_slowly not_medicine" +
		" not_breastfeeding not_tampon_in"
)

// Icons lists the names that Icon knows.
func Icons() []string {
	return strings.Fields(tools + " " + safe + " " + count + " " + after + " " + travel + " " + choice + " " + answers + " " + steps + " " + crossed)
}

// sheets holds the small drawings that share a file, by name.
var sheets = sync.OnceValue(func() map[string]string {
	all := map[string]string{}
	for _, sheet := range []string{"safe", "count", "after", "travel", "choice", "answers", "steps"} {
		for name, body := range parts(read(sheet)) {
			all[name] = body
		}
	}
	return all
})

// Icon returns the small drawing of that name for beside a word, hidden from
// screen readers: the word says it. It returns "" where there is none.
//
// The names of the program's own tools: new_birth, grade_tool, dose_tool,
// emergency, bleeding, toxicity, fits, fever, rectal_exam, episiotomy, scale,
// gloves, home.
//
// The mother safe, and the birth itself: uterus_firm, placenta, bowl, pulse,
// pressure, light, position, consent, warm_compress, hands_on, slow_crowning,
// wait (two minutes; no number is drawn, the text says it).
//
// What is counted, by its key in supplies: swab, needle, tampon, forceps,
// needle_holder, scissors, clamp, artery_clip, retractor, suture, syringe,
// other.
//
// At home: wash, front_to_back, change_pad, drink_fibre, pain_tablet,
// pass_urine, no_pushing, no_lifting, pelvic_floor, breastfeeding, come_back,
// cool, wash_hands, rest, nothing_inside, company, medicine.
// And tell_next (a tear told at the next birth), small_tear, no_enema,
// wait_together (wait with sex).
// Danger signs: fever, fits, bad_smell, heavy_bleeding, leaking, wound_open,
// headache, sad, hard_breathing, chest_pain, calf_pain, no_urine, more_pain,
// wound_pus, stool_from_vagina, stool_lost, cloth_comes_out, and go_to_hospital.
//
// On the way: lie_on_side, press_pad, drip, referral_note, transport.
//
// What is laid out and never counted: drape, antiseptic, sharps_box,
// local_anaesthetic, catheter.
// What an answer means: vacuum, birth_forceps, here, table (a place to stitch,
// with its lamp), repair_here, no_transport, leave_open, says_no (an open hand),
// well, unwell, tampon_in, tampon_out, tampon_left (inside, and a note handed
// on), no_tampon, search, operator, light_bleeding.
//
// Answers that differ to the eye: unsure (raised shoulders, shared by all
// questions), cannot_answer, says_yes, feel_uterus and uterus_soft, placenta_out
// (in the bowl), placenta_in, placenta_gap, steady, tear_bleeds, scar, vulva,
// position_bad, eye, numb_below, told, same, changed, deep, shallow, seam_whole,
// seam_half, found, not_found, stitch_inside, no_stitch_inside, layer_whole,
// layer_torn, ring_whole, ring_under_half, ring_over_half, ring_through, cut.
// With a line through: not_pulse, not_pressure, not_table, not_light,
// not_syringe, not_needle_holder, not_suture, not_operator, not_told,
// not_inject_slowly, not_medicine, not_breastfeeding, not_tampon_in.
//
// Steps of a rescue: call_help, clock, hour_unknown, rub_uterus, empty_bladder,
// open_vein, fluid_vein, inject_vein, inject_slowly (ten minutes of a clock),
// give_twice and give_three (a stroke for each, all told), inject_muscle,
// under_tongue (a heap: the words say how much), look_for_tear,
// look_for_tampon (whether one is there), weigh_pads, flat_warm, open_airway,
// breathe_for_her, oxygen_mask, chest_press, by_protocol (an ampoule and the
// paper that says how much), knee_jerk, drip_faster, oximeter, measure_urine,
// confused, belly_pain, look_all_over, nothing_between_teeth.
func Icon(name string) string {
	body := sheets()[name]
	if there, is := strings.CutPrefix(name, "not_"); is && among(crossed, name) {
		body = sheets()[there] + line
	}
	if body == "" && among(tools, name) {
		_, rest, _ := strings.Cut(read(name), ">")
		body = strings.TrimSuffix(strings.TrimSpace(rest), "</svg>")
	}
	if body == "" {
		return ""
	}
	return frame("icon icon-"+name, "0 0 64 64", "3") + body + "</svg>"
}

// line crosses a drawing out, clear of the strokes under it.
const line = `<path class="clear" d="M6 6L58 58"/><path d="M6 6L58 58"/>`

// among tells whether the name is one of the names.
func among(names, name string) bool { return slices.Contains(strings.Fields(names), name) }

// frame opens a drawing that is hidden from screen readers.
func frame(class, box, stroke string) string {
	return `<svg class="` + class + `" aria-hidden="true" focusable="false" viewBox="` + box +
		`" fill="none" stroke="currentColor" stroke-width="` + stroke + `" stroke-linecap="round" stroke-linejoin="round">`
}
