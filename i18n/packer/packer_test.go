package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fourchette/core/pack"
	"fourchette/i18n/tables"
)

// real are the project's own folders, seen from this one.
var real = places{tables: "../tables", guide: "../guide"}

// The header and texts of a small English source and its French.
const (
	enHead = "msgid \"\"\nmsgstr \"\"\n\"Language: en\\n\"\n\"Plural-Forms: nplurals=2; plural=(n != 1);\\n\"\n" +
		"\"X-Name: English\\n\"\n\"X-Direction: ltr\\n\"\n\"X-Complete: yes\\n\"\n\"X-Reviewed: source\\n\"\n"
	frHead = "msgid \"\"\nmsgstr \"\"\n\"Language: fr\\n\"\n\"Plural-Forms: nplurals=3; plural=(n == 0 || n == 1) ? 0 : n % 1000000 == 0 ? 1 : 2;\\n\"\n" +
		"\"X-Name: français\\n\"\n\"X-Direction: ltr\\n\"\n\"X-Complete: yes\\n\"\n\"X-Reviewed: no\\n\"\n"
	enDose  = "\n#. Largest figure on the screen.\nmsgctxt \"dose\"\nmsgid \"Draw up {ml} mL within 2 h\"\nmsgstr \"\"\n"
	enSwabs = "\nmsgctxt \"swabs\"\nmsgid \"{n} swab\"\nmsgid_plural \"{n} swabs\"\nmsgstr[0] \"\"\nmsgstr[1] \"\"\n"
	frDose  = "\nmsgctxt \"dose\"\nmsgid \"Draw up {ml} mL within 2 h\"\nmsgstr \"Aspirer {ml} mL dans les 2 heures\"\n"
	frSwabs = "\nmsgctxt \"swabs\"\nmsgid \"{n} swab\"\nmsgid_plural \"{n} swabs\"\nmsgstr[0] \"{n} compresse\"\nmsgstr[1] \"{n} de compresses\"\nmsgstr[2] \"{n} compresses\"\n"
	frStop  = "\nmsgctxt \"guide.stop.title\"\nmsgid \"Stop\"\nmsgstr \"Arrêter\"\n" +
		"\nmsgctxt \"guide.stop.now\"\nmsgid \"Stop at 0.5 mL\"\nmsgstr \"Arrêter à 0.5 mL\"\n"
	stopPage = "page: stop\ntitle: Stop\nitems:\n  - key: now\n    kind: step\n    text: Stop at 0.5 mL\n    source: a book, 2020\n    read: FOUND\n"
)

