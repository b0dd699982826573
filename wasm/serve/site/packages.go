package site

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"path/filepath"
	"slices"
)

// goPackage is what "go list" tells of a package, as far as it is needed here.
type goPackage struct {
	ImportPath string
	Dir        string
	Standard   bool
	GoFiles    []string
	EmbedFiles []string
	Module     *goModule
}

type goModule struct {
	Path    string
	Version string
	Dir     string
	Main    bool
}

// linked lists the packages that are really linked into the program, the
// standard library's among them.
func (b *builder) linked() ([]goPackage, error) {
	args := append([]string{"list"}, b.tagArgs()...)
	args = append(args, "-deps", "-json=ImportPath,Dir,Standard,GoFiles,EmbedFiles,Module", program)
	return b.list(wasmEnv, args...)
}

func (b *builder) list(env []string, args ...string) ([]goPackage, error) {
	out, err := b.goTool(env, args...)
	if err != nil {
		return nil, err
	}
	var all []goPackage
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p goPackage
		switch err := d.Decode(&p); {
		case errors.Is(err, io.EOF):
			return all, nil
		case err != nil:
			return nil, err
		}
		all = append(all, p)
	}
}

// sources are the paths of a package's files, in order.
func (p goPackage) sources() []string {
	var paths []string
	for _, name := range slices.Concat(p.GoFiles, p.EmbedFiles) {
		paths = append(paths, filepath.Join(p.Dir, name))
	}
	slices.Sort(paths)
	return paths
}
