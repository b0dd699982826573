package site

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// goTool runs the go command in the repository and gives what it printed. An
// error carries what the command complained of.
func (b *builder) goTool(env []string, args ...string) ([]byte, error) {
	cmd := exec.CommandContext(b.ctx, "go", args...)
	cmd.Dir = b.Repo
	cmd.Env = append(os.Environ(), env...)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("go %s: %w\n%s", strings.Join(args, " "), err, strings.TrimSpace(errs.String()))
	}
	return out.Bytes(), nil
}

// wasmEnv is the platform of the program in the browser. CGO and GOFLAGS of
// the machine must not reach it: equal sources give equal bytes.
var wasmEnv = []string{"GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOFLAGS=", "GOWASM="}

const program = "./wasm/app"

// buildArgs make equal sources give equal bytes wherever they lie, and few of
// them: without inlining the program is a seventh smaller in brotli, and so is
// loaded and compiled sooner; a topic answers as fast as with it.
// Making a key from a PIN does not: it is inlined as usual. So are the runtime's
// maps, which are smaller for it, by 3.5 kB.
var buildArgs = []string{"-trimpath", "-buildvcs=false", "-gcflags=all=-l", "-gcflags=golang.org/x/crypto/...=", "-gcflags=internal/runtime/maps="}

// Compile compiles the Go program in the folder dir for browsers, as the app's
// own program is compiled, so that others can be measured beside it.
func Compile(ctx context.Context, dir, out string) error {
	b := &builder{Options: Options{Repo: dir}, ctx: ctx}
	return b.compile(".", out)
}

func (b *builder) compile(program, out string) error {
	args := slices.Concat([]string{"build"}, b.tagArgs(), buildArgs, []string{
		"-ldflags", "-s -w -X main.version=" + b.site.Version, "-o", out, program})
	if _, err := b.goTool(wasmEnv, args...); err != nil {
		return err
	}
	module, err := os.ReadFile(out)
	if err != nil {
		return err
	}
	if module, err = wholeMemory(module); err != nil {
		return err
	}
	return os.WriteFile(out, module, 0o755)
}

// compileProgram compiles the Go program and puts Go's own loader beside it.
func (b *builder) compileProgram() error {
	out := filepath.Join(b.work, "app.wasm")
	if err := b.compile(program, out); err != nil {
		return err
	}
	wasm, err := os.ReadFile(out)
	if err != nil {
		return err
	}
	if err := b.stage.hashed("app.wasm", wasm); err != nil {
		return err
	}
	root, err := b.goRoot()
	if err != nil {
		return err
	}
	loader, err := os.ReadFile(filepath.Join(root, "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return fmt.Errorf("this Go installation lacks its loader for WASM programs: %w", err)
	}
	return b.stage.hashed("wasm_exec.js", loader)
}

// tagArgs are the build tags, the same wherever the program is looked at.
func (b *builder) tagArgs() []string {
	if b.Fault {
		return []string{"-tags", "faults"}
	}
	return nil
}

func (b *builder) goRoot() (string, error) {
	root, err := b.goTool(nil, "env", "GOROOT")
	return strings.TrimSpace(string(root)), err
}
