package pages

import (
	"strings"

	"rsc.io/qr/coding"

	h "fourchette/wasm/pages/markup"
)

// mostCoded is the most bytes that a code on A5 paper holds so that a cheap
// camera still reads it after a bad photocopy: version 20 at level L, 59 mm
// wide. Tried on drawings at 150 to 300 dots an inch, blurred, specked and
// turned: two readers read version 20 nearly always, and 22 often not.
const mostCoded = 858

// code is a text as a QR code (ISO/IEC 18004), drawn as one path. A text that
// is too long is cut at a line and says so with its last sign.
func (v *visit) code(text string) h.Node {
	for len(text) > mostCoded {
		at := strings.LastIndexByte(strings.TrimSuffix(text, "\n…"), '\n')
		if at < 0 {
			return v.p("paper.no_code")
		}
		text = text[:at] + "\n…"
	}
	for version := coding.Version(5); version <= 20; version++ {
		if coding.String(text).Bits(version) > 8*version.DataBytes(coding.L) {
			continue
		}
		plan, err := coding.NewPlan(version, strongest(text, version), 0)
		if err != nil {
			return v.p("paper.no_code")
		}
		c, err := plan.Encode(coding.String(text))
		if err != nil {
			continue
		}
		return v.codeDrawing(c)
	}
	return v.p("paper.no_code")
}

// strongest is the level that mends most and still holds the text at that
// size: a photocopy that eats marks is paid for with room that lay idle.
func strongest(text string, version coding.Version) coding.Level {
	for level := coding.H; level > coding.L; level-- {
		if coding.String(text).Bits(version) <= 8*version.DataBytes(level) {
			return level
		}
	}
	return coding.L
}

func (v *visit) codeDrawing(c *coding.Code) h.Node {
	var d strings.Builder
	for y := range c.Size {
		for x := 0; x < c.Size; x++ {
			run := 0
			for x+run < c.Size && c.Black(x+run, y) {
				run++
			}
			if run > 0 { // a row's neighbours are one bar; 4 is the quiet zone
				d.WriteString("M" + itoa(x+4) + " " + itoa(y+4) + "h" + itoa(run) + "v1h-" + itoa(run) + "z")
				x += run
			}
		}
	}
	side := itoa(c.Size + 8)
	return h.Figure(h.Class("code"), h.El("svg", h.Attr("viewBox", "0 0 "+side+" "+side), h.Role("img"), h.Attr("aria-label", v.s("paper.code")),
		h.El("rect", h.Attr("width", side), h.Attr("height", side), h.Attr("class", "code-ground")), h.El("path", h.Attr("d", d.String()), h.Attr("class", "code-marks"))))
}
