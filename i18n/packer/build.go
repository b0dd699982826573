package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"fourchette/core/pack"
	"fourchette/i18n/tables"
)

// build is the command build: it writes a compiled table for each language and
// the built-in pack.
func build(at places, say io.Writer) error {
	if at.out == "" {
		return errors.New("say where to write: packer build -out DIR")
	}
	src, err := readSource(at)
	if err != nil {
		return err
	}
	translations, err := readTranslations(at)
	if err != nil {
		return err
	}
	compiled := []*tables.Compiled{src.compiled()}
	for _, c := range translations {
		if found := append(checkHead(c), checkFaithful(c, src)...); found != nil {
			return faults(found)
		}
		compiled = append(compiled, c.compiled(src))
	}
	if err := writeTables(at.out, compiled, say); err != nil {
		return err
	}
	b, err := builtin(src.pages).Store()
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(at.out, "builtin.pack"), b, 0o644)
}

// compiled makes the table of a translation; a gap or a stale text is left out,
// so that the program shows the English, marked.
func (c *catalogue) compiled(src *source) *tables.Compiled {
	table := c.head.table()
	english := src.byKey()
	for _, e := range c.entries {
		u, ok := english[e.MsgContext]
		if ok && usable(e, u, c.head.lang) {
			table.Entries = append(table.Entries, tables.Entry{Key: u.key, Forms: typesetAll(c.head.lang, c.head.direction, formsOf(e))})
		}
	}
	return sortEntries(table)
}

// writeTables writes LANG.table for each language.
func writeTables(folder string, all []*tables.Compiled, say io.Writer) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	for _, c := range all {
		b, err := tables.Encode(c)
		if err != nil {
			return fmt.Errorf("%s.table cannot be written: %w", c.Lang, err)
		}
		if err := os.WriteFile(filepath.Join(folder, c.Lang+".table"), b, 0o644); err != nil {
			return err
		}
		fmt.Fprintf(say, "%s.table: %d texts, %d bytes\n", c.Lang, len(c.Entries), len(b))
	}
	return nil
}

// builtin is the pack that the program carries from the first day. It picks the
// safest of what is published: the lowest ceiling, lidocaine alone, and every
// milligram counted against the smallest ceiling.
func builtin(pages []pack.Page) pack.Pack {
	return pack.Pack{
		Schema: pack.Schema, ID: "builtin", Version: "1",
		Choices: pack.Choices{AnaestheticSource: "lowest", Agents: []string{"lidocaine"}, Mixing: "strictest"},
		Pages:   pages,
	}
}

// beforeUnit finds the space between a figure or a placeholder and its unit.
var beforeUnit = regexp.MustCompile(`([0-9}]) (mg|g|kg|mL|ml|L|l|%|°C|cm|mm|mmHg|IU|UI|h|min)(\P{L}|$)`)

// insideFigure finds the space before three digits parted off.
var insideFigure = regexp.MustCompile(`(\d) (\d{3})\b`)

// insideWord finds a typewriter apostrophe between letters.
var insideWord = regexp.MustCompile(`(\pL)'(\pL)`)

// typeset keeps a unit on the line of its number, and in French a high mark on
// the line of its word, so that translators need not type spaces they cannot
// see; English and French get their apostrophe.
func typeset(lang, text string) string {
	text = insideFigure.ReplaceAllString(text, "$1\u00a0$2")
	text = beforeUnit.ReplaceAllString(text, "$1\u00a0$2$3")
	if lang == "en" || lang == "fr" {
		text = insideWord.ReplaceAllString(text, "$1’$2")
	}
	if lang == "fr" || strings.HasPrefix(lang, "fr-") {
		for _, mark := range []string{":", ";", "?", "»", "%"} {
			text = strings.ReplaceAll(text, " "+mark, "\u00a0"+mark)
		}
		text = strings.ReplaceAll(text, "« ", "«\u00a0")
	}
	return text
}

// amount finds a figure, a range or a placeholder with its unit in Latin letters.
var amount = longest(`(?:[0-9][0-9.,]*[–/-])?(?:[0-9][0-9.,]*|\{[a-z_]+\})\x{a0}(?:mg|g|kg|mL|ml|L|l|%|°C|cm|mm|mmHg|IU|UI|h|min)(?:/[A-Za-z]+)*`)

func longest(pattern string) *regexp.Regexp {
	r := regexp.MustCompile(pattern)
	r.Longest() // mmHg, not mm
	return r
}

// typesetAll also keeps an amount from left to right where the text runs from
// the right: "6 h" must not turn into "h 6".
func typesetAll(lang, direction string, forms []string) []string {
	const leftToRight, end = "\u2066", "\u2069"
	set := make([]string, len(forms))
	for i, form := range forms {
		if set[i] = typeset(lang, form); direction == "rtl" {
			set[i] = amount.ReplaceAllString(set[i], leftToRight+"$0"+end)
		}
	}
	return set
}
