//go:build js && wasm && faults

package main

import (
	"errors"
	"fmt"
	"html"

	"fourchette/core/journal"
	"fourchette/core/journal/journaltest"
	"fourchette/wasm/app/opfs"
	"fourchette/wasm/pages"
)

// diskSuite shows whether the private files pass the suite that every host's
// disk must pass. It runs in folders beside the records.
func diskSuite(m pages.Message) pages.Screen {
	var held []*opfs.Disk
	fresh := func() (journal.Disk, error) {
		d, err := opfs.Open(fmt.Sprintf("suite-%d", len(held)))
		if err == nil {
			held = append(held, d)
		}
		return d, err
	}
	verdict := "passed"
	if err := errors.Join(journaltest.Suite(fresh), twice()); err != nil {
		verdict = err.Error()
	}
	for _, d := range held {
		d.Close()
	}
	return pages.Screen{Path: m.Path, Lang: "en", Dir: "ltr", Main: `<pre id="suite">` + html.EscapeString(verdict) + `</pre>`}
}

// twice tries that a folder has one holder.
func twice() error {
	d, err := opfs.Open("suite-twice")
	if err != nil {
		return err
	}
	defer d.Close()
	if _, err := opfs.Open("suite-twice"); !errors.Is(err, opfs.ErrElsewhere) {
		return fmt.Errorf("a folder that is held was opened again: got %v, want %w", err, opfs.ErrElsewhere)
	}
	return nil
}