// small lays out a project with the given texts and an output folder.
func small(t *testing.T, en, fr, page string) places {
	t.Helper()
	at := places{tables: t.TempDir(), guide: t.TempDir(), out: t.TempDir()}
	write(t, filepath.Join(at.tables, "en.po"), en)
	write(t, filepath.Join(at.tables, "fr.po"), fr)
	write(t, filepath.Join(at.guide, "stop.yaml"), page)
	return at
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// The project's own translations are whole, faithful and in step.
func TestTheProjectsOwnTranslations(t *testing.T) {
	var said strings.Builder
	if err := checkAll(real, &said); err != nil {
		t.Errorf("%v\n%s", err, said.String())
	}
	src, err := readSource(real)
	if err != nil {
		t.Fatal(err)
	}
	translations, err := readTranslations(real)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range translations {
		before := read(t, filepath.Join(real.tables, c.file))
		if c.sync(src); c.String() != before {
			t.Errorf("%s is not as packer sync would write it: run it", c.file)
		}
	}
}

func TestBuild(t *testing.T) {
	at := small(t, enHead+enDose+enSwabs, frHead+frDose+frSwabs+frStop, stopPage)
	if err := build(at, &strings.Builder{}); err != nil {
		t.Fatal(err)
	}
	en, fr := loadTable(t, at, "en"), loadTable(t, at, "fr")
	book := tables.NewBook(en, fr)
	for key, want := range map[string]string{
		"dose":           "Aspirer 18\u00a0mL dans les 2 heures",
		"guide.stop.now": "Arrêter à 0.5\u00a0mL",
	} {
		if got := book.Text(key, "ml", "18"); got.S != want || got.Marked {
			t.Errorf("%s: got %+v, want %q", key, got, want)
		}
	}
	if got := book.Count("swabs", 0); got.S != "0 compresse" {
		t.Errorf("French nought: got %q", got.S)
	}
	if !fr.Draft || en.Draft || fr.Name != "français" {
		t.Errorf("draft fr %v en %v, name %q", fr.Draft, en.Draft, fr.Name)
	}
	p, err := pack.Load([]byte(read(t, filepath.Join(at.out, "builtin.pack"))))
	if err != nil {
		t.Fatal(err)
	}
	if p.Choices.AnaestheticSource != "lowest" || p.Choices.Mixing != "strictest" || strings.Join(p.Choices.Agents, " ") != "lidocaine" {
		t.Errorf("the built-in pack chooses %+v", p.Choices)
	}
	if len(p.Pages) != 1 || p.Pages[0].Items[0].Source != "a book, 2020" || p.Pages[0].Items[0].Kind != pack.Step {
		t.Errorf("the built-in pack holds %+v", p.Pages)
	}
}

func loadTable(t *testing.T, at places, lang string) *tables.Table {
	t.Helper()
	table, err := tables.Load([]byte(read(t, filepath.Join(at.out, lang+".table"))))
	if err != nil {
		t.Fatal(err)
	}
	return table
}

// A text whose English has changed since is not shown as a translation of it.
func TestBuildLeavesOutWhatIsStale(t *testing.T) {
	for name, fr := range map[string]string{
		"changed English": strings.Replace(frDose, "Draw up", "Inject", 1),
		"fuzzy":           strings.Replace(frDose, "\nmsgctxt", "\n#, fuzzy\nmsgctxt", 1),
		"empty":           strings.Replace(frDose, "Aspirer {ml} mL dans les 2 heures", "", 1),
		"missing":         "",
	} {
		t.Run(name, func(t *testing.T) {
			at := small(t, enHead+enDose+enSwabs, frHead+fr+frSwabs+frStop, stopPage)
			if err := build(at, &strings.Builder{}); err != nil {
				t.Fatal(err)
			}
			got := tables.NewBook(loadTable(t, at, "en"), loadTable(t, at, "fr")).Text("dose", "ml", "18")
			if !got.Marked || got.Lang != "en" {
				t.Errorf("got %+v, want the English, marked", got)
			}
			if err := checkAll(at, &strings.Builder{}); err == nil || !strings.Contains(err.Error(), "fr.po: dose: ") {
				t.Errorf("check says %v", err)
			}
		})
	}
}

// What would put a wrong number or a hole on the screen stops the build, and
// the message names file, text and fault.
func TestBuildStopsAtWhatIsNotFaithful(t *testing.T) {
	for name, c := range map[string]struct{ fr, says string }{
		"another figure":      {strings.Replace(frDose, "les 2 heures", "les 3 heures", 1), "fr.po: dose: it says 3 h where the English says 2 h"},
		"another unit":        {strings.Replace(frDose, "2 heures", "2 jours", 1), "it says 2 day where the English says 2 h"},
		"figure lost":         {strings.Replace(frDose, "les 2 heures", "les heures", 1), "lacks the figure 2 h"},
		"placeholder lost":    {strings.Replace(frDose, "Aspirer {ml} mL", "Aspirer", 1), "lacks the placeholder {ml} mL"},
		"placeholder's unit":  {strings.Replace(frDose, "Aspirer {ml} mL", "Aspirer {ml} mg", 1), "lacks the placeholder {ml} mL"},
		"placeholder twice":   {strings.Replace(frDose, "Aspirer", "Aspirer {ml} mL", 1), "2 placeholders"},
		"brace":               {strings.Replace(frDose, "Aspirer", "Aspirer {", 1), "brace"},
		"invisible mark":      {strings.Replace(frDose, "Aspirer", "\u202eAspirer", 1), "U+202E"},
		"space at the end":    {strings.Replace(frDose, "2 heures", "2 heures ", 1), "a space at its beginning or end"},
		"number in words":     {strings.Replace(frDose, "Aspirer", "Aspirer la moitié de", 1), "numbers in words"},
		"plural form differs": {frDose + strings.Replace(frSwabs, "{n} de compresses", "5 {n} de compresses", 1), "fr.po: swabs: it has the figure 5"},
	} {
		t.Run(name, func(t *testing.T) {
			fr := frHead + c.fr + frStop
			if !strings.Contains(c.fr, "swabs") {
				fr += frSwabs
			}
			at := small(t, enHead+enDose+enSwabs, fr, stopPage)
			if err := build(at, &strings.Builder{}); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want an error saying %q", err, c.says)
			}
		})
	}
}

func TestSync(t *testing.T) {
	old := frHead + strings.Replace(frDose, "Draw up", "Inject", 1) +
		"\nmsgctxt \"gone\"\nmsgid \"Gone\"\nmsgstr \"Parti\"\n" + frStop
	at := small(t, enHead+enDose+enSwabs, old, stopPage)
	var said strings.Builder
	if err := syncAll(at, &said); err != nil {
		t.Fatal(err)
	}
	if want := "fr.po: 4 texts, 1 new, 1 changed, 1 taken away\n"; said.String() != want {
		t.Errorf("said %q, want %q", said.String(), want)
	}
	got := read(t, filepath.Join(at.tables, "fr.po"))
	for _, want := range []string{
		"#. Largest figure on the screen.\n#, fuzzy\n#| msgid \"Inject {ml} mL within 2 h\"\nmsgctxt \"dose\"\nmsgid \"Draw up {ml} mL within 2 h\"\nmsgstr \"Aspirer {ml} mL dans les 2 heures\"\n",
		"msgctxt \"swabs\"\nmsgid \"{n} swab\"\nmsgid_plural \"{n} swabs\"\nmsgstr[0] \"\"\nmsgstr[1] \"\"\nmsgstr[2] \"\"\n",
		"Plural-Forms: nplurals=3",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("after sync the file lacks\n%s\nit is\n%s", want, got)
		}
	}
	if strings.Contains(got, "gone") {
		t.Error("a text that the English no longer has is still there")
	}
	if err := syncAll(at, &strings.Builder{}); err != nil || read(t, filepath.Join(at.tables, "fr.po")) != got {
		t.Errorf("a second sync changed the file, error %v", err)
	}
}

