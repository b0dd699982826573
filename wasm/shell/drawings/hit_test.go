package drawings

import (
	"strconv"
	"testing"
)

// At 320 px of screen, 16 px of edge on both sides leave the drawing 288 px,
// and style.css shows a drawing with links in full width.
const narrowest = 288.0

// box is a rectangle in css px.
type box struct{ x, y, w, h float64 }

func number(t *testing.T, s string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatalf("not a number: %q", s)
	}
	return f
}

// hits returns the rectangles that are surely tappable, by region, at 320 px.
func hits(t *testing.T) map[string]box {
	t.Helper()
	p := Perineum{Tap: true, Label: "drawing"}
	for _, name := range Names() {
		put(&p, name, Region{Href: "#/" + name, Label: name})
	}
	found := map[string]box{}
	link, links := "", []string{}
	scale := narrowest / 360
	for _, e := range elements(t, p.SVG()) {
		switch {
		case e.Name.Local == "a":
			link = value(e, "href")[2:]
			links = append(links, link)
			if value(e, "aria-label") != link {
				t.Errorf("link to %s is called %q", link, value(e, "aria-label"))
			}
		case e.Name.Local == "rect" && value(e, "class") == "hit":
			if value(e, "pointer-events") != "all" {
				t.Errorf("%s: an empty rectangle that takes no tap", link)
			}
			at := func(name string) float64 { return number(t, value(e, name)) * scale }
			found[link] = box{at("x"), at("y"), at("width"), at("height")}
		}
	}
	if len(links) != len(Names()) || len(found) != len(Names()) {
		t.Fatalf("links %v, rectangles %v", links, found)
	}
	for i, name := range Names() {
		if links[i] != name {
			t.Errorf("link %d leads to %s, wanted %s", i, links[i], name)
		}
	}
	return found
}

func TestTargetsAreLargeAndApart(t *testing.T) {
	all := hits(t)
	for i, a := range Names() {
		if all[a].w < 48 || all[a].h < 48 {
			t.Errorf("%s is %.1f by %.1f px at 320 px", a, all[a].w, all[a].h)
		}
		for _, b := range Names()[i+1:] {
			if g := gap(all[a], all[b]); g < 8 {
				t.Errorf("%s and %s are %.1f px apart", a, b, g)
			}
		}
	}
}

// gap is how far two boxes are apart along the axis that parts them most.
func gap(a, b box) float64 {
	across := max(a.x-(b.x+b.w), b.x-(a.x+a.w))
	down := max(a.y-(b.y+b.h), b.y-(a.y+a.h))
	return max(across, down)
}
