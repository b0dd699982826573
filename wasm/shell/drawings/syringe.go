package drawings

import (
	"strconv"
	"strings"
)

// The barrel in units of the drawing: nought at the tip, the size at the flange.
const (
	barrelTip  = 34
	barrelLong = 220
	mostMarks  = 100 // more could not be told apart
)

// Syringe draws a syringe of size with its plunger at filled, both in
// microlitres, and a graduation every mark microlitres. The stopper's front
// edge stands on the volume, as it is read in the hand. It is hidden from
// screen readers: the page says the number. It returns "" for a syringe that
// cannot be: no picture is better than a wrong one.
func Syringe(size, filled, mark int) string {
	if size <= 0 || mark <= 0 || filled < 0 || filled > size || size/mark > mostMarks || size > 1_000_000 {
		return ""
	}
	at := func(v int) int { return 10*barrelTip + 10*barrelLong*v/size } // in tenths of a unit
	var b strings.Builder
	b.WriteString(`<svg class="syringe" viewBox="0 0 360 138" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round" aria-hidden="true" focusable="false">`)
	plunger(&b, at(filled))
	b.WriteString(parts(read("syringe"))["frame"])
	graduation(&b, size, mark, at)
	b.WriteString(`<path class="pointer" d="M` + tenths(at(filled)) + ` 40l-12 -24h24z"/></svg>`)
	return b.String()
}

// plunger draws what is in the barrel and the rod behind it. The rod is drawn
// shorter than it is, so that a full syringe fits on the screen.
func plunger(b *strings.Builder, stopper int) {
	end := 2760 + (stopper-10*barrelTip)*70/barrelLong
	b.WriteString(`<path class="fluid" d="M34 46H` + tenths(stopper) + `V106H34Z"/>`)
	b.WriteString(`<path d="M` + tenths(stopper+80) + ` 76H` + tenths(end) + `M` + tenths(end) + ` 52V100"/>`)
	b.WriteString(`<path class="stopper" d="M` + tenths(stopper) + ` 46h8V106h-8Z"/>`)
}

// graduation draws a short line at every mark, a long one with its number of
// millilitres at every label.
func graduation(b *strings.Builder, size, mark int, at func(int) int) {
	step := labelStep(size, mark)
	var ticks, numbers strings.Builder
	for v := mark; v <= size; v += mark {
		long := "12"
		if v%step == 0 {
			long = "24"
			numbers.WriteString(`<text x="` + tenths(at(v)) + `" y="132" text-anchor="middle" font-size="23">` + millilitres(v) + `</text>`)
		}
		if v < size {
			ticks.WriteString("M" + tenths(at(v)) + " 106v-" + long)
		}
	}
	b.WriteString(`<path class="ticks" d="` + ticks.String() + `"/>` + numbers.String())
}

// labelStep is the smallest round volume that gives at most five numbers.
func labelStep(size, mark int) int {
	for _, step := range []int{100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000, 100_000} {
		if step%mark == 0 && size/step <= 5 {
			return step
		}
	}
	return size
}

// millilitres writes microlitres as millilitres, without trailing zeros.
func millilitres(v int) string {
	whole, rest := strconv.Itoa(v/1000), strconv.Itoa(1000 + v%1000)[1:]
	rest = strings.TrimRight(rest, "0")
	if rest == "" {
		return whole
	}
	return whole + "." + rest
}

func tenths(v int) string {
	return strconv.Itoa(v/10) + "." + strconv.Itoa(v%10)
}
