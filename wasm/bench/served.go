package main

import (
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strings"

	"fourchette/wasm/browser"
)

//go:embed floor
var floor embed.FS

func floorFile(name string) string {
	b, err := floor.ReadFile("floor/" + name)
	if err != nil {
		panic(err) // it is compiled in
	}
	return string(b)
}

// A served is a folder of files under names that package static serves as it
// serves the app's: with a hash in the name where the app has one.
type served struct {
	dir   string
	names map[string]string // name in the sources -> name as served
}

func newServed(dir string) (*served, error) {
	return &served{dir, map[string]string{}}, os.MkdirAll(dir, 0o755)
}

// add writes a file. {{name}} in a text stands for the served name of a file
// added before.
func (s *served) add(name string, content []byte) error {
	as := name
	if name != "index.html" && name != "sw.js" {
		ext := path.Ext(name)
		sum := sha256.Sum256(content)
		as = strings.TrimSuffix(name, ext) + "." + hex.EncodeToString(sum[:8]) + ext
	}
	s.names[name] = as
	return os.WriteFile(filepath.Join(s.dir, as), content, 0o644)
}

func (s *served) addText(name, text string) error {
	for name, as := range s.names {
		text = strings.ReplaceAll(text, "{{"+name+"}}", as)
	}
	return s.add(name, []byte(text))
}

// addServiceWorker writes the app's own service worker with the hashes of what
// was added before.
func (s *served) addServiceWorker(text string) error {
	files := map[string]string{}
	for _, as := range s.names {
		b, err := os.ReadFile(filepath.Join(s.dir, as))
		if err != nil {
			return err
		}
		files[as] = integrity(b)
	}
	facts, err := json.Marshal(map[string]any{"version": "floor", "files": files})
	if err != nil {
		return err
	}
	return s.add("sw.js", fmt.Appendf(nil, "const site = %s;\n%s", facts, text))
}

func integrity(b []byte) string {
	sum := sha256.Sum256(b)
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// emptyApp lays out the least app that runs a Go program in a worker and is
// kept offline by the same service worker.
func emptyApp(dir string, m *made) (*browser.Built, error) {
	s, err := newServed(dir)
	if err != nil {
		return nil, err
	}
	steps := []func() error{
		func() error { return s.add("wasm_exec.js", m.loader) },
		func() error { return s.add("empty.wasm", m.empty) },
		func() error { return s.addText("worker.js", floorFile("clock.js")+floorFile("empty.js")) },
		func() error { return s.addText("page.js", floorFile("page.js")) },
		func() error { return s.add("icon.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`)) },
		func() error { return s.addText("index.html", floorFile("index.html")) },
		func() error { return s.addServiceWorker(m.serviceWorker) },
	}
	for _, step := range steps {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return &browser.Built{Public: dir}, nil
}

// withWorker copies the built app with another text for its worker. The name
// stays, so that every other file stays too, but for the worker's hash in the
// service worker's list.
func withWorker(m *made, dir string, worker func(text string) string) (*browser.Built, error) {
	if err := os.CopyFS(dir, os.DirFS(m.app.Public)); err != nil {
		return nil, err
	}
	name := m.app.Names["worker.js"]
	before, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		return nil, err
	}
	after := worker(string(before))
	list := filepath.Join(dir, "sw.js")
	text, err := os.ReadFile(list)
	if err != nil {
		return nil, err
	}
	changed := strings.Replace(string(text), integrity(before), integrity([]byte(after)), 1)
	if changed == string(text) {
		return nil, fmt.Errorf("sw.js does not list the hash of %s: the service worker's form has changed, and this bench must follow", name)
	}
	for file, content := range map[string]string{name: after, "sw.js": changed} {
		if err := rewrite(filepath.Join(dir, file), content); err != nil {
			return nil, err
		}
	}
	return &browser.Built{Site: m.app.Site, Public: dir}, nil
}

// rewrite changes a file and takes away its compressed copies, which would be
// served in its place.
func rewrite(path, content string) error {
	for _, ext := range []string{".br", ".gz"} {
		if err := os.Remove(path + ext); err != nil && !os.IsNotExist(err) {
			return err
		}
	}
	return os.WriteFile(path, []byte(content), 0o644)
}
