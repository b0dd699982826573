package drawings

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// squares returns every layer's frame and every figure by its key.
func squares(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, name := range Figures() {
		all[name] = Figure(name)
	}
	for _, layer := range Layers() {
		n := LayerSteps(layer)
		if n < 2 || n > 4 {
			t.Errorf("%s has %d frames, wanted 2 to 4", layer, n)
		}
		for step := 1; step <= n; step++ {
			all[fmt.Sprintf("%s/%d", layer, step)] = Layer(layer, step)
		}
	}
	return all
}

func TestSquares(t *testing.T) {
	seen := map[string]string{}
	for key, svg := range squares(t) {
		all := elements(t, svg)
		harmless(t, all)
		if value(all[0], "aria-hidden") != "true" || value(all[0], "viewBox") != square || len(all) < 6 {
			t.Errorf("%s: %d shapes, %v", key, len(all), all[0].Attr)
		}
		if other := seen[svg]; other != "" {
			t.Errorf("%s is drawn as %s", key, other)
		}
		seen[svg] = key
	}
}

// Each frame must show the thread, and each layer the needle on its way.
func TestEveryFrameShowsWhatToDo(t *testing.T) {
	for _, layer := range Layers() {
		needles := 0
		for step := 1; step <= LayerSteps(layer); step++ {
			svg := Layer(layer, step)
			if !strings.Contains(svg, "thread") {
				t.Errorf("%s/%d has no thread", layer, step)
			}
			needles += strings.Count(svg, `class="needle"`) * strings.Count(svg, `class="way tip"`)
		}
		if needles == 0 {
			t.Errorf("%s never shows the needle and its way", layer)
		}
	}
}

func TestEveryLayerOfAFindingHasFrames(t *testing.T) {
	for _, name := range Names() {
		if LayerSteps(name) == 0 {
			t.Errorf("no frames for %s", name)
		}
		if _, body := lookOf(name, Stitched); !strings.Contains(body, "thread") || strings.Contains(body, "hatch") {
			t.Errorf("%s as stitched: %q", name, body)
		}
	}
}

func TestNoFrameThatThereIsNot(t *testing.T) {
	for _, layer := range append(Layers(), "", "no_such", "vaginal_mucosa/1") {
		for _, step := range []int{-1, 0, LayerSteps(layer) + 1, 1 << 40} {
			if s := Layer(layer, step); s != "" {
				t.Errorf("Layer(%q, %d) drew something", layer, step)
			}
		}
	}
}

func TestNamed(t *testing.T) {
	all := squares(t)
	for _, name := range Icons() {
		all[name] = Icon(name)
	}
	for key, want := range all {
		if got := Named(key); got != want || got == "" {
			t.Errorf("Named(%q) is another drawing", key)
		}
	}
	for _, key := range []string{"", "/", "vaginal_mucosa", "vaginal_mucosa/", "vaginal_mucosa/0", "vaginal_mucosa/ground", "swab/1"} {
		if s := Named(key); s != "" {
			t.Errorf("Named(%q) = %q", key, s)
		}
	}
}

// documented returns the words of a function's comment.
func documented(t *testing.T, file, function string) []string {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range f.Decls {
		if fn, ok := d.(*ast.FuncDecl); ok && fn.Name.Name == function {
			return regexp.MustCompile(`[a-z_]+`).FindAllString(fn.Doc.Text(), -1)
		}
	}
	t.Fatalf("no %s in %s", function, file)
	return nil
}

func TestTheCommentsNameEveryDrawing(t *testing.T) {
	for _, c := range []struct {
		file, function string
		names          []string
		draw           func(string) string
	}{{"icon.go", "Icon", Icons(), Icon}, {"figure.go", "Figure", Figures(), Figure}} {
		words := documented(t, c.file, c.function)
		for _, name := range c.names {
			if !slices.Contains(words, name) {
				t.Errorf("the comment of %s does not name %s", c.function, name)
			}
		}
		for _, word := range words {
			if strings.Contains(word, "_") && c.draw(word) == "" {
				t.Errorf("the comment of %s names %s, which is not drawn", c.function, word)
			}
		}
	}
}

// A section of a sheet that no name leads to would be carried for nothing.
func TestNothingIsDrawnForNobody(t *testing.T) {
	known := map[string][]string{"figures": Figures()}
	for _, sheet := range []string{"safe", "count", "after", "travel", "choice", "answers", "steps"} {
		known[sheet] = Icons()
	}
	total := 0
	for sheet, names := range known {
		found := parts(read(sheet))
		total += len(found)
		for name := range found {
			if !slices.Contains(names, name) {
				t.Errorf("%s.svg draws %s, which no name leads to", sheet, name)
			}
		}
	}
	if want := len(Icons()) - len(strings.Fields(tools+" "+crossed)) + len(Figures()); total != want {
		t.Errorf("%d sections for %d names: one is drawn twice or not at all", total, want)
	}
}

// Classes that say what a line is, for whoever mends the drawing, and take the
// plain stroke.
const plainStroke = " edge grain hatch seam clamp measure "

func TestEveryClassOfADrawingIsDressed(t *testing.T) {
	css := styleSheet(t)
	all := squares(t)
	for _, name := range Icons() {
		all[name] = Icon(name)
	}
	for key, svg := range all {
		for _, e := range elements(t, svg)[1:] {
			for _, class := range strings.Fields(value(e, "class")) {
				dressed := regexp.MustCompile(`\.` + class + `[^a-z-]`).MatchString(css)
				if !dressed && !strings.Contains(plainStroke, " "+class+" ") {
					t.Errorf("%s: style.css does not dress .%s", key, class)
				}
			}
		}
	}
}

// The drawings travel inside the program, so each byte is paid on a slow line:
// those of the trade, and those that stand for an answer or a step of a rescue.
func TestDrawingsAreLight(t *testing.T) {
	trade := 0
	for _, name := range Names() {
		_, body := lookOf(name, Stitched)
		trade += len(body)
	}
	for _, set := range []struct {
		weight, most int
		sheets       []string
	}{
		{trade, 60_000, []string{"safe", "count", "after", "travel", "figures", "layers"}},
		{0, 20_000, []string{"choice", "answers", "steps"}},
	} {
		for _, sheet := range set.sheets {
			n := len(read(sheet))
			if n == 0 {
				t.Errorf("%s.svg is missing", sheet)
			}
			set.weight += n
		}
		if set.weight > set.most {
			t.Errorf("%q weigh %d bytes, more than %d", set.sheets, set.weight, set.most)
		}
	}
}
