package drawings

import "strings"

// Icon returns the small drawing of that name for beside a word, hidden from
// screen readers: the word says it. It returns "" where there is none.
//
// The names: new_birth, grade_tool, dose_tool, emergency, bleeding, toxicity,
// fits, fever, rectal_exam, episiotomy, scale, gloves, home.
func Icon(name string) string {
	svg := read(name)
	if svg == "" || name == "perineum" || name == "syringe" {
		return ""
	}
	_, rest, _ := strings.Cut(svg, "<svg ")
	return `<svg class="icon icon-` + name + `" aria-hidden="true" focusable="false" ` + strings.TrimSpace(rest)
}
