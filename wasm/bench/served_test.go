package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fourchette/wasm/browser"
	"fourchette/wasm/serve/site"
)

// app is a built app of two files, for what copies it.
func app(t *testing.T, list string) *made {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"worker.0123456789abcdef.js": "work()", "worker.0123456789abcdef.js.br": "small", "sw.js": list, "index.html": "<p>",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return &made{app: &browser.Built{Site: &site.Site{Names: map[string]string{"worker.js": "worker.0123456789abcdef.js"}}, Public: dir}}
}

func TestWithWorker(t *testing.T) {
	m := app(t, `{"worker.0123456789abcdef.js":"`+integrity([]byte("work()"))+`"}`)
	b, err := withWorker(m, filepath.Join(t.TempDir(), "copy"), func(text string) string { return "first();" + text })
	if err != nil {
		t.Fatal(err)
	}
	read := func(name string) string {
		content, err := os.ReadFile(filepath.Join(b.Public, name))
		if err != nil {
			t.Error(err)
		}
		return string(content)
	}
	if got := read("worker.0123456789abcdef.js"); got != "first();work()" {
		t.Errorf("the worker is %q", got)
	}
	if want := integrity([]byte("first();work()")); !strings.Contains(read("sw.js"), want) {
		t.Errorf("the service worker does not expect %s: %s", want, read("sw.js"))
	}
	if _, err := os.Stat(filepath.Join(b.Public, "worker.0123456789abcdef.js.br")); !os.IsNotExist(err) {
		t.Error("the compressed copy of the old worker is still there and would be served")
	}
}

func TestWithWorkerRefusesAListWithoutIt(t *testing.T) {
	m := app(t, `{"worker.0123456789abcdef.js":"sha256-of something else"}`)
	if _, err := withWorker(m, filepath.Join(t.TempDir(), "copy"), func(text string) string { return text + "!" }); err == nil {
		t.Error("a worker that the service worker would refuse was laid out")
	}
}
