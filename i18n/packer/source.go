package main

import (
	"path/filepath"
	"sort"
	"strings"

	"fourchette/core/pack"
	"fourchette/i18n/tables"
)

// sourceFile is the PO file whose msgid are the words of the screens.
const sourceFile = "en.po"

// unit is one English text to be translated.
type unit struct {
	key     string
	english string // the only form, or that for one
	plural  string // the form for many, or "" where number does not matter
	context string // what a translator should know
	file    string // where it is written, for messages
}

func (u unit) forms() []string {
	if u.plural == "" {
		return []string{u.english}
	}
	return []string{u.english, u.plural}
}

// source is all the English: the texts in the order of their files, the header
// of en.po, and the guidance as a pack without words.
type source struct {
	units []unit
	head  head
	pages []pack.Page
}

// readSource reads en.po and the guidance and refuses faults in them.
func readSource(at places) (*source, error) {
	catalogue, err := readCatalogue(filepath.Join(at.tables, sourceFile))
	if err != nil {
		return nil, err
	}
	guide, err := readGuide(at.guide)
	if err != nil {
		return nil, err
	}
	s := &source{head: catalogue.head}
	for _, e := range catalogue.entries {
		s.units = append(s.units, unit{e.MsgContext, e.MsgId, e.MsgIdPlural, e.ExtractedComment, sourceFile})
	}
	for _, page := range guide {
		s.units = append(s.units, page.units()...)
		s.pages = append(s.pages, page.packed())
	}
	if err := faults(append(checkHead(catalogue), s.check()...)); err != nil {
		return nil, err
	}
	return s, nil
}

// byKey finds the English by key.
func (s *source) byKey() map[string]unit {
	found := make(map[string]unit, len(s.units))
	for _, u := range s.units {
		found[u.key] = u
	}
	return found
}

func (s *source) check() []fault {
	var found []fault
	seen := map[string]string{}
	for _, u := range s.units {
		if other, twice := seen[u.key]; twice {
			found = append(found, fault{u.file, u.key, "the key stands in " + other + " too", "Give one of them another key"})
		}
		seen[u.key] = u.file
		for _, text := range u.forms() {
			found = append(found, checkEnglish(u, text)...)
		}
	}
	return found
}

func checkEnglish(u unit, text string) []fault {
	var found []fault
	add := func(what, do string) { found = append(found, fault{u.file, u.key, what, do}) }
	if strings.TrimSpace(text) == "" {
		add("the text is empty", "Write it")
	}
	if _, err := tables.Holes(text); err != nil {
		add(err.Error(), "Mend the placeholder")
	}
	if bad := badFigure(text, false); bad != "" {
		add("the figure "+bad, "Write it plainly, as 1000 or 0.5")
	}
	if u.plural != "" && !strings.Contains(text, "{n}") {
		add("a text with a plural lacks {n}", "Put {n} where the number stands")
	}
	return found
}

// compiled makes the table of the source language.
func (s *source) compiled() *tables.Compiled {
	c := s.head.table()
	for _, u := range s.units {
		c.Entries = append(c.Entries, tables.Entry{Key: u.key, Forms: typesetAll(c.Lang, c.Dir, u.forms())})
	}
	return sortEntries(c)
}

func sortEntries(c *tables.Compiled) *tables.Compiled {
	sort.Slice(c.Entries, func(i, j int) bool { return c.Entries[i].Key < c.Entries[j].Key })
	return c
}
