package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"fourchette/wasm/browser"
	"fourchette/wasm/serve/site"
)

// made is what all costs are measured on: the app, built now, and what its
// rivals are made of.
type made struct {
	ctx           context.Context
	dir           string // for everything of this run
	notes         io.Writer
	app           *browser.Built
	empty         []byte // the empty Go program
	loader        []byte // wasm_exec.js
	serviceWorker string // the app's own, before the build puts its list
}

// build makes what the costs are measured on: with the app, or with nothing.
func build(ctx context.Context, notes io.Writer, app bool) (*made, error) {
	dir, err := os.MkdirTemp("", "bench-")
	if err != nil {
		return nil, err
	}
	m := &made{ctx: ctx, dir: dir, notes: notes}
	if !app {
		return m, nil
	}
	if err := m.fill(); err != nil {
		m.remove()
		return nil, err
	}
	return m, nil
}

func (m *made) fill() (err error) {
	if m.app, err = browser.Build(site.Options{Out: m.path("app")}); err != nil {
		return err
	}
	if err := os.Mkdir(m.path("empty"), 0o755); err != nil {
		return err
	}
	if m.empty, err = buildEmpty(m.ctx, m.path("empty")); err != nil {
		return err
	}
	if m.loader, err = m.file("wasm_exec.js"); err != nil {
		return err
	}
	repo, err := browser.Root()
	if err != nil {
		return err
	}
	text, err := os.ReadFile(filepath.Join(repo, "wasm", "shell", "sw.js"))
	m.serviceWorker = string(text)
	return err
}

func (m *made) path(name string) string { return filepath.Join(m.dir, name) }

// file reads a file of the app by its name in the sources.
func (m *made) file(name string) ([]byte, error) {
	as, known := m.app.Names[name]
	if !known {
		return nil, fmt.Errorf("the app has no file %s", name)
	}
	return os.ReadFile(filepath.Join(m.app.Public, as))
}

func (m *made) note(format string, args ...any) { fmt.Fprintf(m.notes, "# "+format+"\n", args...) }

func (m *made) remove() { os.RemoveAll(m.dir) }
