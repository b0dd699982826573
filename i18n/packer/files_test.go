package main

import (
	"encoding/json"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"fourchette/i18n/plural"
)

func TestParseCatalogueRefuses(t *testing.T) {
	entry := "\nmsgctxt \"a\"\nmsgid \"A\"\nmsgstr \"\"\n"
	for name, c := range map[string]struct{ text, says string }{
		"nothing":              {"", "no header"},
		"no header":            {entry, "no header"},
		"two lines, no header": {"msgctxt \"a\"\nmsgid \"A\"\n\"B\"\nmsgstr \"\"\n", "no header"},
		"two headers":          {enHead + "\n" + enHead, "no header, or two"},
		"empty English":        {enHead + "\nmsgctxt \"a\"\nmsgid \"\"\nmsgstr \"\"\n", "no header, or two"},
		"no key":               {enHead + "\nmsgid \"A\"\nmsgstr \"\"\n", "has no key"},
		"key twice":            {enHead + entry + entry, "a: the key stands twice"},
		"entries run together": {enHead + entry + entry[1:], "does not belong here"},
		"stray text":           {enHead + "\n\"A\"\n", "neither a comment nor a text"},
		"stray words":          {enHead + "\nhello\n", "neither a comment nor a text"},
		"cut in the middle":    {enHead + "\nmsgctxt \"a\"\n\n", "cut short after msgctxt"},
		"cut at the end":       {enHead + "\nmsgctxt \"a\"\nmsgid \"A\"", "cut short"},
		"bare quote":           {enHead + strings.Replace(entry, "\"A\"", "\"A\"B\"", 1), "stands bare"},
		"bare backslash":       {enHead + strings.Replace(entry, "\"A\"", "\"A\\x\"", 1), "stands bare"},
		"form out of order":    {enHead + "\nmsgctxt \"a\"\nmsgid \"A\"\nmsgid_plural \"B\"\nmsgstr[1] \"\"\n", "does not belong here"},
		"huge form":            {enHead + "\nmsgctxt \"a\"\nmsgid \"A\"\nmsgid_plural \"B\"\nmsgstr[0] \"\"\nmsgstr[999999999] \"\"\n", "neither"},
		"broken earlier text":  {enHead + "\n#| A\nmsgctxt \"a\"\nmsgid \"A\"\nmsgstr \"\"\n", "earlier text"},
		"not UTF-8":            {enHead + "# \xff\n", "UTF-8"},
		"too large":            {enHead + strings.Repeat("#\n", maxCatalogue/2), "larger"},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := parseCatalogue("xx.po", []byte(c.text))
			if err == nil || got != nil {
				t.Fatalf("got %v and error %v", got, err)
			}
			if !strings.Contains(err.Error(), c.says) || !strings.HasPrefix(err.Error(), "xx.po") {
				t.Errorf("got %v, want an error of xx.po saying %q", err, c.says)
			}
		})
	}
}

// What is accepted is written so that it reads the same again.
func FuzzParseCatalogue(f *testing.F) {
	f.Add(enHead + enDose + enSwabs)
	f.Add(frHead + frDose + "\n#, fuzzy\n#| msgid \"old \\\"text\\\"\"\nmsgctxt \"b\"\nmsgid \"B\\n\"\n\"C\"\nmsgstr \"D\"\n")
	f.Add(frHead + "\n#~ msgid \"left\"\n#~ msgstr \"over\"\n")
	f.Add("msgid \"\"\nmsgstr \"\"\n\r\n# \n#:\n#.\n")
	f.Fuzz(func(t *testing.T, text string) {
		c, err := parseCatalogue("fr.po", []byte(text))
		if err != nil {
			return
		}
		written := c.String()
		again, err := parseCatalogue("fr.po", []byte(written))
		if err != nil {
			t.Fatalf("what was accepted is written so that it is refused: %v\n%s", err, written)
		}
		if len(again.entries) != len(c.entries) || again.String() != written {
			t.Fatalf("read again it differs:\n%s\n---\n%s", written, again.String())
		}
		for i, e := range c.entries {
			if b := again.entries[i]; e.MsgContext != b.MsgContext || e.MsgId != b.MsgId || e.MsgStr != b.MsgStr {
				t.Fatalf("entry %d differs: %q and %q", i, e.MsgId, b.MsgId)
			}
		}
	})
}

