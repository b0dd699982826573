package drawings

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"
)

func TestIcons(t *testing.T) {
	seen := map[string]string{}
	for _, name := range Icons() {
		svg := Icon(name)
		all := elements(t, svg)
		harmless(t, all)
		if value(all[0], "aria-hidden") != "true" || value(all[0], "class") != "icon icon-"+name || value(all[0], "viewBox") != "0 0 64 64" {
			t.Errorf("%s: %v", name, all[0].Attr)
		}
		if len(all) < 2 {
			t.Errorf("%s is empty", name)
		}
		_, body, _ := strings.Cut(svg, ">")
		if other := seen[body]; other != "" {
			t.Errorf("%s is drawn as %s", name, other)
		}
		seen[body] = name
	}
	for _, name := range []string{"", "perineum", "layers", "figures", "after", "no_such", "../style", `"><script>`, "swab -->\n"} {
		if s := Icon(name); s != "" {
			t.Errorf("Icon(%q) = %q", name, s)
		}
	}
}

// How often is told by strokes that can be counted, never by a circle that has
// no end.
func TestAStrokeForEachTime(t *testing.T) {
	for name, want := range map[string]int{"give_twice": 2, "give_three": 3} {
		strokes := ""
		for _, e := range elements(t, Icon(name)) {
			if value(e, "class") == "fill" {
				strokes += value(e, "d")
			}
		}
		if got := strings.Count(strokes, "M"); got != want {
			t.Errorf("%s shows %d strokes", name, got)
		}
	}
}

// stopper returns where the front edge of the stopper stands, in units.
func stopper(t *testing.T, svg string) float64 {
	t.Helper()
	for _, e := range elements(t, svg) {
		if value(e, "class") == "stopper" {
			return number(t, strings.Fields(value(e, "d"))[0][1:])
		}
	}
	t.Fatal("no stopper")
	return 0
}

// texts returns what is written in a drawing.
func texts(t *testing.T, svg string) string {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	var words []string
	for {
		token, err := d.Token()
		if err == io.EOF {
			return strings.Join(words, " ")
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := token.(xml.CharData); ok && strings.TrimSpace(string(c)) != "" {
			words = append(words, string(c))
		}
	}
}

func TestSyringeStandsOnTheVolume(t *testing.T) {
	for _, c := range []struct {
		size, filled, mark int
		at                 float64 // 34 at nought, 254 at the size
		marks              int     // graduations between the two
		numbers            string
	}{
		{2000, 0, 100, 34, 19, "0.5 1 1.5 2"},
		{2000, 1000, 100, 144, 19, "0.5 1 1.5 2"},
		{5000, 1000, 200, 78, 24, "1 2 3 4 5"},
		{10000, 10000, 500, 254, 19, "2 4 6 8 10"},
		{20000, 15000, 1000, 199, 19, "5 10 15 20"},
	} {
		svg := Syringe(c.size, c.filled, c.mark)
		harmless(t, elements(t, svg))
		if at := stopper(t, svg); at != c.at {
			t.Errorf("%d of %d: stopper at %v, wanted %v", c.filled, c.size, at, c.at)
		}
		if n := texts(t, svg); n != c.numbers {
			t.Errorf("%d: numbers %q, wanted %q", c.size, n, c.numbers)
		}
		_, ticks, _ := strings.Cut(svg, `class="ticks" d="`)
		ticks, _, _ = strings.Cut(ticks, `"`)
		if n := strings.Count(ticks, "M"); n != c.marks {
			t.Errorf("%d: %d marks, wanted %d", c.size, n, c.marks)
		}
	}
}

func TestNoPictureOfAnImpossibleSyringe(t *testing.T) {
	for _, c := range [][3]int{{0, 0, 1}, {2000, 2001, 100}, {2000, -1, 100}, {2000, 1, 0}, {-2, -3, -1}, {1 << 40, 1, 1 << 38}, {20000, 1, 1}} {
		if s := Syringe(c[0], c[1], c[2]); s != "" {
			t.Errorf("Syringe%v drew %q", c, s)
		}
	}
}
