package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/goccy/go-yaml"

	"fourchette/core/pack"
)

// guidePage is one file of guidance, as a trainer writes it.
type guidePage struct {
	Page  string      `yaml:"page"`
	Title string      `yaml:"title"`
	Items []guideItem `yaml:"items"`

	file string
}

// guideItem is one line of guidance. Source, Read, Link and Drawing are those
// of pack.Item; Context tells a translator what the words mean there.
type guideItem struct {
	Key     string `yaml:"key"`
	Kind    string `yaml:"kind"`
	Text    string `yaml:"text"`
	Source  string `yaml:"source"`
	Read    string `yaml:"read"`
	Link    string `yaml:"link"`
	Drawing string `yaml:"drawing"`
	Context string `yaml:"context"`
}

// titleKey is the key of a page's title among its texts.
const titleKey = "title"

// readGuide reads every page of a folder, in the order of the files' names.
func readGuide(folder string) ([]guidePage, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.yaml"))
	if err != nil {
		return nil, err
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("%s holds no .yaml file: give the folder of the guidance with -guide", folder)
	}
	var pages []guidePage
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		page, err := parsePage(filepath.Base(file), b)
		if err != nil {
			return nil, err
		}
		pages = append(pages, page)
	}
	return pages, nil
}

// maxGuide bounds a page of guidance before it is parsed, in bytes.
const maxGuide = 256 << 10

// parsePage reads and checks one page. Unknown and repeated names are refused:
// a misspelt source must not pass as no source.
func parsePage(file string, b []byte) (guidePage, error) {
	if len(b) > maxGuide {
		return guidePage{}, fault{file, "", "it is larger than a page may be", "Split it"}
	}
	page := guidePage{file: file}
	if err := yaml.NewDecoder(bytes.NewReader(b), yaml.Strict()).Decode(&page); err != nil {
		return guidePage{}, fmt.Errorf("%s cannot be read as a page of guidance: %w", file, err)
	}
	if err := faults(page.check()); err != nil {
		return guidePage{}, err
	}
	return page, nil
}

func (p guidePage) check() []fault {
	var found []fault
	if p.Page == "" || p.Page+".yaml" != p.file {
		found = append(found, fault{p.file, "", fmt.Sprintf("the page is called %q", p.Page), "Give the page and its file one name"})
	}
	if p.Title == "" || len(p.Items) == 0 {
		found = append(found, fault{p.file, "", "the page has no title or no items", "Write both"})
	}
	for _, item := range p.Items {
		if what, do := item.check(); what != "" {
			found = append(found, fault{p.file, item.Key, what, do})
		}
	}
	// The pack itself knows the kinds, the keys and which kinds need a source.
	draft := pack.Pack{Schema: pack.Schema, ID: "check", Version: "1", Pages: []pack.Page{p.packed()}}
	if _, err := draft.Store(); err != nil {
		found = append(found, fault{p.file, "", err.Error(), "Mend the item named"})
	}
	return found
}

func (i guideItem) check() (what, do string) {
	switch {
	case i.Key == titleKey:
		return `the key "title" belongs to the page's title`, "Give the item another key"
	case i.Text == "":
		return "the item has no text", "Write its text"
	case strings.ContainsAny(i.Text, "{}\n"):
		return "guidance takes no braces and no line break", "Write one line of plain words"
	case hasFigure(i.Text) && i.Source == "":
		return "a number stands without its source", "Add source: and read:, or source: " + commonPractice
	case (i.Source == "") != (i.Read == "") && i.Source != commonPractice:
		return "source and read belong together", "Say where it stands and whether it was read: FOUND, 2nd or from memory"
	case i.Read != "" && i.Read != "FOUND" && i.Read != "2nd" && !strings.HasPrefix(i.Read, "from memory: "):
		return fmt.Sprintf("read is %q", i.Read), "Write FOUND, 2nd, or from memory: and the document; of several the weakest"
	}
	return "", ""
}

// commonPractice is the source of a rule of the trade; there is nothing to read.
const commonPractice = "common practice, no source"

func hasFigure(text string) bool { return strings.IndexFunc(text, unicode.IsDigit) >= 0 }

// packed is the page without its words.
func (p guidePage) packed() pack.Page {
	page := pack.Page{Key: p.Page}
	for _, i := range p.Items {
		page.Items = append(page.Items, pack.Item{Kind: i.Kind, Key: i.Key, Source: i.Source, Read: i.Read, Link: i.Link, Drawing: i.Drawing})
	}
	return page
}

// units are the page's words, under guide.<page>.<item>.
func (p guidePage) units() []unit {
	prefix := "guide." + p.Page + "."
	units := []unit{{key: prefix + titleKey, english: p.Title, file: p.file}}
	for _, i := range p.Items {
		units = append(units, unit{key: prefix + i.Key, english: i.Text, context: i.Context, file: p.file})
	}
	return units
}
