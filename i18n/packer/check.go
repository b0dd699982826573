package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/chai2010/gettext-go/po"

	"fourchette/i18n/plural"
	"fourchette/i18n/tables"
)

// checkAll is the command check: every translation against the English, gaps
// counted, faults listed with what to do.
func checkAll(at places, say io.Writer) error {
	src, err := readSource(at)
	if err != nil {
		return err
	}
	translations, err := readTranslations(at)
	if err != nil {
		return err
	}
	fmt.Fprintf(say, "%s: %d texts\n", sourceFile, len(src.units))
	var found []fault
	for _, c := range translations {
		gaps := gapsOf(c, src)
		found = append(found, checkHead(c)...)
		found = append(found, checkFaithful(c, src)...)
		if c.head.complete == "yes" {
			found = append(found, gaps...)
		}
		fmt.Fprintf(say, "%s: %d of %d texts to translate or to look at again\n", c.file, len(gaps), len(src.units))
		if numberWords[c.head.lang] == nil {
			fmt.Fprintf(say, "%s: numbers written as words are not compared, no list of them is known\n", c.file)
		}
	}
	return faults(found)
}

// readTranslations reads every PO file but the English.
func readTranslations(at places) ([]*catalogue, error) {
	files, err := filepath.Glob(filepath.Join(at.tables, "*.po"))
	if err != nil {
		return nil, err
	}
	var found []*catalogue
	for _, file := range files {
		if filepath.Base(file) == sourceFile {
			continue
		}
		c, err := readCatalogue(file)
		if err != nil {
			return nil, err
		}
		found = append(found, c)
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("%s holds no translation: give the folder of the PO files with -tables", at.tables)
	}
	return found, nil
}

// checkHead holds the header to what the tables need.
func checkHead(c *catalogue) []fault {
	var found []fault
	add := func(what, do string) { found = append(found, fault{c.file, "header", what, do}) }
	h := c.head
	if h.lang+".po" != c.file {
		add(fmt.Sprintf("Language is %q", h.lang), "Give the file the language's tag for a name")
	}
	if want, ok := pluralForms[h.lang]; !ok {
		add("no plural rule is known for the language", "Add it to i18n/plural and to packer/forms.go")
	} else if h.plural != want {
		add(fmt.Sprintf("Plural-Forms is %q", h.plural), "Write "+want)
	}
	if h.reviewed == "yes" && numberWords[h.lang] == nil {
		add("X-Reviewed is yes, but nothing compares its numbers written as words", "Add what it calls half, two, twice to packer/words.go")
	}
	if h.name == "" {
		add("X-Name is missing", "Write what the language calls itself")
	}
	for _, field := range []struct{ name, value, allowed string }{
		{"X-Direction", h.direction, "ltr rtl"}, {"X-Complete", h.complete, "yes no"}, {"X-Reviewed", h.reviewed, "yes no source"},
	} {
		if !strings.Contains(" "+field.allowed+" ", " "+field.value+" ") || field.value == "" {
			add(fmt.Sprintf("%s is %q", field.name, field.value), "Write one of: "+field.allowed)
		}
	}
	return found
}

// gapsOf lists the texts that a language lacks: untranslated, stale since the
// English changed, without all plural forms, or left over.
func gapsOf(c *catalogue, src *source) []fault {
	var gaps []fault
	add := func(key, what, do string) { gaps = append(gaps, fault{c.file, key, what, do}) }
	english := src.byKey()
	have := map[string]bool{}
	for _, e := range c.entries {
		have[e.MsgContext] = true
		u, ok := english[e.MsgContext]
		switch {
		case !ok:
			add(e.MsgContext, "the English no longer has this text", "Run packer sync")
		case stale(e, u):
			add(u.key, "the English has changed since", "Run packer sync, look at the text again, then take away the mark fuzzy")
		case e.GetFuzzy():
			add(u.key, "the text is marked fuzzy", "Look at it again, then take away the mark")
		case !whole(e, c.head.lang):
			add(u.key, "it is not translated, or lacks a plural form", "Translate it")
		}
	}
	for _, u := range src.units {
		if !have[u.key] {
			add(u.key, "the text is missing", "Run packer sync, then translate it")
		}
	}
	return gaps
}

// stale reports whether a translation was made of another English text.
func stale(e po.Message, u unit) bool { return e.MsgId != u.english || e.MsgIdPlural != u.plural }

// formsOf gives the translated forms of an entry.
func formsOf(e po.Message) []string {
	if e.MsgIdPlural == "" {
		return []string{e.MsgStr}
	}
	return e.MsgStrPlural
}

// whole reports whether every form that the language needs is there.
func whole(e po.Message, lang string) bool {
	forms, want := formsOf(e), 1
	if e.MsgIdPlural != "" {
		rule, _ := plural.For(lang)
		want = len(rule.Categories())
	}
	for _, form := range forms {
		if form == "" {
			return false
		}
	}
	return len(forms) == want
}

// usable reports whether a translation may stand on the screen.
func usable(e po.Message, u unit, lang string) bool {
	return !stale(e, u) && !e.GetFuzzy() && whole(e, lang)
}

// checkFaithful lists the translations in use that change a number, a
// placeholder or a unit. Stale ones are not in use and are left to gapsOf.
func checkFaithful(c *catalogue, src *source) []fault {
	var found []fault
	english := src.byKey()
	for _, e := range c.entries {
		u, ok := english[e.MsgContext]
		if !ok || !usable(e, u, c.head.lang) {
			continue
		}
		for _, form := range formsOf(e) {
			if what := unfaithful(u, form, c.head.lang); what != "" {
				found = append(found, fault{c.file, u.key, what, "Mend the translation; if the English is wrong, mend that first"})
			}
		}
	}
	return found
}

// unfaithful says how a translated form departs from the English, or "".
func unfaithful(u unit, form, lang string) string {
	english := u.forms()[len(u.forms())-1]
	if _, err := tables.Holes(form); err != nil {
		return err.Error()
	}
	if edges(english) != edges(form) {
		return "a space at its beginning or end differs from the English"
	}
	if r := invisible(form); r != 0 {
		return fmt.Sprintf("it holds the invisible mark U+%04X", r)
	}
	if bad := badFigure(form, decimalComma[lang]); bad != "" {
		return "the figure " + bad + " can be misread; write it plainly, as 1000 or 0.5, with a point for a dose"
	}
	for _, compare := range []func(string, string, string) string{compareFigures, compareHoles, compareWords} {
		if what := compare(english, form, lang); what != "" {
			return what
		}
	}
	return ""
}

// edges tells which ends of a text have a space, such as those of a list's comma.
func edges(text string) [2]bool {
	return [2]bool{strings.TrimLeft(text, " ") != text, strings.TrimRight(text, " ") != text}
}

// invisible finds a mark that turns the writing direction or is not seen; such
// a mark inside a figure can turn it round.
func invisible(text string) rune {
	for _, r := range text {
		switch {
		case r == '\u200b', r == '\ufeff', r == '\u00ad', r == '\u061c',
			'\u200e' <= r && r <= '\u200f', '\u202a' <= r && r <= '\u202e', '\u2060' <= r && r <= '\u2069',
			r < ' ', r == '\u007f':
			return r
		}
	}
	return 0
}
