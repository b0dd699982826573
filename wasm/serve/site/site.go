// Package site builds the web app into a folder that any static host can
// serve.
//
// Start with Build. It leaves two things in its folder: public, which is the
// app as it is served, and site.json, the record of what was built, which Read
// gives back. Every file of the app carries a hash of its bytes in its name,
// except index.html and sw.js, which tell a browser which files are the newest.
//
// One version string is worked out from everything that goes in and is given
// to the page, the worker, the service worker and the Go program alike, so
// that each of them can refuse to work with another's version.
package site

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Options say what to build.
type Options struct {
	Repo   string // the repository's root
	Out    string // the folder to build in; what is built replaces what was there
	Pseudo bool   // build the two pseudo-languages too; for tests only
	Fault  bool   // add a way to make the Go program panic; for tests only
}

// Site is the record of a build.
type Site struct {
	Version   string            `json:"version"`
	Names     map[string]string `json:"names"`     // what a file is called in the sources -> what it is served as
	Precache  []string          `json:"precache"`  // all that the app needs offline, as served
	Languages []Language        `json:"languages"` // English first, then by tag
}

// Language is what the app must know of a language before it loads the words.
type Language struct {
	Lang  string `json:"lang"`  // BCP 47 tag
	Name  string `json:"name"`  // the language's own name for itself
	Dir   string `json:"dir"`   // "ltr" or "rtl"
	Draft bool   `json:"draft"` // not reviewed: for practice only
}

const recordName = "site.json"

// Public is the folder to serve from, under the folder that was built in.
func Public(out string) string { return filepath.Join(out, "public") }

// Build builds the app. Until the very end everything lies in a folder of its
// own, so that a build that fails leaves the last good one standing.
func Build(ctx context.Context, o Options) (*Site, error) {
	if err := os.MkdirAll(o.Out, 0o755); err != nil {
		return nil, err
	}
	work, err := os.MkdirTemp(o.Out, "building-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(work)
	b := &builder{Options: o, ctx: ctx, work: work, stage: newStage(filepath.Join(work, "public"))}
	s, err := b.build()
	if err != nil {
		return nil, err
	}
	return s, replace(work, o.Out, s)
}

// Read gives the record of the last build in a folder. The error says what to
// do when there is none.
func Read(out string) (*Site, error) {
	b, err := os.ReadFile(filepath.Join(out, recordName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("nothing has been built in %s yet: run \"go run ./wasm/serve -build-only\" first", out)
	}
	if err != nil {
		return nil, err
	}
	var s Site
	if err := json.Unmarshal(b, &s); err != nil {
		return nil, fmt.Errorf("%s in %s cannot be read, build again: %w", recordName, out, err)
	}
	return &s, nil
}

// replace puts a finished build in the place of the last one. Another build may
// be doing the same at this moment, as tests of two packages do: whoever comes
// second moves the first one's away, too.
func replace(work, out string, s *Site) error {
	record, err := json.MarshalIndent(s, "", "\t")
	if err != nil {
		return err
	}
	for try := range 10 {
		if err = os.Rename(Public(out), filepath.Join(work, fmt.Sprint("old-", try))); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if err = os.Rename(Public(work), Public(out)); err == nil {
			break
		}
	}
	if err != nil {
		return err
	}
	fresh := filepath.Join(work, recordName)
	if err := os.WriteFile(fresh, append(record, '\n'), 0o644); err != nil {
		return err
	}
	return os.Rename(fresh, filepath.Join(out, recordName))
}