func TestCheckHead(t *testing.T) {
	for name, c := range map[string]struct{ from, to, says string }{
		"file and language": {"Language: fr", "Language: sw", "Language is"},
		"plural forms":      {"nplurals=3", "nplurals=2", "Plural-Forms is"},
		"no name":           {"X-Name: français", "X-Name: ", "X-Name is missing"},
		"direction":         {"X-Direction: ltr", "X-Direction: left", "X-Direction is"},
		"review":            {"X-Reviewed: no", "X-Reviewed: perhaps", "X-Reviewed is"},
		"no completeness":   {"X-Complete: yes", "X-Complete: ", "X-Complete is"},
	} {
		t.Run(name, func(t *testing.T) {
			at := small(t, enHead+enDose+enSwabs, strings.Replace(frHead, c.from, c.to, 1)+frDose+frSwabs+frStop, stopPage)
			if err := checkAll(at, &strings.Builder{}); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want an error saying %q", err, c.says)
			}
		})
	}
}

// A language whose words for numbers nobody has listed stays a draft: a twice
// that became three times would go unseen.
func TestReviewedNeedsItsWordsForNumbers(t *testing.T) {
	for lang, want := range map[string]bool{"fr": false, "sw": true} {
		said := ""
		for _, f := range checkHead(&catalogue{file: lang + ".po", head: head{lang: lang, reviewed: "yes"}}) {
			said += f.Error()
		}
		if strings.Contains(said, "written as words") != want {
			t.Errorf("%s: %s", lang, said)
		}
	}
}

// Figures, units and placeholders of the made-up languages are those of the English.
func TestPseudo(t *testing.T) {
	src, err := readSource(real)
	if err != nil {
		t.Fatal(err)
	}
	english := src.byKey()
	for lang, change := range map[string]func(string) string{"en-XA": accented, "ar-XB": mirrored} {
		dir := map[string]string{"en-XA": "ltr", "ar-XB": "rtl"}[lang]
		c := src.pseudo(lang, dir, lang, change)
		if _, err := tables.Encode(c); err != nil || len(c.Entries) != len(src.units) {
			t.Fatalf("%s: %d of %d texts, error %v", lang, len(c.Entries), len(src.units), err)
		}
		same := 0 // texts without a letter to change, such as "{n} mg"
		for _, e := range c.Entries {
			u := english[e.Key]
			if e.Forms[0] == typeset(lang, u.english) {
				same++
			}
			for _, form := range e.Forms {
				what := compareFigures(u.forms()[len(u.forms())-1], form, lang)
				if hole := compareHoles(u.forms()[len(u.forms())-1], form, lang); what != "" || hole != "" {
					t.Errorf("%s %s: %s %s: %q", lang, e.Key, what, hole, form)
				}
			}
		}
		if same*10 > len(c.Entries) {
			t.Errorf("%s: %d of %d texts are still English", lang, same, len(c.Entries))
		}
	}
	if got, short := len([]rune(accented("Draw up the dose"))), len("Draw up the dose"); got*10 < short*14 {
		t.Errorf("%d letters became %d, wanted four tenths more", short, got)
	}
}

func TestRun(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"nothing":        {nil, "say what to do"},
		"unknown":        {[]string{"mix"}, "say what to do"},
		"nowhere":        {[]string{"build", "-tables", real.tables, "-guide", real.guide}, "say where to write"},
		"pseudo nowhere": {[]string{"pseudo"}, "say where to write"},
		"too much":       {[]string{"check", "fr"}, `takes no "fr"`},
		"no guide":       {[]string{"check", "-tables", real.tables, "-guide", "."}, "holds no .yaml file"},
		"no tables":      {[]string{"check", "-tables", ".", "-guide", real.guide}, "en.po"},
	} {
		t.Run(name, func(t *testing.T) {
			if err := run(c.args, &strings.Builder{}); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want an error saying %q", err, c.says)
			}
		})
	}
	if err := run([]string{"pseudo", "-tables", real.tables, "-guide", real.guide, "-out", t.TempDir()}, &strings.Builder{}); err != nil {
		t.Error(err)
	}
}
