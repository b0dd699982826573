// Package core_test holds the arrows of this module: who may import whom.
// Start with the table rows. What must hold about the source text itself is in
// sources_test.go.
package core_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

const module = "fourchette/"

// A row says what the packages it names may import of this module. A name
// that ends in "/..." stands for a package and all below it.
type row struct {
	name string
	may  []string
	why  string
}

// rows are the arrows. A package that no row names fails the test: draw its
// arrow here, and on the map in DEVELOPERS.md.
var rows = []row{
	{"core/arrange", nil, "order rests on nothing"},
	{"core/amount", nil, "quantities rest on nothing"},
	{"core/reason", nil, "a reason is a key and what it rests on"},
	{"core/tear", []string{"core/arrange", "core/reason"}, "a grade has reasons and no quantities"},
	{"core/anaesthetic", []string{"core/amount", "core/reason"}, "a ceiling is a quantity, and knows nothing of tears or records"},
	{"core/bleeding", []string{"core/arrange", "core/amount", "core/reason"}, "an alarm is told from quantities alone"},
	{"core/episiotomy", nil, "an angle rests on nothing"},
	{"core/repair", []string{"core/reason", "core/tear"}, "a plan follows a grade and has reasons; it counts and doses nothing"},
	{"core/supplies", []string{"core/arrange", "core/tear"}, "a lay-out follows a grade; a count rests on nothing"},
	{"core/aftercare", []string{"core/amount", "core/reason", "core/tear"}, "care follows a grade, in exact quantities, with reasons"},
	{"core/course", []string{"core/tear"}, "the way of a birth is told from grades and from what was said; it knows no record"},
	{"core/birth", []string{"core/arrange", "core/amount", "core/reason", "core/tear"}, "a record keeps findings and doses; it judges neither"},
	{"core/journal", []string{"core/arrange"}, "a journal keeps bytes and does not know what they say"},
	{"core/journal/journaltest", []string{"core/journal"}, "a disk that fails on demand, for tests"},
	{"core/archive", []string{"core/arrange", "core/journal"}, "it keeps the journal's entries under keys, on the journal's disk, and does not know what they say"},
	{"core/records", []string{"core/arrange", "core/archive", "core/birth", "core/journal"}, "births on a disk: what is hot and what is archived; it judges nothing"},
	{"core/vault", []string{"core/amount", "core/journal"}, "keys are made of digits and kept on the journal's disk; what is sealed with them is not their affair"},
	{"core/exchange", []string{"core/vault"}, "a file of entries under a code; what they say is not its affair"},
	{"core/keep", nil, "how long records are kept rests on nothing"},
	{"core/pack", nil, "a pack is data; whether a key exists is for the package that owns it to say"},
	{"core/companion", []string{
		"core/arrange", "core/amount", "core/reason", "core/tear", "core/anaesthetic", "core/bleeding", "core/birth", "core/journal", "core/pack", "core/course",
		"core/episiotomy", "core/repair", "core/supplies", "core/aftercare", "core/vault", "core/exchange", "core/keep",
	}, "the one boundary: it alone knows every domain package"},
	{"core/vectors", []string{"core/companion", "core/pack"}, "vectors go through the boundary, with a pack to open it"},
	{"i18n/plural", nil, "plural rules rest on nothing"},
	{"i18n/tables", []string{"i18n/plural"}, "a table counts by its language's rule"},
	{"i18n/packer/...", []string{"i18n/...", "core/pack"}, "it writes the pack and the tables; it decides nothing"},
	{"wasm/pages/...", []string{"wasm/pages/...", "core/arrange", "core/companion", "i18n/tables", "wasm/shell/drawings"}, "pages show and never decide: whatever they know comes through the boundary"},
	{"wasm/shell/drawings", nil, "drawings are data"},
	{"wasm/shell/icons", []string{"wasm/shell/drawings"}, "it draws the application's icons"},
	{"wasm/app/...", []string{"core/arrange", "wasm/app/...", "wasm/pages", "wasm/pages/urlform", "core/companion", "core/journal", "core/journal/journaltest", "i18n/tables"}, "a host hands in disk and clocks"},
	{"wasm/serve/...", []string{"wasm/serve/...", "wasm/pages", "core/companion", "core/journal", "i18n/..."}, "a host hands in disk and clocks; it also builds what it serves"},
	{"wasm/browser", []string{"wasm/serve/..."}, "tests drive what was built; nothing of the app imports it"},
	{"wasm/bench", []string{"wasm/browser", "wasm/serve/..."}, "it measures what was built; nothing imports it"},
	{"mobile", []string{"mobile/internal/...", "wasm/pages", "core/companion"}, "a host hands in disk and clocks, and computes nothing"},
	{"mobile/internal/...", []string{"core/journal"}, "a disk for the journal"},
	{"mobile/jvm", nil, "it builds; it imports nothing of what it builds"},
}

