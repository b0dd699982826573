package site

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
)

// builder holds one build on its way.
type builder struct {
	Options
	ctx   context.Context
	work  string // where this build keeps its files until it is whole
	stage *stage
	words *words
	site  Site
}

// build goes from the parts that name no other part to those that name them
// all: index.html and, last, the service worker with the list of everything.
func (b *builder) build() (*Site, error) {
	steps := []struct {
		what string
		do   func() error
	}{
		{"compiling the language tables", b.compileWords},
		{"working out the version", b.version},
		{"compiling the Go program", b.compileProgram},
		{"collecting the licences", b.notice},
		{"copying pictures and style", b.pictures},
		{"writing the scripts", b.scripts},
		{"writing the page", b.page},
		{"writing the service worker", b.serviceWorker},
		{"compressing", b.stage.compress},
	}
	for _, s := range steps {
		if err := s.do(); err != nil {
			return nil, fmt.Errorf("%s: %w", s.what, err)
		}
	}
	b.site.Names = b.stage.names
	return &b.site, nil
}

// scripts writes the page's scripts and the worker's, those that are named
// before those that name them.
func (b *builder) scripts() error {
	worker := map[string]any{
		"version":   b.site.Version,
		"exec":      b.stage.names["wasm_exec.js"],
		"program":   b.stage.names["app.wasm"],
		"pack":      b.stage.names["builtin.pack"],
		"notice":    b.stage.names["notice.txt"],
		"languages": b.site.Languages,
		"tables":    b.tableNames(),
	}
	if err := b.script("worker.js", worker); err != nil {
		return err
	}
	for _, module := range []string{"aids.js", "copies.js", "screen.js", "update.js"} {
		if err := b.script(module, nil); err != nil {
			return err
		}
	}
	shell := map[string]any{
		"version":   b.site.Version,
		"worker":    b.stage.names["worker.js"],
		"words":     b.stage.names["shell.json"],
		"languages": b.tags(),
	}
	return b.script("shell.js", shell)
}

func (b *builder) script(name string, site map[string]any) error {
	text, err := b.withSite(name, site)
	if err != nil {
		return err
	}
	return b.stage.hashed(name, text)
}

// withSite gives a script with what it must know of this build before its
// first line, as the constant "site"; nil is nothing. Go writes the keys of a map
// in order, so that equal builds give equal bytes.
func (b *builder) withSite(name string, site map[string]any) ([]byte, error) {
	text, err := b.filled(name)
	if err != nil || site == nil {
		return text, err
	}
	facts, err := json.Marshal(site)
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "const site = %s;\n%s", facts, text), nil
}

// page writes the manifest and index.html, which name other files in braces.
func (b *builder) page() error {
	manifest, err := b.filled("manifest.webmanifest")
	if err != nil {
		return err
	}
	if err := b.stage.hashed("manifest.webmanifest", manifest); err != nil {
		return err
	}
	index, err := b.filled("index.html")
	if err != nil {
		return err
	}
	return b.stage.plain("index.html", index)
}

// filled reads one of the hand-written files of the shell and fills it in.
func (b *builder) filled(name string) ([]byte, error) {
	text, err := os.ReadFile(filepath.Join(b.Repo, "wasm", "shell", name))
	if err != nil {
		return nil, err
	}
	return fill(name, string(text), b.stage.names, b.words.english)
}

// serviceWorker writes sw.js with the list of all files and their hashes: it
// is written last.
func (b *builder) serviceWorker() error {
	b.site.Precache = b.stage.served()
	hashes, err := b.stage.integrity()
	if err != nil {
		return err
	}
	text, err := b.withSite("sw.js", map[string]any{"version": b.site.Version, "files": hashes})
	if err != nil {
		return err
	}
	return b.stage.plain("sw.js", text)
}

// pictures stages the style and the icons. The drawings are no files of the
// site: they are part of the Go program.
func (b *builder) pictures() error {
	root := filepath.Join(b.Repo, "wasm", "shell")
	icons, err := filepath.Glob(filepath.Join(root, "icons", "*.png"))
	if err != nil {
		return err
	}
	for _, path := range append(icons, filepath.Join(root, "icons", "icon.svg"), filepath.Join(root, "style.css")) {
		content, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if err := b.stage.hashed(filepath.Base(path), content); err != nil {
			return err
		}
	}
	return nil
}