func TestParsePageRefuses(t *testing.T) {
	for name, c := range map[string]struct{ from, to, says string }{
		"misspelt source":      {"    source:", "    sauce:", "sauce"},
		"figure, no source":    {"    source: a book, 2020\n    read: FOUND\n", "", "number stands without its source"},
		"source unread":        {"    read: FOUND\n", "", "source and read belong together"},
		"read somehow":         {"read: FOUND", "read: glanced at", "glanced at"},
		"unknown kind":         {"kind: step", "kind: order", "order"},
		"another page's name":  {"page: stop", "page: go", "one name"},
		"no title":             {"title: Stop\n", "", "no title"},
		"no text":              {"    text: Stop at 0.5 mL\n", "", "no text"},
		"title as a key":       {"key: now", "key: title", "title"},
		"a dot in a key":       {"key: now", "key: now.then", "not a key"},
		"a brace":              {"Stop at 0.5 mL", "Stop at {ml} mL", "no braces"},
		"key twice in an item": {"    kind: step\n", "    kind: step\n    kind: sign\n", "kind"},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(stopPage, c.from, c.to, 1)
			if text == stopPage {
				t.Fatal("the case changes nothing")
			}
			if page, err := parsePage("stop.yaml", []byte(text)); err == nil || page.Page != "" || !strings.Contains(err.Error(), c.says) ||
				!strings.Contains(err.Error(), "stop.yaml") {
				t.Errorf("got %+v and %v, want an error of stop.yaml saying %q", page, err, c.says)
			}
		})
	}
	if _, err := parsePage("stop.yaml", []byte(stopPage)); err != nil {
		t.Errorf("the page that the cases spoil is itself refused: %v", err)
	}
	if _, err := parsePage("stop.yaml", make([]byte, maxGuide+1)); err == nil || !strings.Contains(err.Error(), "larger") {
		t.Errorf("a page too large: %v", err)
	}
}

// A page that is accepted can be packed, and holds no figure without a source.
func FuzzParsePage(f *testing.F) {
	f.Add(stopPage)
	f.Add("page: stop\ntitle: |\n  a\nitems: [{key: a, kind: ask, text: b}]\n")
	f.Add("a: &a [*a]")
	f.Fuzz(func(t *testing.T, text string) {
		page, err := parsePage("stop.yaml", []byte(text))
		if err != nil {
			return
		}
		for _, item := range page.packed().Items {
			if item.Key == "" {
				t.Fatal("an item without a key")
			}
		}
		for _, item := range page.Items {
			if hasFigure(item.Text) && item.Source == "" {
				t.Fatalf("%q passed without a source", item.Text)
			}
		}
	})
}

// A translator's tool numbers the forms by the Plural-Forms header; the program
// by i18n/plural. Both must pick the same form.
func TestPluralFormsAgreeWithTheRules(t *testing.T) {
	numbers := []int{1000, 10000, 1000000, 1000001, 2000000}
	for n := 0; n <= 320; n++ {
		numbers = append(numbers, n)
	}
	script := `const {forms, numbers} = JSON.parse(require('fs').readFileSync(0, 'utf8'));
const out = {};
for (const [lang, header] of Object.entries(forms)) {
	const [, count, rule] = header.match(/^nplurals=(\d); plural=(.*);$/);
	const pick = new Function('n', 'return Number(' + rule + ');');
	out[lang] = {count: Number(count), picks: numbers.map(pick)};
}
console.log(JSON.stringify(out));`
	asked, err := json.Marshal(map[string]any{"forms": pluralForms, "numbers": numbers})
	if err != nil {
		t.Fatal(err)
	}
	node := exec.Command("node", "-e", script)
	node.Stdin = strings.NewReader(string(asked))
	answer, err := node.Output()
	if err != nil {
		t.Fatalf("node could not run the rules: %v", err)
	}
	var got map[string]struct {
		Count int   `json:"count"`
		Picks []int `json:"picks"`
	}
	if err := json.Unmarshal(answer, &got); err != nil || len(got) != len(pluralForms) {
		t.Fatalf("%d of %d languages answered: %v", len(got), len(pluralForms), err)
	}
	for lang, answer := range got {
		rule, ok := plural.For(lang)
		if !ok || answer.Count != len(rule.Categories()) || len(answer.Picks) != len(numbers) {
			t.Fatalf("%s: rule %v, %d forms", lang, ok, answer.Count)
		}
		for i, n := range numbers {
			if rule.Index(n) != answer.Picks[i] {
				t.Errorf("%s %d: the rule picks form %d, Plural-Forms %d", lang, n, rule.Index(n), answer.Picks[i])
			}
		}
	}
	for _, lang := range plural.Languages() {
		if pluralForms[lang] == "" {
			t.Errorf("%s has a rule and no Plural-Forms", lang)
		}
	}
}

func TestEnglishIsChecked(t *testing.T) {
	for name, c := range map[string]struct{ en, page, says string }{
		"only a space":      {strings.Replace(enDose, "Draw up {ml} mL within 2 h", " ", 1), stopPage, "en.po: dose: the text is empty"},
		"plural without n":  {strings.Replace(enSwabs, "{n} swabs", "swabs", 1), stopPage, "lacks {n}"},
		"brace":             {strings.Replace(enDose, "{ml}", "{ML}", 1), stopPage, "brace"},
		"trailing nought":   {enDose, strings.Replace(stopPage, "0.5", "0.50", 1), "stop.yaml: guide.stop.now: the figure 0.50"},
		"key in both files": {"\nmsgctxt \"guide.stop.now\"\nmsgid \"A\"\nmsgstr \"\"\n", stopPage, "stands in en.po too"},
	} {
		t.Run(name, func(t *testing.T) {
			at := small(t, enHead+c.en, frHead, c.page)
			if _, err := readSource(at); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want an error saying %q", err, c.says)
			}
		})
	}
	if files, err := filepath.Glob(filepath.Join(real.guide, "*.yaml")); err != nil || len(files) < 8 {
		t.Errorf("%d pages of guidance found: %v", len(files), err)
	}
}
