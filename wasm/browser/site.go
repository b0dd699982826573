package browser

import (
	"context"
	"errors"
	"os"
	"path/filepath"

	"fourchette/wasm/serve/site"
)

// Built is a built app: the record of the build, and the folder to serve.
type Built struct {
	*site.Site
	Public string
}

// Build builds the app of this repository into a folder. Repo is filled in.
func Build(o site.Options) (*Built, error) {
	repo, err := Root()
	if err != nil {
		return nil, err
	}
	o.Repo = repo
	s, err := site.Build(context.Background(), o)
	if err != nil {
		return nil, err
	}
	return &Built{s, site.Public(o.Out)}, nil
}

// Root is the folder of the repository that a test runs in.
func Root() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		if dir == filepath.Dir(dir) {
			return "", errors.New("no go.mod above this folder: run it inside the repository")
		}
		dir = filepath.Dir(dir)
	}
}
