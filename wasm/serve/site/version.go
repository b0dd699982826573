package site

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"os"
	"path/filepath"
	"slices"
)

// version works out the version from all that goes in: the sources of the
// program and of every module it links, this package (it writes the page), the
// compiled words and guide, the shell's own files, and Go's version, which
// stands for the standard library and the compiler. It is worked out before
// the program is compiled, because the program carries it.
func (b *builder) version() error {
	packages, err := b.linked()
	if err != nil {
		return err
	}
	own, err := b.list(nil, "list", "-json=ImportPath,Dir,GoFiles", "./wasm/serve/site")
	if err != nil {
		return err
	}
	goVersion, err := b.goTool(nil, "env", "GOVERSION")
	if err != nil {
		return err
	}
	sum := sha256.New()
	fmt.Fprintf(sum, "%s %t %t\n", goVersion, b.Fault, b.Pseudo)
	for _, p := range slices.Concat(packages, own) {
		if p.Standard {
			continue
		}
		if err := hashFiles(sum, p.ImportPath, p.sources()); err != nil {
			return err
		}
	}
	for _, folder := range []string{b.words.dir, filepath.Join(b.Repo, "wasm", "shell")} {
		if err := hashFolder(sum, folder); err != nil {
			return err
		}
	}
	b.site.Version = hex.EncodeToString(sum.Sum(nil))[:12]
	return nil
}

func hashFolder(sum hash.Hash, dir string) error {
	entries, err := os.ReadDir(dir) // sorted by name
	if err != nil {
		return err
	}
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		if e.IsDir() {
			err = hashFolder(sum, path)
		} else {
			err = hashFiles(sum, filepath.Base(dir), []string{path})
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// hashFiles adds files by name, length and bytes, never by where they lie on
// this machine.
func hashFiles(sum hash.Hash, owner string, paths []string) error {
	for _, path := range paths {
		b, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		fmt.Fprintf(sum, "%s/%s %d\n", owner, filepath.Base(path), len(b))
		sum.Write(b)
	}
	return nil
}
