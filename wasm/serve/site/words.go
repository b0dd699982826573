package site

import (
	"encoding/json"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fourchette/i18n/tables"
)

// words are the compiled languages of this build.
type words struct {
	dir     string
	tables  []*tables.Table   // English first, then by tag
	english map[string]string // the shell's texts in English, escaped for HTML
}

const source = "en"

// shellTexts are the texts that the shell itself shows, by their keys without
// "shell.". A test holds them against the English table.
var shellTexts = []string{
	"loading", "stuck", "working",
	"crashed", "crashed_what", "silent", "silent_what", "cannot_start", "cannot_start_what", "mismatch", "mismatch_what",
	"no_wasm", "no_wasm_what", "too_old", "too_old_what",
	"start_again", "load_again", "home", "rescue", "detail",
}

// compileWords lets the packer compile the languages and the built-in pack and
// stages what it wrote.
func (b *builder) compileWords() error {
	b.words = &words{dir: filepath.Join(b.work, "words"), english: map[string]string{}}
	for _, command := range b.packerCommands() {
		args := []string{"run", "./i18n/packer", command, "-out", b.words.dir}
		if _, err := b.goTool(nil, args...); err != nil {
			return err
		}
	}
	files, err := filepath.Glob(filepath.Join(b.words.dir, "*"))
	if err != nil {
		return err
	}
	for _, path := range files {
		if err := b.stageWords(path); err != nil {
			return fmt.Errorf("%s: %w", filepath.Base(path), err)
		}
	}
	return b.shellWords()
}

func (b *builder) packerCommands() []string {
	if b.Pseudo {
		return []string{"build", "pseudo"}
	}
	return []string{"build"}
}

func (b *builder) stageWords(path string) error {
	content, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if filepath.Ext(path) == ".table" {
		t, err := tables.Load(content)
		if err != nil {
			return err
		}
		b.words.tables = append(b.words.tables, t)
	}
	return b.stage.hashed(filepath.Base(path), content)
}

// shellWords writes what the shell itself shows, in every language, into one
// small file: it must be readable when the Go program is not there to help.
func (b *builder) shellWords() error {
	all := b.words.tables
	slices.SortFunc(all, func(x, y *tables.Table) int { return strings.Compare(rank(x), rank(y)) })
	if len(all) == 0 || all[0].Lang != source {
		return fmt.Errorf("the packer wrote no %s.table", source)
	}
	type language struct {
		Dir   string            `json:"dir"`
		Texts map[string]string `json:"texts"`
	}
	file := map[string]language{}
	for _, t := range all {
		b.site.Languages = append(b.site.Languages, Language{Lang: t.Lang, Name: t.Name, Dir: t.Dir, Draft: t.Draft})
		file[t.Lang] = language{Dir: t.Dir, Texts: textsOf(all[0], t)}
	}
	for name, text := range file[source].Texts {
		b.words.english["shell."+name] = html.EscapeString(text)
	}
	content, err := json.Marshal(file)
	if err != nil {
		return err
	}
	return b.stage.hashed("shell.json", content)
}

// rank puts the source language before all others.
func rank(t *tables.Table) string {
	if t.Lang == source {
		return ""
	}
	return t.Lang
}

// textsOf gives the shell's texts in one language, English where it has none.
func textsOf(english, t *tables.Table) map[string]string {
	book := tables.NewBook(english, t)
	texts := map[string]string{}
	for _, name := range shellTexts {
		texts[name] = book.Text("shell." + name).S
	}
	return texts
}

// tags lists the languages' tags, English first.
func (b *builder) tags() []string {
	var tags []string
	for _, l := range b.site.Languages {
		tags = append(tags, l.Lang)
	}
	return tags
}

// tableNames says under which name each language's table is served.
func (b *builder) tableNames() map[string]string {
	names := map[string]string{}
	for _, tag := range b.tags() {
		names[tag] = b.stage.names[tag+".table"]
	}
	return names
}
