package drawings

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"
)

// elements reads a drawing as strict XML and returns its opening tags.
func elements(t *testing.T, svg string) []xml.StartElement {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	var all []xml.StartElement
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("not well formed: %v in %q", err, svg)
		}
		if e, ok := token.(xml.StartElement); ok {
			all = append(all, e.Copy())
		}
	}
	if len(all) == 0 || all[0].Name.Local != "svg" {
		t.Fatalf("no svg element in %q", svg)
	}
	return all
}

// value returns an attribute of e, "" where it has none.
func value(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// put sets one region of p by its name.
func put(p *Perineum, name string, r Region) {
	at := map[string]*Region{
		"perineal_skin": &p.PerinealSkin, "vaginal_mucosa": &p.VaginalMucosa,
		"perineal_muscle": &p.PerinealMuscle, "external_sphincter": &p.ExternalSphincter,
		"internal_sphincter": &p.InternalSphincter, "anorectal_mucosa": &p.AnorectalMucosa,
	}
	*at[name] = r
}

// harmless fails when a drawing carries what a strict content policy blocks.
func harmless(t *testing.T, all []xml.StartElement) {
	t.Helper()
	for _, e := range all {
		switch e.Name.Local {
		case "style", "script", "image", "use", "foreignObject", "animate":
			t.Errorf("element %s in a drawing", e.Name.Local)
		}
		for _, a := range e.Attr {
			if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") {
				t.Errorf("attribute %s=%q on %s", a.Name.Local, a.Value, e.Name.Local)
			}
		}
	}
}

func TestEveryRegionInEveryLook(t *testing.T) {
	looks := []string{Open, Intact, Torn, Unsure, UnderHalf, HalfOrMore, Through, "no such word"}
	for _, name := range Names() {
		seen := map[string]string{}
		for _, look := range looks {
			for _, tap := range []bool{false, true} {
				p := Perineum{Label: "label", Tap: tap, Asked: name}
				put(&p, name, Region{Look: look, Href: "#/x", Label: "y"})
				all := elements(t, p.SVG())
				harmless(t, all)
				if len(all) < 15 {
					t.Errorf("%s as %q: only %d shapes", name, look, len(all))
				}
			}
			_, body := lookOf(name, look)
			if body == "" {
				t.Errorf("%s has no drawing for %q", name, look)
			}
			seen[look] = body
		}
		if seen[Open] != seen["no such word"] {
			t.Errorf("%s: an unknown word must be drawn as not examined", name)
		}
		for _, pair := range [][2]string{{Open, Intact}, {Open, Unsure}, {Intact, Torn}, {Intact, Unsure}, {Torn, Unsure}} {
			if seen[pair[0]] == seen[pair[1]] {
				t.Errorf("%s is drawn alike as %q and %q", name, pair[0], pair[1])
			}
		}
	}
}
