package core_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// clocks are the functions of package time that look at a clock or wait for
// one. Clocks are handed in, so that tests hold them still and a jump of the
// wall clock can be caught.
var clocks = []string{"Now", "Since", "Until", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker", "Sleep"}

func TestCoreLooksAtNoClock(t *testing.T) {
	files := sources(t, ".")
	for _, f := range files {
		if strings.HasPrefix(f.name, "vectors/") {
			continue // the one exception: it measures
		}
		for _, use := range uses(f, "time", clocks) {
			t.Errorf("%s: the clock is handed in", use)
		}
	}
}

// Raw writes text into a page without escaping it. One file holds the
// drawings that need it, and is read with that in mind.
func TestOneFileWritesRawHTML(t *testing.T) {
	var where []string
	for _, f := range sources(t, "..") {
		if len(uses(f, "fourchette/wasm/pages/markup", []string{"Raw"})) > 0 {
			where = append(where, f.name)
		}
	}
	if len(where) > 1 {
		t.Errorf("raw HTML is written in %q: one file is enough", where)
	}
	for _, name := range where {
		if !strings.HasPrefix(name, "wasm/pages/") {
			t.Errorf("%s writes raw HTML: only wasm/pages may", name)
		}
	}
}

// The check is tried on text that breaks it in each way.
func TestUsesAreFound(t *testing.T) {
	for text, want := range map[string]int{
		`import "time"; var _ = time.Now()`:                                   1,
		`import "time"; var _ = time.Now`:                                     1,
		`import clock "time"; var _ = clock.Since`:                            1,
		`import . "time"; var _ = Now()`:                                      1,
		`import "time"; func f() { time.Sleep(1); <-time.After(1) }`:          2,
		`import "time"; var _ = time.Unix(0, 0)`:                              0,
		`import "time"; type c struct{ Now func() }; var _ = c{}.Now`:         0,
		`type time struct{}; func (time) Now() {}; func f() { time{}.Now() }`: 0,
		`import "time"; var _ = "time.Now()"`:                                 0,
	} {
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, "x.go", "package x; "+text, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := uses(source{"x.go", parsed, set}, "time", clocks); len(got) != want {
			t.Errorf("%s: found %q, wanted %d", text, got, want)
		}
	}
}

// A source is a parsed file that is not a test's.
type source struct {
	name   string // from the folder that was asked for
	parsed *ast.File
	set    *token.FileSet
}

// sources parses every file below the folder, for whatever system it is.
func sources(t *testing.T, top string) (files []source) {
	t.Helper()
	err := filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != top && ignored(d.Name()) {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, path, nil, 0)
		name, _ := filepath.Rel(top, path)
		files = append(files, source{filepath.ToSlash(name), parsed, set})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatalf("no source below %s", top)
	}
	return files
}

// ignored are the folders that the go command does not look into either.
func ignored(folder string) bool {
	return strings.HasPrefix(folder, ".") || strings.HasPrefix(folder, "_") ||
		folder == "testdata" || folder == "node_modules"
}

// uses finds where a file uses one of the names of a package.
func uses(f source, pkg string, names []string) (found []string) {
	called := localName(f.parsed, pkg)
	if called == "" {
		return nil
	}
	ast.Inspect(f.parsed, func(n ast.Node) bool {
		if id := name(n, called); id != nil && slices.Contains(names, id.Name) {
			found = append(found, fmt.Sprintf("%s: %s.%s", f.set.Position(id.Pos()), pkg, id.Name))
		}
		return true
	})
	return found
}

// name is the identifier that a node takes from the package which the file
// calls so; nil when it takes none.
func name(n ast.Node, called string) *ast.Ident {
	switch n := n.(type) {
	case *ast.Ident:
		if called == "." {
			return n
		}
	case *ast.SelectorExpr:
		if x, ok := n.X.(*ast.Ident); ok && x.Name == called {
			return n.Sel
		}
	}
	return nil
}

// localName is what the file calls the package: "." when its names stand
// alone, "" when it is not imported.
func localName(f *ast.File, pkg string) string {
	for _, i := range f.Imports {
		path, err := strconv.Unquote(i.Path.Value)
		if err != nil || path != pkg {
			continue
		}
		if i.Name != nil {
			return i.Name.Name
		}
		return path[strings.LastIndex(path, "/")+1:]
	}
	return ""
}
