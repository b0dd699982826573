package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/chai2010/gettext-go/po"

	"fourchette/i18n/tables"
)

// catalogue is one PO file.
type catalogue struct {
	file    string
	head    head
	entries []po.Message
}

// head is what the header of a PO file says about its language.
type head struct {
	comment   string // the remarks above the header
	lang      string // Language
	plural    string // Plural-Forms
	name      string // X-Name: what the language calls itself
	direction string // X-Direction: ltr or rtl
	complete  string // X-Complete: yes or no; yes means that check tolerates no gap
	reviewed  string // X-Reviewed: yes, no, or source for the English
}

func (h head) table() *tables.Compiled {
	return &tables.Compiled{Lang: h.lang, Dir: h.direction, Name: h.name, Draft: h.reviewed == "no"}
}

// maxCatalogue bounds a PO file before it is parsed, in bytes.
const maxCatalogue = 4 << 20

func readCatalogue(path string) (*catalogue, error) {
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	return parseCatalogue(filepath.Base(path), b)
}

// parseCatalogue reads a PO file. The library that reads it forgives much: it
// takes the later of two values in silence and can wait for ever at a stray
// line. So the lines are looked through first.
func parseCatalogue(file string, b []byte) (*catalogue, error) {
	if len(b) > maxCatalogue {
		return nil, fault{file, "", "it is larger than a PO file may be", "Look what is in it"}
	}
	if !utf8.Valid(b) {
		return nil, fault{file, "", "it is not UTF-8", "Save it as UTF-8"}
	}
	entries, err := lint(file, string(b))
	if err != nil {
		return nil, err
	}
	parsed, err := po.Load(b)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read as a PO file: %w", file, err)
	}
	if len(parsed.Messages)+1 != entries {
		return nil, fault{file, "", "it has no header, or two", `Begin it with msgid "" and one header`}
	}
	c := &catalogue{file: file, head: readHead(&parsed.MimeHeader), entries: parsed.Messages}
	if err := faults(c.checkKeys()); err != nil {
		return nil, err
	}
	return c, nil
}

func readHead(h *po.Header) head {
	extra := h.UnknowFields
	return head{h.TranslatorComment, h.Language, h.PluralForms,
		extra["X-Name"], extra["X-Direction"], extra["X-Complete"], extra["X-Reviewed"]}
}

func (c *catalogue) checkKeys() []fault {
	var found []fault
	seen := map[string]bool{}
	for _, e := range c.entries {
		if e.MsgContext == "" {
			found = append(found, fault{c.file, strconv.Quote(e.MsgId), "the entry has no key", "Write it as msgctxt above the msgid"})
		} else if seen[e.MsgContext] {
			found = append(found, fault{c.file, e.MsgContext, "the key stands twice", "Take one away"})
		}
		if len(e.MsgStrPlural) > 0 && e.MsgIdPlural == "" {
			found = append(found, fault{c.file, e.MsgContext, "the English for many is empty", "Write it as msgid_plural"})
		}
		seen[e.MsgContext] = true
	}
	return found
}

var (
	keywordLine  = regexp.MustCompile(`^(msgctxt|msgid|msgid_plural|msgstr|msgstr\[[0-5]\]) (".*")$`)
	stringLine   = regexp.MustCompile(`^".*"$`)
	previousLine = regexp.MustCompile(`^#\| (msgctxt|msgid|msgid_plural) (".*")$`)
	quoted       = regexp.MustCompile(`^"([^"\\]|\\[nrt"\\])*"$`)
)

// after names the keywords that may follow each keyword of an entry.
var after = map[string]string{
	"":        "msgctxt msgid",
	"msgctxt": "msgid", "msgid": "msgid_plural msgstr", "msgid_plural": "msgstr[0]",
	"msgstr[0]": "msgstr[1]", "msgstr[1]": "msgstr[2]", "msgstr[2]": "msgstr[3]",
	"msgstr[3]": "msgstr[4]", "msgstr[4]": "msgstr[5]",
}

// lint looks through the lines of a PO file and counts its entries. Old texts
// kept behind #~ are comments to it.
func lint(file, text string) (entries int, err error) {
	at := "" // the keyword last read in this entry
	for i, line := range strings.Split(strings.ReplaceAll(text, "\r\n", "\n"), "\n") {
		word, what := lintLine(line, at)
		if what != "" {
			return 0, fault{fmt.Sprintf("%s line %d", file, i+1), "", what, "Mend the line"}
		}
		if word == "msgid" && at != "msgid" {
			entries++
		}
		at = word
	}
	if at != "" && !strings.HasPrefix(at, "msgstr") {
		return 0, fault{file, "", "its last entry is cut short", "Finish it with a msgstr"}
	}
	return entries, nil
}

// lintLine gives the keyword that the entry has reached, or what is wrong.
func lintLine(line, at string) (word, what string) {
	done := at == "" || strings.HasPrefix(at, "msgstr")
	switch m := keywordLine.FindStringSubmatch(line); {
	case line == "" || strings.HasPrefix(line, "#"):
		if !done {
			return "", "the entry is cut short after " + at
		}
		if p := previousLine.FindStringSubmatch(line); strings.HasPrefix(line, "#|") && (p == nil || !quoted.MatchString(p[2])) {
			return "", "it is not an earlier text in one line"
		}
		return "", ""
	case m != nil:
		if !strings.Contains(" "+after[at]+" ", " "+m[1]+" ") {
			return "", m[1] + " does not belong here; a blank line parts the entries"
		}
		if !quoted.MatchString(m[2]) {
			return "", "a quote or a backslash stands bare"
		}
		return m[1], ""
	case stringLine.MatchString(line) && at != "":
		if !quoted.MatchString(line) {
			return "", "a quote or a backslash stands bare"
		}
		return at, ""
	}
	return "", "it is neither a comment nor a text in quotes"
}

// String writes the file: header first, then the entries in their order.
func (c *catalogue) String() string {
	var out strings.Builder
	out.WriteString(c.head.String())
	for _, e := range c.entries {
		out.WriteString("\n" + entryString(e))
	}
	return out.String()
}

// String writes the header. The library's own writer drops Plural-Forms.
func (h head) String() string {
	var out strings.Builder
	out.WriteString(po.Comment{TranslatorComment: h.comment}.String())
	out.WriteString("msgid \"\"\nmsgstr \"\"\n")
	for _, field := range [][2]string{
		{"Project-Id-Version", "fourchette"}, {"Language", h.lang}, {"MIME-Version", "1.0"},
		{"Content-Type", "text/plain; charset=UTF-8"}, {"Content-Transfer-Encoding", "8bit"},
		{"Plural-Forms", h.plural}, {"X-Name", h.name}, {"X-Direction", h.direction},
		{"X-Complete", h.complete}, {"X-Reviewed", h.reviewed},
	} {
		out.WriteString(quote(field[0]+": "+field[1]+"\n") + "\n")
	}
	return out.String()
}

// entryString writes one entry. The earlier English is written here, because
// the library puts its mark twice.
func entryString(e po.Message) string {
	comment := e.Comment
	comment.PrevMsgContext, comment.PrevMsgId = "", ""
	earlier := ""
	if e.PrevMsgId != "" {
		earlier = "#| msgid " + quote(e.PrevMsgId) + "\n"
	}
	e.Comment = po.Comment{}
	return comment.String() + earlier + e.String()
}

var escapes = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\r", `\r`, "\t", `\t`)

func quote(s string) string { return `"` + escapes.Replace(s) + `"` }
