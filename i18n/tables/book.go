package tables

import "strconv"

// Text is a piece of text ready for the screen.
type Text struct {
	// S is the text, placeholders filled. It is plain text, never markup.
	S string
	// Lang is the language that S is in, for a lang attribute.
	Lang string
	// Marked: S is not what was asked for and must look so. It is English for
	// want of a translation, the key in brackets for want of any text, or a
	// text in which a placeholder got no value.
	Marked bool
}

// Book pairs the chosen language with the source it falls back to.
type Book struct {
	source, chosen *Table
}

// NewBook opens the words of the chosen language before the source language. A
// nil chosen stands for the source itself.
func NewBook(source, chosen *Table) *Book {
	if chosen == nil {
		chosen = source
	}
	return &Book{source: source, chosen: chosen}
}

// Table gives the chosen language's table: its name, direction and whether it
// is a draft.
func (b *Book) Table() *Table { return b.chosen }

// Has reports whether the source language has a text for the key, for texts
// that need not exist.
func (b *Book) Has(key string) bool { return b.source.forms(key) != nil }

// Text finds the text of a key and fills its placeholders. The arguments are
// name and value in turn: Text("dose.limit", "mg", "200").
func (b *Book) Text(key string, args ...string) Text {
	for _, t := range []*Table{b.chosen, b.source} {
		// A text with plural forms asked for without a number has no right
		// answer: it falls through to the key.
		if forms := t.forms(key); len(forms) == 1 {
			return b.filled(t, forms[0], args)
		}
	}
	return b.missing(key)
}

// Count finds the form of a text that goes with the number n and fills {n}
// with it, in Western digits. Further placeholders are filled as by Text.
func (b *Book) Count(key string, n int, args ...string) Text {
	all := append([]string{"n", strconv.Itoa(n)}, args...)
	for _, t := range []*Table{b.chosen, b.source} {
		if form := t.form(key, n); form != "" {
			return b.filled(t, form, all)
		}
	}
	return b.missing(key)
}

func (b *Book) filled(t *Table, form string, args []string) Text {
	s, whole := fill(form, args)
	return Text{S: s, Lang: t.Lang, Marked: t != b.chosen || !whole}
}

func (b *Book) missing(key string) Text {
	return Text{S: "⟦" + key + "⟧", Lang: b.source.Lang, Marked: true}
}
