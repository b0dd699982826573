package static

import (
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// folder lays out one file of each kind.
func folder(t *testing.T) string {
	dir := t.TempDir()
	for _, name := range []string{
		"index.html", "sw.js", "worker.0123456789abcdef.js", "shell.0123456789abcdef.js", "style.0123456789abcdef.css",
		"app.0123456789abcdef.wasm", "icon.0123456789abcdef.svg", "manifest.0123456789abcdef.webmanifest",
		"en.0123456789abcdef.table", "notice.0123456789abcdef.txt", "secret.key",
	} {
		write(t, dir, name, "plain "+name)
	}
	write(t, dir, "app.0123456789abcdef.wasm.br", "brotli")
	write(t, dir, "app.0123456789abcdef.wasm.gz", "gzip")
	return dir
}

func write(t *testing.T, dir, name, content string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
}

func get(dir, path string, header ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	Handler(dir).ServeHTTP(w, r)
	return w
}

func TestTypesAndKeeping(t *testing.T) {
	const forEver, anew = "public, max-age=31536000, immutable", "no-cache"
	dir := folder(t)
	for _, c := range []struct{ path, kind, keep string }{
		{"/", "text/html; charset=utf-8", anew},
		{"/index.html", "text/html; charset=utf-8", anew},
		{"/sw.js", "text/javascript; charset=utf-8", anew},
		{"/worker.0123456789abcdef.js", "text/javascript; charset=utf-8", forEver},
		{"/style.0123456789abcdef.css", "text/css; charset=utf-8", forEver},
		{"/app.0123456789abcdef.wasm", "application/wasm", forEver},
		{"/icon.0123456789abcdef.svg", "image/svg+xml", forEver},
		{"/manifest.0123456789abcdef.webmanifest", "application/manifest+json", forEver},
		{"/en.0123456789abcdef.table", "application/octet-stream", forEver},
		{"/notice.0123456789abcdef.txt", "text/plain; charset=utf-8", forEver},
	} {
		w := get(dir, c.path)
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != c.kind || w.Header().Get("Cache-Control") != c.keep {
			t.Errorf("%s: %d, %q, %q; wanted 200, %q, %q", c.path, w.Code,
				w.Header().Get("Content-Type"), w.Header().Get("Cache-Control"), c.kind, c.keep)
		}
		if w.Header().Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s may be sniffed", c.path)
		}
	}
}

func TestPolicies(t *testing.T) {
	dir := folder(t)
	for _, path := range []string{
		"/", "/sw.js", "/worker.0123456789abcdef.js", "/shell.0123456789abcdef.js", "/app.0123456789abcdef.wasm", "/missing.js",
	} {
		policy := get(dir, path).Header().Get("Content-Security-Policy")
		if !strings.HasPrefix(policy, "default-src 'none'") {
			t.Errorf("%s begins with %q, wanted default-src 'none'", path, policy)
		}
		for _, loose := range []string{"'unsafe-inline'", "'unsafe-eval'", "data:", "blob:", "*", "http"} {
			if strings.Contains(policy, loose) {
				t.Errorf("%s allows %s: %s", path, loose, policy)
			}
		}
		compiles := strings.Contains(policy, "'wasm-unsafe-eval'")
		if wanted := strings.HasPrefix(path, "/worker."); compiles != wanted {
			t.Errorf("%s may compile WASM: %t, wanted %t", path, compiles, wanted)
		}
	}
}

func TestSmallerCopies(t *testing.T) {
	dir := folder(t)
	const path = "/app.0123456789abcdef.wasm"
	for _, c := range []struct{ accept, encoding, body string }{
		{"gzip, deflate, br", "br", "brotli"},
		{"gzip, deflate", "gzip", "gzip"},
		{"br;q=0, gzip;q=0.5", "gzip", "gzip"},
		{"", "", "plain app.0123456789abcdef.wasm"},
	} {
		w := get(dir, path, "Accept-Encoding", c.accept)
		if w.Header().Get("Content-Encoding") != c.encoding || w.Body.String() != c.body {
			t.Errorf("accepting %q: %q, %q; wanted %q, %q", c.accept, w.Header().Get("Content-Encoding"), w.Body, c.encoding, c.body)
		}
		if w.Header().Get("Content-Type") != "application/wasm" || w.Header().Get("Vary") != "Accept-Encoding" {
			t.Errorf("accepting %q: %v", c.accept, w.Header())
		}
	}
}

func TestWhatIsNotServed(t *testing.T) {
	dir := folder(t)
	write(t, filepath.Dir(dir), "above.txt", "above")
	for _, path := range []string{
		"/missing.0123456789abcdef.js", "/secret.key", "/app.0123456789abcdef.wasm.br", "/../above.txt", "/..%2fabove.txt",
		"/..%5cabove.txt", "/.", "/a/index.html",
	} {
		if w := get(dir, path); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d %q, wanted 404", path, w.Code, w.Body)
		}
	}
	w := httptest.NewRecorder()
	Handler(dir).ServeHTTP(w, httptest.NewRequest(http.MethodPost, "/", nil))
	if w.Code != http.StatusMethodNotAllowed {
		t.Errorf("a post: %d, wanted 405", w.Code)
	}
}

// What is not there now may be there after the next build: no browser may keep
// the answer, whatever the name looks like.
func TestMissingIsNotKept(t *testing.T) {
	if keep := get(folder(t), "/missing.0123456789abcdef.js").Header().Get("Cache-Control"); keep != "no-store" {
		t.Errorf("a missing file may be kept: %q", keep)
	}
}
