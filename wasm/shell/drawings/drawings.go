// Package drawings holds Fourchette's line drawings and hands them out as SVG
// to put inside a page. Start with Perineum.SVG, the one drawing that grows
// through the whole path. Layer shows the needle's way through one layer,
// frame by frame; Figure is one act of the hand; Icon and Syringe are the small
// ones.
//
// The perineum is always seen as the attendant sees it: the woman on her back,
// vagina above, anus below. The upper half is the surface. The pane below it
// is what lies under the skin, enlarged: the perineal muscle, then the front
// of the two sphincters and the anorectal mucosa as three arches one inside
// the other. No drawing is ever mirrored.
//
// A part's look is told by its shape first, so that it holds without colour,
// on paper and for an eye that sees no red:
//
//	not examined   an empty, dashed outline
//	intact         a closed outline with the tissue's grain in it
//	torn           a gap with ragged edges, hatched
//	cut            a gap with straight edges, hatched, to her right
//	unsure         a wavy outline round a question mark
//	stitched       closed, the thread in place as that layer takes it
//
// The files beside this one hold the shapes, style.css the colours. No shape
// carries an inline style, and what a caller hands in is escaped.
package drawings

import (
	"embed"
	"html"
	"strings"
)

//go:embed *.svg
var files embed.FS

// read returns the text of a drawing, or "" where there is none by that name.
func read(name string) string {
	b, err := files.ReadFile(name + ".svg")
	if err != nil {
		return ""
	}
	return string(b)
}

// parts cuts a drawing at its <!-- name --> lines into what follows each. The
// root element round them is left out.
func parts(svg string) map[string]string {
	found := map[string]string{}
	svg = strings.TrimSuffix(strings.TrimSpace(svg), "</svg>")
	for _, piece := range strings.Split(svg, "<!-- ")[1:] {
		name, body, _ := strings.Cut(piece, " -->")
		found[name] = strings.TrimSpace(body)
	}
	return found
}

// attr writes one attribute, its value escaped.
func attr(b *strings.Builder, name, value string) {
	b.WriteByte(' ')
	b.WriteString(name)
	b.WriteString(`="`)
	b.WriteString(html.EscapeString(value))
	b.WriteByte('"')
}
