package main

import (
	"bytes"
	"fmt"
	"net/http"
	"net/http/httptest"

	"github.com/andybalholm/brotli"

	"fourchette/wasm/serve/static"
)

// wasmGoal is 1.3 MB, in bytes.
const wasmGoal = "≤ 1300000 B"

// best is brotli as its own command compresses with -q 11: the best quality,
// and that command's usual window for quality 11, 16 MiB.
var best = brotli.WriterOptions{Quality: 11, LGWin: 24}

// usual is how the site is compressed when it is built.
var usual = brotli.WriterOptions{Quality: 9}

func compressed(b []byte, o brotli.WriterOptions) (float64, error) {
	var out bytes.Buffer
	w := brotli.NewWriterOptions(&out, o)
	if _, err := w.Write(b); err != nil {
		return 0, err
	}
	if err := w.Close(); err != nil {
		return 0, err
	}
	return float64(out.Len()), nil
}

func sizeOfProgram(m *made) ([]row, error) {
	m.note("size.wasm: brotli quality %d, window 2^%d", best.Quality, best.LGWin)
	app, err := m.file("app.wasm")
	if err != nil {
		return nil, err
	}
	m.note("size.wasm: before compression %d B, the empty program %d B", len(app), len(m.empty))
	ours, err := compressed(app, best)
	if err != nil {
		return nil, err
	}
	theirs, err := compressed(m.empty, best)
	if err != nil {
		return nil, err
	}
	return []row{{name: "size.wasm", unit: "B", ours: ours, rival: "empty Go program", theirs: theirs, goal: wasmGoal}}, nil
}

// sizeOfApp adds up what a phone downloads until it needs no connection any
// more: each file as the server gives it to a browser that takes brotli.
func sizeOfApp(m *made) ([]row, error) {
	sum := 0.0
	handler := static.Handler(m.app.Public)
	for _, name := range append([]string{"sw.js"}, m.app.Precache...) {
		r := httptest.NewRequest(http.MethodGet, "/"+name, nil)
		r.Header.Set("Accept-Encoding", "gzip, br")
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			return nil, fmt.Errorf("%s, which the app needs offline, is answered with %d", name, w.Code)
		}
		sum += float64(w.Body.Len())
	}
	m.note("size.app: %d files, brotli quality %d where it is served", 1+len(m.app.Precache), usual.Quality)
	theirs, err := compressed(m.empty, usual)
	if err != nil {
		return nil, err
	}
	return []row{{name: "size.app", unit: "B", ours: sum, rival: "empty Go program alone", theirs: theirs, goal: "-"}}, nil
}
