// Package static serves a built app over HTTP, with the headers that keep it
// safe and offline.
//
// Start with Handler. What each file may do is one line in policies; how long
// it may be kept follows from its name: a name with a hash in it is kept for
// ever, any other is asked for anew each time.
package static

import (
	"net/http"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// Content-Security-Policy by kind of file. A worker obeys the policy of its own
// response and no other: the permission to compile WASM stands there only.
const (
	nothing = "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"

	pagePolicy = nothing + "; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
		"worker-src 'self'; manifest-src 'self'"
	workerPolicy  = nothing + "; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'"
	serviceWorker = nothing + "; script-src 'self'; connect-src 'self'"
)

func policy(name string) string {
	switch {
	case name == "index.html":
		return pagePolicy
	case name == "sw.js":
		return serviceWorker
	case isWorker.MatchString(name):
		return workerPolicy
	}
	return nothing
}

var (
	isWorker = regexp.MustCompile(`^worker\.[0-9a-f]{16}\.js$`)
	isHashed = regexp.MustCompile(`\.[0-9a-f]{16}\.[a-z]+$`)
)

// types are the files an app may consist of. Anything else is not served, so
// that a file left in the folder by mistake stays there.
var types = map[string]string{
	".html":        "text/html; charset=utf-8",
	".js":          "text/javascript; charset=utf-8",
	".css":         "text/css; charset=utf-8",
	".json":        "application/json",
	".webmanifest": "application/manifest+json",
	".wasm":        "application/wasm",
	".svg":         "image/svg+xml",
	".png":         "image/png",
	".txt":         "text/plain; charset=utf-8",
	".table":       "application/octet-stream",
	".pack":        "application/octet-stream",
}

// Handler serves the files of one folder, without its subfolders.
func Handler(public string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			w.Header().Set("Allow", "GET, HEAD")
			http.Error(w, "this address only gives out files", http.StatusMethodNotAllowed)
			return
		}
		name := strings.TrimPrefix(r.URL.Path, "/")
		if name == "" {
			name = "index.html"
		}
		serve(w, r, public, name)
	})
}

func serve(w http.ResponseWriter, r *http.Request, public, name string) {
	headers(w.Header(), name)
	kind, known := types[path.Ext(name)]
	if !known || strings.ContainsAny(name, `/\`) {
		http.NotFound(w, r)
		return
	}
	content, encoding, err := smallest(public, name, r.Header.Get("Accept-Encoding"))
	if err != nil {
		w.Header().Set("Cache-Control", "no-store")
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Length", strconv.Itoa(len(content)))
	if encoding != "" {
		h.Set("Content-Encoding", encoding)
	}
	if r.Method == http.MethodGet {
		w.Write(content)
	}
}

// headers sets what every answer about a name carries, found or not.
func headers(h http.Header, name string) {
	h.Set("Content-Security-Policy", policy(name))
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Vary", "Accept-Encoding")
	if isHashed.MatchString(name) {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	} else {
		h.Set("Cache-Control", "no-cache")
	}
}

// smallest reads the file, or the smaller copy of it that the browser can read.
func smallest(public, name, accepted string) (content []byte, encoding string, err error) {
	for _, c := range []struct{ encoding, ext string }{{"br", ".br"}, {"gzip", ".gz"}} {
		if !accepts(accepted, c.encoding) {
			continue
		}
		if content, err := os.ReadFile(filepath.Join(public, name+c.ext)); err == nil {
			return content, c.encoding, nil
		}
	}
	content, err = os.ReadFile(filepath.Join(public, name))
	return content, "", err
}

func accepts(header, encoding string) bool {
	for part := range strings.SplitSeq(header, ",") {
		name, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
		if strings.TrimSpace(name) == encoding {
			return strings.ReplaceAll(weight, " ", "") != "q=0"
		}
	}
	return false
}
