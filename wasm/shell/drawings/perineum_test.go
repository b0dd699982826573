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

// A cut is made on purpose and to the side: it is drawn neither as a tear nor,
// closed, as a seam down the middle. No cut goes into a ring or the bowel.
func TestTheCutIsNoTear(t *testing.T) {
	for _, name := range Names() {
		made := name == "perineal_skin" || name == "vaginal_mucosa" || name == "perineal_muscle"
		for look, as := range map[string]string{Cut: Torn, CutClosed: Stitched} {
			class, body := lookOf(name, look)
			asClass, asBody := lookOf(name, as)
			if body == "" || made != (body != asBody) || made && class != as+" cut" || !made && class != asClass {
				t.Errorf("%s as %q: %s", name, look, class)
			}
			if strings.Contains(body, "rag") && made {
				t.Errorf("%s as %q has ragged edges", name, look)
			}
			p := Perineum{Asked: name}
			put(&p, name, Region{Look: look})
			harmless(t, elements(t, p.SVG()))
		}
	}
}

func TestWhatAReaderHears(t *testing.T) {
	root := func(p Perineum) xml.StartElement { return elements(t, p.SVG())[0] }
	if e := root(Perineum{Label: "torn skin"}); value(e, "role") != "img" || value(e, "aria-label") != "torn skin" {
		t.Errorf("picture: %v", e.Attr)
	}
	if e := root(Perineum{Label: "layers", Tap: true}); value(e, "role") != "group" || value(e, "aria-label") != "layers" {
		t.Errorf("links: %v", e.Attr)
	}
	if e := root(Perineum{}); value(e, "aria-hidden") != "true" || value(e, "role") != "" {
		t.Errorf("no label: %v", e.Attr)
	}
}

func TestCloseShowsTheHalfThatIsAskedAbout(t *testing.T) {
	for asked, want := range map[string]string{
		"perineal_skin": surface, "vaginal_mucosa": surface, "perineal_muscle": beneath,
		"external_sphincter": beneath, "internal_sphincter": beneath, "anorectal_mucosa": beneath,
		"": whole, "rectal_exam": whole,
	} {
		if got := value(elements(t, Perineum{Asked: asked, Close: true}.SVG())[0], "viewBox"); got != want {
			t.Errorf("%q: box %s, wanted %s", asked, got, want)
		}
	}
}

// links counts the links of a drawing and fails on one that leaves the page.
func links(t *testing.T, svg string) int {
	t.Helper()
	n := 0
	for _, e := range elements(t, svg) {
		if e.Name.Local != "a" {
			continue
		}
		n++
		if !strings.HasPrefix(value(e, "href"), "#") {
			t.Errorf("link to %q", value(e, "href"))
		}
	}
	return n
}

func TestOnlyLinksInsideThePage(t *testing.T) {
	for href, want := range map[string]int{"#/x": 1, "": 0, "javascript:alert(1)": 0, "https://example.org": 0} {
		p := Perineum{Tap: true, PerinealSkin: Region{Href: href}}
		if got := links(t, p.SVG()); got != want {
			t.Errorf("%q gives %d links", href, got)
		}
		p.Tap = false
		if links(t, p.SVG()) != 0 {
			t.Errorf("%q is a link in a picture", href)
		}
	}
}

func FuzzEscapes(f *testing.F) {
	f.Add(`"><script>`, "#/'\"<", `a"b`, "torn", "perineal_skin")
	f.Add("a & b", "#/b?x=1&y=2", "<!-- x -->", "</svg>", "x\"/>")
	plain := len(tags(f, Perineum{Tap: true, Label: "x", PerinealSkin: Region{Href: "#/"}}.SVG()))
	f.Fuzz(func(t *testing.T, label, href, said, look, asked string) {
		p := Perineum{Tap: true, Label: label, PerinealSkin: Region{Href: "#" + href, Label: said}}
		if got := tags(t, p.SVG()); len(got) != plain {
			t.Errorf("%q %q %q changed the drawing's elements: %v", label, href, said, got)
		}
		p.PerinealSkin.Look, p.Asked = look, asked
		for _, e := range tags(t, p.SVG()) {
			if strings.Contains(" svg g path circle rect a ", " "+e+" ") {
				continue
			}
			t.Errorf("element %q from look %q, asked %q", e, look, asked)
		}
	})
}

// tags reads a drawing leniently, as a browser would, and returns the names of
// its elements: a control character in a label is no fault here.
func tags(t testing.TB, svg string) []string {
	t.Helper()
	var names []string
	for _, piece := range strings.Split(svg, "<")[1:] {
		name, _, _ := strings.Cut(strings.SplitN(piece, ">", 2)[0], " ")
		if !strings.HasPrefix(name, "/") && name != "" {
			names = append(names, strings.TrimRight(name, "/"))
		}
	}
	if len(names) == 0 || names[0] != "svg" {
		t.Fatalf("no drawing in %q", svg)
	}
	return names
}
