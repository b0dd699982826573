// Package tables holds the words of the program in one language and finds them
// by key while the program runs.
//
// Start with Load, which reads a table that the packer compiled, and NewBook,
// which pairs the English source with the chosen language; Book.Text and
// Book.Count give every text. A text that the chosen language lacks comes in
// English and says so (Text.Marked), so that nobody takes a foreign word for a
// checked translation. The package reads no PO file and no YAML: that is the
// packer's work, done before the program is built.
//
// Compiled tables of version 1 stay readable; compiled.go draws the file.
package tables

import (
	"errors"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"fourchette/i18n/plural"
)

// The three answers to a file that cannot be used.
var (
	// ErrNotOurs: the file is no compiled table at all.
	ErrNotOurs = errors.New("not a table of translations")
	// ErrTooNew: a later version of the program wrote it.
	ErrTooNew = errors.New("the table was made for a newer version of the program: update the program")
	// ErrDamaged: it was ours, but it cannot be trusted. Wrapped with what is wrong.
	ErrDamaged = errors.New("the table of translations is damaged: build it again or load it again")
)

// Table is the texts of one language.
type Table struct {
	// Lang is the BCP 47 tag, for the lang attribute of a page.
	Lang string
	// Dir is "ltr" or "rtl".
	Dir string
	// Name is the language's own name for itself.
	Name string
	// Draft: nobody has reviewed the translation yet; for practice only.
	Draft bool

	entries []Entry
	rule    plural.Rule
}

// Load reads a compiled table. The error wraps ErrNotOurs, ErrTooNew or
// ErrDamaged; with an error there is no table.
func Load(b []byte) (*Table, error) {
	if len(b) <= len(magic) || string(b[:len(magic)]) != magic || b[len(magic)] == 0 {
		return nil, ErrNotOurs
	}
	if b[len(magic)] > version {
		return nil, ErrTooNew
	}
	if len(b) > maxSize {
		return nil, damaged("it is larger than a table may be")
	}
	var c Compiled
	rest, err := c.UnmarshalMsg(b[len(magic)+1:])
	if err != nil {
		return nil, damaged(err.Error())
	}
	if len(rest) > 0 {
		return nil, damaged("bytes follow its end")
	}
	if err := check(&c); err != nil {
		return nil, damaged(err.Error())
	}
	rule, _ := plural.For(c.Lang)
	return &Table{Lang: c.Lang, Dir: c.Dir, Name: c.Name, Draft: c.Draft, entries: c.Entries, rule: rule}, nil
}

func damaged(what string) error {
	return errors.Join(ErrDamaged, errors.New(what))
}

// Keys lists the keys of the table, sorted.
func (t *Table) Keys() []string {
	keys := make([]string, len(t.entries))
	for i := range t.entries {
		keys[i] = t.entries[i].Key
	}
	return keys
}

func (t *Table) forms(key string) []string {
	i, found := slices.BinarySearchFunc(t.entries, key, func(e Entry, key string) int {
		return strings.Compare(e.Key, key)
	})
	if !found {
		return nil
	}
	return t.entries[i].Forms
}

// form gives the text for a count, or "" where the table has none.
func (t *Table) form(key string, n int) string {
	switch forms := t.forms(key); len(forms) {
	case 0:
		return ""
	case 1:
		return forms[0]
	default:
		return forms[t.rule.Index(n)]
	}
}

// check holds a table to what the rest of the package relies on.
func check(c *Compiled) error {
	rule, ok := plural.For(c.Lang)
	if !ok {
		return errors.New("no plural rule for language " + strconv.Quote(c.Lang))
	}
	if c.Dir != "ltr" && c.Dir != "rtl" {
		return errors.New("writing direction " + strconv.Quote(c.Dir) + " is neither ltr nor rtl")
	}
	if c.Name == "" || !utf8.ValidString(c.Name) {
		return errors.New("the language has no name for itself")
	}
	for i, e := range c.Entries {
		if i > 0 && c.Entries[i-1].Key >= e.Key {
			return errors.New("key " + strconv.Quote(e.Key) + " is out of order or stands twice")
		}
		if err := checkEntry(e, len(rule.Categories())); err != nil {
			return errors.New("key " + strconv.Quote(e.Key) + ": " + err.Error())
		}
	}
	return nil
}

func checkEntry(e Entry, forms int) error {
	if e.Key == "" || !utf8.ValidString(e.Key) {
		return errors.New("the key is empty or not UTF-8")
	}
	if n := len(e.Forms); n != 1 && n != forms {
		return errors.New("it has " + strconv.Itoa(n) + " forms, the language needs " + strconv.Itoa(forms))
	}
	for _, text := range e.Forms {
		if text == "" || !utf8.ValidString(text) {
			return errors.New("a form is empty or not UTF-8")
		}
		if _, err := Holes(text); err != nil {
			return err
		}
	}
	return nil
}
