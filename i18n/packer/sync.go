package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/chai2010/gettext-go/po"

	"fourchette/i18n/plural"
)

// syncAll is the command sync: it brings new English into every translation as
// an empty text, marks those whose English changed as fuzzy with the earlier
// English above them, and takes away what the English no longer has. No
// translated word is changed.
func syncAll(at places, say io.Writer) error {
	src, err := readSource(at)
	if err != nil {
		return err
	}
	translations, err := readTranslations(at)
	if err != nil {
		return err
	}
	for _, c := range translations {
		if found := checkHead(c); found != nil {
			return faults(found)
		}
		count := c.sync(src)
		if err := os.WriteFile(filepath.Join(at.tables, c.file), []byte(c.String()), 0o644); err != nil {
			return err
		}
		fmt.Fprintf(say, "%s: %d texts, %d new, %d changed, %d taken away\n",
			c.file, len(c.entries), count.added, count.changed, count.removed)
	}
	return nil
}

type counts struct{ added, changed, removed int }

// sync puts the catalogue's entries into the order of the source and says what changed.
func (c *catalogue) sync(src *source) counts {
	old := make(map[string]po.Message, len(c.entries))
	for _, e := range c.entries {
		old[e.MsgContext] = e
	}
	var n counts
	entries := make([]po.Message, 0, len(src.units))
	for _, u := range src.units {
		e, known := old[u.key]
		switch {
		case !known:
			e.MsgContext = u.key
			n.added++
		case stale(e, u):
			e = markStale(e)
			n.changed++
		}
		delete(old, u.key)
		entries = append(entries, renew(e, u, c.head.lang))
	}
	n.removed = len(old)
	c.entries = entries
	return n
}

// markStale keeps the translation, and the English it was made of, for whoever looks again.
func markStale(e po.Message) po.Message {
	if !e.GetFuzzy() {
		e.Flags = append([]string{"fuzzy"}, e.Flags...)
		e.PrevMsgId = e.MsgId
	}
	return e
}

// renew gives an entry the English, its context and as many forms as it needs.
func renew(e po.Message, u unit, lang string) po.Message {
	kept := formsOf(e)
	e.MsgId, e.MsgIdPlural, e.ExtractedComment = u.english, u.plural, u.context
	e.MsgStr, e.MsgStrPlural = "", nil
	if u.plural == "" {
		if len(kept) > 0 {
			e.MsgStr = kept[0]
		}
		return settle(e)
	}
	rule, _ := plural.For(lang)
	e.MsgStrPlural = make([]string, len(rule.Categories()))
	copy(e.MsgStrPlural, kept)
	return settle(e)
}

// settle takes the mark of doubt from an entry that has nothing to doubt, and
// the earlier English from one that somebody has looked at again.
func settle(e po.Message) po.Message {
	empty := true
	for _, form := range formsOf(e) {
		empty = empty && form == ""
	}
	if empty {
		e.Flags = without(e.Flags, "fuzzy")
	}
	if !e.GetFuzzy() {
		e.PrevMsgId, e.PrevMsgContext = "", ""
	}
	return e
}

func without(flags []string, flag string) []string {
	var kept []string
	for _, f := range flags {
		if f != flag {
			kept = append(kept, f)
		}
	}
	return kept
}
