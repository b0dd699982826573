package site

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// stage gathers the files of the app as they will be served, all in one flat
// folder so that a name never depends on where it is asked from.
type stage struct {
	dir   string
	names map[string]string // name in the sources -> name as served
}

func newStage(dir string) *stage {
	return &stage{dir: dir, names: map[string]string{}}
}

// hashed writes a file under a name that changes with its bytes, so that it
// may be kept for ever.
func (s *stage) hashed(name string, content []byte) error {
	ext := path.Ext(name)
	stem := strings.TrimSuffix(path.Base(name), ext)
	return s.write(name, fmt.Sprintf("%s.%s%s", stem, digest(content)[:16], ext), content)
}

// plain writes a file that keeps its name and must be asked for anew each time.
func (s *stage) plain(name string, content []byte) error {
	return s.write(name, name, content)
}

func (s *stage) write(name, served string, content []byte) error {
	if _, twice := s.names[name]; twice {
		return fmt.Errorf("%s would be written twice", name)
	}
	s.names[name] = served
	if err := os.MkdirAll(s.dir, 0o755); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(s.dir, served), content, 0o644)
}

// served lists the names as served, in order.
func (s *stage) served() []string {
	names := slices.Sorted(maps.Values(s.names))
	return slices.Compact(names)
}

// integrity gives each file's hash in the form in which a browser checks it.
func (s *stage) integrity() (map[string]string, error) {
	hashes := map[string]string{}
	for _, name := range s.served() {
		content, err := os.ReadFile(filepath.Join(s.dir, name))
		if err != nil {
			return nil, err
		}
		sum := sha256.Sum256(content)
		hashes[name] = "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
	}
	return hashes, nil
}

func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

var hole = regexp.MustCompile(`\{\{([^{}]+)\}\}`)

// fill puts the served name of a file, or an English text of the shell, where
// a source file says {{name}}. A name that nobody knows is an error, so that
// no page goes out with a hole in it.
func fill(file, text string, names, texts map[string]string) ([]byte, error) {
	var unknown []string
	filled := hole.ReplaceAllStringFunc(text, func(h string) string {
		name := strings.Trim(h, "{}")
		if served, ok := names[name]; ok {
			return served
		}
		if t, ok := texts[name]; ok {
			return t
		}
		unknown = append(unknown, name)
		return h
	})
	if len(unknown) > 0 {
		return nil, fmt.Errorf("%s names %s, which this build does not have", file, strings.Join(unknown, ", "))
	}
	return []byte(filled), nil
}
