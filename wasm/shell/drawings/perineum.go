package drawings

import "strings"

// The looks of a region. They are the words of a finding as the boundary
// spells them, Stitched for a layer that is done, and what a cut has opened; the
// empty word, and any other, is drawn as not examined.
const (
	Open       = ""             // not examined
	Intact     = "intact"       // looked at, closed
	Torn       = "torn"         // looked at, torn; on the external sphincter: through
	Unsure     = "unsure"       // looked at, could not tell
	UnderHalf  = "under_half"   // external sphincter only: less than half its thickness
	HalfOrMore = "half_or_more" // external sphincter only: half its thickness or more
	Through    = "through"      // external sphincter only: all its thickness
	Stitched   = "stitched"     // closed, the thread in place
	Cut        = "cut"          // opened by the cut at the birth: straight, to her right
	CutClosed  = "cut_closed"   // that cut, the thread in place
)

// Region is one part of the drawing.
type Region struct {
	Look  string // one of the looks above
	Href  string // where a tap leads, from "#": used only when Tap is set
	Label string // what a screen reader says of the link: part and finding
}

// Perineum is the drawing with what has been found so far.
type Perineum struct {
	PerinealSkin, VaginalMucosa, PerinealMuscle           Region
	ExternalSphincter, InternalSphincter, AnorectalMucosa Region

	Label string // what a screen reader says of the whole; "" when the page says it in words
	Tap   bool   // each region with an Href is a link
	Asked string // the region that the screen asks about, by its name in Names
	Close bool   // show only the half that holds Asked: for a screen with a question below
}

// Names lists the regions in the order in which a reader meets them: from
// outside in. They are the boundary's names for the findings.
func Names() []string {
	return []string{"perineal_skin", "vaginal_mucosa", "perineal_muscle",
		"external_sphincter", "internal_sphincter", "anorectal_mucosa"}
}

// The boxes of the drawing in its own units. At 320 px of screen the whole is
// 288 px wide, so that 60 units are the 48 px of a tap.
const (
	whole   = "0 0 360 614"
	surface = "40 0 280 286"
	beneath = "0 294 360 320"
)

var perineum = parts(read("perineum"))

// SVG returns the drawing as one svg element. With Tap it is a group of links,
// else one picture. It holds no style and loads nothing.
func (p Perineum) SVG() string {
	var b strings.Builder
	p.open(&b)
	b.WriteString(perineum["ground"])
	for i, name := range Names() {
		p.region(&b, name, p.regions()[i])
	}
	b.WriteString(perineum["over"])
	b.WriteString(perineum[p.Asked+"/pointer"])
	b.WriteString("</svg>")
	return b.String()
}

func (p Perineum) regions() [6]Region {
	return [6]Region{p.PerinealSkin, p.VaginalMucosa, p.PerinealMuscle,
		p.ExternalSphincter, p.InternalSphincter, p.AnorectalMucosa}
}

func (p Perineum) open(b *strings.Builder) {
	class := "perineum"
	if p.box() != whole {
		class += " close"
	}
	b.WriteString(`<svg class="` + class + `" fill="none" stroke="currentColor" stroke-width="2.5" stroke-linecap="round" stroke-linejoin="round" focusable="false"`)
	attr(b, "viewBox", p.box())
	switch {
	case p.Tap:
		attr(b, "role", "group")
	case p.Label != "":
		attr(b, "role", "img")
	default:
		attr(b, "aria-hidden", "true")
	}
	if p.Label != "" {
		attr(b, "aria-label", p.Label)
	}
	b.WriteByte('>')
}

func (p Perineum) box() string {
	if !p.Close || perineum[p.Asked+"/hit"] == "" {
		return whole
	}
	if p.Asked == "perineal_skin" || p.Asked == "vaginal_mucosa" {
		return surface
	}
	return beneath
}

func (p Perineum) region(b *strings.Builder, name string, r Region) {
	look, body := lookOf(name, r.Look)
	class := "region " + name + " " + look
	if name == p.Asked {
		class += " asked"
	}
	link := p.Tap && strings.HasPrefix(r.Href, "#")
	if link {
		b.WriteString("<a")
		attr(b, "href", r.Href)
		attr(b, "aria-label", r.Label)
	} else {
		b.WriteString("<g")
	}
	attr(b, "class", class)
	b.WriteByte('>')
	b.WriteString(body)
	if link {
		b.WriteString(perineum[name+"/hit"])
		b.WriteString("</a>")
		return
	}
	b.WriteString("</g>")
}

// lookOf finds the shapes of a look. A depth on a part that has none, and a
// tear of the external sphincter without its depth, take the deepest drawing;
// a cut where none is made is
// a tear; a word that is not known is not examined.
func lookOf(name, look string) (class, body string) {
	switch look {
	case UnderHalf, HalfOrMore, Through:
		if body := perineum[name+"/"+look]; body != "" {
			return "torn " + look, body
		}
		return "torn", perineum[name+"/torn"]
	case Torn:
		if body := perineum[name+"/torn"]; body != "" {
			return "torn", body
		}
		return "torn through", perineum[name+"/through"]
	case Intact, Unsure, Stitched:
		return look, perineum[name+"/"+look]
	case Cut, CutClosed:
		as := Torn
		if look == CutClosed {
			as = Stitched
		}
		if body := perineum[name+"/"+look]; body != "" {
			return as + " cut", body
		}
		return lookOf(name, as)
	}
	return "open", perineum[name+"/open"]
}
