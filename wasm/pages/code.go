package pages

import (
	"strings"

	"rsc.io/qr/coding"

	h "fourchette/wasm/pages/markup"
)

// largestCode is the largest code that A5 paper takes: 97 by 97 marks in the
// width of half a page, 61 mm with its margin.
//
// Each test run draws codes and reads them back with one reader, gozxing. Tried
// once, by two more: of full notes printed into a PDF, drawn at 100 to 300 dots
// an inch, zxing-cpp read all, and OpenCV about half. Of drawings 275 to 550
// points wide that were blurred, copied thrice, specked, turned or lit from a
// side, zxing-cpp read nearly all up to version 20 but the most blurred, which
// it lost at every width at version 23; OpenCV lost most. No printer,
// photocopier or phone's camera was tried.
const largestCode = 20

// mostCoded is how many bytes of text that code holds: without the 20 bits
// that say that they are bytes, and how many.
var mostCoded = coding.Version(largestCode).DataBytes(coding.L) - 3

// code is a text as a QR code (ISO/IEC 18004), drawn as one path. A text that
// is too long is in no code: it is never cut.
func (v *visit) code(text string, ok bool) h.Node {
	if ok {
		if c := encoded(text); c != nil {
			return v.codeDrawing(c)
		}
	}
	return v.p("paper.no_code")
}

// encoded is the text as marks; nil where it is too long. The paper's width is
// given, so the fewest marks are the largest. In the trials above the smallest
// version at level L was read more often than a larger one at level M when
// blurred, and as often when specked.
func encoded(text string) *coding.Code {
	for version := coding.Version(5); version <= largestCode; version++ {
		if !holds(version, coding.L, text) {
			continue
		}
		plan, err := coding.NewPlan(version, strongest(text, version), 0)
		if err != nil {
			return nil
		}
		c, err := plan.Encode(coding.String(text))
		if err != nil {
			return nil
		}
		return c
	}
	return nil
}

func holds(version coding.Version, level coding.Level, text string) bool {
	return coding.String(text).Bits(version) <= 8*version.DataBytes(level)
}

// strongest is the level that mends most and still holds the text at that
// size: a photocopy that eats marks is paid for with room that lay idle.
func strongest(text string, version coding.Version) coding.Level {
	level := coding.H
	for level > coding.L && !holds(version, level, text) {
		level--
	}
	return level
}

func (v *visit) codeDrawing(c *coding.Code) h.Node {
	side := itoa(c.Size + 8)
	return h.Figure(h.Class("code"), h.El("svg", h.Attr("viewBox", "0 0 "+side+" "+side), h.Role("img"), h.Attr("aria-label", v.s("paper.code")),
		h.El("rect", h.Attr("width", side), h.Attr("height", side), h.Attr("class", "code-ground")), h.El("path", h.Attr("d", marks(c)), h.Attr("class", "code-marks"))))
}

// marks is the path of a code: a row's neighbours are one bar, and 4 is the
// margin.
func marks(c *coding.Code) string {
	var d strings.Builder
	for y := range c.Size {
		for x := 0; x < c.Size; x++ {
			run := 0
			for x+run < c.Size && c.Black(x+run, y) {
				run++
			}
			if run > 0 {
				d.WriteString("M" + itoa(x+4) + " " + itoa(y+4) + "h" + itoa(run) + "v1h-" + itoa(run) + "z")
				x += run
			}
		}
	}
	return d.String()
}