// A ban is a package outside this module that some packages must do without.
type ban struct {
	pkg    string
	in     []string // the packages that must do without
	except []string
	deep   bool // at any depth; else imported directly
	why    string
}

var bans = []ban{
	// At any depth these two cannot be asked for: under js/wasm fmt and time
	// import syscall/js, and the msgpack runtime imports os.
	{"os", []string{"core/..."}, []string{"core/vectors"}, false, "files are handed in"},
	{"syscall/js", []string{"core/...", "wasm/pages/...", "i18n/tables"}, nil, false, "the browser is the host's"},
	{"syscall", []string{"core/..."}, nil, false, "the system is the host's"},
	{"math/rand", []string{"core/..."}, nil, false, "randomness is handed in"},
	// journaltest takes a generator with its seed, so that a failure can be had again.
	{"math/rand/v2", []string{"core/..."}, []string{"core/journal/journaltest"}, false, "randomness is handed in"},
	{"crypto/rand", []string{"core/..."}, nil, false, "randomness is handed in"},
	{"encoding/json", []string{"core/...", "wasm/pages/...", "i18n/tables"}, []string{"core/vectors"}, false, "bytes in WASM"},
	{"regexp", []string{"core/...", "wasm/pages/...", "i18n/tables"}, []string{"core/vectors"}, false, "bytes in WASM"},
	{"text/template", []string{"core/...", "wasm/pages/..."}, nil, false, "bytes in WASM"},
	{"html/template", []string{"core/...", "wasm/pages/..."}, nil, false, "bytes in WASM"},
	{"net", []string{"core/...", "wasm/pages/...", "wasm/app/...", "i18n/tables"}, nil, true, "nothing leaves from here; bytes in WASM"},
	{"net/url", []string{"core/...", "wasm/pages/...", "wasm/app/...", "i18n/tables"}, []string{"core/vectors"}, true, "bytes in WASM; wasm/pages/urlform reads forms"},
	{"net/http", []string{"core/...", "wasm/pages/...", "wasm/app/...", "i18n/tables"}, nil, true, "nothing leaves from here; bytes in WASM"},
	{"golang.org/x/crypto/argon2", []string{"core/..."}, []string{"core/vault"}, false, "one package makes keys"},
	{"golang.org/x/crypto/chacha20poly1305", []string{"core/..."}, []string{"core/vault"}, false, "one package seals"},
	{"os/exec", []string{"core/...", "wasm/pages/...", "wasm/app/...", "i18n/tables"}, []string{"core/vectors"}, true, "no other program is started"},
}

// coreMay are the modules that packages under core may import.
var coreMay = []string{"github.com/tinylib/msgp/msgp", "golang.org/x/crypto/argon2", "golang.org/x/crypto/chacha20poly1305"}

// A listed package is what go list tells of it.
type listed struct {
	ImportPath string
	GoFiles    []string // without tests
	Imports    []string // without those of tests
	Deps       []string // all of them
}

// targets are the systems the hosts run on: a file built for one of them only
// has its arrows too.
var targets = [][]string{
	{},
	{"GOOS=js", "GOARCH=wasm"},
	{"GOOS=android", "GOARCH=arm64", "CGO_ENABLED=0"},
}

