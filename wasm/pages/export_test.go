package pages

import (
	"strings"
	"testing"
)

// Scan reads the path of a code's drawing as a camera would.
func Scan(t *testing.T, path string) (string, error) {
	first, _, _ := strings.Cut(path, "M4 4") // the mark in its corner: 4 is the margin
	if first != "" {
		t.Fatalf("a path that does not begin in the corner: %.20q", path)
	}
	side := 0
	for _, run := range strings.SplitAfter(path, "z") {
		side = max(side, runEnd(run)+4)
	}
	return scanned(painted(t, path, side, 4))
}
