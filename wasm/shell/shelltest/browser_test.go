package shelltest

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fourchette/wasm/browser"
	"fourchette/wasm/serve/site"
	"fourchette/wasm/serve/static"
)

// The two versions of the app and the browser that all tests share: built
// once, because each takes some seconds. The second version differs from the
// first in its languages only.
var (
	first, second *browser.Built
	chromium      *browser.Browser
)

func TestMain(m *testing.M) {
	code := 1
	err := browser.Try(func(t browser.T) {
		dir, err := os.MkdirTemp("", "shelltest-")
		if err != nil {
			t.Fatalf("%v", err)
		}
		t.Cleanup(func() { os.RemoveAll(dir) })
		first = build(t, site.Options{Out: filepath.Join(dir, "first"), Fault: true})
		second = build(t, site.Options{Out: filepath.Join(dir, "second"), Fault: true, Pseudo: true})
		chromium = browser.Start(t)
		code = m.Run()
	})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

func build(t browser.T, o site.Options) *browser.Built {
	b, err := browser.Build(o)
	if err != nil {
		t.Fatalf("the app cannot be built: %v", err)
	}
	return b
}

// tab is a tab in which can be seen what the shell sends to the worker.
type tab struct {
	*browser.Tab
}

func open(t *testing.T) *tab {
	t.Helper()
	return openIn(t, chromium)
}

func openIn(t *testing.T, br *browser.Browser) *tab {
	t.Helper()
	b := &tab{br.Open(t)}
	b.Inject(`
		window.sent = [];
		const post = Worker.prototype.postMessage;
		Worker.prototype.postMessage = function (m) { window.sent.push(m); return post.call(this, m); };
		sessionStorage.loads = Number(sessionStorage.loads ?? 0) + 1;`)
	return b
}

// turn goes to another path, as a link does, and does not wait.
func (b *tab) turn(path string) {
	b.Helper()
	browser.Ask[string](b.Tab, fmt.Sprintf("location.hash = %q", path))
}

// changed gives out a version of the app with one text replaced by another in
// the files whose names begin with prefix.
func changed(b *browser.Built, prefix, old, new string) http.Handler {
	plain := static.Handler(b.Public)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(r.URL.Path, "/")
		if !strings.HasPrefix(name, prefix) {
			plain.ServeHTTP(w, r)
			return
		}
		content, err := os.ReadFile(filepath.Join(b.Public, name))
		if err != nil {
			http.NotFound(w, r)
			return
		}
		r.Header.Del("Accept-Encoding")
		head := httptest.NewRecorder()
		plain.ServeHTTP(head, r)
		for key, values := range head.Header() {
			if key != "Content-Length" {
				w.Header()[key] = values
			}
		}
		w.Header().Set("Cache-Control", "no-store") // the browser must not keep it under the true file's name
		w.Write([]byte(strings.Replace(string(content), old, new, 1)))
	})
}