func TestArrows(t *testing.T) {
	var all []listed
	for _, target := range targets {
		for _, p := range list(t, target, "../...") {
			if len(p.GoFiles) > 0 { // else it holds tests alone, and nobody can import it
				all = append(all, p)
			}
		}
	}
	for _, wrong := range violations(all) {
		t.Error(wrong)
	}
}

// A ban on a package that is no more would forbid nothing.
func TestBannedPackagesExist(t *testing.T) {
	names := slices.Clone(coreMay)
	for _, b := range bans {
		if !slices.Contains(names, b.pkg) {
			names = append(names, b.pkg)
		}
	}
	if got := list(t, targets[1], names...); len(got) != len(names) {
		t.Errorf("asked for %d packages, found %d", len(names), len(got))
	}
}

// The rivals of the records are in a module of their own, so that neither the
// program nor whoever builds it ever needs them.
func TestRivalsStayOut(t *testing.T) {
	rivals := []string{"modernc.org/sqlite", "go.etcd.io/bbolt"}
	has := func(file, name string) bool {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Contains(string(b), name)
	}
	for _, name := range rivals {
		if has("../go.mod", name) || has("../go.sum", name) {
			t.Errorf("%s has come into the program's module", name)
		}
		if !has("../wasm/bench/stores/go.mod", name) {
			t.Errorf("%s is no rival any more: take it out of this test", name)
		}
	}
}

// The check is tried on a module in which each arrow is broken once.
func TestBrokenArrowsAreFound(t *testing.T) {
	for _, c := range []struct {
		pkg  listed
		want string
	}{
		{listed{ImportPath: "fourchette/core/tear", Imports: []string{"fourchette/core/amount"}}, "core/tear may not import core/amount"},
		{listed{ImportPath: "fourchette/core/companion", Imports: []string{"fourchette/wasm/pages"}}, "core/companion may not import wasm/pages"},
		{listed{ImportPath: "fourchette/core/companion", Imports: []string{"fourchette/i18n/tables"}}, "core/companion may not import i18n/tables"},
		{listed{ImportPath: "fourchette/wasm/pages", Imports: []string{"fourchette/core/tear"}}, "wasm/pages may not import core/tear"},
		{listed{ImportPath: "fourchette/wasm/app", Imports: []string{"fourchette/core/birth"}}, "wasm/app may not import core/birth"},
		{listed{ImportPath: "fourchette/mobile", Imports: []string{"fourchette/core/tear"}}, "mobile may not import core/tear"},
		{listed{ImportPath: "fourchette/core/newcomer"}, "no row names core/newcomer"},
		{listed{ImportPath: "fourchette/core/tear", Imports: []string{"os"}}, "core/tear must not import os"},
		{listed{ImportPath: "fourchette/core/tear", Imports: []string{"math/rand/v2"}}, "core/tear must not import math/rand/v2"},
		{listed{ImportPath: "fourchette/core/pack", Deps: []string{"net/http"}}, "core/pack must not need net/http"},
		{listed{ImportPath: "fourchette/wasm/pages", Deps: []string{"net/http"}}, "wasm/pages must not need net/http"},
		{listed{ImportPath: "fourchette/core/pack", Deps: []string{"os/exec"}}, "core/pack must not need os/exec"},
		{listed{ImportPath: "fourchette/core/pack", Imports: []string{"example.org/module"}}, "core/pack may not import the module of example.org/module"},
	} {
		if got := violations([]listed{c.pkg}); !slices.ContainsFunc(got, func(s string) bool { return strings.HasPrefix(s, c.want) }) {
			t.Errorf("%q was not found, only %q", c.want, got)
		}
	}
}

