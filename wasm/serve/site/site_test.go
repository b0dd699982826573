package site

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fourchette/i18n/tables"
)

const repo = "../../.."

// copied lays what the build reads into another folder.
func copied(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, part := range []string{"core", "i18n", "wasm/app", "wasm/pages", "wasm/serve", "wasm/shell"} {
		if err := os.CopyFS(filepath.Join(dir, part), os.DirFS(filepath.Join(repo, part))); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"go.mod", "go.sum"} {
		b, err := os.ReadFile(filepath.Join(repo, name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// contents reads every file of a built app.
func contents(t *testing.T, out string) map[string][]byte {
	t.Helper()
	entries, err := os.ReadDir(Public(out))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, e := range entries {
		if files[e.Name()], err = os.ReadFile(filepath.Join(Public(out), e.Name())); err != nil {
			t.Fatal(err)
		}
	}
	return files
}

// One build here and one from a copy elsewhere give the same bytes under the
// same names; then one changed byte gives another version.
func TestBuilds(t *testing.T) {
	here, elsewhere := t.TempDir(), t.TempDir()
	copy := copied(t)
	absolute, err := filepath.Abs(repo)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Build(context.Background(), Options{Repo: absolute, Out: here})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Build(context.Background(), Options{Repo: copy, Out: elsewhere}); err != nil {
		t.Fatal(err)
	}
	files := contents(t, here)
	t.Run("equal bytes", func(t *testing.T) { same(t, files, contents(t, elsewhere)) })
	t.Run("record", func(t *testing.T) { recorded(t, here, s) })
	t.Run("precache", func(t *testing.T) { precached(t, files, s) })
	t.Run("notice", func(t *testing.T) { noticed(t, absolute, files[s.Names["notice.txt"]]) })
	t.Run("version", func(t *testing.T) { versioned(t, copy, s.Version) })
}

func same(t *testing.T, a, b map[string][]byte) {
	if len(a) == 0 || len(a) != len(b) {
		t.Errorf("%d files here, %d elsewhere", len(a), len(b))
	}
	for name, content := range a {
		if !bytes.Equal(content, b[name]) {
			t.Errorf("%s differs", name)
		}
	}
}

func recorded(t *testing.T, out string, s *Site) {
	read, err := Read(out)
	if err != nil {
		t.Fatal(err)
	}
	if read.Version != s.Version || !maps.Equal(read.Names, s.Names) || !slices.Equal(read.Precache, s.Precache) {
		t.Errorf("read %+v, wanted %+v", read, s)
	}
	left, err := filepath.Glob(filepath.Join(out, "building-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// precached holds the service worker's list against the folder: all that is
// served and nothing else, each with its true hash.
func precached(t *testing.T, files map[string][]byte, s *Site) {
	line, _, _ := strings.Cut(string(files["sw.js"]), "\n")
	var facts struct {
		Version string            `json:"version"`
		Files   map[string]string `json:"files"`
	}
	text := strings.TrimSuffix(strings.TrimPrefix(line, "const site = "), ";")
	if err := json.Unmarshal([]byte(text), &facts); err != nil {
		t.Fatalf("%v in %s", err, line)
	}
	if facts.Version != s.Version {
		t.Errorf("the service worker is of version %s, the site of %s", facts.Version, s.Version)
	}
	for name, content := range files {
		if name == "sw.js" || strings.HasSuffix(name, ".br") || strings.HasSuffix(name, ".gz") {
			continue
		}
		sum := sha256.Sum256(content)
		if got, want := facts.Files[name], "sha256-"+base64.StdEncoding.EncodeToString(sum[:]); got != want {
			t.Errorf("%s: hash %q in the list, wanted %q", name, got, want)
		}
		delete(facts.Files, name)
	}
	if len(facts.Files) > 0 {
		t.Errorf("in the list and not in the folder: %v", facts.Files)
	}
}

// noticed asks for the licence of every module that the program's own list of
// packages names.
func noticed(t *testing.T, repo string, notice []byte) {
	b := &builder{Options: Options{Repo: repo}, ctx: context.Background()}
	linked, err := b.linked()
	if err != nil {
		t.Fatal(err)
	}
	for _, wanted := range []string{"wasm_exec.js", "Copyright 2009 The Go Authors"} {
		if !bytes.Contains(notice, []byte(wanted)) {
			t.Errorf("the notice does not speak of %s", wanted)
		}
	}
	others := modules(linked)
	if len(others) == 0 {
		t.Error("no module of others is linked: the list cannot be right")
	}
	for _, m := range others {
		if !bytes.Contains(notice, []byte(m.Path+" "+m.Version+" (")) {
			t.Errorf("the notice has no licence of %s", m.Path)
		}
	}
}

// versioned changes one byte of the shell, then one of a package.
func versioned(t *testing.T, repo, before string) {
	for _, name := range []string{"wasm/shell/sw.js", "core/tear/tear.go", "i18n/tables/en.po"} {
		path := filepath.Join(repo, name)
		content, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		comment := map[string]string{".go": "\n// x\n", ".js": "\n// x\n", ".po": "\nmsgctxt \"x.x\"\nmsgid \"x\"\nmsgstr \"\"\n"}[filepath.Ext(name)]
		if err := os.WriteFile(path, append(content, comment...), 0o644); err != nil {
			t.Fatal(err)
		}
		b := &builder{Options: Options{Repo: repo}, ctx: context.Background(), work: t.TempDir(), stage: newStage(t.TempDir())}
		if err := b.compileWords(); err != nil {
			t.Fatal(err)
		}
		if err := b.version(); err != nil {
			t.Fatal(err)
		}
		if b.site.Version == before {
			t.Errorf("%s changed and the version stays %s", name, before)
		}
		before = b.site.Version
	}
}

func TestLicenceMissing(t *testing.T) {
	dir := t.TempDir()
	if err := licence(new(bytes.Buffer), "example.test/module", dir); err == nil || !strings.Contains(err.Error(), "example.test/module") {
		t.Errorf("got %v; wanted an error that names the module", err)
	}
}

func TestFill(t *testing.T) {
	names := map[string]string{"a.js": "a.1.js"}
	texts := map[string]string{"shell.x": "words"}
	got, err := fill("index.html", `{{a.js}} {{shell.x}}`, names, texts)
	if err != nil || string(got) != "a.1.js words" {
		t.Errorf("got %q, %v", got, err)
	}
	if got, err := fill("index.html", `{{b.js}}`, names, texts); err == nil || !strings.Contains(err.Error(), "b.js") {
		t.Errorf("got %q, %v; wanted an error that names b.js", got, err)
	}
}

func TestStageRefusesAName(t *testing.T) {
	s := newStage(t.TempDir())
	if err := s.hashed("a/icon.svg", []byte("1")); err != nil {
		t.Fatal(err)
	}
	if err := s.hashed("a/icon.svg", []byte("2")); err == nil {
		t.Error("one name was written twice")
	}
}

func TestNothingBuilt(t *testing.T) {
	if s, err := Read(t.TempDir()); err == nil || !strings.Contains(err.Error(), "-build-only") {
		t.Errorf("got %v, %v; wanted an error that says how to build", s, err)
	}
}

// The shell can only show what the English table has.
func TestShellTextsAreInTheTable(t *testing.T) {
	b := &builder{Options: Options{Repo: repo}, ctx: context.Background(), work: t.TempDir(), stage: newStage(t.TempDir())}
	if err := b.compileWords(); err != nil {
		t.Fatal(err)
	}
	book := tables.NewBook(b.words.tables[0], nil)
	for _, name := range shellTexts {
		if !book.Has("shell." + name) {
			t.Errorf("i18n/tables/en.po lacks shell.%s", name)
		}
	}
}
