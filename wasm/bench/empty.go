package main

import (
	"context"
	"os"
	"path/filepath"

	"fourchette/wasm/serve/site"
)

const emptyProgram = "package main\n\nfunc main() {}\n"

// buildEmpty compiles a Go program that does nothing, as the app's own program
// is compiled: the floor under every Go program in a browser.
func buildEmpty(ctx context.Context, dir string) ([]byte, error) {
	for name, text := range map[string]string{"go.mod": "module empty\n\ngo 1.26.0\n", "main.go": emptyProgram} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			return nil, err
		}
	}
	out := filepath.Join(dir, "empty.wasm")
	if err := site.Compile(ctx, dir, out); err != nil {
		return nil, err
	}
	return os.ReadFile(out)
}
