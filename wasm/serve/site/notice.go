package site

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// notice writes the licences of everything that the served app contains and
// that others wrote: the modules really linked into the program, Go's standard
// library, and Go's loader. A linked module without a licence fails the build.
func (b *builder) notice() error {
	packages, err := b.linked()
	if err != nil {
		return err
	}
	root, err := b.goRoot()
	if err != nil {
		return err
	}
	var text bytes.Buffer
	fmt.Fprintln(&text, "Fourchette contains the work of others, under these licences.")
	if err := licence(&text, "The Go standard library and wasm_exec.js, Go's loader for WASM programs", root); err != nil {
		return err
	}
	for _, m := range modules(packages) {
		if err := licence(&text, m.Path+" "+m.Version, m.Dir); err != nil {
			return err
		}
	}
	return b.stage.hashed("notice.txt", text.Bytes())
}

// modules lists the modules of others among the packages, in order, each once.
func modules(packages []goPackage) []goModule {
	var all []goModule
	for _, p := range packages {
		if p.Module != nil && !p.Module.Main && !slices.Contains(all, *p.Module) {
			all = append(all, *p.Module)
		}
	}
	slices.SortFunc(all, func(a, b goModule) int { return strings.Compare(a.Path, b.Path) })
	return all
}

func licence(text *bytes.Buffer, what, dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	found := false
	for _, e := range entries {
		if e.IsDir() || !isLicence(e.Name()) {
			continue
		}
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return err
		}
		fmt.Fprintf(text, "\n%s\n%s (%s)\n\n%s\n", strings.Repeat("-", 72), what, e.Name(), bytes.TrimSpace(b))
		found = true
	}
	if !found {
		return fmt.Errorf("%s is linked into the program and has no licence file: it must not be given out", what)
	}
	return nil
}

func isLicence(name string) bool {
	stem := strings.ToUpper(strings.TrimSuffix(name, filepath.Ext(name)))
	return slices.Contains([]string{"LICENSE", "LICENCE", "COPYING", "NOTICE", "COPYRIGHT"}, stem)
}