// What is allowed must not be reported: else nobody would read the reports.
func TestWholeArrowsPass(t *testing.T) {
	pkgs := []listed{
		{ImportPath: "fourchette/core/companion", Imports: []string{"fourchette/core/tear", "fmt"}, Deps: []string{"os", "syscall/js"}},
		{ImportPath: "fourchette/core/vectors", Imports: []string{"os", "os/exec", "encoding/json"}, Deps: []string{"os/exec"}},
		{ImportPath: "fourchette/core/pack", Imports: []string{"github.com/tinylib/msgp/msgp"}},
	}
	for _, wrong := range violations(pkgs) {
		if !strings.Contains(wrong, "there is no such package") {
			t.Error(wrong)
		}
	}
}

// violations checks the packages against rows and bans. It also names what a
// row speaks of and nobody has written: a misspelt row would allow or forbid
// nothing.
func violations(pkgs []listed) (wrong []string) {
	for _, p := range pkgs {
		name := local(p.ImportPath)
		wrong = append(wrong, againstRows(name, p)...)
		wrong = append(wrong, againstBans(name, p)...)
	}
	for _, name := range named() {
		if !slices.ContainsFunc(pkgs, func(p listed) bool { return matches(name, local(p.ImportPath)) }) {
			wrong = append(wrong, name+": there is no such package; take it out of the table, or spell it right")
		}
	}
	slices.Sort(wrong)
	return slices.Compact(wrong)
}

func againstRows(name string, p listed) (wrong []string) {
	i := slices.IndexFunc(rows, func(r row) bool { return matches(r.name, name) })
	if i < 0 {
		return []string{"no row names " + name + ": add one, with what it may import and why"}
	}
	for _, imported := range p.Imports {
		switch {
		case strings.HasPrefix(imported, module):
			if !matchesAny(rows[i].may, local(imported)) {
				wrong = append(wrong, fmt.Sprintf("%s may not import %s: %s", name, local(imported), rows[i].why))
			}
		case matches("core/...", name) && isModule(imported) && !slices.Contains(coreMay, imported):
			wrong = append(wrong, fmt.Sprintf("%s may not import the module of %s: the core stands on %q alone", name, imported, coreMay))
		}
	}
	return wrong
}

func againstBans(name string, p listed) (wrong []string) {
	for _, b := range bans {
		if !matchesAny(b.in, name) || matchesAny(b.except, name) {
			continue
		}
		if b.deep && slices.Contains(p.Deps, b.pkg) {
			wrong = append(wrong, fmt.Sprintf("%s must not need %s, at any depth: %s", name, b.pkg, b.why))
		}
		if !b.deep && slices.Contains(p.Imports, b.pkg) {
			wrong = append(wrong, fmt.Sprintf("%s must not import %s: %s", name, b.pkg, b.why))
		}
	}
	return wrong
}

// named are all the names in the table, "/..." and all.
func named() (names []string) {
	for _, r := range rows {
		names = append(append(names, r.name), r.may...)
	}
	for _, b := range bans {
		names = append(append(names, b.in...), b.except...)
	}
	return names
}

func local(path string) string { return strings.TrimPrefix(path, module) }

func matches(pattern, name string) bool {
	if top, all := strings.CutSuffix(pattern, "/..."); all {
		return name == top || strings.HasPrefix(name, top+"/")
	}
	return name == pattern
}

func matchesAny(patterns []string, name string) bool {
	return slices.ContainsFunc(patterns, func(p string) bool { return matches(p, name) })
}

// isModule tells a path of another module from one of the standard library,
// whose first part holds no dot.
func isModule(path string) bool {
	first, _, _ := strings.Cut(path, "/")
	return strings.Contains(first, ".")
}

// list asks the go command about packages.
func list(t *testing.T, env []string, args ...string) []listed {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-json=ImportPath,GoFiles,Imports,Deps"}, args...)...)
	cmd.Env = append(os.Environ(), env...)
	var complaint strings.Builder
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, complaint.String())
	}
	var pkgs []listed
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		pkgs = append(pkgs, p)
	}
	if len(pkgs) == 0 {
		t.Fatalf("go list %q found no package", args)
	}
	return pkgs
}
